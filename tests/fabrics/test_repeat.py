"""The repeat of a print: found where there is one, within 2 %, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from PIL import Image

from quiltboard.fabrics.reading import RepeatKind
from quiltboard.fabrics.repeat import find_repeat
from tests.helpers.repeat_prints import (
    APERIODIC,
    KINDS,
    Drawn,
    check_print,
    lattice_print,
    same_lattice,
    stripe_print,
    tossed_repeat_print,
    turned_rows_print,
)

Draw = Callable[[int], Drawn]


def _on_lattice(kind: RepeatKind) -> Draw:
    return lambda seed: lattice_print(seed, kind, way="two-way" if seed % 3 == 0 else "one-way")


REPEATING: dict[str, Draw] = {
    **{kind: _on_lattice(kind) for kind in KINDS},
    "stripes": stripe_print,
    "check": check_print,
    "turned rows": turned_rows_print,
    "tossed repeat": lambda seed: tossed_repeat_print(
        seed, "two-way" if seed % 2 else "one-way"
    ),
}


def _share_found(draw: Draw, seeds: range) -> float:
    drawn = [draw(seed) for seed in seeds]
    return float(
        np.mean([same_lattice(find_repeat(each.pixels).steps, each.steps) for each in drawn])
    )


@pytest.mark.parametrize("name", REPEATING)
def test_repeats_are_found(name: str) -> None:
    assert _share_found(REPEATING[name], range(100, 102)) == 1


@pytest.mark.soak
@pytest.mark.parametrize("name", REPEATING)
def test_repeats_are_found_time_and_again(
    name: str, record_property: Callable[[str, object], None]
) -> None:
    share = _share_found(REPEATING[name], range(1000, 1100))
    print(f"{name}: {share:.3f} found")  # noqa: T201
    record_property(name, share)
    assert share >= 0.95


@pytest.mark.parametrize("number", range(len(APERIODIC)))
def test_no_repeat_is_seen_where_there_is_none(number: int) -> None:
    found = find_repeat(APERIODIC[number](100).pixels)
    assert (found.kind, found.steps) == ("none", ())


@pytest.mark.soak
def test_hardly_ever_is_a_repeat_seen_where_there_is_none() -> None:
    seen = [
        find_repeat(draw(seed).pixels).kind != "none"
        for draw in APERIODIC
        for seed in range(1000, 1050)
    ]
    print(f"{np.mean(seen):.4f} of {len(seen)} seen")  # noqa: T201
    assert np.mean(seen) <= 0.03


@pytest.mark.parametrize("kind", KINDS)
def test_a_repeat_scales_with_the_picture(kind: RepeatKind) -> None:
    drawn = lattice_print(7, kind)
    height, width, _ = drawn.pixels.shape
    small = Image.fromarray(drawn.pixels).resize((width * 7 // 10, height * 7 // 10))
    found, again = find_repeat(drawn.pixels), find_repeat(np.asarray(small))
    assert found.kind == again.kind
    assert same_lattice(again.steps, found.steps, 0.01)


@pytest.mark.parametrize("kind", KINDS)
def test_turning_the_picture_turns_the_repeat(kind: RepeatKind) -> None:
    drawn = lattice_print(8, kind, size=(512, 512))
    turned = tuple((-y, x) for x, y in find_repeat(drawn.pixels).steps)
    quarter = np.ascontiguousarray(np.rot90(drawn.pixels, -1))
    assert same_lattice(find_repeat(quarter).steps, turned, 0.005)


def test_steps_are_told_the_shorter_first_and_to_the_right() -> None:
    one, other = find_repeat(lattice_print(9, "diagonal").pixels).steps
    assert np.hypot(*one) <= np.hypot(*other)
    assert min(one[0], other[0]) >= 0


def test_noise_never_makes_it_surer() -> None:
    clean = lattice_print(10, "square", size=(640, 480)).pixels
    blots = np.random.default_rng(10).normal(size=(120, 160))
    noise = np.kron(blots, np.ones((4, 4)))[..., np.newaxis]
    noisy = [
        find_repeat(np.clip(clean + amount * noise, 0, 255).astype(np.uint8))
        for amount in (0, 10, 20, 30)
    ]
    assert {found.kind for found in noisy} == {"square"}
    sure = [found.confidence for found in noisy]
    assert sure == sorted(sure, reverse=True)
    assert sure[0] > sure[-1]


@pytest.mark.parametrize("shape", [(1, 1), (1, 300), (300, 1), (7, 9), (40, 300)])
def test_a_scrap_too_small_to_repeat_has_none(shape: tuple[int, int]) -> None:
    noise = np.random.default_rng(1).integers(0, 256, (*shape, 3), dtype=np.uint8)
    assert find_repeat(noise).kind == "none"
