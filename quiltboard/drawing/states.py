"""How a wedge shows its state: empty, pointed at, at the keyboard, selected, a ghost.

Sizes are those of the screen: a line of 2 px is 2 px at any zoom, so every function takes
``px_per_mm``. Every line is laid twice, a light halo and then ink, and shows on any cloth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from quiltboard.drawing.display import (
    HALO,
    INK,
    Cap,
    Item,
    Polygon,
    Polyline,
    Stroke,
)
from quiltboard.shapes.wedge import Point

CORE_PX: Final = 2.0
HALO_PX: Final = 1.75
"""How far the halo stands out on either side of the ink."""
CORD_PX: Final = 3.0
CORD_HALO_PX: Final = 2.0
CORD_OUTSIDE_PX: Final = 5.0
SELECTED_INSIDE_PX: Final = 4.0


def coats(
    points: tuple[Point, ...],
    px_per_mm: float,
    *,
    core_px: float = CORE_PX,
    halo_px: float = HALO_PX,
    dash_px: tuple[float, ...] = (),
    closed: bool = False,
    cap: Cap = "round",
) -> tuple[Item, Item]:
    """Lay a line twice: halo, then ink.

    Parameters
    ----------
    points
        Where it runs, in mm.
    px_per_mm
        The scale of the screen.
    core_px, halo_px
        Width of the ink, and how far the halo stands out on either side.
    dash_px
        Drawn and left out by turns; the halo of a stitch goes round its ends too.
    closed
        Whether it runs back to its start.
    """
    px = 1 / px_per_mm
    wide = (core_px + 2 * halo_px) * px
    thin = core_px * px
    long_dash = tuple(part * px for part in dash_px)
    under, over = (
        Stroke(HALO, wide, long_dash, cap, "round"),
        Stroke(INK, thin, long_dash, cap, "round"),
    )
    if closed:
        return Polygon(points, stroke=under), Polygon(points, stroke=over)
    return Polyline(points, under), Polyline(points, over)


def offset_outline(points: tuple[Point, ...], outward_mm: float) -> tuple[Point, ...]:
    """Move a convex outline's sides outward (or, below zero, inward), keeping its corners.

    A corner sharper than 60° is not carried farther than twice the move. An outline too small
    to be moved in shrinks to a point.
    """
    middle_x = sum(x for x, _ in points) / len(points)
    middle_y = sum(y for _, y in points) / len(points)
    turned = _area(points) < 0
    ring = points[::-1] if turned else points
    moved: list[Point] = []
    for k, (x, y) in enumerate(ring):
        before, after = ring[k - 1], ring[(k + 1) % len(ring)]
        one, other = _normal(before, (x, y)), _normal((x, y), after)
        sum_x, sum_y = one[0] + other[0], one[1] + other[1]
        size = math.hypot(sum_x, sum_y) or 1.0
        reach = min(2.0, 2.0 / size) * outward_mm
        moved.append((x + sum_x / size * reach, y + sum_y / size * reach))
    if outward_mm < 0 and _any_side_reversed(ring, moved):
        return ((middle_x, middle_y),) * len(points)
    return tuple(moved[::-1] if turned else moved)


def outline_selected(points: tuple[Point, ...], px_per_mm: float) -> tuple[Item, ...]:
    """Show that a wedge is chosen: an unbroken line inside it.

    On a wedge too small on the screen for that, the line moves out toward its edge.
    """
    for share in (1.0, 0.5, 0.25):
        inner = offset_outline(points, -share * SELECTED_INSIDE_PX / px_per_mm)
        if len(set(inner)) > 1:
            return coats(inner, px_per_mm, closed=True)
    return coats(points, px_per_mm, closed=True)


def outline_keyboard(points: tuple[Point, ...], px_per_mm: float) -> tuple[Item, ...]:
    """Show that the keyboard is on a wedge: an unbroken cord round the outside of it."""
    outer = offset_outline(points, CORD_OUTSIDE_PX / px_per_mm)
    return coats(outer, px_per_mm, core_px=CORD_PX, halo_px=CORD_HALO_PX, closed=True)


def outline_ghost(points: tuple[Point, ...], px_per_mm: float) -> tuple[Item, ...]:
    """Show where a piece would land: a basted edge; the cloth itself is drawn at half."""
    return coats(points, px_per_mm, dash_px=(9, 6), core_px=1.5, closed=True)


def empty_wedge(points: tuple[Point, ...], px_per_mm: float) -> Iterator[Item]:
    """Draw a wedge that holds nothing: dashes along its edge and, lighter, its crease.

    Ink dashes on a halo show on any ground cloth.

    Parameters
    ----------
    points
        A sewn wedge's five corners; any other closed outline has no crease.
    px_per_mm
        The scale of the screen.
    """
    px = 1 / px_per_mm
    halo = Stroke(HALO, 3.2 * px, (5 * px, 4 * px), "round", "round")
    dashes = Stroke(INK, 1.2 * px, (5 * px, 4 * px), join="round")
    if len(points) != 5:
        yield Polygon(points, stroke=halo)
        yield Polygon(points, stroke=dashes)
        return
    right, right_shoulder, tip, left_shoulder, left = points
    foot = ((right[0] + left[0]) / 2, (right[1] + left[1]) / 2)
    # Both halves start at the foot, so that the dashes of neighbours fall on each other.
    halves = ((foot, right, right_shoulder, tip), (foot, left, left_shoulder, tip))
    for stroke in (halo, dashes):
        for half in halves:
            yield Polyline(half, stroke)
    yield Polyline((foot, tip), Stroke(INK, 1 * px, (2 * px, 4 * px)), 0.55)


def plate_corners(
    x: float, y: float, width: float, height: float, px_per_mm: float
) -> Iterator[Item]:
    """Show that a plate is chosen: chalk corners on its square."""
    arm = min(16 / px_per_mm, width / 5, height / 5)
    gap = 3 / px_per_mm
    for cx, turn_x in ((x + gap, 1), (x + width - gap, -1)):
        for cy, turn_y in ((y + gap, 1), (y + height - gap, -1)):
            corner = ((cx + turn_x * arm, cy), (cx, cy), (cx, cy + turn_y * arm))
            yield from coats(corner, px_per_mm)


def _area(points: tuple[Point, ...]) -> float:
    return (
        sum(
            points[k - 1][0] * points[k][1] - points[k][0] * points[k - 1][1]
            for k in range(len(points))
        )
        / 2
    )


def _any_side_reversed(before: Sequence[Point], after: Sequence[Point]) -> bool:
    """Tell whether sides have moved through each other."""
    return any(
        (before[k][0] - before[k - 1][0]) * (after[k][0] - after[k - 1][0])
        + (before[k][1] - before[k - 1][1]) * (after[k][1] - after[k - 1][1])
        < 0
        for k in range(len(before))
    )


def _normal(start: Point, end: Point) -> Point:
    """Give the outward unit normal of a side of a ring that runs clockwise on the screen."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = math.hypot(dx, dy) or 1.0
    return dy / size, -dx / size
