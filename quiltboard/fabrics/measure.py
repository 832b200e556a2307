"""What a cloth measures: its value, its colour, how light and dark its parts are."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Final

import numpy as np
import numpy.typing as npt
from skimage import color

from quiltboard.fabrics.fabric import is_colour
from quiltboard.fabrics.reading import Lab, Reading
from quiltboard.photos.light import LIGHT_OF, Light, encode_light, to_linear
from quiltboard.photos.lightness import XYZ_OF_LIGHT, lab_of_light, value_of_luminance

BURNT_OUT: Final = (
    "Parts of the photo are pure white: if the cloth is not, take it again in softer light."
)
TOO_DARK: Final = "The photo is nearly black: if the cloth is not, take it again in more light."
SMALL: Final = "The picture is small: enough for the value, too little to show the print well."
MEASURING_WARNINGS: Final = (BURNT_OUT, TOO_DARK, SMALL)

SMALL_PX: Final = 200
"""A photo whose cloth is less than this across or down is small."""
BURNT_OUT_SHARE: Final = 0.02
_BURNT_OUT_LIGHT: Final = float(LIGHT_OF[253:255].mean())
_DARKEST_VALUE: Final = 8.0
_ALL_TOLD_PX: Final = 100_000


def measure_cloth(taken: Light, right: Light | None = None) -> Reading:
    """Measure how light and what colour a cloth reads from across the room.

    The value is the L* of the mean linear light.

    Parameters
    ----------
    taken
        ndarray of shape (M, N, 3), linear light: the straightened cloth as the photo shows it.
    right
        The same with its light set right; None where there is nothing to set right.

    Returns
    -------
    Reading
        With a warning where the photo is burnt out or nearly black.

    References
    ----------
    CIE e-ILV 17-23-076, L*; IEC 61966-2-1:1999, sRGB.
    """
    light = taken if right is None else right
    lab = _plain_lab(lab_of_light(_mean(light)))
    # Of a large swatch every fourth pixel tells where the quarters lie.
    every = 1 if light.shape[0] * light.shape[1] < _ALL_TOLD_PX else 2
    luminance = (light[::every, ::every] @ XYZ_OF_LIGHT[1].astype(light.dtype)).ravel()
    at = [math.ceil(share * luminance.size) - 1 for share in (0.25, 0.75)]
    low, high = value_of_luminance(np.minimum(np.partition(luminance, at)[at], 1.0)).tolist()
    warnings = []
    red, green, blue = np.moveaxis(taken >= _BURNT_OUT_LIGHT, -1, 0)
    if (red & green & blue).mean() > BURNT_OUT_SHARE:
        warnings.append(BURNT_OUT)
    if _plain_lab(lab_of_light(_mean(taken)))[0] < _DARKEST_VALUE:
        warnings.append(TOO_DARK)
    return Reading(lab, low, high, tuple(warnings))


def mean_colour_hex(light: Light) -> str:
    """Give the colour a cloth mixes to from across the room, as sRGB ``#rrggbb``.

    Parameters
    ----------
    light
        ndarray of shape (M, N, 3), linear light.
    """
    red, green, blue = encode_light(_mean(light)).tolist()
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
    first, second = np.broadcast_arrays(
        np.asarray(one, dtype=np.float64), np.asarray(other, dtype=np.float64)
    )
    return compare(first, second)


def _plain_lab(lab: npt.NDArray[Any]) -> Lab:
    value, a, b = lab.tolist()
    return value, a, b


def _mean(light: Light) -> npt.NDArray[np.float64]:
    mean: npt.NDArray[np.float64] = light.mean(axis=0, dtype=np.float64).mean(axis=0)
    return mean
