"""Laws of the balance and of the yields, over whatever boards and cloths hypothesis finds."""

from __future__ import annotations

from collections import Counter
from itertools import chain
from random import Random

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from quiltboard.balance.annealing import Pieces, Table, flag_cost
from quiltboard.balance.deal import deal, deal_task
from quiltboard.balance.flags import KINDS, find_flags
from quiltboard.balance.graph import graph_of_shape
from quiltboard.balance.report import check_board
from quiltboard.cutting.yields import wedges_from_cloth
from quiltboard.fabrics.fabric import Cloth, FabricId, Step
from quiltboard.quilt.board import Block, Board, Weights, empty_board
from quiltboard.shapes.wedge import usual_wedge
from quiltboard.units import Length

SHELF: dict[FabricId, Step] = {
    FabricId("Harbour Dot"): "dark",
    FabricId("Night Ferry"): "dark",
    FabricId("Gull Stripe"): "light",
    FabricId("Lantern"): "medium",
    FabricId("Newsprint"): "mixed",
}
VALUES = {fabric: 20.0 + 15 * i for i, fabric in enumerate(SHELF)}
PIECES = st.sampled_from([*SHELF, None])
RINGS = st.integers(6, 13).flatmap(lambda n: st.lists(PIECES, min_size=n, max_size=n))
PRICES = st.builds(
    Weights,
    touch=st.sampled_from([0, 1, 100]),
    clump=st.sampled_from([0, 30, 7.5]),
    close=st.sampled_from([0, 20, 45]),
)
STEP = st.sampled_from(["dark", "medium", "light"])
LARGE = st.dictionaries(
    st.sampled_from([*SHELF]), st.lists(STEP, min_size=13, max_size=13).map(tuple), max_size=3
)
"""Large prints: the step of a piece of each on any wedge of the longest ring."""
POOLS = st.dictionaries(st.sampled_from([*SHELF]), st.integers(2, 40), max_size=3)


def board(ring: list[FabricId | None], pins: tuple[int, ...] = ()) -> Board:
    bare = empty_board(1, 1, len(ring))
    return msgspec.structs.replace(bare, blocks=(Block(tuple(ring), pins),))


def said(laid: Board, relabel: dict[int, int]) -> Counter[tuple[object, ...]]:
    """Give a ring's flags without their order, its wedges named anew."""
    return Counter(
        (
            flag.key.kind,
            frozenset(relabel[cell.wedge] for cell in flag.key.cells),
            frozenset(flag.key.fabrics),
            flag.cost,
            flag.step,
        )
        for flag in find_flags(laid, SHELF, {}, 95)
    )


@given(ring=RINGS, turn=st.integers(0, 12))
def test_turning_a_ring_turns_its_flags(ring: list[FabricId | None], turn: int) -> None:
    n = len(ring)
    turned = [ring[(w - turn) % n] for w in range(n)]
    as_is = said(board(ring), {w: (w + turn) % n for w in range(n)})
    assert said(board(turned), {w: w for w in range(n)}) == as_is


@given(ring=RINGS)
def test_mirroring_a_ring_mirrors_its_flags(ring: list[FabricId | None]) -> None:
    n = len(ring)
    as_is = said(board(ring), {w: n - 1 - w for w in range(n)})
    assert said(board(ring[::-1]), {w: w for w in range(n)}) == as_is


@given(ring=RINGS, turn=st.integers(0, 12))
def test_turning_a_ring_turns_its_lean(ring: list[FabricId | None], turn: int) -> None:
    n = len(ring)
    turned = [ring[(w - turn) % n] for w in range(n)]
    (before,) = check_board(board(ring), SHELF, VALUES, {}, 95).heavy
    (after,) = check_board(board(turned), SHELF, VALUES, {}, 95).heavy
    assert abs(after.length - before.length) < 1e-9
    if before.direction_deg is not None and before.length > 1e-6:
        assert after.direction_deg is not None
        off = after.direction_deg - before.direction_deg - 360 * turn / n
        assert abs((off + 180) % 360 - 180) < 1e-6


@given(ring=RINGS, limits=st.dictionaries(st.sampled_from([*SHELF]), st.integers(0, 5)))
def test_short_counts_what_is_beyond_the_limit(
    ring: list[FabricId | None], limits: dict[FabricId, int]
) -> None:
    short = {
        flag.key.fabrics[0]: len(flag.key.cells)
        for flag in find_flags(board(ring), SHELF, limits, 95)
        if flag.key.kind == "short"
    }
    beyond = {fabric: ring.count(fabric) - most for fabric, most in limits.items()}
    assert short == {fabric: over for fabric, over in beyond.items() if over > 0}


@given(ring=RINGS, weights=PRICES)
def test_flags_come_by_weight_and_a_report_adds_them_up(
    ring: list[FabricId | None], weights: Weights
) -> None:
    laid = msgspec.structs.replace(board(ring), weights=weights)
    report = check_board(laid, SHELF, VALUES, {}, 95)
    kinds = [KINDS.index(flag.key.kind) for flag in report.flags]
    assert kinds == sorted(kinds)
    assert abs(report.cost - sum(flag.cost for flag in report.flags)) < 1e-9
    assert len({flag.key for flag in report.flags}) == len(report.flags)


@given(
    rings=st.lists(st.lists(st.integers(0, 4), min_size=7, max_size=7), min_size=1, max_size=3),
    holes=st.sets(st.integers(0, 6), max_size=3),
    weights=PRICES,
    moves=st.lists(st.tuples(st.integers(0, 20), st.integers(0, 4)), max_size=30),
    pools=st.dictionaries(st.integers(0, 4), st.integers(2, 9), max_size=3),
    large=st.dictionaries(
        st.integers(0, 4), st.lists(st.integers(0, 2), min_size=21, max_size=21), max_size=3
    ),
)
def test_a_change_costs_the_difference_of_the_whole(
    rings: list[list[int]],
    holes: set[int],
    weights: Weights,
    moves: list[tuple[int, int]],
    pools: dict[int, int],
    large: dict[int, list[int]],
) -> None:
    laid = list(chain.from_iterable(rings))
    marks = [1, 1, 2, 0, 0]
    for at in sorted(holes):
        laid[at] = len(marks)
        marks.append(0)
    graph = graph_of_shape(7, len(rings), 1)
    by_place = {fabric: row[: len(laid)] for fabric, row in large.items()}
    pieces = Pieces(
        7, laid, [], marks, [99] * 5, frozenset(holes), graph, weights, pools, by_place
    )
    cost = flag_cost(pieces, laid)
    for at, fabric in moves:
        if at >= len(laid) or at in holes:
            continue
        pieces.laid = laid
        change = Table(pieces, Random(0)).delta(at, fabric)
        laid[at] = fabric
        assert abs(cost + change - flag_cost(pieces, laid)) < 1e-9
        cost += change


@settings(max_examples=40)
@given(ring=RINGS, weights=PRICES, pools=POOLS, large=LARGE, seed=st.integers(0, 99))
def test_dealing_counts_cost_as_the_flags_do(
    ring: list[FabricId | None],
    weights: Weights,
    pools: dict[FabricId, int],
    large: dict[FabricId, tuple[Step, ...]],
    seed: int,
) -> None:
    by_place = {fabric: steps[: len(ring)] for fabric, steps in large.items()}
    pins = tuple(range(0, len(ring), 3))
    laid = msgspec.structs.replace(board(ring, pins), weights=weights)
    there = {fabric: pools.get(fabric) for fabric in SHELF}
    task = deal_task(
        laid, SHELF, there, 95, seed, moves=2_000, pools=pools, place_steps=by_place
    )
    result = deal(task)
    after = msgspec.structs.replace(laid, blocks=(Block(result.cells[0], pins),))
    own = {
        cell: by_place[fabric][cell.wedge]
        for cell, fabric in after.cells()
        if fabric in by_place
    }
    cost = sum(flag.cost for flag in find_flags(after, SHELF, {}, 95, pools, own))
    assert abs(result.cost - cost) < 1e-9


@given(ring=RINGS, pools=POOLS)
def test_a_pool_neither_touches_nor_lies_too_close_and_clumps_as_ever(
    ring: list[FabricId | None], pools: dict[FabricId, int]
) -> None:
    single = find_flags(board(ring), SHELF, {}, 95)
    pooled = find_flags(board(ring), SHELF, {}, 95, pools)
    assert pooled == tuple(
        flag
        for flag in single
        if flag.key.kind == "clump" or pools.keys().isdisjoint(flag.key.fabrics)
    )


@settings(max_examples=40)
@given(
    ring=RINGS,
    pinned=st.sets(st.integers(0, 12), max_size=6),
    limits=st.fixed_dictionaries({fabric: st.integers(4, 9) for fabric in SHELF}),
    seed=st.integers(0, 99),
)
def test_a_deal_holds_pins_and_limits_and_is_never_worse(
    ring: list[FabricId | None],
    pinned: set[int],
    limits: dict[FabricId, int],
    seed: int,
) -> None:
    pins = tuple(sorted(w for w in pinned if w < len(ring)))
    laid = board(ring, pins)
    result = deal(deal_task(laid, SHELF, limits, 95, seed, moves=2_000))
    (cells,) = result.cells
    assert all(cells[w] == ring[w] for w in pins)
    held = Counter(ring[w] for w in pins)
    for fabric, most in limits.items():
        assert cells.count(fabric) <= max(most, held[fabric])
    assert all(cells[w] is not None for w in range(len(ring)) if w not in pins)
    before = check_board(laid, SHELF, VALUES, limits, 95)
    if None not in ring and not before.counts["short"]:
        assert result.cost <= before.cost


LENGTHS = st.integers(1, 60 * 8128).map(Length)


@given(n=st.integers(6, 40), length=LENGTHS, width=LENGTHS, longer=LENGTHS, wider=LENGTHS)
def test_more_cloth_never_gives_fewer_wedges(
    n: int, length: Length, width: Length, longer: Length, wider: Length
) -> None:
    wedge = usual_wedge(n)
    less = wedges_from_cloth(Cloth(length, width), wedge)
    assert wedges_from_cloth(Cloth(Length(length + longer), width), wedge) >= less
    assert wedges_from_cloth(Cloth(length, Length(width + wider)), wedge) >= less


@given(n=st.integers(6, 40), length=LENGTHS, width=LENGTHS)
def test_no_wedge_is_made_of_nothing(n: int, length: Length, width: Length) -> None:
    wedge = usual_wedge(n)
    given_ = wedges_from_cloth(Cloth(length, width), wedge)
    # Twice a wedge's area is its length times the sum of its ends; the wide one is over b.
    assert given_ * 2 * wedge.narrow * wedge.length <= 2 * length * width
