"""The marks of flags on the cloth: stitches, each with its badge, in our one ink.

Sizes are those of the screen, so a mark reads alike at any zoom. Every mark is laid twice, all
of its halo first, and can be seen on any cloth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from quiltboard.balance.flags import Flag, FlagKey
from quiltboard.drawing.badges import badge
from quiltboard.drawing.board import silhouette
from quiltboard.drawing.display import HALO, INK, Cap, Circle, Item, Polyline, Stroke
from quiltboard.drawing.states import CORE_PX, HALO_PX
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout
from quiltboard.shapes.wedge import Point
from quiltboard.units import to_mm

WALL_PX_PER_MM: Final = 16 / 25.4
"""Below this scale a clump wears the calmer mark, and badges are smaller."""
BADGE_PX: Final = 24.0
WALL_BADGE_PX: Final = 18.0
LEAST_BADGE_PX: Final = 9.0
BADGE_SHARE: Final = 0.45
"""How large a badge is at most against the radius of its ring, seen from afar."""
BLANKET_PX: Final = 1.75
RUNNING_PX: Final = (7.0, 6.0)
WHIP_PITCH_PX: Final = 11.0
WHIP_PX: Final = 22.0
TOOTH_PX: Final = 8.0
TOOTH_PITCH_PX: Final = 11.0
KNOT_PX: Final = 4.0
PIN_PX: Final = 62.0
PIN_HEAD_PX: Final = 5.0
LEAST_PIN_HEAD_PX: Final = 3.75
PIN_SHARE: Final = 0.72
"""How much of its wedge's length a pin takes at most."""
PIN_TILT_DEG: Final = 14.0

Line = tuple[Point, ...]


def mark_items(flag: Flag, layout: Layout, px_per_mm: float) -> tuple[Item, ...]:
    """Draw what a flag looks like on the cloth, with its badge on the thread.

    Parameters
    ----------
    flag
        What to show.
    layout
        Where the wedges lie.
    px_per_mm
        The scale of the screen.
    """
    maker = _MARKS[flag.key.kind]
    return tuple(maker(_Needle(layout, px_per_mm), flag.key))


def pin_items(cell: Cell, layout: Layout, px_per_mm: float) -> tuple[Item, ...]:
    """Draw the straight pin that holds a piece, its middle under the cloth."""
    needle = _Needle(layout, px_per_mm)
    wedge = layout.drafted
    length = min(PIN_PX / px_per_mm, PIN_SHARE * (wedge.tip - wedge.opening))
    # From afar the head alone tells that a piece is held: it keeps a size that can be seen.
    least = min(LEAST_PIN_HEAD_PX / px_per_mm, 0.3 * length)
    head_mm = max(least, min(PIN_HEAD_PX / px_per_mm, 0.12 * length))
    middle = (wedge.opening + wedge.tip) / 2
    turn = math.radians(PIN_TILT_DEG)
    reach_x, reach_y = math.sin(turn) * length / 2, math.cos(turn) * length / 2

    def at(share: float) -> Point:
        return layout.to_top(cell, (share * reach_x, middle + share * reach_y))

    shafts = ((at(-1), at(-0.42)), (at(0.22), at(1)))
    head = at(1)
    halo = HALO_PX / px_per_mm
    return (
        *needle.sew(shafts, cap_round=False),
        Circle(*head, head_mm + halo, HALO),
        Circle(*head, head_mm, INK),
        Circle(head[0] - head_mm * 0.3, head[1] - head_mm * 0.3, head_mm * 0.25, HALO),
    )


class _Needle:
    """Sews at one scale of the screen."""

    def __init__(self, layout: Layout, px_per_mm: float) -> None:
        self.layout = layout
        self.wedge = layout.drafted
        self.px = 1 / px_per_mm
        self.at_wall = px_per_mm < WALL_PX_PER_MM
        ring_px = layout.drafted.tip * px_per_mm
        at_wall_px = min(WALL_BADGE_PX, max(LEAST_BADGE_PX, BADGE_SHARE * ring_px))
        self.badge_px = at_wall_px if self.at_wall else BADGE_PX
        self.centre = to_mm(layout.drafted.centre_finished) / 2

    def sew(
        self,
        lines: tuple[Line, ...],
        core_px: float = CORE_PX,
        dash_px: tuple[float, ...] = (),
        *,
        cap_round: bool = True,
    ) -> Iterator[Item]:
        """Lay lines twice: the halo of all, then the ink of all."""
        dash = tuple(part * self.px for part in dash_px)
        cap: Cap = "round" if cap_round else "flat"
        for colour, width in ((HALO, core_px + 2 * HALO_PX), (INK, core_px)):
            # A flat end gets its halo too: the under coat is always round.
            ends: Cap = cap if colour == INK else "round"
            stroke = Stroke(colour, width * self.px, dash, ends, "round")
            for points in lines:
                yield Polyline(points, stroke)

    def badge(self, key: FlagKey, place: Point) -> tuple[Item, ...]:
        """Set a flag's badge on its thread."""
        return badge(key.kind, *place, self.badge_px * self.px)

    def polar(self, cell: Cell, radius: float, wedges: float) -> Point:
        """Give a point so far from a plate's middle, so many wedges clockwise of a wedge."""
        turn = wedges * 2 * self.wedge.half_angle
        return self.layout.to_top(cell, (radius * math.sin(turn), radius * math.cos(turn)))


def _touch(needle: _Needle, key: FlagKey) -> Iterator[Item]:
    """Sew a whip stitch across the shared seam; the badge beyond its inside point."""
    cell = key.cells[0]
    start, end = needle.centre + 4 * needle.px, needle.wedge.inside_radius - 2 * needle.px
    pitch = WHIP_PITCH_PX * needle.px
    count = max(3, int((end - start) / pitch))
    half = min(WHIP_PX * needle.px, 0.3 * needle.wedge.inside_radius) / 2
    stitches = []
    for k in range(count):
        radius = start + (end - start) * (k + 0.5) / count
        width = radius * math.tan(needle.wedge.half_angle)
        reach = min(half, 0.8 * width)
        lean = 0.8 * reach / radius / (2 * needle.wedge.half_angle)
        stitches.append(
            (
                needle.polar(cell, radius + 0.55 * reach, 0.5 - lean),
                needle.polar(cell, radius - 0.55 * reach, 0.5 + lean),
            )
        )
    yield from needle.sew(tuple(stitches))
    beyond = needle.wedge.inside_radius + 0.6 * needle.badge_px * needle.px
    yield from needle.badge(key, needle.polar(cell, beyond, 0.5))


def _close(needle: _Needle, key: FlagKey) -> Iterator[Item]:
    """Sew a running stitch that hops over the piece between, knotted at both ends."""
    cell = key.cells[0]
    low, high = 0.80 * needle.wedge.tip, 1.03 * needle.wedge.tip
    steps = 32
    hop = tuple(
        needle.polar(cell, low + (high - low) * math.sin(math.pi * k / steps), 2 * k / steps)
        for k in range(steps + 1)
    )
    yield from needle.sew((hop,), dash_px=RUNNING_PX)
    knot = KNOT_PX * needle.px
    for end in (hop[0], hop[-1]):
        yield Circle(*end, knot + HALO_PX * needle.px, HALO)
        yield Circle(*end, knot, INK)
    yield from needle.badge(key, hop[steps // 2])


def _clump(needle: _Needle, key: FlagKey) -> Iterator[Item]:
    """Sew a blanket stitch round the run, teeth inward; from afar, a plain arc."""
    cells, n = key.cells, needle.wedge.n
    whole = len(cells) == n
    if needle.at_wall:
        first = -0.5 if not whole else 0.0
        span = len(cells) if not whole else n
        radius = needle.wedge.inside_radius
        count = 6 * span
        bow = tuple(
            needle.polar(cells[0], radius, first + span * k / count) for k in range(count + 1)
        )
        ends = () if whole else (first, first + span)
        ticks = tuple(
            (
                needle.polar(cells[0], radius, end),
                needle.polar(cells[0], radius - 7 * needle.px, end),
            )
            for end in ends
        )
        yield from needle.sew((bow, *ticks))
        yield from needle.badge(key, bow[len(bow) // 2])
        return
    if whole:
        edge = silhouette(needle.layout, cells[0].block)
        outline = (*edge, edge[0])
    else:
        outline = _run_outline(needle, cells)
    teeth = tuple(_teeth(outline, TOOTH_PX * needle.px, TOOTH_PITCH_PX * needle.px))
    yield from needle.sew((outline, *teeth), BLANKET_PX)
    yield from needle.badge(key, needle.layout.outline(cells[-1])[2])


def _run_outline(needle: _Needle, cells: tuple[Cell, ...]) -> Line:
    first, last = cells[0], cells[-1]
    points = [needle.polar(first, needle.centre, -0.5)]
    for cell in cells:
        _, right, tip, left, _ = needle.layout.outline(cell)
        if cell == first:
            points.append(left)
        points += [tip, right]
    steps = 4 * len(cells)
    points += [needle.polar(last, needle.centre, 0.5 - k / 4) for k in range(steps + 1)]
    return (*points, points[0])


def _teeth(outline: Line, long: float, pitch: float) -> Iterator[Line]:
    """Give teeth at right angles to a clockwise outline's sides, none near a corner."""
    for (x0, y0), (x1, y1) in pairwise(outline):
        side = math.hypot(x1 - x0, y1 - y0)
        count = int((side - long) / pitch)
        if count < 1:
            continue
        along_x, along_y = (x1 - x0) / side, (y1 - y0) / side
        for k in range(count):
            at = side / 2 + (k - (count - 1) / 2) * pitch
            x, y = x0 + along_x * at, y0 + along_y * at
            yield ((x, y), (x - along_y * long, y + along_x * long))


def _short(needle: _Needle, key: FlagKey) -> Iterator[Item]:
    """Lay a pinked line across each piece that there is no cloth for."""
    wedge = needle.wedge
    slope = math.tan(wedge.half_angle)
    level = wedge.opening + 0.62 * (wedge.inside - wedge.opening)
    half = level * slope
    zigs = max(4, 2 * round(half / (7 * needle.px)))
    rise = min(4 * needle.px, half / 3)
    lines = []
    for cell in key.cells:
        heights = [level + (rise if k % 2 else -rise) for k in range(zigs + 1)]
        local = [(slope * y * (2 * k / zigs - 1), y) for k, y in enumerate(heights)]
        lines.append(tuple(needle.layout.to_top(cell, point) for point in local))
    yield from needle.sew(tuple(lines))
    for cell in key.cells[-1:]:
        yield from needle.badge(key, needle.layout.outline(cell)[2])


_MARKS: Final = {"touch": _touch, "close": _close, "clump": _clump, "short": _short}
