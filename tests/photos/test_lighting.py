"""Setting a cloth's light right: white, exposure, and the fall-off where the cloth lay."""

from __future__ import annotations

import numpy as np
import pytest

from quiltboard.photos.corners import WHOLE_PHOTO, Corners
from quiltboard.photos.light import light_of
from quiltboard.photos.lighting import (
    AS_TAKEN,
    Lighting,
    gains_of_white,
    is_lamp_light,
    set_right,
)
from quiltboard.photos.straighten import straighten
from tests.helpers.lit_cloths import photographed, places

ASLANT: Corners = ((0.2, 0.1), (0.9, 0.2), (0.8, 0.95), (0.1, 0.7))
FALL_OFF = (0.3, -0.2, -0.1, 0.05, -0.15)


def test_a_photo_as_taken_stays_so() -> None:
    light = np.random.default_rng(1).random((40, 60, 3)).astype(np.float32)
    assert set_right(light, AS_TAKEN, ASLANT) == pytest.approx(light, abs=1e-6)


@pytest.mark.parametrize("corners", [WHOLE_PHOTO, ASLANT], ids=["upright", "aslant"])
def test_the_fall_off_is_divided_out_where_the_cloth_lay(corners: Corners) -> None:
    x, y = places()
    powers = np.stack([x, y, x * x, x * y, y * y], axis=-1)
    falls = np.exp(powers @ np.array(FALL_OFF))
    photo = photographed(np.full((*falls.shape, 3), 0.5), falls, 3)
    light = light_of(straighten(photo, corners, 640))
    before = light.mean(axis=-1)
    right = set_right(light, Lighting(fall_off=FALL_OFF), corners).mean(axis=-1)
    assert np.ptp(before) > 0.15
    # The mean of 5 × 5 pixels, so that the camera's grain does not count.
    high, wide = (size // 5 * 5 for size in right.shape)
    even = right[:high, :wide].reshape(high // 5, 5, wide // 5, 5).mean(axis=(1, 3))
    assert np.ptp(even) / even.mean() < 0.03


def test_what_gets_lighter_than_white_is_white() -> None:
    double = ((2.0, 0.0, 0.0), (0.0, 2.0, 0.0), (0.0, 0.0, -2.0))
    light = np.full((4, 4, 3), 0.7)
    right = set_right(light, Lighting(gains=double), WHOLE_PHOTO)
    assert right[0, 0].tolist() == [1.0, 1.0, 0.0]
    assert light[0, 0].tolist() == [0.7, 0.7, 0.7]


def test_a_grey_card_sets_its_own_brightness() -> None:
    card = np.array([0.31, 0.30, 0.27])
    assert gains_of_white(card, 0.18) @ card == pytest.approx([0.18, 0.18, 0.18])


def test_a_neutral_card_only_sets_the_exposure() -> None:
    gains = gains_of_white([0.44, 0.44, 0.44], 0.88)
    assert gains == pytest.approx(2 * np.eye(3), abs=1e-9)


@pytest.mark.parametrize(
    ("white", "lamp"),
    [
        ([1.0, 1.0, 1.0], False),
        ([0.9, 1.0, 1.1], False),
        ([1.3, 0.95, 0.5], True),
        ([0.8, 1.05, 0.8], True),
        ([1.2, 0.85, 1.2], True),
    ],
    ids=["daylight", "shade", "yellow", "green", "pink"],
)
def test_lamp_light_is_told_from_daylight(white: list[float], lamp: bool) -> None:
    assert is_lamp_light(white) is lamp
