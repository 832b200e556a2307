"""How a print repeats: the shortest steps that lay it onto itself."""

from __future__ import annotations

from itertools import product
from typing import Final

import numpy as np
import numpy.typing as npt

from quiltboard.fabrics.lattice import Steps, name_lattice, pointed, reduce_steps
from quiltboard.fabrics.likeness import (
    WIDE_OVERLAP,
    Likeness,
    Numbers,
    Planes,
    Points,
    print_planes,
)
from quiltboard.fabrics.reading import Repeat
from quiltboard.photos.light import Pixels

FAINT: Final = 0.6
"""Standard deviation in L*a*b* under which a cloth has no print to repeat."""
FINEST_PX: Final = 6.0
FINEST_SHARE: Final = 0.015
"""What comes again sooner, in working pixels or as a share of the width, is weave."""
LEAST_LIKENESS: Final = 0.6
"""How like itself a print must be after every step of its repeat."""
UNLIKE: Final = 0.05
"""How much less like itself it is at least after a step that is only part of a repeat."""
_CLEARLY_UNLIKE: Final = 0.02
_UNLIKE_IN_NOISE: Final = 0.7

_SURE: Final = 0.95
_NOT_ENOUGH: Final = 0.9 * LEAST_LIKENESS
_AS_ALONG: Final = 0.85
_MOST_PEAKS: Final = 28
_STRONG: Final = 0.75
_LOW: Final = 0.25


def find_repeat(pixels: Pixels) -> Repeat:
    """Find how a print repeats, if it does.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first: the swatch, of any size.

    Returns
    -------
    Repeat
        The steps as fractions of the swatch's width. A repeat of which the swatch shows less
        than two is not found.
    """
    return repeat_of(Likeness(print_planes(pixels)))


def repeat_of(likeness: Likeness) -> Repeat:
    """Find how a print repeats, from its likeness to itself."""
    if is_faint(likeness.planes):
        return Repeat("none", (), 1.0)
    width = likeness.sides[0]
    finest = max(FINEST_PX, FINEST_SHARE * width)
    moves, heights = likeness.peaks(0.0)
    far = np.hypot(*moves.T) >= finest
    moves, heights = moves[far], heights[far]
    wide = likeness.overlap(moves) >= WIDE_OVERLAP
    ceiling = float(heights[wide].max(initial=0.0))
    slope, level = _stripes_along(likeness, finest)
    if level >= max(ceiling - 2 * UNLIKE, LEAST_LIKENESS):
        step, level = _step_across(likeness, slope, level, finest)
        steps = pointed(step)[np.newaxis] / width
    else:
        steps, level = _lattice_of(likeness, moves, heights, ceiling)
        steps = reduce_steps(steps) / width if level >= LEAST_LIKENESS else steps
    if level < LEAST_LIKENESS:
        return Repeat("none", (), _share(1 - max(level, 0.0) / LEAST_LIKENESS))
    kind = "stripes" if len(steps) == 1 else name_lattice(steps)
    sure = _share((level - LEAST_LIKENESS / 2) / (_SURE - LEAST_LIKENESS / 2))
    return Repeat(kind, tuple((float(x), float(y)) for x, y in steps), sure)


def is_faint(planes: Planes) -> bool:
    """Tell whether a cloth reads as plain: nothing on it stands out from its weave."""
    return bool(np.square(planes).sum(axis=0).mean() < FAINT**2)


def _share(amount: float) -> float:
    return min(max(amount, 0.0), 1.0)


# --- stripes ----------------------------------------------------------------------------------


def _ray(angles: Numbers, lengths: Numbers) -> Points:
    headings = np.stack((np.cos(angles), np.sin(angles)), axis=-1)
    return headings[:, np.newaxis] * lengths[:, np.newaxis]


def _stripes_along(likeness: Likeness, finest: float) -> tuple[float, float]:
    """Find the slope along which a print is most like itself all the way, and how like."""
    lengths = np.linspace(finest, 0.55 * likeness.sides.min(), 40)
    angles = np.radians(np.arange(0, 180, 0.25))
    levels = np.quantile(likeness.at(_ray(angles, lengths)), 0.1, axis=1)
    best = int(levels.argmax())
    near = angles[best] + np.radians(np.arange(-0.3, 0.31, 0.03))
    slope = near[likeness.at(_ray(near, lengths)).mean(axis=1).argmax()]
    return float(slope), float(levels[best])


def _step_across(
    likeness: Likeness, slope: float, level: float, finest: float
) -> tuple[npt.NDArray[np.float64], float]:
    """Find the shortest step across stripes after which they are the same, and how like."""
    along = np.array([np.cos(slope), np.sin(slope)])
    across = np.array([-along[1], along[0]])
    span = float((likeness.reach / np.maximum(np.abs(across), 1e-9)).min())
    far = np.arange(0, span, 0.5)
    aside = np.linspace(-0.15, 0.15, 21) * likeness.sides.min()
    moves = far[:, np.newaxis, np.newaxis] * across + aside[:, np.newaxis] * along
    profile = np.nanmean(likeness.at(moves), axis=1)
    tops = 1 + np.flatnonzero(
        (profile[1:-1] >= profile[:-2]) & (profile[1:-1] > profile[2:]) & (far[1:-1] >= finest)
    )
    highest = float(profile[tops].max(initial=0.0))
    enough = max(highest - UNLIKE, _AS_ALONG * level)
    tops = tops[profile[tops] >= enough]
    if not len(tops):
        return across, min(highest, _NOT_ENOUGH)
    step, lowest = _along_multiples(far, profile, float(far[tops[0]]))
    enough -= UNLIKE
    return step * across, lowest if lowest >= enough else min(lowest, _NOT_ENOUGH)


def _along_multiples(far: Numbers, profile: Numbers, step: float) -> tuple[float, float]:
    """Better a step by its multiples; give it, and the least likeness after any of them."""
    lowest, moment, weight = 1.0, 0.0, 0.0
    for times in range(1, int(0.97 * far[-1] / step) + 1):
        seek = 2 + 0.01 * times * step
        first, last = np.searchsorted(far, (times * step - seek, times * step + seek))
        top = min(int(first + profile[first:last].argmax()), len(profile) - 2)
        lowest = min(lowest, float(profile[top]))
        before, middle, after = profile[top - 1 : top + 2]
        lean = (after - before) / max(2 * (2 * middle - before - after), 1e-6)
        moment += times * float(far[top] + (far[1] - far[0]) * min(max(lean, -1.0), 1.0))
        weight += times**2
        step = moment / weight
    return step, lowest


# --- lattices ---------------------------------------------------------------------------------


def _turns(most: int) -> npt.NDArray[np.int64]:
    """Count steps each way; a move and its opposite are one."""
    both = range(-most, most + 1)
    return np.array([(i, j) for i, j in product(both, both) if (i, j) > (0, 0)])


def _lattice_of(
    likeness: Likeness, moves: Points, heights: Numbers, ceiling: float
) -> tuple[Steps, float]:
    """Choose two steps all of whose sums lay a print onto itself, and say how well they do.

    Of the lattices that do so as well as any, it is the one of the smallest repeat: steps
    between unlike motifs do less well, and steps over several repeats span a larger one.
    """
    strong = np.flatnonzero(heights >= _STRONG * ceiling)
    strong = strong[np.hypot(*moves[strong].T).argsort(kind="stable")][:_MOST_PEAKS]
    shorter, longer = np.triu_indices(len(strong), 1)
    pairs = np.stack((moves[strong][shorter], moves[strong][longer]), axis=1)
    lengths = np.square(pairs).sum(axis=2)
    lean = np.abs((pairs[:, 0] * pairs[:, 1]).sum(axis=1))
    pairs = pairs[lean <= 0.53 * lengths[:, 0]]
    sums = _turns(4) @ pairs
    counted = likeness.within(sums)
    pairs, sums, counted = (part[counted.sum(axis=1) >= 3] for part in (pairs, sums, counted))
    if not len(pairs):
        return np.zeros((0, 2)), 0.0
    levels = np.full(counted.shape, np.nan)
    levels[counted] = likeness.climbed(sums[counted])[1]
    scores = np.nanquantile(levels, _LOW, axis=1)
    areas = np.abs(np.linalg.det(pairs))
    # Two motifs of nearly one colour are told apart on clean cloth alone.
    best = float(scores.max())
    unlike = min(_CLEARLY_UNLIKE + _UNLIKE_IN_NOISE * max(1 - best, 0.0), 1.2 * UNLIKE)
    good = scores >= best - unlike
    smallest = good & (areas <= 1.1 * areas[good].min())
    chosen = int(np.where(smallest, scores, -1.0).argmax())
    return _bettered(likeness, pairs[chosen]), float(scores[chosen])


def _bettered(likeness: Likeness, steps: Steps) -> Steps:
    """Fit two steps to all the moves they lead to, from the near ones to the far ones."""
    for most in (1, 2, 4, 8):
        turns = _turns(most)
        single = np.abs(turns).sum(axis=1) == 1
        turns = turns[likeness.within(turns @ steps) | single]
        moves, _ = likeness.climbed(turns @ steps)
        weights = np.sqrt(likeness.overlap(moves))[:, np.newaxis]
        steps = np.asarray(np.linalg.lstsq(turns * weights, moves * weights, rcond=None)[0])
    return steps
