"""Measure photos: what can be told of each cloth, and its value step within the set."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import msgspec

from quiltboard.errands.bring_in import bring_in
from quiltboard.errands.plan import numbered_ids
from quiltboard.fabrics.colours import hue_family, warmth
from quiltboard.fabrics.fabric import Fabric, Step
from quiltboard.fabrics.reading import Direction, Repeat, Tint
from quiltboard.fabrics.set_reading import read_set
from quiltboard.fabrics.steps import steps_of
from quiltboard.fabrics.telling import (
    tell_colour,
    tell_direction,
    tell_light,
    tell_repeat,
    tell_size,
)
from quiltboard.photos.lighting import Reference
from quiltboard.units import to_mm


class Measured(msgspec.Struct, frozen=True):
    """What one cloth measures.

    Attributes
    ----------
    file
        As it was named.
    name
        What the cloth is called; several in one photo are numbered.
    lab
        CIE L*a*b* (D65, 2°) of the mean linear-light colour.
    value
        Its L*.
    step
        Its value step among the photos measured with it.
    calibrated
        What set its white and exposure, or None: then its value compares with no other.
    lamp
        Whether it was taken by lamp light.
    hue, warmth, chroma
        The family of its colour, and how strong it is.
    colours
        Up to six colours with their shares.
    contrast
        The standard deviation of L* in its print.
    solid
        Whether it reads as a plain cloth.
    width_mm
        How wide a stretch of cloth its swatch shows, if that is known.
    feature, repeat
        How large the print is and how it repeats, as fractions of that width.
    direction
        Whether it has a right way up.
    warnings
        What was decided about the photo, and what to mind.
    told
        The same in words.
    """

    file: str
    name: str
    lab: tuple[float, float, float]
    value: float
    step: Step
    calibrated: Reference | None
    lamp: bool
    hue: str
    warmth: Literal["warm", "cool", "neutral"]
    chroma: float
    colours: tuple[Tint, ...]
    contrast: float | None
    solid: bool | None
    width_mm: float | None
    feature: float | None
    repeat: Repeat | None
    direction: Direction | None
    warnings: tuple[str, ...]
    told: tuple[str, ...]


@dataclass(frozen=True)
class MeasuredSet:
    """The cloths that could be measured, what they say together, a line for each failure."""

    rows: tuple[Measured, ...]
    sentences: tuple[str, ...]
    problems: tuple[str, ...]


def measure_photos(photos: Sequence[Path]) -> MeasuredSet:
    """Measure photos, or folders and lists of them, as one set.

    Parameters
    ----------
    photos
        Files; one that cannot be read loses only itself.
    """
    brought = bring_in(photos, new_id=numbered_ids())
    steps = steps_of(brought.fabrics, {})
    return MeasuredSet(
        tuple(
            _measured(fabric, str(source or fabric.name), steps[fabric.id])
            for fabric, source in zip(brought.fabrics, brought.sources, strict=True)
        ),
        read_set(brought.fabrics, steps).sentences,
        brought.problems,
    )


def _measured(fabric: Fabric, file: str, step: Step) -> Measured:
    reading, swatch = fabric.reading, fabric.swatch
    print_ = reading.print
    _, a, b = reading.lab
    return Measured(
        file=file,
        name=fabric.name,
        lab=reading.lab,
        value=reading.value,
        step=step,
        calibrated=fabric.lighting.reference,
        lamp=fabric.lighting.lamp,
        hue=hue_family(reading.lab),
        warmth=warmth(reading.lab),
        chroma=math.hypot(a, b),
        colours=print_.tints if print_ else (),
        contrast=print_.contrast if print_ else None,
        solid=print_.solid if print_ else None,
        width_mm=to_mm(swatch.width) if swatch and swatch.width else None,
        feature=print_.feature if print_ else None,
        repeat=print_.repeat if print_ else None,
        direction=print_.direction if print_ else None,
        warnings=reading.warnings,
        told=(
            tell_colour(fabric),
            tell_size(fabric, "in"),
            tell_repeat(fabric, "in"),
            tell_direction(fabric),
            tell_light(fabric),
        ),
    )
