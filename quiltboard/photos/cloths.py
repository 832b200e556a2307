"""Finding the cloths in one photo and cutting them apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from scipy import ndimage
from scipy.sparse.csgraph import connected_components

from quiltboard.photos.cloths_ground import apart_from_ground
from quiltboard.photos.cloths_overlaid import Part, parts_of
from quiltboard.photos.cloths_sides import Sides, sides_on_edges
from quiltboard.photos.corners import Corners
from quiltboard.photos.light import Light, Pixels, averaged_light, fitted_size
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.outlines import (
    Points,
    boundary_of,
    filled,
    four_sides,
    from_top_left,
    overlap,
    settled,
    simplified,
    widest_within,
)

if TYPE_CHECKING:
    from quiltboard.photos.cloths_ground import Floats as Lab
    from quiltboard.photos.light import Mask

LOOKED_AT_PX: Final = 500
"""The size the photo is looked at; sides are then settled on the full picture."""

_LEAST_SIDE_PX: Final = 100
_LEAST_AREA: Final = 0.003
_THIN: Final = 0.004
_DENSE: Final = 0.45
_LEAST_END_PX: Final = 4.0
_OUTLINE_PX: Final = 2.0
_LEAST_NOTCHED: Final = 0.01
_CARD_RIM_PX: Final = 4
_RIM_PX: Final = 3
_MOST_MOTLEY: Final = 8.0
_FOUR_SIDED: Final = 0.94
_NOTCHED: Final = 0.5
_STRAIGHT: Final = 0.7
_WHOLE: Final = 0.93
_LEAST_HEAP: Final = 0.03
_EXPLAINED: Final = 0.6
_PLAINLY_STRAIGHT: Final = 0.8
_STRAIGHT_IN_PLACES: Final = 0.55
_WORSE: Final = 0.25
_ALIKE: Final = 6.0
_NARROW: Final = 3.0
_CLOSE: Final = 0.05
_MANY: Final = 3
_BRIDGE_PX: Final = 4


class FoundCloth(NamedTuple):
    """One cloth that was found in a photo.

    Attributes
    ----------
    outline
        What can be seen of it: a polygon in fractions of the photo's width and height,
        clockwise.
    corners
        The four corners its swatch is taken from, clockwise from the top left of the cloth as
        it lies; inside the outline where other cloth hides a part of it.
    """

    outline: tuple[tuple[float, float], ...]
    corners: Corners


def find_cloths(pixels: Pixels, leave_out: Sequence[Corners] = ()) -> tuple[FoundCloth, ...]:
    """Find the cloths that lie on a table, and where each ends.

    What differs from the ground is taken apart into patches. One with four straight sides is a
    cloth; another may be a heap of cloths, told apart by the sides of those on top. Where this
    is in doubt nothing is found: a false cut is worse than none.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    leave_out
        Where no cloth is, such as a white card.

    Returns
    -------
    tuple of FoundCloth
        In rows from the top, each from left to right; empty where the photo shows no ground,
        or where nothing can be told.
    """
    height, width, _ = pixels.shape
    if min(height, width) < _LEAST_SIDE_PX:
        return ()
    light = averaged_light(pixels, *fitted_size(width, height, LOOKED_AT_PX))
    left_out = np.zeros(light.shape[:2], dtype=np.bool_)
    for corners in leave_out:
        left_out |= filled(np.array(corners) * left_out.shape[::-1], left_out.shape)
    left_out = ndimage.binary_dilation(left_out, iterations=_CARD_RIM_PX)
    apart = apart_from_ground(light, left_out)
    if apart.motley > _MOST_MOTLEY:
        return ()
    quads: list[Points] = []
    taken = np.zeros_like(left_out)
    for other in (apart.close_to, apart.from_afar):
        for patch in _patches(other & ~taken):
            for piece in _parted(patch, light):
                sides, share = _four_sides_of(pixels, piece)
                if share >= _FOUR_SIDED or _is_notched(piece, sides, share, _PLAINLY_STRAIGHT):
                    quads.append(sides.corners)
                    taken |= filled(sides.corners * taken.shape[::-1], taken.shape)
        taken = ndimage.binary_dilation(taken, iterations=_RIM_PX)
    found = [_cloth(quad) for quad in _stripes_joined(pixels, light, quads)]
    either = ndimage.binary_closing(apart.close_to | apart.from_afar, iterations=_RIM_PX)
    unexplained = 0
    for heap in _patches(either & ~taken):
        cloths = _taken_apart(pixels, heap)
        found += cloths
        unexplained += 0 if cloths else int(heap.sum())
    # Where most of what lies there has no four sides, it is printed on a cloth and is none.
    return _in_rows(found) if unexplained <= taken.sum() or len(found) > 1 else ()


def _patches(other: Mask) -> list[Mask]:
    size = max(1, round(_THIN * max(other.shape)))
    dense = ndimage.uniform_filter(other.astype(np.float32), 3) > _DENSE
    thick = ndimage.binary_opening(dense, np.ones((2 * size + 1, 2 * size + 1)))
    whole = ndimage.binary_fill_holes(thick)
    labels, count = ndimage.label(whole)
    areas = np.bincount(labels.ravel(), minlength=count + 1)
    return [labels == at for at in range(1, count + 1) if areas[at] >= _LEAST_AREA * other.size]


def _four_sides_of(pixels: Pixels, patch: Mask) -> tuple[Sides, float]:
    """Give the four sides round a patch, as fractions, and how much of them it fills."""
    boundary = boundary_of(patch)
    drawn = four_sides(boundary)
    quad = None if drawn is None else settled(drawn, boundary, 1.0)
    if quad is None or np.hypot(*(np.roll(quad, 1, axis=0) - quad).T).min() < _LEAST_END_PX:
        return Sides(np.zeros((4, 2)), (0.0,)), 0.0
    scale, full = np.array(patch.shape[::-1]), np.array(pixels.shape[1::-1])
    sides = sides_on_edges(pixels, quad / scale * full)
    corners = sides.corners / full
    share = overlap(filled(corners * scale, patch.shape), patch)
    return Sides(corners, sides.straight), share


def _parted(patch: Mask, light: Light) -> list[Mask]:
    """Part cloths that lie so close that something bridges the gap between them."""
    labels, count = ndimage.label(ndimage.binary_erosion(patch, iterations=_BRIDGE_PX))
    areas = np.bincount(labels.ravel(), minlength=count + 1)
    large = [at for at in range(1, count + 1) if areas[at] >= _LEAST_AREA * patch.size]
    if len(large) < 2 or _apart(_colours(light, [labels == at for at in large])).min() < _ALIKE:
        return [patch]
    labels[~np.isin(labels, large)] = 0
    near = ndimage.distance_transform_edt(
        labels == 0, return_distances=False, return_indices=True
    )
    grown = np.where(patch, labels[tuple(near)], 0)
    return [ndimage.binary_opening(grown == at, iterations=2) for at in large]


def _colours(light: Light, places: list[Mask]) -> Lab:
    """Give the mean colour of each place, and how far its colours spread."""
    labs = [lab_of_light(light[place]) for place in places]
    return np.array([[*lab.mean(axis=0), *lab.std(axis=0)] for lab in labs])


def _apart(colours: Lab) -> Lab:
    """Tell how far each two colours are apart, one and itself farther than any."""
    between = np.linalg.norm(colours[:, np.newaxis] - colours, axis=-1)
    np.fill_diagonal(between, np.inf)
    return np.asarray(between)


def _stripes_joined(pixels: Pixels, light: Light, quads: list[Points]) -> list[Points]:
    """Join stripes of one colour that lie close together: they are of one cloth.

    Where what they make up together has not four straight sides, they belong to a cloth that
    fills the photo, and none of them is a cloth.
    """
    if len(quads) < 2:
        return quads
    shape = light.shape[:2]
    places = [filled(quad * shape[::-1], shape) for quad in quads]
    alike = _apart(_colours(light, places)) <= _ALIKE
    narrow = np.array([_is_narrow(quad * shape[::-1]) for quad in quads])
    reach = round(_CLOSE * max(shape))
    near = [ndimage.binary_dilation(place, iterations=reach) for place in places]
    # Where all that was found is alike, it is a print, whatever its shape.
    if not alike[~np.eye(len(quads), dtype=np.bool_)].all():
        for i, j in np.argwhere(alike):
            alike[i, j] = bool(narrow[i] and narrow[j] and (near[i] & places[j]).any())
    count, group = connected_components(alike)
    single: list[Points] = []
    joined: list[Points] = []
    covered = np.zeros(shape, dtype=np.bool_)
    for at in range(count):
        members = np.flatnonzero(group == at)
        if len(members) < _MANY:
            single += [quads[member] for member in members]
            continue
        together = np.logical_or.reduce([near[member] for member in members])
        together = ndimage.binary_erosion(together, iterations=reach, border_value=1)
        sides, share = _four_sides_of(pixels, together)
        if _is_notched(together, sides, share, _STRAIGHT_IN_PLACES):
            joined.append(sides.corners)
            covered |= filled(sides.corners * shape[::-1], shape)
    # Stripes of another colour between those that were joined are of the same cloth.
    return joined + [
        quad for quad in single if covered[filled(quad * shape[::-1], shape)].mean() < 0.5
    ]


def _is_narrow(quad: Points) -> bool:
    sides = np.hypot(*(np.roll(quad, -1, axis=0) - quad).T)
    return bool(sides.max() >= _NARROW * sides.min())


def _is_notched(patch: Mask, sides: Sides, share: float, straight: float) -> bool:
    """Tell whether it is a cloth that looks like the ground in places, so straight it ends."""
    # Of what is small any outline is straight for a while.
    large = patch.sum() >= _LEAST_NOTCHED * patch.size
    mean = sum(sides.straight) / 4
    worst = min(sides.straight)
    return bool(large and share >= _NOTCHED and mean >= straight and worst >= straight - _WORSE)


def _taken_apart(pixels: Pixels, heap: Mask) -> list[FoundCloth]:
    """Take a patch that has not four sides apart into cloths, if all of it can be told."""
    parts = parts_of(pixels, heap) if heap.sum() >= _LEAST_HEAP * heap.size else []
    explained = sum(int(part.seen.sum()) for part in parts)
    if len(parts) > 1 and explained >= _EXPLAINED * heap.sum():
        return [_part(pixels, part) for part in parts]
    sides, share = _four_sides_of(pixels, heap)
    return [_cloth(sides.corners)] if _is_notched(heap, sides, share, _STRAIGHT) else []


def _part(pixels: Pixels, part: Part) -> FoundCloth:
    scale, full = np.array(part.seen.shape[::-1]), np.array(pixels.shape[1::-1])
    inside = filled(part.corners, part.seen.shape)
    if part.seen.sum() >= _WHOLE * inside.sum():
        return _cloth(sides_on_edges(pixels, part.corners / scale * full).corners / full)
    outline = np.clip(simplified(boundary_of(part.seen), _OUTLINE_PX) / scale, 0, 1)
    cloth = _cloth(widest_within(part.corners, part.seen) / scale)
    return cloth._replace(outline=tuple((float(x), float(y)) for x, y in outline))


def _cloth(quad: Points) -> FoundCloth:
    quad = np.clip(from_top_left(quad), 0, 1)
    a, b, c, d = ((float(x), float(y)) for x, y in quad)
    return FoundCloth((a, b, c, d), (a, b, c, d))


def _in_rows(found: list[FoundCloth]) -> tuple[FoundCloth, ...]:
    """Put cloths in rows: what begins above the middle of a row's first cloth is in its row."""
    left = sorted(found, key=lambda cloth: min(y for _, y in cloth.outline))
    ordered: list[FoundCloth] = []
    while left:
        heights = [y for _, y in left[0].outline]
        middle = (min(heights) + max(heights)) / 2
        row = [cloth for cloth in left if min(y for _, y in cloth.outline) <= middle]
        left = left[len(row) :]
        ordered += sorted(row, key=lambda cloth: sum(x for x, _ in cloth.corners))
    return tuple(ordered)
