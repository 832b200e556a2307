"""Means are of light, and making a picture smaller does not make it lighter or darker."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltboard.photos.light import (
    LIGHT_OF,
    averaged_light,
    encode_light,
    filled,
    fitted_size,
    light_of,
    mean_light,
    smaller,
    to_encoded,
    to_linear,
)
from quiltboard.photos.lightness import lab_of_light, value_of_luminance
from tests.helpers.pictures import check, cloth, plain


def test_every_encoded_number_comes_back() -> None:
    numbers = np.arange(256, dtype=np.uint8)
    assert (encode_light(LIGHT_OF[numbers]) == numbers).all()
    assert np.allclose(to_encoded(to_linear(numbers / 255)), numbers / 255, atol=1e-5)


def test_light_past_black_and_white_is_cut() -> None:
    assert encode_light(np.array([-0.5, 0.0, 1.0, 1.7])).tolist() == [0, 0, 255, 255]


def test_mean_is_of_light() -> None:
    assert mean_light(check(64, 1)) == pytest.approx([0.5] * 3)


def test_mean_within_a_mask() -> None:
    pixels = np.vstack([plain((255, 255, 255), 10, 10), plain((0, 0, 0), 10, 10)])
    mask = np.zeros((20, 10), dtype=np.bool_)
    mask[5:11] = True
    assert mean_light(pixels, mask) == pytest.approx([5 / 6] * 3)
    with pytest.raises(ValueError, match="no cloth"):
        mean_light(pixels, np.zeros((20, 10), dtype=np.bool_))


@given(width=st.integers(1, 40), height=st.integers(1, 30), seed=st.integers(0, 1000))
def test_averaging_keeps_the_mean_at_any_size(width: int, height: int, seed: int) -> None:
    pixels = cloth(seed, 30, 40)
    averaged = averaged_light(pixels, width, height)
    assert averaged.shape == (height, width, 3)
    assert averaged.mean(axis=(0, 1)) == pytest.approx(mean_light(pixels), abs=2e-6)


def test_averaging_by_whole_numbers_is_the_mean_of_blocks() -> None:
    pixels = cloth(5, 30, 40)
    blocks = light_of(pixels).reshape(10, 3, 10, 4, 3).mean(axis=(1, 3))
    assert averaged_light(pixels, 10, 10) == pytest.approx(blocks, abs=1e-6)


def test_a_fine_check_stays_as_light_when_made_small() -> None:
    small = smaller(check(700, 1), 100)
    assert small.shape == (100, 100, 3)
    value = lab_of_light(mean_light(small))[0]
    assert value == pytest.approx(float(value_of_luminance(0.5)), abs=0.1)


def test_small_pictures_are_left_alone() -> None:
    pixels = cloth(1, 30, 40)
    assert smaller(pixels, 40) is pixels


@pytest.mark.parametrize(
    ("size", "fitted"),
    [((4000, 3000), (640, 480)), ((300, 200), (300, 200)), ((9000, 2), (640, 1))],
)
def test_fitted_size(size: tuple[int, int], fitted: tuple[int, int]) -> None:
    assert fitted_size(*size, 640) == fitted


def test_filling_leaves_the_mean_where_it_was() -> None:
    pixels = cloth()
    mask = np.ones(pixels.shape[:2], dtype=np.bool_)
    mask[:, :150] = False
    full = filled(pixels, mask)
    assert (full[mask] == pixels[mask]).all()
    assert mean_light(full) == pytest.approx(mean_light(pixels, mask), abs=0.002)
    assert filled(pixels, None) is pixels
