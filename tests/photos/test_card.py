"""A white card in a corner is found; a light print is never taken for one."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from quiltboard.photos.card import corners_clear_of_card
from tests.helpers.pictures import Pixels, check, cloth, plain

HEIGHT, WIDTH = 700, 900
CARD = (0.21, 0.17)
CORNERS = {
    "top left": (0, 0),
    "top right": (1, 0),
    "bottom left": (0, 1),
    "bottom right": (1, 1),
}


def tonal(colour: tuple[int, int, int], seed: int = 4) -> Pixels:
    rng = np.random.default_rng(seed)
    spots = np.kron(rng.normal(0, 6, (HEIGHT // 10, WIDTH // 10)), np.ones((10, 10)))
    return np.clip(plain(colour, HEIGHT, WIDTH) + spots[..., np.newaxis], 0, 255).astype(
        np.uint8
    )


def dotted(ground: tuple[int, int, int], dot: tuple[int, int, int], radius: int) -> Pixels:
    down, across = np.mgrid[0:HEIGHT, 0:WIDTH]
    pitch = 3 * radius
    dots = np.hypot(down % pitch - pitch / 2, across % pitch - pitch / 2) < radius
    return np.where(dots[..., np.newaxis], dot, ground).astype(np.uint8)


def striped(one: tuple[int, int, int], other: tuple[int, int, int], width: int) -> Pixels:
    pixels = plain(one, HEIGHT, WIDTH)
    pixels[:, np.arange(WIDTH) // width % 2 == 1] = other
    return pixels


def photographed(
    pixels: Pixels,
    corner: tuple[int, int] | None,
    turn_deg: float = 0.0,
    inset: float = 0.0,
    size: tuple[float, float] = CARD,
) -> tuple[Pixels, Pixels]:
    """Lay a card on a cloth and photograph it, with fall-off and grain; tell where it lay."""
    height, width, _ = pixels.shape
    card = Image.new("L", (width, height))
    if corner is not None:
        wide, high = size[0] * width, size[1] * height
        x = abs(corner[0] * width - (wide / 2 + inset * width))
        y = abs(corner[1] * height - (high / 2 + inset * height))
        cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
        points = [
            (x + a * wide * cos - b * high * sin, y + a * wide * sin + b * high * cos)
            for a, b in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5))
        ]
        ImageDraw.Draw(card).polygon(points, fill=255)
    where = np.asarray(card) > 0
    down, across = np.mgrid[0:height, 0:width]
    fall = 1 - 0.3 * ((across / width - 0.5) ** 2 + (down / height - 0.5) ** 2)
    scene = np.where(where[..., np.newaxis], (244, 243, 240), pixels) * fall[..., np.newaxis]
    scene = scene + np.random.default_rng(9).normal(0, 2, scene.shape)
    return np.clip(scene, 0, 255).astype(np.uint8), where.astype(np.uint8)


CLOTHS = {
    "black": plain((12, 12, 14), HEIGHT, WIDTH),
    "red tonal": tonal((194, 58, 43)),
    "cream tonal": tonal((234, 223, 198)),
    "yellow": plain((240, 226, 122), HEIGHT, WIDTH),
    "white dots on blue": dotted((63, 127, 147), (240, 240, 238), 14),
    "small check": np.tile(check(700, 10, 235, 40), (1, 2, 1))[:, :WIDTH],
    "print": np.ascontiguousarray(cloth(3, HEIGHT, WIDTH)),
}


@pytest.mark.parametrize("corner", CORNERS.values(), ids=CORNERS)
@pytest.mark.parametrize("name", CLOTHS)
def test_a_card_is_left_out_whole(name: str, corner: tuple[int, int]) -> None:
    for turn_deg, inset in ((-5, 0.0), (0, 0.03), (5, 0.0)):
        photo, where = photographed(CLOTHS[name], corner, turn_deg, inset)
        corners = corners_clear_of_card(photo)
        assert corners is not None, (turn_deg, inset)
        (left, top), _, (right, bottom), _ = corners
        clear = where[
            int(top * HEIGHT) : int(np.ceil(bottom * HEIGHT)),
            int(left * WIDTH) : int(np.ceil(right * WIDTH)),
        ]
        assert not clear.any(), (turn_deg, inset)
        assert clear.size > 0.7 * where.size


def test_the_larger_rest_is_taken() -> None:
    tall, _ = photographed(CLOTHS["black"], (1, 0), size=(0.12, 0.35))
    corners = corners_clear_of_card(tall)
    assert corners is not None
    (left, top), _, (right, bottom), _ = corners
    assert (left, top, bottom) == (0.0, 0.0, 1.0)
    assert 0.83 < right < 0.88


NO_CARD = {
    **CLOTHS,
    "white": plain((255, 255, 255), HEIGHT, WIDTH),
    "off-white tonal": tonal((244, 240, 230)),
    "pale neutral": tonal((213, 230, 228)),
    "large check": np.tile(check(700, 110, 250, 20), (1, 2, 1))[:, :WIDTH],
    "buffalo check": np.tile(check(700, 200, 250, 20), (1, 2, 1))[:, :WIDTH],
    "white dots, large": dotted((63, 127, 147), (250, 250, 248), 70),
    "one white dot in the corner": dotted((63, 127, 147), (250, 250, 248), 300),
    "stripes": striped((250, 250, 250), (74, 104, 168), 60),
    "wide stripes": striped((250, 250, 250), (74, 104, 168), 190),
}


@pytest.mark.parametrize("name", NO_CARD)
def test_no_card_is_seen_where_there_is_none(name: str) -> None:
    assert corners_clear_of_card(NO_CARD[name]) is None
    assert corners_clear_of_card(photographed(NO_CARD[name], None)[0]) is None


def test_a_white_wedge_of_table_is_no_card() -> None:
    down, across = np.mgrid[0:HEIGHT, 0:WIDTH]
    table = down / HEIGHT + across / WIDTH < 0.35
    photo = np.where(table[..., np.newaxis], (245, 245, 243), CLOTHS["red tonal"])
    assert corners_clear_of_card(photo.astype(np.uint8)) is None


def test_a_table_along_a_side_is_no_card() -> None:
    photo = CLOTHS["red tonal"].copy()
    photo[:90] = (245, 245, 243)
    assert corners_clear_of_card(photo) is None


def test_a_card_in_the_middle_and_a_coloured_one_are_left() -> None:
    photo = CLOTHS["black"].copy()
    photo[280:400, 350:540] = (244, 243, 240)
    assert corners_clear_of_card(photo) is None
    photo = CLOTHS["black"].copy()
    photo[:120, :190] = (240, 220, 120)
    assert corners_clear_of_card(photo) is None


def test_two_cards_are_none() -> None:
    photo, _ = photographed(CLOTHS["black"], (0, 0))
    photo[-120:, -190:] = (238, 238, 236)
    assert corners_clear_of_card(photo) is None


def test_a_patch_like_it_elsewhere_makes_it_part_of_the_print() -> None:
    photo, _ = photographed(CLOTHS["black"], (0, 0))
    photo[280:400, 350:540] = (238, 238, 236)
    assert corners_clear_of_card(photo) is None
    # Small light spots of the print do not.
    photo, _ = photographed(CLOTHS["black"], (0, 0))
    photo[300:350, 400:450] = (238, 238, 236)
    assert corners_clear_of_card(photo) is not None


def test_a_tiny_picture_has_no_card() -> None:
    photo, _ = photographed(np.ascontiguousarray(CLOTHS["black"][:150, :190]), (0, 0))
    assert corners_clear_of_card(photo) is None
