"""A sheet of paper: its size, its head with a basted line, its foot with the page number.

Every sheet's room is the same on A4 and Letter but for its width and height, and nothing is
printed within 10 mm of an edge.

References
----------
A4: ISO 216. Letter: ANSI/ASME Y14.1 (8½ × 11 in).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from quiltboard.drawing.display import (
    Anchor,
    ClothKey,
    Drawing,
    Item,
    Stroke,
    Text,
    Weight,
    line,
)
from quiltboard.drawing.lettering import elide, text_width, wrap
from quiltboard.fabrics.fabric import Swatch

Paper = Literal["a4", "letter"]
SIZES_MM: Final[Mapping[Paper, tuple[float, float]]] = {
    "a4": (210.0, 297.0),
    "letter": (215.9, 279.4),
}
MARGIN_MM: Final = 13.0
HEAD_MM: Final = 13.0
"""From the top margin to where a sheet's own matter begins."""
FOOT_MM: Final = 8.0
POINT_MM: Final = 25.4 / 72
TITLE: Final = 18 * POINT_MM
PART: Final = 11.5 * POINT_MM
BODY: Final = 10 * POINT_MM
NOTE: Final = 9 * POINT_MM
LEADING: Final = 1.4
GREY: Final = "#505050"
RULE: Final = Stroke("#bdbdbd", 0.2)
BASTING: Final = Stroke("#191919", 0.35, (2.2, 1.4))


@dataclass(frozen=True, slots=True)
class Page:
    """One finished page."""

    paper: Paper
    drawing: Drawing
    title: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page's own matter, before it is known how many pages there are.

    Attributes
    ----------
    title, aside
        What stands at the left and the right of its head.
    items
        In mm from the paper's upper left corner.
    note
        What stands in its foot.
    """

    title: str
    aside: str
    items: tuple[Item, ...]
    note: str = ""
    cloths: Mapping[ClothKey, Swatch] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Room:
    """Where a sheet's own matter may stand, in mm."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """How wide it is."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """How high it is."""
        return self.bottom - self.top


def room_of(paper: Paper) -> Room:
    """Give the room on a paper between head and foot."""
    width, height = SIZES_MM[paper]
    return Room(
        MARGIN_MM,
        MARGIN_MM + HEAD_MM,
        width - MARGIN_MM,
        height - MARGIN_MM - FOOT_MM,
    )


def finish(sheets: Sequence[Sheet], paper: Paper) -> list[Page]:
    """Put head and foot on sheets and number them."""
    width, height = SIZES_MM[paper]
    room = room_of(paper)
    pages = []
    for index, sheet in enumerate(sheets):
        head = MARGIN_MM + TITLE * 0.75
        aside_width = room.width - text_width(sheet.title, TITLE, 600) - 8
        foot = height - MARGIN_MM
        number = f"Quiltboard, page {index + 1} of {len(sheets)}"
        note_width = room.width - text_width(number, NOTE) - 6
        frame: tuple[Item, ...] = (
            Text(room.left, head, sheet.title, TITLE, 600),
            Text(
                room.right,
                head,
                elide(sheet.aside, aside_width, BODY),
                BODY,
                anchor="end",
            ),
            line((room.left, head + 4), (room.right, head + 4), BASTING),
            line((room.left, foot - 4.4), (room.right, foot - 4.4), RULE),
            Text(room.left, foot, elide(sheet.note, note_width, NOTE), NOTE, colour=GREY),
            Text(room.right, foot, number, NOTE, anchor="end", colour=GREY),
        )
        drawing = Drawing(width, height, (*frame, *sheet.items), sheet.cloths)
        pages.append(Page(paper, drawing, sheet.title))
    return pages


def lines_of(
    x: float,
    y: float,
    lines: Iterable[str],
    size_mm: float = BODY,
    weight: Weight = 400,
    anchor: Anchor = "start",
    colour: str = "#191919",
) -> tuple[tuple[Item, ...], float]:
    """Set lines of text under one another, the first standing at y.

    Returns
    -------
    items, next
        The lines, and where the next would stand.
    """
    items = []
    for text in lines:
        items.append(Text(x, y, text, size_mm, weight, anchor, colour))
        y += size_mm * LEADING
    return tuple(items), y


def paragraph(
    x: float,
    y: float,
    text: str,
    width_mm: float,
    size_mm: float = BODY,
    weight: Weight = 400,
    colour: str = "#191919",
) -> tuple[tuple[Item, ...], float]:
    """Set a paragraph broken to a width; see `lines_of`."""
    lines = wrap(text, width_mm, size_mm, weight)
    return lines_of(x, y, lines, size_mm, weight, colour=colour)
