"""What every edit keeps to, and how it says so when it cannot."""

from __future__ import annotations

from typing import Final

from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.fabrics.naming import LONGEST_NAME
from quiltboard.project.project import Project
from quiltboard.quilt.board import Board, Cell

MOST_FABRICS: Final = 500
LONGEST_TITLE: Final = 80


class InvalidEditError(ValueError):
    """An edit that cannot be made; the message says why and what would do."""


def require_block(board: Board, block: int) -> None:
    """Refuse a plate that the board does not have.

    Raises
    ------
    InvalidEditError
        If there is no such plate.
    """
    if not 0 <= block < len(board.blocks):
        raise InvalidEditError("There is no such plate on this board.")


def require_cells(board: Board, cells: tuple[Cell, ...]) -> None:
    """Refuse wedges that the board does not have, and a choice of none.

    Raises
    ------
    InvalidEditError
        If none is named, or one is not on the board.
    """
    if not cells:
        raise InvalidEditError("Choose a wedge first.")
    if not all(board.holds(cell) for cell in cells):
        raise InvalidEditError("There is no such wedge on this board.")


def require_free(board: Board, cells: tuple[Cell, ...]) -> None:
    """Refuse wedges that are not on the board or are held by a pin.

    Raises
    ------
    InvalidEditError
        If none is named, one is not on the board, or one is pinned.
    """
    require_cells(board, cells)
    if any(board.pinned(cell) for cell in cells):
        raise InvalidEditError("That piece is pinned: take the pin out first.")


def require_fabric(project: Project, fabric: FabricId | None) -> None:
    """Refuse a fabric that is not on the shelf; None, no fabric, is always there.

    Raises
    ------
    InvalidEditError
        If there is no such fabric.
    """
    if fabric is not None and fabric not in project.by_id():
        raise InvalidEditError("That fabric is not on the shelf.")


def require_shelf(fabrics: tuple[Fabric, ...]) -> None:
    """Refuse a shelf with too many fabrics, or with names that fit no label or are shared.

    Raises
    ------
    InvalidEditError
        If there are too many, or a name is empty, too long, not plain, or given twice.
    """
    if len(fabrics) > MOST_FABRICS:
        raise InvalidEditError(f"A shelf holds at most {MOST_FABRICS} fabrics.")
    names = [fabric.name.casefold() for fabric in fabrics]
    if not all(
        name.strip() and len(name) <= LONGEST_NAME and name.isprintable() for name in names
    ):
        raise InvalidEditError(f"A fabric's name has 1 to {LONGEST_NAME} plain letters.")
    if len(set(names)) < len(names) or len({f.id for f in fabrics}) < len(fabrics):
        raise InvalidEditError("Two fabrics of one board cannot share a name.")
