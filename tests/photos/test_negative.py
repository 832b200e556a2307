"""A negative: a large photo is halved for measuring only where that changes no value."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from quiltboard.photos.decode import HALVED_CHANGE, Negative, read_negative, read_photo
from quiltboard.photos.light import Pixels, mean_light
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.srgb import PROFILE_IGNORED
from tests.helpers.pictures import cloth, encoded, rgb_profile


def lab(pixels: Pixels) -> list[float]:
    return [float(part) for part in lab_of_light(mean_light(pixels))]


def large(fine: int) -> Pixels:
    """Give a photo of eight megapixels whose detail is as fine as told, or none."""
    coarse = Image.fromarray(cloth(4, 240, 320)).resize((3280, 2460), Image.Resampling.BICUBIC)
    pixels = np.array(coarse, dtype=np.int16)
    pixels[::2, ::2] += fine
    pixels[1::2, 1::2] += fine
    pixels[::2, 1::2] -= fine
    pixels[1::2, ::2] -= fine
    return np.clip(pixels, 0, 255).astype(np.uint8)


def test_a_large_photo_is_halved_and_keeps_its_value() -> None:
    photo = large(fine=4)
    negative = read_negative(encoded(photo, compress_level=1), "Kale")
    assert negative.pixels.shape == (1230, 1640, 3)
    assert lab(negative.pixels) == pytest.approx(lab(photo), abs=HALVED_CHANGE)


def test_a_photo_that_halving_would_darken_stays_whole() -> None:
    photo = large(fine=40)
    half = np.asarray(Image.fromarray(photo).reduce(2))
    assert lab(photo)[0] - lab(half)[0] > 1
    assert (read_negative(encoded(photo, compress_level=1), "Kale").pixels == photo).all()


def test_a_small_photo_stays_whole() -> None:
    assert (read_negative(encoded(cloth()), "Kale").pixels == cloth()).all()


@pytest.mark.parametrize("primaries", ["display p3", "wide"])
def test_colours_are_turned_into_srgb_when_they_are_asked_for(primaries: str) -> None:
    data = encoded(cloth(), "PNG", icc_profile=rgb_profile(primaries))
    negative = read_negative(data, "Kale")
    assert negative.profile is not None
    assert (negative.pixels == cloth()).all()
    assert (negative.in_srgb(negative.pixels[:50]) == read_photo(data).pixels[:50]).all()
    assert not (negative.in_srgb(negative.pixels) == cloth()).all()


def test_a_broken_profile_is_told_and_not_followed() -> None:
    negative = read_negative(encoded(cloth(), "PNG", icc_profile=b"junk"), "Kale")
    assert negative.notes == (PROFILE_IGNORED,)
    assert negative.profile is None
    assert negative.in_srgb(negative.pixels) is negative.pixels


def test_see_through_photos_are_taken_whole_and_at_once() -> None:
    alpha = np.full((2460, 3280), 255, dtype=np.uint8)
    alpha[:1000] = 0
    photo = encoded(Image.fromarray(np.dstack([large(fine=0), alpha])), compress_level=1)
    negative: Negative = read_negative(photo, "Kale")
    assert negative.pixels.shape == (2460, 3280, 3)
    assert negative.mask is not None
