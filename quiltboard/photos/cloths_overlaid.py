"""Cloths that lie on one another, cut apart along the sides of those on top.

Where a cloth lies on another, the outline of both turns inward at the place where a side of the
upper one leaves the lower one behind. That side goes on inside, straight ahead, as far as an
edge can be seen there; nothing printed on a cloth begins at such a place and runs so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw
from scipy import ndimage
from skimage import measure

from quiltboard.photos.outlines import Points, boundary_of, line_through

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask, Pixels

Floats = npt.NDArray[np.floating[Any]]

_TOLERANCE_PX: Final = 2.0
_LEAST_TURN: Final = 0.26
_LEAST_SIDE_PX: Final = 7.0
_STEP_PX: Final = 2.0
_ASIDE: Final = 14
_BESIDE: Final = 24
_LEANS: Final = np.linspace(-0.06, 0.06, 25)
_WIDE_PX: Final = 3
_ALONG: Final = 15
_QUIET: Final = 3.0
_USUAL: Final = 1.7
_MOST: Final = 4.0
_LEAST_RUN_PX: Final = 12.0
_PAST_PX: Final = 5.0
_LEAST_PART: Final = 0.0015


class Cut(NamedTuple):
    """A side that goes on inside: from where to where, in pixels, and how plain it is."""

    start: Points
    end: Points
    plain: float


def parts_of(pixels: Pixels, patch: Mask) -> list[Mask]:
    """Cut a patch apart where one cloth lies on another.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8: the full picture.
    patch
        ndarray of shape (m, n): the same picture made smaller, True where the cloths lie.

    Returns
    -------
    list of ndarray of shape (m, n)
        One for each cloth; the patch alone where no cut was found.
    """
    cuts = [cut for at in _inward_turns(patch) if (cut := _better_cut(pixels, patch, *at))]
    if not cuts:
        return [patch]
    canvas = Image.new("L", patch.shape[::-1])
    draw = ImageDraw.Draw(canvas)
    for cut in cuts:
        along = (cut.end - cut.start) / np.hypot(*(cut.end - cut.start))
        ends = (cut.start - 2 * along, cut.end + _PAST_PX * along)
        draw.line([tuple((end - 0.5).tolist()) for end in ends], fill=1, width=2)
    labels, count = ndimage.label(patch & ~np.asarray(canvas).astype(np.bool_))
    areas = np.bincount(labels.ravel(), minlength=count + 1)
    for at in range(1, count + 1):
        if areas[at] < _LEAST_PART * patch.size:
            labels[labels == at] = 0
    nearest = ndimage.distance_transform_edt(labels == 0, return_distances=False, return_indices=True)
    labels = np.where(patch, labels[tuple(nearest)], 0)
    return [labels == at for at in np.unique(labels[labels > 0])]


def _inward_turns(patch: Mask) -> list[tuple[Points, Points, Points]]:
    """Give each place where the outline turns inward, and which ways its two sides go on."""
    boundary = boundary_of(patch)
    corners = measure.approximate_polygon(np.vstack([boundary, boundary[:1]]), _TOLERANCE_PX)[:-1]
    turns = []
    for at, here in enumerate(corners):
        before, after = corners[at - 1], corners[(at + 1) % len(corners)]
        coming, going = here - before, after - here
        turn = np.arctan2(coming[0] * going[1] - coming[1] * going[0], coming @ going)
        if turn < -_LEAST_TURN:
            turns.append((here, _way_on(boundary, before, here), _way_on(boundary, after, here)))
    return turns


def _way_on(boundary: Points, far: Points, here: Points) -> Points:
    """Give the direction in which the side from ``far`` goes on; 0, 0 where it is too short."""
    side = here - far
    length = float(np.hypot(*side))
    if length < _LEAST_SIDE_PX:
        return np.zeros(2)
    along = side / length
    share = (boundary - far) @ along / length
    off = np.abs((boundary - far) @ np.array([-along[1], along[0]]))
    on_it = (share > 0.1) & (share < 0.9) & (off < 2 * _TOLERANCE_PX)
    if on_it.sum() >= 5:
        start, end = line_through(boundary[on_it], 1.0)
        along = (end - start) * np.sign((end - start) @ along)
    return along


def _better_cut(pixels: Pixels, patch: Mask, here: Points, one: Points, other: Points) -> Cut | None:
    cuts = [cut for way in (one, other) if way.any() and (cut := _cut(pixels, patch, here, way))]
    return max(cuts, key=lambda cut: cut.plain, default=None)


def _cut(pixels: Pixels, patch: Mask, here: Points, along: Points) -> Cut | None:
    scale = pixels.shape[1] / patch.shape[1]
    run = _run_inside(patch, here, along)
    if run < _LEAST_RUN_PX:
        return None
    aside = np.array([-along[1], along[0]])
    reach = _ASIDE + _BESIDE
    t = np.arange(0, run * scale, _STEP_PX)
    u = np.arange(-reach, reach + 1)
    best: Cut | None = None
    for lean in _LEANS:
        off = u[np.newaxis] + lean * t[:, np.newaxis]
        at = here * scale + t[:, np.newaxis, np.newaxis] * along + off[..., np.newaxis] * aside
        contrast = _contrast(pixels, at)
        sums = np.cumsum(np.minimum(contrast, _MOST) - _USUAL, axis=0)
        # The edge is followed as far as it is plainer than what lies beside it.
        ends = sums.argmax(axis=0)
        plain = sums[ends, np.arange(sums.shape[1])]
        middle = slice(reach - _WIDE_PX - _ASIDE, reach - _WIDE_PX + _ASIDE + 1)
        u_best = int(plain[middle].argmax()) + middle.start
        end = t[ends[u_best]]
        if end < _LEAST_RUN_PX * scale or (best and plain[u_best] <= best.plain):
            continue
        offset = float(u[0] + _WIDE_PX + u_best)
        start = here + offset * aside / scale
        stop = here + (end * along + (offset + lean * end) * aside) / scale
        best = Cut(start, stop, float(plain[u_best]))
    if best is None or best.plain < 0.25 * np.hypot(*(best.end - best.start)) * scale / _STEP_PX:
        return None
    return best


def _run_inside(patch: Mask, here: Points, along: Points) -> float:
    """Tell how far one can go on before one has left the patch."""
    far = np.arange(3.0, float(np.hypot(*patch.shape)))
    at = np.floor(here + far[:, np.newaxis] * along).astype(np.intp)
    within = (at >= 0).all(axis=1) & (at[:, 0] < patch.shape[1]) & (at[:, 1] < patch.shape[0])
    inside = within.copy()
    inside[within] = patch[at[within, 1], at[within, 0]]
    outside = np.nonzero(~inside)[0]
    return float(far[outside[0]])


def _contrast(pixels: Pixels, at: Points) -> Floats:
    """Tell how much plainer the step across each line is than those beside it."""
    columns = np.clip(np.floor(at[..., 0]).astype(np.intp), 0, pixels.shape[1] - 1)
    rows = np.clip(np.floor(at[..., 1]).astype(np.intp), 0, pixels.shape[0] - 1)
    colours = pixels[rows, columns].astype(np.float32)
    colours = ndimage.uniform_filter1d(colours, _ALONG, axis=0, mode="nearest")
    sums = np.cumsum(np.pad(colours, ((0, 0), (1, 0), (0, 0))), axis=1)
    means = (sums[:, _WIDE_PX:] - sums[:, :-_WIDE_PX]) / _WIDE_PX
    steps = np.linalg.norm(means[:, _WIDE_PX:] - means[:, :-_WIDE_PX], axis=-1)
    usual = np.median(steps, axis=1, keepdims=True)
    return np.asarray(steps / (usual + _QUIET))
