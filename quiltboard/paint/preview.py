"""The small picture of a board that its file carries."""

from __future__ import annotations

from typing import Final

from quiltboard.drawing.board import draw_board
from quiltboard.errands.judge import read_shelf
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.png import png_bytes
from quiltboard.project.project import Project

LONG_SIDE_PX: Final = 512


def preview_png(project: Project, cloths: ClothBook | None = None) -> bytes:
    """Paint a board small.

    Parameters
    ----------
    project
        What to paint.
    cloths
        Textures to share; a window has them already.

    Returns
    -------
    bytes
        A PNG, its long side 512 px.
    """
    shelf = read_shelf(project.fabrics, project.board.wedge)
    drawing = draw_board(project, "colour", shelf.steps, numbers=False)
    return png_bytes(drawing, long_side_px=LONG_SIDE_PX, cloths=cloths)
