"""Cloths that lie on one another, cut apart along the sides of those on top.

Where a cloth lies on another, the outline of both turns inward at the place where a side of the
upper one leaves the lower one behind. That side goes on inside, straight ahead, as far as an
edge can be seen there; nothing printed on a cloth begins at such a place and runs so.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage
from skimage import measure

from quiltboard.photos.outlines import Points, boundary_of, clockwise, filled, line_through, meeting

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask, Pixels

Floats = npt.NDArray[np.floating[Any]]

_TOLERANCE_PX: Final = 1.5
_LEAST_TURN: Final = 0.26
_DEEP_PX: Final = 2.5
_SKIP_PX: Final = 6.0
_LOOKED_ALONG_PX: Final = 160.0
_USUAL_ALONG: Final = 0.8
_STEP_PX: Final = 2.0
_ASIDE: Final = 3
_BESIDE: Final = 14
_ALONG: Final = 9
_QUIET: Final = 3.0
_USUAL: Final = 1.7
_MOST: Final = 4.0
_LEAST_PLAIN: Final = 0.25
_LEAST_RUN_PX: Final = 12.0
_LEAST_PART: Final = 0.003
_LEAST_LEFT: Final = 0.02
_LEAST_SIDE_PX: Final = 12.0
_MOST_INNER: Final = 24
_ALIGNED: Final = 0.25
_CROSSING: Final = 1.1
_EDGE: Final = 0.7
_UNSEEN: Final = 0.8
_LEAST_SEEN: Final = 0.5
_LEAST_MEAN: Final = 0.72
_CORNER: Final = 0.5
_NEAR_TURN_PX: Final = 5.0
_BY_TURN: Final = 0.12
_BY_SIZE: Final = 0.4
_LOOKED_AT: Final = 60


class Cut(NamedTuple):
    """A side that goes on inside: from where to where, in pixels, and how plain it is."""

    start: Points
    end: Points
    plain: float


class _Field(NamedTuple):
    """The picture about a patch: its colours, where one is deep in the patch, the patch small."""

    colours: npt.NDArray[np.float32]
    across: npt.NDArray[np.float32]
    down: npt.NDArray[np.float32]
    usual: npt.NDArray[np.float32]
    deep: Mask
    rim: Mask
    patch: Mask
    scale: float


def _field(pixels: Pixels, patch: Mask) -> _Field:
    colours = pixels[: len(pixels) // 2 * 2, : pixels.shape[1] // 2 * 2].astype(np.float32)
    if max(patch.shape) * 2 < max(pixels.shape):
        rows = colours[0::2] + colours[1::2]
        colours = (rows[:, 0::2] + rows[:, 1::2]) / 4
    height, width, _ = colours.shape
    smooth = ndimage.gaussian_filter(colours, (1.2, 1.2, 0))
    across, down = np.zeros_like(smooth), np.zeros_like(smooth)
    across[:, 1:-1] = smooth[:, 2:] - smooth[:, :-2]
    down[1:-1] = smooth[2:] - smooth[:-2]
    steep = np.sqrt((across**2 + down**2).sum(axis=-1) / 2)
    usual = ndimage.uniform_filter(steep, 31)
    deep = ndimage.distance_transform_edt(np.pad(patch, 1))[1:-1, 1:-1] > _DEEP_PX
    rim = ndimage.binary_dilation(patch, iterations=3) & ~ndimage.binary_erosion(patch, iterations=3)
    rows, columns = (
        np.minimum((np.arange(count) + 0.5) * small / count, small - 1).astype(np.intp)
        for count, small in ((height, patch.shape[0]), (width, patch.shape[1]))
    )
    return _Field(colours, across, down, usual, deep[np.ix_(rows, columns)], rim, patch, width / patch.shape[1])


class Part(NamedTuple):
    """One cloth of several that lie on one another.

    Attributes
    ----------
    corners
        ndarray of shape (4, 2): the four sides that bound it, in pixels of the small picture.
    seen
        Where it shows.
    """

    corners: Points
    seen: Mask


def parts_of(pixels: Pixels, patch: Mask) -> list[Part]:
    """Take a heap of cloths apart, the one on top first.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8: the full picture.
    patch
        ndarray of shape (m, n): the same picture made smaller, True where the cloths lie.
    """
    field = _field(pixels, patch)
    boundary = boundary_of(patch)
    sides = _sides_of(boundary)
    inner = []
    for here in _inward_turns(boundary):
        for along in _ways_in(field, here) + _ways_on(sides, here):
            cut = _cut(field, here, along)
            if cut is not None:
                inner.append(np.array([cut.start, cut.end]))
    lines = _unlike(inner, sides)
    profiles = [_profile(field, line) for line in lines]
    figures = _figures(lines, profiles, patch, _outward_turns(boundary))
    if figures is None:
        return []
    parts: list[Part] = []
    left, gone = patch.copy(), np.zeros_like(patch)
    while left.sum() > _LEAST_LEFT * patch.sum():
        chosen = _topmost(figures, profiles, left, gone)
        if chosen is None:
            break
        inside = filled(chosen, patch.shape)
        seen = _largest(inside & left)
        parts.append(Part(chosen, seen))
        gone |= ndimage.binary_dilation(inside & patch, iterations=2)
        left = ndimage.binary_opening(left & ~gone, iterations=2)
    return parts


def _outward_turns(boundary: Points) -> Points:
    """Give the corners where an outline turns outward."""
    corners = measure.approximate_polygon(np.vstack([boundary, boundary[:1]]), _TOLERANCE_PX)[:-1]
    coming, going = corners - np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0) - corners
    turn = np.arctan2(
        coming[:, 0] * going[:, 1] - coming[:, 1] * going[:, 0], (coming * going).sum(axis=1)
    )
    return np.asarray(corners[turn > _CORNER])


def _largest(mask: Mask) -> Mask:
    labels, _ = ndimage.label(mask)
    return np.asarray(labels == np.bincount(labels.ravel())[1:].argmax() + 1)


def _sides_of(boundary: Points) -> list[Points]:
    """Give the straight sides of an outline, each as two points on it."""
    corners = measure.approximate_polygon(np.vstack([boundary, boundary[:1]]), _TOLERANCE_PX)
    lines = []
    for start, end in pairwise(corners):
        side = end - start
        length = float(np.hypot(*side))
        if length < _LEAST_SIDE_PX:
            continue
        share = (boundary - start) @ side / length**2
        off = np.abs((boundary - start) @ np.array([-side[1], side[0]])) / length
        on_it = (share > 0.05) & (share < 0.95) & (off < 2 * _TOLERANCE_PX)
        first, second = line_through(boundary[on_it], 1.0)
        along = second - first
        ends = [first + along * ((point - first) @ along) for point in (start, end)]
        lines.append(np.array(ends))
    return lines


def _ways_on(sides: list[Points], here: Points) -> list[Points]:
    """Give the directions in which the sides that end at a place go on."""
    ways = []
    for start, end in sides:
        along = (end - start) / np.hypot(*(end - start))
        for last, way in ((end, along), (start, -along)):
            if np.hypot(*(last - here)) < _NEAR_TURN_PX:
                ways.append(way)
    return ways


def _unlike(inner: list[Points], sides: list[Points]) -> list[Points]:
    """Keep the sides of the outline, and the longest of those inside that lie on no other."""
    kept: list[Points] = []
    inner = sorted(inner, key=lambda line: -float(np.hypot(*(line[1] - line[0]))))
    for line in inner[:_MOST_INNER] + sides:
        if all(_off(line, other) > 2.0 for other in kept):
            kept.append(line)
    return kept


def _off(line: Points, other: Points) -> float:
    along = other[1] - other[0]
    off = (line - other[0]) @ np.array([-along[1], along[0]]) / np.hypot(*along)
    return float(np.abs(off).max())


class _Profile(NamedTuple):
    """Where one is along a line: from its first point, step by step, either way."""

    origin: Points
    along: Points
    at: Points
    edge: Floats


def _profile(field: _Field, line: Points) -> _Profile:
    """Tell at each place of a line whether there is an edge along it."""
    along = (line[1] - line[0]) / np.hypot(*(line[1] - line[0]))
    aside = np.array([-along[1], along[0]])
    reach = float(np.hypot(*field.patch.shape))
    steps = np.arange(-reach, reach)
    at = line[0] + steps[:, np.newaxis] * along
    best = np.zeros(len(steps))
    for off in (-2.0, -1.0, 0.0, 1.0, 2.0):
        places = (at + off * aside) * field.scale
        columns = np.clip(places[:, 0].astype(np.intp), 0, field.deep.shape[1] - 1)
        rows = np.clip(places[:, 1].astype(np.intp), 0, field.deep.shape[0] - 1)
        step = along[0] * field.down[rows, columns] - along[1] * field.across[rows, columns]
        step = np.linalg.norm(ndimage.uniform_filter1d(step, _ALONG, axis=0), axis=-1)
        best = np.maximum(best, step / (field.usual[rows, columns] + _QUIET))
    columns = np.clip(at[:, 0].astype(np.intp), 0, field.patch.shape[1] - 1)
    rows = np.clip(at[:, 1].astype(np.intp), 0, field.patch.shape[0] - 1)
    rim = field.rim[rows, columns]
    inside = field.patch[rows, columns]
    return _Profile(line[0], along, at, np.where(rim, 1.0, np.where(inside, best > _EDGE, 0.0)))


class _Figures(NamedTuple):
    """Figures of four sides: their corners, their lines, from where to where on each."""

    corners: npt.NDArray[np.float64]
    lines: npt.NDArray[np.intp]
    spans: npt.NDArray[np.intp]
    turns: npt.NDArray[np.intp]
    areas: npt.NDArray[np.float64]


def _figures(
    lines: list[Points], profiles: list[_Profile], patch: Mask, turns: Points
) -> _Figures | None:
    """Give every figure that two pairs of lines bound, that could be a cloth of the heap."""
    near = ndimage.binary_dilation(patch, iterations=4)
    leans = [float(np.arctan2(*(line[1] - line[0])[::-1])) for line in lines]
    every = range(len(lines))
    pairs = [
        (i, j) for i in every for j in every if i < j and _apart(leans[i], leans[j]) < _ALIGNED
    ]
    met: dict[tuple[int, int], Points] = {}
    for i in every:
        for j in every:
            if i < j and _apart(leans[i], leans[j]) > _CROSSING:
                corner = meeting(lines[i], lines[j])
                if corner is not None and _within(near, corner):
                    met[i, j] = met[j, i] = corner
    quads, sides = [], []
    for at, (i, j) in enumerate(pairs):
        for k, m in pairs[at + 1 :]:
            if (i, k) in met and (k, j) in met and (j, m) in met and (m, i) in met:
                quads.append([met[i, k], met[k, j], met[j, m], met[m, i]])
                sides.append((k, j, m, i))
    if not quads:
        return None
    corners, which = np.array(quads), np.array(sides)
    ahead = np.roll(corners, -1, axis=1)
    lengths = np.hypot(*(ahead - corners).transpose(2, 0, 1))
    x, y = corners[..., 0], corners[..., 1]
    areas = np.abs((x * ahead[..., 1] - ahead[..., 0] * y).sum(axis=1) / 2)
    apart = np.hypot(*(corners[:, :, np.newaxis] - turns).transpose(3, 0, 1, 2))
    at_turns = (apart.min(axis=2) < _NEAR_TURN_PX).sum(axis=1)
    origins = np.array([profile.origin for profile in profiles])[which]
    along = np.array([profile.along for profile in profiles])[which]
    middle = len(profiles[0].at) / 2
    ends = [((points - origins) * along).sum(axis=-1) + middle for points in (corners, ahead)]
    spans = np.clip(np.sort(np.stack(ends, axis=-1)), 0, 2 * middle - 1).astype(np.intp)
    good = (lengths.min(axis=1) >= _LEAST_SIDE_PX) & (areas >= _LEAST_PART * patch.size)
    good &= at_turns >= 1
    if not good.any():
        return None
    return _Figures(corners[good], which[good], spans[good], at_turns[good], areas[good])


def _apart(one: float, other: float) -> float:
    """Give the angle between two lines, 0 to a quarter turn."""
    return abs((one - other + np.pi / 2) % np.pi - np.pi / 2)


def _within(mask: Mask, point: Points) -> bool:
    x, y = np.floor(point).astype(int)
    return bool(0 <= x < mask.shape[1] and 0 <= y < mask.shape[0] and mask[y, x])


def _topmost(
    figures: _Figures, profiles: list[_Profile], left: Mask, gone: Mask
) -> Points | None:
    """Choose the figure whose sides are best seen along all their length."""
    open_sums, edge_sums = [], []
    for profile in profiles:
        columns = np.clip(profile.at[:, 0].astype(np.intp), 0, left.shape[1] - 1)
        rows = np.clip(profile.at[:, 1].astype(np.intp), 0, left.shape[0] - 1)
        in_the_open = ~gone[rows, columns]
        open_sums.append(np.cumsum(in_the_open))
        edge_sums.append(np.cumsum(profile.edge * in_the_open))
    opened, edged = np.array(open_sums), np.array(edge_sums)
    begin, end = figures.spans[..., 0], figures.spans[..., 1]
    seen = (opened[figures.lines, end] - opened[figures.lines, begin]).astype(np.float64)
    edge = edged[figures.lines, end] - edged[figures.lines, begin]
    shares = np.where(seen > 6, edge / np.maximum(seen, 1), _UNSEEN)
    weights = np.maximum(seen, 1)
    mean = (shares * weights).sum(axis=1) / weights.sum(axis=1)
    whole = float((left | gone).sum())
    scores = mean + _BY_TURN * figures.turns
    at_most = scores + _BY_SIZE * np.sqrt(figures.areas / whole)
    possible = (shares.min(axis=1) >= _LEAST_SEEN) & (mean >= _LEAST_MEAN)
    best, chosen = 0.0, None
    for at in np.nonzero(possible)[0][np.argsort(-at_most[possible])][:_LOOKED_AT]:
        if at_most[at] <= best:
            break
        fresh = float((filled(figures.corners[at], left.shape) & left).sum())
        score = scores[at] + _BY_SIZE * np.sqrt(fresh / whole)
        if fresh >= _LEAST_PART * left.size and score > best:
            best, chosen = score, clockwise(figures.corners[at])
    return chosen


def _inward_turns(boundary: Points) -> list[Points]:
    """Give each place where an outline turns inward."""
    corners = measure.approximate_polygon(np.vstack([boundary, boundary[:1]]), _TOLERANCE_PX)[:-1]
    turns: list[Points] = []
    for at, here in enumerate(corners):
        coming, going = here - corners[at - 1], corners[(at + 1) % len(corners)] - here
        turn = np.arctan2(coming[0] * going[1] - coming[1] * going[0], coming @ going)
        if turn < -_LEAST_TURN and all(np.hypot(*(here - other)) > 3 for other in turns):
            turns.append(here)
    return turns


def _ways_in(field: _Field, here: Points) -> list[Points]:
    """Give the two directions in which the plainest straight edges run from a place."""
    height, width = field.deep.shape
    angles = np.radians(np.arange(0, 360, 0.75))
    along = np.column_stack([np.cos(angles), np.sin(angles)])
    t = np.arange(_SKIP_PX, _LOOKED_ALONG_PX, _STEP_PX)
    at = here * field.scale + t[np.newaxis, :, np.newaxis] * along[:, np.newaxis]
    columns = np.clip(at[..., 0].astype(np.intp), 0, width - 1)
    rows = np.clip(at[..., 1].astype(np.intp), 0, height - 1)
    x, y = along[:, 0, np.newaxis, np.newaxis], along[:, 1, np.newaxis, np.newaxis]
    steps = x * field.down[rows, columns] - y * field.across[rows, columns]
    steps = np.linalg.norm(ndimage.uniform_filter1d(steps, _ALONG, axis=1), axis=-1)
    contrast = steps / (field.usual[rows, columns] + _QUIET)
    contrast[~field.deep[rows, columns]] = 0
    sums = np.cumsum(np.minimum(contrast, _MOST) - _USUAL_ALONG, axis=1).max(axis=1)
    ways: list[Points] = []
    for which in np.argsort(-sums)[:40]:
        if sums[which] > 0 and all(along[which] @ other < 0.95 for other in ways):
            ways.append(along[which])
    return ways[:2]


def _cut(field: _Field, here: Points, along: Points) -> Cut | None:
    run = _run_inside(field.patch, here, along)
    if run < _LEAST_RUN_PX:
        return None
    best = _plainest(field, here, along, run, np.linspace(-0.02, 0.02, 9))
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
