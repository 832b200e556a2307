"""Writing pictures for keeping: pixels only, no camera notes, no profile, no time."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from quiltboard.photos.decode import read_photo

if TYPE_CHECKING:
    from quiltboard.photos.light import Pixels


def encode_png(pixels: Pixels) -> bytes:
    """Write a picture without loss.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    """
    out = BytesIO()
    _bare(pixels).save(out, "PNG", compress_level=3)
    return out.getvalue()


def encode_jpeg(pixels: Pixels, quality: int = 88) -> bytes:
    """Write a picture small.

    Colour is kept at full resolution: halving it would mix encoded numbers and shift the value
    of a fine print.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    quality
        JPEG quality, 1 to 95.
    """
    out = BytesIO()
    _bare(pixels).save(out, "JPEG", quality=quality, subsampling=0, optimize=True)
    return out.getvalue()


def decode_kept(data: bytes, name: str = "The kept photo") -> Pixels:
    """Read back a picture that was written here, within the same bounds as any photo.

    Raises
    ------
    PhotoError
        If it is damaged.
    """
    return read_photo(data, name).pixels


def _bare(pixels: Pixels) -> Image.Image:
    return Image.fromarray(np.ascontiguousarray(pixels))
