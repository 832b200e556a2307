"""A known length in a photo gives the true width of the swatch."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltboard.photos.corners import WHOLE_PHOTO, Corners
from quiltboard.photos.ruler import (
    NO_LENGTH,
    NOT_ON_TABLE,
    TOO_CLOSE,
    Ruler,
    ScaleError,
    seen_proportion,
    swatch_width,
)
from quiltboard.photos.straighten import swatch_size
from quiltboard.units import Length, inches, millimetres
from tests.helpers.seen_table import Camera, rectangle

PHOTO_PX = (1600, 1200)
CAMERA = Camera(PHOTO_PX, tilt_deg=25, tilt_to_deg=35, turn_deg=100)
CLOTH_MM = rectangle((-20, 10), 200, 150, 8)
SWATCH_PX = (800, 600)

turns = st.floats(0, 360)
tilts = st.floats(0, 40)
places = st.tuples(st.floats(-150, 150), st.floats(-110, 110))


def ruler_of(camera: Camera, start: tuple[float, float], end: tuple[float, float]) -> Ruler:
    """Click two places whose distance is known to the nearest 1/320 mm."""
    (a, b), (c, d) = camera.seen([start, end]).tolist()
    return Ruler((a, b), (c, d), Length(round(math.dist(start, end) * 320)))


def test_an_inch_on_a_photo_from_straight_above() -> None:
    ruler = Ruler((0.25, 0.5), (0.5, 0.5), inches(1))
    assert swatch_width(ruler, WHOLE_PHOTO, (1000, 500), (500, 250)) == inches(4)


@given(places, places, tilts, turns, turns)
def test_two_points_anywhere_on_the_table_give_the_width(
    start: tuple[float, float],
    end: tuple[float, float],
    tilt_deg: float,
    tilt_to_deg: float,
    turn_deg: float,
) -> None:
    camera = Camera(PHOTO_PX, 0.75, 400, tilt_deg, tilt_to_deg, turn_deg)
    ruler = ruler_of(camera, start, end)
    if math.dist(*(camera.seen([start, end]) * PHOTO_PX).tolist()) < 40:
        return
    width = swatch_width(ruler, camera.corners(CLOTH_MM), PHOTO_PX, SWATCH_PX)
    # The ruler's own length is rounded to 1/320 mm, and the cloth is longer than it.
    assert width == pytest.approx(millimetres(200), abs=0.5 + 0.5 * 64000 / ruler.length)


@given(st.integers(1, 200), st.integers(1, 9))
def test_the_width_grows_as_the_length_does(length_mm: int, times: int) -> None:
    ends = CAMERA.seen([(100, -60), (120, 70)])
    start, end = ((x, y) for x, y in ends.tolist())
    cloth = CAMERA.corners(CLOTH_MM)
    one, more = (
        swatch_width(Ruler(start, end, millimetres(mm)), cloth, PHOTO_PX, SWATCH_PX)
        for mm in (length_mm, length_mm * times)
    )
    assert more == pytest.approx(one * times, abs=0.5 * times + 0.5)


@given(places, places)
def test_a_photo_turned_by_a_quarter_tells_the_same(
    start: tuple[float, float], end: tuple[float, float]
) -> None:
    ruler = ruler_of(CAMERA, start, end)
    if math.dist(*(CAMERA.seen([start, end]) * PHOTO_PX).tolist()) < 41:
        return
    cloth = CAMERA.corners(CLOTH_MM)
    a, b, c, d = ((1 - y, x) for x, y in cloth)
    ends = [(1 - y, x) for x, y in (ruler.start, ruler.end)]
    turned = Ruler(ends[0], ends[1], ruler.length)
    straight = swatch_width(ruler, cloth, PHOTO_PX, SWATCH_PX)
    assert swatch_width(turned, (a, b, c, d), PHOTO_PX[::-1], SWATCH_PX) == pytest.approx(
        straight, abs=1
    )


@pytest.mark.parametrize(
    ("ruler", "corners", "said"),
    [
        (Ruler((0.5, 0.5), (0.5, 0.5), inches(1)), WHOLE_PHOTO, TOO_CLOSE),
        (Ruler((0.5, 0.5), (0.515, 0.5), inches(1)), WHOLE_PHOTO, TOO_CLOSE),
        (Ruler((0.5, math.nan), (0.1, 0.5), inches(1)), WHOLE_PHOTO, TOO_CLOSE),
        (Ruler((0.2, 0.5), (0.5, 0.5), Length(0)), WHOLE_PHOTO, NO_LENGTH),
        (
            Ruler((0.2, 0.5), (0.5, 0.5), inches(1)),
            ((0.1, 0.1), (0.2, 0.2), (0.3, 0.3), (0.4, 0.4)),
            NOT_ON_TABLE,
        ),
        # The sides run together at 0.5, 0.3: the table ends there.
        (
            Ruler((0.2, 0.9), (0.5, 0.1), inches(1)),
            ((0.45, 0.5), (0.55, 0.5), (0.7, 0.9), (0.3, 0.9)),
            NOT_ON_TABLE,
        ),
        (
            Ruler((0.2, 0.9), (0.5, 0.25), inches(1)),
            ((0.45, 0.5), (0.55, 0.5), (0.7, 0.9), (0.3, 0.9)),
            NOT_ON_TABLE,
        ),
    ],
)
def test_points_that_tell_no_size(ruler: Ruler, corners: Corners, said: str) -> None:
    with pytest.raises(ScaleError) as told:
        swatch_width(ruler, corners, PHOTO_PX, SWATCH_PX)
    assert str(told.value) == said


@given(tilts, turns, turns, st.floats(0.4, 2.5))
def test_perspective_tells_how_high_a_cloth_is_over_how_wide(
    tilt_deg: float, tilt_to_deg: float, turn_deg: float, proportion: float
) -> None:
    camera = Camera(PHOTO_PX, 0.75, 400, tilt_deg, tilt_to_deg, turn_deg)
    corners = camera.corners(rectangle((30, -20), 90, 90 * proportion, 20))
    assert seen_proportion(corners, PHOTO_PX) == pytest.approx(proportion, rel=1e-6)


def test_a_usual_lens_is_near_enough() -> None:
    tilted = Camera(PHOTO_PX, 0.68, tilt_deg=25, tilt_to_deg=0)
    corners = tilted.corners(rectangle((0, 0), 200, 200))
    quad = np.array(corners) * PHOTO_PX
    across, down = swatch_size(quad, PHOTO_PX, 4000)
    assert down / across == pytest.approx(1, abs=0.02)
    # The sides as they are seen would be far off.
    top, right, bottom, left = (math.dist(quad[at], quad[at - 3]) for at in range(4))
    assert abs((right + left) / (top + bottom) - 1) > 0.05


def test_three_corners_in_a_line_have_no_proportion() -> None:
    with pytest.raises(ScaleError, match="one table"):
        seen_proportion(((0.1, 0.1), (0.2, 0.2), (0.3, 0.3), (0.1, 0.4)), PHOTO_PX)
