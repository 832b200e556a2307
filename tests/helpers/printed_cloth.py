"""Cloth printed for tests: inks, motifs, the weave, and the light it lies in.

Everything is drawn from a seeded generator alone, so that what is measured of it can be held
against what was drawn.
"""

from __future__ import annotations

import colorsys
from collections.abc import Iterator
from typing import Final

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

Pixels = npt.NDArray[np.uint8]
Picture = npt.NDArray[np.float32]
"""ndarray of shape (M, N, 3): encoded sRGB, 0 to 1."""
Outline = npt.NDArray[np.complex128]
Ink = tuple[int, int, int]
Part = tuple[Outline, int]
"""An outline and the number of its ink."""
Motif = list[Part]

_FINE: Final = 2


# --- motifs: about one unit tall, standing upright (up is -1j) ------------------------------


def _oval(centre: complex, across: float, down: float, turn_deg: float = 0) -> Outline:
    round_ = np.linspace(0, 2 * np.pi, 28, endpoint=False)
    flat = across / 2 * np.cos(round_) + 1j * down / 2 * np.sin(round_)
    return np.asarray(centre + flat * np.exp(1j * np.radians(turn_deg)))


def _blade(foot: complex, tip: complex, width: float, bend: float = 0.0) -> Outline:
    t = np.linspace(0, 1, 14)
    side = width / 2 * np.sin(np.pi * t**0.8)
    spine = t + 1j * bend * np.sin(np.pi * t)
    rim = np.concatenate((spine + 1j * side, (spine - 1j * side)[::-1]))
    return np.asarray(foot + (tip - foot) * rim)


def bar(start: complex, end: complex, width: float) -> Outline:
    aside = 1j * (end - start) / abs(end - start) * width / 2
    return np.array([start + aside, end + aside, end - aside, start - aside])


def _leaf(rng: np.random.Generator) -> Motif:
    bend = rng.uniform(-0.15, 0.15)
    parts = [(_blade(0.3j, -0.5j, rng.uniform(0.35, 0.6), bend), 0)]
    parts.append((bar(0.5j, -0.2j, 0.06), 1))
    return [*parts, *((bar(0.1j * k, 0.1j * k + 0.16 * s - 0.1j, 0.03), 1)
                      for k in (-1, 0, 1) for s in (-1, 1))]  # fmt: skip


def _flower(rng: np.random.Generator) -> Motif:
    petals, size = int(rng.integers(5, 8)), rng.uniform(0.2, 0.28)
    head = [
        (_oval(-0.2j + size * np.exp(2j * np.pi * k / petals), 0.26, 0.2, 360 * k / petals), 0)
        for k in range(petals)
    ]
    stem = [(bar(-0.2j, 0.5j, 0.05), 1), (_blade(0.4j, 0.3 + 0.05j, 0.16), 1)]
    return [*stem, *head, (_oval(-0.2j, 0.2, 0.2), 2)]


def _pot(rng: np.random.Generator) -> Motif:
    rim = rng.uniform(0.3, 0.4)
    body = np.array([-rim + 0j, rim + 0j, 0.22 + 0.5j, -0.22 + 0.5j])
    plant = [(_blade(0j, 0.25 * s - 0.45j, 0.16, 0.1 * s), 1) for s in (-1, 0, 1)]
    return [*plant, (body, 0), (bar(-rim - 0.05 + 0.02j, rim + 0.05 + 0.02j, 0.12), 2)]


def _house(rng: np.random.Generator) -> Motif:
    high = rng.uniform(0.3, 0.5)
    roof = np.array([-0.45 + 0j, 0.45 + 0j, -1j * high])
    wall = np.array([-0.36 + 0j, 0.36 + 0j, 0.36 + 0.5j, -0.36 + 0.5j])
    return [(wall, 0), (roof, 1), (bar(0.12 + 0.5j, 0.12 + 0.2j, 0.14), 2)]


def _bird(rng: np.random.Generator) -> Motif:
    lift = rng.uniform(0.1, 0.3)
    return [
        (_blade(0.45 + 0.1j, -0.4, 0.45, 0.1), 0),
        (_oval(-0.3 - 0.2j, 0.28, 0.26), 0),
        (_blade(0.1 + 0j, 0.35 - (0.2 + lift) * 1j, 0.22), 1),
        (bar(-0.42 - 0.2j, -0.52 - 0.17j, 0.06), 2),
        (bar(-0.05 + 0.2j, -0.05 + 0.45j, 0.04), 2),
    ]


def _berry(rng: np.random.Generator) -> Motif:
    size = rng.uniform(0.24, 0.32)
    twin = [(_oval(0.2 * s + 0.25j, size, size), 0) for s in (-1, 1)]
    stalks = [(bar(-0.4j, 0.2 * s + 0.2j, 0.04), 1) for s in (-1, 1)]
    return [*stalks, *twin, (_blade(-0.4j, 0.4 - 0.3j, 0.2), 1)]


UPRIGHT: Final = (_leaf, _flower, _pot, _house, _bird, _berry)


def _dot(rng: np.random.Generator) -> Motif:
    size = rng.uniform(0.4, 0.7)
    return [(_oval(0j, size, size), 0), (_oval(0j, size * 0.5, size * 0.5), 1)]


def _daisy(rng: np.random.Generator) -> Motif:
    petals = int(rng.choice([6, 8]))
    spread = np.exp(2j * np.pi * np.arange(petals) / petals)
    head = [(_oval(0.32 * s, 0.36, 0.18, float(np.angle(s, deg=True))), 0) for s in spread]
    return [*head, (_oval(0j, 0.24, 0.24), 1)]


def _diamond(rng: np.random.Generator) -> Motif:
    wide = rng.uniform(0.25, 0.45)
    outer = np.array([-0.5j, wide, 0.5j, -wide])
    return [(outer, 0), (outer * 0.55, 1)]


def _twist(rng: np.random.Generator) -> Motif:
    bend = rng.uniform(0.2, 0.35)
    half = [(_blade(0j, 0.1 - 0.5j, 0.25, bend), 0), (_oval(0.2 - 0.3j, 0.14, 0.14), 1)]
    return [*half, *((-outline, ink) for outline, ink in half)]


SYMMETRIC: Final = (_dot, _daisy, _diamond, _twist)


# --- drawing --------------------------------------------------------------------------------


def choose_inks(rng: np.random.Generator, count: int, contrast: float) -> tuple[Ink, list[Ink]]:
    """Choose a ground and inks that stand out from it by about ``contrast``."""
    hue, light = rng.uniform(), rng.uniform(0.15, 0.85)
    ground = _rgb(hue, light, rng.uniform(0, 0.5))
    away = -1 if light > 0.5 else 1
    inks = []
    for _ in range(count):
        shift = away * contrast * rng.uniform(0.6, 1.0)
        turn = hue + rng.uniform(-0.5, 0.5) * min(1.0, 2 * contrast)
        inks.append(_rgb(turn, light + shift, rng.uniform(0.1, 0.7)))
    return ground, inks


def _rgb(hue: float, light: float, chroma: float) -> Ink:
    red, green, blue = colorsys.hls_to_rgb(hue % 1, min(max(light, 0.04), 0.96), chroma)
    return round(255 * red), round(255 * green), round(255 * blue)


def often_all(rng: np.random.Generator, inks: list[Ink]) -> list[Ink]:
    """Print every fourth cloth with one ink alone."""
    return inks if rng.uniform() < 0.75 else inks[:1] * len(inks)


def choose_contrast(rng: np.random.Generator) -> float:
    """Choose how far inks stand out in lightness: from tone on tone to bold."""
    return float(0.5 * 0.1 ** rng.uniform())


class Cloth:
    """A cloth to draw on, in pixels, turned as a whole about its middle."""

    def __init__(self, size: tuple[int, int], ground: Ink, turn_deg: float) -> None:
        self.size = size
        self._image = Image.new("RGB", (size[0] * _FINE, size[1] * _FINE), ground)
        self._pen = ImageDraw.Draw(self._image)
        self._middle = complex(*size) / 2
        self.turn = np.exp(1j * np.radians(turn_deg))

    def fill(self, outline: Outline, ink: Ink) -> None:
        placed = ((outline - self._middle) * self.turn + self._middle) * _FINE - 0.5
        points = np.column_stack((placed.real, placed.imag))
        self._pen.polygon(points.ravel().tolist(), fill=ink)

    def put(self, motif: Motif, place: complex, by: complex, inks: list[Ink]) -> None:
        for outline, ink in motif:
            self.fill(place + by * outline, inks[ink % len(inks)])

    def spots(self, one: complex, other: complex) -> Iterator[tuple[int, int, complex]]:
        """Give every lattice point on the cloth and a little beyond it."""
        reach = 0.9 * abs(self._middle) * 2 + abs(one) + abs(other)
        area = abs((one.conjugate() * other).imag)
        across, down = (int(reach * abs(v) / area) + 1 for v in (other, one))
        for i in range(-across, across + 1):
            for j in range(-down, down + 1):
                spot = i * one + j * other
                if abs(spot) < reach:
                    yield i, j, self._middle + spot

    def picture(self) -> Picture:
        return np.float32(1 / 255) * np.asarray(self._image.reduce(_FINE), dtype=np.float32)


def _weave(rng: np.random.Generator, shape: tuple[int, int]) -> npt.NDArray[np.float32]:
    """Draw yarns: over and under, each of its own thickness, uneven along its run."""
    pitch = rng.uniform(2.2, 5.5) * shape[1] / 640
    down, across = np.mgrid[0 : shape[0], 0 : shape[1]]
    plain = np.sin(np.pi * across / pitch) * np.sin(np.pi * down / pitch)
    warp = rng.normal(size=(6, int(shape[1] / pitch) + 1))
    weft = rng.normal(size=(int(shape[0] / pitch) + 1, 6))
    yarns = sum(
        np.asarray(
            Image.fromarray(part.astype(np.float32)).resize(
                (shape[1], shape[0]), Image.Resampling.BICUBIC
            )
        )
        for part in (warp, weft)
    )
    woven = 0.02 * plain + 0.012 * yarns + 0.015 * rng.normal(size=shape)
    return np.asarray(woven * rng.uniform(0.4, 1.3), dtype=np.float32)


def photographed(rng: np.random.Generator, picture: Picture, mottle: float = 0.0) -> Pixels:
    """Light a cloth from one side, show its weave, and take it a little out of focus."""
    shape = picture.shape[:2]
    down, across = np.meshgrid(*(np.linspace(-1, 1, n) for n in shape), indexing="ij")
    side = rng.uniform(0, 2 * np.pi)
    slope = rng.uniform(0.0, 0.15) * (np.cos(side) * across + np.sin(side) * down)
    light = 1 + slope - rng.uniform(0, 0.08) * (across**2 + down**2)
    patches = rng.normal(size=(7, 9)).astype(np.float32)
    uneven = Image.fromarray(patches).resize(shape[::-1], Image.Resampling.BICUBIC)
    shade = light * (1 + _weave(rng, shape)) * (1 + mottle * np.asarray(uneven))
    linear = np.clip(picture, 0, 1) ** 2.2 * shade[..., np.newaxis]
    encoded = np.clip(linear, 0, 1) ** (1 / 2.2) * 255
    image = Image.fromarray(encoded.astype(np.uint8))
    blurred = image.filter(ImageFilter.GaussianBlur(rng.uniform(0, 1.4)))
    grain = rng.normal(0, rng.uniform(0.5, 2.5), (*shape, 1))
    return np.clip(np.asarray(blurred) + grain, 0, 255).astype(np.uint8)
