"""The line above the board: what the top is, and how large it is seen."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from quiltboard.quilt.board import Board
from quiltboard.quilt.layout import finished_size
from quiltboard.units import format_length
from quiltboard.window.canvas.acts import said
from quiltboard.window.lettering import draw_line, width_px
from quiltboard.window.theme import TEXT, Theme

HEADER_PX: Final = 40
SIDE_PX: Final = 20
GAP_PX: Final = 12


def count_line(board: Board) -> str:
    """Say how many plates there are: ``4 × 5 plates``."""
    if len(board.blocks) == 1:
        return said("1 plate of {n}").format(n=board.wedge.n)
    return said("{across} × {down} plates").format(across=board.across, down=board.down)


def size_line(board: Board) -> str:
    """Say how large the finished top is, and what its sashes measure."""
    width, height = finished_size(board)
    size = said("{width} × {height}").format(
        width=format_length(width, board.unit, with_unit=False),
        height=format_length(height, board.unit),
    )
    if not board.sash or len(board.blocks) == 1:
        return size
    return said("{size}, sashing {sash}").format(
        size=size, sash=format_length(board.sash, board.unit)
    )


def scale_line(share: float, plate: int | None, *, whole: bool) -> str:
    """Say what is in sight and how large: ``Whole top, 13 % of true size``.

    Parameters
    ----------
    share
        The scale against true size.
    plate
        The plate that fills the sight, from 0, or None.
    whole
        Whether all of the top is in sight.
    """
    per_cent = share * 100
    written = f"{per_cent:.0f}" if per_cent >= 1.5 else f"{per_cent:.1f}"
    if round(per_cent) == 100:
        size = said("true size")
    else:
        size = said("{share} % of true size").format(share=written)
    if plate is not None:
        return said("Plate {plate}, {size}").format(plate=plate + 1, size=size)
    if whole:
        return said("Whole top, {size}").format(size=size)
    return size[0].upper() + size[1:]


def paint_header(
    painter: QPainter, theme: Theme, box: QRectF, board: Board, scale_text: str
) -> None:
    """Paint the line on the board's ground."""
    ink = theme.colour("ink")
    inner = box.adjusted(SIDE_PX, 0, -SIDE_PX, 0)
    count, size = count_line(board), size_line(board)
    used = draw_line(painter, theme, inner, count, weight=600, colour=ink)
    left = used + theme.px(GAP_PX)
    right = width_px(theme, scale_text, TEXT)
    between = inner.width() - left - right - theme.px(GAP_PX)
    if between >= width_px(theme, size, TEXT):
        rest = inner.adjusted(left, 0, 0, 0)
        draw_line(painter, theme, rest, size, colour=ink)
    if inner.width() - left >= right:
        draw_line(
            painter, theme, inner, scale_text, colour=ink, align=Qt.AlignmentFlag.AlignRight
        )
