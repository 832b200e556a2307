"""Straight edges of a picture: where one colour ends along a line and another begins."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage

if TYPE_CHECKING:
    from quiltboard.photos.light import Pixels

Floats = npt.NDArray[np.floating[Any]]

BINS: Final = 12
"""How many ways an edge may go, over half a turn."""

_LEAST_STEP: Final = 5.0
_LEAST_PART_PX: Final = 7
_MOST_STRAY_PX: Final = 0.9
_MOST_PARTS: Final = 360
_ASLANT_PX: Final = 1.6
_TWINS_PX: Final = 2.5
_MOST_GAP: Final = 0.5


class Sides(NamedTuple):
    """Straight edges in the small picture."""

    start: Floats
    end: Floats

    @property
    def along(self) -> Floats:
        """Which way each goes: ndarray of shape (N, 2), of length 1."""
        away = self.end - self.start
        along: Floats = away / np.linalg.norm(away, axis=-1, keepdims=True)
        return along

    @property
    def lengths(self) -> Floats:
        """How long each is, in pixels."""
        lengths: Floats = np.linalg.norm(self.end - self.start, axis=-1)
        return lengths


def find_edges(small: Pixels) -> Floats:
    """Find the crests of the steps between colours.

    Returns
    -------
    ndarray of shape (M, N)
        Which way the step goes, in bins of a half turn; NaN where there is none.
    """
    # Medians take out grain, and the thin lines of a mat.
    plain = _middle_of_three(_middle_of_three(small).swapaxes(0, 1)).swapaxes(0, 1)
    smooth = ndimage.gaussian_filter(plain.astype(np.float32), (1.0, 1.0, 0), truncate=3.0)
    down, across = np.gradient(smooth, axis=(0, 1))
    xx, yy = (across * across).sum(axis=-1), (down * down).sum(axis=-1)
    xy = (across * down).sum(axis=-1)
    strength = np.sqrt((xx + yy + np.hypot(xx - yy, 2 * xy)) / 2)
    turn = np.arctan2(2 * xy, xx - yy) / 2
    crest = _crests(strength, turn) & (strength > _LEAST_STEP)
    edges: Floats = np.where(crest, turn * np.float32(BINS / np.pi), np.nan)
    return edges


def _middle_of_three(rows: Pixels) -> Pixels:
    framed = np.concatenate([rows[:1], rows, rows[-1:]])
    above, here, below = framed[:-2], framed[1:-1], framed[2:]
    low, high = np.minimum(above, below), np.maximum(above, below)
    middle: Pixels = np.clip(here, low, high)
    return middle


def straight_parts(edges: Floats) -> Sides:
    """Find straight edges, and runs of them in one line."""
    rows, columns = np.nonzero(~np.isnan(edges))
    turns = edges[rows, columns]
    starts, ends = [], []
    for at in range(BINS):
        here = bins_apart(turns, at) <= 1
        marked = np.zeros(edges.shape, dtype=np.bool_)
        marked[rows[here], columns[here]] = True
        labels, count = ndimage.label(marked, np.ones((3, 3)))
        own = labels[rows[here], columns[here]]
        start, end = _lines(columns[here], rows[here], own, count)
        starts.append(start)
        ends.append(end)
    parts = Sides(np.concatenate(starts), np.concatenate(ends))
    order = np.argsort(-parts.lengths)[:_MOST_PARTS]
    return _with_runs(_without_twins(Sides(parts.start[order], parts.end[order])))


def bins_apart(one: Floats, other: Floats | int) -> Floats:
    """Tell how far apart two ways are, in bins."""
    apart: Floats = np.abs((one - other + BINS / 2) % BINS - BINS / 2)
    return apart


def _crests(strength: Floats, turn: Floats) -> npt.NDArray[np.bool_]:
    framed = np.pad(strength, 1)
    crest = np.zeros(strength.shape, dtype=np.bool_)
    way = np.rint(turn / (np.pi / 4)).astype(int) % 4
    for at, (x, y) in enumerate(((1, 0), (1, 1), (0, 1), (-1, 1))):
        height, width = strength.shape
        ahead = framed[1 + y : 1 + y + height, 1 + x : 1 + x + width]
        behind = framed[1 - y : 1 - y + height, 1 - x : 1 - x + width]
        crest |= (way == at) & (strength >= ahead) & (strength > behind)
    return crest


def _lines(
    x: npt.NDArray[np.intp], y: npt.NDArray[np.intp], own: npt.NDArray[Any], count: int
) -> tuple[Floats, Floats]:
    """Give the ends of what is long and thin among numbered pixels."""
    total = np.bincount(own, minlength=count + 1)
    number = np.maximum(total, 1)
    mean_x, mean_y = (np.bincount(own, v, count + 1) / number for v in (x, y))
    u, v = x - mean_x[own], y - mean_y[own]
    uu, vv, uv = (np.bincount(own, w, count + 1) / number for w in (u * u, v * v, u * v))
    turn = np.arctan2(2 * uv, uu - vv) / 2
    stray = np.sqrt(np.maximum((uu + vv - np.hypot(uu - vv, 2 * uv)) / 2, 0))
    cos, sin = np.cos(turn), np.sin(turn)
    along = u * cos[own] + v * sin[own]
    low, high = np.zeros(count + 1), np.zeros(count + 1)
    np.minimum.at(low, own, along)
    np.maximum.at(high, own, along)
    fits = (total >= _LEAST_PART_PX) & (stray < _MOST_STRAY_PX)
    middle = np.column_stack([mean_x, mean_y])[fits] + 0.5
    way = np.column_stack([cos, sin])[fits]
    return middle + way * low[fits, np.newaxis], middle + way * high[fits, np.newaxis]


def _with_runs(parts: Sides) -> Sides:
    """Join edges that lie in one line; a side may be broken by what it crosses."""
    starts, ends = [parts.start], [parts.end]
    along, lengths = parts.along, parts.lengths
    aside = along[:, ::-1] * (-1, 1)
    # How far along, and how far beside, the line of each edge the ends of all others lie.
    on, off = (
        np.stack([way @ ends.T for ends in parts]) - (way * parts.start).sum(axis=1)[:, None]
        for way in (along, aside)
    )
    low, high, off = on.min(axis=0), on.max(axis=0), np.abs(off).max(axis=0)
    beyond = np.maximum(-low, high - lengths[:, np.newaxis]).clip(0) / lengths[:, np.newaxis]
    in_line = (off <= _ASLANT_PX * (1 + beyond / 2)) & (np.abs(aside @ along.T) < 0.12)
    for at in np.flatnonzero(in_line.sum(axis=1) > 1).tolist():
        left, right = 0.0, float(lengths[at])
        others = np.flatnonzero(in_line[at])
        nearest = np.argsort(np.maximum(low[at, others], -high[at, others]))
        for one in others[nearest].tolist():
            first, last = float(low[at, one]), float(high[at, one])
            if max(first - right, left - last) < _MOST_GAP * (right - left):
                left, right = min(left, first), max(right, last)
        if right - left > lengths[at] + 2:
            starts.append((parts.start[at] + along[at] * left)[np.newaxis])
            ends.append((parts.start[at] + along[at] * right)[np.newaxis])
    return _without_twins(Sides(np.concatenate(starts), np.concatenate(ends)))


def _without_twins(sides: Sides) -> Sides:
    ends = np.column_stack([sides.start, sides.end])
    forth = ends[:, 0] + 0.37 * ends[:, 1] <= ends[:, 2] + 0.37 * ends[:, 3]
    ordered = np.where(forth[:, np.newaxis], ends, ends[:, [2, 3, 0, 1]])
    _, first = np.unique(np.rint(ordered / _TWINS_PX), axis=0, return_index=True)
    return Sides(sides.start[first], sides.end[first])
