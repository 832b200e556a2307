"""Cloth on the printing table: inks laid on a ground, the weave under them, the mean colour."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from .shapes import Shape, scattered, turned

Picture = NDArray[np.float32]
"""ndarray of shape (M, N, 3), linear-light sRGB, 0 to 1, rows first."""
Field = NDArray[np.float32]
"""ndarray of shape (M, N), one number a pixel, rows first."""

WIDTH_IN: Final = 10
HEIGHT_IN: Final = 8
YARNS_PER_IN: Final = 58

_CODES = np.arange(256) / 255
_LINEAR: Final = np.where(
    _CODES <= 0.04045, _CODES / 12.92, ((_CODES + 0.055) / 1.055) ** 2.4
).astype(np.float32)


def linear_of(ink: str) -> NDArray[np.float32]:
    """Return the linear-light colour of an ink ``#rrggbb``."""
    colour: NDArray[np.float32] = _LINEAR[list(bytes.fromhex(ink.removeprefix("#")))]
    return colour


def encoded(picture: NDArray[np.float32]) -> NDArray[np.float32]:
    """Encode linear light as sRGB, 0 to 1 (IEC 61966-2-1)."""
    light = np.clip(picture, 0.0, 1.0)
    code: NDArray[np.float32] = np.where(
        light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055
    ).astype(np.float32)
    return code


def smooth_field(
    rng: np.random.Generator, shape: tuple[int, int], cells: tuple[int, int]
) -> Field:
    """Draw soft noise of about unit spread, ``cells`` bumps down and across.

    It is drawn cell by cell and then enlarged, so that it looks alike at every resolution.
    """
    coarse = Image.fromarray(rng.normal(size=cells).astype(np.float32))
    return np.asarray(coarse.resize(shape[::-1], Image.Resampling.BICUBIC))


class Cloth:
    """A length of cloth to print on, measured in inches from its upper left corner.

    Parameters
    ----------
    ppi
        Pixels an inch of the finished picture of the cloth.
    fineness
        How many times finer than that the inks are laid, for clean edges.
    """

    def __init__(self, ppi: int, fineness: int = 3) -> None:
        self.ppi = ppi
        self._fineness = fineness
        self._scale = ppi * fineness
        across, down = WIDTH_IN * ppi, HEIGHT_IN * ppi
        self._image = Image.new("RGB", (across * fineness, down * fineness))
        self._pen = ImageDraw.Draw(self._image)
        self._shade: Field = np.ones((down, across), dtype=np.float32)

    def ground(self, ink: str) -> None:
        """Dye the whole cloth."""
        self._image.paste(ink, (0, 0, *self._image.size))

    def fill(self, outline: Shape, ink: str) -> None:
        """Print a filled outline."""
        # Pillow counts from the middle of the first pixel, we from its edge.
        points = np.column_stack((outline.real, outline.imag)) * self._scale - 0.5
        self._pen.polygon(points.ravel().tolist(), fill=ink)

    def disc(self, centre: complex, radius: float, ink: str) -> None:
        """Print a round dot."""
        x, y, r = (self._scale * v for v in (centre.real, centre.imag, radius))
        self._pen.ellipse((x - r, y - r, x + r - 1, y + r - 1), fill=ink)

    def repeats(self, across: float, down: float, drop: float = 0.0) -> Iterator[complex]:
        """Step a repeat over the cloth and a little beyond it.

        Yields the upper left corner of each repeat; every second column hangs lower by ``drop``
        of a repeat.
        """
        for column in range(-1, int(WIDTH_IN / across) + 2):
            for row in range(-2, int(HEIGHT_IN / down) + 2):
                yield complex(column * across, (row + drop * (column % 2)) * down)

    def tossed(
        self, rng: np.random.Generator, side: float, gap: float
    ) -> Iterator[tuple[int, complex, complex]]:
        """Toss a motif over a square repeat, and step that over the cloth.

        Yields the motif's number in the repeat, its place, and the factor that turns it.
        """
        spots = scattered(rng, side, gap)
        leans = rng.uniform(0, 360, len(spots))
        for number, (spot, lean) in enumerate(zip(spots, leans, strict=True)):
            for corner in self.repeats(side, side):
                place = corner + spot
                if -1 < place.real < WIDTH_IN + 1 and -1 < place.imag < HEIGHT_IN + 1:
                    yield number, place, turned(lean)

    def mottle(
        self, rng: np.random.Generator, amount: float, size_in: float, stretch: float = 1.0
    ) -> None:
        """Let the dye take unevenly, in patches of about ``size_in``, longer across."""
        down, across = (max(4, round(v / size_in)) for v in (HEIGHT_IN, WIDTH_IN / stretch))
        self._shade *= 1 + amount * smooth_field(rng, self._shade.shape, (down, across))

    def woven(self, rng: np.random.Generator) -> Picture:
        """Return the printed cloth with its weave showing.

        Returns
        -------
        ndarray of shape (M, N, 3), linear-light sRGB
        """
        inked = np.asarray(self._image)
        fine = self._fineness
        printed = np.zeros((*self._shade.shape, 3), dtype=np.float32)
        for row in range(fine):
            for column in range(fine):
                printed += _LINEAR[inked[row::fine, column::fine]]
        shade = self._shade * _weave(rng, self._shade.shape)
        return printed / fine**2 * shade[..., None]


def _weave(rng: np.random.Generator, shape: tuple[int, int]) -> Field:
    """Draw how the yarns catch the light: each a little different and uneven along its run."""
    ends, picks = round(WIDTH_IN * YARNS_PER_IN), round(HEIGHT_IN * YARNS_PER_IN)
    yarns = 0.024 * smooth_field(rng, shape, (round(HEIGHT_IN * 2.2), ends))
    yarns += 0.029 * smooth_field(rng, shape, (picks, round(WIDTH_IN * 2.2)))
    over = np.where(np.add.outer(np.arange(picks), np.arange(ends)) % 2, 1.0, -1.0)
    grid = Image.fromarray(over.astype(np.float32))
    yarns += 0.018 * np.asarray(grid.resize(shape[::-1], Image.Resampling.BICUBIC))
    yarns += 0.020 * smooth_field(rng, shape, (picks * 2, ends * 2))
    lit: Field = 1 + yarns
    return lit


def dyed(picture: Picture, colour: str) -> Picture:
    """Shift the inks until the cloth, mixed in the eye, has the given colour.

    Each channel is raised to the power that brings its mean there: whites stay white and blacks
    black, where a plain factor would tint the one and grey the other.

    Parameters
    ----------
    picture
        Linear-light sRGB.
    colour
        The wanted mean colour, ``#rrggbb``.
    """
    channels = []
    for channel, wanted in zip(np.moveaxis(picture, 2, 0), linear_of(colour), strict=True):
        light = np.clip(channel, 1e-4, 1.0)
        counts, edges = np.histogram(light, bins=8192, range=(0.0, 1.0))
        levels = (edges[:-1] + edges[1:]) / 2
        low, high = 0.25, 4.0
        for _ in range(18):
            power = (low * high) ** 0.5
            low, high = (
                (power, high) if counts @ levels**power > wanted * light.size else (low, power)
            )
        shifted = light**power
        channels.append(shifted * (wanted / shifted.mean()))
    mixed: Picture = np.clip(np.stack(channels, axis=2), 0.0, 1.0)
    return mixed
