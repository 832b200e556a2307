"""A card is found or clicked; a light patch of a print never sets the white."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from PIL import Image, ImageDraw

from quiltboard.photos.corners import Corners, upright_corners
from quiltboard.photos.light import Pixels, light_of
from quiltboard.photos.lighting import Lighting, set_right
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.reference_card import (
    BURNT_OUT,
    NOT_EVEN,
    OUTSIDE,
    TOO_DARK,
    FoundReference,
    LightError,
    find_reference,
    lighting_of,
    reference_at,
)
from quiltboard.photos.straighten import cut_out
from tests.helpers.lit_cloths import (
    EVEN,
    FALLS,
    PAPER,
    REPEATING,
    UNEVEN,
    Floats,
    from_a_side,
    ink,
    photographed,
    with_paper,
)
from tests.helpers.pictures import plain

IN_CORNER = ((-0.1, -0.1), (0.24, -0.1), (0.23, 0.25), (-0.1, 0.24))
BESIDE = ((0.05, 0.3), (0.25, 0.33), (0.22, 0.66), (0.03, 0.63))
INSIDE = ((0.42, 0.4), (0.62, 0.44), (0.59, 0.66), (0.39, 0.62))
CLOTH = upright_corners(0.3, 0.3, 1.0, 1.0)

GREY = 0.18


def on_a_table(cloth: Floats, quads: Sequence[tuple[tuple[float, float], ...]]) -> Floats:
    """Show a cloth only inside some quadrilaterals of a sheet of paper."""
    height, width, _ = cloth.shape
    table = Image.new("L", (width, height))
    for quad in quads:
        ImageDraw.Draw(table).polygon([(u * width, v * height) for u, v in quad], fill=1)
    return np.where(np.asarray(table)[..., np.newaxis] > 0, cloth, PAPER)


@pytest.mark.parametrize("quad", [IN_CORNER, BESIDE, INSIDE], ids=["corner", "side", "inside"])
@pytest.mark.parametrize("name", ["solid", "dark solid", "tonal", "tossed", "stripes"])
def test_a_white_card_is_found(name: str, quad: tuple[tuple[float, float], ...]) -> None:
    scene = with_paper(REPEATING[name](2), quad, 0.95)
    found = find_reference(photographed(scene, FALLS["from the top, 1.4"], 3))
    assert found is not None
    assert found.reference == "white card"
    inside = np.clip(np.mean(np.clip(quad, 0, 1), axis=0), 0, 1)
    assert found.at == pytest.approx(tuple(inside), abs=0.03)


def test_a_grey_card_is_found_beside_something_lighter() -> None:
    scene = with_paper(REPEATING["tossed"](2), BESIDE, GREY)
    found = find_reference(photographed(scene, EVEN, 3))
    assert found is not None
    assert found.reference == "grey card"
    assert found.light == pytest.approx((GREY, GREY, GREY), rel=0.02)
    # On a dark cloth it might as well be a white one in little light.
    scene = with_paper(REPEATING["dark solid"](2), BESIDE, GREY)
    assert find_reference(photographed(scene, EVEN, 3)) is None


ON_SHEET = {
    "one": [((0.2, 0.2), (0.85, 0.25), (0.8, 0.85), (0.15, 0.8))],
    "out of the photo": [((0.3, 0.25), (1.2, 0.3), (1.2, 1.2), (0.28, 1.2))],
}


@pytest.mark.parametrize("quads", ON_SHEET.values(), ids=ON_SHEET)
@pytest.mark.parametrize("name", ["solid", "dark solid", "tossed", "stripes"])
def test_a_sheet_under_the_cloth_is_found(
    name: str, quads: Sequence[tuple[tuple[float, float], ...]]
) -> None:
    scene = on_a_table(REPEATING[name](2), quads)
    found = find_reference(photographed(scene, FALLS["from the top, 1.4"], 3))
    assert found is not None
    assert found.reference == "white sheet"


def test_a_sheet_under_several_different_cloths_is_found() -> None:
    quads = [((0.1, 0.2), (0.45, 0.2), (0.45, 0.8), (0.1, 0.8))]
    other = [((0.55, 0.2), (0.9, 0.2), (0.9, 0.8), (0.55, 0.8))]
    scene = on_a_table(REPEATING["dark solid"](2), quads)
    both = np.where(scene == PAPER, on_a_table(REPEATING["solid"](2), other), scene)
    found = find_reference(photographed(both, EVEN, 3))
    assert found is not None
    assert found.reference == "white sheet"
    # Two alike might be a print.
    alike = on_a_table(REPEATING["solid"](2), quads + other)
    assert find_reference(photographed(alike, EVEN, 3)) is None


def in_ink(*shapes: tuple[str, tuple[float, ...]]) -> Floats:
    """Draw blue shapes on white, and white ones on those."""
    image = Image.new("L", (480, 360))
    draw = ImageDraw.Draw(image)
    for shape, points in shapes:
        {
            "round": lambda at: draw.ellipse(at, fill=1),
            "block": lambda at: draw.rectangle(at, fill=1),
            "white round": lambda at: draw.ellipse(at, fill=0),
            "white block": lambda at: draw.rectangle(at, fill=0),
            "star": lambda at: draw.polygon(at, fill=1),
        }[shape](points)
    return np.where(np.asarray(image)[..., np.newaxis] > 0, ink("#2f5d8c"), ink("#f2f0ec"))


WHOLE = ("block", (0, 0, 480, 360))

NO_CARD: dict[str, Floats] = {
    **{name: cloth(4) for name, cloth in {**REPEATING, **UNEVEN}.items()},
    "white": np.full((360, 480, 3), 0.88),
    "a round medallion on white": in_ink(("round", (140, 80, 340, 280))),
    "a star on white": in_ink(("star", (240, 60, 290, 180, 400, 300, 240, 230, 80, 300))),
    "motifs on white": in_ink(
        *(
            ("round", (x, y, x + 50, y + 50))
            for x in range(20, 420, 110)
            for y in range(20, 330, 90)
        )
    ),
    "crumbs beside a block on white": in_ink(
        ("block", (200, 100, 400, 280)),
        *(("block", (40, y, 70, y + 30)) for y in range(30, 330, 60)),
    ),
    "a white border": in_ink(("block", (0, 90, 480, 360))),
    "two white patches": in_ink(
        WHOLE, ("white block", (60, 60, 140, 140)), ("white block", (300, 200, 380, 280))
    ),
    "a white patch and smaller ones": in_ink(
        WHOLE,
        ("white block", (60, 60, 140, 140)),
        *(("white block", (x, 200, x + 28, 228)) for x in range(40, 440, 50)),
    ),
    "a white patch in a corner and a disc": in_ink(
        WHOLE, ("white block", (0, 0, 110, 90)), ("white round", (220, 150, 320, 250))
    ),
    "a white disc": in_ink(WHOLE, ("white round", (160, 100, 280, 220))),
    "a cream card": with_paper(np.full((360, 480, 3), 0.05), BESIDE, 0.0)
    + with_paper(np.zeros((360, 480, 3)), BESIDE, 1.0) * ink("#f0e27a"),
    "a dim patch among lights": with_paper(REPEATING["stripes"](2) * 0.4 + 0.5, INSIDE, 0.55),
}


@pytest.mark.parametrize("name", NO_CARD)
def test_no_card_is_seen_where_there_is_none(name: str) -> None:
    for falls in (EVEN, FALLS["to the corners, 1.5"]):
        assert find_reference(photographed(NO_CARD[name], falls, 5)) is None


def test_a_burnt_out_card_is_not_taken() -> None:
    pixels = photographed(with_paper(REPEATING["solid"](1), BESIDE), EVEN, 2)
    assert find_reference(pixels) is not None
    pixels = np.clip(pixels.astype(np.int64) + 40, 0, 255).astype(np.uint8)
    assert find_reference(pixels) is None
    with pytest.raises(LightError) as said:
        reference_at(pixels, (0.14, 0.48), "white card")
    assert str(said.value) == BURNT_OUT


def test_a_tiny_picture_has_no_card() -> None:
    assert find_reference(plain((240, 240, 240), 100, 150)) is None


def test_a_clicked_card_is_measured_in_its_plain_middle() -> None:
    scene = with_paper(REPEATING["tossed"](2), BESIDE, 0.6)
    for at in ((0.14, 0.48), (0.08, 0.4)):
        found = reference_at(photographed(scene, EVEN, 3), at, "white sheet")
        assert found.reference == "white sheet"
        assert found.light == pytest.approx((0.6, 0.6, 0.6), rel=0.01)
        assert found.at == pytest.approx((0.1375, 0.48), abs=0.05)


@pytest.mark.parametrize(
    ("at", "sentence"),
    [
        ((1.2, 0.5), OUTSIDE),
        ((0.5, -0.1), OUTSIDE),
        ((0.7, 0.7), NOT_EVEN),
        ((0.14, 0.48), TOO_DARK),
    ],
)
def test_a_place_that_will_not_do_is_refused(at: tuple[float, float], sentence: str) -> None:
    noise = np.random.default_rng(1).uniform(0.05, 0.9, (90, 120, 1))
    scene = with_paper(noise.repeat(4, axis=0).repeat(4, axis=1) * np.ones(3), BESIDE, 0.01)
    with pytest.raises(LightError) as said:
        reference_at(photographed(scene, EVEN, 3), at, "grey card")
    assert str(said.value) == sentence


def value_of(pixels: Pixels, lighting: Lighting, corners: Corners) -> float:
    part, _ = cut_out(pixels, None, corners)
    right = set_right(light_of(part), lighting, corners)
    return float(lab_of_light(right.mean(axis=(0, 1), dtype=np.float64))[0])


@pytest.mark.parametrize("name", ["solid", "tossed", "stripes", "tonal"])
def test_two_photos_of_one_cloth_agree(name: str) -> None:
    """In dim light from one side and in bright light from the other."""
    cloth = REPEATING[name](6)
    true = value_of(photographed(cloth, EVEN, 1), Lighting(), CLOTH)
    for falls, dimmed in (("from a corner, 2", 0.5), ("from the left, 2", 1.0)):
        scene = with_paper(cloth, IN_CORNER) * dimmed
        photo = photographed(scene, FALLS[falls], 7)
        card = reference_at(photo, (0.12, 0.12), "white card")
        lighting = lighting_of(photo, card, CLOTH)
        assert lighting.calibrated
        assert not lighting.lamp
        assert value_of(photo, lighting, CLOTH) == pytest.approx(true, abs=1.5)
        assert abs(value_of(photo, Lighting(), CLOTH) - true) > 5


def test_without_a_card_the_mean_light_stays() -> None:
    photo = photographed(REPEATING["tossed"](6), FALLS["from the left, 2"], 7)
    lighting = lighting_of(photo, None, CLOTH)
    assert not lighting.calibrated
    assert lighting.fall_off is not None
    before = value_of(photo, Lighting(), CLOTH)
    assert value_of(photo, lighting, CLOTH) == pytest.approx(before, abs=0.1)


def test_a_card_on_the_cloth_is_not_taken_for_cloth() -> None:
    cloth = REPEATING["solid"](6)
    photo = photographed(with_paper(cloth, INSIDE, 0.6), EVEN, 7)
    found = reference_at(photo, (0.5, 0.52), "white card")
    lighting = lighting_of(photo, found, upright_corners(0.1, 0.1, 0.9, 0.9))
    assert lighting.fall_off is None
    assert lighting.at == found.at


TURNS: dict[str, Callable[[Pixels], Pixels]] = {
    "turned once": np.rot90,
    "turned half round": lambda pixels: np.rot90(pixels, 2),
    "flipped": lambda pixels: pixels[:, ::-1],
    "flipped upside down": lambda pixels: pixels[::-1],
}


def turned(corners: Corners, how: str) -> Corners:
    places = {
        "turned once": lambda x, y: (y, 1 - x),
        "turned half round": lambda x, y: (1 - x, 1 - y),
        "flipped": lambda x, y: (1 - x, y),
        "flipped upside down": lambda x, y: (x, 1 - y),
    }
    moved = [places[how](x, y) for x, y in corners]
    xs, ys = zip(*moved, strict=True)
    return upright_corners(min(xs), min(ys), max(xs), max(ys))


@pytest.mark.parametrize("how", TURNS)
@pytest.mark.parametrize("name", ["solid", "tossed", "checks"])
def test_the_value_stays_however_the_photo_is_turned(name: str, how: str) -> None:
    scene = with_paper(REPEATING[name](6), IN_CORNER, 0.93)
    photo = photographed(scene, from_a_side(1.5, -1, -1), 7)
    values = []
    for seen, corners in ((photo, CLOTH), (TURNS[how](photo), turned(CLOTH, how))):
        pixels = np.ascontiguousarray(seen)
        found = find_reference(pixels)
        assert isinstance(found, FoundReference)
        values.append(value_of(pixels, lighting_of(pixels, found, corners), corners))
    assert values[1] == pytest.approx(values[0], abs=0.3)
