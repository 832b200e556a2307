"""The wedge, cut and sewn, against a sewing of it by plain geometry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltboard.shapes.wedge import (
    InvalidWedgeError,
    Wedge,
    draft_wedge,
    reach_mm,
    usual_wedge,
)
from quiltboard.units import Length, inches, to_mm


@pytest.mark.parametrize("n", range(6, 41))
def test_every_ring_has_a_usual_wedge_that_clears_its_block(n: int) -> None:
    drafted = draft_wedge(usual_wedge(n))
    clearance = 6 * 25.4 - reach_mm(drafted)
    assert clearance >= 0.5 * 25.4 - 1e-9
    assert drafted.finished_narrow >= drafted.seam
    assert to_mm(drafted.centre_finished) / 2 >= drafted.opening_corner + 6.35 - 1e-9


@given(
    st.integers(6, 40),
    st.integers(8, 40).map(lambda q: q / 4),
    st.integers(6, 24).map(lambda e: e / 8),
)
def test_a_sewn_ring_closes(n: int, length_in: float, narrow_in: float) -> None:
    """Sewn by plain geometry, the seams meet in the middle and the tip is a right angle."""
    wedge = Wedge(n, inches(str(length_in)), inches(str(narrow_in)))
    try:
        drafted = draft_wedge(wedge)
    except InvalidWedgeError:
        return
    (x1, y1), (x2, y2), *_ = drafted.cut_outline()
    side = math.hypot(x2 - x1, y2 - y1)
    # The distance from the middle to a cut side is the seam allowance.
    assert abs(x1 * (y2 - y1) - y1 * (x2 - x1)) / side == pytest.approx(drafted.seam, abs=1e-9)
    # The cut side runs at half the ring's angle.
    assert math.atan2(x2 - x1, y2 - y1) == pytest.approx(math.pi / n, abs=1e-12)
    # Folding the wide end in half brings its corner to the crease: the tip's two edges stand
    # at 45 degrees to the centre line and meet the side seams.
    _, (px, py), (tx, ty), *_ = drafted.sewn_outline()
    assert math.degrees(math.atan2(px - tx, ty - py)) == pytest.approx(45)
    assert px / py == pytest.approx(math.tan(math.pi / n))
    # The tip seam lies one allowance inside the cut wide end.
    assert ty == pytest.approx(y2 - drafted.seam)


@pytest.mark.parametrize(
    ("wedge", "says"),
    [
        (Wedge(5, inches(5), inches(1)), "6 to 40"),
        (Wedge(41, inches(5), inches(1)), "6 to 40"),
        (Wedge(12, Length(0), inches(1)), "over 0"),
        (Wedge(12, inches(5), inches("1/2")), "narrow end vanishes"),
        (Wedge(12, inches("1/2"), inches(3)), "make the wedge longer"),
        (Wedge(12, inches(41), inches(1)), "at most 40"),
    ],
)
def test_measures_that_make_no_ring_are_refused(wedge: Wedge, says: str) -> None:
    with pytest.raises(InvalidWedgeError, match=says):
        draft_wedge(wedge)


def test_a_block_too_small_for_any_ring() -> None:
    with pytest.raises(InvalidWedgeError, match="block this small"):
        usual_wedge(40, inches(2))
