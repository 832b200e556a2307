"""Outlines of patches: what is inside, four sides round them, lines along them."""

from __future__ import annotations

import numpy as np
import pytest

from quiltboard.photos.outlines import (
    area_of,
    boundary_of,
    clockwise,
    filled,
    four_sides,
    from_top_left,
    line_through,
    meeting,
    overlap,
    settled,
    sides_met,
    simplified,
    widest_within,
)

ASLANT = np.array([(20, 14), (88, 22), (80, 70), (12, 60)], dtype=np.float64)
SHAPE = (90, 110)


def test_a_patch_is_drawn_round_and_filled_again() -> None:
    mask = filled(ASLANT, SHAPE)
    boundary = boundary_of(mask)
    assert area_of(boundary) == pytest.approx(area_of(ASLANT), rel=0.03)
    assert overlap(filled(boundary, SHAPE), mask) > 0.95
    assert len(simplified(boundary, 2.0)) <= 5


def test_four_sides_settle_on_an_outline_with_a_notch() -> None:
    mask = filled(ASLANT, SHAPE)
    mask[:30, 48:56] = False
    boundary = boundary_of(mask)
    drawn = four_sides(boundary)
    assert drawn is not None
    quad = from_top_left(settled(drawn, boundary, 1.0))
    assert quad == pytest.approx(ASLANT, abs=1.5)


def test_a_triangle_has_no_four_sides() -> None:
    assert four_sides(np.array([(0.0, 0.0), (9.0, 0.0), (0.0, 9.0)])) is None


def test_four_sides_hold_the_whole_figure() -> None:
    turns = np.radians([0, 72, 144, 216, 288])
    five = np.column_stack([np.cos(turns), np.sin(turns)]) * 40
    drawn = four_sides(five)
    assert drawn is not None
    assert area_of(drawn) >= area_of(clockwise(five))


def test_a_figure_that_bends_everywhere_has_no_sides() -> None:
    turns = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    assert four_sides(np.column_stack([np.cos(turns), np.sin(turns)]) * 300) is None


def test_sides_that_no_outline_lies_near_stay_where_they_are() -> None:
    far = np.array([(500.0, 500.0), (501.0, 500.0)])
    assert settled(ASLANT, far, 1.0) == pytest.approx(ASLANT)


def test_sides_that_would_settle_on_one_line_stay_where_they_are() -> None:
    small = np.array([(0, 0), (5, 0), (5, 5), (0, 5)], dtype=np.float64)
    through = np.column_stack([np.linspace(-3, 8, 60), np.full(60, 2.5)])
    assert settled(small, through, 1.0) == pytest.approx(small)


def test_lines_that_run_alike_do_not_meet() -> None:
    flat = np.array([(0.0, 0.0), (9.0, 0.0)])
    below = flat + np.array([0, 5])
    assert meeting(flat, below) is None
    assert sides_met([flat, below, flat, below]) is None
    across = np.array([(4.0, -3.0), (4.0, 3.0)])
    assert meeting(flat, across) == pytest.approx(np.array([4.0, 0.0]))


def test_a_line_leaves_out_what_strays() -> None:
    x = np.arange(40.0)
    y = 3 + x / 4
    y[::9] += 12
    first, second = line_through(np.column_stack([x, y]), 0.5)
    rise = (second - first)[1] / (second - first)[0]
    assert rise == pytest.approx(0.25, abs=1e-6)


def test_corners_begin_at_the_smallest_turn() -> None:
    for turn in range(4):
        assert from_top_left(np.roll(ASLANT, turn, axis=0)) == pytest.approx(ASLANT)


def test_the_largest_part_that_shows() -> None:
    quad = np.array([(10, 10), (90, 10), (90, 80), (10, 80)], dtype=np.float64)
    mask = filled(quad, SHAPE)
    mask[40:, 60:] = False
    found = widest_within(quad, mask)
    assert area_of(found) == pytest.approx(50 * 70, rel=0.08)
    assert (filled(found, SHAPE) & ~mask).sum() <= 0.03 * mask.sum()
    out_of_photo = quad + np.array([40, 0])
    clipped = widest_within(out_of_photo, filled(quad, SHAPE))
    assert clipped[:, 0].max() <= 91
