"""Linear light: what a picture's numbers stand for, and means taken of it.

Cloth seen from across the room mixes in the eye as light mixes. Every mean of pixels, small
pictures included, is therefore taken here, of light and never of encoded numbers.

References
----------
IEC 61966-2-1:1999, the transfer function of sRGB.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any, Final

import numpy as np
import numpy.typing as npt
from PIL import Image

Pixels = npt.NDArray[np.uint8]
"""ndarray of shape (M, N, 3), sRGB uint8, rows first."""

Light = npt.NDArray[np.floating[Any]]
"""Linear light, 0 to 1, in the primaries of sRGB; the last axis is red, green, blue."""

Mask = npt.NDArray[np.bool_]
"""ndarray of shape (M, N): True where there is cloth."""


def to_linear(encoded: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Turn encoded sRGB, 0 to 1, into linear light, 0 to 1."""
    signal = np.asarray(encoded, dtype=np.float64)
    return np.where(signal <= 0.04045, signal / 12.92, ((signal + 0.055) / 1.055) ** 2.4)


def to_encoded(light: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Turn linear light, 0 to 1, into encoded sRGB, 0 to 1."""
    linear = np.clip(np.asarray(light, dtype=np.float64), 0, 1)
    return np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)


LIGHT_OF: Final = to_linear(np.arange(256) / 255)
"""The light of each of the 256 encoded numbers."""

_LIGHT_OF_32: Final = LIGHT_OF.astype(np.float32)
_FINE: Final = 65535
_NUMBER_OF: Final = np.rint(to_encoded(np.arange(_FINE + 1) / _FINE) * 255).astype(np.uint8)


def encode_light(light: Light) -> Pixels:
    """Encode linear light as sRGB pixels to the nearest number."""
    fine = np.clip(light, 0, 1) * _FINE + 0.5
    return _NUMBER_OF[fine.astype(np.uint16)]


def mean_light(pixels: Pixels, mask: Mask | None = None) -> npt.NDArray[np.float64]:
    """Mix a cloth's colours as the eye does from across the room.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    mask
        ndarray of shape (M, N), True where there is cloth; None is everywhere.

    Returns
    -------
    ndarray of shape (3,)
        The mean linear light, 0 to 1, exact: every pixel counts once.

    Raises
    ------
    ValueError
        If there is no cloth at all.
    """
    part = None if mask is None else Image.fromarray(mask.astype(np.uint8) * 255)
    return light_of_image(Image.fromarray(pixels), part)


def light_of_image(
    image: Image.Image, part: Image.Image | None = None
) -> npt.NDArray[np.float64]:
    """Mix the colours of a decoded RGB image as the eye does; see `mean_light`.

    Raises
    ------
    ValueError
        If ``part``, where it is given, is black all over.
    """
    counts = np.array(image.histogram(part), dtype=np.float64).reshape(3, 256)
    total = counts[0].sum()
    if not total:
        raise ValueError("there is no cloth to measure")
    mean: npt.NDArray[np.float64] = counts @ LIGHT_OF / total
    return mean


def light_of(pixels: Pixels) -> npt.NDArray[np.float32]:
    """Give the linear light of every pixel."""
    return _LIGHT_OF_32[pixels]


def averaged_light(pixels: Pixels, width_px: int, height_px: int) -> npt.NDArray[np.float32]:
    """Make a picture smaller without making it lighter or darker.

    Each new pixel is the mean light of exactly the area it covers, parts of pixels counted as
    parts, so that the mean of the whole stays what it was.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    width_px, height_px
        The new size, no larger than the old.

    Returns
    -------
    ndarray of shape (height_px, width_px, 3), float32
        Linear light.
    """
    height, width, _ = pixels.shape
    rows = _average_rows(pixels.reshape(height, width * 3), height_px)
    columns = np.ascontiguousarray(rows.reshape(height_px, width, 3).transpose(1, 0, 2))
    narrow = _average_rows(columns.reshape(width, height_px * 3), width_px)
    return np.ascontiguousarray(narrow.reshape(width_px, height_px, 3).transpose(1, 0, 2))


def _average_rows(
    rows: npt.NDArray[np.uint8] | npt.NDArray[np.float32], count: int
) -> npt.NDArray[np.float32]:
    # Row by row, so that a large photo is never held as floats all at once.
    edges = np.linspace(0, len(rows), count + 1)
    out = np.empty((count, rows.shape[1]), dtype=np.float32)
    for at, (begin, end) in enumerate(pairwise(edges.tolist())):
        first, last = math.floor(begin), math.ceil(end)
        shares = np.ones(last - first, dtype=np.float32)
        shares[0] -= begin - first
        shares[-1] -= last - end
        band = rows[first:last]
        light = _LIGHT_OF_32[band] if band.dtype == np.uint8 else band
        out[at] = shares @ light / shares.sum()
    return out


def fitted_size(width_px: float, height_px: float, longest_px: int) -> tuple[int, int]:
    """Fit a picture into a square of ``longest_px``; a smaller one keeps its size."""
    scale = min(1.0, longest_px / max(width_px, height_px))
    return max(1, round(width_px * scale)), max(1, round(height_px * scale))


def smaller(pixels: Pixels, longest_px: int) -> Pixels:
    """Make a picture fit ``longest_px`` on its longer side, mixing as light mixes.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    longest_px
        The most for the longer side. A smaller picture is given back as it is.
    """
    height, width, _ = pixels.shape
    size = fitted_size(width, height, longest_px)
    return pixels if size == (width, height) else encode_light(averaged_light(pixels, *size))


def halved(pixels: Pixels) -> Pixels:
    """Make a picture half as wide and high, mixing as light mixes.

    An odd last row or column is left out.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    """
    height, width, _ = pixels.shape
    light = light_of(pixels[: height // 2 * 2, : width // 2 * 2])
    rows = light[0::2] + light[1::2]
    return encode_light((rows[:, 0::2] + rows[:, 1::2]) / 4)


def filled(pixels: Pixels, mask: Mask | None) -> Pixels:
    """Fill what is no cloth with the cloth's mean colour, which leaves the mean as it was."""
    if mask is None:
        return pixels
    return np.where(mask[..., np.newaxis], pixels, encode_light(mean_light(pixels, mask)))
