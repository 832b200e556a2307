"""Which strips to cut from each fabric for the wedges it gives to the board."""

from __future__ import annotations

import msgspec

from quiltboard.cutting.yields import USUAL_WIDTH, wedges_across
from quiltboard.fabrics.fabric import Cloth, CutWedges, Fabric, FabricId
from quiltboard.shapes.wedge import Wedge
from quiltboard.units import Length


class StripCut(msgspec.Struct, frozen=True):
    """Strips cut side to side from one cloth.

    Attributes
    ----------
    strips
        How many.
    strip_length
        How long each is, which is how wide the cloth is.
    per_strip
        Wedges from each.
    folded
        Whether they are cut folded, as two halves.
    """

    strips: int
    strip_length: Length
    per_strip: int
    folded: bool


class CutNote(msgspec.Struct, frozen=True):
    """What to cut from one fabric.

    Attributes
    ----------
    fabric
        Which one.
    pieces
        Wedges that the board asks of it.
    ready
        How many of them are there as wedges already.
    strip_width
        Cut width of the strips, the wedge's length.
    cuts
        Strips, cloth by cloth; the last strip may give more than is needed.
    missing
        Wedges that the cloth there is does not give.
    one_each
        Wedges that are cut one to a cloth, from a pool.
    """

    fabric: FabricId
    pieces: int
    ready: int
    strip_width: Length
    cuts: tuple[StripCut, ...]
    missing: int
    one_each: int = 0

    @property
    def strips(self) -> int:
        """How many strips are cut in all."""
        return sum(cut.strips for cut in self.cuts)

    @property
    def per_strip(self) -> int:
        """Wedges from each strip; where its cloths differ in width, from the poorest."""
        return min((cut.per_strip for cut in self.cuts), default=0)


def strips_for(
    fabric: Fabric, pieces: int, wedge: Wedge, usual_width: Length = USUAL_WIDTH
) -> CutNote:
    """Say which strips give so many wedges of a fabric.

    Wedges cut already are used first, then its cloths in the order they were entered. A fabric
    of which there is as much as needed is cut from cloth of the usual width. A pool of which no
    amounts are told gives a wedge from each of its cloths, and no strips.

    Parameters
    ----------
    fabric
        With the amounts there are.
    pieces
        Wedges wanted.
    wedge
        The piece.
    usual_width
        Usable width of cloth off the bolt.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    ValueError
        If ``pieces`` is negative.
    """
    if pieces < 0:
        raise ValueError("a fabric gives no pieces or more, not fewer")
    if fabric.pool and not fabric.amounts:
        one_each = min(pieces, fabric.pool.cloths)
        missing = pieces - one_each
        return CutNote(fabric.id, pieces, 0, wedge.length, (), missing, one_each)
    cut_already = sum(a.count for a in fabric.amounts if isinstance(a, CutWedges))
    ready = min(pieces, cut_already)
    left = pieces - ready
    cloths = [a for a in fabric.amounts if isinstance(a, Cloth)]
    if not fabric.amounts:
        endless = Length((pieces + 1) * wedge.length)
        cloths = [Cloth(length=endless)]
    cuts: list[StripCut] = []
    for cloth in cloths:
        width = cloth.width or usual_width
        each, folded = wedges_across(width, wedge)
        if left <= 0 or not each:
            continue
        strips = min(cloth.length // wedge.length, -(-left // each))
        if strips:
            cuts.append(StripCut(strips, width, each, folded))
            left -= strips * each
    return CutNote(fabric.id, pieces, ready, wedge.length, tuple(cuts), max(0, left))
