"""How a print lies on a piece: the one place that turns a swatch into a fill.

On a wedge the print stands along its centre line, its upper edge outward. Pieces of one fabric
are taken from different parts of the swatch, always the same part for the same place, and from
its inside where the swatch is larger than the piece, so that no edge of the picture crosses it.
"""

from __future__ import annotations

import math
from typing import Final

from quiltboard.drawing.display import ClothFill, Fill
from quiltboard.drawing.seeing import grey_colour
from quiltboard.fabrics.fabric import Fabric, FabricId, Swatch
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout, Rect
from quiltboard.units import inches, to_mm

UNSCALED_WIDTH_MM: Final = to_mm(inches(9))
"""How wide a swatch is taken to be while its scale is not known."""
# Steps of the plane's golden section: places in a row fall far from each other.
_STEP_X: Final = 0.7548776662466927
_STEP_Y: Final = 0.5698402909980532


def mm_per_px(swatch: Swatch) -> float:
    """Give a swatch's scale; a swatch of unknown scale is taken as 9 in across."""
    width = UNSCALED_WIDTH_MM if swatch.width is None else to_mm(swatch.width)
    return width / swatch.width_px


def cloth_placing(
    layout: Layout, cell: Cell, fabric: FabricId, swatch: Swatch, *, grey: bool = False
) -> ClothFill:
    """Lay a fabric on a wedge of the top.

    Parameters
    ----------
    layout
        Where the wedge lies.
    cell
        Which wedge; it also decides which part of the swatch is taken.
    fabric, swatch
        The cloth.
    grey
        Whether only its lightness shows.
    """
    wedge = layout.drafted
    place = cell.block * wedge.n + cell.wedge
    half = wedge.inside * math.tan(wedge.half_angle)
    across, along = 2 * half, wedge.tip - wedge.opening
    left, above, mirrored = _cut_from(swatch, across, along, place)
    # In the wedge's own axes (y outward) the swatch's corner lies left of and beyond the tip.
    corner = layout.to_top(cell, (-half - left, wedge.tip + above))
    turn = layout.angle_deg(cell.wedge)
    return ClothFill(fabric, corner, turn, mm_per_px(swatch), mirrored, grey)


def flat_placing(
    piece: Rect, place: int, fabric: FabricId, swatch: Swatch, *, grey: bool = False
) -> ClothFill:
    """Lay a fabric upright on a background, a sash, a border or a centre circle."""
    left, above, mirrored = _cut_from(swatch, piece.width, piece.height, place)
    origin = (piece.x - left, piece.y - above)
    return ClothFill(fabric, origin, 0.0, mm_per_px(swatch), mirrored, grey)


def plain_or_cloth(fabric: Fabric, piece: Rect, place: int, *, grey: bool = False) -> Fill:
    """Lay a fabric upright, or its plain colour where it has no picture."""
    if fabric.swatch is None:
        return grey_colour(fabric.colour) if grey else fabric.colour
    return flat_placing(piece, place, fabric.id, fabric.swatch, grey=grey)


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
