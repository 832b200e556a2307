"""Judge a project: its value steps, what there is, its flags, figures and counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from quiltboard.balance.cautions import Caution, find_cautions
from quiltboard.balance.report import Report, RingValues, check_board, ring_values
from quiltboard.cutting.counts import Count, count_pieces
from quiltboard.cutting.yields import available
from quiltboard.errands.wedge_values import LargePrint, large_prints, own_values
from quiltboard.fabrics.fabric import Fabric, FabricId, Step
from quiltboard.fabrics.measure import reading_of_colour
from quiltboard.fabrics.pools import pools_of
from quiltboard.fabrics.steps import USUAL_STEPS, breaks_of, steps_of
from quiltboard.project.project import Project
from quiltboard.quilt.board import Board, Cell, Cloth
from quiltboard.shapes.wedge import Wedge


@dataclass(frozen=True)
class Shelf:
    """What the shelf alone says, however the pieces lie.

    Attributes
    ----------
    steps
        Each fabric's value step within the set.
    values
        Each fabric's L*.
    available
        Wedges there are of each fabric; None is as many as are needed.
    pools
        Fabrics that are pools, and how many different cloths each has.
    prints
        Large prints: fabrics of which every piece has its own value and step.
    """

    steps: Mapping[FabricId, Step]
    values: Mapping[FabricId, float]
    available: Mapping[FabricId, int | None]
    pools: Mapping[FabricId, int]
    prints: Mapping[FabricId, LargePrint]

    def step_at(self, fabric: FabricId, cell: Cell) -> Step:
        """Tell the value step of a piece of a fabric on a wedge, whatever lies there now."""
        large = self.prints.get(fabric)
        if large is None:
            return self.steps[fabric]
        return large.round(cell.block).steps[cell.wedge]

    def value_at(self, fabric: FabricId, cell: Cell) -> float:
        """Tell the L* of a piece of a fabric on a wedge, whatever lies there now."""
        large = self.prints.get(fabric)
        if large is None:
            return self.values[fabric]
        return large.round(cell.block).values[cell.wedge]


@dataclass(frozen=True)
class Judgement:
    """All that is known of a project as it lies.

    Attributes
    ----------
    shelf
        What the fabrics say.
    ground_value
        L* of the background.
    report
        Flags and figures.
    counts
        Pieces of each fabric, tightest first.
    cautions
        What to mind before the first seam and the first wash.
    piece_values, piece_steps
        The L* and the value step of each piece that has its own: those of large prints.
    """

    shelf: Shelf
    ground_value: float
    report: Report
    counts: tuple[Count, ...]
    cautions: tuple[Caution, ...]
    piece_values: Mapping[Cell, float]
    piece_steps: Mapping[Cell, Step]

    def ring_values(self, board: Board, block: int) -> RingValues:
        """Give the L* of each wedge round a plate of the board that was judged."""
        return ring_values(board, block, self.shelf.values, self.piece_values)


def read_shelf(
    fabrics: tuple[Fabric, ...], wedge: Wedge, step_count: int = USUAL_STEPS
) -> Shelf:
    """Read a set of fabrics: value steps weighted by the pieces there are.

    A fabric of which there is as much as needed weighs like the average of the others, and one
    that may not be cut into wedges does not shift the steps.
    """
    return _read_shelf(fabrics, wedge, step_count)


@lru_cache(maxsize=16)
def _read_shelf(fabrics: tuple[Fabric, ...], wedge: Wedge, step_count: int) -> Shelf:
    there = available(fabrics, wedge)
    known = [count for count in there.values() if count]
    usual = sum(known) / len(known) if known else 1.0
    weights = {id_: usual if count is None else float(count) for id_, count in there.items()}
    steps = steps_of(fabrics, weights, step_count)
    return Shelf(
        steps=steps,
        values={fabric.id: fabric.value for fabric in fabrics},
        available=there,
        pools=pools_of(fabrics),
        prints=large_prints(fabrics, wedge, steps, breaks_of(fabrics, weights, step_count)),
    )


def value_of(cloth: Cloth, values: Mapping[FabricId, float]) -> float:
    """Give the L* of what covers a part of the top: a fabric or a plain colour."""
    known = values.get(FabricId(cloth))
    return reading_of_colour(cloth).value if known is None else known


def judge(project: Project) -> Judgement:
    """Judge a project as it lies.

    Parameters
    ----------
    project
        Any valid project; empty ones judge as clean.
    """
    board = project.board
    shelf = read_shelf(project.fabrics, board.wedge, board.step_count)
    ground_value = value_of(board.ground, shelf.values)
    piece_values, piece_steps = own_values(board, shelf.prints)
    return Judgement(
        shelf=shelf,
        ground_value=ground_value,
        report=check_board(
            board,
            shelf.steps,
            shelf.values,
            shelf.available,
            ground_value,
            shelf.pools,
            piece_steps,
            piece_values,
        ),
        counts=count_pieces(board, project.fabrics),
        cautions=find_cautions(board, project.fabrics, shelf.steps, ground_value),
        piece_values=piece_values,
        piece_steps=piece_steps,
    )
