"""How a print lies on a piece: the one place that turns a swatch into a fill.

On a wedge the print stands along its centre line, its upper edge outward. Pieces of one fabric
are taken from different parts of the swatch, always the same part for the same place, and from
its inside where the swatch is larger than the piece, so that no edge of the picture crosses it.
Where a pool has several swatches, which one a piece shows hangs on its place as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from quiltboard.drawing.display import ClothFill, ClothKey, Fill
from quiltboard.drawing.seeing import grey_colour
from quiltboard.fabrics.fabric import Fabric, Swatch
from quiltboard.fabrics.print_size import UNSCALED_WIDTH
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout, Rect
from quiltboard.shapes.wedge import DraftedWedge, Point
from quiltboard.units import to_mm

UNSCALED_WIDTH_MM: Final = to_mm(UNSCALED_WIDTH)
"""How wide a swatch is taken to be while its scale is not known."""
# Steps of the plane's golden section: places in a row fall far from each other.
_STEP_X: Final = 0.7548776662466927
_STEP_Y: Final = 0.5698402909980532


def mm_per_px(swatch: Swatch) -> float:
    """Give a swatch's scale; a swatch of unknown scale is taken as 9 in across."""
    width = UNSCALED_WIDTH_MM if swatch.width is None else to_mm(swatch.width)
    return width / swatch.width_px


def cloths_of(fabrics: Iterable[Fabric]) -> dict[ClothKey, Swatch]:
    """Give every swatch that a drawing of these fabrics may name."""
    return {key: swatch for fabric in fabrics for key, swatch in fabric.swatches.items()}


def swatch_for(fabric: Fabric, place: int, ring: int = 1) -> tuple[ClothKey, Swatch] | None:
    """Choose which of a fabric's swatches is shown at a place; None for a plain colour.

    The same place always shows the same one. Round a ring they take turns, evenly as far as
    they go, so that neighbours differ; what came in together falls far apart.

    Parameters
    ----------
    fabric
        The cloth; a pool may have many swatches.
    place
        Ring by ring, clockwise from the top, from 0.
    ring
        Places to a ring; 1 where pieces lie apart.
    """
    swatches = fabric.swatches
    if not swatches:
        return None
    turn, at = divmod(place, ring)
    count = len(swatches)
    # Rounds of almost one length, lest the last be so short that it meets the first's swatches.
    rounds = math.ceil(ring / count)
    begun = math.ceil(at * rounds // ring * ring / rounds)
    number = turn * _stride(count, _STEP_Y) + (at - begun) * _stride(count, _STEP_X)
    key = list(swatches)[number % count]
    return key, swatches[key]


def cloth_placing(
    layout: Layout, cell: Cell, cloth: ClothKey, swatch: Swatch, *, grey: bool = False
) -> ClothFill:
    """Lay a fabric on a wedge of the top.

    Parameters
    ----------
    layout
        Where the wedge lies.
    cell
        Which wedge; it also decides which part of the swatch is taken.
    cloth, swatch
        The cloth, by its key.
    grey
        Whether only its lightness shows.
    """
    corner, mirrored = swatch_corner(layout.drafted, cell, swatch)
    turn = layout.angle_deg(cell.wedge)
    scale = mm_per_px(swatch)
    return ClothFill(cloth, layout.to_top(cell, corner), turn, scale, mirrored, grey)


def swatch_corner(wedge: DraftedWedge, cell: Cell, swatch: Swatch) -> tuple[Point, bool]:
    """Tell which part of a swatch shows on a wedge: where its picture lies under the piece.

    Parameters
    ----------
    wedge
        The wedge of every ring.
    cell
        Which one of the top.
    swatch
        The cloth that is laid on it.

    Returns
    -------
    corner
        Of the picture, its upper left one, in the wedge's own axes (mm, x right, y outward):
        left of and beyond the tip. The picture runs right and inward from there.
    mirrored
        Whether the print must go on beyond the picture as its mirror image.
    """
    half = wedge.inside * math.tan(wedge.half_angle)
    across, along = 2 * half, wedge.tip - wedge.opening
    place = cell.block * wedge.n + cell.wedge
    left, above, mirrored = _cut_from(swatch, across, along, place)
    return (-half - left, wedge.tip + above), mirrored


def wedge_or_plain(layout: Layout, cell: Cell, fabric: Fabric, *, grey: bool = False) -> Fill:
    """Lay a fabric on a wedge, or its plain colour where it has no picture."""
    n = layout.drafted.n
    chosen = swatch_for(fabric, cell.block * n + cell.wedge, n)
    if chosen is None:
        return grey_colour(fabric.colour) if grey else fabric.colour
    return cloth_placing(layout, cell, *chosen, grey=grey)


def flat_placing(
    piece: Rect, place: int, cloth: ClothKey, swatch: Swatch, *, grey: bool = False
) -> ClothFill:
    """Lay a fabric upright on a background, a sash, a border or a centre circle."""
    left, above, mirrored = _cut_from(swatch, piece.width, piece.height, place)
    origin = (piece.x - left, piece.y - above)
    return ClothFill(cloth, origin, 0.0, mm_per_px(swatch), mirrored, grey)


def plain_or_cloth(fabric: Fabric, piece: Rect, place: int, *, grey: bool = False) -> Fill:
    """Lay a fabric upright, or its plain colour where it has no picture."""
    chosen = swatch_for(fabric, place)
    if chosen is None:
        return grey_colour(fabric.colour) if grey else fabric.colour
    return flat_placing(piece, place, *chosen, grey=grey)


@lru_cache(maxsize=256)
def _stride(count: int, share: float) -> int:
    """Give a step round so many that meets each once, and is about some share of them."""
    steps = (step for step in range(1, count) if math.gcd(step, count) == 1)
    return min(steps, key=lambda step: abs(step - share * count), default=1)


def _cut_from(
    swatch: Swatch, across: float, along: float, place: int
) -> tuple[float, float, bool]:
    """Choose where in the swatch a piece is taken, and whether the print must repeat."""
    scale = mm_per_px(swatch)
    spare_x = swatch.width_px * scale - across
    spare_y = swatch.height_px * scale - along
    mirrored = spare_x < 0 or spare_y < 0
    range_x = spare_x if spare_x >= 0 else 2 * swatch.width_px * scale
    range_y = spare_y if spare_y >= 0 else 2 * swatch.height_px * scale
    share_x = (0.5 + place * _STEP_X) % 1
    share_y = (0.5 + place * _STEP_Y) % 1
    return share_x * range_x, share_y * range_y, mirrored
