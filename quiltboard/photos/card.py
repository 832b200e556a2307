"""Finding the white card in a corner of the photo, so that it is not taken for cloth."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from quiltboard.photos.corners import Corners, upright_corners
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
    unevenness,
    value_and_chroma,
)

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask, Pixels

_LEAST_SIDE_PX: Final = 200
_LEAST_SHARE: Final = 0.005
_MOST_SHARE: Final = 0.15
_REACH: Final = 0.42
_FARTHEST_IN: Final = 0.10
_LEAST_VALUE: Final = 70.0
_MOST_CHROMA: Final = 10.0
_MOST_UNEVEN: Final = 2.0
_LEAST_FILL: Final = 0.85
_LEAST_SET_OFF: Final = 0.4
_ALIKE_TINT: Final = 5.0
_MARGIN: Final = 0.03


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
    seen = seen_from_afar(light_from_afar(pixels))
    labels, sizes = labelled(plain_parts(seen))
    light = [
        at
        for at in range(1, len(sizes))
        if sizes[at] >= _LEAST_SHARE * labels.size / 4 and _is_light(seen[labels == at])
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


def _is_light(colours: Lab) -> bool:
    value, chroma = value_and_chroma(colours)
    return value >= _LEAST_VALUE and chroma <= _MOST_CHROMA


def _is_card(seen: Lab, patch: Mask) -> bool:
    if not _LEAST_SHARE * patch.size <= patch.sum() <= _MOST_SHARE * patch.size:
        return False
    return (
        _lies_in_corner(patch)
        and closest_rectangle(patch).fill >= _LEAST_FILL
        and unevenness(seen[..., 0], patch) <= _MOST_UNEVEN
        and _stands_out(seen, patch)
    )


def _lies_in_corner(patch: Mask) -> bool:
    left, top, right, bottom = box(patch)
    across = min((left, right), (1 - right, 1 - left))
    down = min((top, bottom), (1 - bottom, 1 - top))
    return all(near <= _FARTHEST_IN and far <= _REACH for near, far in (across, down))


def _stands_out(seen: Lab, patch: Mask) -> bool:
    """Tell whether a patch is lighter than what lies round it, and set off from most of it."""
    lighter = seen[patch][:, 0].mean() - seen[rim(patch)][:, 0].mean()
    return bool(lighter > 0 and set_off(seen, patch) >= _LEAST_SET_OFF)


def _rest_of_photo(patch: Mask) -> Corners:
    left, top, right, bottom = box(patch)
    # The light edge, the shadow and the rounding of the patch are left out with it.
    across = (right + _MARGIN, 1.0) if left < 1 - right else (0.0, left - _MARGIN)
    down = (bottom + _MARGIN, 1.0) if top < 1 - bottom else (0.0, top - _MARGIN)
    if across[1] - across[0] >= down[1] - down[0]:
        return upright_corners(across[0], 0.0, across[1], 1.0)
    return upright_corners(0.0, down[0], 1.0, down[1])
