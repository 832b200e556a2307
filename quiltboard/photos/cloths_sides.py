"""The sides of a cloth, moved onto the edges that the full picture shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from quiltboard.photos.outlines import Points, line_through, sides_met

if TYPE_CHECKING:
    from quiltboard.photos.light import Pixels

_STEP_PX: Final = 2.0
_MOST_PLACES: Final = 300
_REACH: Final = 0.011
_TRUSTED: Final = 0.004
_ENDS: Final = 0.06
_WIDE_PX: Final = 3
_NEAR_PX: Final = 1.5
_LEAST_STEP: Final = 6.0


class Sides(NamedTuple):
    """Four sides and how much of each lies on a straight edge, 0 to 1."""

    corners: Points
    straight: tuple[float, ...]


def sides_on_edges(pixels: Pixels, quad: Points) -> Sides:
    """Move the four sides of a cloth onto straight edges near them.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    quad
        ndarray of shape (4, 2): the corners in pixels, clockwise, right to about a hundredth
        of the photo.
    """
    lines, straight = [], []
    for at in range(4):
        line, share = _side_on_edge(pixels, quad[at], quad[(at + 1) % 4])
        lines.append(line)
        straight.append(share)
    corners = sides_met(lines)
    reach = 2 * _REACH * max(pixels.shape)
    if corners is None or np.abs(corners - quad).max() > reach:
        return Sides(quad, tuple(straight))
    return Sides(corners, tuple(straight))


def _side_on_edge(pixels: Pixels, start: Points, end: Points) -> tuple[Points, float]:
    side = end - start
    length = float(np.hypot(*side))
    along = side / length
    outward = np.array([along[1], -along[0]])
    reach = min(round(_REACH * max(pixels.shape)), round(0.12 * length) + 3)
    count = min(_MOST_PLACES, max(12, int(length / _STEP_PX)))
    places = start + np.linspace(_ENDS, 1 - _ENDS, count)[:, np.newaxis] * side
    offsets = np.arange(-reach - _WIDE_PX, reach + _WIDE_PX + 1)
    at = places[:, np.newaxis] + offsets[np.newaxis, :, np.newaxis] * outward
    columns = np.clip(np.floor(at[..., 0]).astype(np.intp), 0, pixels.shape[1] - 1)
    rows = np.clip(np.floor(at[..., 1]).astype(np.intp), 0, pixels.shape[0] - 1)
    colours = pixels[rows, columns].astype(np.float32)
    # Nine places in a row are seen as one, so that neither weave nor noise makes an edge.
    sums = np.cumsum(np.pad(colours, ((5, 4), (0, 0), (0, 0)), mode="edge"), axis=0)
    colours = (sums[9:] - sums[:-9]) / 9
    sums = np.cumsum(np.pad(colours, ((0, 0), (1, 0), (0, 0))), axis=1)
    means = (sums[:, _WIDE_PX:] - sums[:, :-_WIDE_PX]) / _WIDE_PX
    steps = np.linalg.norm(means[:, _WIDE_PX:] - means[:, :-_WIDE_PX], axis=-1)
    middle = (np.arange(steps.shape[1]) - (steps.shape[1] - 1) / 2).astype(np.float32)
    trusted = _TRUSTED * max(pixels.shape)
    weighed = steps * np.exp(-((middle / trusted) ** 2) / 2)
    best = weighed.argmax(axis=1)
    every = np.arange(len(best))
    strong = steps[every, best] >= _LEAST_STEP
    inner = np.clip(best, 1, steps.shape[1] - 2)
    before, here, after = (steps[every, inner + k] for k in (-1, 0, 1))
    bend = before - 2 * here + after
    shift = np.where(
        bend < -1e-3, np.clip((before - after) / (2 * np.minimum(bend, -1e-3)), -0.5, 0.5), 0
    )
    found = places + (middle[inner] + shift)[:, np.newaxis] * outward
    if strong.sum() < max(8, 0.3 * count):
        return np.array([start, end]), float(strong.mean())
    line = _most_agreed(found[strong], along, outward)
    off = np.abs((found[strong] - line[0]) @ _normal(line))
    return line, float((off <= 2 * _NEAR_PX).sum() / count)


def _most_agreed(found: Points, along: Points, outward: Points) -> Points:
    """Fit a line to the offset that most places agree on, then to those near it."""
    x = (found - found[0]) @ along
    y = (found - found[0]) @ outward
    x = x - x.mean()
    best = (-1, 0.0, 0.0)
    rise = np.ptp(x) + 1.0
    for lean in np.linspace(-6, 6, 13) / rise:
        left = np.sort(y - lean * x)
        upto = np.searchsorted(left, left + 2 * _NEAR_PX, side="right")
        many = upto - np.arange(len(left))
        at = int(many.argmax())
        if many[at] > best[0]:
            best = int(many[at]), float(lean), float(left[at]) + _NEAR_PX
    _, lean, offset = best
    near = np.abs(y - lean * x - offset) <= 2 * _NEAR_PX
    return line_through(found[near], _NEAR_PX)


def _normal(line: Points) -> Points:
    along = line[1] - line[0]
    return np.asarray(np.array([-along[1], along[0]]) / np.hypot(*along))
