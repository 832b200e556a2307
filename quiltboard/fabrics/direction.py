"""Whether a print has a right way up, or looks the same turned half round.

A print that repeats is laid over itself half turned; where it fits, it is two-way. Where it
does not, or where no repeat is known, its places are asked one by one which way they point.
What they are asked is the odd part of the correlation between two functions of the colours,
such as a colour and its square: it changes its sign when the cloth is turned half round, and
over motifs that lie every way it vanishes, but for chance. Places that agree on it more than
chance would have it make a print one-way.

References
----------
Bendat and Piersol, Random Data (4th ed., 2010), 5.2: the odd part of a cross-correlation is the
imaginary part of the cross-spectrum.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy import fft, ndimage

from quiltboard.fabrics.likeness import (
    Likeness,
    Planes,
    Points,
    print_planes,
)
from quiltboard.fabrics.reading import Direction, Repeat
from quiltboard.fabrics.repeat import is_faint
from quiltboard.photos.light import Pixels

Features = npt.NDArray[np.float32]
"""ndarray of shape (5, M, N): functions of a print's colours, each with a mean of 0."""

SAME: Final = 0.985
"""A print fits itself half turned if it is so much as like itself as after its repeat."""
FEW: Final = 5.6
"""Up to so many motifs, a repeat that does not fit itself half turned is one-way."""
ODD: Final = 1.3
EVEN: Final = 0.0
"""One-way from the first of these odds up, two-way up to the second, between them not sure."""
DOUBT: Final = 2.0
"""Odds that throw doubt on a print that fits itself half turned."""

_NOT_SURE: Final = Direction("not sure", 0.5)
_WINDOWS_PX: Final = (64, 96)
_CLOSE_WINDOW_PX: Final = 48
_ALIKE: Final = 0.6
_LIMIT: Final = 3.0
_GRAIN: Final = 0.3
_SOFT_PX: Final = 3
_FLOOR: Final = 0.03
_TINY: Final = 1e-9

_MAIN, _SECOND, _SQUARE, _PRODUCT, _SOFT_SQUARE = range(5)
_PAIRS: Final = (
    (_SQUARE, _MAIN),
    (_MAIN, _SECOND),
    (_SQUARE, _SECOND),
    (_PRODUCT, _MAIN),
    (_SOFT_SQUARE, _MAIN),
)


def find_direction(pixels: Pixels, repeat: Repeat) -> Direction:
    """Tell whether a print has a right way up.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first: the swatch.
    repeat
        How it repeats, as `find_repeat` tells of the same swatch.

    Returns
    -------
    Direction
        Stripes, checks and plain cloths are two-way. "Not sure" is an answer: for few and large
        motifs it is the honest one.
    """
    return direction_of(Likeness(print_planes(pixels)), repeat)


def direction_of(likeness: Likeness, repeat: Repeat) -> Direction:
    """Tell whether a print has a right way up, from its likeness to itself.

    Parameters
    ----------
    likeness
        Of the swatch to itself.
    repeat
        How it repeats, as `repeat_of` tells of the same.
    """
    planes = likeness.planes
    if is_faint(planes):
        return Direction("two-way", 1.0)
    if repeat.kind == "stripes":
        return Direction("two-way", repeat.confidence)
    if min(planes.shape[1:]) < max(_WINDOWS_PX):
        return Direction("not sure", 0.0)
    if repeat.steps:
        return _of_a_repeat(likeness, repeat)
    features = _features(planes)
    again, _ = likeness.peaks(_ALIKE)
    odds = float(np.mean([_odds(features, window_px, again) for window_px in _WINDOWS_PX]))
    return _judged(odds)


def _of_a_repeat(likeness: Likeness, repeat: Repeat) -> Direction:
    """Tell by how a print that repeats fits itself half turned, and how its places agree."""
    planes = likeness.planes
    features = _features(planes)
    steps = np.array(repeat.steps) * planes.shape[2]
    level = max(float(likeness.climbed(steps)[1].min()), _TINY)
    fit = likeness.half_turned() / level
    nowhere = np.zeros((0, 2))
    odds = min(_odds(features, window_px, nowhere) for window_px in _WINDOWS_PX)
    if fit >= SAME:
        # A motif nearly alike half turned, or a swatch that ends amid its repeats.
        if odds >= DOUBT:
            return _NOT_SURE
        return Direction("two-way", 1 - max(odds, 0.0) / (2 * DOUBT))
    area = abs(float(np.linalg.det(steps)))
    if area <= _CLOSE_WINDOW_PX**2 or _holds_few(planes, area):
        return _judged(odds) if odds >= ODD else _NOT_SURE
    # Places that come again with the repeat are one witness: only others are asked of each
    # other, and those of one repeat count as what they are, a part of the swatch.
    share = area / (planes.shape[1] * planes.shape[2])
    turns = np.indices((19, 19)).reshape(2, -1).T - 9
    again = turns @ steps
    again = again[(np.abs(again) <= likeness.sides).all(axis=1)]
    return _judged(_odds(features, _CLOSE_WINDOW_PX, again) * share)


def _holds_few(planes: Planes, area_px: float) -> bool:
    """Tell whether a repeat holds so few motifs that each one tells which way is up.

    Motifs are patches that stand out from the middle colour; small ones are trimmings. Patches
    that fill the repeat have run together, and no one can say how many they are.
    """
    middle = np.median(planes, axis=(1, 2), keepdims=True)
    away = np.square(planes - middle).sum(axis=0)
    patches, _ = ndimage.label(away > 0.6 * away.mean(), np.ones((3, 3)))
    sizes = np.bincount(patches.ravel())[1:]
    usual = np.quantile(sizes[sizes >= 0.1 * sizes.max()], 0.8)
    motifs = np.count_nonzero(sizes >= 0.25 * usual) * area_px / away.size
    return bool(motifs < FEW and sizes.max() < 0.4 * area_px)


def _judged(odds: float) -> Direction:
    """Put odds into words; half sure at the line, surer beyond it."""
    if odds >= ODD:
        return Direction("one-way", min(1.0, 0.5 + (odds - ODD) / 5))
    if odds <= EVEN:
        return Direction("two-way", min(1.0, 0.5 + (EVEN - odds) / 4))
    return _NOT_SURE


def _features(planes: Planes) -> Features:
    """Work out what of the colours is compared, at half the size.

    The inks are taken along the directions in which the colours differ most. A cloth of two
    tones is told by the square of its softened tones, since the plain square says nothing new.
    """
    flat = planes.reshape(3, -1)
    spread, axes = np.linalg.eigh(flat @ flat.T / flat.shape[1])
    inks = (axes.T @ flat)[::-1] / (np.sqrt(np.maximum(spread, 0))[::-1, np.newaxis] + _GRAIN)
    main, second = np.clip(inks[:2], -_LIMIT, _LIMIT).reshape(2, *planes.shape[1:])
    soft = ndimage.gaussian_filter(main, _SOFT_PX)
    soft = np.clip(soft / (soft.std() + _TINY), -_LIMIT, _LIMIT)
    each = np.stack((main, second, main**2, main * second, soft**2))
    each = each[:, : each.shape[1] // 2 * 2, : each.shape[2] // 2 * 2]
    each = each[:, 0::2] + each[:, 1::2]
    each = each[:, :, 0::2] + each[:, :, 1::2]
    return np.asarray(each - each.mean(axis=(1, 2), keepdims=True), dtype=np.float32)


def _odds(features: Features, window_px: int, again: Points) -> float:
    """Say how much more the places of a print agree on a way up than chance lets them.

    Parameters
    ----------
    features
        As `_features` gives them.
    window_px
        How large a place is, in pixels of the planes.
    again
        ndarray of shape (P, 2): moves after which the print is the same, in pixels of the
        planes. Two places that lie so are not asked about each other.

    Returns
    -------
    float
        About 0, rarely beyond 1 either way, where places do not agree.
    """
    spots, odd = _odd_parts(features, window_px // 2)
    agreed = odd @ odd.T
    moves = 2 * (spots[:, np.newaxis] - spots)
    asked = np.abs(moves).max(axis=2) >= 0.75 * window_px
    codes, places = np.unique(moves @ (1 << 16, 1), return_inverse=True)
    each = np.column_stack(np.divmod(codes + (1 << 15), 1 << 16)) - (0, 1 << 15)
    near = np.abs(each[:, np.newaxis] - np.concatenate((again, -again))).max(axis=2)
    asked &= (near > 0.35 * window_px).all(axis=1)[places]
    agreed = agreed[asked]
    if not len(agreed):
        return 0.0
    usual = float(np.sqrt(np.square(agreed).mean())) + _TINY
    return float(agreed.mean() / usual) * math.sqrt(len(agreed) / 8)


def _odd_parts(
    features: Features, window: int
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.float32]]:
    """Take the odd part of the correlations in places all over a print.

    Returns
    -------
    spots
        ndarray of shape (P, 2): the upper left corner of each place, x and y, half overlapping.
    odd
        ndarray of shape (P, Q): the imaginary parts of its cross-spectra, every frequency made
        as loud as the others.
    """
    across, down = (
        np.linspace(0, side - window, round(2 * side / window) - 1).astype(int)
        for side in (features.shape[2], features.shape[1])
    )
    spots = np.array([(x, y) for y in down for x in across])
    taper = np.hanning(window + 2)[1:-1].astype(np.float32)
    places = np.lib.stride_tricks.sliding_window_view(features, (window, window), (1, 2))
    tapered = places[:, spots[:, 1], spots[:, 0]] * np.outer(taper, taper)
    far = np.hypot(fft.fftfreq(window)[:, np.newaxis], fft.rfftfreq(window)) * window
    heard = (far >= 1) & (far < window / 2)
    spectra = fft.rfft2(tapered, workers=1)[..., heard]
    loud = (spectra.real**2 + spectra.imag**2).mean(axis=1)
    odd = []
    for one, other in _PAIRS:
        level = np.sqrt(loud[one] * loud[other])
        cross = (spectra[one].conj() * spectra[other]).imag
        odd.append(cross / (level + _FLOOR * level.mean() + _TINY))
    return spots, np.concatenate(odd, axis=1)
