"""How a print lies on a wedge."""

from __future__ import annotations

import math

import numpy as np
import pytest

from quiltboard.drawing.cloth import UNSCALED_WIDTH_MM, cloth_placing, mm_per_px
from quiltboard.drawing.display import ClothFill
from quiltboard.fabrics.fabric import FabricId, Swatch
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout, lay_out
from quiltboard.shapes.wedge import Point
from quiltboard.units import inches
from tests.helpers.projects import sample_project, swatch_of

FABRIC = FabricId("a")


def swatch(width_px: int, height_px: int, width_in: int | None) -> Swatch:
    pixels = np.full((height_px, width_px, 3), 128, dtype=np.uint8)
    return swatch_of(pixels, None if width_in is None else inches(width_in))


def on_swatch(fill: ClothFill, point: Point) -> Point:
    """Carry a point of the top back to a pixel of the swatch."""
    turn = math.radians(fill.angle_deg)
    x, y = point[0] - fill.origin[0], point[1] - fill.origin[1]
    return (
        (x * math.cos(turn) + y * math.sin(turn)) / fill.mm_per_px,
        (y * math.cos(turn) - x * math.sin(turn)) / fill.mm_per_px,
    )


@pytest.fixture
def layout() -> Layout:
    return lay_out(sample_project().board)


def test_cloth_of_known_scale_is_at_true_scale() -> None:
    assert mm_per_px(swatch(300, 300, 6)) == pytest.approx(6 * 25.4 / 300)


def test_cloth_of_unknown_scale_is_taken_as_nine_inches_across() -> None:
    assert pytest.approx(9 * 25.4) == UNSCALED_WIDTH_MM
    assert mm_per_px(swatch(300, 200, None)) == pytest.approx(9 * 25.4 / 300)


def test_no_edge_of_a_large_swatch_crosses_any_wedge(layout: Layout) -> None:
    large = swatch(300, 260, 9)
    for block in range(4):
        for wedge in range(12):
            cell = Cell(block, wedge)
            fill = cloth_placing(layout, cell, FABRIC, large)
            assert not fill.mirrored
            for corner in layout.outline(cell):
                x, y = on_swatch(fill, corner)
                assert -1e-6 <= x <= 300 + 1e-6
                assert -1e-6 <= y <= 260 + 1e-6


def test_a_small_swatch_repeats_as_in_a_mirror(layout: Layout) -> None:
    assert cloth_placing(layout, Cell(0, 0), FABRIC, swatch(100, 100, 1)).mirrored


def test_the_print_stands_along_the_wedge_with_its_upper_edge_outward(layout: Layout) -> None:
    for wedge in range(12):
        cell = Cell(2, wedge)
        fill = cloth_placing(layout, cell, FABRIC, swatch(300, 300, 9))
        inner = on_swatch(fill, layout.to_top(cell, (0, 50)))
        outer = on_swatch(fill, layout.to_top(cell, (0, 100)))
        right = on_swatch(fill, layout.to_top(cell, (10, 50)))
        assert outer[0] == pytest.approx(inner[0])
        assert inner[1] - outer[1] == pytest.approx(50 / fill.mm_per_px)
        assert right[0] - inner[0] == pytest.approx(10 / fill.mm_per_px)


def test_neighbours_of_one_fabric_show_different_parts_of_it(layout: Layout) -> None:
    large = swatch(300, 300, 9)
    cells = [Cell(0, wedge) for wedge in range(12)]
    tips = [
        on_swatch(cloth_placing(layout, cell, FABRIC, large), layout.outline(cell)[2])
        for cell in cells
    ]
    for wedge in range(12):
        assert math.dist(tips[wedge], tips[wedge - 1]) > 20


def test_the_same_place_always_shows_the_same_part(layout: Layout) -> None:
    large = swatch(300, 300, 9)
    first = cloth_placing(layout, Cell(1, 5), FABRIC, large)
    assert first == cloth_placing(layout, Cell(1, 5), FABRIC, large)
