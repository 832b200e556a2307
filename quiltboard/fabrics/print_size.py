"""How large a print is, how bold, and whether it reads as a plain cloth.

All is measured on a picture of at most 256 px on its longer side, in which the weave has gone:
a larger one is made smaller first, mixing light as light mixes, and gives the same figures.

References
----------
Lindeberg 1998, "Feature detection with automatic scale selection", doi 10.1023/A:1008045108935.
Sharma, Wu and Dalal 2005, doi 10.1002/col.20070, CIEDE2000.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from quiltboard.fabrics.colours import SEEN_PX
from quiltboard.fabrics.fabric import PrintSize
from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.photos.light import Pixels, averaged_light, fitted_size
from quiltboard.photos.lightness import XYZ_OF_LIGHT, lab_of_light, value_of_luminance
from quiltboard.shapes.wedge import Wedge, draft_wedge
from quiltboard.units import Length, inches, to_mm

UNSCALED_WIDTH: Final = inches(9)
"""How wide a swatch is taken to be while its scale is not known."""
GLANCE_MM: Final = 2.5
"""Sigma of the blur that stands for a glance from across the room. At 8 ft it is 3.5 minutes of
arc, which halves what repeats three times in a degree (common practice, no source). A squint
blurs four times as much, and takes bold checks and dots for plain that no one would."""
SOLID_WITHIN: Final = 4.0
"""CIEDE2000 from its mean colour within which a cloth reads as plain, once it is blurred."""
SOLID_SHARE: Final = 0.95
"""So much of the cloth must lie within that: a stain or a selvage does not make a print."""
SMALL_BELOW: Final = 1 / 4
LARGE_FROM: Final = 3 / 4
"""Features against the wedge's finished width halfway along it: under a quarter, many show on
one piece; from three quarters on, hardly a whole one (common practice, no source)."""


_EVERY_PX: Final = 4
_SCALED_PX: Final = 128
_WEAVE_PX: Final = 0.8
_MOTIF_FROM: Final = 0.4
_MOTIF_BEYOND: Final = 4
_SMALLEST: Final = 0.011
_RATIO: Final = 2**0.25
_SCALES: Final = _SMALLEST * _RATIO ** np.arange(25)
"""Diameters that are looked for, as fractions of the width, from a little under 1 % to 70 %."""

Seen = npt.NDArray[np.float32]


def contrast_of(pixels: Pixels) -> float:
    """Measure how far light and dark part inside the print, the weave left out.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8: the swatch.

    Returns
    -------
    float
        The standard deviation of L*.
    """
    return float(_blurred(_values(_seen(pixels)), _WEAVE_PX).std())


def reads_as_solid(pixels: Pixels, width: Length | None = None) -> bool:
    """Tell whether a cloth reads as plain from across the room.

    It is blurred in linear light as a glance from 8 ft blurs it. It reads as plain if nineteen
    twentieths of it then lie within CIEDE2000 4 of its mean colour.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8: the swatch.
    width
        How wide a stretch of cloth it shows; None takes 9 in.
    """
    return _is_solid(_seen(pixels), width)


def feature_of(pixels: Pixels, width: Length | None = None) -> float | None:
    """Measure how large the features are that a print shows most of.

    Along the line in CIELAB on which the print's colours part most, every place is asked at
    which scale it stands out from its surroundings, and how much. The scale with the most
    weight is that of the print; but a motif goes before the detail inside it, so a scale at
    least twice as coarse is taken where it weighs two fifths as much. A disc comes out at its
    diameter, a square of a check at its side, both within a quarter; a stripe at 1.2 to 1.5
    times its width (two thirds of the repeat of even stripes).

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8: the swatch.
    width
        How wide a stretch of cloth it shows; None takes 9 in.

    Returns
    -------
    float or None
        The diameter as a fraction of the swatch's width, from about 0.015 to 0.6; None for a
        cloth that reads as solid, and for a picture of a few pixels.

    References
    ----------
    Lindeberg 1998: the normalised Laplacian of a Gaussian answers a disc most strongly where
    its sigma is the radius over the square root of 2.
    """
    light = _seen(pixels)
    if _is_solid(light, width):
        return None
    from scipy.fft import dctn, idctn  # noqa: PLC0415 - takes long to import

    shade = _parting(light)
    height_px, width_px = shade.shape
    # The cosine transform mirrors the print at its edges; of it, the coarse part is kept.
    small = tuple(min(side, _SCALED_PX) for side in shade.shape)
    waves = dctn(shade, norm="ortho")[: small[0], : small[1]]
    down = (np.pi * np.arange(small[0]) / height_px)[:, None]
    across = np.pi * np.arange(small[1]) / width_px
    squared = (down**2 + across**2).astype(np.float32)
    strongest = np.zeros(small, dtype=np.float32)
    scale_of = np.zeros(small, dtype=np.intp)
    for number, scale in enumerate(_SCALES):
        wide = squared * np.float32(scale * width_px / (2 * math.sqrt(2))) ** 2
        answer = np.abs(idctn(waves * wide * np.exp(-wide / 2), norm="ortho"))
        stronger = answer > strongest
        strongest[stronger] = answer[stronger]
        scale_of[stronger] = number
    weight = np.bincount(scale_of.ravel(), (strongest**2).ravel(), len(_SCALES))
    return _peak(weight.astype(np.float64)) if weight[1:-1].any() else None


def print_size(feature: float, width: Length, wedge: Wedge) -> PrintSize:
    """Call a print small, medium or large against the wedge it will be cut into.

    Parameters
    ----------
    feature
        The diameter of its features, as a fraction of the swatch's width.
    width
        How wide a stretch of cloth the swatch shows.
    wedge
        What is cut from it. Features under a quarter of its finished width halfway along are
        small, from three quarters on large.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    """
    drafted = draft_wedge(wedge)
    halfway = (drafted.opening + drafted.tip) * math.tan(drafted.half_angle)
    part = to_mm(print_scale(feature, width)) / halfway
    return "small" if part < SMALL_BELOW else "medium" if part < LARGE_FROM else "large"


def print_scale(feature: float, width: Length) -> Length:
    """Give how large a print's features truly are.

    Parameters
    ----------
    feature
        Their diameter, as a fraction of the swatch's width.
    width
        How wide a stretch of cloth the swatch shows.

    Examples
    --------
    >>> from quiltboard.units import format_length, inches
    >>> format_length(print_scale(0.125, inches(10)), "in")
    '1 1⁄4 in'
    """
    return Length(round(feature * width))


def _peak(weight: npt.NDArray[np.float64]) -> float:
    """Find the scale with the most weight, or that of a motif of which it is the detail.

    The scale is told between those that were tried; the outermost of them gather what lies
    beyond, and are left out.
    """
    smooth = np.convolve(weight[1:-1], (0.25, 0.5, 0.25))
    here = smooth[1:-1]
    top = int(here.argmax())
    peaks = (here > smooth[:-2]) & (here > smooth[2:]) & (here >= _MOTIF_FROM * here[top])
    coarser = np.flatnonzero(peaks[top + _MOTIF_BEYOND :])
    if len(coarser):
        top += _MOTIF_BEYOND + int(coarser[-1])
    before, here, after = smooth[top : top + 3]
    aside = (after - before) / (before + here + after)
    return float(_SMALLEST * _RATIO ** (1 + top + aside))


def _seen(pixels: Pixels) -> Seen:
    height, width, _ = pixels.shape
    return averaged_light(pixels, *fitted_size(width, height, SEEN_PX))


def _values(light: Seen) -> Seen:
    return value_of_luminance(light @ XYZ_OF_LIGHT[1]).astype(np.float32)


def _parting(light: Seen) -> Seen:
    """Give each place's way from the mean colour along the line where colours part most."""
    lab = lab_of_light(light).astype(np.float32)
    away = lab - lab.mean(axis=(0, 1))
    few = away[::_EVERY_PX, ::_EVERY_PX].reshape(-1, 3)
    along = np.linalg.eigh(few.T @ few).eigenvectors[:, -1]
    line: Seen = away[..., 0] * along[0] + away[..., 1] * along[1] + away[..., 2] * along[2]
    return line


def _is_solid(light: Seen, width: Length | None) -> bool:
    shown_mm = to_mm(UNSCALED_WIDTH if width is None else width)
    blurred = _blurred(light, GLANCE_MM / shown_mm * light.shape[1])[::_EVERY_PX, ::_EVERY_PX]
    mean = lab_of_light(light.mean(axis=(0, 1), keepdims=True))
    away = delta_e_2000(lab_of_light(blurred), mean)
    return float(np.quantile(away, SOLID_SHARE)) <= SOLID_WITHIN


def _blurred(plane: Seen, sigma_px: float) -> Seen:
    from scipy import ndimage  # noqa: PLC0415 - takes long to import

    filters: Any = ndimage
    sigmas = (sigma_px, sigma_px, 0.0)[: plane.ndim]
    blurred: Seen = filters.gaussian_filter(plane, sigmas, mode="reflect")
    return blurred
