"""The lines of a mat or a ruler give the true scale."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest

from quiltboard.photos.grid_lines import NO_LINES, NO_SPACING, OUTSIDE, grid_ruler
from quiltboard.photos.light import Pixels
from quiltboard.photos.ruler import Ruler, ScaleError, swatch_width
from quiltboard.units import Length, inches, millimetres, to_mm
from tests.helpers.scale_scenes import (
    Scene,
    Spot,
    lay_ruler,
    mat_scene,
    rule_mat,
    ruler_scene,
    turned_once,
)
from tests.helpers.seen_table import Camera, Table, rectangle

Kind = Literal["mat", "inches", "centimetres"]
SPACINGS = {"mat": inches(1), "inches": inches(1), "centimetres": millimetres(10)}
LEVEL = Camera((1200, 900))
LEAST_RIGHT = {"mat": 90, "inches": 80, "centimetres": 90}
"""Of a hundred; where it is wrong, it is mostly by taking half lines for whole ones."""


def scene_of(kind: Kind, seed: int) -> tuple[Scene, Spot]:
    rng = np.random.default_rng(seed)
    if kind == "mat":
        return mat_scene(rng)
    return ruler_scene(rng, metric=kind == "centimetres")


def width_error(ruler: Ruler, scene: Scene) -> float:
    swatch_px = (10_000, round(10_000 * scene.height_mm / scene.width_mm))
    width = swatch_width(ruler, scene.cloth, scene.camera.size_px, swatch_px)
    return to_mm(width) / scene.width_mm - 1


def right(kind: Kind, seeds: range) -> int:
    """Count the scenes whose width comes out within a hundredth."""
    count = 0
    for seed in seeds:
        scene, at = scene_of(kind, seed)
        count += abs(width_error(grid_ruler(scene.pixels, at, SPACINGS[kind]), scene)) <= 0.01
    return count


@pytest.mark.parametrize("kind", ["mat", "inches", "centimetres"])
def test_lines_give_the_true_width(kind: Kind) -> None:
    assert right(kind, range(100, 103)) >= 2


@pytest.mark.soak
@pytest.mark.timeout(3000)
@pytest.mark.parametrize("kind", ["mat", "inches", "centimetres"])
def test_many_mats_and_rulers(kind: Kind) -> None:
    assert right(kind, range(100)) >= LEAST_RIGHT[kind]


def mat(*, light: bool, halves: bool = True, eighths: bool = True) -> Pixels:
    table = Table((400, 300), per_mm=6)
    whole = rectangle((0, 0), 400, 300)
    table.polygon(whole, (45, 85, 75) if light else (210, 215, 205))
    ink = (200, 215, 200) if light else (70, 75, 90)
    rule_mat(table, whole, 25.4, ink, halves=halves, eighths=eighths)
    return table.photo(LEVEL)


@pytest.mark.parametrize("light", [True, False])
@pytest.mark.parametrize("halves", [True, False])
def test_the_strongest_lines_of_a_mat_count(light: bool, halves: bool) -> None:
    ruler = grid_ruler(mat(light=light, halves=halves), (0.47, 0.53), inches(1))
    assert ruler.by == "grid"
    start, end = (np.array(at) * LEVEL.size_px for at in (ruler.start, ruler.end))
    assert np.hypot(*(end - start)) / 3 == pytest.approx(to_mm(ruler.length), rel=2e-3)
    assert ruler.length >= inches(6)


@pytest.mark.parametrize(
    ("metric", "spacing"),
    [
        (True, millimetres(10)),
        (True, millimetres(1)),
        (False, inches(1)),
        (False, inches("1/8")),
        (False, inches("1/16")),
    ],
)
def test_long_and_short_marks_of_a_ruler(metric: bool, spacing: Length) -> None:
    table = Table((200, 150), per_mm=12)
    lay_ruler(table, (0, 0), 170, 12, ((240, 235, 220), (30, 30, 30)), metric=metric)
    camera = Camera((1600, 1200), seen_mm=200)
    at = camera.seen(rectangle((0, 0), 1, 22, 12)[:1])[0]
    ruler = grid_ruler(table.photo(camera), (float(at[0]), float(at[1])), spacing)
    start, end = (np.array(place) * camera.size_px for place in (ruler.start, ruler.end))
    assert np.hypot(*(end - start)) / 8 == pytest.approx(to_mm(ruler.length), rel=3e-3)


def test_a_photo_turned_by_a_quarter_tells_the_same() -> None:
    scene, (x, y) = scene_of("mat", 3)
    ruler = grid_ruler(turned_once(scene), (1 - y, x), inches(1))
    back = Ruler(
        (ruler.start[1], 1 - ruler.start[0]), (ruler.end[1], 1 - ruler.end[0]), ruler.length
    )
    assert abs(width_error(back, scene)) < 0.01


@pytest.mark.parametrize(
    ("at", "spacing", "said"),
    [
        ((1.2, 0.5), inches(1), OUTSIDE),
        ((0.5, float("nan")), inches(1), OUTSIDE),
        ((0.5, 0.5), Length(0), NO_SPACING),
        ((0.5, 0.5), inches(1), NO_LINES),
    ],
)
@pytest.mark.parametrize("shape", [(600, 800, 3), (20, 30, 3)])
def test_places_without_lines(
    at: Spot, spacing: Length, said: str, shape: tuple[int, int, int]
) -> None:
    with pytest.raises(ScaleError) as told:
        grid_ruler(np.full(shape, 130, dtype=np.uint8), at, spacing)
    assert str(told.value) == said
