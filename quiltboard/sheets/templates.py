"""The template sheets: wedge and centre circle, and what makes them trustworthy.

A millimetre of a template is a millimetre of paper. What does not fit is cut into overlapping
pages with matching marks; nothing is ever scaled.

References
----------
Correction of a printer's scale: wanted ÷ measured, of a check square (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from quiltboard.drawing.cloth import cloths_of, mm_per_px, swatch_for
from quiltboard.drawing.display import (
    INK,
    ClothFill,
    Fill,
    Item,
    Polygon,
    Stroke,
    Text,
    line,
    put,
)
from quiltboard.drawing.lettering import text_width
from quiltboard.fabrics.fabric import Fabric
from quiltboard.project.project import Project
from quiltboard.shapes.wedge import DraftedWedge, Point, draft_wedge
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
from quiltboard.sheets.wedge_template import (
    CREASE,
    CUT,
    FINISHED,
    GATHER,
    SEAM,
    card_figure,
    check_square,
    cloth_circle_figure,
    wedge_figure,
)
from quiltboard.units import Length, format_length, inches, length_from_mm, millimetres, to_mm

TITLE: Final = "Templates, true scale"
PRINT_NOTE: Final = (
    "Print at 100 %, never “fit to page”. Measure a check square before you cut."
)
CHECK_SQUARES: Final[tuple[tuple[str, Length], ...]] = (
    ("1 in", inches(1)),
    ("2 cm", millimetres(20)),
)
BAND_MM: Final = 70.0
"""Room at a page's foot for the folded tip, the check squares and the key of lines."""
STRIP_MM: Final = 46.0
"""Room at a page's foot for the check squares alone."""
STEP_MM: Final = 24.0


def print_scale_percent(wanted_mm: float, measured_mm: float) -> float:
    """Tell at what scale to print again when a check square came out at another size.

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
    drafted = draft_wedge(project.board.wedge)
    room = room_of(paper)
    wedge = wedge_figure(drafted, project.board.unit)
    if wedge.width > room.width:
        wedge = wedge_figure(drafted, project.board.unit, tight=True)
    if wedge.width <= room.width and wedge.height <= room.height - BAND_MM:
        sheets = [_whole_wedge_sheet(project, drafted, wedge, room)]
        return [*sheets, *_circle_sheets(project, drafted, room)]
    about = _about_sheet(project, drafted, room)
    parts = [
        Sheet(TITLE, f"{project.title}: {part.name}", part.items, PRINT_NOTE)
        for part in tile(wedge, room)
    ]
    return [about, *parts, *_circle_sheets(project, drafted, room)]


def _whole_wedge_sheet(
    project: Project, drafted: DraftedWedge, wedge: Figure, room: Room
) -> Sheet:
    """Lay out the page of a wedge that leaves room for everything about it."""
    facts = _facts(project, drafted)
    items: list[Item] = [*put(wedge.items, room.left, room.top + 1)]
    wide = max(text_width(fact, BODY) for fact in facts)
    if room.width - wedge.width - 8 >= wide:
        items += _facts_items(facts, room.left + wedge.width + 8, room.top + 14)
    else:
        # Beside the narrow end the page is free, if not for much.
        few = facts[:3]
        left = room.right - max(text_width(fact, BODY) for fact in few)
        items += _facts_items(few, left, room.bottom - BAND_MM - 3 * BODY * LEADING)
    return _with_band(project, drafted, room, items)


def _about_sheet(project: Project, drafted: DraftedWedge, room: Room) -> Sheet:
    """Lay out the page that goes before a wedge that fills pages of its own."""
    facts = _facts(project, drafted)
    items = [*_facts_items(facts, room.left, room.top + 6)]
    said = "The wedge follows at true scale, on as many pages as it takes."
    words, _ = paragraph(room.left, room.top + 14 + PART + 6 * BODY * LEADING, said, 120)
    return _with_band(project, drafted, room, [*items, *words])


def _with_band(project: Project, drafted: DraftedWedge, room: Room, items: list[Item]) -> Sheet:
    laid = next((fabric for _, fabric in project.board.cells() if fabric), None)
    shown = None if laid is None else project.fabric(laid)
    cloths = {} if shown is None else cloths_of((shown,))
    aside = f"{project.title}: wedge of {drafted.n}"
    band = _band(room, drafted, shown)
    return Sheet(TITLE, aside, (*items, *band), PRINT_NOTE, cloths)


def _circle_sheets(project: Project, drafted: DraftedWedge, room: Room) -> list[Sheet]:
    """Lay the two circles in opposite corners of a page, or on pages of their own."""
    unit = project.board.unit
    cloth, card = cloth_circle_figure(drafted, unit), card_figure(drafted, unit)
    aside = f"{project.title}: centre circle"
    open_room = Room(room.left, room.top, room.right, room.bottom - STRIP_MM)
    squares = tuple(_squares(room.left, open_room.bottom, room.width))
    down = _drop(cloth, card, open_room.width)
    high = max(cloth.height, down + card.height)
    if cloth.width <= open_room.width and high <= open_room.height:
        items = (
            *put(cloth.items, room.left, room.top + 2),
            *put(card.items, room.right - card.width, room.top + 2 + down),
            *squares,
        )
        return [Sheet(TITLE, aside, items, PRINT_NOTE)]
    sheets = []
    for figure in (cloth, card):
        alone = figure.width <= open_room.width and figure.height <= open_room.height
        for part in tile(figure, open_room if alone else room):
            items = (*part.items, *squares) if alone else part.items
            sheets.append(Sheet(TITLE, aside, items, PRINT_NOTE))
    return sheets


def _drop(first: Figure, second: Figure, width: float) -> float:
    """Tell how far below the first of two circles the second must start, pushed aside."""
    one, other = first.width / 2, second.width / 2
    apart = one + other + 3
    aside = width - one - other
    if aside >= apart:
        return 0.0
    return math.sqrt(apart**2 - max(0.0, aside) ** 2) + one - other


def _facts(project: Project, drafted: DraftedWedge) -> tuple[str, ...]:
    board = project.board
    unit = board.unit
    seam = board.wedge.seam

    def written(length: Length) -> str:
        return format_length(length, unit, finest=16)

    plate = format_length(length_from_mm(drafted.plate), unit)
    return (
        f"Wedge of {drafted.n}",
        f"{360 / drafted.n:.4g}° each",
        f"{drafted.base_angle_deg:.5g}° at the narrow end",
        f"seams {written(seam)}, inside the cut line",
        f"plate {plate} across when sewn",
        f"on a background cut {written(Length(board.block + 2 * seam))} square",
    )


def _facts_items(facts: tuple[str, ...], x: float, y: float) -> Iterator[Item]:
    yield Text(x, y, facts[0], PART, 600)
    items, _ = lines_of(x, y + PART * LEADING, facts[1:], BODY)
    yield from items


def _band(room: Room, drafted: DraftedWedge, shown: Fabric | None) -> Iterator[Item]:
    """Draw the page's foot: the folded tip in three steps, check squares, the key of lines."""
    top = room.bottom - BAND_MM
    yield line((room.left, top), (room.right, top), RULE)
    yield Text(room.left, top + 7, "The folded tip", PART, 600)
    column = (room.width - 66) / 3
    said = (
        ("Fold on the crease,", "right sides in"),
        ("Seam the wide end,", "clip the fold corner"),
        ("Turn, push out, press", "the seam on the crease"),
    )
    for k, (first, second) in enumerate(said):
        x = room.left + k * column
        yield from _step(k, x, top + 11, drafted, shown)
        yield Text(x, top + 11 + STEP_MM + 5, f"{k + 1}  {first}", NOTE, 600)
        yield Text(x, top + 11 + STEP_MM + 5 + NOTE * 1.35, second, NOTE)
    yield from _squares(room.right - 60, top, 60)
    key = room.bottom - 9
    yield line((room.left, key - 6.5), (room.right, key - 6.5), RULE)
    lines = (
        ("cut line", CUT),
        ("seam line", SEAM),
        ("crease", CREASE),
        ("gathering", GATHER),
        ("finished edge", FINISHED),
    )
    pitch = (room.width - 26) / (len(lines) - 1)
    for k, (name, stroke) in enumerate(lines):
        x = room.left + k * pitch - (8 if k else 0)
        yield line((x, key - 1.1), (x + 11, key - 1.1), stroke)
        yield Text(x + 13, key, name, NOTE)
    yield Text(
        room.left,
        room.bottom - 2.5,
        "Flip every second wedge end for end along the strip. The wide end is for reference: "
        "let the template set it.",
        NOTE,
    )


def _squares(left: float, top: float, width: float) -> Iterator[Item]:
    """Draw the check squares, and what to do when they come out at another size."""
    yield Text(left, top + 7, "Check squares", PART, 600)
    x = left
    for said, side in CHECK_SQUARES:
        yield from check_square(x, top + 11, side, said)
        x += to_mm(side) + 8
    percent = print_scale_percent(to_mm(inches(1)), 24.8)
    if width < 100:
        advice = f"1 in printed 24.8 mm wide? Set {percent:.1f} % (wanted ÷ measured)."
        items, _ = paragraph(left, top + 11 + to_mm(inches(1)) + 4.5, advice, width, NOTE)
    else:
        advice = (
            "If a square comes out at another size, print again at wanted ÷ measured: "
            f"1 in that measures 24.8 mm asks for {percent:.1f} %."
        )
        items, _ = paragraph(x, top + 11 + NOTE, advice, left + width - x, NOTE)
    yield from items


def _step(
    which: int, x: float, y: float, drafted: DraftedWedge, shown: Fabric | None
) -> Iterator[Item]:
    """Draw one step of the folded tip, small."""
    scale = STEP_MM / drafted.length
    half_wide, half_narrow = drafted.wide * scale / 2, drafted.narrow * scale / 2
    if half_wide > 11:
        scale *= 11 / half_wide
        half_wide, half_narrow = 11.0, drafted.narrow * scale / 2
    tall = drafted.length * scale
    fold = x + half_wide + 1
    low = y + STEP_MM
    high = low - tall
    edge, dashed = Stroke(INK, 0.3), Stroke(INK, 0.2, (1.0, 0.8))
    if which < 2:
        right = ((fold, high), (fold + half_wide, high), (fold + half_narrow, low), (fold, low))
        yield Polygon(right, "#dddddd", edge)
        yield line((fold, high), (fold, low), Stroke(INK, 0.6))
    if which == 0:
        left = ((fold, high), (fold - half_wide, high), (fold - half_narrow, low), (fold, low))
        yield Polygon(left, stroke=dashed)
    if which == 1:
        seam = high + max(drafted.seam * scale, 1.0)
        yield line((fold, seam), (fold + half_wide, seam), Stroke(INK, 0.4, (1.2, 0.7)))
        yield line((fold - 2, high + 2.2), (fold + 2.2, high - 2), Stroke(INK, 0.3))
    if which == 2:
        sewn = drafted.sewn_outline()

        def at(point: Point) -> Point:
            return fold + point[0] * scale, low - (point[1] - drafted.opening) * scale

        yield Polygon(tuple(at(p) for p in sewn), _small_print(shown, (x, high), scale), edge)


def _small_print(shown: Fabric | None, origin: Point, scale: float) -> Fill:
    if shown is None:
        return "#dddddd"
    chosen = swatch_for(shown, 0)
    if chosen is None:
        return shown.colour
    cloth, swatch = chosen
    return ClothFill(cloth, origin, 0.0, mm_per_px(swatch) * scale, mirrored=True)
