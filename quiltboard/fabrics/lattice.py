"""Lattices: the shortest steps of a repeat, and what the trade calls the way they lie."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import numpy.typing as npt

from quiltboard.fabrics.reading import RepeatKind

Steps = npt.NDArray[np.float64]
"""ndarray of shape (2, 2): two vectors, one a row, x to the right, y down."""

MOST_TURN_DEG: Final = 13.0
"""How far rows and columns may lean from the swatch's sides and still be rows and columns."""
_RIGHT_DEG: Final = 4.5
"""How far from a right angle still counts as one, in a photo of cloth."""


def reduce_steps(steps: Steps) -> Steps:
    """Give the shortest two steps that span a repeat.

    The shorter comes first; each points to the right, or straight down.

    Parameters
    ----------
    steps
        ndarray of shape (2, 2): any two vectors that span it, neither a multiple of the other.

    References
    ----------
    Gauss, Disquisitiones Arithmeticae (1801), art. 171: reduction of binary forms.

    Examples
    --------
    >>> reduce_steps(np.array([[4.0, 3.0], [8.0, 7.0]])).tolist()
    [[0.0, 1.0], [4.0, 0.0]]
    """
    one, other = sorted(np.asarray(steps, dtype=np.float64), key=np.linalg.norm)
    while turns := round(float(one @ other / (one @ one))):
        other = other - turns * one
        if other @ other >= one @ one:
            break
        one, other = other, one
    return np.array([pointed(one), pointed(other)])


def pointed(step: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Turn a step about, if need be, so that it points to the right or straight down."""
    x, y = step
    return step if x > 0 or (x == 0 and y > 0) else -step + 0.0


def name_lattice(steps: Steps) -> RepeatKind:
    """Say how a repeat lies on the cloth: straight, half-drop, brick or diagonal.

    A lattice of rectangles with a point in the middle of each is a half-drop and a brick at
    once. It is told by that of its two tiles which is nearer to square: a half-drop where the
    rectangle is at least as wide as high, so that motifs follow one another down a column
    sooner than along a row, else a brick.

    Parameters
    ----------
    steps
        ndarray of shape (2, 2): the shortest two, as `reduce_steps` gives them.

    Returns
    -------
    RepeatKind
        ``square`` for straight rows and columns, ``half-drop``, ``brick`` or ``diagonal``.

    Examples
    --------
    >>> name_lattice(np.array([[0.0, 2.0], [3.0, 1.0]]))
    'half-drop'
    """
    one, other = steps
    if _upright(one, other):
        return "square"
    near = other if one @ other > 0 else -other
    for first, second in ((one, 2 * near - one), (one + near, near - one)):
        if _upright(first, second):
            level, plumb = sorted((first, second), key=lambda side: -abs(float(side[0])))
            return "half-drop" if np.hypot(*level) >= np.hypot(*plumb) * 0.99 else "brick"
    return "diagonal"


def _upright(one: npt.NDArray[np.float64], other: npt.NDArray[np.float64]) -> bool:
    """Tell whether two steps stand at a right angle and lie along the swatch's sides."""
    leans = [math.degrees(math.atan2(float(y), float(x))) for x, y in (one, other)]
    away = [(lean + 45) % 90 - 45 for lean in leans]
    square = abs((leans[0] - leans[1]) % 180 - 90) <= _RIGHT_DEG
    return square and max(map(abs, away)) <= MOST_TURN_DEG
