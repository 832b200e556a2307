"""Outlines of patches: four sides round them, lines along them, and what lies inside."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw
from scipy.spatial import ConvexHull
from skimage import measure

from quiltboard.photos.straighten import homography

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask

Points = npt.NDArray[np.float64]
"""ndarray of shape (N, 2): x and y in pixels, the middle of the first pixel at 0.5, 0.5."""

_CORNER_SHARE: Final = 0.08
_ROUNDS: Final = 4
_CELLS: Final = 32


def boundary_of(mask: Mask) -> Points:
    """Give the outline of a patch without holes, clockwise."""
    contours_of: Callable[..., list[Points]] = measure.find_contours
    contours = contours_of(np.pad(mask, 1).astype(np.float32), 0.5)
    longest = max(contours, key=len)[:-1, ::-1] - 0.5
    return clockwise(np.asarray(longest, dtype=np.float64))


def simplified(boundary: Points, tolerance_px: float) -> Points:
    """Give the corners of an outline, what strays less than a tolerance left out."""
    approximate: Callable[..., Points] = measure.approximate_polygon
    return approximate(np.vstack([boundary, boundary[:1]]), tolerance_px)[:-1]


def area_of(points: Points) -> float:
    """Give the area of a polygon, positive where it runs clockwise."""
    x, y = points.T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


def clockwise(points: Points) -> Points:
    """Turn a polygon so that it runs clockwise as the photo is seen."""
    return points if area_of(points) > 0 else points[::-1]


def hull_of(points: Points) -> Points:
    """Give the convex outline round points, clockwise."""
    return clockwise(points[ConvexHull(points).vertices])


def filled(points: Points, shape: tuple[int, ...]) -> Mask:
    """Mark the pixels inside a polygon."""
    canvas = Image.new("L", (shape[1], shape[0]))
    # ImageDraw counts from the middle of a pixel, and draws the outline on the pixels it meets.
    ImageDraw.Draw(canvas).polygon([(x - 0.5, y - 0.5) for x, y in points.tolist()], fill=1)
    return np.asarray(canvas).astype(np.bool_)


def overlap(one: Mask, other: Mask) -> float:
    """Give what two patches share of what they cover together."""
    return float((one & other).sum() / max(1, (one | other).sum()))


def meeting(one: Points, other: Points) -> Points | None:
    """Give where the lines through two pairs of points meet; None where they hardly do."""
    (p, q), (r, s) = one, other
    along, across = q - p, s - r
    turn = along[0] * across[1] - along[1] * across[0]
    if abs(turn) < 0.02 * np.hypot(*along) * np.hypot(*across):
        return None
    share = ((r - p)[0] * across[1] - (r - p)[1] * across[0]) / turn
    return np.asarray(p + share * along)


def four_sides(points: Points) -> Points | None:
    """Draw four sides round points: the hull, its shortest gains cut off one by one.

    Returns
    -------
    ndarray of shape (4, 2) or None
        Clockwise; None where the sides left are no figure of four.
    """
    corners = list(hull_of(points))
    while len(corners) > 4:
        cuts = [cut for at in range(len(corners)) if (cut := _without_side(corners, at))]
        if not cuts:
            return None
        _, at, met = min(cuts, key=lambda cut: cut[0])
        corners[at] = met
        del corners[(at + 1) % len(corners)]
    return clockwise(np.array(corners)) if len(corners) == 4 else None


def _without_side(corners: list[Points], at: int) -> tuple[float, int, Points] | None:
    """Draw the sides before and after one together; give what area that adds, and where."""
    before, here, after, beyond = (corners[(at + k) % len(corners)] for k in (-1, 0, 1, 2))
    met = meeting(np.array([before, here]), np.array([beyond, after]))
    if (
        met is None
        or (met - here) @ (here - before) < 0
        or (met - after) @ (after - beyond) < 0
    ):
        return None
    return abs(area_of(np.array([here, met, after]))), at, met


def line_through(points: Points, near_px: float) -> Points:
    """Fit a line to points, those far off it left out; give two points on it."""
    kept = points
    for _ in range(_ROUNDS):
        middle = kept.mean(axis=0)
        along = np.linalg.svd(kept - middle, full_matrices=False)[2][0]
        off = np.abs((points - middle) @ np.array([-along[1], along[0]]))
        kept = points[off <= max(near_px, 2.5 * float(np.median(off)))]
    return np.array([middle, middle + along])


def sides_met(lines: list[Points]) -> Points | None:
    """Give the corners where each of four lines meets the one before."""
    met = [meeting(lines[at - 1], lines[at]) for at in range(4)]
    if any(corner is None for corner in met):
        return None
    return np.array(met)


def settled(quad: Points, boundary: Points, near_px: float) -> Points:
    """Move four sides onto the outline they were drawn round, bumps and notches left out."""
    lines = []
    for at in range(4):
        start, end = quad[at], quad[(at + 1) % 4]
        along = end - start
        length = float(np.hypot(*along))
        share = (boundary - start) @ along / length**2
        off = (boundary - start) @ np.array([-along[1], along[0]]) / length
        chosen = (np.abs(share - 0.5) < 0.5 - _CORNER_SHARE) & (
            np.abs(off) < max(near_px * 3, 0.05 * length)
        )
        if chosen.sum() < 5:
            lines.append(np.array([start, end]))
        else:
            lines.append(line_through(boundary[chosen], near_px))
    corners = sides_met(lines)
    if corners is None or np.abs(corners - quad).max() > 0.25 * np.ptp(quad, axis=0).max():
        return quad
    return corners


def from_top_left(quad: Points) -> Points:
    """Begin with the corner that is the cloth's top left in the sense of the smallest turn."""
    up = np.inf
    best = quad
    for first in range(4):
        turned = np.roll(quad, -first, axis=0)
        along = (turned[1] - turned[0]) + (turned[2] - turned[3])
        turn = abs(float(np.arctan2(along[1], along[0])))
        if turn < up:
            up, best = turn, turned
    return best


def widest_within(quad: Points, mask: Mask) -> Points:
    """Find the largest figure inside a patch whose sides run as those of a figure of four do.

    Parameters
    ----------
    quad
        ndarray of shape (4, 2): a rectangle seen aslant, clockwise; a part of it is hidden.
    mask
        ndarray of shape (M, N): True where it shows.
    """
    corners = np.array([(0, 0), (_CELLS, 0), (_CELLS, _CELLS), (0, _CELLS)], dtype=np.float64)
    to_photo = homography(corners, quad)
    at = np.stack(np.meshgrid(*[np.arange(_CELLS) + 0.5] * 2), axis=-1).reshape(-1, 2)
    columns, rows = np.floor(_mapped(to_photo, at)).astype(np.intp).T
    inside = (columns >= 0) & (rows >= 0) & (columns < mask.shape[1]) & (rows < mask.shape[0])
    inside[inside] = mask[rows[inside], columns[inside]]
    cells = inside.reshape(_CELLS, _CELLS)
    best, found = 0, corners
    for top in range(_CELLS):
        open_ = np.ones(_CELLS, dtype=np.bool_)
        for bottom in range(top, _CELLS):
            open_ &= cells[bottom]
            ends = np.flatnonzero(np.diff(np.pad(open_, 1).astype(np.int8)))
            starts, lengths = ends[::2], ends[1::2] - ends[::2]
            if not len(lengths) or lengths.max() * (bottom - top + 1) <= best:
                continue
            widest = int(lengths.argmax())
            best = int(lengths[widest]) * (bottom - top + 1)
            left, right = starts[widest], ends[1::2][widest]
            found = np.array(
                [(left, top), (right, top), (right, bottom + 1), (left, bottom + 1)]
            )
    return _mapped(to_photo, found.astype(np.float64))


def _mapped(through: Points, points: Points) -> Points:
    out = np.column_stack([points, np.ones(len(points))]) @ through.T
    return np.asarray(out[:, :2] / out[:, 2:])
