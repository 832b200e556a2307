"""What a cloth measures, as data.

Sizes and vectors inside a print are fractions of the swatch's *width*, along and across
alike (x to the right, y down): they hold before the scale is known, and become lengths with it.
"""

from __future__ import annotations

from typing import Final, Literal, get_args

import msgspec

Lab = tuple[float, float, float]
"""CIE L*a*b* (D65, 2°)."""

Step = Literal[
    "lightest", "light", "light medium", "medium", "dark medium", "dark", "darkest", "mixed"
]
"""Value steps from light to dark; a set of three has light, medium and dark."""
STEPS: Final[tuple[Step, ...]] = get_args(Step)

RepeatKind = Literal["none", "stripes", "square", "half-drop", "brick", "diagonal"]
"""``square`` is any repeat in straight rows and columns. In a ``half-drop`` each column is let
down by half a repeat, in a ``brick`` each row is moved aside by half; any other lattice is
``diagonal``."""

Way = Literal["one-way", "two-way", "not sure"]

Vector = tuple[float, float]

RELIEF_SIDE: Final = 64
"""The relief of a swatch is so many luminances across and down."""


class Tint(msgspec.Struct, frozen=True):
    """One of a print's colours.

    Attributes
    ----------
    lab
        Its colour.
    share
        How much of the cloth it covers, 0 to 1.
    """

    lab: Lab
    share: float


class Repeat(msgspec.Struct, frozen=True):
    """How a print repeats.

    Attributes
    ----------
    kind
        The lattice; ``none`` where no repeat was found.
    steps
        The shortest vectors that take the print onto itself: none, one (across the stripes) or
        two (the shorter first).
    confidence
        How sure that is, 0 to 1.
    """

    kind: RepeatKind
    steps: tuple[Vector, ...]
    confidence: float


class Direction(msgspec.Struct, frozen=True):
    """Whether a print has a right way up.

    Attributes
    ----------
    way
        The answer; ``not sure`` is one.
    confidence
        How sure, 0 to 1.
    """

    way: Way
    confidence: float


class Print(msgspec.Struct, frozen=True):
    """What the print on a cloth is like.

    Attributes
    ----------
    tints
        Up to six colours, the largest share first.
    contrast
        The standard deviation of L* inside the print, the weave left out.
    feature
        How large its dominant features are (their diameter, a fraction of the swatch's width);
        None for a cloth that reads as solid.
    solid
        Whether it reads as a plain cloth from across the room.
    repeat, direction
        How it repeats, and whether it has a right way up.
    relief
        Its luminance from place to place, for the value of a piece cut from one part: 64 × 64
        bytes, rows first, each the sRGB encoding (0 to 255) of a mean luminance.
    """

    tints: tuple[Tint, ...]
    contrast: float
    feature: float | None
    solid: bool
    repeat: Repeat
    direction: Direction
    relief: bytes


class Reading(msgspec.Struct, frozen=True):
    """What a swatch measures.

    Attributes
    ----------
    lab
        CIE L*a*b* (D65, 2°) of the mean linear-light colour.
    low, high
        L* below which a quarter, and three quarters, of the cloth lies.
    warnings
        Sentences about the photo: what was decided, and what to mind.
    print
        What its print is like; None for a plain colour, and for a fabric of an older board
        that has not been measured anew.
    """

    lab: Lab
    low: float
    high: float
    warnings: tuple[str, ...] = ()
    print: Print | None = None

    @property
    def value(self) -> float:
        """How light the cloth reads from across the room: L*, 0 to 100."""
        return self.lab[0]
