"""How a print lies on a wedge."""

from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from quiltboard.drawing.cloth import (
    UNSCALED_WIDTH_MM,
    cloth_placing,
    cloths_of,
    mm_per_px,
    plain_or_cloth,
    swatch_for,
    wedge_or_plain,
)
from quiltboard.drawing.display import ClothFill
from quiltboard.fabrics.fabric import Fabric, FabricId, Pool, Swatch
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout, Rect, lay_out
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


def pool(photos: int, cloths: int = 38) -> Fabric:
    """Give a pool of which so many swatches are there."""
    plain = msgspec.structs.replace(sample_project().fabrics[0], swatch=None)
    swatches = tuple(swatch(20 + k, 20, 1) for k in range(photos))
    first = swatches[0] if swatches else None
    return msgspec.structs.replace(plain, swatch=first, pool=Pool(cloths, swatches[1:]))


def shown(fabric: Fabric, place: int, ring: int = 1) -> str:
    """Tell which swatch shows, and that the key names it."""
    chosen = swatch_for(fabric, place, ring)
    assert chosen is not None
    assert cloths_of([fabric])[chosen[0]] is chosen[1]
    return chosen[0]


def test_a_fabric_of_one_swatch_always_shows_it() -> None:
    fabric = sample_project().fabrics[0]
    assert {shown(fabric, place, 12) for place in range(40)} == {fabric.id}
    assert {shown(pool(1), place, 12) for place in range(40)} == {fabric.id}


@pytest.mark.parametrize("n", [6, 11, 12, 16, 20])
@pytest.mark.parametrize("photos", [20, 21, 38, 40])
def test_a_ring_of_a_pool_shows_as_many_cloths_as_it_has_wedges(photos: int, n: int) -> None:
    fabric = pool(photos)
    for block in range(5):
        assert len({shown(fabric, block * n + w, n) for w in range(n)}) == n


@pytest.mark.parametrize("n", [6, 11, 12, 16, 20])
@pytest.mark.parametrize("photos", [4, 5, 7, 9])
def test_no_two_neighbours_show_the_same_cloth_of_a_pool(photos: int, n: int) -> None:
    fabric = pool(photos)
    for block in range(3):
        ring = [shown(fabric, block * n + w, n) for w in range(n)]
        assert all(ring[w] != ring[w - 1] for w in range(n))
        if n // math.ceil(n / photos) > 2:
            assert all(ring[w] != ring[w - 2] for w in range(n))


@pytest.mark.parametrize("photos", [2, 3, 4, 6, 12, 38])
def test_pieces_that_lie_apart_go_through_all_cloths_before_any_comes_again(
    photos: int,
) -> None:
    fabric = pool(photos)
    assert len({shown(fabric, place) for place in range(photos)}) == photos
    assert len({shown(fabric, 12 * block, 12) for block in range(photos)}) == photos


def test_a_pool_without_pictures_shows_its_colour(layout: Layout) -> None:
    fabric = pool(0)
    assert swatch_for(fabric, 3) is None
    assert wedge_or_plain(layout, Cell(0, 3), fabric) == fabric.colour
    grey = wedge_or_plain(layout, Cell(0, 3), fabric, grey=True)
    assert isinstance(grey, str)
    assert grey[1:3] == grey[3:5] == grey[5:7]


def test_a_wedge_shows_the_swatch_of_its_place(layout: Layout) -> None:
    fabric = pool(38)
    fills = [wedge_or_plain(layout, Cell(1, w), fabric) for w in range(12)]
    assert [f.cloth for f in fills if isinstance(f, ClothFill)] == [
        shown(fabric, 12 + w, 12) for w in range(12)
    ]
    flat = plain_or_cloth(fabric, Rect(0, 0, 10, 10), 5)
    assert isinstance(flat, ClothFill)
    assert flat.cloth == shown(fabric, 5)
