"""How like itself a print is when it is moved: what tells its repeat and its right way up."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import numpy.typing as npt
from scipy import fft, ndimage

from quiltboard.photos.light import Pixels, averaged_light, fitted_size
from quiltboard.photos.lightness import lab_of_light

Planes = npt.NDArray[np.float32]
"""ndarray of shape (3, M, N): L*, a* and b* of a print, its mean and slow light taken out."""

Points = npt.NDArray[np.float64]
"""ndarray of shape (..., 2): x to the right and y down, in pixels."""

Numbers = npt.NDArray[np.float64]

WORKING_PX: Final = 384
LEAST_OVERLAP: Final = 0.15
"""Of the swatch, so much at least must lie on itself for a likeness to mean anything."""

WIDE_OVERLAP: Final = 0.35
"""So much of it makes a likeness one to go by."""

_REACH: Final = 0.8
_SOFTEN_PX: Final = 1.0
_SEEK_PX: Final = 2
_FLAT: Final = 1e-6


def print_planes(pixels: Pixels) -> Planes:
    """Take out of a swatch what is no print: the light that falls off slowly, and fine weave.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.

    Returns
    -------
    ndarray of shape (3, P, Q), float32
        At most `WORKING_PX` on the longer side.
    """
    height, width, _ = pixels.shape
    size = fitted_size(width, height, WORKING_PX)
    lab = lab_of_light(averaged_light(pixels, *size)).astype(np.float32)
    planes = np.ascontiguousarray(np.moveaxis(lab, 2, 0))
    sides = (np.linspace(-1, 1, n, dtype=np.float32) for n in planes.shape[1:])
    down, across = np.meshgrid(*sides, indexing="ij")
    slow = np.stack(
        [np.ones_like(down), down, across, down**2, across * down, across**2]
    ).reshape(6, -1)
    # Least squares that also take a picture of one row, where some of these are alike.
    fit = planes.reshape(3, -1) @ slow.T @ np.linalg.pinv(slow @ slow.T)
    level = planes - (fit @ slow).reshape(planes.shape)
    return np.asarray(ndimage.gaussian_filter(level, (0, _SOFTEN_PX, _SOFTEN_PX), truncate=3))


class Likeness:
    """The likeness of a print to itself at every move: 1 the same, 0 nothing alike.

    It is the autocorrelation of its colours in L*a*b*, each move divided by what lies on itself
    there, so that a repeat counts as much near the edge of what can be told as close by.

    Parameters
    ----------
    planes
        As `print_planes` gives them.

    Attributes
    ----------
    planes
        The planes it was made of.
    sides
        Width and height of the swatch, in pixels.
    reach
        The farthest moves told, across and down, in pixels.

    References
    ----------
    Lewis, Fast Normalized Cross-Correlation (1995), with a window that is all of the swatch;
    sums over rectangles as Crow, Summed-Area Tables (1984), doi 10.1145/800031.808600.
    """

    def __init__(self, planes: Planes) -> None:
        _, height, width = planes.shape
        self.planes = planes
        self.sides = np.array([width, height])
        self.reach = (self.sides * _REACH).astype(int)
        far_x, far_y = self.reach.tolist()
        self._room = (fft.next_fast_len(height + far_y), fft.next_fast_len(width + far_x))
        self._spectrum = fft.rfft2(planes, self._room, workers=1)
        self._energy = np.zeros((height + 1, width + 1))
        np.cumsum(np.square(planes).sum(axis=0), axis=0, out=self._energy[1:, 1:])
        np.cumsum(self._energy, axis=1, out=self._energy)
        power = (self._spectrum.real**2 + self._spectrum.imag**2).sum(axis=0)
        alike = fft.irfft2(power, self._room, workers=1)[: far_y + 1]
        alike = np.concatenate((alike[:, -far_x:], alike[:, : far_x + 1]), axis=1)
        level = alike / np.sqrt(_both_energies(self._energy, far_x, far_y) + _FLAT)
        half = np.asarray(level, dtype=np.float32)
        self._whole = np.concatenate((half[:0:-1, ::-1], half))

    def overlap(self, moves: Points) -> Numbers:
        """Tell what share of the swatch lies on itself after each move."""
        share: Numbers = np.prod(np.maximum(1 - np.abs(moves) / self.sides, 0), axis=-1)
        return share

    def within(self, moves: Points) -> npt.NDArray[np.bool_]:
        """Tell which moves can be judged: not too far, with enough of it on itself."""
        near = (np.abs(moves) <= self.reach - _SEEK_PX - 1).all(axis=-1)
        return near & (self.overlap(moves) >= LEAST_OVERLAP)

    def at(self, moves: Points) -> Numbers:
        """Give the likeness at moves of any fraction of a pixel; NaN beyond reach."""
        row, column = self._places(moves)
        level = ndimage.map_coordinates(
            self._whole, [row.ravel(), column.ravel()], order=1, cval=np.nan
        )
        return np.asarray(level, dtype=np.float64).reshape(row.shape)

    def peaks(self, least: float) -> tuple[Points, Numbers]:
        """Find the moves, to the right or straight down, where it is most like itself.

        Returns
        -------
        moves
            ndarray of shape (P, 2), to a fraction of a pixel.
        heights
            ndarray of shape (P,), their likeness, all above ``least``.
        """
        seen = self._whole[self.reach[1] - 1 :]
        inner = seen[1:-1, 1:-1]
        sideways = np.maximum(np.maximum(seen[:, :-2], seen[:, 2:]), seen[:, 1:-1])
        around = np.maximum(np.maximum(sideways[:-2], sideways[2:]), sideways[1:-1])
        row, column = np.nonzero((inner >= around) & (inner > least))
        moves = np.column_stack((column + 1 - self.reach[0], row)).astype(np.float64)
        moves, heights = self.climbed(moves)
        told = self.within(moves)
        return moves[told], heights[told]

    def climbed(self, moves: Points) -> tuple[Points, Numbers]:
        """Climb from each move to the highest likeness near it.

        The top between pixels is that of a parabola through its neighbours, each way.

        Returns
        -------
        moves
            ndarray of shape (P, 2).
        heights
            ndarray of shape (P,).
        """
        row, column = (np.rint(place).astype(int) for place in self._places(moves))
        seek = np.arange(-_SEEK_PX, _SEEK_PX + 1)
        limits = np.array(self._whole.shape) - 2
        rows = np.clip(row[:, None, None] + seek[:, None], 1, limits[0])
        columns = np.clip(column[:, None, None] + seek, 1, limits[1])
        near = self._whole[rows, columns].reshape(len(moves), len(seek) ** 2)
        best = near.argmax(axis=1)
        row = np.clip(row + seek[best // len(seek)], 1, limits[0])
        column = np.clip(column + seek[best % len(seek)], 1, limits[1])
        height = self._whole[row, column].astype(np.float64)
        down, rise_down = _top(
            height, self._whole[row - 1, column], self._whole[row + 1, column]
        )
        right, rise_right = _top(
            height, self._whole[row, column - 1], self._whole[row, column + 1]
        )
        place = np.column_stack((column + right, row + down)) - self.reach
        return place, height + rise_down + rise_right

    def half_turned(self) -> float:
        """Tell how like itself a print is turned half round and laid where it fits best."""
        alike = fft.irfft2(np.square(self._spectrum).sum(axis=0), self._room, workers=1)
        width, height = self.sides.tolist()
        (top, bottom), (left, right) = (_lain_on(height), _lain_on(width))
        energy = self._energy[bottom][:, right] + self._energy[top][:, left]
        energy -= self._energy[top][:, right] + self._energy[bottom][:, left]
        wide = np.outer(bottom - top, right - left) >= WIDE_OVERLAP * width * height
        # Where the transform wraps round, too little lies on itself to be asked.
        level = np.where(wide, _wrapped(alike, wide.shape) / (energy + _FLAT), 0.0)
        row, column = np.unravel_index(int(level.argmax()), level.shape)
        height_there = level[row : row + 1, column]
        _, rise_down = _top(height_there, level[row - 1, column], level[row + 1, column])
        _, rise_right = _top(height_there, level[row, column - 1], level[row, column + 1])
        return float((height_there + rise_down + rise_right)[0])

    def _places(self, moves: Points) -> tuple[Numbers, Numbers]:
        column, row = np.moveaxis(moves + self.reach, -1, 0)
        return row, column


def _top(
    middle: Numbers,
    before: npt.NDArray[np.floating[Any]],
    after: npt.NDArray[np.floating[Any]],
) -> tuple[Numbers, Numbers]:
    """Give where between its neighbours a peak has its top, and how much higher that is."""
    bend = np.maximum(2 * middle - before - after, _FLAT)
    lean = np.clip((after - before) / (2 * bend), -0.5, 0.5)
    return lean, bend * lean**2 / 2


def _lain_on(side: int) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Give where what lies on itself begins and ends, for each sum of two places."""
    sums = np.arange(2 * side - 1)
    return np.maximum(sums - side + 1, 0), np.minimum(sums, side - 1) + 1


def _wrapped(
    cycle: npt.NDArray[np.floating[Any]], shape: tuple[int, ...]
) -> npt.NDArray[np.floating[Any]]:
    rows, columns = (np.arange(n) % room for n, room in zip(shape, cycle.shape, strict=True))
    return np.asarray(cycle[rows][:, columns])


def _both_energies(energy: Numbers, far_x: int, far_y: int) -> Numbers:
    """Multiply the energies of the two parts of a swatch that lie on each other, move by move.

    Parameters
    ----------
    energy
        ndarray of shape (M + 1, N + 1): of all that lies above and to the left.

    Returns
    -------
    ndarray of shape (far_y + 1, 2 * far_x + 1)
        Moves from 0 down to ``far_y``, and from ``far_x`` to the left to as much to the right.
    """
    height, width = (side - 1 for side in energy.shape)
    down, right = np.arange(far_y + 1), np.arange(far_x + 1)
    top, bottom = energy[height - down], energy[-1] - energy[down]
    top_left, bottom_left = top[:, width - right], bottom[:, width - right]
    top_right, bottom_right = (part[:, -1:] - part[:, right] for part in (top, bottom))
    moved_left, moved_right = top_right * bottom_left, top_left * bottom_right
    return np.concatenate((moved_left[:, :0:-1], moved_right), axis=1)
