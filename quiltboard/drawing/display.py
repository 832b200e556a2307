"""The display list: a picture as plain values in millimetres, ready for any backend.

x runs right, y down, angles clockwise. Items are painted in their order. A backend (screen,
PNG, PDF, SVG) knows nothing of quilts; a test can replay the list and measure it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from quiltboard.fabrics.fabric import Swatch
from quiltboard.shapes.wedge import Point

Cap = Literal["flat", "round"]
Join = Literal["miter", "round"]
Anchor = Literal["start", "middle", "end"]
Weight = Literal[400, 600]
ClothKey = str
"""Names a swatch in a drawing, as `Fabric.swatches` names it."""

INK = "#191919"
HALO = "#fcfcfc"
GROUND = "#919191"
"""The grey that cloth lies on, L* 60."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line's coat.

    Attributes
    ----------
    colour
        sRGB ``#rrggbb``.
    width_mm
        How wide.
    dash
        Lengths drawn and left out by turns, in mm; empty is unbroken.
    """

    colour: str
    width_mm: float
    dash: tuple[float, ...] = ()
    cap: Cap = "flat"
    join: Join = "miter"


@dataclass(frozen=True, slots=True)
class ClothFill:
    """Cloth laid under a shape.

    Attributes
    ----------
    cloth
        Which swatch.
    origin
        Where the swatch's upper left corner lies, in mm of the drawing.
    angle_deg
        How far the swatch is turned, clockwise, about that corner.
    mm_per_px
        The swatch's scale.
    mirrored
        Whether it repeats as in a mirror (no hard edge), or plainly.
    grey
        Whether only its lightness shows.
    """

    cloth: ClothKey
    origin: Point
    angle_deg: float
    mm_per_px: float
    mirrored: bool = False
    grey: bool = False


Fill = ClothFill | str
"""Cloth, or a plain ``#rrggbb``."""


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed shape; its name says what it stands for, for tests and screen readers."""

    points: tuple[Point, ...]
    fill: Fill | None = None
    stroke: Stroke | None = None
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Polyline:
    """An open line."""

    points: tuple[Point, ...]
    stroke: Stroke
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about (x, y)."""

    x: float
    y: float
    radius: float
    fill: Fill | None = None
    stroke: Stroke | None = None
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text standing on its baseline at (x, y), turned about that point.

    ``tabular`` figures are equally wide; they cannot be searched for in a PDF.
    """

    x: float
    y: float
    text: str
    size_mm: float
    weight: Weight = 400
    anchor: Anchor = "start"
    colour: str = INK
    angle_deg: float = 0.0
    tabular: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A PNG stretched over an upright rectangle."""

    x: float
    y: float
    width: float
    height: float
    png: bytes


@dataclass(frozen=True, slots=True)
class Clipped:
    """Items of which only what lies in an upright rectangle shows."""

    x: float
    y: float
    width: float
    height: float
    items: tuple[Item, ...]


Item = Polygon | Polyline | Circle | Text | Picture | Clipped


@dataclass(frozen=True, slots=True)
class Drawing:
    """A whole picture.

    Attributes
    ----------
    width_mm, height_mm
        Its size.
    items
        What it shows, the lowest first.
    cloths
        The swatches its fills name.
    blur_mm
        Sigma of a blur in linear light to be laid over the whole; 0 is sharp.
    """

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    cloths: Mapping[ClothKey, Swatch] = field(default_factory=dict)
    blur_mm: float = 0.0


def rectangle(
    x: float,
    y: float,
    width: float,
    height: float,
    fill: Fill | None = None,
    stroke: Stroke | None = None,
    *,
    opacity: float = 1.0,
    name: str = "",
) -> Polygon:
    """Give an upright rectangle."""
    right, low = x + width, y + height
    corners = ((x, y), (right, y), (right, low), (x, low))
    return Polygon(corners, fill, stroke, opacity, name)


def line(start: Point, end: Point, stroke: Stroke) -> Polyline:
    """Give a straight line."""
    return Polyline((start, end), stroke)


def arc(
    middle: Point, radius: float, start_deg: float, end_deg: float, step_deg: float = 3.0
) -> tuple[Point, ...]:
    """Give points along an arc, angles clockwise from the top."""
    count = max(1, math.ceil(abs(end_deg - start_deg) / step_deg))
    turns = [
        math.radians(start_deg + (end_deg - start_deg) * k / count) for k in range(count + 1)
    ]
    x, y = middle
    return tuple((x + radius * math.sin(t), y - radius * math.cos(t)) for t in turns)


def put(items: Iterable[Item], x: float, y: float, scale: float = 1.0) -> tuple[Item, ...]:
    """Lay items elsewhere: scaled about the origin, then moved by (x, y)."""
    return tuple(_put(item, x, y, scale) for item in items)


def _put(item: Item, x: float, y: float, scale: float) -> Item:
    if isinstance(item, Clipped):
        return Clipped(
            item.x * scale + x,
            item.y * scale + y,
            item.width * scale,
            item.height * scale,
            put(item.items, x, y, scale),
        )
    if isinstance(item, Picture):
        return replace(
            item,
            x=item.x * scale + x,
            y=item.y * scale + y,
            width=item.width * scale,
            height=item.height * scale,
        )
    if isinstance(item, Text):
        return replace(
            item, x=item.x * scale + x, y=item.y * scale + y, size_mm=item.size_mm * scale
        )
    if isinstance(item, Polyline):
        points = tuple((px * scale + x, py * scale + y) for px, py in item.points)
        return replace(item, points=points, stroke=_scaled(item.stroke, scale))
    stroke = None if item.stroke is None else _scaled(item.stroke, scale)
    fill = item.fill
    if isinstance(fill, ClothFill):
        origin = (fill.origin[0] * scale + x, fill.origin[1] * scale + y)
        fill = replace(fill, origin=origin, mm_per_px=fill.mm_per_px * scale)
    if isinstance(item, Circle):
        return replace(
            item,
            x=item.x * scale + x,
            y=item.y * scale + y,
            radius=item.radius * scale,
            fill=fill,
            stroke=stroke,
        )
    points = tuple((px * scale + x, py * scale + y) for px, py in item.points)
    return replace(item, points=points, fill=fill, stroke=stroke)


def _scaled(stroke: Stroke, scale: float) -> Stroke:
    return replace(
        stroke,
        width_mm=stroke.width_mm * scale,
        dash=tuple(part * scale for part in stroke.dash),
    )
