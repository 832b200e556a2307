"""Lower bounds are never above the cheapest arrangement there is."""

from __future__ import annotations

from itertools import product

import pytest

from quiltboard.balance.annealing import Pieces, flag_cost
from quiltboard.balance.bounds import least_cost, least_for_fabric, least_for_step
from quiltboard.balance.graph import graph_of_shape
from quiltboard.quilt.board import Weights

PRICES = [Weights(), Weights(touch=10, clump=30, close=20), Weights(touch=5, clump=0, close=1)]


@pytest.mark.parametrize("weights", PRICES)
@pytest.mark.parametrize("n", [6, 7])
def test_no_ring_undercuts_its_bound(n: int, weights: Weights) -> None:
    graph = graph_of_shape(n, 1, 1)
    for marks in ([1, 0, 0], [1, 1, 0], [1, 1, 2]):
        pieces = Pieces(n, [], [], marks, [n] * 3, frozenset(), graph, weights)
        for laid in product(range(3), repeat=n):
            fabrics = [laid.count(fabric) for fabric in range(3)]
            steps = [sum(marks[fabric] == mark for fabric in laid) for mark in (1, 2)]
            bound = least_cost(n, 1, fabrics, steps, weights)
            assert bound <= flag_cost(pieces, list(laid)) + 1e-9


@pytest.mark.parametrize(("m", "cost"), [(4, 0), (5, 60), (6, 120), (7, 300), (8, 480)])
def test_pieces_of_one_fabric_on_a_ring_of_twelve(m: int, cost: float) -> None:
    assert least_for_fabric(m, 12, Weights()) == cost


def test_pieces_of_one_step_on_a_ring_of_twelve() -> None:
    bounds = [least_for_step(m, 12, Weights()) for m in (8, 9, 12)]
    assert bounds == [0, 30 * 3, 30 * 12]


def test_over_plates_an_even_share_is_the_cheapest() -> None:
    close_only = Weights(touch=100, clump=0, close=20)
    # Four of twelve on each of five plates cost nothing; one more costs three too close.
    assert least_cost(12, 5, [20], [], close_only) == 0
    assert least_cost(12, 5, [21], [], close_only) == pytest.approx(60)
    assert least_cost(12, 5, [60], [], close_only) == pytest.approx(5 * 12 * 100)
