"""Deal a project's pieces over its board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from quiltboard.balance.deal import DealResult, DealTask, deal, deal_task
from quiltboard.errands.judge import read_shelf, value_of
from quiltboard.errands.wedge_values import steps_everywhere
from quiltboard.project.edits import LayOut
from quiltboard.project.project import Project


@dataclass(frozen=True)
class Dealt:
    """A project before and after a deal, and what the deal says."""

    before: Project
    after: Project
    result: DealResult


def task_for(
    project: Project, seed: int, moves: int | None = None, *, afresh: bool = False
) -> DealTask:
    """Put together what a deal needs to know of a project.

    Parameters are as in `balance.deal.deal_task`.

    Raises
    ------
    CannotDealError
        If there are no fabrics or too few pieces; said before anything is dealt.
    """
    board = project.board
    shelf = read_shelf(project.fabrics, board.wedge, board.step_count)
    return deal_task(
        board,
        shelf.steps,
        shelf.available,
        value_of(board.ground, shelf.values),
        seed=seed,
        moves=moves,
        afresh=afresh,
        pools=shelf.pools,
        place_steps=steps_everywhere(shelf.prints, len(board.blocks)),
    )


def deal_pieces(
    task: DealTask,
    seconds: float | None = None,
    *,
    send: Callable[[object], None] = lambda _item: None,
    should_stop: Callable[[], bool] = lambda: False,
) -> DealResult:
    """Deal; ``send`` hears how far it is, from 0 to 1.

    Raises
    ------
    CannotDealError
        If there are no fabrics or too few pieces.
    """
    return deal(task, progress=send, should_stop=should_stop, seconds=seconds)


def deal_again(project: Project, seed: int, seconds: float | None = None) -> Dealt:
    """Deal a project's pieces over its own board.

    Raises
    ------
    CannotDealError
        If there are no fabrics or too few pieces.
    """
    result = deal_pieces(task_for(project, seed), seconds)
    return Dealt(project, LayOut(result.cells).apply(project), result)
