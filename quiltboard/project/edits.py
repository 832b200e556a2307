"""Edits: everything that can be done to a project, as data.

An edit checks itself before it changes anything, so that it can be kept in a journal
and replayed. ``Edit.apply(project)`` gives the project afterwards.

What is done to the pieces stands in `laying`, to the fabrics in `shelving`, to the top and to
the project as a whole here, with the union of all.
"""

from __future__ import annotations

import msgspec

from quiltboard.fabrics.fabric import is_colour
from quiltboard.fabrics.steps import FEWEST_STEPS, MOST_STEPS
from quiltboard.project.laying import (
    CopyOrder,
    LayOut,
    PinWedges,
    PlaceFabric,
    SwapWedges,
    TurnRing,
)
from quiltboard.project.project import Project
from quiltboard.project.rules import LONGEST_TITLE, MOST_FABRICS, InvalidEditError
from quiltboard.project.shelving import AddFabrics, ChangeFabric, RemoveFabric
from quiltboard.quilt.board import (
    MOST_ACROSS,
    MOST_PLATES,
    Block,
    Board,
    Cloth,
    Watched,
    Weights,
)
from quiltboard.shapes.wedge import InvalidWedgeError, Wedge, check_fits
from quiltboard.units import PER_INCH, Length, Unit

__all__ = [
    "LONGEST_TITLE",
    "MOST_FABRICS",
    "AddFabrics",
    "ChangeBalance",
    "ChangeFabric",
    "ChangeSteps",
    "ChangeTop",
    "ChangeWedge",
    "CopyOrder",
    "Edit",
    "InvalidEditError",
    "LayOut",
    "PinWedges",
    "PlaceFabric",
    "RemoveFabric",
    "Rename",
    "ShowIn",
    "SwapWedges",
    "TurnRing",
    "change_top",
]


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


class ChangeSteps(msgspec.Struct, frozen=True, tag=True):
    """Part the set of fabrics into another number of value steps.

    Steps set by hand stay: a set that has no step of that name takes the nearest.
    """

    count: int

    def apply(self, project: Project) -> Project:
        """Give the project with so many value steps.

        Raises
        ------
        InvalidEditError
            If there would be too few or too many.
        """
        if not FEWEST_STEPS <= self.count <= MOST_STEPS:
            raise InvalidEditError(
                f"A set has {FEWEST_STEPS} to {MOST_STEPS} value steps, not {self.count}."
            )
        board = msgspec.structs.replace(project.board, step_count=self.count)
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
    | ChangeSteps
    | Rename
    | ShowIn
)
"""Any edit; the tagged union is what a journal reads and writes."""


def change_top(board: Board, **changes: object) -> ChangeTop:
    """Make the edit that changes some parts of the top and leaves the others as they are."""
    fields = {name: getattr(board, name) for name in ChangeTop.__struct_fields__}
    return ChangeTop(**(fields | changes))
