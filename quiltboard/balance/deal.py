"""Dealing: the program lays the pieces out, within what there is, better than it found them.

Flags come first and are never traded; among arrangements of equal flags the one that spreads
its fabrics further and uses them more evenly wins. What is pinned stays.
"""

from __future__ import annotations

import heapq
import random
from collections import Counter
from collections.abc import Callable, Mapping
from itertools import chain
from typing import Final, Literal

import msgspec

from quiltboard.balance.annealing import Budget, Pieces, Stop, Table, flag_cost, spread_cost
from quiltboard.balance.bounds import least_cost
from quiltboard.balance.flags import Laid, watched_steps
from quiltboard.balance.graph import graph_of_shape
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Board, Weights

Style = Literal["scrappy"]

_FEWEST_MOVES: Final = 200_000
_MOST_MOVES: Final = 3_000_000
_MOVES_A_WEDGE: Final = 4000
_FLAGS_SHARE: Final = 0.6
"""Of the moves, so many may go to the flags before the spread has its turn."""


class CannotDealError(ValueError):
    """A deal that cannot begin; the message says what is wanting, with the numbers."""


class DealTask(msgspec.Struct, frozen=True):
    """Everything a deal needs to know, as plain values for another process.

    Attributes
    ----------
    across, down
        Plates in a row, and rows.
    cells
        What lies on each plate now, clockwise from the top.
    pins
        For each plate, the wedges that keep what they have.
    steps
        Each fabric's value step.
    available
        How many wedges there are of each fabric that may be used; None is as many as needed.
    weights
        What each flag costs.
    watched
        Value steps whose clumps count.
    seed
        The same seed and moves give the same arrangement.
    moves
        How many moves to try.
    style
        How the pieces are to lie.
    afresh
        Whether another arrangement is wanted even where the flags of the present one cannot be
        bettered: a new one of equal flags is then taken.
    pools
        Fabrics that are pools, and how many different cloths each has; more than one.
    place_steps
        For each large print, its value step at every place, in reading order.
    """

    across: int
    down: int
    cells: tuple[Laid, ...]
    pins: tuple[tuple[int, ...], ...]
    steps: dict[FabricId, Step]
    available: dict[FabricId, int | None]
    weights: Weights
    watched: tuple[Step, ...]
    seed: int
    moves: int
    style: Style = "scrappy"
    afresh: bool = False
    pools: dict[FabricId, int] = {}
    place_steps: dict[FabricId, tuple[Step, ...]] = {}


class DealResult(msgspec.Struct, frozen=True):
    """What a deal came to.

    Attributes
    ----------
    cells
        What lies on each plate, clockwise from the top.
    cost
        What the flags of that cost.
    moves
        How many moves were tried.
    stopped_by
        "bound" where nothing can cost less, "moves" where they were used up, "clock", or
        "asked".
    seed
        The one it was dealt with.
    """

    cells: tuple[Laid, ...]
    cost: float
    moves: int
    stopped_by: Stop
    seed: int


def usual_moves(places: int) -> int:
    """Give a budget of moves that suits a board of so many wedges."""
    return min(_MOST_MOVES, max(_FEWEST_MOVES, _MOVES_A_WEDGE * places))


def deal_task(
    board: Board,
    steps: Mapping[FabricId, Step],
    available: Mapping[FabricId, int | None],
    ground_value: float,
    seed: int,
    *,
    moves: int | None = None,
    style: Style = "scrappy",
    afresh: bool = False,
    pools: Mapping[FabricId, int] | None = None,
    place_steps: Mapping[FabricId, tuple[Step, ...]] | None = None,
) -> DealTask:
    """Write down what a deal of this board needs.

    Parameters
    ----------
    board
        As it is now.
    steps
        Each fabric's value step.
    available
        How many wedges there are of each fabric that may be used; None is as many as needed.
    ground_value
        L* of the ground.
    seed
        The same seed gives the same deal.
    moves
        How many moves to try, or None for what suits the board.
    style
        How the pieces are to lie.
    afresh
        Whether a new arrangement of equal flags is to be taken.
    pools
        Fabrics that are pools, and how many different cloths each has.
    place_steps
        For each large print, its value step at every place, in reading order.

    Raises
    ------
    CannotDealError
        If there are no fabrics, or fewer pieces than the board has wedges to fill.
    """
    task = DealTask(
        across=board.across,
        down=board.down,
        cells=tuple(block.cells for block in board.blocks),
        pins=tuple(block.pins for block in board.blocks),
        steps=dict(steps),
        available=dict(available),
        weights=board.weights,
        watched=watched_steps(board, ground_value),
        seed=seed,
        moves=usual_moves(board.places) if moves is None else moves,
        style=style,
        afresh=afresh,
        pools=dict(pools or {}),
        place_steps=dict(place_steps or {}),
    )
    _require_enough(task, _lay_bare(task))
    return task


def deal(
    task: DealTask,
    progress: Callable[[float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
    seconds: float | None = None,
) -> DealResult:
    """Deal the pieces out; the result is never worse than what was there.

    A board that was fully laid within what there is keeps its arrangement unless the deal finds
    one with a lower cost, or one of equal cost that is spread further and more evenly (if dealt
    afresh: any other of equal cost).

    Parameters
    ----------
    task
        From `deal_task`.
    progress
        Called with 0 to 1 now and then.
    should_stop
        Asked now and then; True ends the deal with the best so far.
    seconds
        A ceiling; the moves are the budget.

    Raises
    ------
    CannotDealError
        If there are no fabrics, or fewer pieces than the board has wedges to fill.
    """
    fabrics = _fabrics(task)
    pieces = _lay_bare(task)
    _require_enough(task, pieces)
    rng = random.Random(task.seed)
    _deal_out(pieces, rng)
    bound = _least(task, pieces)
    budget = Budget(task.moves, seconds, progress, should_stop)
    found = [_as_it_was(task, pieces)]
    if pieces.free:
        table = Table(pieces, rng)
        table.settle_flags(budget, _FLAGS_SHARE, bound)
        found.append(table.laid)
        if budget.stopped is None and _can_spread(task, pieces):
            table.settle_spread(budget, 1 - _FLAGS_SHARE)
            found.append(table.laid)
    else:
        found.append(pieces.laid)
    before = found[0]
    best = min(
        (laid for laid in found if laid is not None),
        key=lambda laid: (
            flag_cost(pieces, laid),
            task.afresh and laid is before,
            spread_cost(pieces, laid),
        ),
    )
    cost = flag_cost(pieces, best)
    proven = cost <= bound + 1e-9 or not pieces.free
    finished = budget.stopped in {None, "moves"}
    n = pieces.n
    laid = [fabrics[i] if i < len(fabrics) else None for i in best]
    if progress is not None:
        progress(1.0)
    return DealResult(
        cells=tuple(tuple(laid[at : at + n]) for at in range(0, len(laid), n)),
        cost=cost,
        moves=budget.done,
        stopped_by="bound" if proven and finished else budget.stopped or "moves",
        seed=task.seed,
    )


def _fabrics(task: DealTask) -> list[FabricId]:
    """List the fabrics on offer, then any that is only on the board."""
    on_board = (fabric for fabric in chain.from_iterable(task.cells) if fabric is not None)
    return list(dict.fromkeys(chain(task.available, on_board)))


def _numbers(task: DealTask) -> dict[FabricId, int]:
    return {fabric: i for i, fabric in enumerate(_fabrics(task))}


def _lay_bare(task: DealTask) -> Pieces:
    """Write the board in numbers, with nothing but the pinned pieces laid (−1 elsewhere)."""
    number = _numbers(task)
    n = len(task.cells[0])
    watched: dict[Step, int] = {step: i for i, step in enumerate(task.watched, start=1)}
    # A large print has a step only where it lies; it is bound to none, whatever it measures.
    steps = (None if f in task.place_steps else task.steps.get(f) for f in number)
    marks = [0 if step is None else watched.get(step, 0) for step in steps]
    place_marks = {
        number[fabric]: [watched.get(step, 0) for step in by_place]
        for fabric, by_place in task.place_steps.items()
        if fabric in number
    }
    laid = [-1] * (n * len(task.cells))
    empty: set[int] = set()
    for b, (cells, pins) in enumerate(zip(task.cells, task.pins, strict=True)):
        for w in pins:
            fabric = cells[w]
            if fabric is None:
                empty.add(b * n + w)
                laid[b * n + w] = len(marks)
                marks.append(0)
            else:
                laid[b * n + w] = number[fabric]
    held = Counter(laid)
    places = len(laid)
    most = [
        max(held[i], min(places, places if there is None else there))
        for i, there in enumerate(task.available.get(fabric, 0) for fabric in number)
    ]
    return Pieces(
        n=n,
        laid=laid,
        free=[at for at, fabric in enumerate(laid) if fabric < 0],
        marks=marks,
        most=most,
        empty=frozenset(empty),
        graph=graph_of_shape(n, task.across, task.down),
        weights=task.weights,
        cloths={number[fabric]: c for fabric, c in task.pools.items() if fabric in number},
        place_marks=place_marks,
    )


def _require_enough(task: DealTask, pieces: Pieces) -> None:
    if not pieces.free:
        return
    if not task.available:
        raise CannotDealError("There are no fabrics to deal: put some on the shelf first.")
    wanted = len(pieces.free)
    held = Counter(pieces.laid)
    there = sum(most - held[i] for i, most in enumerate(pieces.most))
    if there < wanted:
        pinned = len(pieces.laid) - wanted
        besides = f" besides the {pinned} pinned" if pinned else ""
        have = f"there are only {there}" if there else "there are none left"
        raise CannotDealError(
            f"The board takes {wanted} wedges{besides} and {have}: "
            "add fabric, or take plates off the board."
        )


def _deal_out(pieces: Pieces, rng: random.Random) -> None:
    """Lay the free wedges from a fair pile: even use, each fabric over as many plates."""
    held, share_of = Counter(pieces.laid), pieces.shares
    order = list(range(len(pieces.most)))
    rng.shuffle(order)
    heap = [
        (held[i] * share_of[i], turn, i)
        for turn, i in enumerate(order)
        if held[i] < pieces.most[i]
    ]
    heapq.heapify(heap)
    shares: Counter[int] = Counter()
    for _ in pieces.free:
        _, turn, i = heap[0]
        shares[i] += 1
        used = held[i] + shares[i]
        if used < pieces.most[i]:
            heapq.heapreplace(heap, (used * share_of[i], turn, i))
        else:
            heapq.heappop(heap)
    pile = [i for i in order for _ in range(shares[i])]
    # Plates are served in turn, so that a fabric's pieces go to as many of them as they can.
    plates: dict[int, list[int]] = {}
    for at in pieces.free:
        plates.setdefault(at // pieces.n, []).append(at)
    turns = list(plates.values())
    rng.shuffle(turns)
    for wedges in turns:
        rng.shuffle(wedges)
    rounds = max(map(len, turns), default=0)
    seats = (wedges[r] for r in range(rounds) for wedges in turns if r < len(wedges))
    for at, i in zip(seats, pile, strict=True):
        pieces.laid[at] = i


def _least(task: DealTask, pieces: Pieces) -> float:
    """Bound the cost by the pieces that the board must take, whatever else is there."""
    if pieces.empty:
        return 0.0  # The pigeonhole speaks of full rings only.
    places, supply = len(pieces.laid), sum(pieces.most)
    forced = [
        max(0, places - (supply - most))
        for i, most in enumerate(pieces.most)
        if i not in pieces.cloths
    ]
    by_step: Counter[int] = Counter()
    for i, most in enumerate(pieces.most):
        by_step[pieces.marks[i]] += most
    steps = [max(0, places - (supply - most)) for mark, most in by_step.items() if mark]
    return least_cost(pieces.n, len(task.cells), forced, steps, task.weights)


def _as_it_was(task: DealTask, pieces: Pieces) -> list[int] | None:
    """Give the old arrangement, or None if it had gaps or asked for more than there is."""
    number = _numbers(task)
    laid = list(pieces.laid)
    before = list(chain.from_iterable(task.cells))
    for at in pieces.free:
        fabric = before[at]
        if fabric is None:
            return None
        laid[at] = number[fabric]
    used = Counter(laid)
    if any(used[i] > most for i, most in enumerate(pieces.most)):
        return None
    return laid


def _can_spread(task: DealTask, pieces: Pieces) -> bool:
    return len(task.cells) > 1 or sum(pieces.most) > len(pieces.laid) - len(pieces.empty)
