"""Small rings where the way to the cheapest arrangement is steep: the deal still finds it.

The cheapest cost is found by trying every arrangement there is.
"""

from __future__ import annotations

from itertools import product

import pytest

from quiltboard.balance.deal import DealTask, deal, usual_moves
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Watched, Weights

KALE, LEEK = FabricId("kale"), FabricId("leek")
Case = tuple[int, tuple[int, int], tuple[Step, Step], Weights, tuple[Watched, ...]]

CASES: list[Case] = [
    (8, (8, 8), ("light", "dark"), Weights(0, 5, 100), ("light", "dark")),
    (9, (9, 9), ("mixed", "mixed"), Weights(5, 100, 100), ("dark",)),
    (9, (5, 9), ("dark", "dark"), Weights(12.5, 5, 100), ("light",)),
    (8, (8, 8), ("medium", "dark"), Weights(5, 0, 30), ("dark",)),
    (8, (7, 8), ("light", "mixed"), Weights(30, 20, 250), ("dark",)),
]


def cheapest(case: Case) -> float:
    n, most, steps, weights, watched = case
    best = float("inf")
    for ring in product((0, 1), repeat=n):
        if any(ring.count(fabric) > most[fabric] for fabric in (0, 1)):
            continue
        threes = [(ring[i], ring[(i + 1) % n], ring[(i + 2) % n]) for i in range(n)]
        touches = sum(f == g for f, g, _ in threes)
        closes = sum(f == h != g for f, g, h in threes)
        clumps = sum(
            len({steps[fabric] for fabric in three}) == 1 and steps[three[0]] in watched
            for three in threes
        )
        cost = weights.touch * touches + weights.clump * clumps + weights.close * closes
        best = min(best, cost)
    return best


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("case", CASES)
def test_the_cheapest_arrangement_is_found(case: Case, seed: int) -> None:
    n, most, steps, weights, watched = case
    task = DealTask(
        across=1,
        down=1,
        cells=((None,) * n,),
        pins=((),),
        steps=dict(zip((KALE, LEEK), steps, strict=True)),
        available=dict(zip((KALE, LEEK), most, strict=True)),
        weights=weights,
        watched=watched,
        seed=seed,
        moves=usual_moves(n),
    )
    assert deal(task).cost == pytest.approx(cheapest(case))
