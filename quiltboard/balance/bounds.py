"""What no arrangement can undercut: a proven lower bound of a board's cost.

References
----------
Pigeonhole round a ring of n. Of m pieces of one fabric on it, m > n/2, at least 2m − n pairs
touch (Kvant, problem 251, for when none must). The m gaps from each piece to the next add up to
n; a touch is a gap of 1 and a piece too close a gap of 2, so twice the touches and the pieces
too close add up to 3m − n or more. A piece off the step breaks at most three of the n threes in
a row, so m pieces of a step make 3m − 2n of them or more.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from quiltboard.quilt.board import Weights


def least_for_fabric(m: int, n: int, weights: Weights) -> float:
    """Bound what m pieces of one fabric on a full ring of n cost in touches and too close."""
    return min(
        weights.touch * touches + weights.close * max(0, 3 * m - n - 2 * touches)
        for touches in range(max(0, 2 * m - n), m + 1)
    )


def least_for_step(m: int, n: int, weights: Weights) -> float:
    """Bound what m pieces of one watched value step on a full ring of n cost in clumps."""
    return weights.clump * max(0, 3 * m - 2 * n)


def least_cost(
    n: int,
    plates: int,
    fabrics: Iterable[int],
    steps: Iterable[int],
    weights: Weights,
) -> float:
    """Bound what a full board costs, however it is laid.

    Parameters
    ----------
    n, plates
        Wedges to a ring, and rings.
    fabrics
        The fewest pieces of each fabric that the board must take.
    steps
        The fewest pieces of each watched value step that it must take.
    weights
        What each flag costs.

    Returns
    -------
    float
        No arrangement costs less; an arrangement this cheap need not exist.
    """
    fabric_ring = _lower_hull([least_for_fabric(m, n, weights) for m in range(n + 1)])
    step_ring = _lower_hull([least_for_step(m, n, weights) for m in range(n + 1)])
    return math.fsum(
        _over_plates(ring, count, plates)
        for ring, counts in ((fabric_ring, fabrics), (step_ring, steps))
        for count in counts
    )


def _over_plates(ring: Sequence[tuple[int, float]], count: int, plates: int) -> float:
    """Bound a sum over plates: under a convex bound, an even share is the cheapest."""
    share = count / plates
    # A convex bound is the highest of the lines through its sides.
    return plates * max(
        cost0 + (cost1 - cost0) * (share - m0) / (m1 - m0)
        for (m0, cost0), (m1, cost1) in pairwise(ring)
    )


def _lower_hull(costs: Sequence[float]) -> list[tuple[int, float]]:
    """Give the corners of the largest convex bound under a ring's costs."""
    hull: list[tuple[int, float]] = []
    for m, cost in enumerate(costs):
        while len(hull) >= 2:
            (m0, cost0), (m1, cost1) = hull[-2:]
            if (cost1 - cost0) * (m - m0) < (cost - cost0) * (m1 - m0):
                break
            hull.pop()
        hull.append((m, cost))
    return hull
