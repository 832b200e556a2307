"""Where things lie on a top."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from quiltboard.project.edits import change_top
from quiltboard.project.project import new_project
from quiltboard.quilt.board import Board, Cell, empty_board, place_name
from quiltboard.quilt.layout import Layout, finished_size, lay_out
from quiltboard.units import inches, to_inches


def dressed(across: int, down: int, n: int = 12) -> Board:
    return msgspec.structs.replace(
        empty_board(across, down, n), sash=inches(2), border=inches("7/2")
    )


def parts(layout: Layout) -> list[Polygon]:
    every = (*layout.blocks, *layout.sashes, *layout.cornerstones, *layout.frame)
    return [box(r.x, r.y, r.x + r.width, r.y + r.height) for r in every]


def test_a_throw_of_four_by_five_with_sashing_and_border() -> None:
    """The sum of its parts: 4·12 + 3·2 + 2·3½ by 5·12 + 4·2 + 2·3½."""
    board = dressed(4, 5)
    assert tuple(map(to_inches, finished_size(board))) == (61, 75)
    layout = lay_out(board)
    assert (layout.width / 25.4, layout.height / 25.4) == pytest.approx((61, 75))


def test_inner_sashes_and_cornerstones() -> None:
    """Counted: (n−1)m + (m−1)n inner sashes and (n−1)(m−1) cornerstones for n by m blocks."""
    layout = lay_out(dressed(4, 5))
    assert (len(layout.sashes), len(layout.cornerstones)) == (31, 12)
    layout = lay_out(dressed(3, 3))
    assert (len(layout.sashes), len(layout.cornerstones)) == (12, 4)


@given(st.integers(1, 6), st.integers(1, 6))
def test_the_parts_cover_the_top_without_gap_or_overlap(across: int, down: int) -> None:
    layout = lay_out(dressed(across, down))
    shapes = parts(layout)
    top = layout.width * layout.height
    assert sum(shape.area for shape in shapes) == pytest.approx(top, rel=1e-9)
    assert unary_union(shapes).area == pytest.approx(top, rel=1e-9)


@given(st.integers(6, 40), st.floats(0, 1), st.floats(0, 1))
def test_a_point_lies_on_the_wedge_whose_outline_holds_it(n: int, u: float, v: float) -> None:
    layout = lay_out(dressed(2, 2, n))
    x, y = u * layout.width, v * layout.height
    found = layout.cell_at(x, y)
    point = Point(x, y)
    holding = [
        Cell(block, wedge)
        for block in range(4)
        for wedge in range(n)
        if Polygon(layout.outline(Cell(block, wedge))).buffer(-1e-6).contains(point)
    ]
    if found is not None:
        assert Polygon(layout.outline(found)).buffer(1e-6).contains(point)
    elif holding:
        middle = layout.middle(holding[0].block)
        assert math.dist((x, y), middle) <= 25.4 * 4  # under the centre circle


def test_wedges_count_clockwise_from_the_top() -> None:
    layout = lay_out(dressed(2, 2))
    x, y = layout.middle(3)
    reach = layout.drafted.tip - 5
    assert layout.cell_at(x, y - reach) == Cell(3, 0)
    assert layout.cell_at(x + reach, y) == Cell(3, 3)
    assert layout.cell_at(x, y + reach) == Cell(3, 6)
    assert layout.cell_at(x, y) is None
    assert layout.cell_at(-1, -1) is None


def test_places_are_named_from_one() -> None:
    assert place_name(dressed(4, 5), Cell(2, 6)) == "plate 3, wedge 7"
    assert place_name(empty_board(), Cell(0, 6)) == "wedge 7"


def test_a_plain_board_has_no_sashes_and_no_frame() -> None:
    project = new_project()
    board = change_top(project.board, across=3).apply(project).board
    layout = lay_out(board)
    assert not layout.sashes
    assert not layout.frame
    assert board.places == 36
