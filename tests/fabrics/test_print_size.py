"""How large and bold a print is, against prints drawn to a known size."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from quiltboard.fabrics.print_size import (
    SOLID_WITHIN,
    contrast_of,
    feature_of,
    print_scale,
    print_size,
    reads_as_solid,
)
from quiltboard.photos.light import Pixels
from quiltboard.photos.lightness import lab_of_light
from quiltboard.shapes.wedge import InvalidWedgeError, Wedge, draft_wedge, usual_wedge
from quiltboard.units import inches, length_from_mm
from tests.helpers.known_prints import (
    Field,
    checks,
    dots,
    light_of_hex,
    printed,
    stripes,
    tossed,
)

NAVY, CREAM, TEAL, GOLD = "#14223f", "#f3ead8", "#2b7a7f", "#d59a33"
FAR_TOO_WIDE = inches(200)
"""So wide a stretch that even its smallest print is seen from across the room."""

KNOWN: dict[str, Callable[[float], Field]] = {
    "dots": dots,
    "dense dots": lambda diameter: dots(diameter, pitch=1.4, turn_deg=20),
    "sparse dots": lambda diameter: dots(diameter, pitch=3),
    "checks": checks,
    "turned checks": lambda side: checks(side, turn_deg=30),
    "tossed discs": lambda diameter: tossed(diameter, seed=3),
}
SIZES = (0.02, 0.03, 0.05, 0.08, 0.13, 0.2, 0.3, 0.4)


def cloth(field: Field, ground: str = NAVY, figure: str = CREAM) -> Pixels:
    return printed(field, ground, figure, weave=0.1, grain=0.05)


def doubled(pixels: Pixels) -> Pixels:
    return np.repeat(np.repeat(pixels, 2, axis=0), 2, axis=1)


def told(pixels: Pixels) -> float:
    feature = feature_of(pixels, FAR_TOO_WIDE)
    assert feature is not None
    return feature


@pytest.mark.parametrize("kind", KNOWN)
@pytest.mark.parametrize("size", [0.02, 0.05, 0.13, 0.4])
def test_features_are_told_within_a_quarter(kind: str, size: float) -> None:
    field = KNOWN[kind](size)
    assert told(cloth(field)) == pytest.approx(size, rel=0.25)
    assert told(cloth(field, CREAM, NAVY)) == pytest.approx(size, rel=0.25)


@pytest.mark.soak
@pytest.mark.parametrize("kind", KNOWN)
def test_features_of_every_size_in_many_colours(kind: str) -> None:
    pairs = ((NAVY, CREAM), (CREAM, NAVY), (TEAL, GOLD), ("#8a8a8a", "#d0d0d0"))
    fields = {size: KNOWN[kind](size) for size in SIZES}
    off = [
        told(cloth(field, *pair)) / size - 1 for size, field in fields.items() for pair in pairs
    ]
    print(f"{kind}: {min(off):+.2f} to {max(off):+.2f}")  # noqa: T201
    assert max(map(abs, off)) < 0.25


def test_a_stripe_is_told_by_two_thirds_of_its_repeat() -> None:
    for wide in (0.03, 0.1, 0.25):
        assert told(cloth(stripes(wide))) == pytest.approx(4 / 3 * wide, rel=0.15)


def test_features_scale_with_the_picture() -> None:
    field = dots(0.1, size_px=512)
    pixels = cloth(field)
    assert told(doubled(pixels)) == pytest.approx(told(pixels), rel=0.01)
    # Half the cloth, seen alone, shows features twice as large.
    half = np.ascontiguousarray(pixels[:256, :256])
    assert told(half) == pytest.approx(2 * told(pixels), rel=0.1)
    # A swatch that is not square is told by its width.
    low = np.ascontiguousarray(pixels[:200])
    assert told(low) == pytest.approx(told(pixels), rel=0.1)


def test_a_motif_goes_before_the_detail_inside_it() -> None:
    motif, detail = dots(0.3, pitch=1.6), checks(0.025)
    assert told(cloth(motif * detail)) == pytest.approx(0.3, rel=0.25)
    assert told(cloth(detail)) == pytest.approx(0.025, rel=0.25)


def test_features_that_differ_in_colour_alone_are_seen() -> None:
    # A red and a green of one lightness.
    feature = told(cloth(dots(0.1), "#a4553c", "#3f7a3f"))
    assert feature == pytest.approx(0.1, rel=0.25)


def test_a_cloth_without_features_has_none() -> None:
    plain = cloth(np.zeros((400, 400)))
    assert reads_as_solid(plain)
    assert feature_of(plain) is None
    assert feature_of(np.array([[[0] * 3, [255] * 3]] * 2, dtype=np.uint8)) is None


def test_a_small_print_reads_as_solid_and_a_bold_one_does_not() -> None:
    # On 9 in of cloth: dots of under 1⁄8 in, and of an inch.
    assert reads_as_solid(cloth(dots(0.012)))
    assert not reads_as_solid(cloth(dots(0.11)))
    # Tone on tone reads as solid at any size.
    assert reads_as_solid(cloth(dots(0.11), "#2b7a7f", "#2d8087"))
    # A check of an eighth of an inch goes grey; one of half an inch does not.
    assert reads_as_solid(cloth(checks(0.014)))
    assert not reads_as_solid(cloth(checks(0.055)))


def test_whether_a_print_is_seen_hangs_on_its_true_size() -> None:
    pixels = cloth(dots(0.025))
    assert reads_as_solid(pixels, inches(2))
    assert not reads_as_solid(pixels, inches(20))
    assert not reads_as_solid(pixels)
    assert feature_of(pixels, inches(2)) is None


def test_a_stain_makes_no_print() -> None:
    pixels = cloth(np.zeros((400, 400)), TEAL)
    pixels[:60, :60] = 255
    assert reads_as_solid(pixels)
    pixels[:, :60] = 255
    assert not reads_as_solid(pixels)
    assert SOLID_WITHIN < 5


def test_contrast_is_that_of_the_print() -> None:
    light, dark = (lab_of_light(light_of_hex(colour))[0] for colour in (CREAM, NAVY))
    half = float(light - dark) / 2
    assert contrast_of(printed(checks(0.25), NAVY, CREAM)) == pytest.approx(half, rel=0.04)
    # A fifth of the cloth light, four fifths dark.
    sparse = dots(0.2)
    share = sparse.mean()
    spread = 2 * half * float(np.sqrt(share * (1 - share)))
    assert contrast_of(printed(sparse, NAVY, CREAM)) == pytest.approx(spread, rel=0.05)


def test_the_weave_is_no_contrast() -> None:
    plain = np.zeros((1024, 1024))
    assert contrast_of(printed(plain, TEAL, GOLD)) == pytest.approx(0, abs=0.01)
    assert contrast_of(printed(plain, TEAL, GOLD, weave=0.3, grain=0.1)) < 0.6


def test_sizes_are_told_against_the_wedge() -> None:
    wedge = usual_wedge(12)
    drafted = draft_wedge(wedge)
    # Halfway between the narrow end and the tip, from seam to seam.
    slope = drafted.finished_narrow / (2 * drafted.opening)
    width = length_from_mm((drafted.opening + drafted.tip) * slope, "down")
    assert [print_size(part, width, wedge) for part in (0.1, 0.24, 0.26, 0.74, 0.76, 2)] == [
        "small", "small", "medium", "medium", "large", "large",
    ]  # fmt: skip
    # The same print is large on a narrower wedge.
    assert print_size(0.12, inches(9), wedge) == "medium"
    assert print_size(0.12, inches(9), usual_wedge(24)) == "large"
    with pytest.raises(InvalidWedgeError):
        print_size(0.5, width, Wedge(3, inches(4), inches(1)))


def test_print_scale_is_a_true_length() -> None:
    assert print_scale(0.125, inches(10)) == inches("5/4")
    assert print_scale(1 / 3, inches(1)) == round(8128 / 3)
