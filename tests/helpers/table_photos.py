"""A photo of a cutting table: two cloths, a white and a grey card, a mat ruled in inches."""

from __future__ import annotations

from io import BytesIO
from typing import Final

import numpy as np
from PIL import Image, ImageDraw

from quiltboard.fabrics.bring_in import fabric_from_photo
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.photos.corners import Corners, upright_corners
from quiltboard.photos.light import to_encoded

WIDTH, HEIGHT = 960, 720
INCH_PX: Final = 40
"""So many pixels of the photo are an inch on the table."""

DOTS: Final = upright_corners(0.32, 0.25, 0.62, 0.75)
STRIPES: Final = upright_corners(0.68, 0.25, 0.95, 0.75)
WHITE_CARD: Final = (0.14, 0.14)
GREY_CARD: Final = (0.14, 0.36)
MAT: Final = (0.14, 0.74)
BARE_TABLE: Final = (0.80, 0.90)
"""Places in the photo, as fractions."""


def table_photo(exposure: float = 0.7) -> bytes:
    """Take a photo of the table, as a JPEG.

    Parameters
    ----------
    exposure
        What a perfect white comes out as, in linear light.
    """
    picture = Image.new("RGB", (WIDTH, HEIGHT), _lit(0.16, exposure, (1.2, 1.0, 0.75)))
    draw = ImageDraw.Draw(picture)
    _card(draw, WHITE_CARD, _lit(0.88, exposure))
    _card(draw, GREY_CARD, _lit(0.18, exposure))
    _mat(draw, exposure)
    for corners, ground in ((DOTS, (0.05, 0.25, 0.3)), (STRIPES, (0.75, 0.7, 0.6))):
        left, top, right, bottom = _box(corners)
        draw.rectangle((left, top, right, bottom), fill=_ink(ground, exposure))
        if corners is DOTS:
            for x in range(left + 10, right - 14, 30):
                for y in range(top + 10, bottom - 14, 30):
                    spot = _ink((0.8, 0.75, 0.6), exposure)
                    draw.ellipse((x, y, x + 14, y + 14), fill=spot)
        else:
            for x in range(left, right - 6, 18):
                stripe = _ink((0.25, 0.1, 0.08), exposure)
                draw.rectangle((x, top, x + 6, bottom), fill=stripe)
    grain = np.random.default_rng(5).normal(0, 1.2, (HEIGHT, WIDTH, 3))
    noisy = np.clip(np.asarray(picture) + grain + 0.5, 0, 255).astype(np.uint8)
    kept = BytesIO()
    Image.fromarray(noisy).save(kept, "JPEG", quality=93)
    return kept.getvalue()


def table_fabric(name: str = "Harbour Dot", fabric_id: str = "dots") -> Fabric:
    """Bring in the dotted cloth of the photo, its light as taken and its scale not known."""
    return fabric_from_photo(table_photo(), name, FabricId(fabric_id), corners=DOTS)


def _ink(light: tuple[float, float, float], exposure: float) -> tuple[int, int, int]:
    red, green, blue = (round(255 * float(to_encoded(part * exposure))) for part in light)
    return red, green, blue


def _lit(
    share: float, exposure: float, tint: tuple[float, float, float] = (1.0, 1.0, 1.0)
) -> tuple[int, int, int]:
    red, green, blue = tint
    return _ink((share * red, share * green, share * blue), exposure)


def _box(corners: Corners) -> tuple[int, int, int, int]:
    (left, top), _, (right, bottom), _ = corners
    return (
        round(left * WIDTH),
        round(top * HEIGHT),
        round(right * WIDTH),
        round(bottom * HEIGHT),
    )


def _card(
    draw: ImageDraw.ImageDraw, at: tuple[float, float], ink: tuple[int, int, int]
) -> None:
    x, y = at[0] * WIDTH, at[1] * HEIGHT
    draw.rectangle((x - 90, y - 60, x + 90, y + 60), fill=ink)


def _mat(draw: ImageDraw.ImageDraw, exposure: float) -> None:
    """Rule a mat in inches, left of the cloths."""
    left, top, right, bottom = 10, 360, 270, 700
    draw.rectangle((left, top, right, bottom), fill=_ink((0.03, 0.12, 0.09), exposure))
    line = _ink((0.6, 0.6, 0.45), exposure)
    for x in range(left + 10, right, INCH_PX):
        draw.line((x, top, x, bottom), fill=line, width=2)
    for y in range(top + 10, bottom, INCH_PX):
        draw.line((left, y, right, y), fill=line, width=2)
