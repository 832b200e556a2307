"""Published measures of rings and yields of strips, against our drafting and cutting.

Sources are named at each check; "by hand" marks figures derived for these tests.
"""

from __future__ import annotations

import math

import pytest

from quiltboard.cutting.yields import pieces_from_strip, wedges_from_strip
from quiltboard.shapes.wedge import Wedge, draft_wedge, reach_mm, usual_wedge
from quiltboard.units import inches

SIXTEEN = Wedge(16, inches("9/2"), inches(1))
"""A 14-in background, four wedges from a 4½ × 10 strip (ikwilt, 2011)."""
TWENTY = Wedge(20, inches("17/4"), inches(1))
"""A plate of twenty, its centre cut 4½ across (grilledsal, 2012)."""
TWELVE = Wedge(12, inches("11/2"), inches("7/8"))
"""Twelve wedges for a 12½-in background (a quilting forum, 2011)."""


def test_a_figure_drafted_in_mm_is_an_inch_over_25_4() -> None:
    assert draft_wedge(SIXTEEN).length == pytest.approx(4.5 * 25.4)


@pytest.mark.parametrize(
    ("n", "degrees"),
    [
        (12, 30.0),  # a quilting forum, 2011
        (16, 22.5),  # ikwilt, 2011
        (20, 18.0),  # ikwilt, 2011
        (10, 36.0),  # pennydog, 2017, as the next three
        (24, 15.0),
        (30, 12.0),
        (40, 9.0),
    ],
)
def test_angle_of_a_wedge(n: int, degrees: float) -> None:
    drafted = draft_wedge(Wedge(n, inches(5), inches(1)))
    assert math.degrees(2 * drafted.half_angle) == pytest.approx(degrees)


@pytest.mark.parametrize(
    ("n", "degrees"),
    [
        (12, 105.0),  # a quilting forum, 2011
        (16, 101.25),  # by hand, as the next two
        (18, 100.0),
        (20, 99.0),
    ],
)
def test_base_angle_at_the_narrow_end(n: int, degrees: float) -> None:
    assert draft_wedge(usual_wedge(n)).base_angle_deg == pytest.approx(degrees)


@pytest.mark.parametrize(
    ("wedge", "wide_in"),
    [
        (SIXTEEN, 2.790),  # by hand for the published wedge
        (TWENTY, 2.346),  # by hand; grilledsal prints 2⅜, its next eighth
        (TWELVE, 3.822),  # by hand; the forum says about 4
    ],
)
def test_wide_end(wedge: Wedge, wide_in: float) -> None:
    assert draft_wedge(wedge).wide / 25.4 == pytest.approx(wide_in, abs=5e-4)


def test_four_wedges_from_a_ten_inch_strip() -> None:
    """As published with the wedge of sixteen (ikwilt, 2011)."""
    assert wedges_from_strip(inches(10), SIXTEEN) == 4


def test_four_tumblers_from_a_strip_of_fifteen_inches() -> None:
    """Tumblers 2 in and 4 in wide (sewnbyleila, 2012)."""
    assert pieces_from_strip(inches(15), inches(2), inches(4)) == 4


def test_eleven_wedges_of_twenty_four_from_a_fat_quarter() -> None:
    """By hand, for a published wedge of 15⁄16 in by 6½ and a strip of 22."""
    assert wedges_from_strip(inches(22), Wedge(24, inches("13/2"), inches("15/16"))) == 11


@pytest.mark.parametrize(
    ("n", "yields"),
    [
        (12, (1, 3, 8, 16, 17)),
        (16, (2, 4, 10, 19, 20)),
        (18, (2, 4, 11, 20, 21)),
        (20, (2, 5, 11, 21, 22)),
    ],
)
def test_flip_flop_yields(n: int, yields: tuple[int, ...]) -> None:
    """By hand, ⌊(S − (T − b)/2)/((T + b)/2)⌋ for b = 1 in and L = 5 in."""
    wedge = Wedge(n, inches(5), inches(1))
    strips = [inches(length) for length in (5, 10, 22, 40, 42)]
    assert tuple(wedges_from_strip(strip, wedge) for strip in strips) == yields


@pytest.mark.parametrize(
    ("wedge", "plate_in", "hole_in"),
    [(TWENTY, 11.118, 3.118), (SIXTEEN, 10.964, 2.464), (TWELVE, 11.834, 1.334)],
)
def test_plate_and_hole_with_folded_tips(wedge: Wedge, plate_in: float, hole_in: float) -> None:
    """By hand, for the published wedges."""
    drafted = draft_wedge(wedge)
    assert drafted.plate / 25.4 == pytest.approx(plate_in, abs=5e-4)
    assert 2 * drafted.opening / 25.4 == pytest.approx(hole_in, abs=5e-4)


@pytest.mark.parametrize("wedge", [TWENTY, SIXTEEN, TWELVE])
def test_a_folded_tip_is_a_right_isosceles_triangle(wedge: Wedge) -> None:
    """Its height is half the blade's width there (tourmalinethymequilts)."""
    narrow_right, right, tip, left, narrow_left = draft_wedge(wedge).sewn_outline()
    assert narrow_right[1] == narrow_left[1]
    assert tip[1] - right[1] == pytest.approx((right[0] - left[0]) / 2)


@pytest.mark.parametrize("n", range(6, 41))
def test_the_usual_plate_keeps_half_an_inch_from_its_seam(n: int) -> None:
    """An appliquéd plate stays ½ in or more under its block (tourmalinethymequilts)."""
    assert reach_mm(draft_wedge(usual_wedge(n))) / 25.4 <= 6 - 0.5 + 1e-9
