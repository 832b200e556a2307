"""The relief of a swatch: its luminance from place to place, for the value of one piece.

A piece cut from a large print may be far lighter or darker than the cloth as a whole. The
relief is small enough to be kept with the fabric and asked for every piece of a top.

References
----------
IEC 61966-2-1:1999, sRGB; CIE e-ILV 17-23-076, L*.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from quiltboard.fabrics.reading import RELIEF_SIDE, Vector
from quiltboard.photos.light import LIGHT_OF, Light, to_encoded
from quiltboard.photos.lightness import XYZ_OF_LIGHT, value_of_luminance

Points = npt.NDArray[np.float64]
"""ndarray of shape (N, 2): x and y, as fractions of the swatch's width and of its height."""

_LUMINANCE: Final = XYZ_OF_LIGHT[1].astype(np.float32)


def relief_of(light: Light) -> bytes:
    """Keep how light a swatch is from place to place.

    Parameters
    ----------
    light
        ndarray of shape (M, N, 3), linear light 0 to 1, rows first.

    Returns
    -------
    bytes
        64 × 64, rows first: each the sRGB encoding (0 to 255) of the mean luminance of exactly
        the area it covers, parts of pixels counted as parts.
    """
    means = _averaged(_averaged(light @ _LUMINANCE).T).T
    return np.rint(to_encoded(means) * 255).astype(np.uint8).tobytes()


def relief_value(relief: bytes, points: Points) -> float:
    """Tell how light a piece reads that shows only a part of the swatch.

    Parameters
    ----------
    relief
        From `relief_of`.
    points
        Places spread evenly over the piece (`points_in` gives them). Beyond the swatch the
        print goes on as its mirror image.

    Returns
    -------
    float
        L* of the mean luminance of the part.
    """
    return float(relief_values(relief, points[None])[0])


def relief_values(relief: bytes, points: Points) -> npt.NDArray[np.float64]:
    """Tell how light each of many pieces reads; sooner than one after the other.

    Parameters
    ----------
    relief
        From `relief_of`.
    points
        ndarray of shape (M, N, 2): places spread evenly over each of M pieces.

    Returns
    -------
    ndarray of shape (M,)
        L* of the mean luminance of each.
    """
    # Between the middles of the cells the luminance runs straight from one to the next.
    at = _folded(points) * RELIEF_SIDE - 0.5
    cell = np.floor(at)
    x, y = np.moveaxis(at - cell, -1, 0)
    left, above = np.moveaxis(cell.astype(np.intp), -1, 0) + 1
    seen, across = _luminances(relief)
    first = above * across + left
    upper = seen[first] * (1 - x) + seen[first + 1] * x
    lower = seen[first + across] * (1 - x) + seen[first + across + 1] * x
    mean = np.mean(upper * (1 - y) + lower * y, axis=-1)
    values: npt.NDArray[np.float64] = value_of_luminance(np.maximum(mean, 0))
    return values


def points_in(outline: Sequence[Vector], count: int = 400) -> Points:
    """Spread places evenly over a piece.

    Parameters
    ----------
    outline
        The corners of the piece, in any order round it; it may lie anywhere.
    count
        About how many places.

    Returns
    -------
    ndarray of shape (N, 2)

    Raises
    ------
    ValueError
        If the outline has no area.
    """
    corners = np.asarray(outline, dtype=np.float64)
    following = np.roll(corners, -1, axis=0)
    (x1, y1), (x2, y2) = corners.T, following.T
    area = abs(float(np.sum(x1 * y2 - x2 * y1))) / 2
    if not area > 0:
        raise ValueError("a piece without area has no value")
    step = float(np.sqrt(area / count))
    low, high = corners.min(axis=0), corners.max(axis=0)
    across, down = (np.arange(a + step / 2, b, step) for a, b in zip(low, high, strict=True))
    x, y = (axis.ravel() for axis in np.meshgrid(across, down))
    # A place is inside where the way to its left crosses the outline an odd number of times.
    spans = (y1 > y[:, None]) != (y2 > y[:, None])
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = x1 + (y[:, None] - y1) * (x2 - x1) / (y2 - y1)
    inside = (spans & (meets < x[:, None])).sum(axis=1) % 2 == 1
    return np.stack([x[inside], y[inside]], axis=1)


def _averaged(rows: npt.NDArray[Any]) -> npt.NDArray[np.float64]:
    """Average rows into as many as the relief has, parts of rows counted as parts."""
    # A matrix product would be shorter, but makes threads that wait for each other where two
    # photos are measured at once.
    edges = np.linspace(0, len(rows), RELIEF_SIDE + 1)
    first = edges.astype(np.intp)
    whole = np.add.reduceat(rows, first[:-1], axis=0)
    whole[first[:-1] == first[1:]] = 0
    cut = (edges - first)[:, None] * rows[np.minimum(first, len(rows) - 1)]
    averaged: npt.NDArray[np.float64] = (whole + np.diff(cut, axis=0)) * RELIEF_SIDE / len(rows)
    return averaged


def _folded(points: Points) -> Points:
    """Fold the plane of mirrored swatches onto the one."""
    return 1 - np.abs(1 - points % 2)


@lru_cache(maxsize=512)
def _luminances(relief: bytes) -> tuple[npt.NDArray[np.float64], int]:
    """Give the luminance at each cell's middle, with a rim that mirrors the outermost.

    They come in one row, line by line, and with them how many make a line.

    The middles m are set so that straight lines between them leave every cell its own mean,
    which is (m before + 6 m + m after) / 8, both ways. To take the means for middles would blur
    the print, and a light spot beside a dark piece would shine into it.
    """
    cells = LIGHT_OF[np.frombuffer(relief, dtype=np.uint8)]
    means_of = (
        6 * np.eye(RELIEF_SIDE) + np.eye(RELIEF_SIDE, k=1) + np.eye(RELIEF_SIDE, k=-1)
    ) / 8
    means_of[0, 0] = means_of[-1, -1] = 7 / 8
    middles_of = np.linalg.inv(means_of)
    middles = middles_of @ cells.reshape(RELIEF_SIDE, RELIEF_SIDE) @ middles_of.T
    return np.pad(middles, 1, mode="edge").ravel(), RELIEF_SIDE + 2
