"""The white card, grey card or sheet of paper by which a photo's white and exposure are set."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage
from skimage import morphology

from quiltboard.photos.corners import Corners
from quiltboard.photos.fall_off import LOOKED_AT_PX as CLOTH_PX
from quiltboard.photos.fall_off import FallOff, find_fall_off
from quiltboard.photos.light import Light, Mask, Pixels, averaged_light, fitted_size
from quiltboard.photos.lighting import (
    NO_GAIN,
    REFLECTED,
    Lighting,
    Reference,
    fall_off_at,
    gains_of_white,
    is_lamp_light,
)
from quiltboard.photos.lightness import XYZ_OF_LIGHT
from quiltboard.photos.plain_patches import (
    Lab,
    box,
    closest_rectangle,
    labelled,
    light_from_afar,
    plain_parts,
    rim,
    seen_from_afar,
    set_off,
    square,
    unevenness,
    value_and_chroma,
)

OUTSIDE: Final = "Click inside the photo, on the card."
NOT_EVEN: Final = (
    "There is no plain, even patch here: click in the middle of the card, or lay a larger card"
    " flat beside the cloth and take the photo again."
)
TOO_DARK: Final = (
    "It is too dark here to set the light by: click on the card, or take the photo again in"
    " more light."
)
BURNT_OUT: Final = (
    "The card is burnt out here: take the photo again with less exposure, so that the card is"
    " not pure white."
)

_LEAST_SIDE_PX: Final = 200
_LEAST_SHARE: Final = 0.005
_MOST_SHARE: Final = 0.15
_LEAST_FILL: Final = 0.88
_LEAST_SET_OFF: Final = 0.85
_LEAST_SET_OFF_WHITE: Final = 0.4
_AT_SIDE: Final = 0.02
_MOST_UNEVEN: Final = 2.0
_ALIKE: Final = 5.0

_WHITE_FROM: Final = 70.0
_WHITE_CHROMA: Final = 10.0
_GREY_BETWEEN: Final = (30.0, 68.0)
_GREY_CHROMA: Final = 5.0
_LIGHTER: Final = 1.6
"""How many times lighter than a grey card something else in the photo must be."""

_SHEET_SHARE: Final = 0.12
_SHEET_UNEVEN: Final = 5.0
_SHEET_CORNERS: Final = 3
_LEAST_CLOTH: Final = 0.05
_CRUMB: Final = 0.01
_CLOTH_FILL: Final = 0.9
_CLOTHS_APART: Final = 8.0

_CLICKED_PX: Final = 400
_CLICKED_REACH: Final = 0.25
_CLICKED_STEP: Final = 4.0
_LEAST_CLICKED_PX: Final = 40
_DARKEST: Final = 0.02
_BURNT_FROM: Final = 254
_BURNT_SHARE: Final = 0.1


class LightError(ValueError):
    """A place that white cannot be set by; its message says why, and how to mend it."""


class FoundReference(NamedTuple):
    """A card in a photo.

    Attributes
    ----------
    reference
        What it is.
    corners
        Where it lies (of a sheet under the cloth: its clearest part), as fractions of the
        photo.
    light
        Mean linear light of its plain middle: red, green, blue.
    """

    reference: Reference
    corners: Corners
    light: tuple[float, float, float]

    @property
    def at(self) -> tuple[float, float]:
        """Its middle, as fractions of the photo's width and height."""
        x, y = np.mean(self.corners, axis=0).tolist()
        return x, y


def find_reference(pixels: Pixels) -> FoundReference | None:
    """Find a white card, a grey card or a sheet of paper in a photo, if there is no doubt.

    A card is a plain, nearly neutral, four-sided patch of half a hundredth to fifteen
    hundredths of the photo, set off all round, the only one of its kind. A white one is the
    lightest thing in the photo, a grey one is far from it. A sheet lies under the cloth: plain,
    white, seen in at least three corners of the photo, and what lies on it is four-sided. In
    any doubt there is none: a light patch of a print must never set the white.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    """
    if min(pixels.shape[:2]) < _LEAST_SIDE_PX:
        return None
    light = light_from_afar(pixels)
    seen = seen_from_afar(light)
    labels, sizes = labelled(plain_parts(seen))
    patches = [
        labels == at
        for at in range(1, len(sizes))
        if sizes[at] >= _LEAST_SHARE * labels.size / 4
    ]
    for reference, fits in _KINDS:
        found = [patch for patch in patches if fits(seen, patch)]
        if len(found) == 1 and _is_alone(seen, found[0], patches):
            return _measured(reference, found[0], light, pixels)
    return None


def reference_at(
    pixels: Pixels, at: tuple[float, float], reference: Reference
) -> FoundReference:
    """Take a place that was clicked as the card.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    at
        The place, as fractions of the photo's width and height.
    reference
        What lies there.

    Raises
    ------
    LightError
        If the place is outside the photo, not even, too dark or burnt out; the message says
        how to mend it.
    """
    if not (0 <= at[0] <= 1 and 0 <= at[1] <= 1):
        raise LightError(OUTSIDE)
    light = light_from_afar(pixels, _CLICKED_PX)
    seen = seen_from_afar(light)
    height, width = seen.shape[:2]
    column, row = min(int(at[0] * width), width - 1), min(int(at[1] * height), height - 1)
    here = np.s_[max(row - 2, 0) : row + 3, max(column - 2, 0) : column + 3]
    middle = np.median(seen[here].reshape(-1, 3), axis=0)
    down, across = np.ogrid[:height, :width]
    near = np.hypot(down - row, across - column) <= _CLICKED_REACH * max(height, width)
    alike = near & (np.linalg.norm(seen - middle, axis=-1) <= _CLICKED_STEP)
    # Opened, so that it does not leak along a thin light line.
    labels, _ = labelled(morphology.opening(alike, square(3)))
    patch = labels == labels[row, column]
    if not labels[row, column] or np.count_nonzero(_middle(patch)) < _LEAST_CLICKED_PX:
        raise LightError(NOT_EVEN)
    found = _measured(reference, patch, light, pixels)
    if found is None:
        raise LightError(BURNT_OUT)
    if XYZ_OF_LIGHT[1] @ found.light < _DARKEST or min(found.light) <= 0:
        raise LightError(TOO_DARK)
    return found


def lighting_of(pixels: Pixels, found: FoundReference | None, cloth: Corners) -> Lighting:
    """Work out how a photo's light is set right for a cloth in it.

    With a card, white and exposure come from it, and the light is taken to be right where it
    lies (followed a little way beyond the cloth, not farther). Without one only the fall-off is
    taken out, and the cloth's mean light stays what it was.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first: the photo.
    found
        The card in it.
    cloth
        Where the cloth lies in it.
    """
    light, x, y, mask = _cloth_from_afar(pixels, cloth, found)
    fall_off = find_fall_off(light, 2 * x - 1, 2 * y - 1, mask)
    gains = np.array(NO_GAIN)
    if found is not None:
        gains = gains_of_white(found.light, REFLECTED[found.reference])
    if fall_off is not None:
        gains = gains * _kept(fall_off, light[mask], x[mask], y[mask], found)
    a, b, c = ((row[0], row[1], row[2]) for row in gains.tolist())
    return Lighting(
        reference=found.reference if found else None,
        at=found.at if found else None,
        gains=(a, b, c),
        fall_off=fall_off,
        lamp=found is not None and is_lamp_light(found.light),
    )


def _kept(
    fall_off: FallOff,
    light: Light,
    x: npt.NDArray[np.float64],
    y: npt.NDArray[np.float64],
    found: FoundReference | None,
) -> float:
    """Give what the evened light is multiplied by, so that it is right where it was right."""
    field = fall_off_at(fall_off, x, y)
    if found is None:
        luminance = light @ XYZ_OF_LIGHT[1]
        return float(luminance.sum() / (luminance * np.exp(-field)).sum())
    there = fall_off_at(fall_off, *(np.asarray(part) for part in found.at))
    # Outside the cloth a polynomial runs away: it is followed half as far again, no farther.
    beyond = np.ptp(field) / 2
    return float(np.exp(np.clip(there, field.min() - beyond, field.max() + beyond)))


def _cloth_from_afar(
    pixels: Pixels, cloth: Corners, found: FoundReference | None
) -> tuple[Light, npt.NDArray[np.float64], npt.NDArray[np.float64], Mask]:
    """Give a small picture round the cloth, where its pixels lie, and which are cloth alone."""
    height, width, _ = pixels.shape
    low, high = np.min(cloth, axis=0), np.max(cloth, axis=0)
    left, top = (int(low[0] * width), int(low[1] * height))
    right, bottom = max(left + 1, round(high[0] * width)), max(top + 1, round(high[1] * height))
    part = pixels[top:bottom, left:right]
    # Of a large part every second or third pixel is enough to see slow light by.
    skip = max(1, max(part.shape[:2]) // (4 * CLOTH_PX))
    part = part[::skip, ::skip]
    light = averaged_light(part, *fitted_size(part.shape[1], part.shape[0], CLOTH_PX))
    rows, columns = light.shape[:2]
    across = (left + (np.arange(columns) + 0.5) / columns * (right - left)) / width
    down = (top + (np.arange(rows) + 0.5) / rows * (bottom - top)) / height
    x, y = np.meshgrid(across, down)
    mask = _inside(cloth, x, y)
    if found is not None:
        middle = np.array(found.at)
        wider = tuple(
            (float(u), float(v)) for u, v in middle + 1.15 * (np.array(found.corners) - middle)
        )
        mask &= ~_inside(wider, x, y)
    return light, x, y, mask


def _inside(
    corners: tuple[tuple[float, float], ...],
    x: npt.NDArray[np.float64],
    y: npt.NDArray[np.float64],
) -> Mask:
    inside = np.ones(x.shape, dtype=np.bool_)
    for (u, v), (p, q) in zip(corners, (*corners[1:], corners[0]), strict=True):
        inside &= (p - u) * (y - v) - (q - v) * (x - u) >= 0
    return inside


def _is_white(seen: Lab, patch: Mask) -> bool:
    value, chroma = value_and_chroma(seen[patch])
    return value >= _WHITE_FROM and chroma <= _WHITE_CHROMA


def _is_lightest(seen: Lab, patch: Mask) -> bool:
    """Tell whether a patch is as light as all but a few spots of the rest of the photo."""
    rest = seen[..., 0][~morphology.dilation(patch, square(7))]
    return float(np.quantile(rest, 0.97)) <= float(seen[patch][:, 0].mean()) + 1.0


def _is_card(seen: Lab, patch: Mask) -> bool:
    if not _LEAST_SHARE * patch.size <= patch.sum() <= _MOST_SHARE * patch.size:
        return False
    left, top, right, bottom = box(patch)
    # What runs through the whole photo is a stripe, a border or the table.
    if right - left > 1 - _AT_SIDE or bottom - top > 1 - _AT_SIDE:
        return False
    return (
        unevenness(seen[..., 0], patch) <= _MOST_UNEVEN
        and closest_rectangle(patch).fill >= _LEAST_FILL
    )


def _lies_in_corner(patch: Mask) -> bool:
    left, top, right, bottom = box(patch)
    return min(left, 1 - right) <= _AT_SIDE and min(top, 1 - bottom) <= _AT_SIDE


def _is_white_card(seen: Lab, patch: Mask) -> bool:
    if not _is_white(seen, patch) or not _is_card(seen, patch):
        return False
    # A card that runs out of a corner of the photo is no motif, and may lie on a light cloth.
    least = _LEAST_SET_OFF_WHITE if _lies_in_corner(patch) else _LEAST_SET_OFF
    lighter = seen[patch][:, 0].mean() > seen[rim(patch)][:, 0].mean()
    return bool(lighter) and set_off(seen, patch) >= least and _is_lightest(seen, patch)


def _is_grey_card(seen: Lab, patch: Mask) -> bool:
    value, chroma = value_and_chroma(seen[patch])
    if not _GREY_BETWEEN[0] <= value <= _GREY_BETWEEN[1] or chroma > _GREY_CHROMA:
        return False
    far_lighter = 116 * _LIGHTER ** (1 / 3) * (value + 16) / 116 - 16
    return (
        _is_card(seen, patch)
        and set_off(seen, patch) >= _LEAST_SET_OFF
        and float((seen[..., 0] >= far_lighter).mean()) >= 0.02
    )


def _is_sheet(seen: Lab, patch: Mask) -> bool:
    if patch.sum() < _SHEET_SHARE * patch.size or not _is_white(seen, patch):
        return False
    edge = max(2, min(patch.shape) // 30)
    ends = (np.s_[:edge], np.s_[-edge:])
    touched = sum(bool(patch[down, across].any()) for down in ends for across in ends)
    if touched < _SHEET_CORNERS or unevenness(seen[..., 0], patch) > _SHEET_UNEVEN:
        return False
    # The seam between cloth and sheet belongs to neither.
    grown = morphology.dilation(patch, square(5))
    labels, sizes = labelled(morphology.opening(~grown, square(5)))
    cloths = [
        labels == at for at in range(1, len(sizes)) if sizes[at] >= _LEAST_CLOTH * patch.size
    ]
    crumbs = sizes[1:][sizes[1:] < _LEAST_CLOTH * patch.size].sum()
    if not cloths or crumbs > _CRUMB * patch.size:
        return False
    # A print of like patches on white looks like cloths on a sheet, but cloths differ.
    colours = [seen[cloth].mean(axis=0) for cloth in cloths]
    return (
        all(closest_rectangle(cloth).fill >= _CLOTH_FILL for cloth in cloths)
        and all(np.linalg.norm(a - b) >= _CLOTHS_APART for a, b in combinations(colours, 2))
        and _is_lightest(seen, patch)
    )


_KINDS: Final[tuple[tuple[Reference, Callable[[Lab, Mask], bool]], ...]] = (
    ("white card", _is_white_card),
    ("white sheet", _is_sheet),
    ("grey card", _is_grey_card),
)


def _is_alone(seen: Lab, card: Mask, patches: list[Mask]) -> bool:
    """Tell whether nothing else of some size has the colour of a card.

    The value of another patch may differ by what light falls off across a photo.
    """
    own = seen[card].mean(axis=0)
    like_it = np.linalg.norm(seen - own, axis=-1) < _ALIKE
    elsewhere = morphology.opening(like_it & ~morphology.dilation(card, square(7)), square(7))
    if elsewhere.sum() > card.sum() / 2 and not _lies_in_corner(card):
        return False
    for patch in patches:
        other = seen[patch].mean(axis=0)
        alike = np.linalg.norm(other[1:] - own[1:]) < _ALIKE and other[0] >= 0.7 * own[0]
        if patch is not card and patch.sum() > card.sum() / 4 and alike:
            return False
    return True


def _middle(patch: Mask) -> Mask:
    eroded: Mask = ndimage.binary_erosion(patch, square(3), iterations=2, border_value=1)
    return eroded


def _measured(
    reference: Reference, patch: Mask, light: Light, pixels: Pixels
) -> FoundReference | None:
    """Take the light of a patch; None where too much of it is burnt out."""
    corners = closest_rectangle(patch).corners
    middle = _middle(patch)
    if reference == "white sheet":
        middle, corners = _clearest_part(middle)
    height, width = patch.shape
    down, across = np.nonzero(middle)
    rows = ((down + 0.5) * pixels.shape[0] / height).astype(np.intp)
    columns = ((across + 0.5) * pixels.shape[1] / width).astype(np.intp)
    burnt = (pixels[rows, columns] >= _BURNT_FROM).any(axis=-1)
    if burnt.mean() > _BURNT_SHARE:
        return None
    red, green, blue = light[middle].mean(axis=0, dtype=np.float64).tolist()
    return FoundReference(reference, corners, (red, green, blue))


def _clearest_part(patch: Mask) -> tuple[Mask, Corners]:
    """Give a square of a sheet as far as can be from all that lies on it."""
    depth = ndimage.distance_transform_cdt(np.pad(patch, 1), "chessboard")[1:-1, 1:-1]
    row, column = np.unravel_index(int(depth.argmax()), depth.shape)
    half = int(depth.max()) - 1
    part = np.zeros_like(patch)
    part[row - half : row + half + 1, column - half : column + half + 1] = True
    left, top, right, bottom = box(part)
    return part, ((left, top), (right, top), (right, bottom), (left, bottom))
