"""Edits: everything that can be done to a project, as data.

An edit checks itself before it changes anything, so that it can be kept in a journal
and replayed. ``Edit.apply(project)`` gives the project afterwards.
"""

from __future__ import annotations

import msgspec

from quiltboard.fabrics.fabric import Fabric, FabricId, is_colour
from quiltboard.fabrics.naming import LONGEST_NAME
from quiltboard.project.project import Project
from quiltboard.quilt.board import (
    MOST_ACROSS,
    MOST_PLATES,
    Block,
    Board,
    Cell,
    Cloth,
    Watched,
    Weights,
)
from quiltboard.shapes.wedge import InvalidWedgeError, Wedge, check_fits
from quiltboard.units import PER_INCH, Length, Unit

MOST_FABRICS = 500
LONGEST_TITLE = 80


class InvalidEditError(ValueError):
    """An edit that cannot be made; the message says why and what would do."""


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
        _require_fabric(project, self.fabric)
        _require_free(project.board, self.cells)
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
        _require_free(board, (self.first, self.second))
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
        _require_block(board, self.block)
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
        _require_cells(board, self.cells)
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
            _require_block(board, block)
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
            _require_fabric(project, fabric)
        laid = {
            Cell(b, w): fabric
            for b, ring in enumerate(self.cells)
            for w, fabric in enumerate(ring)
        }
        for cell, fabric in laid.items():
            if board.pinned(cell) and board.at(cell) != fabric:
                raise InvalidEditError("The layout would move a pinned piece.")
        return _lay(project, laid)


class AddFabrics(msgspec.Struct, frozen=True, tag=True):
    """Put fabrics on the shelf."""

    fabrics: tuple[Fabric, ...]

    def apply(self, project: Project) -> Project:
        """Give the project with the fabrics added.

        Raises
        ------
        InvalidEditError
            If a name or id is there already, or the shelf is full.
        """
        fabrics = project.fabrics + self.fabrics
        _require_shelf(fabrics)
        return msgspec.structs.replace(project, fabrics=fabrics)


class ChangeFabric(msgspec.Struct, frozen=True, tag=True):
    """Change what is known of a fabric: its name, corners, amounts, step, note."""

    fabric: Fabric

    def apply(self, project: Project) -> Project:
        """Give the project with the fabric changed.

        Raises
        ------
        InvalidEditError
            If there is no such fabric, or another has that name.
        """
        _require_fabric(project, self.fabric.id)
        fabrics = tuple(
            self.fabric if fabric.id == self.fabric.id else fabric for fabric in project.fabrics
        )
        _require_shelf(fabrics)
        return msgspec.structs.replace(project, fabrics=fabrics)


class RemoveFabric(msgspec.Struct, frozen=True, tag=True):
    """Take a fabric off the shelf and off the board, pins and all."""

    fabric: FabricId

    def apply(self, project: Project) -> Project:
        """Give the project without the fabric; parts cut from it turn to its plain colour.

        Raises
        ------
        InvalidEditError
            If there is no such fabric.
        """
        _require_fabric(project, self.fabric)
        gone = project.fabric(self.fabric)
        board = project.board
        blocks = tuple(
            Block(
                cells=tuple(None if f == gone.id else f for f in block.cells),
                pins=tuple(w for w in block.pins if block.cells[w] != gone.id),
            )
            for block in board.blocks
        )
        covers = {
            part: gone.colour
            for part in ("ground", "sashing", "cornerstone", "frame", "centre")
            if getattr(board, part) == gone.id
        }
        return msgspec.structs.replace(
            project,
            board=msgspec.structs.replace(board, blocks=blocks, **covers),
            fabrics=tuple(fabric for fabric in project.fabrics if fabric.id != gone.id),
        )


class ChangeTop(msgspec.Struct, frozen=True, tag=True):
    """Change how many plates there are and what lies between and around them.

    Plates keep their place in row and column; those that fall off the board are cleared.
    """

    across: int
    down: int
    sash: Length
    border: Length
    ground: Cloth
    sashing: Cloth
    cornerstone: Cloth
    frame: Cloth
    centre: Cloth

    def apply(self, project: Project) -> Project:
        """Give the project with the top changed.

        Raises
        ------
        InvalidEditError
            If there would be no plate or too many, a width is out of range, or a cloth unknown.
        """
        board = project.board
        if not (1 <= self.across <= MOST_ACROSS and 1 <= self.down <= MOST_ACROSS):
            raise InvalidEditError(f"A top takes 1 to {MOST_ACROSS} plates each way.")
        if self.across * self.down > MOST_PLATES:
            raise InvalidEditError(f"A top takes at most {MOST_PLATES} plates.")
        for what, width in (("sash", self.sash), ("border", self.border)):
            if not 0 <= width <= 24 * PER_INCH:
                raise InvalidEditError(f"The {what} is 0 to 24 in wide.")
        known = project.by_id()
        for cloth in (self.ground, self.sashing, self.cornerstone, self.frame, self.centre):
            if not is_colour(cloth) and cloth not in known:
                raise InvalidEditError("That cloth is not on the shelf.")
        bare = Block(cells=(None,) * board.wedge.n)
        blocks = tuple(
            board.blocks[row * board.across + column]
            if row < board.down and column < board.across
            else bare
            for row in range(self.down)
            for column in range(self.across)
        )
        return msgspec.structs.replace(
            project,
            board=msgspec.structs.replace(board, blocks=blocks, **msgspec.structs.asdict(self)),
        )


class ChangeWedge(msgspec.Struct, frozen=True, tag=True):
    """Make every ring of another wedge.

    With fewer wedges to a ring, the last of each ring come off; with more, new ones are empty.
    """

    wedge: Wedge

    def apply(self, project: Project) -> Project:
        """Give the project with the wedge changed.

        Raises
        ------
        InvalidEditError
            If the measures make no ring, or one that does not fit its block.
        """
        board = project.board
        try:
            check_fits(self.wedge, board.block)
        except InvalidWedgeError as error:
            raise InvalidEditError(str(error)) from error
        n = self.wedge.n
        blocks = tuple(
            Block(
                cells=(block.cells + (None,) * n)[:n],
                pins=tuple(w for w in block.pins if w < n),
            )
            for block in board.blocks
        )
        return msgspec.structs.replace(
            project, board=msgspec.structs.replace(board, wedge=self.wedge, blocks=blocks)
        )


class ChangeBalance(msgspec.Struct, frozen=True, tag=True):
    """Change what each flag costs, and which value steps are watched for clumps."""

    weights: Weights
    watch: tuple[Watched, ...] | None

    def apply(self, project: Project) -> Project:
        """Give the project with the balance changed.

        Raises
        ------
        InvalidEditError
            If a cost is negative or beyond all bounds.
        """
        for kind, cost in msgspec.structs.asdict(self.weights).items():
            if not 0 <= cost <= 1_000_000:
                raise InvalidEditError(f"The cost of a {kind} is 0 to 1,000,000.")
        board = msgspec.structs.replace(project.board, weights=self.weights, watch=self.watch)
        return msgspec.structs.replace(project, board=board)


class Rename(msgspec.Struct, frozen=True, tag=True):
    """Call the quilt something else."""

    title: str

    def apply(self, project: Project) -> Project:
        """Give the project with its new title.

        Raises
        ------
        InvalidEditError
            If the title is empty or too long.
        """
        title = self.title.strip()
        if not 1 <= len(title) <= LONGEST_TITLE or not title.isprintable():
            raise InvalidEditError(f"A quilt's name has 1 to {LONGEST_TITLE} plain letters.")
        return msgspec.structs.replace(project, title=title)


class ShowIn(msgspec.Struct, frozen=True, tag=True):
    """Show lengths in inches or in centimetres."""

    unit: Unit

    def apply(self, project: Project) -> Project:
        """Give the project with its lengths shown so."""
        return msgspec.structs.replace(
            project, board=msgspec.structs.replace(project.board, unit=self.unit)
        )


Edit = (
    PlaceFabric
    | SwapWedges
    | TurnRing
    | PinWedges
    | CopyOrder
    | LayOut
    | AddFabrics
    | ChangeFabric
    | RemoveFabric
    | ChangeTop
    | ChangeWedge
    | ChangeBalance
    | Rename
    | ShowIn
)
"""Any edit; the tagged union is what a journal reads and writes."""


def change_top(board: Board, **changes: object) -> ChangeTop:
    """Make the edit that changes some parts of the top and leaves the others as they are."""
    fields = {name: getattr(board, name) for name in ChangeTop.__struct_fields__}
    return ChangeTop(**(fields | changes))


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


def _require_block(board: Board, block: int) -> None:
    if not 0 <= block < len(board.blocks):
        raise InvalidEditError("There is no such plate on this board.")


def _require_cells(board: Board, cells: tuple[Cell, ...]) -> None:
    if not cells:
        raise InvalidEditError("Choose a wedge first.")
    if not all(board.holds(cell) for cell in cells):
        raise InvalidEditError("There is no such wedge on this board.")


def _require_free(board: Board, cells: tuple[Cell, ...]) -> None:
    _require_cells(board, cells)
    if any(board.pinned(cell) for cell in cells):
        raise InvalidEditError("That piece is pinned: take the pin out first.")


def _require_fabric(project: Project, fabric: FabricId | None) -> None:
    if fabric is not None and fabric not in project.by_id():
        raise InvalidEditError("That fabric is not on the shelf.")


def _require_shelf(fabrics: tuple[Fabric, ...]) -> None:
    if len(fabrics) > MOST_FABRICS:
        raise InvalidEditError(f"A shelf holds at most {MOST_FABRICS} fabrics.")
    names = [fabric.name.casefold() for fabric in fabrics]
    if not all(
        name.strip() and len(name) <= LONGEST_NAME and name.isprintable() for name in names
    ):
        raise InvalidEditError(f"A fabric's name has 1 to {LONGEST_NAME} plain letters.")
    if len(set(names)) < len(names) or len({f.id for f in fabrics}) < len(fabrics):
        raise InvalidEditError("Two fabrics of one board cannot share a name.")
