"""What is known of a fabric in words: one place for the command line and the window."""

from __future__ import annotations

import math
from typing import Final

from quiltboard.fabrics.colours import hue_family, warmth
from quiltboard.fabrics.fabric import Fabric, PrintSize
from quiltboard.fabrics.print_size import print_size
from quiltboard.fabrics.reading import Direction, Repeat, RepeatKind
from quiltboard.photos.ruler import RulerKind
from quiltboard.shapes.wedge import Wedge
from quiltboard.units import Length, Unit, format_length, length_from_mm, to_mm

SURE_FROM: Final = 0.5

_LATTICES: Final[dict[RepeatKind, str]] = {
    "none": "no repeat found",
    "stripes": "stripes",
    "square": "repeats in straight rows",
    "half-drop": "repeats in a half-drop",
    "brick": "repeats like bricks",
    "diagonal": "repeats on the slant",
}
_KNOWN_BY: Final[dict[RulerKind, str]] = {
    "points": "by a length that was told",
    "card": "by a card in the photo",
    "grid": "by the lines of a mat or ruler",
}


def tell_light(fabric: Fabric) -> str:
    """Say what a fabric's value rests on."""
    if fabric.photo is None:
        return "a plain colour"
    if fabric.by_hand.value is not None:
        return "value set by hand"
    lighting = fabric.lighting
    if lighting.reference is None:
        return "not calibrated: no card in the photo, so its value is as true as the exposure"
    lamp = ", by lamp light: its colours are near, not exact" if lighting.lamp else ""
    return f"calibrated by a {lighting.reference}{lamp}"


def tell_colour(fabric: Fabric) -> str:
    """Say what colour a fabric reads as from across the room."""
    _, a, b = fabric.reading.lab
    temper = warmth(fabric.reading.lab)
    return f"{hue_family(fabric.reading.lab)}, {temper}, chroma {math.hypot(a, b):.0f}"


def tell_size(fabric: Fabric, unit: Unit) -> str:
    """Say how large a fabric's print is: in true length where the scale is known."""
    print_ = fabric.reading.print
    if print_ is None:
        return "not measured"
    if print_.solid or print_.feature is None:
        return "reads as solid"
    across = fabric.swatch.width if fabric.swatch else None
    if across is None:
        return f"print about {100 * print_.feature:.0f} % of the swatch's width"
    size = length_from_mm(print_.feature * to_mm(across), "up")
    return f"print about {format_length(size, unit, finest=16)}"


def size_against(fabric: Fabric, wedge: Wedge) -> PrintSize | None:
    """Call a fabric's print small, medium or large against the wedge it is cut into.

    What was set by hand is not asked.

    Returns
    -------
    PrintSize or None
        None where the scale is not known, the cloth reads as solid, or its print was not
        measured.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    """
    print_ = fabric.reading.print
    across = fabric.swatch.width if fabric.swatch else None
    if print_ is None or print_.feature is None or across is None:
        return None
    return print_size(print_.feature, across, wedge)


def tell_scale(fabric: Fabric, unit: Unit) -> str:
    """Say how much cloth a fabric's swatch shows, and how that is known."""
    across = fabric.swatch.width if fabric.swatch else None
    if across is None:
        return "not known, so prints are told in parts of the swatch's width"
    known = f", {_KNOWN_BY[fabric.ruler.by]}" if fabric.ruler else ""
    return f"the swatch shows {format_length(across, unit, finest=8)} of cloth across{known}"


def tell_repeat(fabric: Fabric, unit: Unit) -> str:
    """Say how a fabric's print repeats, in true length where the scale is known."""
    if fabric.by_hand.repeat is not None:
        across, along = (format_length(part, unit, finest=8) for part in fabric.by_hand.repeat)
        return f"repeats every {across} across and {along} along, as set by hand"
    print_ = fabric.reading.print
    if print_ is None:
        return "not measured"
    repeat = print_.repeat
    width = fabric.swatch.width if fabric.swatch else None
    said = _LATTICES[repeat.kind]
    if repeat.kind == "none":
        return said
    sizes = [_size(step, width, unit) for step in repeat.steps]
    both = len(sizes) > 1 and len(set(sizes)) == 1
    every = f"{sizes[0]} both ways" if both else " and ".join(sizes)
    of_what = " of the swatch's width" if width is None else ""
    return f"{said}, every {every}{of_what}{_doubt(repeat)}"


def tell_direction(fabric: Fabric) -> str:
    """Say whether a fabric has a right way up."""
    if fabric.by_hand.way is not None:
        return f"{fabric.by_hand.way}, as set by hand"
    if fabric.reading.print is None:
        return "not measured"
    direction = fabric.reading.print.direction
    if direction.way == "not sure":
        return "not sure whether it has a right way up"
    return f"{direction.way}{_doubt(direction)}"


def _size(step: tuple[float, float], width: Length | None, unit: Unit) -> str:
    long = math.hypot(*step)
    if width is None:
        return f"{100 * long:.0f} %"
    return format_length(length_from_mm(long * to_mm(width), "nearest"), unit, finest=8)


def _doubt(found: Repeat | Direction) -> str:
    return "" if found.confidence >= SURE_FROM else " (not certain)"
