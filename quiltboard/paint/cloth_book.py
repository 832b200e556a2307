"""The cloth book: every swatch ready to paint with, decoded once and kept.

From far off a print must not sparkle, so each swatch is also kept smaller by halves, mixed in
linear light. Screen, PNG and PDF take their cloth from here.
"""

from __future__ import annotations

import math
import time
from collections.abc import Mapping
from typing import Final

import numpy as np
from PySide6.QtGui import QBrush, QImage, QPixmap, QTransform

from quiltboard.drawing.display import ClothFill, ClothKey
from quiltboard.drawing.seeing import grey_of, read_pixels, smaller
from quiltboard.fabrics.fabric import Swatch
from quiltboard.photos.light import Pixels

REST_S: Final = 0.012
SMALLEST_PX: Final = 16
"""A swatch is halved no further than this."""


class ClothBook:
    """Swatches as textures, by key, way of seeing and size.

    A swatch that changes is read anew; nothing else ever is.
    """

    def __init__(self) -> None:
        self._swatches: dict[ClothKey, Swatch] = {}
        self._pixels: dict[tuple[ClothKey, bool], Pixels] = {}
        self._smaller: dict[tuple[ClothKey, bool, int], Pixels] = {}
        self._textures: dict[tuple[ClothKey, bool, bool, int], tuple[QPixmap, float]] = {}
        self._read_at = -math.inf

    def open(self, cloths: Mapping[ClothKey, Swatch]) -> None:
        """Take the swatches that will be asked for; changed ones replace what was kept."""
        for cloth, swatch in cloths.items():
            known = self._swatches.get(cloth)
            if known is swatch:
                continue
            if known is not None and known.png != swatch.png:
                self.forget(cloth)
            self._swatches[cloth] = swatch

    def forget(self, cloth: ClothKey) -> None:
        """Drop what is kept of one swatch."""
        self._swatches.pop(cloth, None)
        for grey in (False, True):
            self._pixels.pop((cloth, grey), None)
        for texture in [key for key in self._textures if key[0] == cloth]:
            del self._textures[texture]
        for halved in [key for key in self._smaller if key[0] == cloth]:
            del self._smaller[halved]

    @property
    def rested(self) -> bool:
        """Whether no texture was made a moment ago.

        Who can wait (lists, loupes) waits for this, so that in a lively window the making of
        textures never adds up to a pause.
        """
        return time.perf_counter() - self._read_at > REST_S

    def pixels(self, cloth: ClothKey, *, grey: bool) -> Pixels:
        """Give a swatch's pixels, in colour or grey.

        Raises
        ------
        KeyError
            If the book was not opened at this swatch.
        """
        key = (cloth, grey)
        if key not in self._pixels:
            if grey:
                self._pixels[key] = grey_of(self.pixels(cloth, grey=False))
            else:
                self._pixels[key] = read_pixels(self._swatches[cloth].png)
        return self._pixels[key]

    def brush(self, fill: ClothFill, px_per_mm: float) -> QBrush:
        """Give a brush in mm of the drawing that lays a fill.

        Parameters
        ----------
        fill
            The cloth and where it lies.
        px_per_mm
            How finely it will be seen; a smaller copy of the swatch serves from far off.

        Raises
        ------
        KeyError
            If the book was not opened at the fill's cloth.
        """
        texture, scale = self._texture(fill, px_per_mm)
        brush = QBrush(texture)
        placed = QTransform()
        placed.translate(*fill.origin)
        placed.rotate(fill.angle_deg)
        placed.scale(fill.mm_per_px * scale, fill.mm_per_px * scale)
        brush.setTransform(placed)
        return brush

    def _halved(self, cloth: ClothKey, halvings: int, *, grey: bool) -> Pixels:
        """Give a swatch halved so many times, each from the one before: the next is cheap."""
        if not halvings:
            return self.pixels(cloth, grey=grey)
        key = (cloth, grey, halvings)
        if key not in self._smaller:
            self._smaller[key] = smaller(self._halved(cloth, halvings - 1, grey=grey), 2)
        return self._smaller[key]

    def _texture(self, fill: ClothFill, px_per_mm: float) -> tuple[QPixmap, float]:
        swatch = self._swatches[fill.cloth]
        halvings = 0
        seen = fill.mm_per_px * px_per_mm
        least = min(swatch.width_px, swatch.height_px)
        while seen * 2 <= 1 and least >= 2 * SMALLEST_PX:
            seen, least, halvings = seen * 2, least // 2, halvings + 1
        key = (fill.cloth, fill.grey, fill.mirrored, halvings)
        if key not in self._textures:
            pixels = self._halved(fill.cloth, halvings, grey=fill.grey)
            scale = swatch.width_px / pixels.shape[1]
            if fill.mirrored:
                pixels = np.concatenate([pixels, pixels[:, ::-1]], axis=1)
                pixels = np.concatenate([pixels, pixels[::-1]], axis=0)
            self._textures[key] = (QPixmap.fromImage(image_of(pixels)), scale)
            self._read_at = time.perf_counter()
        return self._textures[key]


def image_of(pixels: Pixels) -> QImage:
    """Turn sRGB uint8 pixels into an image that owns them."""
    height, width, _ = pixels.shape
    kept = np.ascontiguousarray(pixels)
    image = QImage(kept.data, width, height, 3 * width, QImage.Format.Format_RGB888)
    return image.convertToFormat(QImage.Format.Format_RGB32)


def pixels_of(image: QImage) -> Pixels:
    """Turn an image into sRGB uint8 pixels, rows first."""
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    width, height, stride = plain.width(), plain.height(), plain.bytesPerLine()
    rows = np.frombuffer(plain.constBits(), dtype=np.uint8).reshape(height, stride)
    return rows[:, : 3 * width].reshape(height, width, 3).copy()
