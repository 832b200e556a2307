"""Straight edges inside a heap of cloths: where they run and how far they can be seen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from quiltboard.photos.light import halved
from quiltboard.photos.outlines import Points, line_through

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask, Pixels

Floats = npt.NDArray[np.floating[Any]]
Colours = npt.NDArray[np.float32]

_WEAVE_PX: Final = 1.2
_THEREABOUTS_PX: Final = 31
_DEEP_PX: Final = 2.5
_RIM_PX: Final = 3
_QUIET: Final = 3.0
_PLAIN: Final = 1.3
_MOST: Final = 4.0
_TURNS: Final = 90
_MOST_LONG: Final = 40
_LEAST_LONG: Final = 25.0
_EDGE: Final = 0.9
_ALONG: Final = 9


class Field(NamedTuple):
    """How the colours of a picture change about a patch of it.

    Attributes
    ----------
    across, down
        ndarray of shape (M, N, 3): steps of sRGB numbers from column to column, row to row.
    usual
        ndarray of shape (M, N): how steep it usually is thereabouts.
    deep
        ndarray of shape (M, N): True well inside the patch.
    rim
        ndarray of shape (m, n): True along the outline of the patch.
    patch
        ndarray of shape (m, n): the patch in the picture made smaller.
    scale
        How many pixels of the one go to one of the other.
    """

    across: Colours
    down: Colours
    usual: Colours
    deep: Mask
    rim: Mask
    patch: Mask
    scale: float


def field_of(pixels: Pixels, patch: Mask) -> Field:
    """Tell how the colours of a picture change about a patch of the picture made smaller."""
    colours = pixels if max(patch.shape) * 2 >= max(pixels.shape) else halved(pixels)
    height, width, _ = colours.shape
    smooth = ndimage.gaussian_filter(colours.astype(np.float32), (_WEAVE_PX, _WEAVE_PX, 0))
    across, down = np.zeros_like(smooth), np.zeros_like(smooth)
    across[:, 1:-1] = smooth[:, 2:] - smooth[:, :-2]
    down[1:-1] = smooth[2:] - smooth[:-2]
    steep = np.sqrt((across**2 + down**2).sum(axis=-1) / 2)
    usual = ndimage.uniform_filter(steep, _THEREABOUTS_PX)
    deep = ndimage.distance_transform_edt(np.pad(patch, 1))[1:-1, 1:-1] > _DEEP_PX
    beyond = ndimage.binary_dilation(patch, iterations=_RIM_PX)
    rim = beyond & ~ndimage.binary_erosion(patch, iterations=_RIM_PX)
    rows, columns = (
        np.minimum((np.arange(count) + 0.5) * small / count, small - 1).astype(np.intp)
        for count, small in ((height, patch.shape[0]), (width, patch.shape[1]))
    )
    return Field(
        across,
        down,
        usual,
        deep[np.ix_(rows, columns)],
        rim,
        patch,
        width / patch.shape[1],
    )


class Profile(NamedTuple):
    """Where one is along a line: from its first point, step by step, either way."""

    origin: Points
    along: Points
    at: Points
    edge: Floats


def profile_of(field: Field, line: Points) -> Profile:
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
    return Profile(line[0], along, at, np.where(rim, 1.0, best > _EDGE))


def long_edges(field: Field) -> list[Points]:
    """Find the longest straight edges inside a patch, each as two points on it.

    References
    ----------
    Duda and Hart 1972, doi 10.1145/361237.361242: lines as peaks over angle and distance.
    """
    strength = np.hypot(field.across, field.down)
    strongest = strength.argmax(axis=-1)[..., np.newaxis]
    steep = np.take_along_axis(strength, strongest, axis=-1)[..., 0]
    ratio = steep / (field.usual + _QUIET)
    rows, columns = np.nonzero((ratio > _PLAIN) & field.deep)
    which = strongest[rows, columns, 0]
    across, down = field.across[rows, columns, which], field.down[rows, columns, which]
    weights = np.minimum(ratio[rows, columns], _MOST) - 1
    places = np.column_stack([columns, rows]) + 0.5
    turns = np.arctan2(down, across) % np.pi
    reach = int(np.hypot(*field.deep.shape)) // 2 + 2
    votes = np.zeros((_TURNS, 2 * reach), dtype=np.float64)
    bins = np.floor(turns / np.pi * _TURNS).astype(np.intp)
    for aside in (-1, 0, 1):
        near = (bins + aside) % _TURNS
        angle = (near + 0.5) / _TURNS * np.pi
        rho = places[:, 0] * np.cos(angle) + places[:, 1] * np.sin(angle)
        at = np.floor(rho / 2).astype(np.intp) + reach
        votes += np.bincount(near * 2 * reach + at, weights, votes.size).reshape(votes.shape)
    lines = []
    for _ in range(_MOST_LONG):
        turn, at = np.unravel_index(int(votes.argmax()), votes.shape)
        angle = (turn + 0.5) / _TURNS * np.pi
        normal = np.array([np.cos(angle), np.sin(angle)])
        off = np.abs(places @ normal - (at - reach + 0.5) * 2)
        agreed = (off < 4) & (np.abs((turns - angle + np.pi / 2) % np.pi - np.pi / 2) < 0.1)
        if weights[agreed].sum() < _LEAST_LONG * field.scale:
            break
        first, second = line_through(places[agreed], 1.5)
        along = (places[agreed] - first) @ (second - first)
        ends = np.quantile(along, (0.05, 0.95))
        lines.append((first + ends[:, np.newaxis] * (second - first)) / field.scale)
        near_turns = (turn + np.arange(-2, 3)) % _TURNS
        votes[near_turns, max(0, at - 3) : at + 4] = 0
    return lines
