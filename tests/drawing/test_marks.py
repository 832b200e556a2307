"""Marks and states: where they lie, and that they can be seen on any cloth."""

from __future__ import annotations

import math
from typing import get_args

import pytest
from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Shape

from quiltboard.balance.flags import Flag, FlagKey, Kind
from quiltboard.drawing.badges import BadgeKind, badge
from quiltboard.drawing.board import silhouette
from quiltboard.drawing.display import HALO, INK, Circle, Item, Polygon, Polyline, arc
from quiltboard.drawing.marks import mark_items, pin_items
from quiltboard.drawing.states import (
    empty_wedge,
    offset_outline,
    outline_ghost,
    outline_keyboard,
    outline_selected,
    plate_corners,
)
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import lay_out
from tests.helpers.projects import sample_project

LAYOUT = lay_out(sample_project().board)
CLOSE, WALL = 2.0, 0.4
RUNS: dict[Kind, tuple[int, ...]] = {
    "touch": (11, 0),
    "close": (10, 0),
    "clump": (10, 11, 0, 1),
    "short": (4, 9),
}


def flag(kind: Kind, wedges: tuple[int, ...], block: int = 1) -> Flag:
    return Flag(FlagKey(kind, tuple(Cell(block, w) for w in wedges), ()), 1)


def points_of(item: Item) -> tuple[tuple[float, float], ...]:
    if isinstance(item, Polygon | Polyline):
        return item.points
    assert isinstance(item, Circle)
    return ((item.x, item.y),)


@pytest.mark.parametrize("scale", [CLOSE, WALL, 8.0])
@pytest.mark.parametrize("kind", get_args(Kind))
def test_a_mark_is_halo_under_ink_and_stays_on_its_block(kind: Kind, scale: float) -> None:
    items = mark_items(flag(kind, RUNS[kind]), LAYOUT, scale)
    strokes = [i.stroke for i in items if isinstance(i, Polyline)]
    colours = [stroke.colour for stroke in strokes]
    assert colours[0] == HALO
    assert INK in colours
    halo = max(s.width_mm for s in strokes if s.colour == HALO)
    ink = max(s.width_mm for s in strokes if s.colour == INK and s.width_mm < 4 / scale)
    assert (halo - ink) * scale == pytest.approx(3.5, abs=1.6)
    square = LAYOUT.blocks[1]
    for item in items:
        for x, y in points_of(item):
            assert square.x - 20 / scale <= x <= square.x + square.width + 20 / scale
            assert square.y - 20 / scale <= y <= square.y + square.height + 20 / scale


def test_whip_stitches_cross_the_shared_seam() -> None:
    items = mark_items(flag("touch", (2, 3)), LAYOUT, CLOSE)
    seam = LineString([LAYOUT.middle(1), LAYOUT.outline(Cell(1, 2))[1]])
    stitches = [
        i
        for i in items
        if isinstance(i, Polyline) and i.stroke.colour == INK and len(i.points) == 2
    ]
    assert len(stitches) >= 5
    for stitch in stitches[:5]:
        assert LineString(stitch.points).crosses(seam)


def test_running_stitch_is_knotted_on_both_pieces_and_hops_over_the_one_between() -> None:
    items = mark_items(flag("close", (2, 4)), LAYOUT, CLOSE)
    hop = next(i for i in items if isinstance(i, Polyline))
    assert hop.stroke.dash
    for end, wedge in ((hop.points[0], 2), (hop.points[-1], 4)):
        assert Shape(LAYOUT.outline(Cell(1, wedge))).contains(Point(end))
    middle = hop.points[len(hop.points) // 2]
    assert math.dist(middle, LAYOUT.middle(1)) > LAYOUT.drafted.tip
    assert sum(isinstance(i, Circle) and i.fill == INK for i in items) == 2


def test_blanket_stitch_goes_round_the_run_with_its_teeth_inward() -> None:
    wedges = (10, 11, 0)
    items = mark_items(flag("clump", wedges), LAYOUT, CLOSE)
    lines = [i for i in items if isinstance(i, Polyline) and i.stroke.colour == INK]
    outline = Shape(lines[0].points)
    for wedge in wedges:
        middle = LAYOUT.to_top(Cell(1, wedge), (0, LAYOUT.drafted.inside))
        assert outline.contains(Point(middle))
    assert not outline.contains(Point(LAYOUT.to_top(Cell(1, 2), (0, LAYOUT.drafted.inside))))
    teeth = [line for line in lines[1:] if len(line.points) == 2]
    assert len(teeth) > 20
    for tooth in teeth:
        assert outline.buffer(1e-6).contains(LineString(tooth.points))


def test_a_whole_ring_that_clumps_is_stitched_round_its_edge() -> None:
    items = mark_items(flag("clump", tuple(range(12))), LAYOUT, CLOSE)
    first = next(i for i in items if isinstance(i, Polyline))
    assert set(first.points) == set(silhouette(LAYOUT, 1))


def test_a_clump_seen_from_afar_is_an_arc_through_the_inside_points() -> None:
    items = mark_items(flag("clump", (3, 4, 5)), LAYOUT, WALL)
    bow = next(i for i in items if isinstance(i, Polyline))
    for point in bow.points:
        away = math.dist(point, LAYOUT.middle(1))
        assert away == pytest.approx(LAYOUT.drafted.inside_radius)
    assert bow.points[0] == pytest.approx(LAYOUT.outline(Cell(1, 3))[3])
    assert bow.points[-1] == pytest.approx(LAYOUT.outline(Cell(1, 5))[1])


def test_every_short_piece_is_pinked_across_and_one_badge_says_it() -> None:
    items = mark_items(flag("short", (4, 9)), LAYOUT, CLOSE)
    pinked = [
        i
        for i in items
        if isinstance(i, Polyline) and i.stroke.colour == INK and len(i.points) > 4
    ]
    assert len(pinked) == 2
    for line, wedge in zip(pinked, (4, 9), strict=True):
        assert (
            Shape(LAYOUT.outline(Cell(1, wedge))).buffer(0.1).contains(LineString(line.points))
        )


def test_a_pin_stands_in_its_piece_with_its_middle_under_the_cloth() -> None:
    items = pin_items(Cell(1, 7), LAYOUT, CLOSE)
    piece = Shape(LAYOUT.outline(Cell(1, 7)))
    shafts = [i for i in items if isinstance(i, Polyline) and i.stroke.colour == INK]
    assert len(shafts) == 2
    assert all(piece.contains(LineString(shaft.points)) for shaft in shafts)
    middle = Point(
        LAYOUT.to_top(Cell(1, 7), (0, (LAYOUT.drafted.tip + LAYOUT.drafted.opening) / 2))
    )
    assert all(LineString(shaft.points).distance(middle) > 2 for shaft in shafts)


@pytest.mark.parametrize("kind", get_args(BadgeKind))
def test_badges_fit_their_box_and_differ_by_shape(kind: BadgeKind) -> None:
    items = badge(kind, 100, 50, 24, halo=False, ink="#eeeeee", light="#2c2c2c")
    for item in items:
        for x, y in points_of(item):
            assert 88 <= x <= 112
            assert 38 <= y <= 62
    solids = Shape(points_of(items[0]))
    for other in get_args(BadgeKind):
        if other != kind:
            against = Shape(points_of(badge(other, 100, 50, 24, halo=False)[0]))
            assert solids.symmetric_difference(against).area > 0.1 * solids.area
    assert len(badge(kind, 100, 50, 24)) > len(items)


def test_states_lie_inside_and_outside_the_edge() -> None:
    outline = LAYOUT.outline(Cell(0, 5))
    piece = Shape(outline)
    (inner, _), (outer, _) = (
        draw(outline, CLOSE) for draw in (outline_selected, outline_keyboard)
    )
    assert piece.contains(Shape(points_of(inner)))
    assert Shape(points_of(outer)).contains(piece)
    assert piece.exterior.distance(Shape(points_of(inner)).exterior) == pytest.approx(4 / CLOSE)
    assert piece.exterior.distance(Shape(points_of(outer)).exterior) == pytest.approx(5 / CLOSE)
    ghost = outline_ghost(outline, CLOSE)
    assert all(isinstance(item, Polygon) and item.stroke and item.stroke.dash for item in ghost)


def test_an_outline_moved_in_beyond_its_middle_shrinks_to_a_point() -> None:
    small = offset_outline(((0, 0), (4, 0), (4, 4), (0, 4)), -3)
    assert set(small) == {(2, 2)}
    assert offset_outline(((0, 0), (4, 0), (4, 4), (0, 4)), -1)[0] == pytest.approx((1, 1))


def test_an_empty_wedge_shows_its_crease_and_an_empty_centre_its_edge_alone() -> None:
    wedge = list(empty_wedge(LAYOUT.outline(Cell(0, 0)), CLOSE))
    assert [item.stroke.colour for item in wedge if isinstance(item, Polyline)] == [
        HALO,
        HALO,
        INK,
        INK,
        INK,
    ]
    circle = list(empty_wedge(arc((0, 0), 5, 0, 360), CLOSE))
    assert [i.stroke.colour for i in circle if isinstance(i, Polygon) and i.stroke] == [
        HALO,
        INK,
    ]


def test_the_dashes_of_two_empty_neighbours_fall_on_each_other() -> None:
    def sides(wedge: int) -> list[tuple[tuple[float, float], ...]]:
        items = empty_wedge(LAYOUT.outline(Cell(0, wedge)), CLOSE)
        return [item.points for item in items if isinstance(item, Polyline)]

    right, left = sides(0)[0], sides(1)[1]
    assert right[1] == pytest.approx(left[1])
    assert right[2] == pytest.approx(left[2])
    assert math.dist(*right[:2]) == pytest.approx(math.dist(*left[:2]))


def test_a_chosen_plate_wears_four_corners_inside_its_square() -> None:
    square = LAYOUT.blocks[0]
    items = list(plate_corners(square.x, square.y, square.width, square.height, CLOSE))
    assert len(items) == 8
    for item in items:
        for x, y in points_of(item):
            assert square.holds(x, y)


def test_on_a_small_wedge_what_is_chosen_still_shows() -> None:
    outline = LAYOUT.outline(Cell(0, 5))
    for scale in (WALL, WALL / 2, WALL / 8):
        under, over = outline_selected(outline, scale)
        assert Shape(points_of(over)).area > 0.2 * Shape(outline).area
        assert points_of(under) == points_of(over)


def test_a_pin_seen_from_afar_keeps_a_head_that_can_be_seen() -> None:
    heads = [i for i in pin_items(Cell(1, 7), LAYOUT, WALL) if isinstance(i, Circle)]
    ink = next(i for i in heads if i.fill == INK)
    assert ink.radius * WALL >= 3.5
    assert Shape(LAYOUT.outline(Cell(1, 7))).contains(Point(ink.x, ink.y))
