"""Templates replayed: outlines against the drafted wedge, tiles against each other."""

from __future__ import annotations

import math

import pytest

from quiltboard.drawing.display import Circle, Clipped, Item, Polygon, Polyline
from quiltboard.shapes.wedge import Wedge, draft_wedge
from quiltboard.sheets.paper import Paper, Sheet, room_of
from quiltboard.sheets.templates import (
    CHECK_SQUARES,
    PRINT_NOTE,
    print_scale_percent,
    template_sheets,
)
from quiltboard.sheets.tiling import OVERLAP_MM, tile
from quiltboard.sheets.wedge_template import wedge_figure
from quiltboard.units import inches, to_mm
from tests.helpers.projects import sample_project
from tests.helpers.sheets import flat, project_with, texts

HUGE = Wedge(12, inches(16), inches(2))


def named(sheets: list[Sheet], name: str) -> list[Item]:
    return [i for s in sheets for i in flat(s.items) if getattr(i, "name", "") == name]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "wedge",
    [
        Wedge(6, inches("19/4"), inches("3/2")),
        Wedge(12, inches("19/4"), inches(1)),
        Wedge(20, inches(4), inches(1)),
        Wedge(16, inches(9), inches(1)),
        HUGE,
        Wedge(40, inches(5), inches("3/4")),
    ],
)
def test_every_wedge_outline_is_the_drafted_one(wedge: Wedge, paper: Paper) -> None:
    drafted = draft_wedge(wedge)
    outlines = named(template_sheets(project_with(wedge), paper), "cut wedge")
    assert outlines
    for outline in outlines:
        assert isinstance(outline, Polygon)
        near_right, far_right, far_left, near_left = outline.points
        assert far_right[0] - far_left[0] == pytest.approx(drafted.wide)
        assert near_right[0] - near_left[0] == pytest.approx(drafted.narrow)
        assert near_right[1] - far_right[1] == pytest.approx(drafted.length)
        middle = (far_right[0] + far_left[0]) / 2
        assert (near_right[0] + near_left[0]) / 2 == pytest.approx(middle)


@pytest.mark.parametrize(
    ("wedge", "named_lines"),
    [
        (Wedge(12, inches("19/4"), inches(1)),
         {"tip seam", "folded tip", "seam line", "crease and sight line", "grain"}),
        (Wedge(20, inches(3), inches(1)), {"seam line", "crease", "grain"}),
        (Wedge(24, inches(2), inches("5/8")), set()),
    ],
)  # fmt: skip
def test_a_line_is_named_only_where_there_is_room(wedge: Wedge, named_lines: set[str]) -> None:
    words = {text.text for text in texts(wedge_figure(draft_wedge(wedge), "in").items)}
    known = {"tip seam", "folded tip", "seam line", "crease", "crease and sight line", "grain"}
    assert words & known == named_lines


def test_the_folded_tip_and_the_finished_wedge_are_the_drafted_ones() -> None:
    drafted = draft_wedge(sample_project().board.wedge)
    sheets = template_sheets(sample_project(), "a4")
    (tip,) = named(sheets, "folded tip")
    (finished,) = named(sheets, "finished wedge")
    (cut,) = named(sheets, "cut wedge")
    assert isinstance(tip, Polyline)
    assert isinstance(finished, Polygon)
    assert isinstance(cut, Polygon)
    right, top, left = tip.points
    one, other = math.dist(right, top), math.dist(left, top)
    assert one == pytest.approx(other)
    assert math.dist(right, left) ** 2 == pytest.approx(one**2 + other**2)
    # The tip is on the seam across the wide end.
    assert top[1] - cut.points[1][1] == pytest.approx(drafted.seam)


def test_the_circles_are_the_drafted_ones() -> None:
    drafted = draft_wedge(sample_project().board.wedge)
    sheets = template_sheets(sample_project(), "letter")
    for name, across in (
        ("centre circle cut", to_mm(drafted.centre_cut)),
        ("gathering line", to_mm(drafted.centre_cut) - 2 * 25.4 / 8),
        ("centre circle finished", to_mm(drafted.centre_finished)),
        ("card", to_mm(drafted.centre_finished)),
    ):
        (circle,) = named(sheets, name)
        assert isinstance(circle, Circle)
        assert 2 * circle.radius == pytest.approx(across)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_check_squares_stand_with_every_template(paper: Paper) -> None:
    for sheet in template_sheets(sample_project(), paper):
        for said, side in CHECK_SQUARES:
            (square,) = named([sheet], f"check square {said}")
            assert isinstance(square, Polygon)
            (x0, y0), _, (x1, y1), _ = square.points
            assert (x1 - x0, y1 - y0) == pytest.approx((to_mm(side), to_mm(side)))
        assert sheet.note == PRINT_NOTE


def test_a_wedge_seven_inches_wide_stays_whole_on_both_papers() -> None:
    wedge = Wedge(6, inches("19/4"), inches("3/2"))
    assert draft_wedge(wedge).wide == pytest.approx(7 * 25.4, abs=0.6)
    for paper in ("a4", "letter"):
        assert len(named(template_sheets(project_with(wedge), paper), "cut wedge")) == 1


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "wedge", [HUGE, Wedge(6, inches(40), inches(20)), Wedge(40, inches(40), inches(6))]
)
def test_joined_tiles_make_the_whole_wedge(wedge: Wedge, paper: Paper) -> None:
    """Each part shows the figure moved; with no tile left out, all of the outline shows."""
    figure = wedge_figure(draft_wedge(wedge), "in")
    parts = tile(figure, room_of(paper))
    assert len(parts) > 1
    (whole,) = [i for i in figure.items if getattr(i, "name", "") == "cut wedge"]
    assert isinstance(whole, Polygon)
    windows = []
    for part in parts:
        (clip,) = [item for item in part.items if isinstance(item, Clipped)]
        (moved,) = [i for i in clip.items if getattr(i, "name", "") == "cut wedge"]
        assert isinstance(moved, Polygon)
        dx = moved.points[0][0] - whole.points[0][0]
        dy = moved.points[0][1] - whole.points[0][1]
        for (x, y), (a, b) in zip(moved.points, whole.points, strict=True):
            assert (x - dx, y - dy) == pytest.approx((a, b))
        windows.append((clip.x - dx, clip.y - dy, clip.width, clip.height))
    for k, start in enumerate(whole.points):
        end = whole.points[(k + 1) % 4]
        for step in range(101):
            x = start[0] + (end[0] - start[0]) * step / 100
            y = start[1] + (end[1] - start[1]) * step / 100
            assert any(
                left <= x <= left + width and top <= y <= top + height
                for left, top, width, height in windows
            )


def test_matching_marks_come_to_lie_on_each_other() -> None:
    figure = wedge_figure(draft_wedge(HUGE), "in")
    parts = tile(figure, room_of("a4"))

    def marks(part_index: int) -> set[tuple[float, float]]:
        """Give the middles of a part's marks in the figure's own axes."""
        items = parts[part_index].items
        (clip,) = [item for item in items if isinstance(item, Clipped)]
        (moved,) = [i for i in clip.items if getattr(i, "name", "") == "cut wedge"]
        (whole,) = [i for i in figure.items if getattr(i, "name", "") == "cut wedge"]
        assert isinstance(moved, Polygon)
        assert isinstance(whole, Polygon)
        dx = moved.points[0][0] - whole.points[0][0]
        dy = moved.points[0][1] - whole.points[0][1]
        squares = [i for i in items if isinstance(i, Polygon)]
        return {
            (round(s.points[1][0] - 3 - dx, 6), round(s.points[0][1] + 3 - dy, 6))
            for s in squares
        }

    assert len(parts) == 4
    for one, other in ((0, 1), (2, 3), (0, 2), (1, 3)):
        assert len(marks(one) & marks(other)) == 3
    assert OVERLAP_MM == 12


def test_a_figure_that_fits_stays_whole() -> None:
    figure = wedge_figure(draft_wedge(sample_project().board.wedge), "in")
    (part,) = tile(figure, room_of("a4"))
    assert not any(isinstance(item, Clipped) for item in part.items)


def test_the_scale_to_print_again_at_needs_a_measure() -> None:
    with pytest.raises(ValueError, match="measure"):
        print_scale_percent(25.4, 0)


def test_the_template_names_its_parts() -> None:
    said = {
        text.text
        for sheet in template_sheets(sample_project(), "a4")
        for text in texts(sheet.items)
    }
    assert {"grain", "seam line", "tip seam", "folded tip", "crease and sight line"} <= said
    assert {"wide end about 3 9⁄16 in", "narrow end 1 in"} <= said
    assert "length 4 3⁄4 in: cut from strips this wide" in said
