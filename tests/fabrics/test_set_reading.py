"""A set read together: look-alikes, missing steps, and photos that cannot be compared."""

from __future__ import annotations

import time
from collections.abc import Sequence

import msgspec
import numpy as np
import pytest

from quiltboard.errands.sample import open_sample
from quiltboard.fabrics.fabric import ByHand, Fabric, FabricId, Photo, Step, Swatch
from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.fabrics.reading import Direction, Lab, Print, Reading, Repeat
from quiltboard.fabrics.set_reading import Gap, Point, SetReading, name_some, read_set
from quiltboard.fabrics.steps import steps_of
from quiltboard.photos.lighting import Lighting
from quiltboard.units import Length, inches

PHOTO = Photo(b"", 1, 1)
NINE_INCHES = inches(9)
MEASURED = ByHand()


def cloth(
    name: str,
    lab: Lab,
    *,
    feature: float | None = None,
    contrast: float = 20.0,
    width: Length | None = NINE_INCHES,
    by_hand: ByHand = MEASURED,
    lighting: Lighting | None = None,
) -> Fabric:
    """Give a fabric of one colour; with a lighting, from a photo."""
    shown = Print(
        tints=(),
        contrast=contrast,
        feature=feature,
        solid=feature is None,
        repeat=Repeat("none", (), 1.0),
        direction=Direction("not sure", 0.0),
        relief=b"",
    )
    return Fabric(
        FabricId(name),
        name,
        Reading(lab, lab[0], lab[0], print=shown),
        "#777777",
        swatch=Swatch(b"", 10, 10, width),
        photo=None if lighting is None else PHOTO,
        lighting=lighting or Lighting(),
        by_hand=by_hand,
    )


def read(*fabrics: Fabric, step: Step = "medium") -> SetReading:
    return read_set(fabrics, {fabric.id: step for fabric in fabrics})


def pairs(reading: SetReading) -> list[tuple[str, str]]:
    return [(pair.first.name, pair.second.name) for pair in reading.alike]


def greys(*values: float) -> SetReading:
    return read(*(cloth(f"Grey {value}", (value, 0.0, 0.0)) for value in values))


def test_an_empty_set_says_nothing() -> None:
    assert read() == SetReading((), (), (), (), (), ())
    assert read().sentences == ()


def test_the_demo_is_read_as_its_story_tells() -> None:
    fabrics = open_sample().project.fabrics
    reading = read_set(fabrics, steps_of(fabrics))
    assert [set(pair) for pair in pairs(reading)] == [
        {"Onion Paper", "Butterbean"},
        {"Runner Bean", "Pea Shoot"},
    ]
    # As drawn they are 1.8 and 2.0 apart, with nothing between 28 and 45; a photo set right by
    # its card is within about 2 L* of the cloth.
    assert [pair.difference for pair in reading.alike] == pytest.approx([1.8, 2.0], abs=1.0)
    (gap,) = reading.gaps
    assert (gap.low, gap.high) == pytest.approx((28, 45), abs=2)
    assert [(b.darker, b.lighter) for b in reading.borders] == [
        ("dark", "medium"),
        ("medium", "light"),
    ]


def test_look_alikes_are_those_below_five_the_nearest_first() -> None:
    # Sharma, Wu and Dalal 2005, table 1: pair 1 (2.0425) looks alike, pair 17 (27.1492) not.
    near = read(cloth("A", (50.0, 2.6772, -79.7751)), cloth("B", (50.0, 0.0, -82.7485)))
    assert [pair.difference for pair in near.alike] == pytest.approx([2.0425], abs=1e-4)
    assert near.alike[0].trusted
    assert near.alike_sentences == ("A and B read as one from across the room (ΔE 2.0).",)
    far = read(cloth("A", (50.0, 2.5, 0.0)), cloth("B", (73.0, 25.0, -18.0)))
    assert far.alike == ()
    three = read(
        cloth("A", (50.0, 0.0, 0.0)), cloth("C", (54.0, 0.0, 0.0)), cloth("B", (51.0, 0.0, 0.0))
    )
    assert pairs(three) == [("A", "B"), ("B", "C"), ("A", "C")]


def test_every_pair_below_five_is_found_whatever_its_lightness() -> None:
    rng = np.random.default_rng(7)
    lab = np.column_stack(
        (rng.uniform(0, 100, 200), rng.normal(0, 6, 200), rng.normal(0, 6, 200))
    )
    fabrics = [cloth(f"{k:03}", tuple(row.tolist())) for k, row in enumerate(lab)]
    one, other = np.triu_indices(200, 1)
    wanted = np.count_nonzero(delta_e_2000(lab[one], lab[other]) < 5.0)
    assert wanted > 100
    assert len(read(*fabrics).alike) == wanted


def test_a_value_set_by_hand_is_the_one_compared() -> None:
    lab = (50.0, 0.0, 0.0)
    moved = cloth("B", lab, by_hand=ByHand(value=70.0))
    reading = read(cloth("A", lab), moved)
    assert reading.alike == ()
    assert [point.value for point in reading.points] == [50.0, 70.0]


GREEN = (50.0, -30.0, 30.0)


@pytest.mark.parametrize(
    ("other", "alike"),
    [
        (cloth("B", GREEN, feature=0.25), False),
        (cloth("B", GREEN, feature=0.19), True),
        (cloth("B", GREEN, feature=0.25, contrast=7.0), True),
        (cloth("B", GREEN, feature=None), True),
        (cloth("B", GREEN, feature=0.25, width=None), True),
        (cloth("B", GREEN, feature=0.25, by_hand=ByHand(solid=True)), True),
        (cloth("B", GREEN, feature=0.11, width=inches(27)), False),
        (cloth("B", GREEN, feature=0.3, width=inches(3)), True),
        (msgspec.structs.replace(cloth("B", GREEN), swatch=None), True),
        (msgspec.structs.replace(cloth("B", GREEN), reading=Reading(GREEN, 50, 50)), True),
    ],
)
def test_only_a_bold_print_more_than_twice_as_large_tells_one_colour_apart(
    other: Fabric, alike: bool
) -> None:
    # The smaller print's own contrast decides nothing.
    small = cloth("A", GREEN, feature=0.1, contrast=5.0)
    assert bool(read(small, other).alike) is alike
    assert bool(read(other, small).alike) is alike


def test_beyond_four_pairs_the_rest_are_counted() -> None:
    def shades(count: int) -> SetReading:
        return read(*(cloth(f"Cloth {k}", (50.0 + 3.5 * k, 0.0, 0.0)) for k in range(count)))

    assert len(shades(5).alike_sentences) == 4
    assert shades(6).alike_sentences[4] == "1 more pair does."
    assert shades(8).alike_sentences[4] == "3 more pairs do."


@pytest.mark.parametrize(
    ("values", "sentences"),
    [
        ((20, 30, 44, 58, 70, 80), ()),
        ((48, 60, 70, 80), ("Nothing darker than L* 48.",)),
        ((30, 40, 50, 60), ("Nothing lighter than L* 60.",)),
        ((20, 27.7, 45, 59, 72, 86), ("Nothing between L* 28 and 45.",)),
        ((35, 50, 64.9, 75), ("Nothing between L* 35 and 50.",)),
        ((50,), ("Nothing darker than L* 50.", "Nothing lighter than L* 50.")),
    ],
)
def test_missing_steps(values: Sequence[float], sentences: tuple[str, ...]) -> None:
    assert greys(*values).gap_sentences == sentences


def test_photos_without_a_card_are_never_silently_compared() -> None:
    lit = Lighting(reference="white card", at=(0.1, 0.1))
    bare, carded = Lighting(), lit
    reading = read(
        cloth("Wet Slate", (40.0, 0.0, 0.0), lighting=bare),
        cloth("Brick Path", (41.0, 0.0, 0.0), lighting=carded),
        cloth("Cloche Glass", (80.0, 0.0, 0.0), lighting=carded),
    )
    assert [point.name for point in reading.uncalibrated] == ["Wet Slate"]
    trust = "if the photos can be trusted"
    assert reading.sentences == (
        f"Wet Slate and Brick Path read as one from across the room (ΔE 0.9), {trust}.",
        f"Nothing darker than L* 40, {trust}.",
        "Nothing between L* 41 and 80.",
        (
            "1 photo has no card in it (Wet Slate): its value may be off, and is compared with"
            " the others only with that in mind. A white card beside the cloth mends it; so"
            " does a value set by hand."
        ),
    )
    told = cloth("Wet Slate", (40.0, 0.0, 0.0), lighting=bare, by_hand=ByHand(value=40.0))
    assert read(told).uncalibrated == ()


def test_many_photos_without_a_card_and_by_lamp_are_named_and_counted() -> None:
    lamp = Lighting(reference="grey card", at=(0.1, 0.1), lamp=True)
    fabrics = [
        cloth(f"Cloth {k}", (40.0 + 5 * k, 0.0, 0.0), lighting=Lighting()) for k in range(8)
    ]
    shades = [
        cloth(name, (value, 60.0, 0.0), lighting=lamp)
        for name, value in (("Lantern", 30.0), ("Kelp", 60.0))
    ]
    card, light = read(*fabrics, *shades).photo_sentences
    assert card.startswith(
        "8 photos have no card in them (Cloth 0, Cloth 1, Cloth 2, Cloth 3, Cloth 4, Cloth 5"
        " and 2 more): their values may be off"
    )
    assert light == (
        "2 photos were taken by lamp light (Lantern and Kelp): their colours may be off."
        " Daylight by a window mends it."
    )
    (one,) = read(shades[0]).photo_sentences
    assert one == (
        "1 photo was taken by lamp light (Lantern): its colours may be off."
        " Daylight by a window mends it."
    )


def test_points_go_from_dark_to_light_with_hue_and_chroma() -> None:
    reading = read(cloth("B", (70.0, 0.0, -40.0)), cloth("A", (30.0, 3.0, 4.0)))
    assert [(p.name, p.step, p.colour) for p in reading.points] == [
        ("A", "medium", "#777777"),
        ("B", "medium", "#777777"),
    ]
    assert [p.hue_deg for p in reading.points] == pytest.approx([53.1301, 270.0])
    assert [p.chroma for p in reading.points] == pytest.approx([5.0, 40.0])


def test_borders_lie_between_steps_that_are_in_order() -> None:
    fabrics = [cloth(str(value), (value, 0.0, 0.0)) for value in (10, 20, 40, 50, 80)]
    steps: dict[FabricId, Step] = dict(
        zip(
            (fabric.id for fabric in fabrics),
            ("dark", "dark", "mixed", "medium", "light"),
            strict=True,
        )
    )
    reading = read_set(fabrics, steps)
    assert [border.value for border in reading.borders] == [35.0, 65.0]
    by_hand = steps | {fabrics[0].id: "light"}
    assert [border.value for border in read_set(fabrics, by_hand).borders] == [35.0]


def test_names_are_joined_as_one_says_them() -> None:
    def named(*names: str) -> list[Point]:
        return [
            Point(FabricId(name), name, "#777777", 50.0, 0.0, 0.0, "medium", calibrated=True)
            for name in names
        ]

    assert name_some(named("Kelp")) == "Kelp"
    assert name_some(named("Kelp", "Lantern")) == "Kelp and Lantern"
    assert name_some(named(*"ABCDEFG")) == "A, B, C, D, E, F and 1 more"


def test_a_gap_is_said_in_the_numbers_that_the_cloths_are_shown_with() -> None:
    assert Gap(27.5001, 44.96, trusted=True).sentence == "Nothing between L* 28 and 45."


def test_five_hundred_fabrics_are_read_at_once() -> None:
    rng = np.random.default_rng(3)
    lab = np.column_stack(
        (rng.uniform(15, 95, 500), rng.normal(0, 25, 500), rng.normal(0, 25, 500))
    )
    fabrics = [cloth(f"{k}", tuple(row.tolist())) for k, row in enumerate(lab)]
    read(*fabrics)
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        read(*fabrics)
        taken.append(time.perf_counter() - start)
    assert min(taken) < 0.15  # an idle machine takes a tenth of it
