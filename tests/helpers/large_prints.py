"""Invented cloths printed so large that a wedge shows only a part of a motif."""

from __future__ import annotations

import msgspec
import numpy as np

from quiltboard.fabrics.fabric import CutWedges, Fabric, FabricId, Reading
from quiltboard.fabrics.reading import Direction, Print, Repeat
from quiltboard.fabrics.relief import relief_of
from quiltboard.photos.light import Pixels, light_of
from quiltboard.photos.lightness import lab_of_light
from quiltboard.project.project import Project
from quiltboard.quilt.board import Block, empty_board
from quiltboard.units import Length, inches
from tests.helpers.projects import swatch_of


def drifts(seed: int, width_px: int = 192, height_px: int = 160) -> Pixels:
    """Print pale drifts that run out softly into a dark ground, anew for each seed."""
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[0:height_px, 0:width_px] / width_px
    waves = sum(
        np.cos(2 * np.pi * (across * x + down * y) + turn)
        for across, down, turn in zip(
            rng.uniform(-2, 2, 4), rng.uniform(-2, 2, 4), rng.uniform(0, 2 * np.pi, 4),
            strict=True,
        )
    )  # fmt: skip
    grey = (118 + 108 * np.tanh(2 * waves)).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=2)


def large_print(
    name: str, pixels: Pixels, width: Length | None = None, feature: float | None = 0.4
) -> Fabric:
    """Give a fabric that has been measured as far as a large print's value needs."""
    light = light_of(pixels)
    mean, *_ = lab_of_light(light.mean(axis=(0, 1), keepdims=True))[0]
    low, high = np.quantile(lab_of_light(light)[..., 0], (0.25, 0.75))
    print_ = Print(
        tints=(),
        contrast=20.0,
        feature=feature,
        solid=feature is None,
        repeat=Repeat("none", (), 0.0),
        direction=Direction("not sure", 0.0),
        relief=relief_of(light),
    )
    value, a, b = (float(part) for part in mean)
    return Fabric(
        id=FabricId(name),
        name=name,
        reading=Reading((value, a, b), float(low), float(high), print=print_),
        colour="#808080",
        swatch=swatch_of(pixels, width),
        amounts=(CutWedges(60),),
    )


def plain_cloth(name: str, value: float) -> Fabric:
    """Give a plain fabric of some L*."""
    return Fabric(FabricId(name), name, Reading((value, 0.0, 0.0), value, value), "#808080",
                  amounts=(CutWedges(60),))  # fmt: skip


def large_print_project(across: int = 2, n: int = 12) -> Project:
    """Lay a large print on every second wedge, with three plain cloths between."""
    drift = large_print("drift", drifts(1), inches(9))
    plains = tuple(plain_cloth(f"plain {value}", value) for value in (35, 50, 65))
    ring = tuple(drift.id if w % 2 else plains[w // 2 % 3].id for w in range(n))
    board = msgspec.structs.replace(empty_board(across, 1, n), blocks=(Block(ring),) * across)
    return Project("Drifting", board, (drift, *plains))
