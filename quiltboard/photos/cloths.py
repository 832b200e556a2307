"""Finding the cloths in one photo and cutting them apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from scipy import ndimage

from quiltboard.photos.cloths_ground import apart_from_ground
from quiltboard.photos.cloths_sides import sides_on_edges
from quiltboard.photos.corners import Corners
from quiltboard.photos.light import Pixels, averaged_light, fitted_size
from quiltboard.photos.outlines import (
    Points,
    boundary_of,
    filled,
    four_sides,
    from_top_left,
    overlap,
    settled,
)

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask

LOOKED_AT_PX: Final = 500
_LEAST_AREA: Final = 0.003
_THIN: Final = 0.004
_FOUR_SIDED: Final = 0.9
_NOTCHED: Final = 0.5
_STRAIGHT: Final = 0.4
_DENSE: Final = 0.45


class FoundCloth(NamedTuple):
    """One cloth in a photo of several.

    Attributes
    ----------
    outline
        What can be seen of it: a polygon in fractions of the photo, clockwise.
    corners
        The four corners its swatch is taken from.
    """

    outline: tuple[tuple[float, float], ...]
    corners: Corners


def find_cloths(pixels: Pixels, leave_out: Sequence[Corners] = ()) -> tuple[FoundCloth, ...]:
    """Find the cloths that lie on a table, and where each ends.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    leave_out
        Where no cloth is, such as a white card.
    """
    height, width, _ = pixels.shape
    light = averaged_light(pixels, *fitted_size(width, height, LOOKED_AT_PX))
    small = light.shape[:2]
    scale = np.array([small[1], small[0]])
    left_out = np.zeros(small, dtype=np.bool_)
    for corners in leave_out:
        left_out |= filled(np.array(corners) * scale, small)
    left_out = ndimage.binary_dilation(left_out, iterations=4)
    apart = apart_from_ground(light, left_out)
    found: list[Points] = []
    taken = np.zeros(small, dtype=np.bool_)
    for other in apart:
        quads = [_whole_cloth(pixels, patch) for patch in _patches(other & ~taken)]
        for quad in quads:
            if quad is not None:
                found.append(quad)
                taken |= filled(quad * scale, small)
        taken = ndimage.binary_dilation(taken, iterations=4)
    return tuple(_cloth(quad) for quad in found)


def _whole_cloth(pixels: Pixels, patch: Mask) -> Points | None:
    """Give the corners of a patch that is one four-sided cloth, as fractions of the photo."""
    quad = _quad_of(patch)
    if quad is None:
        return None
    scale, full = np.array(patch.shape[::-1]), np.array(pixels.shape[1::-1])
    sides = sides_on_edges(pixels, quad / scale * full)
    corners = sides.corners / full
    share = overlap(filled(corners * scale, patch.shape), patch)
    straight = min(sides.straight) >= _STRAIGHT
    return corners if share >= (_NOTCHED if straight else _FOUR_SIDED) else None


def _cloth(quad: Points) -> FoundCloth:
    quad = np.clip(from_top_left(quad), 0, 1)
    a, b, c, d = ((float(x), float(y)) for x, y in quad)
    return FoundCloth((a, b, c, d), (a, b, c, d))


def _patches(other: Mask) -> list[Mask]:
    size = max(1, round(_THIN * max(other.shape)))
    dense = ndimage.uniform_filter(other.astype(np.float32), 3) > _DENSE
    thick = ndimage.binary_opening(dense, iterations=size)
    whole = ndimage.binary_fill_holes(thick)
    labels, count = ndimage.label(whole)
    areas = np.bincount(labels.ravel(), minlength=count + 1)
    return [labels == at for at in range(1, count + 1) if areas[at] >= _LEAST_AREA * other.size]


def _quad_of(patch: Mask) -> Points | None:
    boundary = boundary_of(patch)
    quad = four_sides(boundary)
    return None if quad is None else settled(quad, boundary, 1.0)
