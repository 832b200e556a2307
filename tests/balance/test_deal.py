"""Dealing: within what there is, never worse, and as good as can be where that is known."""

from __future__ import annotations

import pickle
from collections import Counter, defaultdict
from collections.abc import Mapping
from functools import lru_cache
from itertools import chain, count, product

import msgspec
import pytest

from quiltboard.balance.deal import (
    CannotDealError,
    DealResult,
    DealTask,
    deal,
    deal_task,
    usual_moves,
)
from quiltboard.balance.flags import find_flags
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Block, Board, Cell, Weights, empty_board

GROUND = 95.0
DOT, KELP, GULL = FabricId("Harbour Dot"), FabricId("Kelp"), FabricId("Gull Stripe")
SHELF: dict[FabricId, Step] = {DOT: "dark", KELP: "medium", GULL: "light"}


def prints(number: int, dark: int) -> dict[FabricId, Step]:
    """Give so many fabrics, the first of them dark, the rest light and medium by turns."""
    rest: tuple[Step, Step] = ("light", "medium")
    return {FabricId(f"Print {i}"): "dark" if i < dark else rest[i % 2] for i in range(number)}


def laid(board: Board, result: DealResult) -> Board:
    blocks = tuple(
        Block(cells, block.pins)
        for cells, block in zip(result.cells, board.blocks, strict=True)
    )
    return msgspec.structs.replace(board, blocks=blocks)


def cost(board: Board, steps: Mapping[FabricId, Step]) -> float:
    return sum(flag.cost for flag in find_flags(board, steps, {}, GROUND))


def used(result: DealResult) -> Counter[FabricId | None]:
    return Counter(chain.from_iterable(result.cells))


bare = lru_cache(maxsize=None)(empty_board)


def with_ring(ring: tuple[FabricId | None, ...], pins: tuple[int, ...] = ()) -> Board:
    return msgspec.structs.replace(bare(1, 1, len(ring)), blocks=(Block(ring, pins),))


@pytest.mark.parametrize("steps", [("dark", "light", "medium"), ("dark", "dark", "light")])
@pytest.mark.parametrize("n", [6, 7])
def test_small_rings_are_dealt_as_well_as_any_order_there_is(
    n: int, steps: tuple[Step, Step, Step]
) -> None:
    shelf = dict(zip(SHELF, steps, strict=True))
    best: dict[tuple[int, ...], float] = defaultdict(lambda: float("inf"))
    for ring in product(shelf, repeat=n):
        counts = tuple(ring.count(fabric) for fabric in shelf)
        best[counts] = min(best[counts], cost(with_ring(ring), shelf))
    for seed, (counts, least) in enumerate(best.items()):
        there = dict(zip(shelf, counts, strict=True))
        board = empty_board(1, 1, n)
        result = deal(deal_task(board, shelf, there, GROUND, seed, moves=10_000))
        assert used(result) == Counter(there)
        assert result.cost == cost(laid(board, result), shelf) == least


def test_where_there_is_choice_the_best_pieces_are_taken() -> None:
    shelf: dict[FabricId, Step] = {DOT: "dark", KELP: "dark", GULL: "light"}
    limits = {DOT: 4, KELP: 5, GULL: 3}
    least = min(
        cost(with_ring(ring), shelf)
        for ring in product(shelf, repeat=7)
        if all(ring.count(fabric) <= most for fabric, most in limits.items())
    )
    for seed in range(5):
        task = deal_task(empty_board(1, 1, 7), shelf, limits, GROUND, seed, moves=10_000)
        assert deal(task).cost == least


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_throw_is_dealt_without_a_flag(seed: int) -> None:
    steps = prints(24, 8)
    there: dict[FabricId, int | None] = {
        fabric: (8, 8, 16, 24)[i % 4] for i, fabric in enumerate(steps)
    }
    board = empty_board(4, 5)
    result = deal(deal_task(board, steps, there, GROUND, seed, moves=200_000))
    assert (result.cost, result.stopped_by, result.seed) == (0, "bound", seed)
    assert find_flags(laid(board, result), steps, there, GROUND) == ()


def test_pieces_are_used_evenly_up_to_what_there_is() -> None:
    steps = prints(6, 2)
    limits = (2, 5, None, None, None, None)
    there = dict(zip(steps, limits, strict=True))
    result = deal(deal_task(empty_board(2, 2), steps, there, GROUND, 1, moves=60_000))
    uses = [used(result)[fabric] for fabric in steps]
    assert uses[:2] == [2, 5]
    assert max(uses[2:]) - min(uses[2:]) <= 1
    assert sum(uses) == 48


def test_no_fabric_is_twice_on_a_plate_where_it_need_not_be() -> None:
    steps = prints(30, 8)
    result = deal(deal_task(empty_board(3, 3), steps, dict.fromkeys(steps), GROUND, 1))
    assert all(len(set(cells)) == 12 for cells in result.cells)


def test_pieces_stay_off_the_neighbouring_plates_where_they_can() -> None:
    steps = prints(24, 8)
    result = deal(deal_task(empty_board(2, 1), steps, dict.fromkeys(steps), GROUND, 1))
    assert not set(result.cells[0]) & set(result.cells[1])


def test_pinned_pieces_stay_and_count() -> None:
    ring = (DOT, None, None, DOT, None, None, DOT, None, None, None, None, None)
    board = with_ring(ring, pins=(0, 3, 6))
    there = {DOT: 4, KELP: None, GULL: None}
    result = deal(deal_task(board, SHELF, there, GROUND, 1, moves=20_000))
    assert [result.cells[0][w] for w in (0, 3, 6)] == [DOT] * 3
    assert used(result)[DOT] <= 4
    assert None not in result.cells[0]


def test_pinned_pieces_beyond_what_there_is_are_left_and_not_added_to() -> None:
    board = with_ring((DOT, None, None, DOT, None, None), pins=(0, 3))
    there = {DOT: 1, KELP: None, GULL: None}
    result = deal(deal_task(board, SHELF, there, GROUND, 1, moves=20_000))
    assert used(result)[DOT] == 2


def test_a_pinned_wedge_with_nothing_on_it_stays_empty() -> None:
    board = with_ring((None,) * 7, pins=(2,))
    result = deal(deal_task(board, SHELF, dict.fromkeys(SHELF), GROUND, 1, moves=20_000))
    assert result.cells[0][2] is None
    assert result.cells[0].count(None) == 1
    assert result.cost == cost(laid(board, result), SHELF)


def test_a_board_that_is_all_pinned_is_left_alone() -> None:
    board = with_ring((DOT, DOT, KELP, GULL, KELP, GULL), pins=(0, 1, 2, 3, 4, 5))
    result = deal(deal_task(board, SHELF, {}, GROUND, 1))
    assert result.cells == (board.blocks[0].cells,)
    assert (result.cost, result.moves, result.stopped_by) == (cost(board, SHELF), 0, "bound")


def test_fabrics_that_may_not_be_used_are_not() -> None:
    there = {DOT: 0, KELP: None, GULL: None}
    result = deal(deal_task(empty_board(1, 1), SHELF, there, GROUND, 1, moves=5_000))
    assert used(result)[DOT] == 0


def test_what_was_there_stays_unless_the_deal_is_better() -> None:
    steps = prints(12, 4)
    good = deal(deal_task(empty_board(1, 1), steps, dict.fromkeys(steps, 1), GROUND, 1))
    board = laid(empty_board(1, 1), good)
    again = deal(deal_task(board, steps, dict.fromkeys(steps, 1), GROUND, 2))
    assert again.cells == good.cells


@pytest.mark.parametrize("moves", [0, 1, 2_000])
def test_a_deal_with_hardly_a_move_is_never_worse(moves: int) -> None:
    steps = prints(8, 4)
    start = deal(deal_task(empty_board(2, 2), steps, dict.fromkeys(steps), GROUND, 1))
    board = laid(empty_board(2, 2), start)
    result = deal(deal_task(board, steps, dict.fromkeys(steps), GROUND, 5, moves=moves))
    assert result.cost <= start.cost


def test_what_was_there_does_not_stay_beyond_the_limits() -> None:
    board = with_ring((DOT, KELP, GULL, DOT, KELP, GULL))
    there = {DOT: 1, KELP: 3, GULL: 3}
    result = deal(deal_task(board, SHELF, there, GROUND, 1, moves=5_000))
    assert used(result)[DOT] <= 1


def test_the_same_seed_and_moves_deal_the_same() -> None:
    steps = prints(10, 5)
    task = deal_task(empty_board(2, 2), steps, dict.fromkeys(steps), GROUND, 9, moves=30_000)
    first = deal(task)
    assert first == deal(task, seconds=600)
    assert first.cells != deal(msgspec.structs.replace(task, seed=10)).cells


def test_a_task_travels_to_another_process() -> None:
    task = deal_task(empty_board(1, 1), SHELF, dict.fromkeys(SHELF), GROUND, 1, moves=2_000)
    assert deal(pickle.loads(pickle.dumps(task))) == deal(task)  # noqa: S301


def hard_task(moves: int) -> DealTask:
    """Give a task that goes on to the end: no order of these pieces meets the bound."""
    steps: dict[FabricId, Step] = {DOT: "dark", KELP: "dark", GULL: "light"}
    there = {DOT: 4, KELP: 5, GULL: 3}
    return deal_task(empty_board(1, 1), steps, there, GROUND, 1, moves=moves)


def test_moves_used_up_are_named_as_the_reason() -> None:
    result = deal(hard_task(30_000))
    assert result.stopped_by == "moves"
    assert 0 < result.moves <= 31_000


def test_stopping_keeps_the_best_so_far() -> None:
    asked = count()
    result = deal(hard_task(10_000_000), should_stop=lambda: next(asked) >= 3)
    assert result.stopped_by == "asked"
    assert None not in result.cells[0]
    assert used(result) == {DOT: 4, KELP: 5, GULL: 3}


def test_the_clock_is_a_ceiling() -> None:
    result = deal(hard_task(10_000_000), seconds=0.0)
    assert (result.stopped_by, result.moves) == ("clock", 0)
    assert None not in result.cells[0]


def test_progress_runs_from_nothing_to_one() -> None:
    seen: list[float] = []
    deal(hard_task(30_000), progress=seen.append)
    assert seen == sorted(seen)
    assert (seen[0], seen[-1]) == (0.0, 1.0)
    assert len(seen) > 10


def test_no_fabrics_is_said_before_dealing() -> None:
    with pytest.raises(CannotDealError, match="no fabrics to deal"):
        deal_task(empty_board(1, 1), {}, {}, GROUND, 1)


def test_too_few_pieces_are_said_with_the_numbers() -> None:
    there: dict[FabricId, int | None] = {DOT: 100, KELP: 100}
    with pytest.raises(CannotDealError, match=r"takes 240 wedges and there are only 200: add"):
        deal_task(empty_board(4, 5), SHELF, there, GROUND, 1)
    with pytest.raises(CannotDealError, match="takes 12 wedges and there are none left"):
        deal_task(empty_board(1, 1), SHELF, dict.fromkeys(SHELF, 0), GROUND, 1)


def test_pinned_pieces_are_not_counted_twice() -> None:
    board = with_ring((DOT, None, None, DOT, None, None), pins=(0, 3))
    with pytest.raises(
        CannotDealError, match="takes 4 wedges besides the 2 pinned and there are only 3"
    ):
        deal_task(board, SHELF, {DOT: 2, KELP: 3}, GROUND, 1)


def test_flags_of_no_cost_do_not_stand_in_the_way() -> None:
    board = msgspec.structs.replace(
        empty_board(1, 1, 6), weights=Weights(touch=0, clump=0, close=0)
    )
    result = deal(deal_task(board, SHELF, {DOT: 6}, GROUND, 1))
    assert result.cost == 0


def test_the_budget_grows_with_the_board() -> None:
    assert usual_moves(12) <= usual_moves(240) < usual_moves(2000) == usual_moves(4000)


def test_a_deal_afresh_gives_another_arrangement_as_good() -> None:
    board = empty_board(2, 2)
    fabrics = {FabricId(f"f{i}"): None for i in range(12)}
    steps: dict[FabricId, Step] = dict.fromkeys(fabrics, "medium")
    first = deal(deal_task(board, steps, fabrics, 50.0, seed=1))
    laid = msgspec.structs.replace(board, blocks=tuple(Block(cells) for cells in first.cells))
    again = deal(deal_task(laid, steps, fabrics, 50.0, seed=2, afresh=True))
    assert again.cost == first.cost == 0
    assert again.cells != first.cells


def test_small_rings_with_a_pool_are_dealt_as_well_as_any_order_there_is() -> None:
    pools = {KELP: 7}
    best: dict[tuple[int, ...], float] = defaultdict(lambda: float("inf"))
    for ring in product(SHELF, repeat=6):
        counts = tuple(ring.count(fabric) for fabric in SHELF)
        flags = find_flags(with_ring(ring), SHELF, {}, GROUND, pools)
        best[counts] = min(best[counts], sum(flag.cost for flag in flags))
    for seed, (counts, least) in enumerate(best.items()):
        there = dict(zip(SHELF, counts, strict=True))
        task = deal_task(
            empty_board(1, 1, 6), SHELF, there, GROUND, seed, moves=10_000, pools=pools
        )
        assert deal(task).cost == least


def test_a_pool_alone_is_proven_best_without_a_flag() -> None:
    task = deal_task(
        empty_board(2, 1), {KELP: "medium"}, {KELP: 38}, GROUND, 1, pools={KELP: 38}
    )
    result = deal(task)
    assert (result.cost, result.stopped_by) == (0, "bound")


def test_a_pool_is_used_by_its_cloths() -> None:
    steps: dict[FabricId, Step] = dict.fromkeys((DOT, GULL, KELP), "medium")
    there = {DOT: None, GULL: None, KELP: 38}
    board = empty_board(2, 2)
    for afresh in (1, 2):
        task = deal_task(board, steps, there, GROUND, afresh, pools={KELP: 38})
        result = deal(task)
        # Nothing but the pool's own number keeps it from an even share to a cloth.
        assert used(result) == {KELP: 38, DOT: 5, GULL: 5}
        board = laid(empty_board(2, 2), result)


def test_a_pool_is_spread_over_the_plates() -> None:
    steps = prints(24, 0) | {KELP: "medium"}
    there: dict[FabricId, int | None] = dict.fromkeys(steps, None) | {KELP: 36}
    result = deal(deal_task(empty_board(3, 3), steps, there, GROUND, 1, pools={KELP: 36}))
    on_plates = [cells.count(KELP) for cells in result.cells]
    assert max(on_plates) - min(on_plates) <= 3


def test_small_rings_with_a_large_print_are_dealt_as_well_as_any_order_there_is() -> None:
    own: dict[FabricId, tuple[Step, ...]] = {
        KELP: ("dark", "light", "dark", "dark", "light", "medium")
    }
    best: dict[tuple[int, ...], float] = defaultdict(lambda: float("inf"))
    for ring in product(SHELF, repeat=6):
        counts = tuple(ring.count(fabric) for fabric in SHELF)
        pieces = {Cell(0, w): own[KELP][w] for w, fabric in enumerate(ring) if fabric == KELP}
        flags = find_flags(with_ring(ring), SHELF, {}, GROUND, (), pieces)
        best[counts] = min(best[counts], sum(flag.cost for flag in flags))
    for seed, (counts, least) in enumerate(best.items()):
        there = dict(zip(SHELF, counts, strict=True))
        task = deal_task(
            empty_board(1, 1, 6), SHELF, there, GROUND, seed, moves=10_000, place_steps=own
        )
        assert deal(task).cost == least


def test_a_large_print_forces_no_clump_by_its_cloth_alone() -> None:
    weights = Weights(touch=0, close=0)
    board = msgspec.structs.replace(empty_board(1, 1, 6), weights=weights)
    own: dict[FabricId, tuple[Step, ...]] = {KELP: ("dark", "light") * 3}
    task = deal_task(board, {KELP: "dark"}, {KELP: None}, GROUND, 1, place_steps=own)
    result = deal(task)
    assert (result.cost, result.stopped_by) == (0, "bound")
