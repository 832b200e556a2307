"""Cloths on a table: found where they lie, cut apart, and never cut into their motifs."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from quiltboard.photos.card import corners_clear_of_card
from quiltboard.photos.cloths import FoundCloth, find_cloths
from quiltboard.photos.corners import WHOLE_PHOTO, Corners, upright_corners
from quiltboard.photos.light import Pixels
from tests.helpers.table_scenes import (
    GROUNDS,
    LAYOUTS,
    PRINTS,
    Scene,
    full_frame,
    near_solid,
    scored,
    table_scene,
    tweed,
)

SIZE = (1000, 750)
APART = ("grid", "close grid", "folded", "swatch row", "single")
PHOTOS = sorted((Path(__file__).parents[2] / "sample_swatches" / "photos").glob("*.jpg"))
TABLE = (196, 190, 181)


def laid_out(*cloths: tuple[tuple[int, int, int], tuple[int, int, int, int]]) -> Pixels:
    """Lay plain cloths on a plain table, 600 × 400: colour; left, top, right, bottom."""
    pixels = np.full((400, 600, 3), TABLE, dtype=np.uint8)
    for colour, (left, top, right, bottom) in cloths:
        pixels[top:bottom, left:right] = colour
    grain = np.random.default_rng(7).normal(0, 1.5, pixels.shape)
    return np.clip(pixels + grain, 0, 255).astype(np.uint8)


def corners_px(cloth: FoundCloth) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.array(cloth.corners) * (600, 400)


RED, BLUE, GREEN = (150, 40, 48), (40, 62, 130), (60, 110, 64)


def test_cloths_come_in_rows_from_the_left() -> None:
    pixels = laid_out(
        (GREEN, (320, 220, 520, 360)),
        (RED, (60, 52, 260, 170)),
        (BLUE, (320, 40, 520, 160)),
        (RED, (60, 230, 260, 350)),
    )
    found = find_cloths(pixels)
    lefts = [cloth.corners[0] for cloth in found]
    expected = [(60, 52), (320, 40), (60, 230), (320, 220)]
    assert np.array(lefts) * (600, 400) == pytest.approx(np.array(expected), abs=1.5)


def test_corners_run_clockwise_from_the_top_left() -> None:
    (cloth,) = find_cloths(laid_out((RED, (90, 60, 430, 300))))
    expected = [(90, 60), (430, 60), (430, 300), (90, 300)]
    assert corners_px(cloth) == pytest.approx(np.array(expected), abs=1.5)
    assert cloth.outline == cloth.corners


def test_a_cloth_over_another_is_cut_from_it() -> None:
    found = find_cloths(laid_out((BLUE, (60, 60, 340, 250)), (RED, (240, 150, 520, 350))))
    under, over = found
    assert corners_px(over) == pytest.approx(
        np.array([(240, 150), (520, 150), (520, 350), (240, 350)]), abs=3
    )
    # What is hidden is in neither the outline of the lower one nor in its swatch.
    assert 6 <= len(under.outline) <= 8
    right, bottom = corners_px(under)[2]
    assert right <= 243 or bottom <= 153
    assert right * bottom > 60 * 60


def test_what_is_left_out_is_no_cloth() -> None:
    pixels = laid_out(((250, 250, 250), (40, 40, 160, 120)), (RED, (240, 90, 520, 330)))
    assert len(find_cloths(pixels)) == 2
    card = upright_corners(40 / 600, 40 / 400, 160 / 600, 120 / 400)
    (cloth,) = find_cloths(pixels, [card])
    assert corners_px(cloth)[0] == pytest.approx(np.array([240, 90]), abs=1.5)


def test_an_empty_table_and_a_tiny_picture_hold_no_cloth() -> None:
    assert find_cloths(laid_out()) == ()
    assert find_cloths(laid_out((RED, (90, 60, 430, 300))), [WHOLE_PHOTO]) == ()
    assert find_cloths(np.zeros((40, 60, 3), dtype=np.uint8)) == ()


def test_stripes_of_the_colour_of_the_table_cut_no_cloth() -> None:
    stripes = [(RED, (100 + 50 * at, 80, 126 + 50 * at, 320)) for at in range(6)]
    (cloth,) = find_cloths(laid_out(*stripes))
    assert corners_px(cloth) == pytest.approx(
        np.array([(100, 80), (376, 80), (376, 320), (100, 320)]), abs=3
    )


def test_squares_all_over_are_a_print() -> None:
    squares = [
        (RED, (30 + 140 * column, 20 + 130 * row, 70 + 140 * column, 60 + 130 * row))
        for row in range(3)
        for column in range(4)
    ]
    assert find_cloths(laid_out(*squares)) == ()


def test_what_has_not_four_sides_is_no_cloth() -> None:
    y, x = np.mgrid[0:400, 0:600]
    pixels = laid_out()
    pixels[np.hypot(x - 300, y - 200) < 130] = BLUE
    assert find_cloths(pixels) == ()


def test_cloths_a_thread_apart_are_two() -> None:
    pixels = laid_out((RED, (60, 80, 298, 320)), (BLUE, (304, 80, 540, 320)))
    # A thread across the gap.
    pixels[196:204, 290:310] = RED
    assert len(find_cloths(pixels)) == 2


def check(scenes: list[Scene], least_share: float) -> None:
    scores = []
    strays = 0
    for scene in scenes:
        ours, left_over = scored(scene, find_cloths(scene.pixels))
        scores += ours
        strays += left_over
    good = np.mean([score.overlap >= 0.9 for score in scores])
    corners = [s.corner for s in scores if s.corner is not None and s.overlap >= 0.9]
    assert good >= least_share
    assert max(corners) <= 0.025
    assert np.mean(np.array(corners) <= 0.01) >= 0.98
    assert strays <= 0.05 * len(scores)


def test_cloths_lie_where_they_were_laid() -> None:
    laid = [(ground, layout) for ground in GROUNDS for layout in APART]
    check([table_scene(at, *kinds, size=SIZE) for at, kinds in enumerate(laid)], 0.95)


def test_plain_cloths_over_one_another_are_told_apart() -> None:
    scenes = [
        table_scene(seed, ground, "stairs", size=SIZE, prints=(near_solid, tweed))
        for seed, ground in ((1, "white"), (2, "wood"), (3, "mat"))
    ]
    check(scenes, 0.9)


@pytest.mark.soak
@pytest.mark.timeout(1200)
def test_many_cloths_lie_where_they_were_laid() -> None:
    laid = [
        (seed, ground, kind) for seed in range(200, 205) for ground in GROUNDS for kind in APART
    ]
    check([table_scene(*kinds) for kinds in laid], 0.95)


def cloths_cover(found: tuple[FoundCloth, ...]) -> bool:
    """Tell whether nothing was found, or one cloth that is nearly all of the photo."""
    if len(found) != 1:
        return not found
    x, y = np.array(found[0].outline).T
    return bool(abs((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2 > 0.7)


@pytest.mark.parametrize("draw", PRINTS)
def test_a_print_that_fills_the_photo_is_not_cut(draw: object) -> None:
    at = [print_ is draw for print_ in PRINTS].index(True)
    assert cloths_cover(find_cloths(full_frame(at, PRINTS[at], size=SIZE)))


@pytest.mark.soak
def test_many_prints_that_fill_the_photo_are_not_cut() -> None:
    cut = [
        (seed, draw.__name__)
        for seed in range(500, 520)
        for draw in PRINTS
        if len(find_cloths(full_frame(seed, draw))) > 1
    ]
    assert len(cut) <= 1


def card_of(pixels: Pixels) -> list[Corners]:
    """Give what lies beside the part that is clear of a card: where the card may be."""
    clear = corners_clear_of_card(pixels)
    if clear is None:
        return []
    (left, top), _, (right, bottom), _ = clear
    strips = [
        upright_corners(0, 0, left, 1),
        upright_corners(right, 0, 1, 1),
        upright_corners(0, 0, 1, top),
        upright_corners(0, bottom, 1, 1),
    ]
    return [
        strip for strip in strips if strip[0][0] < strip[2][0] and strip[0][1] < strip[2][1]
    ]


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda path: path.stem)
def test_no_sample_photo_is_cut(photo: Path) -> None:
    pixels = np.asarray(Image.open(photo).convert("RGB"))
    assert len(find_cloths(pixels)) <= 1
    assert len(find_cloths(pixels, card_of(pixels))) <= 1


def test_every_layout_is_laid() -> None:
    assert set(APART) | {"fan", "stairs"} == set(LAYOUTS)
