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

_TOLERANCE_PX: Final = 1.5
_LEAST_TURN: Final = 0.26
_LEAST_SIDE_PX: Final = 5.0
_DEEP_PX: Final = 2.5
_FIRST_PX: Final = 60.0
_STEP_PX: Final = 2.0
_ASIDE: Final = 6
_BESIDE: Final = 14
_ALONG: Final = 9
_QUIET: Final = 3.0
_USUAL: Final = 1.7
_MOST: Final = 4.0
_LEAST_PLAIN: Final = 0.25
_LEAST_RUN_PX: Final = 12.0
_PAST_PX: Final = 5.0
_LEAST_PART: Final = 0.0015


class Cut(NamedTuple):
    """A side that goes on inside: from where to where, in pixels, and how plain it is."""

    start: Points
    end: Points
    plain: float


class _Field(NamedTuple):
    """The picture about a patch: its colours, where one is deep in the patch, the patch small."""

    colours: npt.NDArray[np.float32]
    deep: Mask
    patch: Mask
    scale: float


def _field(pixels: Pixels, patch: Mask) -> _Field:
    colours = pixels[: len(pixels) // 2 * 2, : pixels.shape[1] // 2 * 2].astype(np.float32)
    if max(patch.shape) * 2 < max(pixels.shape):
        rows = colours[0::2] + colours[1::2]
        colours = (rows[:, 0::2] + rows[:, 1::2]) / 4
    height, width, _ = colours.shape
    deep = ndimage.distance_transform_edt(np.pad(patch, 1))[1:-1, 1:-1] > _DEEP_PX
    rows, columns = (
        np.minimum((np.arange(count) + 0.5) * small / count, small - 1).astype(np.intp)
        for count, small in ((height, patch.shape[0]), (width, patch.shape[1]))
    )
    return _Field(colours, deep[np.ix_(rows, columns)], patch, width / patch.shape[1])


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
    field = _field(pixels, patch)
    cuts = [cut for at in _inward_turns(patch) if (cut := _better_cut(field, *at))]
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
    """Give the direction in which the side from ``far`` goes on, and how unsure that is.

    All three are 0 where the side is too short to tell.
    """
    side = here - far
    length = float(np.hypot(*side))
    if length < _LEAST_SIDE_PX:
        return np.zeros(3)
    along = side / length
    share = (boundary - far) @ along / length
    off = np.abs((boundary - far) @ np.array([-along[1], along[0]]))
    on_it = (share > 0.1) & (share < 0.9) & (off < 2 * _TOLERANCE_PX)
    if on_it.sum() >= 5:
        start, end = line_through(boundary[on_it], 1.0)
        along = (end - start) * np.sign((end - start) @ along)
    return np.array([*along, min(0.2, 0.02 + 1.2 / length)])


def _better_cut(field: _Field, here: Points, one: Points, other: Points) -> Cut | None:
    cuts = [cut for side in (one, other) if side.any() and (cut := _cut(field, here, side))]
    return max(cuts, key=lambda cut: cut.plain, default=None)


def _cut(field: _Field, here: Points, side: Points) -> Cut | None:
    along, unsure = side[:2], float(side[2])
    run = _run_inside(field.patch, here, along)
    if run < _LEAST_RUN_PX:
        return None
    # First roughly, near the start; then all the way.
    first = _plainest(field, here, along, min(run, _FIRST_PX), np.linspace(-unsure, unsure, 9))
    if first is None:
        return None
    fine = first.lean + np.linspace(-1, 1, 7) * unsure / 8
    best = _plainest(field, here, along, run, fine)
    if best is None or best.end < _LEAST_RUN_PX:
        return None
    aside = np.array([-along[1], along[0]])
    start = here + best.offset * aside
    end = here + best.end * along + (best.offset + best.lean * best.end) * aside
    return Cut(start, end, best.plain)


class _Edge(NamedTuple):
    plain: float
    lean: float
    offset: float
    end: float


def _plainest(
    field: _Field, here: Points, along: Points, run: float, leans: Floats
) -> _Edge | None:
    """Find the plainest edge that begins near a place, leaning a little this or that way."""
    scale = field.scale
    aside = np.array([-along[1], along[0]])
    t = np.arange(0, run * scale, _STEP_PX)
    u = np.arange(-_ASIDE - _BESIDE, _ASIDE + _BESIDE + 1)
    best: _Edge | None = None
    for lean in leans.tolist():
        off = u[np.newaxis] + lean * t[:, np.newaxis]
        at = here * scale + t[:, np.newaxis, np.newaxis] * along + off[..., np.newaxis] * aside
        contrast = _contrast(field, at)[:, _BESIDE : _BESIDE + 2 * _ASIDE + 1]
        sums = np.cumsum(np.minimum(contrast, _MOST) - _USUAL, axis=0)
        # The edge is followed as far as it is plainer than what lies beside it.
        ends = sums.argmax(axis=0)
        plain = sums[ends, np.arange(sums.shape[1])]
        which = int(plain.argmax())
        end = float(t[ends[which]]) / scale
        if best is None or plain[which] > best.plain:
            best = _Edge(float(plain[which]), lean, (which - _ASIDE) / scale, end)
    if best is None or best.plain < _LEAST_PLAIN * best.end * scale / _STEP_PX:
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


def _contrast(field: _Field, at: Points) -> Floats:
    """Tell how much plainer the step across each line is than those beside it."""
    height, width, _ = field.colours.shape
    columns = np.clip(np.floor(at[..., 0]).astype(np.intp), 0, width - 1)
    rows = np.clip(np.floor(at[..., 1]).astype(np.intp), 0, height - 1)
    colours = ndimage.uniform_filter1d(field.colours[rows, columns], _ALONG, axis=0)
    ahead = (colours[:, 1:] + colours[:, :-1]) / 2
    steps = np.zeros(at.shape[:2], dtype=np.float32)
    steps[:, 2:-1] = np.linalg.norm(ahead[:, 2:] - ahead[:, :-2], axis=-1)
    usual = np.median(steps, axis=1, keepdims=True)
    return np.where(field.deep[rows, columns], steps / (usual + _QUIET), 0)
