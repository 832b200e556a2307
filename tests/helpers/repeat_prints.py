"""Prints drawn for tests, with the lattice they repeat on and their right way up known.

Every print is drawn from its seed alone, turned, lit from one side, woven, blurred and grained,
so that what is found can be held against what was drawn.
"""

from __future__ import annotations

import colorsys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

from quiltboard.fabrics.reading import RepeatKind, Vector, Way

Pixels = npt.NDArray[np.uint8]
Outline = npt.NDArray[np.complex128]
Ink = tuple[int, int, int]
Part = tuple[Outline, int]
"""An outline and the number of its ink."""
Motif = list[Part]

_FINE: Final = 2
KINDS: Final[tuple[RepeatKind, ...]] = ("square", "half-drop", "brick", "diagonal")
SIZES: Final = ((640, 480), (512, 512), (480, 640), (800, 500))


@dataclass(frozen=True)
class Drawn:
    """A print as drawn.

    Attributes
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    kind
        What it was drawn as; a half-drop of narrow columns may be told as a brick.
    steps
        The vectors it repeats by, as fractions of the width.
    way
        Whether it has a right way up; None where that is open.
    family
        What sort of print it is.
    """

    pixels: Pixels
    kind: RepeatKind
    steps: tuple[Vector, ...]
    way: Way | None
    family: str


# --- motifs: about one unit tall, standing upright (up is -1j) ------------------------------


def _oval(centre: complex, across: float, down: float, turn_deg: float = 0) -> Outline:
    round_ = np.linspace(0, 2 * np.pi, 28, endpoint=False)
    flat = across / 2 * np.cos(round_) + 1j * down / 2 * np.sin(round_)
    return centre + flat * np.exp(1j * np.radians(turn_deg))


def _blade(foot: complex, tip: complex, width: float, bend: float = 0.0) -> Outline:
    t = np.linspace(0, 1, 14)
    side = width / 2 * np.sin(np.pi * t**0.8)
    spine = t + 1j * bend * np.sin(np.pi * t)
    return foot + (tip - foot) * np.concatenate((spine + 1j * side, (spine - 1j * side)[::-1]))


def _bar(start: complex, end: complex, width: float) -> Outline:
    aside = 1j * (end - start) / abs(end - start) * width / 2
    return np.array([start + aside, end + aside, end - aside, start - aside])


def _leaf(rng: np.random.Generator) -> Motif:
    bend = rng.uniform(-0.15, 0.15)
    parts = [(_blade(0.3j, -0.5j, rng.uniform(0.35, 0.6), bend), 0)]
    parts.append((_bar(0.5j, -0.2j, 0.06), 1))
    return [*parts, *((_bar(0.1j * k, 0.1j * k + 0.16 * s - 0.1j, 0.03), 1)
                      for k in (-1, 0, 1) for s in (-1, 1))]  # fmt: skip


def _flower(rng: np.random.Generator) -> Motif:
    petals, size = int(rng.integers(5, 8)), rng.uniform(0.2, 0.28)
    head = [
        (_oval(-0.2j + size * np.exp(2j * np.pi * k / petals), 0.26, 0.2, 360 * k / petals), 0)
        for k in range(petals)
    ]
    stem = [(_bar(-0.2j, 0.5j, 0.05), 1), (_blade(0.4j, 0.3 + 0.05j, 0.16), 1)]
    return [*stem, *head, (_oval(-0.2j, 0.2, 0.2), 2)]


def _pot(rng: np.random.Generator) -> Motif:
    rim = rng.uniform(0.3, 0.4)
    body = np.array([-rim + 0j, rim + 0j, 0.22 + 0.5j, -0.22 + 0.5j])
    plant = [(_blade(0j, 0.25 * s - 0.45j, 0.16, 0.1 * s), 1) for s in (-1, 0, 1)]
    return [*plant, (body, 0), (_bar(-rim - 0.05 + 0.02j, rim + 0.05 + 0.02j, 0.12), 2)]


def _house(rng: np.random.Generator) -> Motif:
    high = rng.uniform(0.3, 0.5)
    roof = np.array([-0.45 + 0j, 0.45 + 0j, -1j * high])
    wall = np.array([-0.36 + 0j, 0.36 + 0j, 0.36 + 0.5j, -0.36 + 0.5j])
    return [(wall, 0), (roof, 1), (_bar(0.12 + 0.5j, 0.12 + 0.2j, 0.14), 2)]


def _bird(rng: np.random.Generator) -> Motif:
    lift = rng.uniform(0.1, 0.3)
    return [
        (_blade(0.45 + 0.1j, -0.4, 0.45, 0.1), 0),
        (_oval(-0.3 - 0.2j, 0.28, 0.26), 0),
        (_blade(0.1 + 0j, 0.35 - (0.2 + lift) * 1j, 0.22), 1),
        (_bar(-0.42 - 0.2j, -0.52 - 0.17j, 0.06), 2),
        (_bar(-0.05 + 0.2j, -0.05 + 0.45j, 0.04), 2),
    ]


def _berry(rng: np.random.Generator) -> Motif:
    size = rng.uniform(0.24, 0.32)
    twin = [(_oval(0.2 * s + 0.25j, size, size), 0) for s in (-1, 1)]
    stalks = [(_bar(-0.4j, 0.2 * s + 0.2j, 0.04), 1) for s in (-1, 1)]
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


def _inks(rng: np.random.Generator, count: int, contrast: float) -> tuple[Ink, list[Ink]]:
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


def _some_of(rng: np.random.Generator, inks: list[Ink]) -> list[Ink]:
    """Print every fourth cloth with one ink alone."""
    return inks if rng.uniform() < 0.75 else inks[:1] * len(inks)


def _contrast(rng: np.random.Generator) -> float:
    """Choose how far inks stand out in lightness: from tone on tone to bold."""
    return float(0.5 * 0.1 ** rng.uniform())


class _Cloth:
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

    def picture(self) -> npt.NDArray[np.float32]:
        return np.asarray(self._image.reduce(_FINE), dtype=np.float32) / 255


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


def _photographed(
    rng: np.random.Generator, picture: npt.NDArray[np.float32], mottle: float = 0.0
) -> Pixels:
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
    image = Image.fromarray(np.uint8(np.clip(linear, 0, 1) ** (1 / 2.2) * 255))
    blurred = image.filter(ImageFilter.GaussianBlur(rng.uniform(0, 1.4)))
    grain = rng.normal(0, rng.uniform(0.5, 2.5), (*shape, 1))
    return np.uint8(np.clip(np.asarray(blurred) + grain, 0, 255))


# --- lattices -------------------------------------------------------------------------------


def _lattice(
    rng: np.random.Generator,
    kind: RepeatKind,
    size: tuple[int, int],
    least: float,
    most: float = 12,
) -> tuple[complex, complex]:
    """Draw two vectors, in pixels, of a lattice with at least so many repeats each way."""
    tile = min(size) / (least * (most / least) ** rng.uniform())
    squat = rng.uniform(0.7, 1.0)
    wide, high = (tile, tile * squat) if rng.uniform() < 0.5 else (tile * squat, tile)
    if kind == "square":
        return complex(wide, 0), complex(0, high)
    if kind == "half-drop":
        return complex(wide * 0.8, high / 2), complex(0, high)
    if kind == "brick":
        return complex(wide, 0), complex(wide / 2, high * 0.8)
    aside = rng.choice([0.25, 1 / 3, 0.36, -0.25, -1 / 3, -0.3])
    if rng.uniform() < 0.5:
        return complex(wide, 0), complex(wide * aside, high * 0.9)
    return complex(wide * 0.9, high * aside), complex(0, high)


def _group(
    rng: np.random.Generator,
    steps: tuple[complex, complex],
    motifs: tuple[Callable[[np.random.Generator], Motif], ...],
) -> tuple[str, list[tuple[Motif, complex, float]]]:
    """Choose what one repeat holds: a motif, two that take turns, or a spray of several."""
    one, other = steps
    side = abs((one.conjugate() * other).imag) ** 0.5
    draw = lambda: motifs[int(rng.integers(len(motifs)))](rng)  # noqa: E731
    choice = rng.uniform()
    if choice < 0.4:
        return "one motif", [(draw(), 0j, side * rng.uniform(0.5, 0.85))]
    if choice < 0.6:
        # The same motif in two colours by turns.
        half = (one, other, one + other)[int(rng.integers(3))] / 2
        first, large = draw(), side * rng.uniform(0.4, 0.55)
        return "two colours", [
            (first, 0j, large), ([(o, ink + 1) for o, ink in first], half, large)
        ]  # fmt: skip
    if choice < 0.75:
        # Two unlike motifs half a repeat apart look like a repeat half as long.
        half = (one, other, one + other)[int(rng.integers(3))] / 2
        picks = rng.permutation(len(motifs))[:2]
        first, second = (motifs[int(k)](rng) for k in picks)
        large = side * rng.uniform(0.4, 0.55)
        return "two in turn", [(first, 0j, large), (second, half, large)]
    count = int(rng.integers(3, 6))
    group = []
    for k in range(count):
        along = (k + rng.uniform(0.0, 0.35)) / count
        spot = along * one + ((k * 2) % count + rng.uniform(0, 0.4)) / count * other
        group.append((draw(), spot, side * rng.uniform(0.28, 0.42)))
    return "group", group


def lattice_print(
    seed: int,
    kind: RepeatKind,
    *,
    least: float = 2.15,
    way: Way | None = "one-way",
    size: tuple[int, int] | None = None,
) -> Drawn:
    """Draw a print of motifs on a lattice: upright ones, or such as look alike half turned."""
    rng = np.random.default_rng([seed, 11, KINDS.index(kind), int(way == "two-way")])
    size = size or SIZES[int(rng.integers(len(SIZES)))]
    steps = _lattice(rng, kind, size, least)
    turn = rng.uniform(-10, 10)
    ground, inks = _inks(rng, 3, _contrast(rng))
    cloth = _Cloth(size, ground, turn)
    motifs = UPRIGHT if way == "one-way" else SYMMETRIC
    family, group = _group(rng, steps, motifs)
    if family != "two colours":
        inks = _some_of(rng, inks)
    if way == "two-way" and family == "group":
        # A spray is alike half turned when each motif has its partner across the middle.
        (motif, _, large), *_ = group
        away = 0.2 * steps[0] + rng.uniform(0.12, 0.2) * steps[1]
        group = [(motif, away, large), (motif, -away, large)]
    shift = complex(*rng.uniform(0, 1, 2)) * abs(steps[0])
    for _, _, corner in cloth.spots(*steps):
        for motif, spot, large in group:
            cloth.put(motif, corner + spot + shift, complex(large), inks)
    pixels = _photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    turned = [v * cloth.turn / size[0] for v in steps]
    return Drawn(pixels, kind, tuple((v.real, v.imag) for v in turned), way, family)


def stripe_print(seed: int, *, least: float = 2.15) -> Drawn:
    """Draw stripes of several widths and colours, at any slope."""
    rng = np.random.default_rng([seed, 12])
    size = SIZES[int(rng.integers(len(SIZES)))]
    slope = float(rng.choice([0, 90, 45, -45, rng.uniform(-90, 90)])) + rng.uniform(-5, 5)
    ground, inks = _inks(rng, 3, _contrast(rng))
    cloth = _Cloth(size, ground, slope)
    across = np.exp(1j * np.radians(slope))
    span = size[0] * abs(across.real) + size[1] * abs(across.imag)
    period = min(*size, span) / (least * (14 / least) ** rng.uniform())
    bands = []
    for _ in range(int(rng.integers(1, 6))):
        bands.append((rng.uniform(0, 1), rng.uniform(0.06, 0.4), int(rng.integers(3))))
    middle, reach = complex(*size) / 2, sum(size)
    for k in range(-int(reach / period) - 1, int(reach / period) + 2):
        for at, wide, ink in bands:
            start = middle + (k + at) * period
            cloth.fill(_bar(start - 1j * reach, start + 1j * reach, wide * period), inks[ink])
    pixels = _photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    step = period * across / size[0]
    return Drawn(pixels, "stripes", ((step.real, step.imag),), "two-way", "stripes")


def check_print(seed: int, *, least: float = 2.15) -> Drawn:
    """Draw a gingham: stripes both ways, dark where they cross."""
    rng = np.random.default_rng([seed, 13])
    size = SIZES[int(rng.integers(len(SIZES)))]
    (red, green, blue), inks = _inks(rng, 1, rng.uniform(0.2, 0.5))
    wide, high = (min(size) / rng.uniform(least, 12) for _ in range(2))
    turn = np.exp(1j * np.radians(rng.uniform(-10, 10)))
    down, across = np.mgrid[0 : size[1], 0 : size[0]]
    flat = (across - size[0] / 2 + 1j * (down - size[1] / 2)) * np.conj(turn)
    share = rng.uniform(0.35, 0.65)
    cover = (flat.real / wide % 1 < share) * 0.5 + (flat.imag / high % 1 < share) * 0.5
    picture = np.float32(
        (1 - cover[..., np.newaxis]) * (red, green, blue) + cover[..., np.newaxis] * inks[0]
    )
    pixels = _photographed(rng, picture / 255)
    steps = [v * turn / size[0] for v in (complex(wide), 1j * high)]
    return Drawn(pixels, "square", tuple((v.real, v.imag) for v in steps), "two-way", "check")


# --- prints without a repeat, and tossed ones ------------------------------------------------


def _tossed_spots(rng: np.random.Generator, size: tuple[int, int], gap: float) -> list[complex]:
    """Toss spots no nearer than ``gap``, as many as find room in the tries there are."""
    spots: list[complex] = []
    tries = int(12 * size[0] * size[1] / gap**2) + 30
    for x, y in rng.uniform(-0.15, 1.15, (tries, 2)):
        spot = complex(x * size[0], y * size[1])
        if all(abs(spot - other) >= gap for other in spots):
            spots.append(spot)
    return spots


def tossed_print(seed: int, way: Way, *, large: bool = False, kinds: int = 2) -> Drawn:
    """Toss motifs over a cloth without a repeat: all upright, or each at a turn of its own."""
    rng = np.random.default_rng([seed, 14, int(large)])
    size = SIZES[int(rng.integers(len(SIZES)))]
    gap = min(size) * (rng.uniform(0.28, 0.36) if large else rng.uniform(0.09, 0.22))
    ground, inks = _inks(rng, 3, _contrast(rng))
    cloth = _Cloth(size, ground, rng.uniform(-10, 10))
    inks = _some_of(rng, inks)
    picks = rng.permutation(len(UPRIGHT))[:kinds]
    motifs = [UPRIGHT[int(k)](rng) for k in picks]
    for spot in _tossed_spots(rng, size, gap):
        lean = np.exp(
            1j * (rng.uniform(0, 2 * np.pi) if way == "two-way" else rng.normal(0, 0.1))
        )
        by = complex(gap * rng.uniform(0.8, 1.0) * lean)
        cloth.put(motifs[int(rng.integers(kinds))], spot, by, inks)
    pixels = _photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    return Drawn(pixels, "none", (), way, "large tossed" if large else "tossed")


def tossed_repeat_print(seed: int, way: Way, *, least: float = 2.15) -> Drawn:
    """Toss seven motifs or more over one repeat, as printed cloth is drawn, and step that."""
    rng = np.random.default_rng([seed, 21])
    size = SIZES[int(rng.integers(len(SIZES)))]
    kind = KINDS[int(rng.integers(4))]
    one, other = _lattice(rng, kind, size, least, 3.4)
    gap = abs((one.conjugate() * other).imag) ** 0.5 * rng.uniform(0.2, 0.27)
    near = [i * one + j * other for i in (-1, 0, 1) for j in (-1, 0, 1)]
    spots: list[complex] = []
    for along, aside in rng.uniform(0, 1, (400, 2)):
        spot = along * one + aside * other
        if all(abs(spot - placed + move) >= gap for placed in spots for move in near):
            spots.append(spot)
    ground, inks = _inks(rng, 3, _contrast(rng))
    cloth = _Cloth(size, ground, rng.uniform(-10, 10))
    motifs = [UPRIGHT[int(k)](rng) for k in rng.permutation(len(UPRIGHT))[:2]]
    turns = rng.uniform(0, 2 * np.pi, len(spots)) if way == "two-way" else 0.1 * rng.normal(
        size=len(spots)
    )  # fmt: skip
    for _, _, corner in cloth.spots(one, other):
        for number, (spot, turn) in enumerate(zip(spots, turns, strict=True)):
            by = complex(gap * 0.95 * np.exp(1j * turn))
            cloth.put(motifs[number % 2], corner + spot, by, inks)
    pixels = _photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    steps = [v * cloth.turn / size[0] for v in (one, other)]
    return Drawn(pixels, kind, tuple((v.real, v.imag) for v in steps), way, "tossed repeat")


def turned_rows_print(seed: int) -> Drawn:
    """Draw upright motifs on a square lattice, every second row of them turned half round."""
    rng = np.random.default_rng([seed, 15])
    size = SIZES[int(rng.integers(len(SIZES)))]
    one, other = _lattice(rng, "square", size, 4.4)
    ground, inks = _inks(rng, 3, _contrast(rng))
    cloth = _Cloth(size, ground, rng.uniform(-10, 10))
    inks = _some_of(rng, inks)
    motif = UPRIGHT[int(rng.integers(len(UPRIGHT)))](rng)
    large = abs(one) * rng.uniform(0.55, 0.8)
    for _, row, corner in cloth.spots(one, other):
        cloth.put(motif, corner, complex(large * (-1) ** row), inks)
    pixels = _photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    steps = [v * cloth.turn / size[0] for v in (one, 2 * other)]
    return Drawn(
        pixels, "square", tuple((v.real, v.imag) for v in steps), "two-way", "turned rows"
    )


def _enlarged(
    rng: np.random.Generator, size: tuple[int, int], cells: tuple[int, int]
) -> npt.NDArray[np.float32]:
    coarse = Image.fromarray(rng.normal(size=cells).astype(np.float32))
    return np.asarray(coarse.resize(size, Image.Resampling.BICUBIC))


def _two_inks(rng: np.random.Generator, cover: npt.NDArray[np.floating]) -> Pixels:
    ground, inks = _inks(rng, 1, rng.uniform(0.1, 0.4))
    share = np.clip(cover, 0, 1)[..., np.newaxis]
    picture = ((1 - share) * ground + share * inks[0]) / 255
    return _photographed(rng, np.float32(picture))


def wood_print(seed: int) -> Drawn:
    """Draw grain that runs down and never comes again."""
    rng = np.random.default_rng([seed, 16])
    size = SIZES[int(rng.integers(len(SIZES)))]
    across = np.linspace(0, rng.uniform(8, 25), size[0])[np.newaxis]
    warp = _enlarged(rng, size, (4, 6)) * rng.uniform(0.8, 2)
    grain = np.sin(across + warp) + 0.6 * np.sin(2.3 * across + 1.7 * warp + rng.uniform(0, 6))
    return Drawn(_two_inks(rng, 0.5 + 0.35 * grain), "none", (), None, "wood")


def tweed_print(seed: int) -> Drawn:
    """Draw flecks of every size, with no order in them."""
    rng = np.random.default_rng([seed, 17])
    size = SIZES[int(rng.integers(len(SIZES)))]
    fleck = sum(_enlarged(rng, size, (n, n * 3 // 2)) for n in (30, 70))
    return Drawn(_two_inks(rng, 0.5 + 0.3 * fleck), "none", (), None, "tweed")


def marble_print(seed: int) -> Drawn:
    """Draw blotches of dye."""
    rng = np.random.default_rng([seed, 18])
    size = SIZES[int(rng.integers(len(SIZES)))]
    n = int(rng.integers(4, 14))
    blot = _enlarged(rng, size, (n, n + 2)) + 0.4 * _enlarged(rng, size, (3 * n, 3 * n))
    return Drawn(_two_inks(rng, 0.5 + 0.4 * blot), "none", (), "two-way", "marble")


def solid_print(seed: int) -> Drawn:
    """Weave a plain cloth."""
    rng = np.random.default_rng([seed, 19])
    size = SIZES[int(rng.integers(len(SIZES)))]
    ground, _ = _inks(rng, 1, 0.3)
    picture = np.full((size[1], size[0], 3), ground, np.float32) / 255
    pixels = _photographed(rng, picture, rng.uniform(0, 0.01))
    return Drawn(pixels, "none", (), "two-way", "solid")


def uneven_stripes_print(seed: int) -> Drawn:
    """Draw stripes whose widths and colours never come again in the same order."""
    rng = np.random.default_rng([seed, 20])
    size = SIZES[int(rng.integers(len(SIZES)))]
    ground, inks = _inks(rng, 4, _contrast(rng))
    cloth = _Cloth(size, ground, rng.uniform(-90, 90))
    at = -float(sum(size))
    while at < 2 * sum(size):
        wide = rng.uniform(0.01, 0.09) * size[0]
        if rng.uniform() < 0.6:
            ink = inks[int(rng.integers(4))]
            cloth.fill(_bar(at - 2j * sum(size), at + 2j * sum(size), wide), ink)
        at += wide
    pixels = _photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    return Drawn(pixels, "none", (), None, "uneven stripes")


APERIODIC: Final[tuple[Callable[[int], Drawn], ...]] = (
    lambda seed: tossed_print(seed, "one-way"),
    lambda seed: tossed_print(seed, "two-way"),
    lambda seed: tossed_print(seed, "one-way", large=True),
    lambda seed: tossed_print(seed, "two-way", large=True),
    wood_print,
    tweed_print,
    marble_print,
    solid_print,
    uneven_stripes_print,
)


def same_lattice(
    found: tuple[Vector, ...], drawn: tuple[Vector, ...], tolerance: float = 0.02
) -> bool:
    """Tell whether two sets of vectors span one lattice, each within 2 % of its length."""
    if len(found) != len(drawn):
        return False
    one = np.array(found, dtype=np.float64).reshape(-1, 2)
    other = np.array(drawn, dtype=np.float64).reshape(-1, 2)
    if len(one) == 0:
        return True
    if len(one) == 1:
        gap = min(np.linalg.norm(one - other), np.linalg.norm(one + other))
        return bool(gap <= tolerance * np.linalg.norm(other))
    turns = np.rint(one @ np.linalg.inv(other))
    off = np.linalg.norm(turns @ other - one, axis=1)
    near = off <= tolerance * np.linalg.norm(one, axis=1)
    return bool(near.all() and abs(round(np.linalg.det(turns))) == 1)
