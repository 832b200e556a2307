"""The sheets as a whole: order, feet, margins, sizes of letters."""

from __future__ import annotations

import re

import msgspec
import pytest

from quiltboard.drawing.display import ClothFill, Polygon
from quiltboard.project.project import Project, new_project
from quiltboard.shapes.wedge import Wedge
from quiltboard.sheets.fabric_key import CAUTION
from quiltboard.sheets.paper import POINT_MM, SIZES_MM, Paper
from quiltboard.units import inches, millimetres
from tests.helpers.projects import sample_project
from tests.helpers.sheets import box_of, flat, pages_of, project_with, texts

PAPERS: tuple[Paper, Paper] = ("a4", "letter")
WEDGES = (
    Wedge(6, inches("19/4"), inches("3/2")),
    Wedge(12, inches("19/4"), inches(1)),
    Wedge(16, inches(9), inches(1)),
    Wedge(40, inches(5), inches("3/4")),
    Wedge(12, inches(16), inches(2)),
    Wedge(40, inches(20), inches(4)),
    Wedge(9, inches("3/2"), inches("3/4"), inches("1/8")),
)


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_come_in_their_order_and_are_numbered(paper: Paper) -> None:
    pages = pages_of(sample_project(), paper)
    assert [page.title for page in pages] == [
        "Sea & <Brick>",
        "Fabric key and cutting",
        "Templates, true scale",
        "Templates, true scale",
    ]
    for index, page in enumerate(pages):
        assert page.paper == paper
        assert (page.drawing.width_mm, page.drawing.height_mm) == SIZES_MM[paper]
        said = [text.text for text in texts(page.drawing.items)]
        assert f"Quiltboard, page {index + 1} of {len(pages)}" in said


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "project",
    [
        sample_project(4, 5),
        sample_project(20, 1),
        sample_project(1, 20),
        sample_project(),
        new_project(),
        *(project_with(wedge) for wedge in WEDGES),
    ],
)
def test_nothing_stands_within_ten_millimetres_of_an_edge(
    project: Project, paper: Paper
) -> None:
    width, height = SIZES_MM[paper]
    for page in pages_of(project, paper):
        for item in page.drawing.items:
            left, top, right, bottom = box_of(item)
            assert left >= 10, item
            assert top >= 10, item
            assert right <= width - 10, item
            assert bottom <= height - 10, item


@pytest.mark.parametrize("project", [sample_project(4, 5), sample_project(20, 20)])
def test_no_text_is_below_eight_points(project: Project) -> None:
    for page in pages_of(project):
        for text in texts(page.drawing.items):
            assert text.size_mm >= 8 * POINT_MM - 1e-9


def test_the_first_page_shows_the_board_in_colour_and_in_grey() -> None:
    first = pages_of(sample_project())[0]
    fills = [i.fill for i in first.drawing.items if isinstance(i, Polygon)]
    cloth = [fill for fill in fills if isinstance(fill, ClothFill)]
    assert sum(fill.grey for fill in cloth) == sum(not fill.grey for fill in cloth) == 48
    large = max(fill.mm_per_px for fill in cloth if not fill.grey)
    assert large > 1.5 * max(fill.mm_per_px for fill in cloth if fill.grey)
    said = {text.text for text in texts(first.drawing.items)}
    assert {"2 × 2 plates of 12 wedges", "28 1⁄2 in × 28 1⁄2 in", "48 of 48 laid"} <= said


def test_a_metric_board_says_centimetres_throughout() -> None:
    project = sample_project()
    wedge = Wedge(12, millimetres(120), millimetres(25), millimetres(6))
    board = msgspec.structs.replace(project.board, unit="cm", wedge=wedge)
    for page in pages_of(msgspec.structs.replace(project, board=board)):
        for text in texts(page.drawing.items):
            # The check square of an inch and the line about it stay as they are.
            assert "1 in" in text.text or not re.search(r"\d in\b", text.text)
            assert "⁄" not in text.text


def test_the_caution_stands_on_every_cutting_page() -> None:
    pages = pages_of(sample_project())
    (key,) = [page for page in pages if page.title == "Fabric key and cutting"]
    said = " ".join(text.text for text in texts(key.drawing.items))
    assert CAUTION in said.replace("\u00a0", " ")
    for word in ("close", "away from yourself", "children", "adult"):
        assert word in CAUTION


def test_every_fill_has_its_swatch() -> None:
    for page in pages_of(sample_project()):
        for item in flat(page.drawing.items):
            fill = getattr(item, "fill", None)
            if isinstance(fill, ClothFill):
                assert fill.cloth in page.drawing.cloths
