"""From linear light to CIE L*a*b*: how light and how coloured it looks.

References
----------
IEC 61966-2-1:1999, the primaries of sRGB. CIE 15:2018, L*a*b*; e-ILV 17-23-076, L*.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import numpy.typing as npt

XYZ_OF_LIGHT: Final = np.array(
    [
        [0.4124, 0.3576, 0.1805],
        [0.2126, 0.7152, 0.0722],
        [0.0193, 0.1192, 0.9505],
    ]
)
WHITE: Final = XYZ_OF_LIGHT.sum(axis=1)
"""D65, 2°, as the primaries add up to it, so that white is exactly L* 100, a* 0, b* 0."""

_DELTA: Final = 6 / 29


def lab_of_light(light: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Give the CIE L*a*b* (D65, 2°) of linear light.

    Parameters
    ----------
    light
        ndarray of shape (..., 3), linear light 0 to 1 in the primaries of sRGB.

    Returns
    -------
    ndarray of shape (..., 3)
    """
    xyz = np.asarray(light, dtype=np.float64) @ XYZ_OF_LIGHT.T / WHITE
    x, y, z = np.moveaxis(_f(xyz), -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def value_of_luminance(luminance: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Give the CIE L* of a luminance, 0 to 1."""
    value: npt.NDArray[np.float64] = 116 * _f(np.asarray(luminance, dtype=np.float64)) - 16
    return value


def _f(ratio: npt.NDArray[Any]) -> npt.NDArray[np.float64]:
    straight = ratio / (3 * _DELTA**2) + 4 / 29
    return np.where(ratio > _DELTA**3, np.cbrt(ratio), straight)
