"""Edits of what lies on the wedges: laying, swapping, turning, pinning, copying, dealing."""

from __future__ import annotations

import msgspec

from quiltboard.fabrics.fabric import FabricId
from quiltboard.project.project import Project
from quiltboard.project.rules import (
    InvalidEditError,
    require_block,
    require_cells,
    require_fabric,
    require_free,
)
from quiltboard.quilt.board import Block, Cell


class PlaceFabric(msgspec.Struct, frozen=True, tag=True):
    """Lay one fabric on some wedges; None takes off what lies there."""

    cells: tuple[Cell, ...]
    fabric: FabricId | None

    def apply(self, project: Project) -> Project:
        """Give the project with the fabric laid.

        Raises
        ------
        InvalidEditError
            If a wedge is not on the board or is pinned, or the fabric is not on the shelf.
        """
        require_fabric(project, self.fabric)
        require_free(project.board, self.cells)
        return _lay(project, dict.fromkeys(self.cells, self.fabric))


class SwapWedges(msgspec.Struct, frozen=True, tag=True):
    """Let two wedges change places."""

    first: Cell
    second: Cell

    def apply(self, project: Project) -> Project:
        """Give the project with the two swapped.

        Raises
        ------
        InvalidEditError
            If either is not on the board or is pinned.
        """
        board = project.board
        require_free(board, (self.first, self.second))
        return _lay(
            project, {self.first: board.at(self.second), self.second: board.at(self.first)}
        )


class TurnRing(msgspec.Struct, frozen=True, tag=True):
    """Turn a whole ring clockwise by some wedges; its pins turn with it."""

    block: int
    by: int

    def apply(self, project: Project) -> Project:
        """Give the project with the ring turned.

        Raises
        ------
        InvalidEditError
            If there is no such plate.
        """
        board = project.board
        require_block(board, self.block)
        n = board.wedge.n
        old = board.blocks[self.block]
        turned = Block(
            cells=tuple(old.cells[(w - self.by) % n] for w in range(n)),
            pins=tuple(sorted((w + self.by) % n for w in old.pins)),
        )
        return _with_blocks(project, {self.block: turned})


class PinWedges(msgspec.Struct, frozen=True, tag=True):
    """Pin some wedges where they are, or take their pins out."""

    cells: tuple[Cell, ...]
    pinned: bool

    def apply(self, project: Project) -> Project:
        """Give the project with the pins set.

        Raises
        ------
        InvalidEditError
            If a wedge is not on the board, or one to be pinned is empty.
        """
        board = project.board
        require_cells(board, self.cells)
        changed: dict[int, Block] = {}
        for cell in self.cells:
            if self.pinned and board.at(cell) is None:
                raise InvalidEditError("There is no piece to pin: lay a fabric there first.")
            block = changed.get(cell.block, board.blocks[cell.block])
            pins = (
                set(block.pins) | {cell.wedge}
                if self.pinned
                else set(block.pins) - {cell.wedge}
            )
            changed[cell.block] = msgspec.structs.replace(block, pins=tuple(sorted(pins)))
        return _with_blocks(project, changed)


class CopyOrder(msgspec.Struct, frozen=True, tag=True):
    """Lay other plates in the order of one; pinned wedges stay as they are."""

    source: int
    targets: tuple[int, ...]

    def apply(self, project: Project) -> Project:
        """Give the project with the order copied.

        Raises
        ------
        InvalidEditError
            If there is no such plate.
        """
        board = project.board
        for block in (self.source, *self.targets):
            require_block(board, block)
        order = board.blocks[self.source].cells
        return _lay(
            project,
            {
                Cell(block, wedge): fabric
                for block in self.targets
                for wedge, fabric in enumerate(order)
                if not board.pinned(Cell(block, wedge))
            },
        )


class LayOut(msgspec.Struct, frozen=True, tag=True):
    """Lay the whole board at once, as a deal does; pinned wedges must keep their piece."""

    cells: tuple[tuple[FabricId | None, ...], ...]

    def apply(self, project: Project) -> Project:
        """Give the project with everything laid.

        Raises
        ------
        InvalidEditError
            If the shape is not the board's, a fabric is unknown, or a pinned piece would move.
        """
        board = project.board
        n = board.wedge.n
        if len(self.cells) != len(board.blocks) or any(len(ring) != n for ring in self.cells):
            raise InvalidEditError("The layout was made for another board.")
        for fabric in {fabric for ring in self.cells for fabric in ring}:
            require_fabric(project, fabric)
        laid = {
            Cell(b, w): fabric
            for b, ring in enumerate(self.cells)
            for w, fabric in enumerate(ring)
        }
        for cell, fabric in laid.items():
            if board.pinned(cell) and board.at(cell) != fabric:
                raise InvalidEditError("The layout would move a pinned piece.")
        return _lay(project, laid)


def _lay(project: Project, laid: dict[Cell, FabricId | None]) -> Project:
    """Lay pieces wedge by wedge, sharing every ring that does not change."""
    board = project.board
    rings: dict[int, list[FabricId | None]] = {}
    for cell, fabric in laid.items():
        rings.setdefault(cell.block, list(board.blocks[cell.block].cells))[cell.wedge] = fabric
    return _with_blocks(
        project,
        {
            index: msgspec.structs.replace(board.blocks[index], cells=tuple(ring))
            for index, ring in rings.items()
        },
    )


def _with_blocks(project: Project, changed: dict[int, Block]) -> Project:
    board = project.board
    blocks = tuple(changed.get(i, block) for i, block in enumerate(board.blocks))
    return msgspec.structs.replace(project, board=msgspec.structs.replace(board, blocks=blocks))
