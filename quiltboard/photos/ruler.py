"""A known length in a photo: two points and how far apart they are on the cloth."""

from __future__ import annotations

import math
from typing import Final, Literal

import msgspec
import numpy as np

from quiltboard.photos.corners import Corners
from quiltboard.photos.straighten import USUAL_LENS, Quad, homography, proportion_of
from quiltboard.units import PER_MM, Length, length_from_mm

RulerKind = Literal["points", "card", "grid"]
"""Two points and a length that was told; the long side of a card; lines of a ruler or mat."""

TOO_CLOSE: Final = (
    "The two points are too close together to measure by: set them further apart, on a longer"
    " known length."
)
NO_LENGTH: Final = "Write how far apart the two points are: a length above zero, such as 6 in."
NOT_ON_TABLE: Final = (
    "The two points do not lie on one table with the cloth: put the corners on the cloth's own"
    " corners, and the points beside it."
)

_LEAST_APART: Final = 0.02
_LEAST_DEPTH: Final = 0.05
_LEAST_TURN: Final = 1e-3
_SURE_DIGITS: Final = 9


class ScaleError(ValueError):
    """A place that sizes cannot be told by; its message says why, and how to mend it."""


class Ruler(msgspec.Struct, frozen=True):
    """Two places in the photo, and the length between them on the table.

    Attributes
    ----------
    start, end
        As fractions of the photo's width and height.
    length
        How far apart they are.
    by
        How it is known.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    length: Length
    by: RulerKind = "points"


def swatch_width(
    ruler: Ruler, corners: Corners, photo_px: tuple[int, int], swatch_px: tuple[int, int]
) -> Length:
    """Tell how wide a stretch of cloth a swatch shows.

    Both ends of the ruler are carried to where they would lie on the straightened swatch; they
    may lie beside the cloth, as long as they lie on the same table.

    Parameters
    ----------
    ruler
        A known length in the photo.
    corners
        Where the cloth lies, as fractions of the photo.
    photo_px
        Width and height of the photo.
    swatch_px
        Width and height of the swatch; they must stand to each other as the cloth's do (see
        `seen_proportion`), or a ruler that lies down the cloth measures wrong.

    Raises
    ------
    ScaleError
        If the points are closer than a fiftieth of the photo, the length is nothing, or a point
        would lie beyond the horizon of the table.
    """
    ends = np.array([ruler.start, ruler.end]) * photo_px
    if not math.dist(*ends.tolist()) >= _LEAST_APART * max(photo_px):
        raise ScaleError(TOO_CLOSE)
    if ruler.length <= 0:
        raise ScaleError(NO_LENGTH)
    width, height = swatch_px
    swatch = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=np.float64)
    cloth = _four_sided(np.array(corners) * photo_px)
    to_swatch = homography(cloth, swatch)
    # How near each place lies to the camera, the first corner counting one.
    places = np.column_stack([np.vstack([cloth, ends]), np.ones(6)]) @ to_swatch.T
    nearness = places[:, 2] / places[0, 2]
    if not nearness.min() > _LEAST_DEPTH:
        raise ScaleError(NOT_ON_TABLE)
    start, end = (places[4:, :2] / places[4:, 2:]).tolist()
    width_mm = ruler.length / PER_MM * width / math.dist(start, end)
    return length_from_mm(round(width_mm, _SURE_DIGITS))


def seen_proportion(
    corners: Corners, photo_px: tuple[int, int], lens: float = USUAL_LENS
) -> float:
    """Tell how high a rectangle on the table is over how wide it is; see `proportion_of`.

    Parameters
    ----------
    corners
        Where it lies, as fractions of the photo, clockwise from its top left.
    photo_px, lens
        As there.

    Raises
    ------
    ScaleError
        If three corners lie in a line, or they do not go round clockwise.
    """
    return proportion_of(_four_sided(np.array(corners) * photo_px), photo_px, lens)


def _four_sided(quad: Quad) -> Quad:
    ahead = np.roll(quad, -1, axis=0) - quad
    after = np.roll(ahead, -1, axis=0)
    lengths = np.hypot(*ahead.T)
    turns = ahead[:, 0] * after[:, 1] - ahead[:, 1] * after[:, 0]
    if not (turns > _LEAST_TURN * lengths * np.roll(lengths, -1)).all():
        raise ScaleError(NOT_ON_TABLE)
    return quad


def ruler_across(corners: Corners, width: Length) -> Ruler:
    """Lay a ruler across a cloth of known width, from the middle of its left to its right.

    Parameters
    ----------
    corners
        Where the cloth lies in the photo, clockwise from its top left.
    width
        How wide it is.
    """
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    return Ruler(((ax + dx) / 2, (ay + dy) / 2), ((bx + cx) / 2, (by + cy) / 2), width)
