"""Reading a set of fabrics together: what looks alike, what is missing, what rests on trust.

Nothing here is known better than the photos tell it. A comparison that rests on a photo without
a card says so in its own sentence.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

import msgspec
import numpy as np
import numpy.typing as npt

from quiltboard.fabrics.fabric import STEPS, Fabric, FabricId, Step
from quiltboard.fabrics.measure import delta_e_2000

ALIKE_BELOW: Final = 5.0
"""CIEDE2000 below which two cloths read as one from across the room."""
SCALE_APART: Final = 2.0
"""How many times larger a print must be to tell two cloths of one colour apart."""
BOLD_CONTRAST: Final = 8.0
"""Standard deviation of L* from which a print is seen from across the room at all."""
LEAST_GAP: Final = 15.0
"""How wide, in L*, a stretch without any cloth must be before it is a missing step."""
DARK_ENOUGH: Final = 35.0
LIGHT_ENOUGH: Final = 75.0
"""A set whose darkest cloth is lighter than the one, or whose lightest is darker than the
other, has an end missing."""
MOST_NAMES: Final = 6
MOST_PAIRS: Final = 4
"""So many are named before the rest are only counted."""

_WIDEST_LIGHTNESS: Final = 1.75
"""The most that CIEDE2000 divides a difference in L* by (at L* 0 and 100 it is 1.747)."""
_IF_TRUSTED: Final = ", if the photos can be trusted"


class Point(msgspec.Struct, frozen=True):
    """Where one fabric stands in the set.

    Attributes
    ----------
    fabric, name
        Which one.
    colour
        sRGB ``#rrggbb`` that it mixes to from across the room.
    value
        L*, as set by hand or measured.
    hue_deg
        CIELAB hue angle h_ab, 0 to below 360; of no meaning where there is no chroma.
    chroma
        CIELAB chroma.
    step
        Its value step.
    calibrated
        Whether its photo can be compared with others.
    """

    fabric: FabricId
    name: str
    colour: str
    value: float
    hue_deg: float
    chroma: float
    step: Step
    calibrated: bool


class Alike(msgspec.Struct, frozen=True):
    """Two fabrics that read as one from across the room.

    Attributes
    ----------
    first, second
        The two, in the order of the set.
    difference
        CIEDE2000 between what they mix to.
    """

    first: Point
    second: Point
    difference: float

    @property
    def trusted(self) -> bool:
        """Whether both photos can be compared."""
        return self.first.calibrated and self.second.calibrated

    @property
    def sentence(self) -> str:
        """Say it to the maker."""
        return (
            f"{self.first.name} and {self.second.name} read as one from across the room"
            f" (ΔE {self.difference:.1f}){'' if self.trusted else _IF_TRUSTED}."
        )


class Gap(msgspec.Struct, frozen=True):
    """A stretch of values in which the set has no cloth.

    Attributes
    ----------
    low, high
        L* of the cloths on either side; None where the set ends there.
    trusted
        Whether those cloths' photos can be compared.
    """

    low: float | None
    high: float | None
    trusted: bool

    @property
    def sentence(self) -> str:
        """Say it to the maker, in the whole numbers that the cloths are shown with."""
        if self.low is None:
            said = f"Nothing darker than L* {self.high:.0f}"
        elif self.high is None:
            said = f"Nothing lighter than L* {self.low:.0f}"
        else:
            said = f"Nothing between L* {self.low:.0f} and {self.high:.0f}"
        return f"{said}{'' if self.trusted else _IF_TRUSTED}."


class Border(msgspec.Struct, frozen=True):
    """Where one value step of the set ends and the next begins.

    Attributes
    ----------
    darker, lighter
        The steps on either side.
    value
        L* halfway between the cloths nearest to it.
    """

    darker: Step
    lighter: Step
    value: float


class SetReading(msgspec.Struct, frozen=True):
    """What a set of fabrics tells when it is read together.

    Attributes
    ----------
    points
        Every fabric's place, from dark to light.
    borders
        Where its value steps part, from dark to light.
    alike
        Look-alikes, the nearest pairs first.
    gaps
        Missing steps, from dark to light.
    uncalibrated, by_lamp
        Fabrics whose photos were not calibrated, or were taken by lamp light, from dark to
        light.
    """

    points: tuple[Point, ...]
    borders: tuple[Border, ...]
    alike: tuple[Alike, ...]
    gaps: tuple[Gap, ...]
    uncalibrated: tuple[Point, ...]
    by_lamp: tuple[Point, ...]

    @property
    def alike_sentences(self) -> tuple[str, ...]:
        """Say which fabrics look alike: the nearest pairs by name, the others counted."""
        said = [pair.sentence for pair in self.alike[:MOST_PAIRS]]
        more = len(self.alike) - MOST_PAIRS
        if more > 0:
            said.append("1 more pair does." if more == 1 else f"{more:,} more pairs do.")
        return tuple(said)

    @property
    def gap_sentences(self) -> tuple[str, ...]:
        """Say which steps are missing."""
        return tuple(gap.sentence for gap in self.gaps)

    @property
    def photo_sentences(self) -> tuple[str, ...]:
        """Say which photos' values or colours are to be taken with care, and what mends it."""
        said = []
        if self.uncalibrated:
            photos, count = name_some(self.uncalibrated), len(self.uncalibrated)
            said.append(
                (
                    f"1 photo has no card in it ({photos}): its value may be off, and is"
                    " compared with the others only with that in mind."
                    if count == 1
                    else f"{count:,} photos have no card in them ({photos}): their values may"
                    " be off, and are compared with the others only with that in mind."
                )
                + " A white card beside the cloth mends it; so does a value set by hand."
            )
        if self.by_lamp:
            photos, count = name_some(self.by_lamp), len(self.by_lamp)
            said.append(
                f"1 photo was taken by lamp light ({photos}): its colours may be off."
                if count == 1
                else f"{count:,} photos were taken by lamp light ({photos}): their colours"
                " may be off."
            )
            said[-1] += " Daylight by a window mends it."
        return tuple(said)

    @property
    def sentences(self) -> tuple[str, ...]:
        """Say all of it."""
        return self.alike_sentences + self.gap_sentences + self.photo_sentences


def read_set(fabrics: Sequence[Fabric], steps: Mapping[FabricId, Step]) -> SetReading:
    """Read a set of fabrics together, as they will be seen.

    Two fabrics look alike where the colours they mix to differ by less than 5 (CIEDE2000), an
    L* set by hand taken instead of the measured one. The print tells two such cloths apart only
    where both prints' true sizes are known, one is more than twice as large, and its contrast
    is bold. A print that reads as solid, is faint, or is of a size that is not known tells
    nothing apart: the pair is named rather than kept quiet.

    Parameters
    ----------
    fabrics
        The set; any order, any number.
    steps
        The value step of each.

    Returns
    -------
    SetReading

    Raises
    ------
    KeyError
        If a fabric has no step.

    References
    ----------
    Sharma, Wu and Dalal 2005, doi 10.1002/col.20070, CIEDE2000; CIE 015:2018, h_ab and C*_ab.
    """
    placed = sorted(
        ((_point(fabric, steps[fabric.id]), fabric) for fabric in fabrics),
        key=lambda pair: (pair[0].value, pair[0].name),
    )
    points = tuple(point for point, _ in placed)
    return SetReading(
        points=points,
        borders=_find_borders(points),
        alike=_find_alike(points, [fabric for _, fabric in placed]),
        gaps=_find_gaps(points),
        uncalibrated=tuple(point for point in points if not point.calibrated),
        by_lamp=tuple(point for point, fabric in placed if fabric.lighting.lamp),
    )


def name_some(points: Sequence[Point]) -> str:
    """Name up to six fabrics, and count the others.

    Examples
    --------
    >>> from quiltboard.fabrics.fabric import FabricId
    >>> def named(name):
    ...     return Point(FabricId(name), name, "#777777", 50.0, 0.0, 0.0, "medium", True)
    >>> name_some([named("Kelp"), named("Lantern"), named("Salt Flat")])
    'Kelp, Lantern and Salt Flat'
    """
    names = [point.name for point in points[:MOST_NAMES]]
    more = len(points) - MOST_NAMES
    if more > 0:
        names.append(f"{more:,} more")
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def _point(fabric: Fabric, step: Step) -> Point:
    _, a, b = fabric.reading.lab
    return Point(
        fabric=fabric.id,
        name=fabric.name,
        colour=fabric.colour,
        value=fabric.value,
        hue_deg=math.degrees(math.atan2(b, a)) % 360.0,
        chroma=math.hypot(a, b),
        step=step,
        calibrated=fabric.calibrated,
    )


def _find_borders(points: Sequence[Point]) -> tuple[Border, ...]:
    """Find where steps part; a border that a step set by hand reaches across is left out."""
    values: dict[Step, list[float]] = {}
    for point in points:
        values.setdefault(point.step, []).append(point.value)
    from_dark = [step for step in reversed(STEPS) if step in values and step != "mixed"]
    return tuple(
        Border(darker, lighter, (values[darker][-1] + values[lighter][0]) / 2)
        for darker, lighter in pairwise(from_dark)
        if values[darker][-1] < values[lighter][0]
    )


def _find_gaps(points: Sequence[Point]) -> tuple[Gap, ...]:
    if not points:
        return ()
    gaps = []
    darkest, lightest = points[0], points[-1]
    if darkest.value > DARK_ENOUGH:
        gaps.append(Gap(None, darkest.value, darkest.calibrated))
    gaps += [
        Gap(low.value, high.value, low.calibrated and high.calibrated)
        for low, high in pairwise(points)
        if high.value - low.value >= LEAST_GAP
    ]
    if lightest.value < LIGHT_ENOUGH:
        gaps.append(Gap(lightest.value, None, lightest.calibrated))
    return tuple(gaps)


def _find_alike(points: Sequence[Point], fabrics: Sequence[Fabric]) -> tuple[Alike, ...]:
    """Compare every two fabrics, both in the same order, from dark to light."""
    lab = np.array([fabric.reading.lab for fabric in fabrics], dtype=np.float64).reshape(-1, 3)
    lab[:, 0] = [point.value for point in points]
    first, second = np.triu_indices(len(points), k=1)
    # Most pairs are parted by their lightness alone.
    near = lab[second, 0] - lab[first, 0] < ALIKE_BELOW * _WIDEST_LIGHTNESS
    first, second = first[near], second[near]
    difference = delta_e_2000(lab[first], lab[second])
    features, bold = _features(fabrics)
    with np.errstate(invalid="ignore"):  # a size that is not known compares as like
        one, other = features[first], features[second]
        larger = np.where(one > other, first, second)
        apart = np.maximum(one, other) > SCALE_APART * np.minimum(one, other)
    found = np.flatnonzero((difference < ALIKE_BELOW) & ~(apart & bold[larger]))
    return tuple(
        Alike(points[first[k]], points[second[k]], float(difference[k]))
        for k in found[np.argsort(difference[found], kind="stable")]
    )


def _features(
    fabrics: Sequence[Fabric],
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_]]:
    """Give each print's true size in 1/320 mm (nan: not known, or solid), and if it is bold."""
    sizes, bold = [], []
    for fabric in fabrics:
        found, swatch = fabric.reading.print, fabric.swatch
        size = math.nan
        if found and found.feature and swatch and swatch.width and not fabric.by_hand.solid:
            size = found.feature * swatch.width
        sizes.append(size)
        bold.append(found is not None and found.contrast >= BOLD_CONTRAST)
    return np.array(sizes, dtype=np.float64), np.array(bold, dtype=np.bool_)
