"""Finding a cheap arrangement: annealing over swaps, in plain numbers.

Pieces are numbers here: a fabric is its place in a list, a wedge its place in reading order.
The flags' cost is a sum over neighbours and over each three in a row (a clump of r is r − 2
threes), so what a change costs is read off the two wedges on either side.

The first pass anneals the flags' cost. The second holds it (no move may raise it) and anneals
what makes equals better: no fabric twice on a plate, none on plates beside each other, and even
use. Of a pool, even use is even use of its cloths: 38 pieces of 38 cloths are as even as one
piece of any other fabric. Its pieces are spread too, being of one kind, but hold each other off
less than pieces of one cloth do.

References
----------
Kirkpatrick, Gelatt & Vecchi, "Optimization by simulated annealing", Science 220 (1983).
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, Literal

from quiltboard.balance.graph import Graph
from quiltboard.quilt.board import Weights

Stop = Literal["moves", "clock", "asked", "bound"]

_LOOK_UP: Final = 1024
"""Moves between looks at the clock, and steps of cooling."""
_ROUND: Final = 2000
"""Moves for each free wedge in one round of cooling, where there are enough for several."""
_HOTTER: Final = 4
_SWAP_ON_PLATE: Final = 0.5
_TWICE: Final = 8
_BESIDE: Final = 2
_CORNERING: Final = 1
_EVEN: Final = 3
"""What a pair of one fabric costs on one plate, on plates side by side and on plates corner to
corner, and what uneven use costs, in the second pass."""
_NOISE: Final = 1e-9


@dataclass(slots=True)
class Pieces:
    """A board to be laid, in plain numbers.

    Attributes
    ----------
    n
        Wedges to a ring; ``len(laid)`` is a multiple of it.
    laid
        The fabric on each wedge. A pinned empty wedge carries a number of its own.
    free
        Wedges that may change.
    marks
        For each number in ``laid``, a small number for its watched step, or 0; 0 for a large
        print too.
    most
        How many pieces each fabric may give at most.
    empty
        Pinned wedges with nothing on them.
    graph
        What lies beside what.
    weights
        What each flag costs.
    cloths
        For each fabric that is a pool, how many different cloths it has; more than one.
    place_marks
        For each fabric that is a large print, its mark at every place.
    """

    n: int
    laid: list[int]
    free: list[int]
    marks: list[int]
    most: list[int]
    empty: frozenset[int]
    graph: Graph
    weights: Weights
    cloths: dict[int, int] = field(default_factory=dict)
    place_marks: dict[int, list[int]] = field(default_factory=dict)

    def marks_at(self, places: int) -> list[list[int]]:
        """Give each place the marks of all numbers there: one list, but for large prints."""
        if not self.place_marks:
            return [self.marks] * places
        rows = [list(self.marks) for _ in range(places)]
        for number, by_place in self.place_marks.items():
            for row, mark in zip(rows, by_place, strict=True):
                row[number] = mark
        return rows

    @property
    def shares(self) -> list[float]:
        """For each number in ``laid``, what share of it is one cloth: 1, less for a pool."""
        return [1 / self.cloths.get(number, 1) for number in range(len(self.marks))]

    @property
    def likeness(self) -> list[float]:
        """For each number in ``laid``, how alike two of its pieces are: 1, less for a pool.

        By its cloths alone a large pool would be let heap up on one plate; so it is the root.
        """
        return [math.sqrt(share) for share in self.shares]


@dataclass(slots=True)
class Budget:
    """How long to go on: so many moves, until the clock runs out, or until asked to stop."""

    moves: int
    seconds: float | None = None
    progress: Callable[[float], None] | None = None
    should_stop: Callable[[], bool] | None = None
    done: int = 0
    stopped: Stop | None = None
    _started: float = field(default_factory=time.monotonic)

    def spent(self) -> bool:
        """Tell whether to stop now, and note why."""
        if self.progress is not None:
            self.progress(min(1.0, self.done / max(1, self.moves)))
        if self.should_stop is not None and self.should_stop():
            self.stopped = "asked"
        elif self.seconds is not None and time.monotonic() - self._started >= self.seconds:
            self.stopped = "clock"
        elif self.done >= self.moves:
            self.stopped = "moves"
        return self.stopped is not None


class Table:
    """Pieces being moved about, with what that does to the cost."""

    def __init__(self, pieces: Pieces, rng: random.Random) -> None:
        self._pieces = pieces
        self._rng = rng
        self._laid = list(pieces.laid)
        self._plates = len(pieces.laid) // pieces.n
        self._used = [0] * len(pieces.most)
        self._shares, self._likeness = pieces.shares, pieces.likeness
        for fabric in self._laid:
            if fabric < len(self._used):
                self._used[fabric] += 1
        self.delta = _judge(pieces, self._laid)
        self.cost = flag_cost(pieces, self._laid)

    @property
    def laid(self) -> list[int]:
        """What lies where now."""
        return list(self._laid)

    @property
    def _spare(self) -> bool:
        return any(m > used for m, used in zip(self._pieces.most, self._used, strict=True))

    def settle_flags(self, budget: Budget, share: float, bound: float) -> None:
        """Anneal the flags' cost, and keep the cheapest arrangement met.

        Parameters
        ----------
        budget
            What may be spent in all.
        share
            The share of its moves that this pass may take.
        bound
            Nothing costs less; reaching it ends the pass.
        """
        rng = self._rng.random
        laid, delta, free, n = self._laid, self.delta, self._pieces.free, self._pieces.n
        used, most, share_of = self._used, self._pieces.most, self._shares
        on_plate = _by_plate(free, n)
        count, fabrics = len(free), len(most)
        replaces = 0.1 if self._spare and fabrics > 1 else 0.0
        cost = best = self.cost
        best_laid = list(laid)
        last = int(budget.moves * share)
        heat_at = _cooling(self._pieces.weights, last, count)
        while cost > bound + _NOISE and budget.done < last and not budget.spent():
            heat = heat_at(budget.done)
            for _ in range(_LOOK_UP):
                p = free[int(rng() * count)]
                f = laid[p]
                chance = rng()
                if chance < replaces:
                    g = int(rng() * fabrics)
                    if used[g] >= most[g] or f == g:
                        continue
                    change = delta(p, g)
                    # Less even use is welcome where it pays, and seldom otherwise.
                    odds = -change / heat - 0.25 * _more_uneven(used, share_of, f, g)
                    if change < -_NOISE or odds >= 0 or rng() < math.exp(odds):
                        laid[p] = g
                        used[f] -= 1
                        used[g] += 1
                        cost += change
                else:
                    near = on_plate[p // n] if chance > 1 - _SWAP_ON_PLATE else free
                    q = near[int(rng() * len(near))]
                    g = laid[q]
                    if f == g:
                        continue
                    change = delta(p, g)
                    laid[p] = g
                    change += delta(q, f)
                    if change > 0 and rng() >= math.exp(-change / heat):
                        laid[p] = f
                        continue
                    laid[q] = f
                    cost += change
                if cost < best - _NOISE:
                    best = cost
                    best_laid[:] = laid
                    if best <= bound + _NOISE:
                        break
            budget.done += _LOOK_UP
        self._take(best_laid)

    def settle_spread(self, budget: Budget, share: float) -> None:
        """Spread and even out what is laid, never raising the flags' cost.

        Parameters
        ----------
        budget
            What may be spent in all.
        share
            The share of its moves that this pass may take.
        """
        rng = self._rng.random
        laid, delta, free, n = self._laid, self.delta, self._pieces.free, self._pieces.n
        used, most, share_of = self._used, self._pieces.most, self._shares
        alike = self._likeness
        spread = _Spread(self._pieces, self._plates, laid)
        field_of, apart = spread.field_of, spread.apart
        count, fabrics = len(free), len(most)
        replaces = (0.25 if self._plates > 1 else 1.0) if self._spare else 0.0
        start, most_moves = budget.done, max(1, int(budget.moves * share))
        while (done := budget.done - start) < most_moves and not budget.spent():
            heat = 4.0 * 0.05 ** (done / most_moves)
            for _ in range(_LOOK_UP):
                p = free[int(rng() * count)]
                f = laid[p]
                here = field_of[p // n]
                if rng() < replaces:
                    g = int(rng() * fabrics)
                    if used[g] >= most[g] or f == g:
                        continue
                    worse = here[g] - here[f] + _TWICE * alike[f]
                    worse += _EVEN * _more_uneven(used, share_of, f, g)
                    if worse > 0 and rng() >= math.exp(-worse / heat):
                        continue
                    if delta(p, g) > _NOISE:
                        continue
                    laid[p] = g
                    used[f] -= 1
                    used[g] += 1
                    spread.move(f, p // n, -1)
                    spread.move(g, p // n, 1)
                    continue
                q = free[int(rng() * count)]
                g = laid[q]
                if f == g:
                    continue
                there = field_of[q // n]
                worse = there[f] - here[f] + here[g] - there[g]
                worse += apart(p // n, q // n) * (alike[f] + alike[g])
                if worse > 0 and rng() >= math.exp(-worse / heat):
                    continue
                change = delta(p, g)
                laid[p] = g
                if change + delta(q, f) > _NOISE:
                    laid[p] = f
                    continue
                laid[q] = f
                spread.swap(f, p // n, g, q // n)
            budget.done += _LOOK_UP
        self._take(self._laid)

    def _take(self, laid: list[int]) -> None:
        self._laid[:] = laid
        self._used[:] = [0] * len(self._used)
        for fabric in laid:
            if fabric < len(self._used):
                self._used[fabric] += 1
        self.cost = flag_cost(self._pieces, laid)


def flag_cost(pieces: Pieces, laid: list[int]) -> float:
    """Add up what the flags of a whole board cost."""
    weights = pieces.weights
    touches = clumps = closes = 0
    pools = pieces.cloths
    marks = [row[fabric] for row, fabric in zip(pieces.marks_at(len(laid)), laid, strict=True)]
    for start in range(0, len(laid), pieces.n):
        ring, marked = laid[start : start + pieces.n], marks[start : start + pieces.n]
        for first, second in pieces.graph.pairs:
            touches += ring[first] == ring[second] and ring[first] not in pools
        for first, between, second in pieces.graph.hops:
            f, g, h = ring[first], ring[between], ring[second]
            closes += f == h != g and f not in pools and start + between not in pieces.empty
            clumps += marked[first] == marked[between] == marked[second] != 0
    return weights.touch * touches + weights.clump * clumps + weights.close * closes


def spread_cost(pieces: Pieces, laid: list[int]) -> float:
    """Measure how badly a whole board is spread and how unevenly used; 0 would be perfect."""
    plates = len(laid) // pieces.n
    spread, share_of = _Spread(pieces, plates, laid), pieces.shares
    alike = pieces.likeness
    pairs = sum(
        near - _TWICE * alike[fabric]
        for at, fabric in enumerate(laid)
        if fabric < len(pieces.most)
        for near in [spread.field_of[at // pieces.n][fabric]]
    )
    uses = [laid.count(fabric) for fabric in range(len(pieces.most))]
    uneven = sum(use * use * share for use, share in zip(uses, share_of, strict=False))
    return pairs / 2 + _EVEN * uneven


def _more_uneven(used: list[int], share_of: list[float], f: int, g: int) -> float:
    """Tell how far a piece of f making room for one of g raises the sum of use² by cloth."""
    return (2 * used[g] + 1) * share_of[g] - (2 * used[f] - 1) * share_of[f]


class _Spread:
    """How much of each fabric lies on and around each plate."""

    def __init__(self, pieces: Pieces, plates: int, laid: list[int]) -> None:
        self._near = [
            [
                (plate, _TWICE),
                *((other, _BESIDE) for other in pieces.graph.beside[plate]),
                *((other, _CORNERING) for other in pieces.graph.cornering[plate]),
            ]
            for plate in range(plates)
        ]
        self._pull = [dict(near) for near in self._near]
        self._likeness = pieces.likeness
        # Pinned empty wedges carry numbers past the fabrics', and are never moved.
        self.field_of = [[0.0] * len(pieces.marks) for _ in range(plates)]
        for at, fabric in enumerate(laid):
            self.move(fabric, at // pieces.n, 1)

    def move(self, fabric: int, plate: int, by: int) -> None:
        """Lay a piece of a fabric on a plate (1) or take one off (−1)."""
        strength = by * self._likeness[fabric]
        for other, pull in self._near[plate]:
            self.field_of[other][fabric] += strength * pull

    def swap(self, fabric: int, plate: int, other: int, on: int) -> None:
        """Let a piece on one plate and a piece of another fabric on another change places."""
        if plate != on:
            self.move(fabric, plate, -1)
            self.move(fabric, on, 1)
            self.move(other, on, -1)
            self.move(other, plate, 1)

    def apart(self, plate: int, other: int) -> int:
        """Give what swapping a piece between plates does besides the fields' difference."""
        return _TWICE - self._pull[plate].get(other, 0)


def _judge(pieces: Pieces, laid: list[int]) -> Callable[[int, int], float]:
    """Give the function that tells what laying another fabric on a wedge would cost.

    Closing over plain lists makes it twice as fast as a method would be.
    """
    around = _around(pieces, len(laid))
    left, right, far_left, far_right = around
    marks_at, pools = pieces.marks_at(len(laid)), pieces.cloths
    touch, clump, close = pieces.weights.touch, pieces.weights.clump, pieces.weights.close

    def repeats(fabric: int, l1: int, r1: int, l2: int, r2: int) -> float:
        on_left = touch if fabric == l1 else close if fabric == l2 else 0.0
        on_right = touch if fabric == r1 else close if fabric == r2 else 0.0
        return on_left + on_right

    threes = _threes(pieces, around)

    def delta(at: int, new: int) -> float:
        old = laid[at]
        l1, r1 = laid[left[at]], laid[right[at]]
        l2, r2 = laid[far_left[at]], laid[far_right[at]]
        near = (l1, r1, l2, r2)
        change = 0.0
        if old in near and old not in pools:
            change -= repeats(old, l1, r1, l2, r2)
        if new in near and new not in pools:
            change += repeats(new, l1, r1, l2, r2)
        if l1 == r1 and l1 not in pools:
            # Too close, unless the piece between is of that fabric too.
            change += close * ((old == l1) - (new == l1))
        here = marks_at[at]
        was, becomes = here[old], here[new]
        if was != becomes:
            if was:
                change -= clump * threes(was, at, l1, r1, l2, r2)
            if becomes:
                change += clump * threes(becomes, at, l1, r1, l2, r2)
        return change

    return delta


def _threes(
    pieces: Pieces, around: tuple[list[int], ...]
) -> Callable[[int, int, int, int, int, int], int]:
    """Give the function that counts the threes in a row of one mark that a place is in.

    Where there are no large prints a fabric has one mark wherever it lies, which is sooner
    looked up.
    """
    marks, marks_at = pieces.marks, pieces.marks_at(len(around[0]))
    left, right, far_left, far_right = around

    def by_fabric(mark: int, _at: int, l1: int, r1: int, l2: int, r2: int) -> int:
        left_two, right_two = marks[l1] == mark, marks[r1] == mark
        return (
            (left_two and marks[l2] == mark)
            + (left_two and right_two)
            + (right_two and marks[r2] == mark)
        )

    def by_place(mark: int, at: int, l1: int, r1: int, l2: int, r2: int) -> int:
        left_two = marks_at[left[at]][l1] == mark
        right_two = marks_at[right[at]][r1] == mark
        return (
            (left_two and marks_at[far_left[at]][l2] == mark)
            + (left_two and right_two)
            + (right_two and marks_at[far_right[at]][r2] == mark)
        )

    return by_place if pieces.place_marks else by_fabric


def _around(pieces: Pieces, total: int) -> tuple[list[int], ...]:
    """Give for each place its neighbours left and right, and those beyond them."""
    n = pieces.n
    left = [at - 1 if at % n else at + n - 1 for at in range(total)]
    right = [at + 1 if (at + 1) % n else at - n + 1 for at in range(total)]
    # Nothing is too close across an empty wedge: what lies beyond is a wedge with no equal.
    nowhere = next(iter(pieces.empty), 0)
    far_left = [nowhere if left[at] in pieces.empty else left[left[at]] for at in range(total)]
    far_right = [
        nowhere if right[at] in pieces.empty else right[right[at]] for at in range(total)
    ]
    return left, right, far_left, far_right


def _by_plate(free: list[int], n: int) -> dict[int, list[int]]:
    plates: dict[int, list[int]] = {}
    for at in free:
        plates.setdefault(at // n, []).append(at)
    return plates


def _cooling(weights: Weights, last: int, count: int) -> Callable[[int], float]:
    """Give the heat after so many of ``last`` moves on ``count`` free wedges.

    Begun hotter, a large board takes longer to get as far; colder, it sticks (tried on boards
    of 48 to 2,000 wedges). A small board has moves to spare: it is heated again and again, and
    hot enough to leave any arrangement, for on a short ring the way to a better may be steep.
    """
    hottest, coldest = _heats(weights)
    rounds = max(1, last // (_ROUND * count))
    if rounds > 1:
        hottest *= _HOTTER
    return lambda done: hottest * (coldest / hottest) ** (done * rounds / last % 1)


def _heats(weights: Weights) -> tuple[float, float]:
    """Give the heat to begin and to end with."""
    costs = [cost for cost in (weights.touch, weights.clump, weights.close) if cost > 0]
    return (max(costs) / 12, min(costs) / 13) if costs else (1.0, 1.0)
