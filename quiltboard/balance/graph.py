"""Which wedges of a top lie beside which: the one adjacency that flags and dealing share.

A wedge is named by its place on its ring, clockwise from the top from 0; a plate by its place
row by row from 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Graph:
    """What lies beside what.

    Attributes
    ----------
    pairs
        Neighbours on every ring, each pair once, clockwise.
    hops
        Next but one on every ring: first, between and second wedge, each hop once, clockwise.
    beside
        For each plate, the plates that share a side with it.
    cornering
        For each plate, the plates that share only a corner with it.
    """

    pairs: tuple[tuple[int, int], ...]
    hops: tuple[tuple[int, int, int], ...]
    beside: tuple[tuple[int, ...], ...]
    cornering: tuple[tuple[int, ...], ...]


@lru_cache(maxsize=64)
def graph_of_shape(n: int, across: int, down: int) -> Graph:
    """Give the adjacency of ``across`` by ``down`` plates of n wedges.

    Parameters
    ----------
    n
        Wedges to a ring, five or more: on smaller rings a wedge would be next but one to its
        own neighbour, or twice to one other.
    across, down
        Plates in a row, and rows.

    Raises
    ------
    ValueError
        If a ring has fewer than five wedges.
    """
    if n < 5:
        raise ValueError("a ring has five wedges or more")
    sides, corners = ((0, -1), (-1, 0), (1, 0), (0, 1)), ((-1, -1), (1, -1), (-1, 1), (1, 1))
    return Graph(
        pairs=tuple((w, (w + 1) % n) for w in range(n)),
        hops=tuple((w, (w + 1) % n, (w + 2) % n) for w in range(n)),
        beside=_plates_at(sides, across, down),
        cornering=_plates_at(corners, across, down),
    )


def _plates_at(
    steps: tuple[tuple[int, int], ...], across: int, down: int
) -> tuple[tuple[int, ...], ...]:
    return tuple(
        tuple(
            (row + dy) * across + column + dx
            for dx, dy in steps
            if 0 <= column + dx < across and 0 <= row + dy < down
        )
        for row in range(down)
        for column in range(across)
    )
