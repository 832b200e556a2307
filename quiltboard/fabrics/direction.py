"""Whether a print has a right way up: does it look the same turned half round?"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt
from scipy import fft, ndimage

from quiltboard.fabrics.likeness import (
    Likeness,
    Planes,
    likeness_half_turned,
    print_planes,
)
from quiltboard.fabrics.reading import Direction, Repeat
from quiltboard.fabrics.repeat import is_faint
from quiltboard.photos.light import Pixels

Features = npt.NDArray[np.float32]
"""ndarray of shape (5, M, N): functions of a print's colours, point by point."""

SAME: Final = 0.985
"""A print is the same half turned when it is so much as like itself as after its repeat."""
ODD: Final = 1.3
EVEN: Final = 0.1
"""One-way from the first of these odds up, two-way up to the second, between them not sure."""
ODD_THOUGH_SAME: Final = 4.0

_WINDOWS_PX: Final = (64, 96)
_LIMIT: Final = 3.0
_GRAIN: Final = 0.3
_FLOOR: Final = 0.03
_PAIRS: Final = ((2, 0), (0, 1), (2, 1), (3, 0), (4, 0))


def find_direction(pixels: Pixels, repeat: Repeat) -> Direction:
    """Tell whether a print has a right way up.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first: the swatch.
    repeat
        How it repeats.
    """
    return direction_of(print_planes(pixels), repeat)


def direction_of(planes: Planes, repeat: Repeat) -> Direction:
    if is_faint(planes):
        return Direction("two-way", 1.0)
    if min(planes.shape[1:]) < 2 * min(_WINDOWS_PX) // 2:
        return Direction("not sure", 0.0)
    if repeat.kind == "stripes":
        return Direction("two-way", repeat.confidence)
    features = _features(planes)
    odds = min(_odds(features, window_px // 2) for window_px in _WINDOWS_PX)
    same = 0.0
    if repeat.steps:
        same = likeness_half_turned(planes)/ max(0.1, Likeness(planes).climbed(np.array(repeat.steps) * planes.shape[2])[1].max())
    if same >= SAME and odds < ODD_THOUGH_SAME:
        return Direction("two-way", 1 - max(odds, 0) / ODD_THOUGH_SAME / 2)
    if odds >= ODD:
        return Direction("one-way", min(1.0, 0.5 + (odds - ODD) / 5))
    if odds <= EVEN:
        return Direction("two-way", min(1.0, 0.5 + (EVEN - odds) / 4))
    return Direction("not sure", 0.5)


def _features(planes):
    flat = planes.reshape(3, -1)
    spread, axes = np.linalg.eigh(flat @ flat.T / flat.shape[1])
    inks = (axes.T @ flat).reshape(planes.shape)[::-1]
    inks = inks / (np.sqrt(np.maximum(spread[::-1], 0))[:, None, None] + _GRAIN)
    main, second = np.clip(inks[:2], -_LIMIT, _LIMIT)
    soft = ndimage.gaussian_filter(main, 3)
    soft /= soft.std() + 1e-6
    f = np.stack([main, second, main**2, main * second, np.clip(soft, -_LIMIT, _LIMIT) ** 2])
    f = f[:, : f.shape[1] // 2 * 2, : f.shape[2] // 2 * 2]
    f = f[:, 0::2] + f[:, 1::2]
    f = f[:, :, 0::2] + f[:, :, 1::2]
    return f - f.mean(axis=(1, 2), keepdims=True)


def _odds(features, window):
    _, h, w = features.shape
    window = min(window, h, w)
    ys, xs = (np.linspace(0, n - window, max(2, round(n / window * 2) - 1)).astype(int) for n in (h, w))
    spots = np.array([(y, x) for y in ys for x in xs])
    taper = np.hanning(window + 2)[1:-1].astype(np.float32)
    views = np.lib.stride_tricks.sliding_window_view(features, (window, window), (1, 2))
    parts = views[:, spots[:, 0], spots[:, 1]] * np.outer(taper, taper)
    spectra = fft.rfft2(parts, workers=1)[..., : window // 2]
    ky = fft.fftfreq(window)[:, None] * window; kx = np.arange(window // 2)
    r = np.hypot(ky, kx)
    keep = (r >= 1) & (r < window / 2)
    spectra = spectra[..., keep]
    strength = (spectra.real**2 + spectra.imag**2).mean(axis=1)
    odd = []
    for one, other in _PAIRS:
        level = np.sqrt(strength[one] * strength[other])
        odd.append((spectra[one].conj() * spectra[other]).imag / (level + _FLOOR * level.mean() + 1e-9))
    odd = np.concatenate(odd, 1)
    agree = odd @ odd.T
    apart = np.abs(spots[:, None] - spots).max(axis=-1) >= 0.75 * window
    agree = agree[apart]
    if not len(agree): return 0.0
    return float(agree.mean() / np.sqrt((agree**2).mean() + 1e-12) * np.sqrt(len(agree) / 8))
