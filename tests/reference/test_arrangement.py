"""Published counts of colourings, and figures on a circle, against our adjacency and flags.

Sources
-------
Colourings of a ring: the chromatic polynomial of a cycle, (k − 1)^n + (−1)^n (k − 1), as in
Lee & Shin (2019).
Rings without touches: *Kvant*, problem 251, for when there is one; the counts for an exact
set of pieces and the least number of touches were derived by enumeration.
Mean resultant length: Mardia & Jupp, *Directional Statistics*; values by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import product
from math import factorial, prod

import msgspec
import pytest

from quiltboard.balance.deal import deal, deal_task
from quiltboard.balance.flags import find_flags
from quiltboard.balance.graph import graph_of_shape
from quiltboard.balance.report import lean
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Block, Board, Weights, empty_board

Ring = tuple[FabricId, ...]
PRINTS = tuple(FabricId(f"Print {i}") for i in range(6))


@cache
def bare(n: int) -> Board:
    """Give a bare plate on which touches alone are looked for."""
    weights = Weights(touch=1, clump=0, close=0)
    return msgspec.structs.replace(empty_board(1, 1, n), weights=weights)


def touches(ring: Ring) -> int:
    board = msgspec.structs.replace(bare(len(ring)), blocks=(Block(ring),))
    return len(find_flags(board, {}, {}, 95))


def colourings(pairs: frozenset[frozenset[int]], places: int, k: int) -> int:
    """Count colourings without touches by deleting and merging (Whitney)."""
    if not pairs:
        return int(k**places)
    first, second = sorted(next(iter(pairs)))
    rest = pairs - {frozenset((first, second))}
    merged = frozenset(frozenset(first if w == second else w for w in pair) for pair in rest)
    return colourings(rest, places, k) - colourings(merged, places - 1, k)


def pairs_of(n: int) -> frozenset[frozenset[int]]:
    return frozenset(frozenset(pair) for pair in graph_of_shape(n, 1, 1).pairs)


@pytest.mark.parametrize(
    ("n", "k", "published"),
    [(12, 2, 2), (12, 3, 4098), (12, 4, 531_444), (12, 6, 244_140_630), (16, 3, 65_538)],
)
def test_colourings_of_our_adjacency(n: int, k: int, published: int) -> None:
    assert colourings(pairs_of(n), n, k) == published == (k - 1) ** n + (-1) ** n * (k - 1)


@pytest.mark.parametrize(("n", "k"), [(6, 2), (6, 3), (6, 4), (7, 2), (7, 3), (8, 3), (12, 2)])
def test_our_touch_finder_leaves_as_many_rings_as_the_formula(n: int, k: int) -> None:
    clean = sum(not touches(ring) for ring in product(PRINTS[:k], repeat=n))
    assert clean == (k - 1) ** n + (-1) ** n * (k - 1)


@pytest.mark.parametrize("n", [6, 7, 8])
def test_a_ring_need_not_touch_unless_one_fabric_has_over_half(n: int) -> None:
    least: dict[tuple[int, ...], int] = {}
    for ring in product(PRINTS[:3], repeat=n):
        counts = tuple(sorted(map(ring.count, PRINTS[:3])))
        least[counts] = min(least.get(counts, n), touches(ring))
    for counts, found in least.items():
        assert found == max(0, 2 * counts[-1] - n), counts


EXACT_SETS = [
    ((6, 6), 2),
    ((7, 5), 0),
    ((6, 5, 1), 12),
    ((6, 3, 3), 40),
    ((5, 4, 3), 408),
    ((4, 4, 4), 804),
    ((3, 3, 3, 3), 33_960),
    ((2, 2, 2, 2, 2, 2), 2_394_720),
]


def orders(counts: tuple[int, ...]) -> Iterator[Ring]:
    """Give every order of an exact set of pieces, each once."""

    def lay(left: tuple[int, ...], ring: Ring) -> Iterator[Ring]:
        if not any(left):
            yield ring
        for i, count in enumerate(left):
            if count:
                yield from lay((*left[:i], count - 1, *left[i + 1 :]), (*ring, PRINTS[i]))

    return lay(counts, ())


@pytest.mark.parametrize(("counts", "published"), EXACT_SETS[:6])
def test_an_exact_set_by_trying_every_order(counts: tuple[int, ...], published: int) -> None:
    found = [touches(ring) for ring in orders(counts)]
    assert len(found) == factorial(12) // prod(map(factorial, counts))
    assert found.count(0) == published


@pytest.mark.parametrize(("counts", "published"), EXACT_SETS)
def test_an_exact_set_along_our_adjacency(counts: tuple[int, ...], published: int) -> None:
    pairs = graph_of_shape(12, 1, 1).pairs
    assert [second for _, second in pairs] == [*range(1, 12), 0]

    @cache
    def ways(left: tuple[int, ...], first: int, last: int) -> int:
        if not any(left):
            return int(first != last)
        return sum(
            ways((*left[:i], count - 1, *left[i + 1 :]), first, i)
            for i, count in enumerate(left)
            if count and i != last
        )

    found = sum(
        ways((*counts[:i], count - 1, *counts[i + 1 :]), i, i) for i, count in enumerate(counts)
    )
    assert found == published


@pytest.mark.parametrize(("counts", "published"), EXACT_SETS)
def test_a_deal_of_an_exact_set_touches_only_if_it_must(
    counts: tuple[int, ...], published: int
) -> None:
    steps: dict[FabricId, Step] = dict.fromkeys(PRINTS[: len(counts)], "medium")
    there = dict(zip(steps, counts, strict=True))
    board = msgspec.structs.replace(empty_board(), weights=Weights(clump=0, close=0))
    result = deal(deal_task(board, steps, there, 95, seed=1, moves=50_000))
    assert Counter(result.cells[0]) == Counter(there)
    assert result.cost == 100 * max(0, 2 * max(counts) - 12)
    assert (result.cost == 0) == (published > 0)
    assert result.stopped_by == "bound"


@pytest.mark.parametrize(
    ("dark", "length"),
    [
        ((0, 6), 0.0),
        ((0, 1), 0.965926),
        ((0, 1, 2), 0.910684),
        ((0, 3), 0.707107),
        ((0, 1, 2, 3, 4, 5), 0.643951),
    ],
)
def test_mean_resultant_length_on_twelve_places(dark: tuple[int, ...], length: float) -> None:
    heavy = lean(0, tuple(20.0 if w in dark else 95.0 for w in range(12)), 95.0)
    assert heavy.length == pytest.approx(length, abs=5e-7)
    if length:
        assert heavy.direction_deg == pytest.approx(30 * (dark[0] + dark[-1]) / 2)
    else:
        assert heavy.direction_deg is None
