"""The colours of a print are found with their shares, and called by plain names."""

from __future__ import annotations

import math

import numpy as np
import pytest

from quiltboard.fabrics.colours import (
    MOST_TINTS,
    HueFamily,
    Warmth,
    chroma,
    hue_family,
    tints_of,
    warmth,
)
from quiltboard.fabrics.measure import delta_e_2000, reading_of_colour
from quiltboard.fabrics.reading import Lab, Tint
from quiltboard.photos.light import Pixels
from tests.helpers.known_prints import Field, checks, dots, printed, stripes, tossed

NAVY, CREAM, TEAL, GOLD = "#14223f", "#f3ead8", "#2b7a7f", "#d59a33"


def lab_of(colour: str) -> Lab:
    return reading_of_colour(colour).lab


def away(tint: Tint, colour: str) -> float:
    return float(delta_e_2000(np.array([tint.lab]), np.array([lab_of(colour)]))[0])


def bands(*colours: str, rows: tuple[int, ...]) -> Pixels:
    """Lay bands of plain colours, so many rows of each, 200 px wide."""
    coded = [np.frombuffer(bytes.fromhex(colour[1:]), dtype=np.uint8) for colour in colours]
    return np.repeat(np.repeat(np.array(coded)[:, None], 200, axis=1), rows, axis=0)


@pytest.mark.parametrize("pair", [(NAVY, CREAM), (TEAL, GOLD)])
@pytest.mark.parametrize(
    "field",
    [
        dots(0.02), dots(0.1), dots(0.3), checks(0.02), checks(0.1), stripes(0.05),
        tossed(0.15, seed=2),
    ],
    ids=["dots2", "dots10", "dots30", "checks2", "checks10", "stripes5", "tossed15"],
)  # fmt: skip
def test_two_colours_are_two_and_their_mixtures_none(
    field: Field, pair: tuple[str, str]
) -> None:
    """Along every border a photo shows mixtures, and on every thread a lighter colour."""
    tints = tints_of(printed(field, *pair, weave=0.1, grain=0.05))
    assert len(tints) == 2
    shares = {min(pair, key=lambda colour: away(tint, colour)): tint.share for tint in tints}
    assert shares[pair[1]] == pytest.approx(field.mean(), abs=0.02)
    assert all(min(away(tint, colour) for colour in pair) < 2.5 for tint in tints)


def test_a_plain_cloth_has_one_colour() -> None:
    (tint,) = tints_of(printed(np.zeros((300, 300)), TEAL, GOLD, weave=0.2, grain=0.1))
    assert tint.share == 1
    assert away(tint, TEAL) < 1.5


def test_the_largest_comes_first_and_the_shares_add_up_to_one() -> None:
    tints = tints_of(bands(GOLD, TEAL, NAVY, CREAM, rows=(20, 100, 60, 40)))
    assert [round(tint.share, 2) for tint in tints] == [0.45, 0.27, 0.18, 0.09]
    assert [
        away(tint, colour) < 1
        for tint, colour in zip(tints, (TEAL, NAVY, CREAM, GOLD), strict=True)
    ] == [True] * 4
    assert sum(tint.share for tint in tints) == pytest.approx(1, abs=1e-12)


def test_a_colour_on_a_speck_is_none_of_its_own() -> None:
    tints = tints_of(bands(GOLD, TEAL, NAVY, rows=(3, 100, 100)))
    assert len(tints) == 2
    assert not any(away(tint, GOLD) < 20 for tint in tints)


def test_colours_that_look_alike_are_one() -> None:
    (both,) = tints_of(bands("#2b7a7f", "#2f7f88", rows=(100, 100)))
    assert away(both, TEAL) < 4
    assert len(tints_of(bands("#2b7a7f", "#4ba3a8", rows=(100, 100)))) == 2


def test_a_middle_colour_with_ground_of_its_own_is_no_mixture() -> None:
    """Grey lies between black and white, yet these bands are grey cloth."""
    tints = tints_of(bands("#111111", "#8a8a8a", "#f4f4f4", rows=(80, 80, 80)))
    assert [round(tint.share, 2) for tint in tints] == [0.33, 0.33, 0.33]


def test_six_are_the_most() -> None:
    many = ("#c23a2b", "#e09028", "#e8d848", "#3f8f3f", "#2b7a9f", "#5a3a8f", "#111111", CREAM)
    tints = tints_of(bands(*many, rows=(40, 38, 36, 34, 32, 30, 8, 6)))
    assert len(tints) == MOST_TINTS
    assert all(min(away(tint, colour) for tint in tints) < 1 for colour in many[:6])


def test_what_is_no_cloth_does_not_count() -> None:
    pixels = bands(TEAL, "#ffffff", rows=(120, 80))
    mask = np.zeros((200, 200), dtype=bool)
    mask[:120] = True
    (tint,) = tints_of(pixels, mask)
    assert away(tint, TEAL) < 1
    with pytest.raises(ValueError, match="no cloth"):
        tints_of(pixels, np.zeros((200, 200), dtype=bool))


def test_the_same_cloth_gives_the_same_colours_at_any_size_and_any_time() -> None:
    pixels = printed(dots(0.1), NAVY, CREAM, weave=0.1, grain=0.05)
    large = np.repeat(np.repeat(pixels, 2, axis=0), 2, axis=1)
    assert tints_of(pixels) == tints_of(pixels)
    for one, other in zip(tints_of(pixels), tints_of(large), strict=True):
        assert one.share == pytest.approx(other.share, abs=0.005)
        assert one.lab == pytest.approx(other.lab, abs=0.3)


NAMED: list[tuple[str, HueFamily, Warmth]] = [
    ("#ff0000", "red", "warm"),
    ("#cc3333", "red", "warm"),
    ("#800020", "red", "warm"),
    ("#f4a6b8", "pink", "warm"),
    ("#e91e63", "pink", "warm"),
    ("#f0a090", "pink", "warm"),
    ("#b03a7e", "pink", "warm"),
    ("#e08030", "orange", "warm"),
    ("#ffd000", "yellow", "warm"),
    ("#808000", "yellow", "warm"),
    ("#8b4513", "brown", "warm"),
    ("#d2b48c", "brown", "warm"),
    ("#4a3a20", "brown", "warm"),
    ("#228b22", "green", "neutral"),
    ("#2e4a2e", "green", "neutral"),
    ("#008080", "blue-green", "cool"),
    ("#87ceeb", "blue", "cool"),
    ("#14223f", "blue", "cool"),
    ("#0000ff", "blue", "cool"),
    ("#6a2c91", "purple", "neutral"),
    ("#3f2549", "purple", "neutral"),
    ("#ffffff", "white", "neutral"),
    ("#ece4d2", "white", "warm"),
    ("#777777", "grey", "neutral"),
    ("#111111", "black", "neutral"),
]


@pytest.mark.parametrize(("colour", "family", "warm"), NAMED)
def test_colours_have_plain_names(colour: str, family: HueFamily, warm: Warmth) -> None:
    assert hue_family(lab_of(colour)) == family
    assert warmth(lab_of(colour)) == warm


def test_every_hue_has_a_name() -> None:
    names = {
        hue_family((50.0, 60 * math.cos(at), 60 * math.sin(at)))
        for at in np.radians(range(-180, 541))
    }
    assert names == {"red", "orange", "yellow", "green", "blue-green", "blue", "purple", "pink"}


def test_chroma_is_how_far_from_grey() -> None:
    assert chroma((50.0, 3.0, -4.0)) == 5
    assert chroma(lab_of("#808080")) == pytest.approx(0, abs=0.01)
