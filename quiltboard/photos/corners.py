"""Where the cloth lies in its photo."""

from __future__ import annotations

from typing import Final

Corners = tuple[
    tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]
]
"""The cloth's corners in its photo as fractions of width and height, clockwise from the top
left of the cloth."""

WHOLE_PHOTO: Final[Corners] = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


def upright_corners(left: float, top: float, right: float, bottom: float) -> Corners:
    """Give the corners of a cloth that lies square in its photo.

    Parameters
    ----------
    left, top, right, bottom
        Its sides, as fractions of the photo's width and height.
    """
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def is_upright(corners: Corners) -> bool:
    """Tell whether the cloth lies square in its photo, its top at the top."""
    (left, top), _, (right, bottom), _ = corners
    return (
        corners == upright_corners(left, top, right, bottom) and left < right and top < bottom
    )
