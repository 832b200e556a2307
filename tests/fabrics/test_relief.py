"""A piece cut from a large print has the value of the part that it shows."""

from __future__ import annotations

import math

import numpy as np
import pytest

from quiltboard.fabrics.reading import RELIEF_SIDE, Vector
from quiltboard.fabrics.relief import Points, points_in, relief_of, relief_value
from quiltboard.photos.light import LIGHT_OF, Light, Pixels, light_of
from quiltboard.photos.lightness import XYZ_OF_LIGHT, value_of_luminance
from tests.helpers.known_prints import checks, dots, printed, tossed

WEDGE = ((-0.35, 0.0), (-0.5, 1.3), (0.0, 1.6), (0.5, 1.3), (0.35, 0.0))
SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


def exact_value(light: Light, points: Points) -> float:
    """Read the pixels themselves, mirrored outside."""
    high, wide, _ = light.shape
    within = 1 - np.abs(1 - points % 2)
    across = np.minimum((within[:, 0] * wide).astype(int), wide - 1)
    down = np.minimum((within[:, 1] * high).astype(int), high - 1)
    return float(value_of_luminance((light[down, across] @ XYZ_OF_LIGHT[1]).mean()))


def wedge(wide: float, turn_deg: float, at: Vector) -> tuple[Vector, ...]:
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return tuple(
        (at[0] + wide * (x * cos - y * sin), at[1] + wide * (x * sin + y * cos))
        for x, y in WEDGE
    )


def errors(pixels: Pixels, wide: float, tries: int) -> list[float]:
    """Tell how far the value of pieces cut anywhere, any way, is from the exact one."""
    light = light_of(pixels)
    relief = relief_of(light)
    rng = np.random.default_rng(5)
    found = []
    for _ in range(tries):
        x, y, turn = rng.uniform((-0.5, -0.5, 0), (1.5, 1.5, 360))
        outline = wedge(wide, turn, (x, y))
        exact = exact_value(light, points_in(outline, 20_000))
        found.append(abs(relief_value(relief, points_in(outline)) - exact))
    return found


LARGE = {
    "tossed 0.3": tossed(0.3, seed=2),
    "tossed 0.15": tossed(0.15, seed=2),
    "dots 0.1": dots(0.1),
    "checks 0.1": checks(0.1),
}


@pytest.mark.parametrize("name", LARGE)
@pytest.mark.parametrize("wide", [1 / 6, 0.3])
def test_a_piece_has_the_value_of_what_it_shows(name: str, wide: float) -> None:
    pixels = printed(LARGE[name], "#2b7a7f", "#d59a33", weave=0.1, grain=0.05)
    assert max(errors(pixels, wide, 25)) < 0.5


@pytest.mark.parametrize("name", LARGE)
def test_navy_and_cream_are_told_nearly_as_well(name: str) -> None:
    """An L* of a dark piece hangs on a few light specks at its edge."""
    found = errors(printed(LARGE[name], "#14223f", "#f3ead8", weave=0.1), 0.3, 40)
    assert np.mean(found) < 0.3
    assert np.quantile(found, 0.95) < 0.8


def test_pieces_of_a_large_print_differ() -> None:
    relief = relief_of(light_of(printed(tossed(0.3, seed=2), "#14223f", "#f3ead8")))
    values = [
        relief_value(relief, points_in(wedge(1 / 6, 0.0, (x, 0.4))))
        for x in (0.1, 0.3, 0.5, 0.7)
    ]
    assert max(values) - min(values) > 20


@pytest.mark.parametrize("shape", [(64, 64), (97, 131), (20, 50)])
def test_the_whole_has_the_value_of_the_whole(shape: tuple[int, int]) -> None:
    light = np.random.default_rng(3).random((*shape, 3))
    relief = relief_of(light)
    assert len(relief) == RELIEF_SIDE**2
    mean = float(value_of_luminance((light @ XYZ_OF_LIGHT[1]).mean()))
    assert relief_value(relief, points_in(SQUARE, 10_000)) == pytest.approx(mean, abs=0.1)


def test_rows_come_first_and_every_cell_holds_its_own_part() -> None:
    light = np.zeros((2 * RELIEF_SIDE, 2 * RELIEF_SIDE, 3))
    light[0:2, 6:8] = 1.0
    light[4, 0:2] = 1.0
    relief = np.frombuffer(relief_of(light), dtype=np.uint8)
    assert relief[3] == 255
    assert LIGHT_OF[relief[2 * RELIEF_SIDE]] == pytest.approx(0.5, abs=0.005)
    assert np.count_nonzero(relief) == 2


def test_beyond_the_swatch_the_print_is_mirrored() -> None:
    relief = relief_of(light_of(printed(tossed(0.3, seed=2), "#14223f", "#f3ead8")))
    points = points_in(wedge(0.3, 20.0, (0.4, 0.3)))
    value = relief_value(relief, points)
    for ways, along in (
        ((-1, 1), (0, 0)),
        ((1, -1), (0, 0)),
        ((-1, 1), (2, 0)),
        ((1, 1), (2, -4)),
    ):
        mirrored = points * np.array(ways) + np.array(along)
        assert relief_value(relief, mirrored) == pytest.approx(value, abs=1e-9)


def test_a_black_piece_is_black() -> None:
    light = np.zeros((64, 64, 3))
    light[:, 32:] = 1.0
    black = points_in(((0.1, 0.1), (0.45, 0.1), (0.45, 0.9), (0.1, 0.9)))
    assert relief_value(relief_of(light), black) == pytest.approx(0, abs=0.5)


def test_points_are_spread_evenly_over_a_piece() -> None:
    points = points_in(WEDGE, 1000)
    assert len(points) == pytest.approx(1000, rel=0.03)
    area = 0.85 * 1.3 + 0.5 * 1.0 * 0.3
    assert points[:, 0].mean() == pytest.approx(0, abs=0.01)
    lower = 0.7 * 0.65 + 0.075 * 0.65
    assert (points[:, 1] < 0.65).mean() == pytest.approx(lower / area, abs=0.02)
    assert (points[:, 1] > 0).all()
    turned_round = points_in(WEDGE[::-1], 1000)
    assert (turned_round == points).all()


def test_a_piece_without_area() -> None:
    with pytest.raises(ValueError, match="without area"):
        points_in(((0.0, 0.0), (1.0, 1.0), (0.5, 0.5)))
