"""Light, medium and dark, or more steps: where a set of cloths falls apart by value."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import Final

import msgspec

from quiltboard.fabrics.fabric import STEPS, Fabric, FabricId, Step

FEWEST_STEPS: Final = 2
MOST_STEPS: Final = 7
USUAL_STEPS: Final = 3

LEAST_SHARE: Final = 1 / 6
"""What a step holds at least of all pieces. Beyond three steps it is half an even share."""

MIXED_SPREAD: Final = 20.0
"""How far apart, in L*, the quarters of a cloth must lie before it is both light and dark.
Without it every woven texture would be mixed in a set whose values lie close together."""

_NAMES: Final[dict[int, tuple[Step, ...]]] = {
    1: ("medium",),
    2: ("dark", "light"),
    3: ("dark", "medium", "light"),
    4: ("dark", "dark medium", "light medium", "light"),
    5: ("dark", "dark medium", "medium", "light medium", "light"),
    6: ("darkest", "dark", "dark medium", "light medium", "light", "lightest"),
    7: ("darkest", "dark", "dark medium", "medium", "light medium", "light", "lightest"),
}
_NOISE: Final = 1e-9


class Breaks(msgspec.Struct, frozen=True):
    """Where one value step ends and the next begins.

    Attributes
    ----------
    borders
        L* at which each step but the darkest begins, rising.
    """

    borders: tuple[float, ...] = ()

    @property
    def count(self) -> int:
        """How many steps there are."""
        return len(self.borders) + 1

    def place(self, value: float) -> int:
        """Give the step a value falls in, 0 for the darkest."""
        return bisect_right(self.borders, value)

    def step(self, value: float) -> Step:
        """Name the step a value falls in."""
        return step_names(self.count)[self.place(value)]


def value_steps(
    values: Mapping[FabricId, float],
    weights: Mapping[FabricId, float] | None = None,
    k: int = USUAL_STEPS,
) -> Breaks:
    """Find the steps a set of values falls apart into by itself.

    The steps are those that leave the least weighted variance inside them, found exactly, each
    holding at least a sixth of the weight (half an even share where there are more than three
    steps). Where no steps hold that much, the least share is lowered only as far as it must be:
    to the most that the lightest-laden step can be given. Equal values are never parted, and
    fewer different values than steps make fewer steps.

    Parameters
    ----------
    values
        L* of each fabric.
    weights
        Pieces of each; a fabric not named weighs nothing and sets no border. None, or no weight
        at all, weighs every fabric the same.
    k
        How many steps, 2 to 7.

    Returns
    -------
    Breaks
        Each border halfway between the two values it parts.

    Raises
    ------
    ValueError
        If ``k`` is out of bounds, or a value or weight is not a number or below zero.

    References
    ----------
    Fisher 1958, "On grouping for maximum homogeneity", doi 10.1080/01621459.1958.10501479.

    Examples
    --------
    >>> value_steps({"a": 20.0, "b": 25.0, "c": 55.0, "d": 90.0}).borders
    (40.0, 72.5)
    """
    if not FEWEST_STEPS <= k <= MOST_STEPS:
        raise ValueError(f"there are {FEWEST_STEPS} to {MOST_STEPS} value steps, not {k}")
    weighed = _weighed(values, weights)
    levels = sorted(weighed)
    count = min(k, len(levels))
    if count < 2:
        return Breaks()
    masses = [weighed[level] for level in levels]
    total = sum(masses)
    share = min(LEAST_SHARE, 1 / (2 * count))
    least = min(share * total, _most_even(masses, count)) - _NOISE * total
    starts = _least_variance(levels, masses, count, least)
    return Breaks(tuple((levels[at - 1] + levels[at]) / 2 for at in starts))


def step_names(count: int) -> tuple[Step, ...]:
    """Name the steps of a set that has so many, the darkest first.

    A set of one value, which is in no step of its own, is all medium.

    Parameters
    ----------
    count
        How many steps, 1 to 7.

    Raises
    ------
    KeyError
        If there is no such number of steps.

    Examples
    --------
    >>> step_names(4)
    ('dark', 'dark medium', 'light medium', 'light')
    """
    return _NAMES[count]


def steps_of(
    fabrics: Sequence[Fabric],
    weights: Mapping[FabricId, float] | None = None,
    k: int = USUAL_STEPS,
) -> dict[FabricId, Step]:
    """Give every fabric of a set its value step, or call it mixed.

    A step set by hand stands, whatever the cloth measures. Where a set of ``k`` has no step of
    that name, the nearest by rank from light to dark is taken; of two as near, the one nearer
    to what the cloth measures. It comes back as it was with the number of steps it was set in.

    A cloth whose dark quarter lies in the lower third of the steps and whose light quarter lies
    in the upper third is mixed, if the two are at least 20 L* apart (a third of four or five
    steps is one of them; two steps know no mixed). The quarters, not the ends, are asked: a few
    light spots on a dark ground leave it dark. They move along with a value set by hand.

    Fewer different values than steps take the names of a set of so many.

    Parameters
    ----------
    fabrics
        The set that is seen together.
    weights
        Pieces of each. A fabric with none yet counts as one piece, so that a cloth on the shelf
        has its step before it is used, and so that the first pieces on a board decide nothing.
    k
        How many steps, 2 to 7.

    Raises
    ------
    ValueError
        If ``k`` is out of bounds.
    """
    breaks = breaks_of(fabrics, weights, k)
    return {fabric.id: _step(fabric, breaks, k) for fabric in fabrics}


def breaks_of(
    fabrics: Sequence[Fabric],
    weights: Mapping[FabricId, float] | None = None,
    k: int = USUAL_STEPS,
) -> Breaks:
    """Tell where the steps of a set end; the parameters are those of `steps_of`.

    Raises
    ------
    ValueError
        If ``k`` is out of bounds.
    """
    values = {fabric.id: fabric.value for fabric in fabrics}
    pieces = weights or {}
    return value_steps(values, {name: max(1.0, pieces.get(name, 0.0)) for name in values}, k)


def _step(fabric: Fabric, breaks: Breaks, k: int) -> Step:
    measured = breaks.step(fabric.value)
    if fabric.step is not None:
        return _nearest(fabric.step, measured, step_names(k))
    moved = fabric.value - fabric.reading.value
    low, high = fabric.reading.low + moved, fabric.reading.high + moved
    third = breaks.count // 3
    ends = breaks.place(low) < third and breaks.place(high) >= breaks.count - third
    return "mixed" if ends and high - low >= MIXED_SPREAD else measured


def _nearest(by_hand: Step, measured: Step, names: tuple[Step, ...]) -> Step:
    """Find the step of a set that comes nearest to one set by hand."""
    if by_hand == "mixed":
        return by_hand
    rank = STEPS.index
    return min(
        names,
        key=lambda name: (
            abs(rank(name) - rank(by_hand)),
            abs(rank(name) - rank(measured)),
        ),
    )


def _weighed(
    values: Mapping[FabricId, float], weights: Mapping[FabricId, float] | None
) -> dict[float, float]:
    if not all(map(math.isfinite, values.values())):
        raise ValueError("a value is a number")
    given = {name: weights.get(name, 0.0) if weights is not None else 1.0 for name in values}
    if not all(math.isfinite(weight) and weight >= 0 for weight in given.values()):
        raise ValueError("a weight is a number, and not below zero")
    if not any(given.values()):
        given = dict.fromkeys(values, 1.0)
    weighed: dict[float, float] = {}
    for name, weight in given.items():
        if weight > 0:
            weighed[values[name]] = weighed.get(values[name], 0.0) + weight
    return weighed


def _most_even(masses: Sequence[float], count: int) -> float:
    """Give the most that the lightest of so many runs can be made to hold."""
    size = len(masses)
    before = _running(masses)
    best = [before[end] for end in range(size + 1)]
    for runs in range(2, count + 1):
        best = [
            max(
                (
                    min(best[start], before[end] - before[start])
                    for start in range(runs - 1, end)
                ),
                default=0.0,
            )
            for end in range(size + 1)
        ]
    return best[size]


def _least_variance(
    levels: Sequence[float], masses: Sequence[float], count: int, least: float
) -> list[int]:
    """Part rising levels into runs of ``least`` or more; give where the later ones start."""
    # Round the middle, so that the squares do not swallow the differences.
    middle = sum(level * mass for level, mass in zip(levels, masses, strict=True)) / sum(masses)
    moved = [level - middle for level in levels]
    w = _running(masses)
    wx = _running([mass * x for mass, x in zip(masses, moved, strict=True)])
    wxx = _running([mass * x * x for mass, x in zip(masses, moved, strict=True)])
    size = len(levels)

    def within(start: int, end: int) -> float:
        mass = w[end] - w[start]
        if mass < least:
            return math.inf
        return wxx[end] - wxx[start] - (wx[end] - wx[start]) ** 2 / mass

    cost = [within(0, end) if end else math.inf for end in range(size + 1)]
    came_from: list[list[int]] = []
    for runs in range(2, count + 1):
        choices = [
            min(
                ((cost[start] + within(start, end), start) for start in range(runs - 1, end)),
                default=(math.inf, 0),
            )
            for end in range(size + 1)
        ]
        cost = [choice[0] for choice in choices]
        came_from.append([choice[1] for choice in choices])
    starts: list[int] = []
    end = size
    for origin in reversed(came_from):
        end = origin[end]
        starts.append(end)
    return starts[::-1]


def _running(amounts: Sequence[float]) -> list[float]:
    sums = [0.0]
    for amount in amounts:
        sums.append(sums[-1] + amount)
    return sums
