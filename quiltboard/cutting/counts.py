"""The piece count: what each fabric is asked for, and what there is of it."""

from __future__ import annotations

from collections import Counter
from itertools import chain

import msgspec

from quiltboard.cutting.yields import USUAL_WIDTH, available
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.quilt.board import Board
from quiltboard.units import Length


class Count(msgspec.Struct, frozen=True):
    """How one fabric stands.

    Attributes
    ----------
    fabric
        Which one.
    placed
        Its wedges on the board.
    needed
        Its wedges once every plate is full, if the empty ones are laid in the same shares as
        those that are laid now; rounded up.
    there
        Wedges there are, or None for as many as are needed.
    short
        Wedges on the board beyond those there are.
    """

    fabric: FabricId
    placed: int
    needed: int
    there: int | None
    short: int

    @property
    def spare(self) -> int | None:
        """Wedges left once every plate is full, below zero if wanting; None is any number."""
        return None if self.there is None else self.there - self.needed


def count_pieces(
    board: Board, fabrics: tuple[Fabric, ...], usual_width: Length = USUAL_WIDTH
) -> tuple[Count, ...]:
    """Count every fabric's pieces, the tightest first.

    Tightest is the one with the fewest wedges to spare; among equals, the one that is asked for
    more, then the one that stands first on the shelf.

    Raises
    ------
    InvalidWedgeError
        If the board's wedge makes no ring.
    """
    placed = Counter(chain.from_iterable(block.cells for block in board.blocks))
    laid = board.places - placed.pop(None, 0)
    there = available(fabrics, board.wedge, usual_width)
    counts = [
        _count(fabric.id, placed[fabric.id], laid, board.places, there[fabric.id])
        for fabric in fabrics
    ]
    return tuple(sorted(counts, key=_tightness))


def _count(fabric: FabricId, placed: int, laid: int, places: int, there: int | None) -> Count:
    needed = -(-placed * places // laid) if laid else 0
    short = 0 if there is None else max(0, placed - there)
    return Count(fabric, placed, needed, there, short)


def _tightness(count: Count) -> tuple[bool, int, int]:
    spare = count.spare
    return (spare is None, spare or 0, -count.needed)
