"""The templates: wedge and centre circle at true scale, with what makes them trustworthy.

Every outline is drawn from the drafted wedge, a millimetre to the millimetre. What does not fit
the paper is cut into overlapping pages with matching marks; nothing is ever scaled.
"""

from __future__ import annotations

import math
from typing import Final

from quiltboard.drawing.display import (
    INK,
    Circle,
    ClothFill,
    Item,
    Polygon,
    Polyline,
    Stroke,
    Text,
    line,
    put,
    rectangle,
)
from quiltboard.drawing.cloth import mm_per_px
from quiltboard.drawing.lettering import text_width
from quiltboard.fabrics.fabric import Fabric
from quiltboard.project.project import Project
from quiltboard.sheets.paper import (
    BODY,
    LEADING,
    NOTE,
    PART,
    RULE,
    Paper,
    Room,
    Sheet,
    lines_of,
    paragraph,
    room_of,
)
from quiltboard.sheets.tiling import Figure, tile
from quiltboard.shapes.wedge import DraftedWedge, Point, draft_wedge
from quiltboard.units import (
    PER_MM,
    Length,
    Unit,
    format_length,
    inches,
    length_from_mm,
    millimetres,
    to_mm,
)

CUT: Final = Stroke(INK, 0.5, join="miter")
SEAM: Final = Stroke(INK, 0.3, (3.0, 2.0))
CREASE: Final = Stroke(INK, 0.22, (5.0, 1.2, 0.8, 1.2))
FINISHED: Final = Stroke("#505050", 0.3, (0.5, 1.1))
GATHER: Final = Stroke(INK, 0.35, (1.8, 1.2))
THIN: Final = Stroke(INK, 0.2)
SHADE: Final = "#efefef"
GATHER_FROM_EDGE: Final = inches("1/8")
CHECK_SQUARES: Final[tuple[tuple[str, Length], ...]] = (
    ("1 in", inches(1)),
    ("2 cm", millimetres(20)),
)
DIMENSION_MM: Final = 9.0
"""Room that a dimension takes beside what it measures."""
BAND_MM: Final = 68.0
"""Room for the folded tip, the check squares and the key of lines."""
PRINT_NOTE: Final = "Print at 100 %, never “fit to page”. Measure a check square before you cut."


def print_scale_percent(wanted_mm: float, measured_mm: float) -> float:
    """Tell at what scale to print again, when a check square came out at another size.

    Raises
    ------
    ValueError
        If nothing was measured.

    Examples
    --------
    >>> round(print_scale_percent(175, 173), 2)
    101.16
    """
    if measured_mm <= 0:
        raise ValueError("measure the check square first")
    return 100 * wanted_mm / measured_mm


def template_sheets(project: Project, paper: Paper) -> list[Sheet]:
    """Lay the wedge's and the centre circle's templates on as many pages as they need."""
    board = project.board
    drafted = draft_wedge(board.wedge)
    room = room_of(paper)
    n, unit = board.wedge.n, board.unit
    aside = f"{project.title}: wedge of {n} and its centre circle"
    wedge = wedge_figure(drafted, unit)
    open_room = Room(room.left, room.top, room.right, room.bottom - BAND_MM)
    lesson = _lesson(project, drafted)
    cloths = {f.id: f.swatch for f in lesson if f.swatch is not None}
    title = "Templates, true scale"
    sheets: list[Sheet] = []
    facts = _facts(project, drafted)
    if wedge.width <= open_room.width and wedge.height <= open_room.height:
        beside = open_room.width - wedge.width
        items = [*put(wedge.items, room.left, room.top)]
        if beside >= 50:
            items += _facts_items(facts, room.left + wedge.width + 8, room.top + 12, beside - 8)
        items += band(room, drafted, lesson)
        sheets.append(Sheet(title, aside, tuple(items), PRINT_NOTE, cloths))
    else:
        items = [*_facts_items(facts, room.left, room.top + 8, room.width)]
        items += band(room, drafted, lesson)
        sheets.append(Sheet(title, aside, tuple(items), PRINT_NOTE, cloths))
        sheets += [
            Sheet(title, f"{project.title}: {part.name}", part.items, PRINT_NOTE)
            for part in tile(wedge, room)
        ]
    sheets += _circle_sheets(project, drafted, room, title)
    return sheets


def wedge_figure(drafted: DraftedWedge, unit: Unit) -> Figure:
    """Draw the wedge's template, wide end up, with its dimensions."""
    near = drafted.apex - drafted.shift
    far = near + drafted.length
    slope = math.tan(drafted.half_angle)
    middle = DIMENSION_MM + drafted.wide / 2

    def at(x: float, y: float) -> Point:
        return (middle + x, DIMENSION_MM + far - y)

    cut = tuple(at(x, y) for x, y in drafted.cut_outline())
    sewn = tuple(at(x, y) for x, y in drafted.sewn_outline())
    shoulder = far - drafted.seam
    side = drafted.narrow / 2 + (shoulder - near) * slope
    items: list[Item] = [
        Polygon(sewn, SHADE, name="finished wedge"),
        line(at(0, near - 3), at(0, far + 2.5), CREASE),
        line(at(-near * slope, near), at(-far * slope, far), SEAM),
        line(at(near * slope, near), at(far * slope, far), SEAM),
        line(at(-side, shoulder), at(side, shoulder), SEAM),
        Polyline((sewn[1], sewn[2], sewn[3]), FINISHED, name="folded tip"),
        Polygon(cut, stroke=CUT, name="cut wedge"),
    ]
    items += _wedge_words(drafted, at)
    wide = format_length(length_from_mm(drafted.wide), unit, finest=16)
    narrow = format_length(length_from_mm(drafted.narrow), unit, finest=16)
    long = format_length(length_from_mm(drafted.length), unit, finest=16)
    top, foot = DIMENSION_MM - 5.0, DIMENSION_MM + drafted.length + 5.5
    left, right = middle - drafted.wide / 2, middle + drafted.wide / 2
    items += dimension((left, top), (right, top), f"wide end about {wide}")
    items += dimension(
        (middle - drafted.narrow / 2, foot), (middle + drafted.narrow / 2, foot), f"narrow end {narrow}"
    )
    lower, upper = DIMENSION_MM + drafted.length, DIMENSION_MM
    said = f"length {long}: cut from strips this wide"
    if text_width(said, BODY) > drafted.length - 14:
        said = f"length {long}"
    items += dimension((left - 5.5, lower), (left - 5.5, upper), said)
    return Figure("wedge", right + 1, foot + 8, tuple(items))
