"""Laws of value: what a cloth measures, and how a set falls into steps."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from quiltboard.fabrics.fabric import FabricId
from quiltboard.fabrics.measure import mean_colour_hex, measure_cloth
from quiltboard.fabrics.steps import LEAST_SHARE, Breaks, value_steps
from quiltboard.photos.light import Pixels, light_of

pixels_of_any_cloth = arrays.arrays(
    np.uint8, st.tuples(st.integers(1, 12), st.integers(1, 12), st.just(3))
)


def assert_reads_alike(one: Pixels, other: Pixels) -> None:
    first, second = measure_cloth(light_of(one)), measure_cloth(light_of(other))
    assert first.lab == pytest.approx(second.lab, abs=1e-9)
    assert (first.low, first.high) == pytest.approx((second.low, second.high), abs=1e-4)
    assert mean_colour_hex(light_of(one)) == mean_colour_hex(light_of(other))


@given(pixels=pixels_of_any_cloth, quarters=st.integers(0, 3))
def test_value_is_unchanged_by_turning(pixels: Pixels, quarters: int) -> None:
    assert_reads_alike(pixels, np.ascontiguousarray(np.rot90(pixels, quarters)))


@given(pixels=pixels_of_any_cloth)
def test_value_is_unchanged_by_flipping(pixels: Pixels) -> None:
    assert_reads_alike(pixels, np.ascontiguousarray(pixels[::-1]))
    assert_reads_alike(pixels, np.ascontiguousarray(pixels[:, ::-1]))


@given(pixels=pixels_of_any_cloth, down=st.integers(1, 4), across=st.integers(1, 4))
def test_value_is_unchanged_by_tiling(pixels: Pixels, down: int, across: int) -> None:
    assert_reads_alike(pixels, np.tile(pixels, (down, across, 1)))


@given(pixels=pixels_of_any_cloth)
def test_value_lies_between_the_lightest_and_the_darkest_pixel(pixels: Pixels) -> None:
    reading = measure_cloth(light_of(pixels))
    each = [
        measure_cloth(light_of(pixel.reshape(1, 1, 3))).value for pixel in pixels.reshape(-1, 3)
    ]
    assert min(each) - 1e-9 <= reading.value <= max(each) + 1e-9
    assert reading.low <= reading.high


@st.composite
def weighed_sets(
    draw: st.DrawFn,
) -> tuple[dict[FabricId, float], dict[FabricId, float], int]:
    size = draw(st.integers(1, 8))
    values = draw(st.lists(st.integers(0, 20), min_size=size, max_size=size))
    weights = draw(st.lists(st.integers(1, 30), min_size=size, max_size=size))
    ids = [FabricId(f"f{at}") for at in range(size)]
    return (
        {name: value * 5.0 for name, value in zip(ids, values, strict=True)},
        {name: float(weight) for name, weight in zip(ids, weights, strict=True)},
        draw(st.integers(2, 4)),
    )


def inside(levels: dict[float, float], cuts: tuple[float, ...]) -> tuple[float, float]:
    """Give the weighted variance inside the steps and the weight of the lightest of them."""
    breaks = Breaks(cuts)
    spread, least = 0.0, float("inf")
    for step in range(breaks.count):
        part = {x: w for x, w in levels.items() if breaks.place(x) == step}
        mass = sum(part.values())
        mean = sum(x * w for x, w in part.items()) / mass
        spread += sum(w * (x - mean) ** 2 for x, w in part.items())
        least = min(least, mass)
    return spread, least


@given(drawn=weighed_sets())
def test_no_other_split_that_is_allowed_is_better(
    drawn: tuple[dict[FabricId, float], dict[FabricId, float], int],
) -> None:
    values, weights, k = drawn
    breaks = value_steps(values, weights, k)
    levels: dict[float, float] = {}
    for name, value in values.items():
        levels[value] = levels.get(value, 0.0) + weights[name]
    assert breaks.count == min(k, len(levels))
    rising = sorted(levels)
    between = [(low + high) / 2 for low, high in itertools.pairwise(rising)]
    assert set(breaks.borders) <= set(between)
    assert list(breaks.borders) == sorted(breaks.borders)
    splits = [
        inside(levels, cuts) for cuts in itertools.combinations(between, breaks.count - 1)
    ]
    most_even = max(least for _, least in splits)
    share = min(LEAST_SHARE, 1 / (2 * breaks.count)) * sum(levels.values())
    allowed = min(share, most_even)
    spread, least = inside(levels, breaks.borders)
    assert least >= allowed - 1e-6
    assert spread <= min(s for s, held in splits if held >= allowed - 1e-6) + 1e-6


@given(drawn=weighed_sets())
def test_lighter_cloths_never_fall_in_darker_steps(
    drawn: tuple[dict[FabricId, float], dict[FabricId, float], int],
) -> None:
    values, weights, k = drawn
    breaks = value_steps(values, weights, k)
    places = [breaks.place(value) for value in sorted(values.values())]
    assert places == sorted(places)
    assert set(places) == set(range(breaks.count))
