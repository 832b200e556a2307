"""Sheets of the sample board, and their items laid flat for measuring."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import msgspec

from quiltboard.cutting.counts import count_pieces
from quiltboard.cutting.strips import strips_for
from quiltboard.drawing.display import Circle, Clipped, Item, Picture, Polygon, Polyline, Text
from quiltboard.drawing.lettering import anchored
from quiltboard.project.project import Project
from quiltboard.shapes.wedge import Wedge, draft_wedge
from quiltboard.sheets.board_sheets import board_sheets
from quiltboard.sheets.paper import Page, Paper
from quiltboard.units import length_from_mm
from tests.helpers.projects import sample_project, sample_steps

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""


def pages_of(project: Project, paper: Paper = "a4") -> list[Page]:
    """Lay out all sheets of a project made of the sample's fabrics."""
    counts = count_pieces(project.board, project.fabrics)
    wedge = project.board.wedge
    notes = {
        count.fabric: strips_for(project.fabric(count.fabric), count.placed, wedge)
        for count in counts
    }
    return board_sheets(project, counts, notes, sample_steps(), paper)


def project_with(wedge: Wedge) -> Project:
    """Give one plate of a wedge, on a block that holds it."""
    project = sample_project(1, 1, wedge.n)
    block = length_from_mm(draft_wedge(wedge).plate + 25.4)
    board = msgspec.structs.replace(project.board, wedge=wedge, block=block)
    return msgspec.structs.replace(project, board=board)


def flat(items: Iterable[Item]) -> Iterator[Item]:
    """Give items with those inside clips."""
    for item in items:
        yield item
        if isinstance(item, Clipped):
            yield from flat(item.items)


def texts(items: Iterable[Item]) -> list[Text]:
    """Give the texts among items."""
    return [item for item in flat(items) if isinstance(item, Text)]


def box_of(item: Item) -> Box:
    """Give what an item covers on the paper, strokes and descenders included."""
    if isinstance(item, Clipped | Picture):
        return item.x, item.y, item.x + item.width, item.y + item.height
    if isinstance(item, Circle):
        reach = item.radius + (item.stroke.width_mm / 2 if item.stroke else 0)
        return item.x - reach, item.y - reach, item.x + reach, item.y + reach
    if isinstance(item, Text):
        lettered, left = anchored(item)
        corners = [
            (x, y)
            for x in (-left, lettered.width - left)
            for y in (-0.75 * item.size_mm, 0.25 * item.size_mm)
        ]
        turn = math.radians(item.angle_deg)
        points = [
            (
                item.x + x * math.cos(turn) - y * math.sin(turn),
                item.y + x * math.sin(turn) + y * math.cos(turn),
            )
            for x, y in corners
        ]
        reach = 0.0
    else:
        assert isinstance(item, Polygon | Polyline)
        points = list(item.points)
        reach = item.stroke.width_mm / 2 if item.stroke else 0.0
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach
