"""A very large photo is made smaller in light: its value stays what it was."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from quiltboard.photos import decode
from quiltboard.photos.decode import REDUCED, read_photo
from quiltboard.photos.light import mean_light
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.srgb import PROFILE_IGNORED
from tests.helpers.pictures import encoded, exif


def fine_check(width: int, height: int) -> Image.Image:
    """Black and white pixel by pixel: far darker as a mean of numbers than as one of light."""
    return Image.fromarray((np.indices((height, width)).sum(axis=0) % 2 * 255).astype(np.uint8))


@pytest.fixture(autouse=True)
def _all_photos_are_very_large(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decode, "WHOLE_MEGAPIXELS", 0)
    monkeypatch.setattr(decode, "_BAND_ROWS", 64)


def value_of(data: bytes) -> float:
    return float(lab_of_light(mean_light(read_photo(data).pixels))[0])


def test_a_fine_check_keeps_its_value() -> None:
    data = encoded(fine_check(400, 300), "JPEG", quality=100)
    # Half the light of white: L* 76.07. The mean of the encoded numbers would be L* 53.6.
    assert value_of(data) == pytest.approx(76.07, abs=0.3)
    picture = read_photo(data)
    assert picture.pixels.shape == (150, 200, 3)
    assert picture.notes == (REDUCED,)


def test_odd_sides_lose_only_their_last_line() -> None:
    picture = read_photo(encoded(Image.new("RGB", (301, 131), (90, 100, 80)), "JPEG"))
    assert picture.pixels.shape == (65, 150, 3)
    assert np.ptp(picture.pixels, axis=(0, 1)).max() == 0


def test_it_is_still_turned_upright() -> None:
    top = Image.new("L", (400, 200), 20)
    top.paste(230, (0, 0, 400, 100))
    picture = read_photo(encoded(top, "JPEG", exif=exif(Orientation=6)))
    assert picture.pixels.shape == (200, 100, 3)
    # A quarter turn clockwise brings the top to the right.
    assert picture.pixels[:, :40].max() < 60
    assert picture.pixels[:, 60:].min() > 200


def test_what_is_decided_is_said_once() -> None:
    picture = read_photo(encoded(fine_check(400, 300), "JPEG", icc_profile=b"no profile"))
    assert picture.notes == (REDUCED, PROFILE_IGNORED)
