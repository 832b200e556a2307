"""The fabric key: every fabric on the board, its pieces, and the strips they are cut from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from quiltboard.cutting.counts import Count
from quiltboard.cutting.strips import CutNote, StripCut
from quiltboard.drawing.cloth import cloths_of, plain_or_cloth
from quiltboard.drawing.display import (
    INK,
    Circle,
    Fill,
    Item,
    Polygon,
    Stroke,
    Text,
    line,
    put,
)
from quiltboard.drawing.lettering import elide, wrap
from quiltboard.drawing.seeing import grey_of_value
from quiltboard.fabrics.fabric import STEPS, Fabric, FabricId, Pool, Step
from quiltboard.fabrics.pools import said_of_pool
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cloth
from quiltboard.quilt.layout import Rect
from quiltboard.sheets.other_parts import OtherPart, other_parts
from quiltboard.sheets.paper import (
    BODY,
    GREY,
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
from quiltboard.units import Unit, format_length

TITLE: Final = "Fabric key and cutting"
CAUTION: Final = (
    "Rotary cutter: close the blade after every cut, cut away from yourself, and let it fall "
    "if it falls. Keep it out of children’s reach; a young cutter works with an adult beside. "
    "What comes with your cutter, and the rules where you are, go before this sheet."
)
FLIP: Final = (
    "Strips run from side to side of the cloth. Flip every second wedge end for end along "
    "the strip."
)
CAUTION_MM: Final = 17.0
HEAD_MM: Final = 15.0
"""From the top of a page's room to its first row."""
STRIP: Final = (32.0, 9.5)
PRINT_SCALE: Final = 0.5
"""Prints on the strips are half their size, so that more of them shows."""
NAME_MM: Final = 36.0
COLUMNS: Final = (("pieces", 101.0), ("there", 115.0), ("short", 128.0))
"""Right edges of the figures, from the room's left."""
CUTTING_MM: Final = 135.0
"""Left edge of what is to be cut."""


@dataclass(frozen=True, slots=True)
class _Row:
    """Something that is never parted between pages, drawn from its upper left corner."""

    height: float
    items: tuple[Item, ...]


def key_sheets(
    project: Project,
    counts: Sequence[Count],
    notes: Mapping[FabricId, CutNote],
    steps: Mapping[FabricId, Step],
    paper: Paper,
) -> list[Sheet]:
    """List the fabrics on the board, light to dark, with what to cut from each.

    Behind them stand the parts that are no wedges. A row is never parted between pages, and
    every page carries the caution about the cutter.
    """
    room = room_of(paper)
    width = room.width
    by_id = project.by_id()
    unit = project.board.unit

    def place(count: Count) -> tuple[int, float]:
        fabric = by_id[count.fabric]
        step = steps.get(fabric.id, "medium")
        return STEPS.index(step), -fabric.value

    laid = sorted((count for count in counts if count.placed), key=place)
    rows = [
        _fabric_row(by_id[count.fabric], count, notes.get(count.fabric), steps, width, unit)
        for count in laid
    ]
    if not rows:
        rows.append(_plain_row("No fabric lies on the board yet."))
    empty = project.board.places - sum(count.placed for count in laid)
    if empty and laid:
        said = f"{empty} wedges are still empty" if empty > 1 else "1 wedge is still empty"
        rows.append(_plain_row(f"{said}; the pieces above are those that are laid."))
    parts = [_part_row(part, by_id, width) for part in other_parts(project)]
    heading = _Row(9.0, (Text(0, 6.2, "Also to cut, seam allowances included", PART, 600),))
    # The heading stays with the first of its parts.
    rows.append(_stacked(heading, parts[0]))
    rows += parts[1:]
    cloths = cloths_of(project.fabrics)
    aside = f"{project.title}: {len(laid)} fabrics"
    return [
        Sheet(TITLE, aside, tuple(_page(page, room)), "", cloths)
        for page in _paginate(rows, room.height - HEAD_MM - CAUTION_MM)
    ]


def _paginate(rows: Sequence[_Row], height: float) -> Iterator[list[_Row]]:
    page: list[_Row] = []
    used = 0.0
    for row in rows:
        if page and used + row.height > height:
            yield page
            page, used = [], 0.0
        page.append(row)
        used += row.height
    yield page


def _page(rows: Sequence[_Row], room: Room) -> Iterator[Item]:
    left, y = room.left, room.top + NOTE * 0.9
    yield Text(left, y, FLIP, NOTE)
    y += 7.0
    for name, edge in COLUMNS:
        yield Text(left + edge, y, name, NOTE, anchor="end", colour=GREY)
    yield Text(left + CUTTING_MM, y, "to cut", NOTE, colour=GREY)
    y = room.top + HEAD_MM - 2
    for row in rows:
        yield line((left, y), (room.right, y), RULE)
        yield from put(row.items, left, y)
        y += row.height
    low = room.bottom - CAUTION_MM
    yield line((left, low + 3), (room.right, low + 3), RULE)
    first, rest = CAUTION.split(":", 1)
    lines = wrap(f"{first}:{rest}", room.width, NOTE, 600)
    items, _ = lines_of(left, low + 3 + NOTE * 1.4, lines, NOTE, 600)
    yield from items


def _fabric_row(
    fabric: Fabric,
    count: Count,
    note: CutNote | None,
    steps: Mapping[FabricId, Step],
    width: float,
    unit: Unit,
) -> _Row:
    said = tuple(_cut_lines(note, unit, fabric.pool)) if note is not None else ()
    lines = [part for text in said for part in wrap(text, width - CUTTING_MM, NOTE)]
    height = max(STRIP[1] + 3.5, len(lines) * NOTE * 1.3 + 4.0)
    name_width = COLUMNS[0][1] - NAME_MM - 12
    step = steps.get(fabric.id, "medium")
    dot = grey_of_value(fabric.value)
    there = "any" if count.there is None else str(count.there)
    figures = (str(count.placed), there, str(count.short) if count.short else "–")
    items: list[Item] = [
        *_strip(plain_or_cloth(fabric, _strip_box(), 0)),
        Text(NAME_MM, 6.0, elide(fabric.name, name_width, BODY, 600), BODY, 600),
        Circle(NAME_MM + 1.3, 10.0, 1.3, dot, Stroke(INK, 0.15)),
        Text(NAME_MM + 4.2, 11.1, step, NOTE, colour=GREY),
    ]
    for (_, edge), figure in zip(COLUMNS, figures, strict=True):
        weight = 600 if figure == str(count.short) and count.short else 400
        items.append(Text(edge, 6.0, figure, BODY, 600 if weight == 600 else 400, "end"))
    words, _ = lines_of(CUTTING_MM, 5.6, lines, NOTE)
    return _Row(height, (*items, *words))


def _cut_lines(note: CutNote, unit: Unit, pool: Pool | None) -> Iterator[str]:
    """Say what to cut: what is ready, the strips cloth by cloth, what is missing."""
    if pool is not None:
        yield said_of_pool(pool.cloths)
    if note.one_each:
        many = "1 wedge" if note.one_each == 1 else f"{note.one_each} wedges"
        yield f"{many}, one to a cloth"
    if note.ready:
        yield f"{note.ready} cut already" if note.ready < note.pieces else "all cut already"
    wide = format_length(note.strip_width, unit, finest=16, rounding="up")
    for cut in note.cuts:
        yield _strips(cut, wide)
    if note.missing:
        yield f"{note.missing} more than the cloth gives"


def _strips(cut: StripCut, wide: str) -> str:
    many = "1 strip" if cut.strips == 1 else f"{cut.strips} strips"
    how = "folded" if cut.folded else "open"
    return f"{many} {wide} wide, {how}: {cut.per_strip}\u00a0wedges each"


def _part_row(part: OtherPart, by_id: Mapping[FabricId, Fabric], width: float) -> _Row:
    cloth: Cloth = part.cloth
    if cloth.startswith("#"):
        fill: Fill = cloth
        source = f"plain {cloth}"
    else:
        fabric = by_id[FabricId(cloth)]
        fill = plain_or_cloth(fabric, _strip_box(), 0)
        source = fabric.name
    room = width - NAME_MM - 48
    words, low = paragraph(NAME_MM + 48, 6.0, part.said, room, BODY)
    items = (
        *_strip(fill),
        Text(NAME_MM, 6.0, part.name, BODY, 600),
        Text(NAME_MM, 11.1, elide(source, 45, NOTE), NOTE, colour=GREY),
        *words,
    )
    return _Row(max(STRIP[1] + 3.5, low - BODY * LEADING + 3.0), items)


def _plain_row(said: str) -> _Row:
    return _Row(9.0, (Text(0, 6.0, said, BODY),))


def _stacked(upper: _Row, lower: _Row) -> _Row:
    return _Row(
        upper.height + lower.height,
        (*upper.items, *put(lower.items, 0, upper.height)),
    )


def _strip_box() -> Rect:
    return Rect(0, 0, STRIP[0] / PRINT_SCALE, STRIP[1] / PRINT_SCALE)


def _strip(fill: Fill) -> Iterator[Item]:
    """Draw a strip of the cloth, its right end pinked."""
    box = _strip_box()
    teeth = 5
    pitch = box.height / teeth
    pinked = [
        point
        for k in range(teeth)
        for point in (
            (box.width, pitch * k),
            (box.width - pitch * 0.55, pitch * (k + 0.5)),
        )
    ]
    outline = ((0.0, 0.0), *pinked, (box.width, box.height), (0.0, box.height))
    edge = Stroke(INK, 0.15 / PRINT_SCALE)
    yield from put((Polygon(outline, fill, edge),), 0, 1.9, PRINT_SCALE)
