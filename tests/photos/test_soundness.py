"""A photo that is cut off or blurred is warned of; one that shows too little to tell is not."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from quiltboard.photos.light import Pixels, encode_light, light_of
from quiltboard.photos.soundness import BLURRED, CUT_OFF, soundness_warnings
from tests.helpers.lit_cloths import EVEN, REPEATING, UNEVEN, photographed
from tests.helpers.pictures import plain

PRINTED = ("tossed", "large tossed", "stripes", "checks")


def taken(name: str, blur_px: float = 0.0) -> Pixels:
    """Photograph a cloth twice as large, out of focus."""
    light = REPEATING[name](7).repeat(2, axis=0).repeat(2, axis=1)
    if blur_px:
        light = ndimage.gaussian_filter(light, (blur_px, blur_px, 0))
    return photographed(light, np.ones(light.shape[:2]), 8)


@pytest.mark.parametrize("name", REPEATING)
def test_a_sharp_photo_is_sound(name: str) -> None:
    assert soundness_warnings(taken(name)) == ()


@pytest.mark.parametrize("name", PRINTED)
def test_a_blurred_print_is_warned_of(name: str) -> None:
    assert soundness_warnings(taken(name, 5.0)) == (BLURRED,)


@pytest.mark.parametrize("name", ["solid", "dark solid", "tonal"])
def test_a_cloth_without_edges_is_not_called_blurred(name: str) -> None:
    assert soundness_warnings(taken(name, 5.0)) == ()


def test_a_soft_ombre_is_not_called_blurred() -> None:
    assert soundness_warnings(photographed(UNEVEN["ombre"](1), EVEN, 2)) == ()


def test_blur_is_judged_at_the_size_of_a_swatch() -> None:
    # Six pixels of a large photo are less than three of the swatch.
    small = taken("checks")
    large = np.kron(light_of(small), np.ones((3, 3, 1)))
    soft = encode_light(ndimage.gaussian_filter(large, (5, 5, 0)))
    assert soundness_warnings(soft) == ()


def test_one_colour_cut_off_is_warned_of() -> None:
    assert soundness_warnings(plain((255, 90, 60))) == (CUT_OFF,)
    assert soundness_warnings(plain((250, 90, 60))) == ()
    # All three at the top may be white cloth.
    assert soundness_warnings(plain((255, 255, 255))) == ()


def test_a_tiny_picture_does_not_tell() -> None:
    assert soundness_warnings(plain((20, 90, 60), 40, 50)) == ()
