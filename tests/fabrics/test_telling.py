"""What is known of a fabric in words."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.fabrics.bring_in import fabric_from_colour
from quiltboard.fabrics.fabric import ByHand, Fabric, FabricId, Photo, Swatch
from quiltboard.fabrics.reading import (
    RELIEF_SIDE,
    Direction,
    Print,
    Reading,
    Repeat,
    RepeatKind,
    Vector,
    Way,
)
from quiltboard.fabrics.telling import (
    size_against,
    tell_colour,
    tell_direction,
    tell_light,
    tell_repeat,
    tell_scale,
    tell_size,
)
from quiltboard.photos.lighting import Lighting
from quiltboard.photos.ruler import Ruler, RulerKind
from quiltboard.shapes.wedge import usual_wedge
from quiltboard.units import Length, inches, plain_fractions

PLAIN = fabric_from_colour("Salt", "#2b7a7f", FabricId("salt"))


def printed(
    feature: float | None = 0.125,
    *,
    kind: RepeatKind = "none",
    steps: tuple[Vector, ...] = (),
    way: Way = "two-way",
    sure: float = 0.9,
    width: Length | None = None,
) -> Fabric:
    """Give a fabric whose print measures so."""
    relief = bytes(RELIEF_SIDE**2)
    print_ = Print(
        tints=(),
        contrast=9.0,
        feature=feature,
        solid=feature is None,
        repeat=Repeat(kind, steps, sure),
        direction=Direction(way, sure),
        relief=relief,
    )
    return Fabric(
        FabricId("dots"),
        "Dots",
        Reading((50.0, 20.0, -30.0), 40.0, 60.0, print=print_),
        "#777777",
        swatch=Swatch(b"", 100, 100, width),
        photo=Photo(b"", 100, 100),
    )


def by_hand(fabric: Fabric, **told: object) -> Fabric:
    return msgspec.structs.replace(fabric, by_hand=ByHand(**told))  # type: ignore[arg-type]


def test_what_the_value_rests_on() -> None:
    taken = printed()
    assert tell_light(PLAIN) == "a plain colour"
    assert tell_light(taken).startswith("not calibrated: no card in the photo")
    assert tell_light(by_hand(taken, value=40.0)) == "value set by hand"
    carded = msgspec.structs.replace(taken, lighting=Lighting("grey card", (0.1, 0.1)))
    assert tell_light(carded) == "calibrated by a grey card"
    by_lamp = msgspec.structs.replace(taken, lighting=Lighting("white sheet", lamp=True))
    assert tell_light(by_lamp).endswith("by lamp light: its colours are near, not exact")


def test_what_colour_it_reads_as() -> None:
    assert tell_colour(printed()).endswith("chroma 36")
    assert "cool" in tell_colour(PLAIN)


def test_how_large_the_print_is() -> None:
    assert tell_size(PLAIN, "in") == "not measured"
    assert tell_size(printed(None), "in") == "reads as solid"
    assert tell_size(printed(), "in") == "print about 12 % of the swatch's width"
    scaled = printed(width=inches(10))
    assert plain_fractions(tell_size(scaled, "in")) == "print about 1 1/4 in"


def test_how_large_it_is_against_the_wedge() -> None:
    wedge = usual_wedge(12)
    assert size_against(PLAIN, wedge) is None
    assert size_against(printed(), wedge) is None
    assert size_against(printed(None, width=inches(9)), wedge) is None
    sizes = [size_against(printed(width=inches(w)), wedge) for w in (3, 8, 30)]
    assert sizes == ["small", "medium", "large"]
    assert size_against(by_hand(printed(width=inches(3)), size="large"), wedge) == "small"


@pytest.mark.parametrize(
    ("by", "said"),
    [
        ("points", "by a length that was told"),
        ("card", "by a card in the photo"),
        ("grid", "by the lines of a mat or ruler"),
    ],
)
def test_how_the_scale_is_known(by: RulerKind, said: str) -> None:
    ruler = Ruler((0.1, 0.1), (0.9, 0.1), inches(8), by)
    scaled = msgspec.structs.replace(printed(width=inches("27/4")), ruler=ruler)
    told = plain_fractions(tell_scale(scaled, "in"))
    assert told == f"the swatch shows 6 3/4 in of cloth across, {said}"


def test_a_scale_of_unknown_source_or_none() -> None:
    assert tell_scale(printed(width=inches(9)), "in").endswith("9 in of cloth across")
    assert tell_scale(printed(), "in").startswith("not known")
    assert tell_scale(PLAIN, "in").startswith("not known")


def test_how_it_repeats() -> None:
    assert tell_repeat(PLAIN, "in") == "not measured"
    assert tell_repeat(printed(), "in") == "no repeat found"
    steps = ((0.25, 0.0), (0.0, 0.5))
    unscaled = printed(kind="square", steps=steps)
    assert tell_repeat(unscaled, "in") == (
        "repeats in straight rows, every 25 % and 50 % of the swatch's width"
    )
    scaled = printed(kind="half-drop", steps=steps, width=inches(8), sure=0.3)
    assert tell_repeat(scaled, "in") == (
        "repeats in a half-drop, every 2 in and 4 in (not certain)"
    )
    even = printed(kind="square", steps=((0.25, 0.0), (0.0, 0.25)), width=inches(8))
    assert tell_repeat(even, "in") == "repeats in straight rows, every 2 in both ways"
    striped = printed(kind="stripes", steps=((0.25, 0.0),), width=inches(8))
    assert tell_repeat(striped, "in") == "stripes, every 2 in"
    told = tell_repeat(by_hand(scaled, repeat=(inches(3), inches(5))), "in")
    assert told == "repeats every 3 in across and 5 in along, as set by hand"


def test_whether_it_has_a_right_way_up() -> None:
    assert tell_direction(PLAIN) == "not measured"
    assert tell_direction(printed(way="one-way")) == "one-way"
    assert tell_direction(printed(way="two-way", sure=0.2)) == "two-way (not certain)"
    assert tell_direction(printed(way="not sure")).startswith("not sure whether")
    assert tell_direction(by_hand(printed(), way="one-way")) == "one-way, as set by hand"
