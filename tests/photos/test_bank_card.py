"""A card of size ID-1 in a photo is found where it is one, and gives the true scale."""

from __future__ import annotations

import numpy as np
import pytest

from quiltboard.photos.bank_card import card_ruler, find_id1_card
from quiltboard.photos.corners import Corners
from quiltboard.photos.ruler import seen_proportion, swatch_width
from quiltboard.units import millimetres, to_mm
from tests.helpers.scale_scenes import GROUNDS, ID1_MM, LOOKS, Scene, card_scene, turned_once
from tests.helpers.seen_table import Camera, Table, rectangle

OTHERS = (
    (1.40, None), (1.43, None), (1.46, None), (1.50, None),
    (1.545, 0.0), (1.545, 0.0), (1.667, 0.0), (1.75, 0.0),
)  # fmt: skip
"""Proportion, and how far the corners are rounded (None: now so, now so)."""


def scene_of(seed: int, longest_px: int = 1600) -> Scene:
    rng = np.random.default_rng(seed)
    return card_scene(rng, LOOKS[seed % 3], GROUNDS[seed // 3 % 6], longest_px=longest_px)


def other_scene(seed: int, longest_px: int = 1600) -> Scene:
    """Draw something else that is four-sided where the card would lie."""
    rng = np.random.default_rng(seed + 100_000)
    proportion, rounded = OTHERS[seed % len(OTHERS)]
    round_mm = float(rng.choice([0, 3.18, 5])) if rounded is None else rounded
    long_mm = {1.545: 85.0, 1.75: 88.9}.get(proportion, float(rng.uniform(75, 110)))
    return card_scene(
        rng,
        LOOKS[seed % 3],
        GROUNDS[seed // 3 % 6],
        longest_px=longest_px,
        size_mm=(long_mm, long_mm / proportion),
        round_mm=round_mm,
    )


def off(found: Corners, scene: Scene) -> float:
    """Tell how far found corners lie off the card's, as a share of the photo."""
    there = np.array(scene.camera.corners(scene.thing_mm))
    return float(
        min(np.abs(np.roll(np.array(found), turn, axis=0) - there).max() for turn in (0, 2))
    )


def width_error(found: Corners, scene: Scene, proportion: float) -> float:
    width = swatch_width(
        card_ruler(found), scene.cloth, scene.camera.size_px, (1000, round(1000 * proportion))
    )
    return to_mm(width) / scene.width_mm - 1


def check(seeds: range, longest_px: int) -> tuple[int, int, int]:
    """Count cards found, found amiss, and widths that are off by over a hundredth."""
    found = amiss = wide = 0
    for seed in seeds:
        scene = scene_of(seed, longest_px)
        corners = find_id1_card(scene.pixels)
        if corners is None:
            continue
        found += 1
        amiss += off(corners, scene) > 0.005
        wide += abs(width_error(corners, scene, scene.height_mm / scene.width_mm)) > 0.01
    return found, amiss, wide


def test_cards_of_all_looks_on_all_grounds() -> None:
    found, amiss, wide = check(range(0, 18, 2), 1200)
    assert found >= 8
    assert amiss == 0
    assert wide == 0


def test_other_rectangles_are_no_cards() -> None:
    assert [find_id1_card(other_scene(seed, 1200).pixels) for seed in range(8)] == [None] * 8


@pytest.mark.soak
@pytest.mark.timeout(3000)
def test_many_cards() -> None:
    found, amiss, wide = check(range(180), 1600)
    assert found >= 0.8 * 180
    assert amiss == 0
    assert wide <= 0.05 * found


@pytest.mark.soak
@pytest.mark.timeout(3000)
def test_many_other_rectangles() -> None:
    false = sum(find_id1_card(other_scene(seed).pixels) is not None for seed in range(180))
    assert false <= 0.02 * 180


def test_perspective_gives_the_swatch_its_proportion() -> None:
    scene = scene_of(1)
    found = find_id1_card(scene.pixels)
    assert found is not None
    proportion = seen_proportion(scene.cloth, scene.camera.size_px)
    assert abs(width_error(found, scene, proportion)) < 0.02


def test_a_photo_turned_by_a_quarter_shows_the_same_card() -> None:
    scene = scene_of(0)
    found, turned = find_id1_card(scene.pixels), find_id1_card(turned_once(scene))
    assert found is not None
    assert turned is not None
    back = np.array([(y, 1 - x) for x, y in turned])
    assert min(np.abs(np.roll(back, at, axis=0) - found).max() for at in (0, 2)) < 1e-3


def table_with(*things: tuple[tuple[float, float], float]) -> Table:
    table = Table((400, 300), per_mm=3)
    for middle, round_mm in things:
        face = Table(ID1_MM[:2], per_mm=6).picture
        face.paste((235, 235, 230), (0, 0, *face.size))
        table.lay(face, round_mm, rectangle(middle, ID1_MM[0], ID1_MM[1], 10))
    return table


LEVEL = Camera((1200, 900))


def test_a_plain_card_seen_from_straight_above() -> None:
    found = find_id1_card(table_with(((-40.0, 30.0), 3.18)).photo(LEVEL))
    assert found is not None
    ruler = card_ruler(found)
    assert ruler.by == "card"
    assert ruler.length == millimetres("85.60")
    start, end = (np.array(at) * LEVEL.size_px for at in (ruler.start, ruler.end))
    assert np.hypot(*(end - start)) == pytest.approx(85.60 * 3, abs=0.6)


def test_a_square_cornered_one_of_the_same_size_is_none() -> None:
    assert find_id1_card(table_with(((-40.0, 30.0), 0.0)).photo(LEVEL)) is None


def test_of_two_cards_none_is_taken() -> None:
    two = table_with(((-90.0, -40.0), 3.18), ((80.0, 60.0), 3.18))
    assert find_id1_card(two.photo(LEVEL)) is None


@pytest.mark.parametrize("off_mm", [-197.0, -154.5])
def test_a_card_that_runs_out_of_the_photo_is_none(off_mm: float) -> None:
    assert find_id1_card(table_with(((off_mm, 0.0), 3.18)).photo(LEVEL)) is None


@pytest.mark.parametrize("shape", [(900, 1200, 3), (40, 30, 3), (3, 3, 3), (1, 1, 3)])
def test_an_empty_photo_holds_no_card(shape: tuple[int, int, int]) -> None:
    assert find_id1_card(np.full(shape, 140, dtype=np.uint8)) is None


def test_grain_holds_no_card() -> None:
    grain = np.random.default_rng(5).integers(0, 256, (600, 800, 3)).astype(np.uint8)
    assert find_id1_card(grain) is None


def test_the_ruler_runs_from_middle_to_middle_as_perspective_has_it() -> None:
    tilted = Camera((1600, 1200), tilt_deg=25, tilt_to_deg=50)
    card = rectangle((60, -40), ID1_MM[0], ID1_MM[1], 30)
    ruler = card_ruler(tilted.corners(card))
    middles = [(card[3] + card[0]) / 2, (card[1] + card[2]) / 2]
    assert np.allclose([ruler.start, ruler.end], tilted.seen(middles))
