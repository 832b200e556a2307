"""The wedge's and the circle's outlines at true scale, with their dimensions and words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Final

from quiltboard.drawing.display import (
    INK,
    Circle,
    Item,
    Polygon,
    Polyline,
    Stroke,
    Text,
    line,
    rectangle,
)
from quiltboard.drawing.lettering import text_width
from quiltboard.shapes.wedge import DraftedWedge, Point
from quiltboard.sheets.paper import BODY, LEADING, NOTE, PART
from quiltboard.sheets.tiling import Figure
from quiltboard.units import Length, Unit, format_length, inches, length_from_mm, to_mm

CUT: Final = Stroke(INK, 0.5)
SEAM: Final = Stroke(INK, 0.3, (3.0, 2.0))
CREASE: Final = Stroke(INK, 0.22, (5.0, 1.2, 0.8, 1.2))
FINISHED: Final = Stroke("#505050", 0.35, (0.5, 1.1))
GATHER: Final = Stroke(INK, 0.35, (1.6, 1.1))
THIN: Final = Stroke(INK, 0.2)
SHADE: Final = "#efefef"
GATHER_FROM_EDGE: Final = inches("1/8")
DIMENSION_MM: Final = 9.0
"""Room that a dimension takes beside what it measures."""
FOOT_MM: Final = 11.8
"""Room for the narrow end's dimension and its figure."""
CAPTION_MM: Final = 8.0

Place = Callable[[float, float], Point]


def wedge_figure(drafted: DraftedWedge, unit: Unit, *, tight: bool = False) -> Figure:
    """Draw the wedge's template, wide end up, with its dimensions.

    Parameters
    ----------
    drafted
        The wedge.
    unit
        What its dimensions are written in.
    tight
        Whether the length is written under the wide end's corner, to save width.
    """
    near = drafted.apex - drafted.shift
    far = near + drafted.length
    slope = math.tan(drafted.half_angle)
    left = 2.0 if tight else DIMENSION_MM
    middle = left + drafted.wide / 2

    def at(x: float, y: float) -> Point:
        return (middle + x, DIMENSION_MM + far - y)

    shoulder = far - drafted.seam
    side = drafted.narrow / 2 + (shoulder - near) * slope
    sewn = tuple(at(x, y) for x, y in drafted.sewn_outline())
    items: list[Item] = [
        Polygon(sewn, SHADE, name="finished wedge"),
        line(at(0, near - 3), at(0, far + 2.5), CREASE),
        line(at(-near * slope, near), at(-far * slope, far), SEAM),
        line(at(near * slope, near), at(far * slope, far), SEAM),
        line(at(-side, shoulder), at(side, shoulder), SEAM),
        Polyline((sewn[1], sewn[2], sewn[3]), FINISHED, name="folded tip"),
        Polygon(
            tuple(at(x, y) for x, y in drafted.cut_outline()), stroke=CUT, name="cut wedge"
        ),
        *_words(drafted, at),
        *_dimensions(drafted, unit, middle, 0.0 if tight else -4.5),
    ]
    right = middle + drafted.wide / 2 + 1
    height = DIMENSION_MM + drafted.length + FOOT_MM
    return Figure("wedge", right, height, tuple(items))


def _words(drafted: DraftedWedge, at: Place) -> Iterator[Item]:
    """Name the lines, where there is room to."""
    slope = math.tan(drafted.half_angle)
    lean = math.degrees(drafted.half_angle)
    far = drafted.apex - drafted.shift + drafted.length
    tall = drafted.inside - drafted.opening
    if drafted.seam > NOTE + 1 and drafted.wide > 60:
        x, y = at(far * slope * 0.55, far - drafted.seam + (drafted.seam - NOTE) / 2 + 0.6)
        yield Text(x, y, "tip seam", NOTE, anchor="middle")
    edge = drafted.inside * slope
    if edge * math.sqrt(2) > text_width("folded tip", NOTE) + 8:
        x, y = at(-edge / 2 - 1.2, drafted.tip - edge / 2 + 1.2)
        yield Text(x, y, "folded tip", NOTE, anchor="middle", angle_deg=-45)
    level = drafted.opening + 0.55 * tall
    if tall > 40 and level * slope > 9:
        x, y = at(-level * slope + NOTE + 1.0, level)
        yield Text(x, y, "seam line", NOTE, anchor="middle", angle_deg=-90 - lean)
    level = drafted.opening + 0.3 * tall
    said = "crease"
    if tall > 70:
        said = "crease and sight line"
    if level * slope > NOTE + 1.5:
        x, y = at(-1.9, level)
        yield Text(x, y, said, NOTE, anchor="middle", angle_deg=-90)
    aside = 0.42 * drafted.inside * slope
    low, high = drafted.opening + 0.56 * tall, drafted.opening + 0.92 * tall
    if high - low > 14:
        yield from _arrow(at(aside, low), at(aside, high))
        x, y = at(aside - 1.7, (low + high) / 2)
        yield Text(x, y, "grain", NOTE, anchor="middle", angle_deg=-90)


def _arrow(low: Point, high: Point) -> Iterator[Item]:
    """Draw the straight grain: an arrow with a head at either end."""
    (x, y0), (_, y1) = low, high
    yield line((x, y0 - 3), (x, y1 + 3), Stroke(INK, 0.35))
    for y, way in ((y0, -1), (y1, 1)):
        yield Polygon(((x, y), (x + 1.3, y + way * 3.6), (x - 1.3, y + way * 3.6)), INK)


def _dimensions(
    drafted: DraftedWedge, unit: Unit, middle: float, aside: float
) -> Iterator[Item]:
    def written(mm: float) -> str:
        return format_length(length_from_mm(mm), unit, finest=16)

    top, foot = DIMENSION_MM - 4.5, DIMENSION_MM + drafted.length + 5.5
    half_wide, half_narrow = drafted.wide / 2, drafted.narrow / 2
    said = f"wide end about {written(drafted.wide)}"
    yield from dimension((middle - half_wide, top), (middle + half_wide, top), said, above=True)
    said = f"narrow end {written(drafted.narrow)}"
    yield from dimension((middle - half_narrow, foot), (middle + half_narrow, foot), said)
    said = f"length {written(drafted.length)}: cut from strips this wide"
    if text_width(said, BODY) > drafted.length - 14:
        said = f"length {written(drafted.length)}"
    left = middle - half_wide + aside
    low, high = DIMENSION_MM + drafted.length, DIMENSION_MM
    yield from dimension((left, low), (left, high), said)


def dimension(start: Point, end: Point, said: str, *, above: bool = False) -> Iterator[Item]:
    """Draw a dimension from left to right, or upward: ticks at both ends and a figure.

    The figure stands in the line where there is room, else under it or above it.
    """
    (x0, y0), (x1, y1) = start, end
    upright = math.isclose(x0, x1)
    size = math.hypot(x1 - x0, y1 - y0)
    tick_x, tick_y = (1.6, 0.0) if upright else (0.0, 1.6)
    for x, y in (start, end):
        yield line((x - tick_x, y - tick_y), (x + tick_x, y + tick_y), THIN)
    middle_x, middle_y = (x0 + x1) / 2, (y0 + y1) / 2
    gap = text_width(said, BODY) / 2 + 1.8
    drop = 0.34 * BODY
    if size / 2 > gap + 2:
        along_x, along_y = (x1 - x0) / size, (y1 - y0) / size
        yield line(start, (middle_x - along_x * gap, middle_y - along_y * gap), THIN)
        yield line((middle_x + along_x * gap, middle_y + along_y * gap), end, THIN)
    else:
        yield line(start, end, THIN)
        drop = -1.0 if above else drop + 1.0 + 0.8 * BODY
    turn = -90.0 if upright else 0.0
    x, y = (middle_x + drop, middle_y) if upright else (middle_x, middle_y + drop)
    yield Text(x, y, said, BODY, anchor="middle", angle_deg=turn)


def cloth_circle_figure(drafted: DraftedWedge, unit: Unit) -> Figure:
    """Draw the centre circle as it is cut, with its gathering line and finished edge."""
    radius = to_mm(drafted.centre_cut) / 2
    x, y = radius + 0.5, radius + CAPTION_MM
    gather = radius - to_mm(GATHER_FROM_EDGE)
    finished = to_mm(drafted.centre_finished) / 2
    items: list[Item] = [
        Text(x, PART * 0.8, "Centre circle, cloth", PART, 600, "middle"),
        Circle(x, y, radius, stroke=CUT, name="centre circle cut"),
        Circle(x, y, gather, stroke=GATHER, name="gathering line"),
        Circle(x, y, finished, stroke=FINISHED, name="centre circle finished"),
        *_cross(x, y),
    ]
    words = (
        (-4.5, f"cut {_size(drafted.centre_cut, unit)} across"),
        (4.5 + BODY, f"from a {_size(drafted.centre_square, unit)} square"),
        (4.5 + BODY * (1 + LEADING), "gather on the stitches"),
        (
            4.5 + BODY * (1 + 2 * LEADING),
            f"finished {_size(drafted.centre_finished, unit)} across",
        ),
    )
    items += [Text(x, y + down, said, BODY, anchor="middle") for down, said in words]
    return Figure("centre circle", 2 * radius + 1, 2 * radius + CAPTION_MM + 1, tuple(items))


def card_figure(drafted: DraftedWedge, unit: Unit) -> Figure:
    """Draw the card that the centre circle's cloth is pressed over."""
    radius = to_mm(drafted.centre_finished) / 2
    x, y = radius + 0.5, radius + CAPTION_MM
    items: tuple[Item, ...] = (
        Text(x, PART * 0.8, "Its card", PART, 600, "middle"),
        Circle(x, y, radius, stroke=CUT, name="card"),
        *_cross(x, y),
        Text(
            x,
            y + 4.5 + BODY,
            f"{_size(drafted.centre_finished, unit)} across",
            BODY,
            anchor="middle",
        ),
        Text(
            x, y + 4.5 + BODY * (1 + LEADING), "press the cloth over it", BODY, anchor="middle"
        ),
    )
    return Figure("card", 2 * radius + 1, 2 * radius + CAPTION_MM + 1, items)


def check_square(x: float, y: float, side: Length, said: str) -> Iterator[Item]:
    """Draw a square to hold a ruler against, with what it should measure inside."""
    mm = to_mm(side)
    yield rectangle(x, y, mm, mm, stroke=Stroke(INK, 0.3), name=f"check square {said}")
    yield Text(x + mm / 2, y + mm / 2 + 0.34 * PART, said, PART, 600, "middle")


def _cross(x: float, y: float) -> tuple[Item, Item]:
    return line((x - 2.2, y), (x + 2.2, y), THIN), line((x, y - 2.2), (x, y + 2.2), THIN)


def _size(length: Length, unit: Unit) -> str:
    return format_length(length, unit, finest=16)
