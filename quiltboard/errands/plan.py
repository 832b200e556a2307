"""Plan a quilt in one go: from photos or a fabric list to a dealt board."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import msgspec

from quiltboard.balance.deal import CannotDealError, DealResult
from quiltboard.errands.bring_in import bring_in
from quiltboard.errands.deal import deal_pieces, task_for
from quiltboard.fabrics.bring_in import name_from_path
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.project.edits import (
    LONGEST_TITLE,
    ChangeBalance,
    ChangeWedge,
    LayOut,
    change_top,
)
from quiltboard.project.project import UNTITLED, Project, new_project
from quiltboard.quilt.board import Watched, Weights
from quiltboard.shapes.wedge import usual_wedge


class NothingToPlanError(ValueError):
    """None of what was named gave a fabric; the message says why."""


@dataclass(frozen=True)
class Top:
    """The top to plan for: so many plates across and down, of rings of n wedges."""

    across: int
    down: int
    n: int = 12


@dataclass(frozen=True)
class Planned:
    """A dealt project, what the deal says, and a line for each thing that was left out."""

    project: Project
    result: DealResult
    problems: tuple[str, ...]


def numbered_ids() -> Callable[[], FabricId]:
    """Give ids in order, so that the same photos make the same board."""
    numbers = count(1)
    return lambda: FabricId(f"f{next(numbers):03}")


def keep_bare(project: Project) -> Project:
    """Leave a project as it is: no sashing, no border, plain centres."""
    return project


def plan(
    sources: Sequence[Path],
    top: Top,
    *,
    dress: Callable[[Project], Project] = keep_bare,
    weights: Weights | None = None,
    watch: tuple[Watched, ...] | None = None,
    seed: int = 1,
    seconds: float | None = None,
    send: Callable[[object], None] = lambda _item: None,
) -> Planned:
    """Bring fabrics in and deal them over a top.

    Parameters
    ----------
    sources
        Photos, folders of photos, fabric lists.
    top
        How many plates and wedges.
    dress
        Gives the project its title and what lies between and around the plates.
    weights, watch
        What each flag costs, and the value steps whose clumps count; None takes the usual.
    seed
        The same seed on the same sources deals the same.
    seconds
        A ceiling for the deal.

    Raises
    ------
    NothingToPlanError
        If no fabric came of the sources.
    InvalidEditError, InvalidWedgeError
        If there is no such top or no such ring.
    CannotDealError
        If the pieces do not suffice; the message also names what could not be brought in.
    """
    project = _bare(top, sources)
    project = ChangeBalance(weights or Weights(), watch).apply(project)
    brought = bring_in(sources, send=send, new_id=numbered_ids())
    if not brought.fabrics:
        raise NothingToPlanError(
            "; ".join(brought.problems) or "There is no photo and no fabric list to plan from."
        )
    project = dress(with_fabrics(project, brought.fabrics))
    try:
        task = task_for(project, seed)
    except CannotDealError as error:
        # What was left out may be the very reason why there is too little.
        raise CannotDealError(" ".join([str(error), *brought.problems])) from error
    result = deal_pieces(task, seconds, send=send)
    return Planned(LayOut(result.cells).apply(project), result, brought.problems)


def with_fabrics(project: Project, fabrics: tuple[Fabric, ...]) -> Project:
    """Give a project with these fabrics on its shelf."""
    return msgspec.structs.replace(project, fabrics=fabrics)


def _bare(top: Top, sources: Sequence[Path]) -> Project:
    """Give an empty project of that top, titled after the first source."""
    title = name_from_path(sources[0]) if sources else UNTITLED
    project = msgspec.structs.replace(new_project(), title=title[:LONGEST_TITLE] or UNTITLED)
    project = change_top(project.board, across=top.across, down=top.down).apply(project)
    return ChangeWedge(usual_wedge(top.n)).apply(project)
