"""The board's picture, replayed item by item and measured."""

from __future__ import annotations

import re

import msgspec
import pytest
from shapely.geometry import Polygon as Shape
from shapely.ops import unary_union

from quiltboard.drawing.board import (
    Seeing,
    draw_board,
    draw_plate,
    draw_surroundings,
    silhouette,
)
from quiltboard.drawing.display import Circle, ClothFill, Drawing, Polygon, Polyline, Text
from quiltboard.drawing.seeing import SQUINT_MM, grey_colour, lightness, step_colour
from quiltboard.fabrics.fabric import Step
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell, empty_board
from quiltboard.quilt.layout import lay_out
from quiltboard.shapes.wedge import FEWEST_WEDGES, MOST_WEDGES
from quiltboard.units import to_mm
from tests.helpers.projects import PRINTS, pool_project, sample_project, sample_steps

STEPS = sample_steps()


def wedges(drawing: Drawing, plate: int = 1) -> list[Polygon]:
    """Give a plate's pieces, as they are named."""
    return [
        item
        for item in drawing.items
        if isinstance(item, Polygon) and re.match(rf"plate {plate}, wedge \d+:", item.name)
    ]


@pytest.mark.parametrize("n", [FEWEST_WEDGES, 7, 12, 16, 20, MOST_WEDGES])
def test_wedges_and_opening_add_up_to_the_plate(n: int) -> None:
    project = sample_project(2, 1, n)
    layout = lay_out(project.board)
    pieces = [Shape(item.points) for item in wedges(draw_board(project, "colour", STEPS))]
    assert len(pieces) == n
    opening = Shape([layout.outline(Cell(0, w))[4] for w in range(n)])
    plate = Shape(silhouette(layout, 0))
    assert sum(piece.area for piece in pieces) + opening.area == pytest.approx(plate.area)
    together = unary_union([opening, *pieces])
    assert together.area == pytest.approx(plate.area)
    assert together.symmetric_difference(plate).area < 1e-6 * plate.area


def test_the_drawing_is_the_top_at_its_true_size() -> None:
    project = sample_project()
    drawing = draw_board(project, "colour", STEPS)
    assert drawing.width_mm == pytest.approx((2 * 12 + 1.5 + 3) * 25.4)
    assert drawing.height_mm == drawing.width_mm
    grounds = [i for i in drawing.items if getattr(i, "name", "").startswith("ground")]
    assert len(grounds) == 4
    assert {shape.name for shape in drawing.items if isinstance(shape, Polygon)} >= {
        "border 1", "border 4", "sash 1", "sash 4", "cornerstone 1", "ground 4",
    }  # fmt: skip


def test_every_piece_shows_the_fabric_that_lies_there() -> None:
    project = sample_project()
    layout = lay_out(project.board)
    drawing = draw_board(project, "colour", STEPS)
    for plate in range(4):
        for wedge, item in enumerate(wedges(drawing, plate + 1)):
            fabric = project.board.at(Cell(plate, wedge))
            assert isinstance(item.fill, ClothFill)
            assert item.fill.cloth == fabric
            assert fabric in drawing.cloths
            assert item.points == layout.outline(Cell(plate, wedge))


def test_grey_greys_cloth_and_plain_colours_alike() -> None:
    project = sample_project()
    drawing = draw_board(project, "grey", STEPS)
    for item in drawing.items:
        if not isinstance(item, Polygon | Circle) or item.fill is None:
            continue
        if isinstance(item.fill, ClothFill):
            assert item.fill.grey
        else:
            assert item.fill == grey_colour(item.fill)


def test_value_steps_are_flat_and_barred_where_mixed() -> None:
    project = sample_project()
    drawing = draw_board(project, "steps", STEPS)
    wanted = {"light": 88, "medium": 58, "dark": 24, "mixed": 24}
    for item in wedges(drawing, 3):
        step = PRINTS[item.name.split(": ")[1]][3]
        assert isinstance(item.fill, str)
        assert lightness(item.fill) == pytest.approx(wanted[step], abs=0.3)
    mixed = [item for item in wedges(drawing, 3) if item.name.endswith("Newsprint")]
    assert mixed
    at = drawing.items.index(mixed[0])
    bars = drawing.items[at + 1 : at + 4]
    piece = Shape(mixed[0].points)
    light = 0.0
    for bar in bars:
        assert isinstance(bar, Polygon)
        assert isinstance(bar.fill, str)
        assert lightness(bar.fill) == pytest.approx(88, abs=0.3)
        assert Shape(bar.points).within(piece.buffer(1e-6))
        light += Shape(bar.points).area
    assert 0.3 < light / piece.area < 0.6


def test_a_piece_with_a_step_of_its_own_is_seen_in_that() -> None:
    project = sample_project()
    usual = wedges(draw_board(project, "steps", STEPS), 3)
    own: dict[Cell, Step] = {Cell(2, 2): "light", Cell(2, 7): "dark"}
    seen = wedges(draw_board(project, "steps", STEPS, own), 3)
    for wedge, (item, before) in enumerate(zip(seen, usual, strict=True)):
        assert isinstance(item.fill, str)
        if (step := own.get(Cell(2, wedge))) is None:
            assert item == before
        else:
            assert item.fill == step_colour(step)


def test_squint_is_blurred_and_bears_no_numbers_or_seams() -> None:
    drawing = draw_board(sample_project(), "squint", STEPS)
    assert drawing.blur_mm == SQUINT_MM
    assert not any(isinstance(item, Text) for item in drawing.items)
    assert not any(isinstance(i, Polygon | Circle) and i.stroke for i in drawing.items)


def test_more_value_steps_have_more_greys() -> None:
    project = sample_project()
    board = msgspec.structs.replace(project.board, step_count=7)
    drawing = draw_board(msgspec.structs.replace(project, board=board), "steps", STEPS)
    shown = {
        PRINTS[item.name.split(": ")[1]][3]: round(lightness(item.fill))
        for item in wedges(drawing, 3)
        if isinstance(item.fill, str)
    }
    # Light and dark are the second of seven, from 88 to 24, and the last but one.
    assert shown | {"mixed": 24} == {"light": 77, "medium": 56, "dark": 35, "mixed": 24}


@pytest.mark.parametrize("seeing", ["colour", "grey", "steps"])
def test_plates_are_numbered_row_by_row(seeing: Seeing) -> None:
    drawing = draw_board(sample_project(), seeing, STEPS)
    said = [item.text for item in drawing.items if isinstance(item, Text)]
    assert said == ["1", "2", "3", "4"]
    bare = draw_board(sample_project(), seeing, STEPS, numbers=False)
    assert not any(isinstance(item, Text) for item in bare.items)


def test_a_number_on_a_printed_ground_stands_on_a_label() -> None:
    project = sample_project()
    board = msgspec.structs.replace(project.board, ground="f0")
    drawing = draw_board(msgspec.structs.replace(project, board=board), "colour", STEPS)
    at = next(k for k, item in enumerate(drawing.items) if isinstance(item, Text))
    label = drawing.items[at - 1]
    assert isinstance(label, Polygon)
    assert label.fill == "#fcfcfc"


def test_an_empty_wedge_is_dashes_and_a_crease() -> None:
    project = sample_project(empty=(3,))
    drawing = draw_board(project, "colour", STEPS)
    assert len(wedges(drawing)) == 11
    outline = lay_out(project.board).outline(Cell(0, 3))
    dashed = [i for i in drawing.items if isinstance(i, Polyline) and outline[2] in i.points]
    assert {point for item in dashed for point in item.points} >= set(outline)
    assert all(item.stroke.dash for item in dashed)


def test_a_bare_board_shows_where_everything_will_be() -> None:
    board = empty_board()
    drawing = draw_board(Project("Bare", board), "colour", {})
    centre = [i for i in drawing.items if isinstance(i, Polygon) and i.stroke and i.stroke.dash]
    wedges = [i for i in drawing.items if isinstance(i, Polyline) and i.stroke.dash]
    assert len(centre) == 2
    assert len(wedges) == (2 * 2 + 1) * 12
    assert not any(isinstance(item, Circle) for item in drawing.items)


def test_the_centre_covers_the_opening() -> None:
    project = sample_project()
    drafted = lay_out(project.board).drafted
    drawing = draw_board(project, "colour", STEPS)
    centres = [i for i in drawing.items if isinstance(i, Circle) and i.name.startswith("cent")]
    assert len(centres) == 4
    for circle in centres:
        assert circle.radius == pytest.approx(to_mm(drafted.centre_finished) / 2)
        assert circle.radius > drafted.opening_corner


def test_a_fabric_without_a_picture_shows_its_plain_colour() -> None:
    project = sample_project()
    plain = msgspec.structs.replace(project.fabrics[0], swatch=None, colour="#21452f")
    board = msgspec.structs.replace(project.board, ground="f0", centre="f0", frame="f0")
    project = Project("Plain", board, (plain, *project.fabrics[1:]))
    for seeing, wanted in (("colour", "#21452f"), ("grey", grey_colour("#21452f"))):
        drawing = draw_board(project, seeing, STEPS)  # type: ignore[arg-type]
        shown = {i.fill for i in wedges(drawing) if i.name.endswith("Harbour Dot")}
        assert shown == {wanted}
        grounds = [i for i in drawing.items if getattr(i, "name", "").startswith("ground")]
        assert all(getattr(ground, "fill", None) == wanted for ground in grounds)
        # On a dark ground the numbers are chalk, and need no label.
        numbers = [item for item in drawing.items if isinstance(item, Text)]
        assert {number.colour for number in numbers} == {"#fcfcfc"}


def test_a_bare_board_to_be_squinted_at_is_its_ground_alone() -> None:
    drawing = draw_board(Project("Bare", empty_board()), "squint", {})
    assert all(isinstance(i, Polygon) and i.fill and not i.stroke for i in drawing.items)


def test_parts_drawn_one_by_one_are_the_parts_of_the_whole() -> None:
    project = sample_project(empty=(2,))
    whole = draw_board(project, "colour", STEPS, numbers=False).items
    parts = list(draw_surroundings(project, "colour", STEPS))
    for block in range(4):
        parts += draw_plate(project, "colour", STEPS, block)
    assert tuple(parts) == whole


def test_every_piece_of_a_pool_on_a_plate_shows_another_cloth() -> None:
    drawing = draw_board(pool_project(), "grey", {})
    for plate in (1, 2):
        fills = [item.fill for item in wedges(drawing, plate)]
        keys = {fill.cloth for fill in fills if isinstance(fill, ClothFill) and fill.grey}
        assert len(keys) == 12
        assert keys <= drawing.cloths.keys()
