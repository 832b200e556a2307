"""Plain patches of a photo: where it shows one even colour, and how that patch is shaped."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from skimage import filters, measure, morphology

from quiltboard.photos.corners import Corners
from quiltboard.photos.light import averaged_light, fitted_size
from quiltboard.photos.lightness import lab_of_light

if TYPE_CHECKING:
    from collections.abc import Callable

    from quiltboard.photos.light import Light, Mask, Pixels

LOOKED_AT_PX: Final = 240
"""The size the photo is looked at: a card stays plain there, the weave is gone."""

_PLAIN_STEP: Final = 2.5
_LEAST_EDGE: Final = 5.0

Lab = npt.NDArray[np.floating[Any]]
Labels = npt.NDArray[np.integer[Any]]


class Rectangle(NamedTuple):
    """The closest rectangle round a patch, however turned.

    Attributes
    ----------
    fill
        How much of it the patch fills, 0 to 1.
    corners
        Where it lies, as fractions of the photo, kept inside it.
    """

    fill: float
    corners: Corners


def light_from_afar(pixels: Pixels, longest_px: int = LOOKED_AT_PX) -> Light:
    """Give a photo's light as it is looked at for patches."""
    height, width, _ = pixels.shape
    return averaged_light(pixels, *fitted_size(width, height, longest_px))


def seen_from_afar(light: Light) -> Lab:
    """Give the colours of a small picture without its grain."""
    # A little blur takes out what the camera's grain would add to the steps between pixels.
    blur: Callable[..., Lab] = filters.gaussian
    return lab_of_light(np.clip(blur(light, sigma=0.8, channel_axis=-1), 0, 1))


def square(side: int) -> npt.NDArray[np.uint8]:
    """Give a square for growing and shrinking patches by."""
    return np.ones((side, side), dtype=np.uint8)


def plain_parts(seen: Lab) -> Mask:
    """Mark what is plain: no step to a neighbour, in patches that hold a good square."""
    steps = np.zeros(seen.shape[:2])
    for axis in (0, 1):
        step = np.linalg.norm(np.diff(seen, axis=axis), axis=-1)
        ahead = [(0, 0), (0, 0)]
        behind = [(0, 0), (0, 0)]
        ahead[axis], behind[axis] = (0, 1), (1, 0)
        steps = np.maximum(steps, np.maximum(np.pad(step, ahead), np.pad(step, behind)))
    side = max(3, min(seen.shape[:2]) // 20)
    opened: Mask = morphology.opening(steps < _PLAIN_STEP, square(side))
    return opened


def labelled(marked: Mask) -> tuple[Labels, npt.NDArray[np.intp]]:
    """Give each patch a number from 1, and the count of pixels of each number."""
    label: Callable[..., Labels] = measure.label
    labels = label(marked, connectivity=1)
    return labels, np.bincount(labels.ravel())


def value_and_chroma(colours: Lab) -> tuple[float, float]:
    """Give L* and chroma of the mean of a patch's colours."""
    return float(colours[:, 0].mean()), math.hypot(*colours[:, 1:].mean(axis=0))


def box(patch: Mask) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom as fractions of the photo."""
    rows, columns = np.nonzero(patch.any(axis=1))[0], np.nonzero(patch.any(axis=0))[0]
    height, width = patch.shape
    return (
        float(columns[0] / width),
        float(rows[0] / height),
        float((columns[-1] + 1) / width),
        float((rows[-1] + 1) / height),
    )


def closest_rectangle(patch: Mask) -> Rectangle:
    """Find the smallest rectangle that holds a patch."""
    rows, columns = np.nonzero(patch)
    height, width = patch.shape
    sides: list[tuple[float, float, float, float, float, float]] = []
    for turn in np.radians(np.arange(-45, 45, 1.5)).tolist():
        cos, sin = math.cos(turn), math.sin(turn)
        along = columns * cos + rows * sin
        across = rows * cos - columns * sin
        # A row of pixels turned by an angle is this much wider than its middles say.
        half = (abs(cos) + abs(sin)) / 2
        left, right = float(along.min()) - half, float(along.max()) + half
        top, bottom = float(across.min()) - half, float(across.max()) + half
        sides.append(((right - left) * (bottom - top), turn, left, top, right, bottom))
    area, turn, left, top, right, bottom = min(sides)
    cos, sin = math.cos(turn), math.sin(turn)
    round_it = ((left, top), (right, top), (right, bottom), (left, bottom))
    a, b, c, d = (
        (
            float(np.clip((u * cos - v * sin + 0.5) / width, 0, 1)),
            float(np.clip((u * sin + v * cos + 0.5) / height, 0, 1)),
        )
        for u, v in round_it
    )
    return Rectangle(float(len(rows) / area), (a, b, c, d))


def unevenness(value: Lab, patch: Mask) -> float:
    """Tell how far a patch's L* strays from an even fall-off of light."""
    rows, columns = np.nonzero(patch)
    plane = np.column_stack([np.ones(len(rows)), rows, columns])
    here = value[patch]
    fit = np.linalg.lstsq(plane, here, rcond=None)[0]
    return float(np.std(here - plane @ fit))


def rim(patch: Mask) -> Mask:
    """Mark a ring of pixels a little outside a patch."""
    near: Mask = morphology.dilation(patch, square(7))
    far: Mask = morphology.dilation(patch, square(15))
    return far & ~near


def set_off(seen: Lab, patch: Mask) -> float:
    """Tell what share of the ring round a patch has another colour."""
    apart = np.linalg.norm(seen[rim(patch)] - seen[patch].mean(axis=0), axis=1)
    return float((apart >= _LEAST_EDGE).mean())
