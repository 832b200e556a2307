"""Value steps fall where the set falls apart, each with its share of the pieces."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from quiltboard.fabrics.fabric import STEPS, ByHand, Fabric, FabricId, Reading, Step
from quiltboard.fabrics.steps import Breaks, step_names, steps_of, value_steps


def named(*values: float) -> dict[FabricId, float]:
    return {FabricId(f"f{at}"): value for at, value in enumerate(values)}


def weighing(*weights: float) -> dict[FabricId, float]:
    return named(*weights)


def fabric(
    name: str, value: float, low: float | None = None, high: float | None = None,
    step: Step | None = None, by_hand: float | None = None,
) -> Fabric:  # fmt: skip
    low, high = value if low is None else low, value if high is None else high
    return Fabric(
        FabricId(name),
        name,
        Reading((value, 0.0, 0.0), low, high),
        "#808080",
        step=step,
        by_hand=ByHand(value=by_hand),
    )


def called(
    fabrics: list[Fabric], weights: Mapping[FabricId, float] | None = None, k: int = 3
) -> str:
    return ", ".join(steps_of(fabrics, weights, k).values())


def test_three_heaps_are_three_steps() -> None:
    breaks = value_steps(named(20, 24, 27, 50, 52, 55, 88, 90))
    assert breaks.borders == (38.5, 71.5)
    assert [breaks.place(value) for value in (0, 38.4, 38.5, 71.4, 71.5, 100)] == [
        0,
        0,
        1,
        1,
        2,
        2,
    ]


def test_a_sixth_of_the_pieces_holds_a_border_back() -> None:
    values = named(10, 40, 45, 50, 55, 60, 90)
    # By value alone 10 and 90 stand for themselves: a seventh each, which is too little.
    assert value_steps(values).borders == (42.5, 57.5)
    # With a sixth of the pieces each may stand alone.
    weights = weighing(2, 1, 1, 1, 1, 1, 2)
    assert value_steps(values, weights).borders == (25, 75)


def test_pieces_weigh() -> None:
    values = named(20, 30, 40, 80)
    assert value_steps(values, weighing(5, 5, 5, 5), 2).borders == (60,)
    assert value_steps(values, weighing(9, 1, 9, 1), 2).borders == (30 + 5,)


def test_where_no_split_holds_a_sixth_the_least_share_is_the_most_it_can_be() -> None:
    # 2 and 3 of 100 pieces: the best the smallest step can hold is 2.
    assert value_steps(named(10, 50, 90), weighing(95, 2, 3)).borders == (30, 70)
    # Either neighbour could go to the heavy middle; the smaller step holds most as 3 and 3.
    values = named(10, 12, 50, 88, 90)
    assert value_steps(values, weighing(1, 2, 94, 1, 2)).borders == (31, 69)


def test_equal_values_are_one() -> None:
    assert value_steps(named(30, 30, 30, 30)).borders == ()
    assert value_steps(named(30, 30, 30, 60), k=3).borders == (45,)
    assert value_steps({}).borders == ()


def test_what_weighs_nothing_sets_no_border() -> None:
    assert value_steps(named(10, 50, 90), weighing(1, 0, 1)).borders == (50,)
    assert value_steps(named(10, 50, 90), {FabricId("f1"): 4.0}).borders == ()
    assert value_steps(named(10, 50, 90), weighing(0, 0, 0)).count == 3
    assert value_steps(named(10, 50, 90), {}).count == 3


@pytest.mark.parametrize("k", range(2, 8))
def test_as_many_steps_as_asked(k: int) -> None:
    breaks = value_steps(named(*(at * 5 + at % 3 for at in range(18))), k=k)
    assert breaks.count == k
    assert len(breaks.borders) == k - 1


@pytest.mark.parametrize("k", [0, 1, 8, -1])
def test_too_few_or_many_steps(k: int) -> None:
    with pytest.raises(ValueError, match="2 to 7 value steps"):
        value_steps(named(1, 2), k=k)


def test_numbers_that_are_none() -> None:
    with pytest.raises(ValueError, match="a value is a number"):
        value_steps(named(1, math.nan))
    for weight in (math.inf, -1.0):
        with pytest.raises(ValueError, match="not below zero"):
            value_steps(named(1, 2), weighing(1, weight))


def test_breaks_of_nothing() -> None:
    assert (Breaks().count, Breaks().place(50)) == (1, 0)


def test_steps_are_called_by_name() -> None:
    assert called([]) == ""
    assert called([fabric("a", 50), fabric("b", 50)]) == "medium, medium"
    assert called([fabric("a", 20), fabric("b", 80)]) == "dark, light"
    assert called([fabric("a", 20), fabric("b", 80), fabric("c", 50)]) == "dark, light, medium"


SET = [fabric("d", 20), fabric("m", 50), fabric("l", 85)]


def test_a_cloth_with_both_ends_in_it_is_mixed() -> None:
    assert called([*SET, fabric("check", 76, 10, 95)]).endswith("mixed")
    # Half way only: its dark quarter is medium.
    assert called([*SET, fabric("spots", 76, 50, 95)]).endswith("light")


def test_two_steps_know_no_mixed() -> None:
    assert called([fabric("d", 20), fabric("check", 76, 10, 95)]) == "dark, light"


def test_a_weave_in_a_narrow_set_is_not_mixed() -> None:
    narrow = [fabric("d", 50), fabric("m", 55), fabric("l", 60)]
    assert called([*narrow, fabric("weave", 55, 46, 64)]).endswith("medium")
    assert called([*narrow, fabric("check", 55, 44, 65)]).endswith("mixed")


def test_the_makers_hand_goes_before() -> None:
    by_hand = [*SET, fabric("check", 76, 10, 95, step="dark"), fabric("x", 85, step="mixed")]
    assert called(by_hand) == "dark, medium, light, dark, mixed"


def test_a_fabric_with_no_pieces_yet_has_a_step() -> None:
    assert called(SET, {FabricId("d"): 40.0}) == "dark, medium, light"
    assert called(SET, {}) == called(SET, None) == "dark, medium, light"


def greys(count: int) -> list[Fabric]:
    """Give fabrics of so many values, evenly apart, the darkest first."""
    return [fabric(f"g{at}", 10 + 80 * at / (count - 1)) for at in range(count)]


def test_every_number_of_steps_has_its_names() -> None:
    assert {k: called(greys(k), k=k) for k in range(2, 8)} == {
        2: "dark, light",
        3: "dark, medium, light",
        4: "dark, dark medium, light medium, light",
        5: "dark, dark medium, medium, light medium, light",
        6: "darkest, dark, dark medium, light medium, light, lightest",
        7: "darkest, dark, dark medium, medium, light medium, light, lightest",
    }


@pytest.mark.parametrize("k", range(1, 8))
def test_names_run_from_dark_to_light(k: int) -> None:
    names = step_names(k)
    assert len(names) == len(set(names)) == k
    assert sorted(names, key=STEPS.index, reverse=True) == list(names)


def test_fewer_values_than_steps_take_the_names_of_so_many() -> None:
    assert called(greys(3), k=7) == "dark, medium, light"
    assert called([fabric("a", 50)], k=4) == "medium"


@pytest.mark.parametrize("k", range(2, 7))
def test_no_step_holds_under_a_sixth_where_that_can_be(k: int) -> None:
    fabrics = greys(24)
    steps = list(steps_of(fabrics, None, k).values())
    # Beyond three steps it is half an even share.
    least = min(1 / 6, 1 / (2 * k))
    assert min(steps.count(name) for name in step_names(k)) >= 24 * least


def test_a_step_set_by_hand_outlives_a_new_measuring_and_a_change_of_steps() -> None:
    lightest = fabric("h", 20, step="lightest")
    assert called([*greys(7), lightest], k=7).endswith("lightest")
    for k, nearest in ((6, "lightest"), (5, "light"), (4, "light"), (3, "light"), (2, "light")):
        assert called([*greys(7), lightest], k=k).split(", ")[-1] == nearest
    measured_anew = fabric("h", 85, step="lightest")
    assert called([*greys(7), measured_anew], k=7).endswith("lightest")
    assert called([*greys(7), fabric("h", 20, step="darkest")], k=3).endswith("dark")
    assert called([*greys(7), fabric("h", 20, step="mixed")], k=2).endswith("mixed")


@pytest.mark.parametrize(
    ("step", "value", "k", "taken"),
    [
        ("light medium", 85, 3, "light"),
        ("light medium", 50, 3, "medium"),
        ("light medium", 15, 3, "medium"),
        ("medium", 15, 4, "dark medium"),
        ("medium", 85, 4, "light medium"),
        ("medium", 85, 2, "light"),
        ("medium", 15, 2, "dark"),
        ("dark medium", 85, 2, "dark"),
    ],
)
def test_of_two_as_near_the_one_nearer_to_what_it_measures(
    step: Step, value: float, k: int, taken: Step
) -> None:
    fabrics = [*greys(12), fabric("h", value, step=step)]
    assert steps_of(fabrics, None, k)[FabricId("h")] == taken


def test_a_value_set_by_hand_goes_before_the_measured_one() -> None:
    told = fabric("a", 20, by_hand=85)
    assert called([*SET, told]).endswith("light")
    # Its quarters move along: a check that was told too dark is still mixed.
    check = fabric("check", 36, 0, 55, by_hand=76)
    assert called([*SET, check]).endswith("light")
    assert called([*SET, fabric("check", 96, 30, 115, by_hand=76)]).endswith("mixed")


@pytest.mark.parametrize(
    ("k", "low", "high", "taken"),
    [
        (4, 15, 85, "mixed"),
        (4, 45, 85, "light medium"),
        (5, 15, 85, "mixed"),
        (5, 15, 70, "light medium"),
        (6, 30, 70, "mixed"),
        (6, 45, 85, "light medium"),
        (7, 25, 75, "mixed"),
        (7, 25, 60, "light medium"),
    ],
)
def test_mixed_is_from_the_lower_third_to_the_upper(
    k: int, low: float, high: float, taken: Step
) -> None:
    fabrics = [*greys(25), fabric("check", 62, low, high)]
    assert steps_of(fabrics, None, k)[FabricId("check")] == taken
