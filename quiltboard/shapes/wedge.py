"""The wedge of a ring: how it is cut, and what it becomes when sewn.

Local axes of a wedge: the origin is the ring's middle, y runs out along the wedge's centre
line, x to its right when it points up. All drafted figures are millimetres and radians.

References
----------
Plane trigonometry of a ring of n tapered pieces; the folded tip is a right isosceles triangle,
as patterns for it describe. Both are checked against published figures in tests/reference.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import msgspec

from quiltboard.units import (
    PER_INCH,
    Length,
    inches,
    length_from_mm,
    round_length,
    to_mm,
)

FEWEST_WEDGES: Final = 6
MOST_WEDGES: Final = 40
USUAL_SEAM: Final = inches("1/4")
USUAL_BLOCK: Final = inches(12)
USUAL_CLEARANCE: Final = inches("1/2")
OVERLAP: Final = inches("1/4")
"""How far the centre circle lies over the raw narrow ends."""
TURN_UNDER: Final = inches("1/4")
LEAST_CENTRE: Final = inches(3)
"""A smaller circle is hard to turn under neatly (common practice, no source)."""

Point = tuple[float, float]


class InvalidWedgeError(ValueError):
    """Measures that make no ring; the message says which one and what would do."""


class Wedge(msgspec.Struct, frozen=True):
    """One tapered piece of a ring with a folded tip, as it is cut.

    Attributes
    ----------
    n
        How many make a full turn.
    length
        Cut length, which is the width of the strip it is cut from.
    narrow
        Cut width of the narrow end.
    seam
        Seam allowance.
    """

    n: int
    length: Length
    narrow: Length
    seam: Length = USUAL_SEAM


@dataclass(frozen=True, slots=True)
class DraftedWedge:
    """What a wedge measures, cut and sewn into its ring.

    Attributes
    ----------
    half_angle
        Half the angle of one wedge, in radians.
    length, narrow, wide, seam
        Cut measures in mm.
    apex
        From the cut narrow end to where the cut sides would meet, in mm.
    shift
        From there out to the middle of the sewn ring, in mm.
    opening
        Radius of the centre opening, to the middle of the narrow ends.
    tip
        Radius of the folded tips.
    inside
        How far out along the wedge the folded tip leaves the side seam; the inside point, where
        two tips meet, lies at the radius ``inside / cos(half_angle)``.
    centre_finished, centre_cut, centre_square
        The centre circle across, finished and cut, and the square it is cut from; exact.
    """

    n: int
    half_angle: float
    length: float
    narrow: float
    wide: float
    seam: float
    apex: float
    shift: float
    opening: float
    tip: float
    inside: float
    centre_finished: Length
    centre_cut: Length
    centre_square: Length

    @property
    def opening_corner(self) -> float:
        """Radius of the opening's corners, where two narrow ends meet."""
        return self.opening / math.cos(self.half_angle)

    @property
    def inside_radius(self) -> float:
        """Radius of the inside points, where two tips meet."""
        return self.inside / math.cos(self.half_angle)

    @property
    def finished_narrow(self) -> float:
        """Width of the narrow end between its seams."""
        return self.narrow - 2 * self.seam / math.cos(self.half_angle)

    @property
    def plate(self) -> float:
        """The plate across, tip to opposite tip."""
        return 2 * self.tip

    @property
    def base_angle_deg(self) -> float:
        """The angle at the narrow end between its cut edge and a cut side."""
        return 90 + math.degrees(self.half_angle)

    def sewn_outline(self) -> tuple[Point, ...]:
        """Give the wedge between its seams with its tip folded.

        Returns
        -------
        tuple of (x, y)
            Five corners in local axes: narrow end right, inside point right, tip, inside point
            left, narrow end left (counter-clockwise with y up).
        """
        slope = math.tan(self.half_angle)
        return (
            (self.opening * slope, self.opening),
            (self.inside * slope, self.inside),
            (0.0, self.tip),
            (-self.inside * slope, self.inside),
            (-self.opening * slope, self.opening),
        )

    def cut_outline(self) -> tuple[Point, ...]:
        """Give the wedge as cut.

        Returns
        -------
        tuple of (x, y)
            Four corners in the local axes of the sewn ring, narrow end right first,
            counter-clockwise with y up.
        """
        near = self.apex - self.shift
        far = near + self.length
        return (
            (self.narrow / 2, near),
            (self.wide / 2, far),
            (-self.wide / 2, far),
            (-self.narrow / 2, near),
        )


def check_wedge(wedge: Wedge) -> None:
    """Refuse measures that make no ring.

    Raises
    ------
    InvalidWedgeError
        Naming the measure that fails.
    """
    if not FEWEST_WEDGES <= wedge.n <= MOST_WEDGES:
        raise InvalidWedgeError(
            f"A ring takes {FEWEST_WEDGES} to {MOST_WEDGES} wedges, not {wedge.n}."
        )
    for what, length, most in (
        ("wedge", wedge.length, 40),
        ("narrow end", wedge.narrow, 20),
        ("seam allowance", wedge.seam, 1),
    ):
        if not 0 < length <= most * PER_INCH:
            raise InvalidWedgeError(f"The {what} must be over 0 and at most {most} in.")
    drafted = _draft(wedge)
    if drafted.finished_narrow <= 0:
        raise InvalidWedgeError(
            "The narrow end vanishes into its seams, and the opening with it: make it wider."
        )
    if drafted.inside <= drafted.opening:
        raise InvalidWedgeError("The folded tip reaches the narrow end: make the wedge longer.")


def draft_wedge(wedge: Wedge) -> DraftedWedge:
    """Draft a wedge: every measure of it, and of the ring sewn from it.

    With h = π/n, b the narrow end, L the length and s the seam: the wide end is b + 2·L·tan h;
    the cut sides meet d = b/(2·tan h) before the narrow end; the seam lines meet s/sin h
    further out, and there is the middle of the sewn ring. The tip of a wide end folded in half,
    seamed s from its edge and turned lies at R = d + L − s − s/sin h; being a right angle it
    leaves the side seam R/(1 + tan h) along the wedge.

    Raises
    ------
    InvalidWedgeError
        If the measures make no ring.

    Examples
    --------
    >>> round(draft_wedge(usual_wedge(12)).plate / 25.4, 2)
    10.8
    """
    check_wedge(wedge)
    return _draft(wedge)


def _draft(wedge: Wedge) -> DraftedWedge:
    h = math.pi / wedge.n
    length, narrow, seam = to_mm(wedge.length), to_mm(wedge.narrow), to_mm(wedge.seam)
    apex = narrow / (2 * math.tan(h))
    shift = seam / math.sin(h)
    opening = apex - shift
    tip = apex + length - seam - shift
    least = 2 * (opening / math.cos(h) + to_mm(OVERLAP))
    quarter, half = Length(PER_INCH // 4), Length(PER_INCH // 2)
    finished = max(LEAST_CENTRE, round_length(length_from_mm(least, "up"), quarter, "up"))
    cut = Length(finished + 2 * TURN_UNDER)
    square = Length(round_length(cut, half, "down") + half)
    return DraftedWedge(
        n=wedge.n,
        half_angle=h,
        length=length,
        narrow=narrow,
        wide=narrow + 2 * length * math.tan(h),
        seam=seam,
        apex=apex,
        shift=shift,
        opening=opening,
        tip=tip,
        inside=tip / (1 + math.tan(h)),
        centre_finished=Length(finished),
        centre_cut=cut,
        centre_square=square,
    )


def reach_mm(drafted: DraftedWedge) -> float:
    """Tell how far a plate with a tip at the top reaches toward the nearest block side, in mm.

    Where n is no multiple of four, tips and seams meet the four sides differently; the farthest
    counts.
    """
    quarter_turn = math.pi / 2
    wedge = 2 * drafted.half_angle
    farthest = 0.0
    for side in range(4):
        off = (side * quarter_turn) % wedge
        off = min(off, wedge - off)
        farthest = max(farthest, drafted.tip * math.cos(off))
    return farthest


def check_fits(wedge: Wedge, block: Length) -> None:
    """Refuse a ring that makes no plate, or whose tips would leave its block.

    Raises
    ------
    InvalidWedgeError
        Naming the measure that fails.
    """
    if reach_mm(draft_wedge(wedge)) > to_mm(block) / 2:
        raise InvalidWedgeError("The tips would leave the block: make the wedge shorter.")


def usual_wedge(n: int, block: Length = USUAL_BLOCK, seam: Length = USUAL_SEAM) -> Wedge:
    """Give the wedge of n that fills a block, from the widest strip that keeps it clear.

    The narrow end is 1 in on a 12-in block and in proportion otherwise; the strip is a whole
    number of quarter inches; the tips stay ½ in inside the block's seam.

    Raises
    ------
    InvalidWedgeError
        If no such ring fits the block.
    """
    quarter = Length(PER_INCH // 4)
    share = Fraction(block, USUAL_BLOCK)
    narrow = max(round_length(Length(int(PER_INCH * share)), quarter, "nearest"), 3 * quarter)
    if not FEWEST_WEDGES <= n <= MOST_WEDGES:
        check_wedge(Wedge(n, inches(4), inches(1), seam))
    room = to_mm(block) / 2 - to_mm(USUAL_CLEARANCE)
    for steps in range(block // quarter, 3, -1):
        wedge = Wedge(n, Length(steps * quarter), Length(narrow), seam)
        drafted = _draft(wedge)
        if drafted.inside > drafted.opening > 0 and reach_mm(drafted) <= room:
            check_wedge(wedge)
            return wedge
    raise InvalidWedgeError(f"No ring of {n} wedges fits a block this small.")
