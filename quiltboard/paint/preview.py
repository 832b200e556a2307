"""The small picture of a board that its file carries."""

from __future__ import annotations

from typing import Final

from PySide6.QtGui import QImage

from quiltboard.drawing.board import draw_board
from quiltboard.drawing.seeing import to_png
from quiltboard.errands.judge import read_shelf
from quiltboard.paint.cloth_book import ClothBook, pixels_of
from quiltboard.paint.offscreen import ensure_gui
from quiltboard.paint.painter import rasterise
from quiltboard.project.project import Project

LONG_SIDE_PX: Final = 512


def preview_image(project: Project, cloths: ClothBook | None = None) -> QImage:
    """Paint a board small, its long side 512 px.

    Parameters
    ----------
    project
        What to paint.
    cloths
        Textures to share; a window has them already.
    """
    ensure_gui()
    shelf = read_shelf(project.fabrics, project.board.wedge, project.board.step_count)
    drawing = draw_board(project, "colour", shelf.steps, numbers=False)
    scale = LONG_SIDE_PX / max(drawing.width_mm, drawing.height_mm)
    return rasterise(drawing, scale, cloths)


def preview_png(image: QImage) -> bytes:
    """Encode a small picture; this may run in a thread."""
    return to_png(pixels_of(image))
