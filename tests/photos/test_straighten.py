"""Between four corners lies a straight swatch, as light as the cloth was."""

from __future__ import annotations

import numpy as np
import pytest

from quiltboard.photos.corners import (
    WHOLE_PHOTO,
    Corners,
    is_upright,
    upright_corners,
)
from quiltboard.photos.light import mean_light
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.opening import PhotoError
from quiltboard.photos.straighten import cut_out, straighten
from tests.helpers.pictures import Pixels, check, cloth, plain

ASLANT: Corners = ((0.2, 0.1), (0.85, 0.2), (0.9, 0.9), (0.1, 0.75))


def value(pixels: Pixels) -> float:
    return float(lab_of_light(mean_light(pixels))[0])


def four_quarters(height: int = 300, width: int = 400) -> Pixels:
    pixels = plain((10, 10, 10), height, width)
    pixels[: height // 2, width // 2 :] = (240, 20, 20)
    pixels[height // 2 :, width // 2 :] = (20, 240, 20)
    pixels[height // 2 :, : width // 2] = (20, 20, 240)
    return pixels


def test_whole_photo_is_only_made_smaller() -> None:
    pixels = cloth()
    assert (straighten(pixels, WHOLE_PHOTO, 640) == pixels).all()
    assert straighten(pixels, WHOLE_PHOTO, 160).shape == (120, 160, 3)


def test_upright_corners_are_cut_not_resampled() -> None:
    pixels = cloth()
    part = straighten(pixels, upright_corners(0.25, 0.5, 0.75, 1.0), 640)
    assert (part == pixels[120:240, 80:240]).all()


def test_is_upright() -> None:
    assert is_upright(WHOLE_PHOTO)
    assert not is_upright(ASLANT)
    first, second, third, fourth = WHOLE_PHOTO
    assert not is_upright((second, third, fourth, first))


def test_the_sides_are_the_means_of_opposite_ones_where_no_rectangle_looks_like_that() -> None:
    # Top 40 px, bottom 400 px; both slanted sides √(180² + 240²) = 300 px.
    pixels = plain((90, 120, 60), 240, 400)
    swatch = straighten(pixels, ((0.45, 0.0), (0.55, 0.0), (1.0, 1.0), (0.0, 1.0)), 640)
    assert swatch.shape == (300, 220, 3)
    assert (swatch == (90, 120, 60)).all()


def test_corners_of_the_cloth_come_to_the_corners_of_the_swatch() -> None:
    height, width = 300, 400
    down, across = np.mgrid[0:height, 0:width]
    ramp = np.stack(
        [across * 255 / (width - 1), down * 255 / (height - 1), 0 * down], axis=-1
    ).astype(np.uint8)
    swatch = straighten(ramp, ASLANT, 640)
    found = [swatch[0, 0], swatch[0, -1], swatch[-1, -1], swatch[-1, 0]]
    for pixel, (x, y) in zip(found, ASLANT, strict=True):
        assert pixel[:2] / 255 == pytest.approx((x, y), abs=0.012)


def test_a_turn_by_a_quarter_turns_the_swatch() -> None:
    first, second, third, fourth = WHOLE_PHOTO
    turned = straighten(four_quarters(), (second, third, fourth, first), 640)
    assert turned.shape == (400, 300, 3)
    # What was at the top right is now at the top left: turned to the left by a quarter.
    expected = np.rot90(four_quarters())
    assert np.abs(turned[::37, ::37].astype(int) - expected[::37, ::37]).max() <= 1


def test_straightening_undoes_a_known_projection() -> None:
    # A check seen aslant, drawn from its own plane point by point.
    size = 800
    down, across = np.mgrid[0:size, 0:size] + 0.5
    near = 1 - down / (3 * size)
    u = (across - size / 2) / near + size / 2
    v = down * (2 / 3) / near
    cells = (np.floor(u / 100) + np.floor(v / 100)) % 2 == 0
    inside = (u >= 0) & (u < size) & (v >= 0)
    grey = np.where(inside, np.where(cells, 220, 40), 128).astype(np.uint8)
    photo = np.repeat(grey[..., np.newaxis], 3, axis=2)
    swatch = straighten(photo, ((0.0, 0.0), (1.0, 0.0), (5 / 6, 1.0), (1 / 6, 1.0)), 640)
    for row in range(8):
        for column in range(8):
            y = round((row + 0.5) * swatch.shape[0] / 8)
            x = round((column + 0.5) * swatch.shape[1] / 8)
            assert abs(int(swatch[y, x, 0]) - (220 if (row + column) % 2 == 0 else 40)) <= 2


@pytest.mark.parametrize("longest_px", [60, 200, 640])
def test_a_fine_check_aslant_stays_as_light(longest_px: int) -> None:
    pixels = check(900, 1)
    swatch = straighten(pixels, ASLANT, longest_px)
    assert max(swatch.shape) == longest_px
    assert value(swatch) == pytest.approx(value(pixels), abs=0.3)


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        (((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)), "crossed or in a line"),
        (((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0)), "crossed or in a line"),
        (((0.0, 0.0), (0.5, 0.5), (1.0, 1.0), (0.0, 1.0)), "crossed or in a line"),
        (((0.0, 0.0), (1.0, 0.0), (0.3, 0.3), (0.0, 1.0)), "crossed or in a line"),
        (((0.5, 0.5),) * 4, "crossed or in a line"),
        (upright_corners(0.5, 0.5, 0.501, 0.502), "too close together"),
        (((-0.1, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), "outside the photo"),
        (((float("nan"), 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), "needs four corners"),
    ],
)
def test_corners_that_hold_no_cloth(corners: Corners, said: str) -> None:
    for call in (
        lambda: straighten(cloth(), corners, 640, name="kale.jpg"),
        lambda: cut_out(cloth(), None, corners, name="kale.jpg"),
    ):
        with pytest.raises(PhotoError, match=said) as caught:
            call()
        assert str(caught.value).startswith("kale.jpg: ")


def test_a_hair_outside_is_the_edge() -> None:
    pixels = cloth()
    assert (
        straighten(pixels, upright_corners(-1e-9, 0.0, 1 + 1e-9, 1.0), 640).shape
        == pixels.shape
    )


def test_cut_out_takes_whole_pixels_within_the_corners() -> None:
    pixels = cloth()
    part, mask = cut_out(pixels, None, upright_corners(0.25, 0.5, 0.75, 1.0))
    assert mask is None
    assert (part == pixels[120:240, 80:240]).all()
    part, mask = cut_out(pixels, None, ASLANT)
    assert mask is not None
    assert part.shape == (192, 256, 3)
    assert mask.sum() / (240 * 320) == pytest.approx(shoelace(ASLANT), abs=0.01)


def shoelace(corners: Corners) -> float:
    after = corners[1:] + corners[:1]
    return abs(sum(a * d - b * c for (a, b), (c, d) in zip(corners, after, strict=True))) / 2


def test_cut_out_leaves_see_through_parts_out() -> None:
    mask = np.ones((240, 320), dtype=np.bool_)
    mask[:120] = False
    _, within = cut_out(cloth(), mask, upright_corners(0.0, 0.25, 1.0, 0.75))
    assert within is not None
    assert within.sum() == 60 * 320
    _, within = cut_out(cloth(), mask, ASLANT)
    assert within is not None
    assert 0 < within.sum() < shoelace(ASLANT) * 240 * 320
    with pytest.raises(PhotoError, match="no cloth between these corners"):
        cut_out(cloth(), mask, upright_corners(0.0, 0.0, 1.0, 0.4))
