"""A drawing as a PNG."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from quiltboard.drawing.display import Drawing
from quiltboard.drawing.seeing import to_png
from quiltboard.paint.cloth_book import ClothBook, pixels_of
from quiltboard.paint.offscreen import ensure_gui
from quiltboard.paint.painter import rasterise
from quiltboard.store.safe_write import write_safely

LONGEST_PX: Final = 12000
"""No side of a PNG is longer."""
USUAL_LONG_SIDE_PX: Final = 2000


def png_bytes(
    drawing: Drawing,
    *,
    long_side_px: int | None = None,
    px_per_mm: float | None = None,
    cloths: ClothBook | None = None,
) -> bytes:
    """Paint a drawing as a PNG that knows its true size.

    Parameters
    ----------
    drawing
        What to paint.
    long_side_px
        Its longer side in pixels; 2000 where neither this nor a scale is given.
    px_per_mm
        Its scale, instead.
    cloths
        Textures to share.

    Raises
    ------
    ValueError
        If both a side and a scale are given, or they ask for no pixel or for a side of more
        than 12,000.
    """
    if long_side_px is not None and px_per_mm is not None:
        raise ValueError("give either the longer side or the scale")
    longest_mm = max(drawing.width_mm, drawing.height_mm)
    if px_per_mm is None:
        px_per_mm = (long_side_px or USUAL_LONG_SIDE_PX) / longest_mm
    if not 1 <= px_per_mm * longest_mm <= LONGEST_PX + 0.5:
        raise ValueError(f"a picture's longer side is 1 to {LONGEST_PX} pixels")
    ensure_gui()
    return to_png(pixels_of(rasterise(drawing, px_per_mm, cloths)), px_per_mm)


def write_png(
    drawing: Drawing,
    path: Path,
    *,
    long_side_px: int | None = None,
    px_per_mm: float | None = None,
    cloths: ClothBook | None = None,
) -> None:
    """Write a drawing as a PNG file, whole or not at all.

    Raises
    ------
    ValueError
        As `png_bytes`.
    StoreError
        If the file cannot be written; the message names it and says what would help.
    """
    data = png_bytes(drawing, long_side_px=long_side_px, px_per_mm=px_per_mm, cloths=cloths)
    write_safely(path, data)
