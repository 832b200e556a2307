"""A drawing as SVG 1.1 at its true size, each cloth embedded once.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1, second edition: patterns (13.3), text (10).
"""

from __future__ import annotations

import math
from base64 import b64encode
from collections.abc import Iterator
from dataclasses import replace
from xml.sax.saxutils import escape, quoteattr

from quiltboard.drawing.display import (
    Circle,
    Clipped,
    ClothFill,
    ClothKey,
    Drawing,
    Fill,
    Item,
    Picture,
    Polygon,
    Polyline,
    Stroke,
    Text,
)
from quiltboard.drawing.lettering import FAMILY, anchored
from quiltboard.drawing.seeing import grey_of, read_pixels, to_png
from quiltboard.shapes.wedge import Point

FALLBACK = "Verdana, 'DejaVu Sans', sans-serif"
_OVERLAP = 0.02
"""Texture tiles reach this many pixels into each other, lest hairlines show between them."""


def write_svg(drawing: Drawing, title: str = "") -> str:
    """Write a drawing as an SVG document, one unit to the millimetre.

    Parameters
    ----------
    drawing
        What to write.
    title
        What viewers call the document.

    Raises
    ------
    ValueError
        If the drawing is to be blurred, which takes a painter first.
    """
    if drawing.blur_mm:
        raise ValueError("a blurred drawing becomes one picture before it is written")
    writer = _Writer(drawing)
    body = list(writer.items(drawing.items))
    width, height = _number(drawing.width_mm), _number(drawing.height_mm)
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        f' version="1.1" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}">'
    )
    named = [f"<title>{escape(_printable(title))}</title>"] if title else []
    defs = ["<defs>", *writer.defs, "</defs>"] if writer.defs else []
    return "\n".join([head, *named, *defs, *body, "</svg>", ""])


class _Writer:
    """Writes elements, and gathers what they refer to."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self.defs: list[str] = []
        self.patterns: dict[ClothFill, str] = {}
        self.clips = 0

    def items(self, items: tuple[Item, ...]) -> Iterator[str]:
        """Write items in their order."""
        for item in items:
            if isinstance(item, Text):
                yield from self.text(item)
            elif isinstance(item, Clipped):
                self.clips += 1
                name = f"clip{self.clips}"
                box = _box(item.x, item.y, item.width, item.height)
                self.defs.append(f'<clipPath id="{name}"><rect {box}/></clipPath>')
                yield f'<g clip-path="url(#{name})">'
                yield from self.items(item.items)
                yield "</g>"
            elif isinstance(item, Picture):
                box = _box(item.x, item.y, item.width, item.height)
                data = _data_uri(item.png)
                yield f'<image {box} preserveAspectRatio="none" xlink:href="{data}"/>'
            elif isinstance(item, Polyline):
                shape = f'<polyline points="{_points(item.points)}" fill="none"'
                yield f"{shape}{_stroke(item.stroke)}{_opacity(item.opacity)}/>"
            else:
                yield self.shape(item)

    def shape(self, item: Polygon | Circle) -> str:
        """Write a closed shape; on cloth, in the cloth's own axes.

        Every renderer agrees on a turned shape, not every one on a turned pattern.
        """
        move = ""
        if isinstance(item.fill, ClothFill):
            (x, y), turn = item.fill.origin, item.fill.angle_deg
            move = f' transform="translate({_number(x)} {_number(y)}) rotate({_number(turn)})"'
        if isinstance(item, Circle):
            ((x, y),) = _in_cloth(((item.x, item.y),), item.fill)
            element = "circle"
            where = f'cx="{_number(x)}" cy="{_number(y)}" r="{_number(item.radius)}"'
        else:
            element = "polygon"
            where = f'points="{_points(_in_cloth(item.points, item.fill))}"'
        coat = self.fill(item.fill) + _stroke(item.stroke) + _opacity(item.opacity)
        written = f"<{element} {where}{move}{coat}"
        if not item.name:
            return f"{written}/>"
        return f"{written}><title>{escape(_printable(item.name))}</title></{element}>"

    def fill(self, fill: Fill | None) -> str:
        """Write a fill attribute, making its pattern if it is cloth."""
        if fill is None:
            return ' fill="none"'
        if not isinstance(fill, ClothFill):
            return f' fill="{fill}"'
        key = replace(fill, origin=(0.0, 0.0), angle_deg=0.0)
        if key not in self.patterns:
            self.patterns[key] = f"print{len(self.patterns) + 1}"
            self.defs.append(self.pattern(fill, self.patterns[key]))
        return f' fill="url(#{self.patterns[key]})"'

    def pattern(self, fill: ClothFill, name: str) -> str:
        """Write how a cloth repeats, plainly or as in a mirror; its picture by reference."""
        picture = self.picture(fill.cloth, grey=fill.grey)
        swatch = self.drawing.cloths[fill.cloth]
        width, height = swatch.width_px, swatch.height_px
        times, turns = 1, [""]
        if fill.mirrored:
            times = 2
            turns += [
                f' transform="matrix(-1 0 0 1 {2 * width} 0)"',
                f' transform="matrix(1 0 0 -1 0 {2 * height})"',
                f' transform="matrix(-1 0 0 -1 {2 * width} {2 * height})"',
            ]
        uses = "".join(f'<use xlink:href="#{picture}"{turn}/>' for turn in turns)
        return (
            f'<pattern id="{name}" patternUnits="userSpaceOnUse" width="{times * width}"'
            f' height="{times * height}" patternTransform="scale({fill.mm_per_px:.7g})">'
            f"{uses}</pattern>"
        )

    def picture(self, cloth: ClothKey, *, grey: bool) -> str:
        """Embed a swatch once, in colour or grey, and give its name."""
        order = list(self.drawing.cloths).index(cloth) + 1
        name = f"cloth{order}{'grey' if grey else ''}"
        start = f'<image id="{name}" '
        if not any(part.startswith(start) for part in self.defs):
            swatch = self.drawing.cloths[cloth]
            png = to_png(grey_of(read_pixels(swatch.png))) if grey else swatch.png
            box = _box(0, 0, swatch.width_px + _OVERLAP, swatch.height_px + _OVERLAP)
            self.defs.append(
                f'{start}{box} preserveAspectRatio="none" xlink:href="{_data_uri(png)}"/>'
            )
        return name

    def text(self, item: Text) -> Iterator[str]:
        """Write a line of text, its fractions as small figures with a drawn slash."""
        lettered, left = anchored(item)
        turn = f" rotate({_number(item.angle_deg)})" if item.angle_deg else ""
        move = f"translate({_number(item.x)} {_number(item.y)}){turn}"
        yield f'<g transform="{move}" fill="{item.colour}">'
        family = quoteattr(f"'{FAMILY}', {FALLBACK}")
        spans = "".join(
            f'<tspan x="{_number(run.x - left)}" y="{_number(run.y)}"'
            f' font-size="{_number(run.size_mm)}">{escape(_printable(run.text))}</tspan>'
            for run in lettered.runs
        )
        even = ' style="font-variant-numeric:tabular-nums"' if item.tabular else ""
        yield (
            f'<text xml:space="preserve" font-family={family}'
            f' font-weight="{item.weight}"{even}>{spans}</text>'
        )
        for (x0, y0), (x1, y1) in lettered.slashes:
            yield (
                f'<path d="M{_number(x0 - left)} {_number(y0)}L{_number(x1 - left)}'
                f' {_number(y1)}" stroke="{item.colour}"'
                f' stroke-width="{_number(lettered.slash_width)}"/>'
            )
        yield "</g>"


def _in_cloth(points: tuple[Point, ...], fill: Fill | None) -> tuple[Point, ...]:
    """Give points in the axes of the cloth they are cut from, or as they are."""
    if not isinstance(fill, ClothFill):
        return points
    turn = math.radians(fill.angle_deg)
    across, down = math.cos(turn), math.sin(turn)
    x0, y0 = fill.origin
    return tuple(
        ((x - x0) * across + (y - y0) * down, (y - y0) * across - (x - x0) * down)
        for x, y in points
    )


def _number(value: float) -> str:
    written = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if written in {"-0", ""} else written


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _box(x: float, y: float, width: float, height: float) -> str:
    return (
        f'x="{_number(x)}" y="{_number(y)}" width="{_number(width)}" height="{_number(height)}"'
    )


def _stroke(stroke: Stroke | None) -> str:
    if stroke is None:
        return ""
    written = f' stroke="{stroke.colour}" stroke-width="{_number(stroke.width_mm)}"'
    if stroke.dash:
        written += f' stroke-dasharray="{" ".join(map(_number, stroke.dash))}"'
    if stroke.cap == "round":
        written += ' stroke-linecap="round"'
    if stroke.join == "round":
        written += ' stroke-linejoin="round"'
    return written


def _opacity(opacity: float) -> str:
    return "" if opacity == 1 else f' opacity="{_number(opacity)}"'


def _data_uri(png: bytes) -> str:
    return "data:image/png;base64," + b64encode(png).decode("ascii")


def _printable(text: str) -> str:
    """Leave out what XML cannot hold, such as control characters."""
    return "".join(sign for sign in text if sign.isprintable())
