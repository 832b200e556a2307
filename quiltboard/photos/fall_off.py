"""The slow fall-off of light over a cloth, told apart from its print.

Light that falls off does so slowly, on every ink alike and whatever the ink's colour. A print
changes at its edges, in a few tones. So the fall-off is looked for that brings the print down
to the fewest tones, and believed only where the picture really runs that way between the
edges, in all three colours alike, and by no more than a lamp or window at the side would make
it. A grey ombre, or one of the ground's own tint, that runs smoothly by less than that looks
the same and is taken for fall-off: nothing in the picture tells them apart.
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from quiltboard.photos.light import Light, Mask
from quiltboard.photos.lightness import XYZ_OF_LIGHT

FallOff = tuple[float, float, float, float, float]
"""Natural logarithm of the light as a polynomial in x, y, x², xy, y², with x and y from -1 to 1
across and down the photo."""

Floats = npt.NDArray[np.floating[Any]]

LOOKED_AT_PX: Final = 128
"""The size a cloth is looked at: the weave is gone, light and print are left."""

STRONGEST: Final = 2.7
"""How many times lighter the lightest place of a cloth may be than its darkest."""
_FAINTEST: Final = 0.015
_DARKEST: Final = 5e-4
_BIN: Final = 0.01
_TONE: Final = 0.04
"""How far apart two tones must be to be two, as a natural logarithm of light."""
_COARSE_TO_FINE: Final = (0.6, 0.3, 0.15, 0.08, _TONE)
_FINE: Final = (0.08, _TONE)
_ROUNDS: Final = 6
_LAG_PX: Final = 8
_SMALL_STEP: Final = 0.005
_TINY: Final = 1e-9
_FEWEST: Final = 400
_LEAST_GAIN: Final = 0.08
_LEAST_EXPLAINED: Final = 0.65
_LEAST_RUN: Final = 0.6
_MOST_RUN: Final = 2.0
_EDGE: Final = 0.1
_EDGE_OF_RUN: Final = 2.5
_MOST_TINTED: Final = 0.3
_TINT_NOISE: Final = 0.03
_TINT_FROM: Final = 0.003
_BUSY: Final = 1.0
_BUSY_ALIKE: Final = 0.25
_WELL_EXPLAINED: Final = 0.75
_BLOCKS: Final = 6


def powers(x: Floats, y: Floats) -> Floats:
    """Give x, y, x², xy, y² along a new last axis."""
    return np.stack([x, y, x * x, x * y, y * y], axis=-1)


def _mixed(parts: Floats, shares: Floats) -> Floats:
    """Add rows up, each times its share (`@` would start threads for so little)."""
    mixed: Floats = np.einsum("ck,c->k", parts, shares)
    return mixed


def _against(parts: Floats, values: Floats) -> Floats:
    """Add up each row times values."""
    sums: Floats = np.einsum("ck,k->c", parts, values)
    return sums


class _Pairs(NamedTuple):
    """Places a little apart.

    Attributes
    ----------
    parts
        ndarray of shape (5, K): how each part of a polynomial changes from one to the other.
    steps
        ndarray of shape (K,): how the light does.
    """

    parts: Floats
    steps: Floats


def find_fall_off(light: Light, x: Floats, y: Floats, mask: Mask) -> FallOff | None:
    """Find how the light falls off over a cloth, if it can be told from the print.

    Parameters
    ----------
    light
        ndarray of shape (M, N, 3), linear light: the cloth, seen about `LOOKED_AT_PX` large.
    x, y
        ndarrays of shape (M, N): where in the photo each pixel lies, -1 to 1.
    mask
        ndarray of shape (M, N), True where there is cloth.

    Returns
    -------
    tuple or None
        None where the light is even, or the print leaves it in doubt.

    References
    ----------
    Mangin 2000, "Entropy minimization for automatic correction of intensity
    nonuniformity". Fukunaga and Hostetler 1975, doi 10.1109/TIT.1975.1055330,
    the shift towards a density's peaks. Land and McCann 1971, doi 10.1364/JOSA.61.000001, on
    light that runs slowly and prints that have edges.
    """
    spans = [np.count_nonzero(mask.any(axis=axis)) for axis in (0, 1)]
    if np.count_nonzero(mask) < _FEWEST or min(spans) <= _LAG_PX:
        return None
    luminance = _mixed(light.reshape(-1, 3).T, XYZ_OF_LIGHT[1]).reshape(mask.shape)
    tone = np.log(np.maximum(luminance, _DARKEST))
    every = powers(x, y)
    middle = every[mask].mean(axis=0)
    # Parts that are perpendicular, so that each round of the search is two small sums.
    square, triangle = np.linalg.qr(every[mask] - middle)
    parts = np.ascontiguousarray(square.T)
    whole = np.einsum("mnc,cd->dmn", every - middle, np.linalg.inv(triangle))
    pairs = _pairs(whole, tone, mask)
    tones = tone[mask]
    blocks = _blocks(x[mask], y[mask])
    starts = [
        (np.zeros(5), _COARSE_TO_FINE),
        (np.zeros(5), _FINE),
        (_run_between_edges(pairs), _FINE),
    ]
    found = [_fewest_tones(tones, parts, start, widths) for start, widths in starts]
    found.sort(key=lambda one: _spread(tones - _mixed(parts, one)))
    # What brings the print to the fewest tones and is too strong for light is an ombre.
    if np.ptp(_mixed(parts, found[0])) > np.log(STRONGEST):
        return None
    for fit in found:
        if _believed(fit, tones, light[mask], parts, pairs, blocks):
            a, b, c, d, e = np.linalg.solve(triangle, fit).tolist()
            return a, b, c, d, e
    return None


def _pairs(parts: Floats, tone: Floats, mask: Mask) -> _Pairs:
    changes, steps = [], []
    for axis in (0, 1):
        near = [slice(None, None, 2), slice(None, None, 2)]
        far = [slice(None, None, 2), slice(None, None, 2)]
        near[axis], far[axis] = slice(None, -_LAG_PX, 2), slice(_LAG_PX, None, 2)
        both = mask[tuple(near)] & mask[tuple(far)]
        changes.append((parts[:, *far] - parts[:, *near])[:, both])
        steps.append((tone[tuple(far)] - tone[tuple(near)])[both])
    return _Pairs(np.concatenate(changes, axis=1), np.concatenate(steps))


def _run_between_edges(pairs: _Pairs) -> Floats:
    """Fit the slow run of light to what most places do, edges counting little."""
    weights = np.ones(len(pairs.steps))
    fit: Floats = np.zeros(5)
    for _ in range(_ROUNDS):
        weighted = pairs.parts * weights
        fit = np.linalg.solve(
            np.einsum("ck,dk->cd", weighted, pairs.parts) + _TINY * np.eye(5),
            _against(weighted, pairs.steps),
        )
        left = pairs.steps - _mixed(pairs.parts, fit)
        weights = 1 / np.maximum(np.abs(left), _SMALL_STEP)
    return fit


def _fewest_tones(
    tones: Floats, parts: Floats, start: Floats, widths: tuple[float, ...]
) -> Floats:
    """Move a fall-off until what is left lies closest round a few tones."""
    fit = start
    for width in widths:
        for _ in range(_ROUNDS):
            fit = fit - _against(parts, _way_to_peak(tones - _mixed(parts, fit), width))
    return fit


def _density(tones: Floats, width: float) -> tuple[npt.NDArray[np.intp], Floats, Floats]:
    """Count tones in bins, seen through a bell of so much width."""
    places = ((tones - tones.min() + 4 * width) / _BIN).astype(np.intp)
    tally = np.bincount(places, minlength=int(places.max() + 4 * width / _BIN) + 2)
    reach = int(3.5 * width / _BIN)
    across = np.arange(-reach, reach + 1) * _BIN
    bell = np.exp(-0.5 * (across / width) ** 2)
    dense = np.convolve(tally, bell / bell.sum(), "same") + 1e-9
    slope = np.convolve(tally, -across * bell / bell.sum(), "same")
    return places, dense, slope


def _way_to_peak(tones: Floats, width: float) -> Floats:
    places, dense, slope = _density(tones, width)
    way: Floats = (slope / dense)[places]
    return way


def _spread(tones: Floats) -> float:
    """Tell over how many tones a print spreads: the entropy of its tones, in nats."""
    places, dense, _ = _density(tones, _TONE)
    return float(-np.log(dense[places] / len(tones)).mean())


def _believed(
    fit: Floats,
    tones: Floats,
    light: Light,
    parts: Floats,
    pairs: _Pairs,
    blocks: npt.NDArray[np.intp],
) -> bool:
    field = _mixed(parts, fit)
    strength = float(np.ptp(field))
    if not _FAINTEST <= strength <= np.log(STRONGEST):
        return False
    if _tinted(field, tones, light) > _MOST_TINTED + _TINT_NOISE / strength:
        return False
    gain = _spread(tones) - _spread(tones - field)
    explained, busy = _explained(field, tones, blocks)
    if gain < _LEAST_GAIN and explained < _LEAST_EXPLAINED:
        return False
    # Between the many edges of a busy print nothing runs, but then it is no ombre in steps;
    # nor is it where the blocks of it differ as the light does and hardly else.
    needed = _BUSY_ALIKE if explained >= _WELL_EXPLAINED else _BUSY
    return busy >= needed * strength or _LEAST_RUN <= _run(pairs, fit) <= _MOST_RUN


def _tinted(field: Floats, tones: Floats, light: Light) -> float:
    """Tell how much of a fall-off is a change of tint, inside each tone of the print.

    Light that falls off leaves the tint alone; 1 is an ombre of one strong dye.
    """
    bright = light.min(axis=-1) >= _TINT_FROM
    if np.count_nonzero(bright) < _FEWEST:
        return 0.0
    red, green, blue = np.log(light[bright].T, dtype=np.float64)
    bins = _density(tones - field, _TONE)[0][bright] // int(_TONE / _BIN)
    runs = (_run_inside(bins, field[bright], tint) for tint in (red - green, blue - green))
    return max(map(abs, runs))


def _run_inside(bins: npt.NDArray[np.intp], field: Floats, tint: Floats) -> float:
    """Fit how a tint runs with a field inside bins, other inks of a bin counting little."""
    weights = np.ones(len(field))
    run = 0.0
    for _ in range(_ROUNDS):
        whole = np.maximum(np.bincount(bins, weights), _DARKEST)
        along, aside = (
            part - (np.bincount(bins, weights * part) / whole)[bins] for part in (field, tint)
        )
        pull = weights * along
        run = float((pull * aside).sum() / max((pull * along).sum(), _TINY))
        weights = 1 / np.maximum(np.abs(aside - run * along), _SMALL_STEP)
    return run


def _run(pairs: _Pairs, fit: Floats) -> float:
    """Tell how much of a fall-off is really there between the edges: 1 is all of it.

    A print in steps has none between its edges.
    """
    expected = _mixed(pairs.parts, fit)
    edge = _EDGE + _EDGE_OF_RUN * np.abs(expected).max()
    slow = np.abs(pairs.steps - expected / 2) <= edge
    inside, expected = pairs.steps[slow], expected[slow]
    weights = np.ones(len(expected))
    run = 0.0
    for _ in range(_ROUNDS):
        pull = weights * expected
        run = float((pull * inside).sum() / max((pull * expected).sum(), _TINY))
        weights = 1 / np.maximum(np.abs(inside - run * expected), _SMALL_STEP)
    return run


def _blocks(x: Floats, y: Floats) -> npt.NDArray[np.intp]:
    """Give the number of the block of the cloth that each place lies in."""
    across, down = (
        np.minimum((at - at.min()) / np.ptp(at) * _BLOCKS, _BLOCKS - 1).astype(np.intp)
        for at in (x, y)
    )
    blocks: npt.NDArray[np.intp] = across + _BLOCKS * down
    return blocks


def _explained(
    field: Floats, tones: Floats, blocks: npt.NDArray[np.intp]
) -> tuple[float, float]:
    """Tell how much of what parts blocks a fall-off explains, and how busy each is."""
    count = np.maximum(np.bincount(blocks, minlength=_BLOCKS**2), 1)
    left = tones - field
    before, after = (
        np.bincount(blocks, part - part.mean(), minlength=_BLOCKS**2) / count
        for part in (tones, left)
    )
    busy = float(np.std(left - left.mean() - after[blocks]))
    return float(1 - (count * after**2).sum() / (count * before**2).sum()), busy
