"""How many wedges come out of the cloth there is.

Everything here is exact: lengths are whole parts, and the wedge's wide end, the one drafted
figure, is rounded outward once, so that no count promises a piece that would be cut short.

References
----------
Flip-flop cutting: N wedges laid end to end, every second one turned, take
N·(b + T)/2 + (T − b)/2 of the strip, b and T being the narrow and the wide end. Checked against
published strips in tests/reference.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final, NamedTuple

from quiltboard.fabrics.fabric import Cloth, CutWedges, Fabric, FabricId
from quiltboard.shapes.wedge import Wedge, draft_wedge
from quiltboard.units import Length, inches, length_from_mm

USUAL_WIDTH: Final = inches(40)
"""What is left across the usual cloth without its selvages."""
WIDEST_OPEN: Final = inches(30)
"""Cloth up to this width is cut open on the table, wider cloth is folded."""


class StripYield(NamedTuple):
    """What one strip across a cloth gives.

    Attributes
    ----------
    wedges
        How many are cut from it.
    folded
        Whether it is cut folded, as two halves with an end each.
    """

    wedges: int
    folded: bool


def pieces_from_strip(strip: Length, narrow: Length, wide: Length, *, flip: bool = True) -> int:
    """Tell how many tapered pieces a strip gives, laid end to end.

    Parameters
    ----------
    strip
        How long the strip is.
    narrow, wide
        The piece's two ends, cut.
    flip
        Whether every second piece may be turned upside down; one that is kept upright takes its
        wide end each time.

    Raises
    ------
    ValueError
        If the ends are not above zero with the wide one at least as wide.
    """
    if not 0 < narrow <= wide:
        raise ValueError("a piece has a narrow end above zero and a wider end")
    if not flip:
        return max(0, strip // wide)
    return max(0, (2 * strip - (wide - narrow)) // (narrow + wide))


def wedges_from_strip(strip: Length, wedge: Wedge, *, flip: bool = True) -> int:
    """Tell how many wedges of a ring a strip as wide as the wedge is long gives.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.

    Examples
    --------
    >>> from quiltboard.shapes.wedge import usual_wedge
    >>> wedges_from_strip(inches(21), usual_wedge(12))
    8
    """
    return pieces_from_strip(strip, wedge.narrow, _wide_end(wedge), flip=flip)


def wedges_across(width: Length, wedge: Wedge, *, flip: bool = True) -> StripYield:
    """Tell what one strip across a cloth of some width gives.

    Cloth over 30 in wide is cut folded, each half with its own ends; only where that would
    give less than trimming it to 30 in and cutting it open, it is cut open.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    """
    opened = wedges_from_strip(Length(min(width, WIDEST_OPEN)), wedge, flip=flip)
    if width <= WIDEST_OPEN:
        return StripYield(opened, folded=False)
    folded = 2 * wedges_from_strip(Length(width // 2), wedge, flip=flip)
    return StripYield(max(opened, folded), folded=folded >= opened)


def wedges_from_cloth(cloth: Cloth, wedge: Wedge, usual_width: Length = USUAL_WIDTH) -> int:
    """Tell how many wedges one piece of cloth gives, in strips from side to side.

    Parameters
    ----------
    cloth
        What there is; without a width it is as wide as ``usual_width``.
    wedge
        The piece; its length is the strips' width.
    usual_width
        Usable width of cloth off the bolt.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.

    Examples
    --------
    >>> from quiltboard.shapes.wedge import usual_wedge
    >>> wedges_from_cloth(Cloth(inches(18), inches(21)), usual_wedge(12))
    24
    """
    across = wedges_across(cloth.width or usual_width, wedge)
    return cloth.length // wedge.length * across.wedges


def available(
    fabrics: Iterable[Fabric], wedge: Wedge, usual_width: Length = USUAL_WIDTH
) -> dict[FabricId, int | None]:
    """Tell how many wedges there are of each fabric; None is as many as are needed.

    Wedges that are cut already and those that its cloths give are added up. A pool of which no
    amounts are told gives a wedge from each of its cloths.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    """
    return {fabric.id: _there(fabric, wedge, usual_width) for fabric in fabrics}


def _there(fabric: Fabric, wedge: Wedge, usual_width: Length) -> int | None:
    if not fabric.amounts:
        return fabric.pool.cloths if fabric.pool else None
    return sum(
        amount.count
        if isinstance(amount, CutWedges)
        else wedges_from_cloth(amount, wedge, usual_width)
        for amount in fabric.amounts
    )


@lru_cache(maxsize=64)
def _wide_end(wedge: Wedge) -> Length:
    return length_from_mm(draft_wedge(wedge).wide, "up")
