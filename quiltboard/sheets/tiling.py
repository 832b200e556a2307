"""A figure too large for the paper, cut into overlapping pages with matching marks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from quiltboard.drawing.display import (
    Circle,
    Clipped,
    Item,
    Polygon,
    Polyline,
    Stroke,
    Text,
    line,
    put,
)
from quiltboard.sheets.paper import NOTE, Room

OVERLAP_MM: Final = 12.0
JOIN: Final = Stroke("#505050", 0.2, (1.0, 1.0))
MATCH: Final = Stroke("#191919", 0.25)
MATCH_MM: Final = 3.0
MARKS: Final = 3
"""Matching marks along each join."""


@dataclass(frozen=True, slots=True)
class Figure:
    """Something drawn at true scale, from its own upper left corner."""

    name: str
    width: float
    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One page's share of a figure, where it stands on the paper."""

    name: str
    items: tuple[Item, ...]


def tile(figure: Figure, room: Room) -> list[Part]:
    """Cut a figure into page-sized parts; one that fits stays whole, in the middle.

    Neighbouring parts overlap by 12 mm. The middle of the overlap is a dashed line with
    matching marks, which come to lie on each other when the pages are joined. Parts on which
    nothing would be drawn are left out.
    """
    if figure.width <= room.width and figure.height <= room.height:
        left = room.left + (room.width - figure.width) / 2
        return [Part(f"the {figure.name}, whole", put(figure.items, left, room.top))]
    across = _count(figure.width, room.width)
    down = _count(figure.height, room.height - 2 * NOTE)
    step_x, step_y = room.width - OVERLAP_MM, room.height - 2 * NOTE - OVERLAP_MM
    parts = []
    for row in range(down):
        for column in range(across):
            window = _Window(column * step_x, row * step_y, room.width, step_y + OVERLAP_MM)
            if not any(_shows(item, window) for item in figure.items):
                continue
            name = f"{figure.name}, row {row + 1} of {down}, page {column + 1} of {across}"
            edges = (column > 0, column < across - 1, row > 0, row < down - 1)
            parts.append(Part(name, _part(figure, room, window, edges, name)))
    return parts


@dataclass(frozen=True, slots=True)
class _Window:
    x: float
    y: float
    width: float
    height: float


def _count(size: float, room: float) -> int:
    return max(1, math.ceil((size - OVERLAP_MM) / (room - OVERLAP_MM)))


def _part(
    figure: Figure,
    room: Room,
    window: _Window,
    edges: tuple[bool, bool, bool, bool],
    name: str,
) -> tuple[Item, ...]:
    left, top = room.left, room.top + 2 * NOTE
    shown = put(figure.items, left - window.x, top - window.y)
    joined_left, joined_right, joined_above, joined_below = edges
    half = OVERLAP_MM / 2
    items: list[Item] = [
        Text(left, room.top + NOTE, f"The {name}: join the pages on the dashed lines.", NOTE),
        Clipped(left, top, window.width, window.height, shown),
    ]
    low, right = top + window.height, left + window.width
    for joined, x in ((joined_left, left + half), (joined_right, right - half)):
        if joined:
            items.append(line((x, top), (x, low), JOIN))
            items += [
                mark
                for k in range(MARKS)
                for mark in _match(x, top + window.height * (k + 1) / (MARKS + 1))
            ]
    for joined, y in ((joined_above, top + half), (joined_below, low - half)):
        if joined:
            items.append(line((left, y), (right, y), JOIN))
            items += [
                mark
                for k in range(MARKS)
                for mark in _match(left + window.width * (k + 1) / (MARKS + 1), y)
            ]
    return tuple(items)


def _match(x: float, y: float) -> tuple[Item, ...]:
    """Draw a mark that shows a shift either way and a turn: a square on its point, crossed."""
    m = MATCH_MM
    return (
        Polygon(((x, y - m), (x + m, y), (x, y + m), (x - m, y)), stroke=MATCH),
        line((x - m, y), (x + m, y), MATCH),
        line((x, y - m), (x, y + m), MATCH),
    )


def _shows(item: Item, window: _Window) -> bool:
    """Tell whether a line or a circle's edge comes into a window; words alone need no page."""
    if isinstance(item, Circle):
        nearest = math.hypot(
            item.x - min(max(item.x, window.x), window.x + window.width),
            item.y - min(max(item.y, window.y), window.y + window.height),
        )
        return nearest <= item.radius
    if isinstance(item, Polyline):
        sides = list(zip(item.points, item.points[1:], strict=False))
    elif isinstance(item, Polygon):
        sides = list(zip(item.points, (*item.points[1:], item.points[0]), strict=True))
    else:
        return False
    return any(_crosses(start, end, window) for start, end in sides)


def _crosses(start: tuple[float, float], end: tuple[float, float], window: _Window) -> bool:
    """Tell whether a straight line meets a window, by cutting the line down to it."""
    enter, leave = 0.0, 1.0
    for from_, to, low, size in (
        (start[0], end[0], window.x, window.width),
        (start[1], end[1], window.y, window.height),
    ):
        move = to - from_
        if math.isclose(move, 0.0, abs_tol=1e-12):
            if not low <= from_ <= low + size:
                return False
            continue
        one, other = (low - from_) / move, (low + size - from_) / move
        enter, leave = max(enter, min(one, other)), min(leave, max(one, other))
    return enter <= leave
