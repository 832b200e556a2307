"""Which wedges and plates lie beside which."""

from __future__ import annotations

import pytest

from quiltboard.balance.graph import graph_of_shape


def test_a_ring_closes() -> None:
    graph = graph_of_shape(6, 1, 1)
    assert graph.pairs == ((0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (5, 0))
    assert graph.hops[-2:] == ((4, 5, 0), (5, 0, 1))


@pytest.mark.parametrize("n", [5, 6, 7, 12, 40])
def test_no_two_wedges_are_listed_twice(n: int) -> None:
    graph = graph_of_shape(n, 1, 1)
    pairs = {frozenset(pair) for pair in graph.pairs}
    hops = {frozenset((first, second)) for first, _, second in graph.hops}
    assert len(pairs) == len(hops) == n
    assert not pairs & hops


def test_a_ring_too_small_for_its_rules_is_refused() -> None:
    with pytest.raises(ValueError, match="five wedges or more"):
        graph_of_shape(4, 1, 1)


def test_plates_share_sides_and_corners() -> None:
    graph = graph_of_shape(6, 3, 2)
    assert graph.beside[0] == (1, 3)
    assert set(graph.beside[4]) == {3, 1, 5}
    assert set(graph.cornering[4]) == {0, 2}
    assert graph.cornering[2] == (4,)
