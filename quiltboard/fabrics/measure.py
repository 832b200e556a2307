"""What a cloth measures: its value, its colour, how light and dark its parts are."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import numpy as np
import numpy.typing as npt
from skimage import color

from quiltboard.fabrics.fabric import Reading, is_colour
from quiltboard.fabrics.reading import Lab
from quiltboard.photos.light import (
    LIGHT_OF,
    Mask,
    Pixels,
    encode_light,
    mean_light,
    to_linear,
)
from quiltboard.photos.lightness import XYZ_OF_LIGHT, lab_of_light, value_of_luminance

BURNT_OUT: Final = (
    "Parts of the photo are pure white: if the cloth is not, take it again in softer light."
)
TOO_DARK: Final = "The photo is nearly black: if the cloth is not, take it again in more light."
SMALL: Final = "The picture is small: enough for the value, too little to show the print well."
MEASURING_WARNINGS: Final = (BURNT_OUT, TOO_DARK, SMALL)

SMALL_PX: Final = 200
BURNT_OUT_SHARE: Final = 0.02
_BURNT_OUT_FROM: Final = 254
_DARKEST_VALUE: Final = 8.0

_FINE: Final = 65535
_LUMINANCE_OF: Final = np.rint(np.outer(XYZ_OF_LIGHT[1], LIGHT_OF) * _FINE).astype(np.uint16)
_BAND_PX: Final = 1_000_000


def measure_cloth(pixels: Pixels, mask: Mask | None = None) -> Reading:
    """Measure how light and what colour a cloth reads from across the room.

    The value is the L* of the mean linear light, every pixel counted once. The low and high
    values are read from a tally of 65536 steps of luminance and are right to 0.03 L* (nearest
    black; finer above).

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first: the cloth at full resolution.
    mask
        ndarray of shape (M, N), True where there is cloth; None is everywhere.

    Returns
    -------
    Reading
        With a warning where the photo is burnt out, nearly black or small.

    Raises
    ------
    ValueError
        If there is no cloth at all.

    References
    ----------
    CIE e-ILV 17-23-076, L*; IEC 61966-2-1:1999, sRGB.
    """
    lab = _plain_lab(lab_of_light(mean_light(pixels, mask)))
    low, high = _quarters(pixels, mask)
    warnings = []
    if _burnt_out_share(pixels, mask) > BURNT_OUT_SHARE:
        warnings.append(BURNT_OUT)
    if lab[0] < _DARKEST_VALUE:
        warnings.append(TOO_DARK)
    if min(pixels.shape[:2]) < SMALL_PX:
        warnings.append(SMALL)
    return Reading(lab, low, high, tuple(warnings))


def mean_colour_hex(pixels: Pixels, mask: Mask | None = None) -> str:
    """Give the colour a cloth mixes to from across the room, as sRGB ``#rrggbb``.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    mask
        ndarray of shape (M, N), True where there is cloth; None is everywhere.

    Raises
    ------
    ValueError
        If there is no cloth at all.
    """
    red, green, blue = encode_light(mean_light(pixels, mask)).tolist()
    return f"#{red:02x}{green:02x}{blue:02x}"


def reading_of_colour(colour: str) -> Reading:
    """Give what a plain colour measures.

    Parameters
    ----------
    colour
        sRGB ``#rrggbb``.

    Raises
    ------
    ValueError
        If the text is no such colour.

    Examples
    --------
    >>> round(reading_of_colour("#777777").value, 2)
    50.03
    """
    if not is_colour(colour):
        raise ValueError(f"“{colour}” is no colour: write it as #rrggbb, such as #8a3324")
    encoded = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    lab = _plain_lab(lab_of_light(to_linear(encoded)))
    return Reading(lab, lab[0], lab[0])


def delta_e_2000(one: npt.ArrayLike, other: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Tell how far apart two colours look (CIEDE2000).

    Parameters
    ----------
    one, other
        ndarray of shape (..., 3), CIE L*a*b*; shapes that broadcast.

    Returns
    -------
    ndarray of shape (...)

    References
    ----------
    Sharma, Wu and Dalal 2005, doi 10.1002/col.20070.
    """
    compare: Callable[..., npt.NDArray[np.float64]] = color.deltaE_ciede2000
    return compare(np.asarray(one, dtype=np.float64), np.asarray(other, dtype=np.float64))


def _plain_lab(lab: npt.NDArray[Any]) -> Lab:
    value, a, b = lab.tolist()
    return value, a, b


def _bands(pixels: Pixels, mask: Mask | None) -> list[Pixels]:
    # A large photo is tallied in bands of rows, so that its tables stay small.
    rows = max(1, _BAND_PX // pixels.shape[1])
    bands = []
    for top in range(0, len(pixels), rows):
        band = pixels[top : top + rows].reshape(-1, 3)
        bands.append(band if mask is None else band[mask[top : top + rows].ravel()])
    return bands


def _quarters(pixels: Pixels, mask: Mask | None) -> tuple[float, float]:
    tally = np.zeros(_FINE + 2, dtype=np.int64)
    for band in _bands(pixels, mask):
        luminance = sum(
            (_LUMINANCE_OF[channel].take(band[:, channel]) for channel in range(3)),
            start=np.zeros(len(band), dtype=np.int32),
        )
        tally += np.bincount(luminance, minlength=len(tally))
    reached = np.cumsum(tally)
    at = np.searchsorted(reached, (0.25 * reached[-1], 0.75 * reached[-1]))
    low, high = value_of_luminance(np.minimum(at / _FINE, 1.0)).tolist()
    return low, high


def _burnt_out_share(pixels: Pixels, mask: Mask | None) -> float:
    burnt, total = 0, 0
    for band in _bands(pixels, mask):
        burnt += int(np.count_nonzero((band >= _BURNT_OUT_FROM).all(axis=1)))
        total += len(band)
    return burnt / total
