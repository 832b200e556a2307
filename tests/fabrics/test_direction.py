"""Whether a print has a right way up; not sure is an answer, the wrong one is not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest

from quiltboard.fabrics.direction import _odds, find_direction
from quiltboard.fabrics.reading import Repeat
from quiltboard.fabrics.repeat import find_repeat
from tests.helpers.pictures import plain
from tests.helpers.repeat_prints import (
    KINDS,
    Drawn,
    check_print,
    lattice_print,
    marble_print,
    same_lattice,
    solid_print,
    stripe_print,
    tossed_print,
    tossed_repeat_print,
    turned_rows_print,
)

Draw = Callable[[int], Drawn]

ONE_WAY: dict[str, Draw] = {
    "lattice": lambda seed: lattice_print(seed, KINDS[seed % 4]),
    "tossed": lambda seed: tossed_print(seed, "one-way"),
    "large tossed": lambda seed: tossed_print(seed, "one-way", large=True),
    "tossed repeat": lambda seed: tossed_repeat_print(seed, "one-way"),
}
TWO_WAY: dict[str, Draw] = {
    "lattice": lambda seed: lattice_print(seed, KINDS[seed % 4], way="two-way"),
    "tossed": lambda seed: tossed_print(seed, "two-way"),
    "large tossed": lambda seed: tossed_print(seed, "two-way", large=True),
    "tossed repeat": lambda seed: tossed_repeat_print(seed, "two-way"),
    "turned rows": turned_rows_print,
    "stripes": stripe_print,
    "check": check_print,
    "marble": marble_print,
    "solid": solid_print,
}


def _answers(draw: Draw, seeds: range) -> Counter[str]:
    drawn = [draw(seed).pixels for seed in seeds]
    return Counter(find_direction(pixels, find_repeat(pixels)).way for pixels in drawn)


@pytest.mark.parametrize("name", ONE_WAY)
def test_a_one_way_print_is_not_called_two_way(name: str) -> None:
    answers = _answers(ONE_WAY[name], range(100, 103))
    assert answers["two-way"] == 0
    assert answers["one-way"] >= 2


@pytest.mark.parametrize("name", TWO_WAY)
def test_a_two_way_print_is_not_called_one_way(name: str) -> None:
    assert _answers(TWO_WAY[name], range(100, 102))["one-way"] == 0


@pytest.mark.soak
def test_hardly_ever_is_a_one_way_print_called_two_way() -> None:
    answers: Counter[str] = Counter()
    for name, draw in ONE_WAY.items():
        of_these = _answers(draw, range(1000, 1200))
        print(name, dict(of_these))  # noqa: T201
        answers += of_these
    assert answers["two-way"] <= 0.02 * answers.total()
    assert answers["not sure"] <= 0.15 * answers.total()


@pytest.mark.soak
@pytest.mark.parametrize("name", TWO_WAY)
def test_hardly_ever_is_a_two_way_print_called_one_way(name: str) -> None:
    answers = _answers(TWO_WAY[name], range(1000, 1100))
    print(name, dict(answers))  # noqa: T201
    assert answers["one-way"] <= 0.05 * answers.total()


def test_a_plain_cloth_has_no_right_way_up() -> None:
    found = find_direction(plain((120, 90, 60)), Repeat("none", (), 1.0))
    assert (found.way, found.confidence) == ("two-way", 1.0)


def test_a_print_nearly_alike_half_turned_is_not_judged() -> None:
    drawn = lattice_print(17, "brick")
    repeat = find_repeat(drawn.pixels)
    assert same_lattice(repeat.steps, drawn.steps)
    assert find_direction(drawn.pixels, repeat).way == "not sure"


def test_places_that_are_all_the_same_are_no_witnesses() -> None:
    features = np.random.default_rng(2).normal(size=(5, 144, 192)).astype(np.float32)
    steps = np.asarray(np.indices((60, 60)).reshape(2, -1).T * 12 - 360, dtype=np.float64)
    assert _odds(features, 64, steps) == 0


@pytest.mark.parametrize("way", ["one-way", "two-way"])
def test_turned_or_mirrored_the_answer_stays(way: str) -> None:
    pixels = lattice_print(
        21, "square", way="one-way" if way == "one-way" else "two-way"
    ).pixels
    for other in (pixels[::-1], pixels[:, ::-1], np.rot90(pixels)):
        turned = np.ascontiguousarray(other)
        assert find_direction(turned, find_repeat(turned)).way == way


@pytest.mark.parametrize("shape", [(1, 1), (1, 300), (7, 9), (40, 300)])
def test_of_a_scrap_something_is_said(shape: tuple[int, int]) -> None:
    noise = np.random.default_rng(1).integers(0, 256, (*shape, 3), dtype=np.uint8)
    assert 0 <= find_direction(noise, find_repeat(noise)).confidence <= 1
