"""What the cloths lie on: the colours that come in at more than one side of the photo."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from quiltboard.photos.lightness import lab_of_light

if TYPE_CHECKING:
    from quiltboard.photos.light import Light, Mask

Floats = npt.NDArray[np.floating[Any]]

_RING: Final = 0.025
_BIN: Final = 4.0
_BINS: Final = (32, 60, 60)
_BLUR_BINS: Final = 0.7
_LEAST_SHARE: Final = 3e-4
_GRAIN_PX: Final = 0.7
_BROAD_PX: Final = 3.0
_RIM_PX: Final = 4
_LEAST_RING_PX: Final = 500
_MOST_OF_RING: Final = 0.7
_NO_LIGHT: Final = 1e-4


class Apart(NamedTuple):
    """What does not look like the ground.

    Attributes
    ----------
    close_to
        As seen pixel by pixel: true to the rim, though prints may share the ground's colours.
    from_afar
        As seen blurred, when grain and ruled lines mix to fewer colours than they are made of;
        narrow gaps are lost, and the rim of a cloth is left away.
    motley
        How far the colours along the sides of the photo are apart, blurred, in L*a*b*: a table
        is of one kind, a print that fills the frame is not.
    """

    close_to: Mask
    from_afar: Mask
    motley: float


def apart_from_ground(light: Light, left_out: Mask) -> Apart:
    """Mark what does not look like the ground that the cloths lie on.

    A colour is the ground's where it comes in at two sides of the photo at least: so do grain,
    planks and ruled lines, but not a cloth that runs out of the photo at one side.

    Parameters
    ----------
    light
        ndarray of shape (M, N, 3), linear light of a small picture.
    left_out
        ndarray of shape (M, N): True where there is no cloth and no ground either.
    """
    sides = _sides(left_out)
    fine, coarse = (ndimage.gaussian_filter(light, (r, r, 0)) for r in (_GRAIN_PX, _BROAD_PX))
    known = ring = np.logical_or.reduce(sides)
    if ring.sum() < _LEAST_RING_PX:
        return Apart(np.zeros_like(ring), np.zeros_like(ring), 0.0)
    # First the fall-off of light is told from the ring, then from all of the ground.
    for _ in range(2):
        fall = _fall_off(fine, known)[..., np.newaxis]
        known = _like_sides(fine / fall, sides) & ~left_out
    afar = coarse / fall
    colours = lab_of_light(np.clip(afar[ring], 0, 4))
    apart = np.linalg.norm(colours - np.median(colours, axis=0), axis=-1)
    broad = ~_like_sides(afar, sides) & ~left_out
    return Apart(
        ~known & ~left_out,
        ndimage.binary_erosion(broad, iterations=_RIM_PX),
        float(np.quantile(apart, _MOST_OF_RING)),
    )


def _sides(left_out: Mask) -> list[Mask]:
    height, width = left_out.shape
    deep = max(3, round(_RING * max(height, width)))
    sides = []
    for part in (np.s_[:deep], np.s_[-deep:], np.s_[:, :deep], np.s_[:, -deep:]):
        side = np.zeros_like(left_out)
        side[part] = True
        sides.append(side & ~left_out)
    return sides


def _fall_off(light: Light, known: Mask) -> Floats:
    """Fit a smooth fall-off of light to what is known of the ground; 1 in the median."""
    height, width = known.shape
    down, across = np.mgrid[0:height, 0:width]
    x, y = across / width * 2 - 1, down / height * 2 - 1
    terms = np.stack([np.ones_like(x), x, y, x * x + y * y], axis=-1)
    depth = np.log(light.mean(axis=-1) + _NO_LIGHT)
    rows, values = terms[known][::3], depth[known][::3]
    near = np.ones(len(rows), dtype=np.bool_)
    for _ in range(4):
        fit = np.linalg.lstsq(rows[near], values[near], rcond=None)[0]
        off = np.abs(values - rows @ fit)
        near = off <= max(0.05, 2.5 * float(np.median(off)))
    fitted = terms @ fit
    return np.asarray(np.exp(fitted - np.median(fitted)))


def _places(lab: Floats) -> npt.NDArray[np.intp]:
    at = np.floor(lab / _BIN).astype(np.intp)
    at[..., 1:] += _BINS[1] // 2
    np.clip(at, 0, np.array(_BINS) - 1, out=at)
    flat: npt.NDArray[np.intp] = np.ravel_multi_index(tuple(np.moveaxis(at, -1, 0)), _BINS)
    return flat


def _like_sides(light: Floats, sides: list[Mask]) -> Mask:
    """Mark the colours that come in at two sides at least."""
    at = _places(lab_of_light(np.clip(light, 0, 4)))
    votes = np.zeros(_BINS, dtype=np.intp)
    for side in sides:
        counts = np.bincount(at[side], minlength=votes.size).reshape(_BINS).astype(np.float64)
        spread = ndimage.gaussian_filter(counts, _BLUR_BINS)
        votes += spread > _LEAST_SHARE * max(1.0, counts.sum())
    return (votes >= 2).ravel()[at]
