"""All sheets of a board: its picture, the fabric key with what to cut, the templates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from quiltboard.cutting.counts import Count
from quiltboard.cutting.strips import CutNote
from quiltboard.drawing.board import draw_board
from quiltboard.drawing.cloth import cloths_of
from quiltboard.drawing.display import INK, Drawing, Item, Stroke, Text, put, rectangle
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.project.project import Project
from quiltboard.quilt.layout import finished_size
from quiltboard.shapes.wedge import draft_wedge
from quiltboard.sheets.fabric_key import key_sheets
from quiltboard.sheets.paper import (
    BODY,
    GREY,
    LEADING,
    NOTE,
    POINT_MM,
    Page,
    Paper,
    Room,
    Sheet,
    finish,
    room_of,
)
from quiltboard.sheets.templates import template_sheets
from quiltboard.units import format_length, length_from_mm, to_mm

NUMBER_MM: Final = 8 * POINT_MM
FACTS_MM: Final = 66.0
"""Room under the picture for its grey copy and the figures."""
EDGE: Final = Stroke(INK, 0.2)


def board_sheets(
    project: Project,
    counts: Sequence[Count],
    notes: Mapping[FabricId, CutNote],
    steps: Mapping[FabricId, Step],
    paper: Paper,
) -> list[Page]:
    """Lay out everything of a board that goes on paper.

    Parameters
    ----------
    project
        The board and its fabrics.
    counts
        Pieces of each fabric.
    notes
        What to cut from each fabric.
    steps
        Each fabric's value step.
    paper
        A4 or Letter.

    Returns
    -------
    list of Page
        The picture; the fabric key; what else to cut; the templates.
    """
    sheets = [
        _picture_sheet(project, steps, paper),
        *key_sheets(project, counts, notes, steps, paper),
        *template_sheets(project, paper),
    ]
    return finish(sheets, paper)


def _picture_sheet(project: Project, steps: Mapping[FabricId, Step], paper: Paper) -> Sheet:
    """Lay out the first page: the board large, its grey copy small, its figures."""
    board, room = project.board, room_of(paper)
    upper = Room(room.left, room.top, room.right, room.bottom - FACTS_MM)
    colour = draw_board(project, "colour", steps, numbers=False)
    number_mm = NUMBER_MM / _scale(colour, upper)
    if number_mm < 0.2 * to_mm(board.block):
        colour = draw_board(project, "colour", steps, number_mm=number_mm)
    low = room.bottom - FACTS_MM + 10
    lower = Room(room.left, low + 3, room.left + 0.4 * room.width, room.bottom - 3)
    grey = draw_board(project, "grey", steps, numbers=False)
    figures = room.left + grey.width_mm * _scale(grey, lower) + 10
    items = (
        *_picture(colour, upper),
        Text(room.left, low, "How light it reads", NOTE, 600),
        *_picture(grey, lower, at_left=True),
        *_figures(project, figures, low),
    )
    cloths = cloths_of(project.fabrics)
    return Sheet(project.title, _plates(project), items, "", cloths)


def _scale(drawing: Drawing, room: Room) -> float:
    return min(room.width / drawing.width_mm, room.height / drawing.height_mm)


def _picture(drawing: Drawing, room: Room, *, at_left: bool = False) -> Iterator[Item]:
    """Lay a picture of the board into some room, as large as it goes."""
    scale = _scale(drawing, room)
    width, height = drawing.width_mm * scale, drawing.height_mm * scale
    left = room.left if at_left else room.left + (room.width - width) / 2
    yield from put(drawing.items, left, room.top, scale)
    yield rectangle(left, room.top, width, height, stroke=EDGE)


def _plates(project: Project) -> str:
    board = project.board
    if len(board.blocks) == 1:
        return f"one plate of {board.wedge.n} wedges"
    return f"{board.across} × {board.down} plates of {board.wedge.n} wedges"


def _figures(project: Project, x: float, y: float) -> Iterator[Item]:
    """Write the board's figures in two columns."""
    board = project.board
    unit = board.unit
    drafted = draft_wedge(board.wedge)
    width, height = finished_size(board)
    laid = board.places - sum(block.cells.count(None) for block in board.blocks)
    rows = [
        ("finished", f"{format_length(width, unit)} × {format_length(height, unit)}"),
        ("block", f"{format_length(board.block, unit)} square"),
        ("plate", f"{format_length(length_from_mm(drafted.plate), unit)} across"),
        ("wedges", f"{laid} of {board.places} laid"),
    ]
    if board.sash:
        rows.append(("sashes", f"{format_length(board.sash, unit)} wide"))
    if board.border:
        rows.append(("border", f"{format_length(board.border, unit)} wide"))
    for name, said in rows:
        yield Text(x, y, name, BODY, colour=GREY)
        yield Text(x + 22, y, said, BODY)
        y += BODY * LEADING
