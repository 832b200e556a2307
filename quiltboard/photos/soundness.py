"""Whether a photo is sound enough to be measured: not cut off at the top, not blurred."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from quiltboard.photos.light import Pixels, smaller

CUT_OFF: Final = (
    "The brightest parts are cut off, which changes their colour: take the photo again with"
    " less exposure."
)
BLURRED: Final = (
    "The photo is blurred: hold the camera still, let it focus on the cloth, and take it again."
)
SOUNDNESS_WARNINGS: Final = (CUT_OFF, BLURRED)

JUDGED_AT_PX: Final = 1024

_CUT_OFF_FROM: Final = 254
_CUT_OFF_SHARE: Final = 0.1
_BLOCK_PX: Final = 32
_LEAST_CONTRAST: Final = 50.0
_FEWEST_EDGES: Final = 12
_SHARPEST: Final = 0.15
_WIDEST_EDGE_PX: Final = 6.0

Grey = npt.NDArray[np.floating[Any]]


def soundness_warnings(pixels: Pixels) -> tuple[str, ...]:
    """Say what is wrong with the photo of a cloth, and how to mend it.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first: the cloth or card, cut out. A larger
        one is judged at `JUDGED_AT_PX`.

    Returns
    -------
    tuple of str
        Nothing where the photo is sound, or shows too little to tell.
    """
    swatch = smaller(pixels, JUDGED_AT_PX)
    found = ((CUT_OFF, _is_cut_off(swatch)), (BLURRED, _is_blurred(swatch)))
    return tuple(sentence for sentence, true in found if true)


def _is_cut_off(swatch: Pixels) -> bool:
    """Tell whether some colours, but not all three, stop at the top.

    Where all three do, the cloth may be white.
    """
    red, green, blue = np.moveaxis(swatch >= _CUT_OFF_FROM, -1, 0)
    return float(((red | green | blue) & ~(red & green & blue)).mean()) > _CUT_OFF_SHARE


def _is_blurred(swatch: Pixels) -> bool:
    """Tell whether even the sharpest of the strong edges are wide.

    A cloth without strong edges, plain or softly tonal, does not tell and is not called
    blurred.
    """
    if min(swatch.shape[:2]) < 2 * _BLOCK_PX:
        return False
    # Seen through a bell of one pixel, which takes out most of the grain.
    grey = np.asarray(Image.fromarray(swatch).convert("L"), dtype=np.float32)
    grey = ndimage.gaussian_filter(grey, 1.0, truncate=2.0)
    across, down = grey[1:-1, 2:] - grey[1:-1, :-2], grey[2:, 1:-1] - grey[:-2, 1:-1]
    steepest = np.sqrt(_highest(across * across + down * down)) / 2
    contrast = _highest(grey[1:-1, 1:-1]) + _highest(-grey[1:-1, 1:-1])
    strong = contrast >= _LEAST_CONTRAST
    if np.count_nonzero(strong) < _FEWEST_EDGES:
        return False
    widths = contrast[strong] / steepest[strong]
    return float(np.quantile(widths, _SHARPEST)) > _WIDEST_EDGE_PX


def _highest(grey: Grey) -> Grey:
    """Give the highest of each block."""
    down, across = (size // _BLOCK_PX for size in grey.shape)
    whole = grey[: down * _BLOCK_PX, : across * _BLOCK_PX]
    rows = whole.reshape(down, _BLOCK_PX, -1).max(axis=1)
    highest: Grey = rows.reshape(down, across, _BLOCK_PX).max(axis=-1)
    return highest
