"""Finding the white card in a corner of the photo, so that it is not taken for cloth."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import numpy.typing as npt
from skimage import filters, measure, morphology

from quiltboard.photos.corners import Corners, upright_corners
from quiltboard.photos.light import averaged_light, fitted_size
from quiltboard.photos.lightness import lab_of_light

if TYPE_CHECKING:
    from collections.abc import Callable

    from quiltboard.photos.light import Mask, Pixels

LOOKED_AT_PX: Final = 240
"""The size the photo is looked at: a card stays plain there, the weave is gone."""

_LEAST_SIDE_PX: Final = 200
_LEAST_SHARE: Final = 0.005
_MOST_SHARE: Final = 0.15
_REACH: Final = 0.42
_FARTHEST_IN: Final = 0.10
_PLAIN_STEP: Final = 2.5
_LEAST_VALUE: Final = 70.0
_MOST_CHROMA: Final = 10.0
_MOST_UNEVEN: Final = 2.0
_LEAST_FILL: Final = 0.85
_LEAST_EDGE: Final = 5.0
_ALIKE_TINT: Final = 5.0
_MARGIN: Final = 0.03

Lab = npt.NDArray[np.floating[Any]]
Labels = npt.NDArray[np.integer[Any]]


def corners_clear_of_card(pixels: Pixels) -> Corners | None:
    """Find the largest upright part of a photo that is free of a white card in its corner.

    A card is a plain, light, nearly neutral four-sided patch of half a hundredth to fifteen
    hundredths of the photo, in one corner of it, lighter than what lies beside it, the only
    one of its kind. Where any of that is in doubt there is no card: a light patch of the print
    must not be cut away.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.

    Returns
    -------
    Corners or None
        The rest of the photo beside or below the card, a little apart from it; None where no
        card was found.
    """
    height, width, _ = pixels.shape
    if min(height, width) < _LEAST_SIDE_PX:
        return None
    seen = _seen_from_afar(pixels)
    plain = _plain_parts(seen)
    label: Callable[..., Labels] = measure.label
    labels = label(plain, connectivity=1)
    sizes = np.bincount(labels.ravel())
    light = [
        at
        for at in range(1, len(sizes))
        if sizes[at] >= _LEAST_SHARE * plain.size / 4 and _is_light(seen[labels == at])
    ]
    cards = [at for at in light if _is_card(seen, labels == at)]
    if len(cards) != 1:
        return None
    card = labels == cards[0]
    tint = seen[card].mean(axis=0)[1:]
    # A second patch like it in size and tint, anywhere, makes it part of the print. How light
    # it is tells nothing: the light falls off across a photo.
    for at in light:
        alike = np.linalg.norm(seen[labels == at].mean(axis=0)[1:] - tint) < _ALIKE_TINT
        if at != cards[0] and sizes[at] > sizes[cards[0]] / 4 and alike:
            return None
    return _rest_of_photo(card)


def _seen_from_afar(pixels: Pixels) -> Lab:
    height, width, _ = pixels.shape
    light = averaged_light(pixels, *fitted_size(width, height, LOOKED_AT_PX))
    # A little blur takes out what the camera's grain would add to the steps between pixels.
    blur: Callable[..., Lab] = filters.gaussian
    return lab_of_light(np.clip(blur(light, sigma=0.8, channel_axis=-1), 0, 1))


def _square(side: int) -> npt.NDArray[np.uint8]:
    return np.ones((side, side), dtype=np.uint8)


def _plain_parts(seen: Lab) -> Mask:
    """Mark what is plain: no step to a neighbour, in patches that hold a good square."""
    steps = np.zeros(seen.shape[:2])
    for axis in (0, 1):
        step = np.linalg.norm(np.diff(seen, axis=axis), axis=-1)
        ahead = [(0, 0), (0, 0)]
        behind = [(0, 0), (0, 0)]
        ahead[axis], behind[axis] = (0, 1), (1, 0)
        steps = np.maximum(steps, np.maximum(np.pad(step, ahead), np.pad(step, behind)))
    side = max(3, min(seen.shape[:2]) // 20)
    opened: Mask = morphology.opening(steps < _PLAIN_STEP, _square(side))
    return opened


def _is_light(colours: Lab) -> bool:
    value, chroma = colours[:, 0].mean(), math.hypot(*colours[:, 1:].mean(axis=0))
    return bool(value >= _LEAST_VALUE and chroma <= _MOST_CHROMA)


def _is_card(seen: Lab, patch: Mask) -> bool:
    if not _LEAST_SHARE * patch.size <= patch.sum() <= _MOST_SHARE * patch.size:
        return False
    return (
        _lies_in_corner(patch)
        and _fill_of_rectangle(patch) >= _LEAST_FILL
        and _unevenness(seen[..., 0], patch) <= _MOST_UNEVEN
        and _stands_out(seen, patch)
    )


def _box(patch: Mask) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom as fractions of the photo."""
    rows, columns = np.nonzero(patch.any(axis=1))[0], np.nonzero(patch.any(axis=0))[0]
    height, width = patch.shape
    return (
        float(columns[0] / width),
        float(rows[0] / height),
        float((columns[-1] + 1) / width),
        float((rows[-1] + 1) / height),
    )


def _lies_in_corner(patch: Mask) -> bool:
    left, top, right, bottom = _box(patch)
    across = min((left, right), (1 - right, 1 - left))
    down = min((top, bottom), (1 - bottom, 1 - top))
    return all(near <= _FARTHEST_IN and far <= _REACH for near, far in (across, down))


def _fill_of_rectangle(patch: Mask) -> float:
    """Tell how much of the closest rectangle, however turned, a patch fills."""
    rows, columns = np.nonzero(patch)
    boxes = []
    for turn in np.radians(np.arange(-45, 45, 1.5)):
        along = columns * math.cos(turn) + rows * math.sin(turn)
        across = rows * math.cos(turn) - columns * math.sin(turn)
        # A row of pixels turned by an angle is this much wider than its middles say.
        grain = abs(math.cos(turn)) + abs(math.sin(turn))
        boxes.append((np.ptp(along) + grain) * (np.ptp(across) + grain))
    return float(len(rows) / min(boxes))


def _unevenness(value: Lab, patch: Mask) -> float:
    """Tell how far a patch's L* strays from an even fall-off of light."""
    rows, columns = np.nonzero(patch)
    plane = np.column_stack([np.ones(len(rows)), rows, columns])
    here = value[patch]
    fit = np.linalg.lstsq(plane, here, rcond=None)[0]
    return float(np.std(here - plane @ fit))


def _stands_out(seen: Lab, patch: Mask) -> bool:
    """Tell whether a patch is lighter than what lies round it, and set off from most of it."""
    near = morphology.dilation(patch, _square(7))
    far = morphology.dilation(patch, _square(15))
    ring = seen[far & ~near]
    own = seen[patch].mean(axis=0)
    apart = np.linalg.norm(ring - own, axis=1)
    lighter = own[0] - ring[:, 0].mean()
    return bool(lighter > 0 and (apart >= _LEAST_EDGE).mean() >= 0.4)


def _rest_of_photo(patch: Mask) -> Corners:
    left, top, right, bottom = _box(patch)
    # The light edge, the shadow and the rounding of the patch are left out with it.
    across = (right + _MARGIN, 1.0) if left < 1 - right else (0.0, left - _MARGIN)
    down = (bottom + _MARGIN, 1.0) if top < 1 - bottom else (0.0, top - _MARGIN)
    if across[1] - across[0] >= down[1] - down[0]:
        return upright_corners(across[0], 0.0, across[1], 1.0)
    return upright_corners(0.0, down[0], 1.0, down[1])
