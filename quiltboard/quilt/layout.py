"""Where every part of a top lies, in millimetres from its upper left corner.

x runs right, y down; angles run clockwise from the top.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from quiltboard.quilt.board import Board, Cell
from quiltboard.shapes.wedge import DraftedWedge, Point, draft_wedge
from quiltboard.units import Length, to_mm


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle in mm."""

    x: float
    y: float
    width: float
    height: float

    def holds(self, x: float, y: float) -> bool:
        """Tell whether a point lies in it."""
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the parts of one top lie.

    Attributes
    ----------
    width, height
        The finished top in mm.
    blocks, sashes, cornerstones, frame
        Rectangles; the blocks row by row, the frame as top, right, bottom, left strips (sides
        between top and bottom).
    drafted
        The wedge of every ring.
    """

    width: float
    height: float
    blocks: tuple[Rect, ...]
    sashes: tuple[Rect, ...]
    cornerstones: tuple[Rect, ...]
    frame: tuple[Rect, ...]
    drafted: DraftedWedge

    def middle(self, block: int) -> Point:
        """Give the middle of a block's plate."""
        square = self.blocks[block]
        return square.x + square.width / 2, square.y + square.height / 2

    def angle_deg(self, wedge: int) -> float:
        """Give the direction a wedge points in, clockwise from the top."""
        return 360 * wedge / self.drafted.n

    def to_top(self, cell: Cell, local: Point) -> Point:
        """Carry a point from a wedge's own axes (x right, y outward) to the top."""
        turn = math.radians(self.angle_deg(cell.wedge))
        x, y = local
        cx, cy = self.middle(cell.block)
        return (
            cx + x * math.cos(turn) + y * math.sin(turn),
            cy + x * math.sin(turn) - y * math.cos(turn),
        )

    def outline(self, cell: Cell) -> tuple[Point, ...]:
        """Give a sewn wedge's corners on the top: narrow end, inside points, tip between."""
        return tuple(self.to_top(cell, point) for point in self.drafted.sewn_outline())

    def block_at(self, x: float, y: float) -> int | None:
        """Tell which block a point of the top lies in."""
        for index, square in enumerate(self.blocks):
            if square.holds(x, y):
                return index
        return None

    def cell_at(self, x: float, y: float) -> Cell | None:
        """Tell which sewn wedge a point of the top lies on.

        The centre circle covers the narrow ends; a point on it is on no wedge.
        """
        block = self.block_at(x, y)
        if block is None:
            return None
        cx, cy = self.middle(block)
        dx, dy = x - cx, y - cy
        wedge = self.drafted
        if math.hypot(dx, dy) <= to_mm(wedge.centre_finished) / 2:
            return None
        around = math.atan2(dx, -dy) % math.tau
        index = round(around / (2 * wedge.half_angle)) % wedge.n
        off = around - index * 2 * wedge.half_angle
        distance = math.hypot(dx, dy)
        along = distance * math.cos(off)
        aside = abs(distance * math.sin(off))
        on_wedge = wedge.opening <= along <= wedge.tip - aside
        return Cell(block, index) if on_wedge else None


def lay_out(board: Board) -> Layout:
    """Lay out a top: blocks in a straight setting, inner sashing with cornerstones, border.

    Raises
    ------
    InvalidWedgeError
        If the board's wedge makes no ring.
    """
    return _lay_out(
        board.across,
        board.down,
        board.block,
        board.sash,
        board.border,
        draft_wedge(board.wedge),
    )


@lru_cache(maxsize=64)
def _lay_out(
    across: int,
    down: int,
    block_length: Length,
    sash_length: Length,
    border_length: Length,
    drafted: DraftedWedge,
) -> Layout:
    block, sash, border = to_mm(block_length), to_mm(sash_length), to_mm(border_length)
    pitch = block + sash
    lefts = [border + pitch * column for column in range(across)]
    tops = [border + pitch * row for row in range(down)]
    width = 2 * border + pitch * across - sash
    height = 2 * border + pitch * down - sash
    upright = [Rect(x + block, y, sash, block) for y in tops for x in lefts[:-1]]
    lying = [Rect(x, y + block, block, sash) for y in tops[:-1] for x in lefts]
    stones = [Rect(x + block, y + block, sash, sash) for y in tops[:-1] for x in lefts[:-1]]
    inner = height - 2 * border
    frame = (
        Rect(0, 0, width, border),
        Rect(width - border, border, border, inner),
        Rect(0, height - border, width, border),
        Rect(0, border, border, inner),
    )
    return Layout(
        width=width,
        height=height,
        blocks=tuple(Rect(x, y, block, block) for y in tops for x in lefts),
        sashes=tuple(upright + lying) if sash else (),
        cornerstones=tuple(stones) if sash else (),
        frame=frame if border else (),
        drafted=drafted,
    )


def finished_size(board: Board) -> tuple[Length, Length]:
    """Give the finished top's width and height, exact."""
    return (
        Length(board.across * (board.block + board.sash) - board.sash + 2 * board.border),
        Length(board.down * (board.block + board.sash) - board.sash + 2 * board.border),
    )
