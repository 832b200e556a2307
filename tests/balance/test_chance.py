"""A ring's lean against shuffles of its own pieces."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from quiltboard.balance.chance import Chance, heavy_against_shuffles
from quiltboard.balance.report import lean

DARK, PALE = 20.0, 100.0


def ring(*dark: int) -> tuple[float, ...]:
    return tuple(DARK if w in dark else PALE for w in range(12))


def test_the_share_agrees_with_every_arrangement_there_is() -> None:
    own = lean(0, ring(0, 1, 2, 5), 100.0).length
    every = [lean(0, ring(*dark), 100.0).length for dark in combinations(range(12), 4)]
    share = sum(length >= own - 1e-9 for length in every) / len(every)
    chance = heavy_against_shuffles(ring(0, 1, 2, 5), 100.0, shuffles=20_000)
    # Four standard errors of a share estimated from 20,000 shuffles.
    margin = 4 * math.sqrt(share * (1 - share) / 20_000)
    assert chance.share == pytest.approx(share, abs=margin)


def test_the_heaviest_arrangement_is_unlikely_and_outside_the_circle() -> None:
    values = ring(0, 1, 2, 3, 4, 5)
    chance = heavy_against_shuffles(values, 100.0)
    assert 1 / 1001 <= chance.share < 0.05
    assert lean(0, values, 100.0).length > chance.circle > 0


def test_opposite_knots_are_as_likely_as_can_be() -> None:
    assert heavy_against_shuffles(ring(0, 6), 100.0).share == 1.0


def test_the_same_seed_shuffles_the_same() -> None:
    first, second = (heavy_against_shuffles(ring(0, 1, 2, 5), 100.0, seed=7) for _ in range(2))
    assert first == second


def test_empty_wedges_stay_empty() -> None:
    values = (DARK, None, None, None, None, None, DARK, None, None, None, None, None)
    chance = heavy_against_shuffles(values, 100.0)
    assert (chance.share, round(chance.circle, 9)) == (1.0, 0.0)


def test_nothing_that_weighs_has_no_lean() -> None:
    assert heavy_against_shuffles((None,) * 12, 100.0) == Chance(1.0, 0.0)
