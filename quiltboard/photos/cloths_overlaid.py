"""Cloths that lie on one another, told apart by their sides.

Each cloth has four straight sides, and of one that lies on top all four can be seen all along.
So figures of four are drawn from the sides of the outline and the long straight edges inside,
and the one whose sides are best seen is taken away, then the next. Nothing printed on a cloth
has four such sides that end at the corners of the outline.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from quiltboard.photos.cloths_edges import Profile, field_of, long_edges, profile_of
from quiltboard.photos.outlines import (
    Points,
    boundary_of,
    clockwise,
    filled,
    line_through,
    meeting,
    simplified,
)

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask, Pixels

_TOLERANCE_PX: Final = 1.5
_LEAST_SIDE_PX: Final = 10.0
_LEAST_END_PX: Final = 4.0
_LEAST_SEEN_PX: Final = 7
_SAME_PX: Final = 2.0
_NEAR_PX: Final = 7.0
_NEAR_TURN_PX: Final = 5.0
_RIM_PX: Final = 4
_LEAST_PART: Final = 0.003
_CORNER: Final = 0.5
_ALIGNED: Final = 0.45
_CROSSING: Final = 0.9
_UNSEEN: Final = 0.8
_LEAST_SEEN: Final = 0.65
_LEAST_MEAN: Final = 0.85
_BY_WORST: Final = 1.0
_BY_TURN: Final = 0.1
_BY_SIZE: Final = 0.4


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
    field = field_of(pixels, patch)
    boundary = boundary_of(patch)
    sides = _sides_of(boundary)
    lines = _unlike(long_edges(field), sides)
    profiles = [profile_of(field, line) for line in lines]
    figures = _figures(lines, profiles, patch, _outward_turns(boundary))
    if figures is None:
        return []
    chosen: list[int] = []
    left, gone = patch.copy(), np.zeros_like(patch)
    while (at := _topmost(figures, profiles, left, gone)) is not None:
        chosen.append(at)
        gone |= ndimage.binary_dilation(
            filled(figures.corners[at], patch.shape) & patch, iterations=2
        )
        left = ndimage.binary_opening(left & ~gone, iterations=2)
    return _laid(figures, profiles, chosen, patch)


def _laid(
    figures: _Figures, profiles: list[Profile], chosen: list[int], patch: Mask
) -> list[Part]:
    """Tell which cloth lies on which: of two, the one whose sides show on the other."""
    corners = [clockwise(figures.corners[at]) for at in chosen]
    places = [filled(quad, patch.shape) for quad in corners]
    inner = [ndimage.binary_erosion(place, iterations=_RIM_PX) for place in places]
    shown = np.array(
        [[_shown(figures, profiles, at, other) for other in inner] for at in chosen]
    )
    wins = np.sign(shown - shown.T).sum(axis=1) if chosen else []
    free = patch.copy()
    seen = []
    order = np.argsort(-np.asarray(wins), kind="stable").tolist()
    for at in order:
        seen.append(places[at] & free)
        free &= ~places[at]
    return [
        Part(corners[at], _largest(place))
        for at, place in zip(order, seen, strict=True)
        if place.sum() >= _LEAST_PART * place.size
    ]


def _shown(figures: _Figures, profiles: list[Profile], at: int, other: Mask) -> float:
    """Tell how well the sides of a figure show where they cross another, 0 to 1."""
    edges = []
    for line, (begin, end) in zip(figures.lines[at], figures.spans[at], strict=True):
        profile = profiles[line]
        columns = np.clip(profile.at[begin:end, 0].astype(np.intp), 0, other.shape[1] - 1)
        rows = np.clip(profile.at[begin:end, 1].astype(np.intp), 0, other.shape[0] - 1)
        edges.append(profile.edge[begin:end][other[rows, columns]])
    crossing = np.concatenate(edges)
    return float(crossing.mean()) if len(crossing) >= _LEAST_END_PX else 0.0


def _outward_turns(boundary: Points) -> Points:
    """Give the corners where an outline turns outward."""
    corners = simplified(boundary, _TOLERANCE_PX)
    coming, going = (
        corners - np.roll(corners, 1, axis=0),
        np.roll(corners, -1, axis=0) - corners,
    )
    turn = np.arctan2(
        coming[:, 0] * going[:, 1] - coming[:, 1] * going[:, 0], (coming * going).sum(axis=1)
    )
    return np.asarray(corners[turn > _CORNER])


def _largest(mask: Mask) -> Mask:
    labels, _ = ndimage.label(mask)
    return np.asarray(labels == np.bincount(labels.ravel())[1:].argmax() + 1)


def _sides_of(boundary: Points) -> list[Points]:
    """Give the straight sides of an outline, each as two points on it."""
    corners = simplified(boundary, _TOLERANCE_PX)
    lines = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
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


def _unlike(inner: list[Points], sides: list[Points]) -> list[Points]:
    """Leave out every line that lies on one before it."""
    kept: list[Points] = []
    for line in inner + sides:
        if all(_off(line, other) > _SAME_PX for other in kept):
            kept.append(line)
    return kept


def _off(line: Points, other: Points) -> float:
    along = other[1] - other[0]
    off = (line - other[0]) @ np.array([-along[1], along[0]]) / np.hypot(*along)
    return float(np.abs(off).max())


class _Figures(NamedTuple):
    """Figures of four sides: their corners, their lines, from where to where on each."""

    corners: npt.NDArray[np.float64]
    lines: npt.NDArray[np.intp]
    spans: npt.NDArray[np.intp]
    turns: npt.NDArray[np.intp]
    areas: npt.NDArray[np.float64]


def _figures(
    lines: list[Points], profiles: list[Profile], patch: Mask, turns: Points
) -> _Figures | None:
    """Give every figure that two pairs of lines bound, that could be a cloth of the heap."""
    near = ndimage.distance_transform_edt(~patch) <= _NEAR_PX
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
    good = (lengths.min(axis=1) >= _LEAST_END_PX) & (areas >= _LEAST_PART * patch.size)
    good &= at_turns >= 1
    return _Figures(corners[good], which[good], spans[good], at_turns[good], areas[good])


def _apart(one: float, other: float) -> float:
    """Give the angle between two lines, 0 to a quarter turn."""
    return abs((one - other + np.pi / 2) % np.pi - np.pi / 2)


def _within(mask: Mask, point: Points) -> bool:
    x, y = np.floor(point).astype(int)
    return bool(0 <= x < mask.shape[1] and 0 <= y < mask.shape[0] and mask[y, x])


def _topmost(figures: _Figures, profiles: list[Profile], left: Mask, gone: Mask) -> int | None:
    """Choose the figure whose sides are best seen along all their length."""
    open_sums, edge_sums = [], []
    for profile in profiles:
        columns = np.clip(profile.at[:, 0].astype(np.intp), 0, left.shape[1] - 1)
        rows = np.clip(profile.at[:, 1].astype(np.intp), 0, left.shape[0] - 1)
        in_the_open = ~gone[rows, columns]
        open_sums.append(np.cumsum(in_the_open))
        edge_sums.append(np.cumsum(profile.edge * in_the_open))
    opened: Points = np.array(open_sums, dtype=np.float64)
    edged: Points = np.array(edge_sums, dtype=np.float64)
    begin, end = figures.spans[..., 0], figures.spans[..., 1]
    in_view = opened[figures.lines, end] - opened[figures.lines, begin]
    edge = edged[figures.lines, end] - edged[figures.lines, begin]
    shares = np.where(in_view >= _LEAST_SEEN_PX, edge / np.maximum(in_view, 1), _UNSEEN)
    weights = np.maximum(in_view, 1)
    mean = (shares * weights).sum(axis=1) / weights.sum(axis=1)
    whole = float((left | gone).sum())
    scores = mean + _BY_WORST * shares.min(axis=1) + _BY_TURN * figures.turns
    at_most = scores + _BY_SIZE * np.sqrt(figures.areas / whole)
    possible = (shares.min(axis=1) >= _LEAST_SEEN) & (mean >= _LEAST_MEAN)
    best: float = 0.0
    chosen: int | None = None
    for at in np.nonzero(possible)[0][np.argsort(-at_most[possible])]:
        if at_most[at] <= best:
            break
        fresh = float((filled(figures.corners[at], left.shape) & left).sum())
        score = float(scores[at] + _BY_SIZE * np.sqrt(fresh / whole))
        if fresh >= _LEAST_PART * left.size and score > best:
            best, chosen = score, int(at)
    return chosen
