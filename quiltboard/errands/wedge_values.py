"""The value of a large print, wedge by wedge: how light the part is that a piece shows.

A piece of a large print may show a pale flower or the dark ground beside it. So each piece has
a value of its own, that of the cloth which is seen on its wedge, and with it a value step among
those of the set. Other prints look much the same on every wedge, and have the value of their
cloth; so have pools, whose further cloths are known by their colour alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from quiltboard.drawing.cloth import mm_per_px, swatch_corner
from quiltboard.fabrics.fabric import Fabric, FabricId, Step, Swatch
from quiltboard.fabrics.print_size import UNSCALED_WIDTH, print_size
from quiltboard.fabrics.relief import Points, points_in, relief_values
from quiltboard.fabrics.steps import Breaks
from quiltboard.quilt.board import Board, Cell
from quiltboard.shapes.wedge import Wedge, draft_wedge
from quiltboard.units import to_mm

LIGHTEST: Final = 100.0
"""L* of white: a value that is moved along with its cloth's goes no further, nor below 0."""


class Round(NamedTuple):
    """What pieces of one large print are like round one ring, clockwise from the top.

    Attributes
    ----------
    values
        The L* of each.
    steps
        The value step of each.
    """

    values: tuple[float, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class LargePrint:
    """A cloth of which every piece has its own value.

    Attributes
    ----------
    relief
        Its luminance from place to place.
    swatch
        Its picture, of which each wedge shows a part.
    wedge
        What is cut from it.
    moved
        How much lighter the maker has set its value than it measures.
    breaks
        Where the value steps of the set end.
    step
        The step that she has set for all its pieces; None for each its own.
    """

    relief: bytes
    swatch: Swatch
    wedge: Wedge
    moved: float
    breaks: Breaks
    step: Step | None

    def round(self, block: int) -> Round:
        """Tell how light its pieces are round one plate of the top, and in which steps."""
        return _round(self, block)


def large_prints(
    fabrics: tuple[Fabric, ...], wedge: Wedge, steps: Mapping[FabricId, Step], breaks: Breaks
) -> dict[FabricId, LargePrint]:
    """Find the fabrics of which every piece has its own value.

    Parameters
    ----------
    fabrics
        The set.
    wedge
        What is cut from them.
    steps
        Each fabric's value step.
    breaks
        Where the steps end.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    """
    found = {}
    for fabric in fabrics:
        swatch, print_ = fabric.swatch, fabric.reading.print
        if swatch is not None and print_ is not None and is_large_print(fabric, wedge):
            moved = fabric.value - fabric.reading.value
            by_hand = None if fabric.step is None else steps[fabric.id]
            found[fabric.id] = LargePrint(print_.relief, swatch, wedge, moved, breaks, by_hand)
    return found


def is_large_print(fabric: Fabric, wedge: Wedge) -> bool:
    """Tell whether a fabric's print is large against the wedge, as set by hand or measured.

    What has no measured print, or reads as solid, is none; a pool is none either.

    Raises
    ------
    InvalidWedgeError
        If the wedge makes no ring.
    """
    print_, by_hand = fabric.reading.print, fabric.by_hand
    if print_ is None or fabric.swatch is None or fabric.pool is not None:
        return False
    if print_.solid if by_hand.solid is None else by_hand.solid:
        return False
    if by_hand.size is not None or print_.feature is None:
        return by_hand.size == "large"
    return print_size(print_.feature, fabric.swatch.width or UNSCALED_WIDTH, wedge) == "large"


def own_values(
    board: Board, prints: Mapping[FabricId, LargePrint]
) -> tuple[dict[Cell, float], dict[Cell, Step]]:
    """Give the L* and the value step of each piece on a board that has its own."""
    values: dict[Cell, float] = {}
    steps: dict[Cell, Step] = {}
    for b, block in enumerate(board.blocks):
        for fabric in prints.keys() & set(block.cells):
            own = prints[fabric].round(b)
            cells = [Cell(b, w) for w, laid in enumerate(block.cells) if laid == fabric]
            values.update((cell, own.values[cell.wedge]) for cell in cells)
            steps.update((cell, own.steps[cell.wedge]) for cell in cells)
    return values, steps


def steps_everywhere(
    prints: Mapping[FabricId, LargePrint], plates: int
) -> dict[FabricId, tuple[Step, ...]]:
    """Give the step that each large print would have at every place, in reading order."""
    return {
        fabric: tuple(step for b in range(plates) for step in print_.round(b).steps)
        for fabric, print_ in prints.items()
    }


@lru_cache(maxsize=8192)
def _round(print_: LargePrint, block: int) -> Round:
    values = tuple(
        min(LIGHTEST, max(0.0, value + print_.moved))
        for value in _measured(print_.relief, print_.swatch, print_.wedge, block)
    )
    steps = (print_.step or print_.breaks.step(value) for value in values)
    return Round(values, tuple(steps))


@lru_cache(maxsize=8192)
def _measured(relief: bytes, swatch: Swatch, wedge: Wedge, block: int) -> tuple[float, ...]:
    """Measure the part of a swatch that shows on each wedge of one plate: its L*."""
    drafted, seen = draft_wedge(wedge), _seen_on(wedge)
    scale = mm_per_px(swatch)
    size = np.array((swatch.width_px * scale, -swatch.height_px * scale))
    corners = np.array(
        [swatch_corner(drafted, Cell(block, w), swatch)[0] for w in range(drafted.n)]
    )
    return tuple(relief_values(relief, (seen - corners[:, None]) / size).tolist())


@lru_cache(maxsize=64)
def _seen_on(wedge: Wedge) -> Points:
    """Spread places over what is seen of a sewn wedge, in its own axes: mm, y outward.

    Its narrow end lies under the centre circle. A piece so short that nothing of it shows is
    taken whole.
    """
    drafted = draft_wedge(wedge)
    places = points_in(drafted.sewn_outline())
    shown = places[np.hypot(*places.T) > to_mm(drafted.centre_finished) / 2]
    return shown if len(shown) else places
