"""Grey keeps L*, a squint keeps light."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from quiltboard.drawing.seeing import (
    SQUINT_MM,
    grey_colour,
    grey_of,
    grey_of_value,
    lightness,
    read_pixels,
    smaller,
    squint,
    step_colour,
    step_value,
    to_png,
)
from quiltboard.fabrics.steps import step_names
from quiltboard.photos.light import light_of
from tests.helpers.projects import printed

RANDOM = np.random.default_rng(7)


@pytest.mark.parametrize("colour", ["#ff0000", "#00ff00", "#0000ff", "#2b7a7f", "#d59a33"])
def test_grey_reads_as_light_as_the_colour(colour: str) -> None:
    grey = grey_colour(colour)
    assert grey[1:3] == grey[3:5] == grey[5:]
    assert lightness(grey) == pytest.approx(lightness(colour), abs=0.25)


def test_every_pixel_keeps_its_own_lightness() -> None:
    pixels = RANDOM.integers(0, 256, (20, 30, 3), dtype=np.uint8)
    grey = grey_of(pixels)
    assert (grey[..., 0] == grey[..., 2]).all()
    for row, column in ((0, 0), (11, 17), (19, 29)):
        before, after = (
            lightness("#" + "".join(f"{value:02x}" for value in picture[row, column]))
            for picture in (pixels, grey)
        )
        assert after == pytest.approx(before, abs=0.35)


@pytest.mark.parametrize(("step", "value"), [("light", 88), ("medium", 58), ("dark", 24)])
def test_value_steps_have_their_flat_greys(step: str, value: float) -> None:
    colour = step_colour(step)  # type: ignore[arg-type]
    assert colour is not None
    assert lightness(colour) == pytest.approx(value, abs=0.3)


def test_a_mixed_cloth_has_no_one_grey() -> None:
    assert step_colour("mixed") is None
    assert step_colour("mixed", 7) is None


@pytest.mark.parametrize("count", [2, 4, 5, 6, 7])
def test_other_numbers_of_steps_are_spread_evenly(count: int) -> None:
    values = [step_value(name, count) for name in step_names(count)]
    assert values == pytest.approx(np.linspace(24, 88, count))


@pytest.mark.parametrize("count", [2, 4, 6])
def test_a_medium_among_steps_without_one_is_halfway(count: int) -> None:
    assert step_value("medium", count) == pytest.approx(56)


def test_a_grey_of_a_value_has_that_value() -> None:
    for value in range(0, 101, 5):
        assert lightness(grey_of_value(value)) == pytest.approx(value, abs=0.35)


def test_a_squint_keeps_the_mean_light() -> None:
    pixels = np.full((120, 120, 3), 128, dtype=np.uint8)
    pixels[30:90, 30:90] = printed("checks", "#111111", "#f4f4f4", 60)
    before, after = light_of(pixels).mean(), light_of(squint(pixels, 6.0)).mean()
    assert after == pytest.approx(before, rel=0.01)


def test_a_squint_mixes_black_and_white_as_light_mixes() -> None:
    """Half black, half white reads L* 76, not the 53 of their encoded mean."""
    stripes = np.zeros((60, 60, 3), dtype=np.uint8)
    stripes[:, ::2] = 255
    middle = squint(stripes, 8.0)[30, 30, 0]
    assert lightness(f"#{middle:02x}{middle:02x}{middle:02x}") == pytest.approx(76.07, abs=0.5)


def test_a_squint_spreads_as_far_as_its_sigma() -> None:
    pixels = np.zeros((101, 101, 3), dtype=np.uint8)
    pixels[48:53, 48:53] = 255
    light = light_of(squint(pixels, 10.0))[..., 0].sum(axis=0)
    away = np.arange(101) - 50
    assert np.sqrt((light * away**2).sum() / light.sum()) == pytest.approx(10, abs=0.6)


def test_the_squint_is_that_of_across_the_room() -> None:
    assert pytest.approx(0.42 * 25.4) == SQUINT_MM


def test_smaller_keeps_the_mean_light() -> None:
    pixels = RANDOM.integers(0, 256, (97, 131, 3), dtype=np.uint8)
    small = smaller(pixels, 4)
    assert small.shape == (24, 33, 3)
    assert light_of(small).mean() == pytest.approx(light_of(pixels).mean(), rel=0.01)
    assert smaller(pixels, 1) is pixels


def test_a_png_comes_back_as_it_was_and_knows_its_scale() -> None:
    pixels = RANDOM.integers(0, 256, (9, 7, 3), dtype=np.uint8)
    png = to_png(pixels, px_per_mm=10)
    assert (read_pixels(png) == pixels).all()
    with Image.open(BytesIO(png)) as opened:
        assert opened.info["dpi"] == pytest.approx((254, 254), abs=0.05)
