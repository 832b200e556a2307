"""The board: plates of wedges in rows and columns, and what lies on each wedge."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

import msgspec

from quiltboard.fabrics.fabric import FabricId
from quiltboard.fabrics.steps import USUAL_STEPS
from quiltboard.shapes.wedge import USUAL_BLOCK, Wedge, usual_wedge
from quiltboard.units import Length, Unit

MOST_PLATES: Final = 400
MOST_ACROSS: Final = 40
CHALK: Final = "#f4f0e6"
"""The ground that a new board starts with."""
LINEN_GREY: Final = "#8c8a85"
BUTTON_GREY: Final = "#6e6b66"

Cloth = str
"""What covers a part of the top that is no wedge: a fabric's id, or a plain ``#rrggbb``."""

Watched = Literal["light", "medium", "dark"]


class Cell(NamedTuple):
    """One wedge's place.

    Attributes
    ----------
    block
        Row by row from 0.
    wedge
        Clockwise from the top from 0.
    """

    block: int
    wedge: int


class Block(msgspec.Struct, frozen=True):
    """A background square with a plate on it.

    Attributes
    ----------
    cells
        What lies on each wedge, clockwise from the top; None is empty.
    pins
        The wedges that are held, in order.
    """

    cells: tuple[FabricId | None, ...]
    pins: tuple[int, ...] = ()


class Weights(msgspec.Struct, frozen=True):
    """What each flag costs.

    Attributes
    ----------
    touch
        Each pair of one fabric side by side.
    clump
        Each three of one watched value step in a row.
    close
        Each pair of one fabric with another piece between.
    """

    touch: float = 100
    clump: float = 30
    close: float = 20


class Board(msgspec.Struct, frozen=True):
    """The whole top as it is arranged.

    Attributes
    ----------
    wedge
        The piece that every ring is made of.
    across, down
        Plates in a row, and rows.
    block
        Finished side of a block.
    sash, border
        Finished widths; 0 is none. Sashing lies between blocks only.
    ground, sashing, cornerstone, frame, centre
        What the backgrounds, sashes, cornerstones, border and centre circles are cut from.
    blocks
        Row by row, ``across * down`` of them, each with ``wedge.n`` cells.
    weights
        What each flag costs on this board.
    watch
        The value steps whose clumps count, or None for the usual ones: darks, and lights where
        the ground is light. Where there are more than three steps, ``dark`` stands for dark and
        darkest, ``light`` for light and lightest, ``medium`` for all mediums.
    step_count
        How many value steps the set of fabrics is parted into, 2 to 7.
    unit
        What lengths are shown in.
    """

    wedge: Wedge
    across: int
    down: int
    blocks: tuple[Block, ...]
    block: Length = USUAL_BLOCK
    sash: Length = Length(0)
    border: Length = Length(0)
    ground: Cloth = CHALK
    sashing: Cloth = LINEN_GREY
    cornerstone: Cloth = BUTTON_GREY
    frame: Cloth = LINEN_GREY
    centre: Cloth = BUTTON_GREY
    weights: Weights = Weights()
    watch: tuple[Watched, ...] | None = None
    step_count: int = USUAL_STEPS
    unit: Unit = "in"

    def cells(self) -> Iterator[tuple[Cell, FabricId | None]]:
        """Walk every wedge, block by block, clockwise from the top."""
        for b, block in enumerate(self.blocks):
            for w, fabric in enumerate(block.cells):
                yield Cell(b, w), fabric

    def at(self, cell: Cell) -> FabricId | None:
        """Tell what lies on a wedge."""
        return self.blocks[cell.block].cells[cell.wedge]

    def pinned(self, cell: Cell) -> bool:
        """Tell whether a wedge is held."""
        return cell.wedge in self.blocks[cell.block].pins

    def holds(self, cell: Cell) -> bool:
        """Tell whether the board has such a place."""
        return 0 <= cell.block < len(self.blocks) and 0 <= cell.wedge < self.wedge.n

    @property
    def places(self) -> int:
        """How many wedges the whole top takes."""
        return len(self.blocks) * self.wedge.n


def empty_board(across: int = 1, down: int = 1, n: int = 12) -> Board:
    """Give a bare board with the usual wedge of n.

    Raises
    ------
    InvalidWedgeError
        If n is out of range.
    """
    blocks = (Block(cells=(None,) * n),) * (across * down)
    return Board(usual_wedge(n), across, down, blocks)


def place_name(board: Board, cell: Cell) -> str:
    """Say where a wedge is, counting from one: ``plate 3, wedge 7``.

    On a board of one plate, the plate is not named.
    """
    wedge = f"wedge {cell.wedge + 1}"
    return wedge if len(board.blocks) == 1 else f"plate {cell.block + 1}, {wedge}"
