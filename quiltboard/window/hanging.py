"""How cloths hang from a tape: as large as there is room for, and near to their values."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from quiltboard.fabrics.set_reading import DARK_ENOUGH, LIGHT_ENOUGH, Gap, Point

CLOTHS_PX: Final = (
    (60, 130), (44, 96), (34, 74), (28, 60), (24, 48), (20, 34), (16, 20), (12, 12), (8, 8),
)  # fmt: skip
"""Sizes a hung cloth may have, the largest first."""
FULL: Final = 0.76
"""How much of the strip's width cloths fill before more of them hang from one thread."""
PRINTED_FROM_PX: Final = 16
"""Narrower cloths show their plain colour: no print could be made out."""
_GAP_PX: Final = 4


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread and what hangs from it.

    Attributes
    ----------
    value
        L* on the tape at which it begins.
    x
        Where its cloths hang, in px.
    points
        The fabrics, the darkest at the top; none for a missing step.
    """

    value: float
    x: float
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Hanging:
    """How a set hangs: its threads, and how large its cloths are, in px."""

    threads: tuple[Thread, ...] = ()
    wide: int = CLOTHS_PX[0][0]
    high: int = CLOTHS_PX[0][1]

    @property
    def rows(self) -> int:
        """How many cloths hang below each other at most."""
        return max((len(thread.points) for thread in self.threads), default=1) or 1

    @property
    def gap(self) -> int:
        """How far cloths keep from each other, in px."""
        return _gap(self.wide)

    @property
    def height_px(self) -> int:
        """How high the cloths stand."""
        return self.rows * (self.high + self.gap)


def hang(
    points: Sequence[Point],
    gaps: Sequence[Gap],
    left_px: float,
    width_px: float,
    high_px: float,
) -> Hanging:
    """Find where cloths hang, as large as there is room for and as near to their values.

    Parameters
    ----------
    points
        The fabrics, from dark to light.
    gaps
        Missing steps; each is given an empty place.
    left_px, width_px
        Where L* 0 lies on the tape, and how far L* 100 is from it.
    high_px
        Cloths take a smaller size rather than hang lower than this.
    """
    found = Hanging()
    for wide, high in CLOTHS_PX:
        pitch = wide + _gap(wide)
        room = max(width_px * FULL, 1.0)
        reach = 110 * pitch / room  # a little more L* than a cloth's width stands for
        rows = max(1, math.ceil(len(points) * pitch / room))
        threads = _gather(points, gaps, rows, reach)
        while len(threads) * pitch > room and rows < len(points):
            rows += 1
            threads = _gather(points, gaps, rows, reach)
        wanted = [left_px + value / 100 * width_px for value, _ in threads]
        places = lean_apart(wanted, pitch, left_px, left_px + width_px)
        hung = tuple(
            Thread(value, x, gathered)
            for (value, gathered), x in zip(threads, places, strict=True)
        )
        found = Hanging(hung, wide, high)
        if found.height_px <= high_px and len(threads) * pitch <= room:
            break
    return found


def _gap(wide: int) -> int:
    return _GAP_PX if wide >= PRINTED_FROM_PX else _GAP_PX // 2


def lean_apart(
    wanted: Sequence[float], least: float, low: float, high: float
) -> tuple[float, ...]:
    """Give places as near as can be to wanted ones (rising), a least distance from each other.

    Where there is not room enough for all, the last ones pass the upper end.

    References
    ----------
    Barlow et al. 1972, "Statistical inference under order restrictions": pooling of adjacent
    violators gives the least sum of squares.

    Examples
    --------
    >>> lean_apart((10.0, 11.0, 50.0), 5.0, 0.0, 100.0)
    (8.0, 13.0, 50.0)
    """
    runs: list[tuple[float, int]] = []
    for k, place in enumerate(wanted):
        mean, count = place - k * least, 1
        while runs and runs[-1][0] > mean:
            before, many = runs.pop()
            mean = (mean * count + before * many) / (count + many)
            count += many
        runs.append((mean, count))
    top = max(high - (len(wanted) - 1) * least, low)
    level = [min(max(mean, low), top) for mean, count in runs for _ in range(count)]
    return tuple(place + k * least for k, place in enumerate(level))


def _gather(
    points: Sequence[Point], gaps: Sequence[Gap], rows: int, reach: float
) -> list[tuple[float, tuple[Point, ...]]]:
    """Gather neighbours in value, up to so many and so far apart, with the empty places."""
    gathered: list[list[Point]] = []
    for point in points:
        last = gathered[-1] if gathered else []
        if last and len(last) < rows and point.value - last[0].value <= reach:
            last.append(point)
        else:
            gathered.append([point])
    threads = [(sum(p.value for p in some) / len(some), tuple(some)) for some in gathered]
    threads += [(_middle(gap), ()) for gap in gaps]
    return sorted(threads, key=lambda thread: thread[0])


def _middle(gap: Gap) -> float:
    """Give the L* at which an empty place is shown."""
    if gap.low is not None and gap.high is not None:
        return (gap.low + gap.high) / 2
    return DARK_ENOUGH / 2 if gap.low is None else (LIGHT_ENOUGH + 100) / 2
