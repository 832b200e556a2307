"""Measure photos: colour, value, and the value step within the set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import msgspec

from quiltboard.errands.bring_in import bring_in
from quiltboard.errands.plan import numbered_ids
from quiltboard.fabrics.fabric import Step
from quiltboard.fabrics.steps import steps_of


class Measured(msgspec.Struct, frozen=True):
    """What one photo measures.

    Attributes
    ----------
    file
        As it was named.
    lab
        CIE L*a*b* (D65, 2°) of the mean linear-light colour.
    value
        Its L*.
    step
        Its value step among the photos measured with it.
    warnings
        What was decided about the photo, and what to mind.
    """

    file: str
    lab: tuple[float, float, float]
    value: float
    step: Step
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class MeasuredSet:
    """The photos that could be read, and a line for each that could not."""

    rows: tuple[Measured, ...]
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
            Measured(
                file=str(source or fabric.name),
                lab=fabric.reading.lab,
                value=fabric.reading.value,
                step=steps[fabric.id],
                warnings=fabric.reading.warnings,
            )
            for fabric, source in zip(brought.fabrics, brought.sources, strict=True)
        ),
        brought.problems,
    )
