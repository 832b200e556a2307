"""Light that falls off is told apart from the print, and the print is left as it is."""

from __future__ import annotations

import numpy as np
import pytest

from quiltboard.photos.corners import WHOLE_PHOTO
from quiltboard.photos.fall_off import LOOKED_AT_PX, find_fall_off
from quiltboard.photos.light import Pixels, averaged_light, light_of
from quiltboard.photos.lighting import Lighting, set_right
from quiltboard.photos.lightness import XYZ_OF_LIGHT, value_of_luminance
from tests.helpers.lit_cloths import (
    EVEN,
    FALLS,
    REPEATING,
    UNEVEN,
    Floats,
    photographed,
    places,
    solid,
)

MOST_OFF = 1.5
"""In L*, at the mean value of the cloth, from its lightest to its darkest place."""


def looked_at(pixels: Pixels) -> Lighting:
    light = averaged_light(pixels, LOOKED_AT_PX, LOOKED_AT_PX * 3 // 4)
    everywhere = np.ones(light.shape[:2], dtype=np.bool_)
    found = find_fall_off(light, *places(*light.shape[:2]), everywhere)
    return Lighting(fall_off=found)


def left_over(pixels: Pixels, falls: Floats) -> float:
    """Tell how far apart in L* two places of one tone still are with the fall-off taken out."""
    lighting = looked_at(pixels)
    flat = np.full((*falls.shape, 3), 0.1) * (falls / falls.max())[..., np.newaxis]
    corrected = set_right(flat, lighting, WHOLE_PHOTO)[..., 0]
    mean = float(light_of(pixels).mean(axis=(0, 1), dtype=np.float64) @ XYZ_OF_LIGHT[1])
    return float(np.ptp(value_of_luminance(corrected / corrected.mean() * mean)))


@pytest.mark.parametrize("falls", FALLS)
@pytest.mark.parametrize("name", REPEATING)
def test_fall_off_comes_out(name: str, falls: str) -> None:
    photo = photographed(REPEATING[name](3), FALLS[falls], 4)
    assert left_over(photo, FALLS[falls]) <= MOST_OFF


@pytest.mark.soak
def test_fall_off_comes_out_of_many_cloths() -> None:
    off = {
        (name, falls, seed): left_over(photographed(cloth(seed), light, seed + 1), light)
        for name, cloth in REPEATING.items()
        for falls, light in {**FALLS, "even": EVEN}.items()
        for seed in range(12)
    }
    worst = sorted(off.items(), key=lambda one: -one[1])[:8]
    print(f"mean {np.mean(list(off.values())):.2f}, worst {worst}")  # noqa: T201
    assert np.mean([one <= MOST_OFF for one in off.values()]) >= 0.97


@pytest.mark.parametrize("name", [*REPEATING, *UNEVEN])
def test_an_evenly_lit_print_is_left_alone(name: str) -> None:
    photo = photographed((REPEATING | UNEVEN)[name](5), EVEN, 6)
    assert looked_at(photo).fall_off is None


def test_a_border_keeps_its_contrast_in_uneven_light() -> None:
    falls = FALLS["from a corner, 2"]
    assert left_over(photographed(UNEVEN["border"](5), falls, 6), falls) <= MOST_OFF


def test_a_cloth_too_small_to_tell_is_left_alone() -> None:
    photo = photographed(solid(1), FALLS["from the left, 2"], 2)
    light = averaged_light(photo, 20, 15)
    everywhere = np.ones(light.shape[:2], dtype=np.bool_)
    assert find_fall_off(light, *places(15, 20), everywhere) is None


def test_only_the_cloth_is_looked_at() -> None:
    falls = FALLS["from the left, 2"]
    photo = photographed(solid(1), falls, 2)
    photo[:, :200] = (30, 200, 40)
    light = averaged_light(photo, LOOKED_AT_PX, 96)
    mask = np.ones(light.shape[:2], dtype=np.bool_)
    mask[:, :54] = False
    found = find_fall_off(light, *places(96, LOOKED_AT_PX), mask)
    assert found is not None
    x, y = places()
    fitted = np.stack([x, y, x * x, x * y, y * y], axis=-1) @ np.array(found)
    off = (fitted - np.log(falls))[:, 210:]
    assert float(np.ptp(off)) <= 0.05
