"""A cloth's value is the L* of its mean light; its quarters tell how far it goes either way."""

from __future__ import annotations

import pytest

from quiltboard.fabrics.measure import (
    BURNT_OUT,
    TOO_DARK,
    mean_colour_hex,
    measure_cloth,
    reading_of_colour,
)
from quiltboard.photos.light import light_of
from quiltboard.photos.lightness import value_of_luminance
from tests.helpers.pictures import check, plain


def test_a_plain_cloth_measures_as_its_colour() -> None:
    reading = measure_cloth(light_of(plain((138, 51, 36))))
    assert reading.lab == pytest.approx(reading_of_colour("#8a3324").lab)
    assert (reading.low, reading.high) == pytest.approx((reading.value,) * 2, abs=0.03)
    assert reading.warnings == ()
    assert mean_colour_hex(light_of(plain((138, 51, 36)))) == "#8a3324"


@pytest.mark.parametrize("grey", [0, 1, 5, 60, 200, 255])
def test_low_and_high_are_right_even_near_black(grey: int) -> None:
    reading = measure_cloth(light_of(plain((grey, grey, grey))))
    assert (reading.low, reading.high) == pytest.approx((reading.value,) * 2, abs=0.03)


def test_half_black_half_white_mixes_as_light() -> None:
    reading = measure_cloth(light_of(check(400, 10)))
    assert reading.value == pytest.approx(76.07, abs=0.005)
    assert mean_colour_hex(light_of(check(400, 10))) == "#bcbcbc"
    assert (reading.low, reading.high) == pytest.approx((0, 100), abs=0.03)


def test_quarters_are_not_ends() -> None:
    pixels = plain((40, 40, 40), 400, 400)
    pixels[:40] = 250
    reading = measure_cloth(light_of(pixels))
    assert reading.low == pytest.approx(reading.high)
    assert reading.value > reading.high


def test_the_value_is_of_the_light_set_right_and_the_warnings_of_the_light_as_taken() -> None:
    taken = light_of(plain((255, 255, 255), 300, 300))
    reading = measure_cloth(taken, taken / 4)
    assert reading.value == pytest.approx(value_of_luminance(0.25))
    assert reading.warnings == (BURNT_OUT,)


def test_warnings() -> None:
    burnt = plain((120, 120, 120), 300, 300)
    burnt[:6] = 255
    assert measure_cloth(light_of(burnt)).warnings == ()
    burnt[:7] = 254
    assert measure_cloth(light_of(burnt)).warnings == (BURNT_OUT,)
    assert measure_cloth(light_of(plain((12, 12, 12)))).warnings == (TOO_DARK,)


def test_a_saturated_colour_is_not_burnt_out() -> None:
    assert measure_cloth(light_of(plain((255, 255, 0)))).warnings == ()


@pytest.mark.parametrize("text", ["8a3324", "#8a332", "#8a33245", "red", "", "#8a332g"])
def test_no_colour(text: str) -> None:
    with pytest.raises(ValueError, match="is no colour: write it as #rrggbb"):
        reading_of_colour(text)
