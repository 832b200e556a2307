"""Prints drawn for tests, with the lattice they repeat on and their right way up known.

Every print is drawn from its seed alone, turned, lit from one side, woven, blurred and grained,
so that what is found can be held against what was drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt
from PIL import Image

from quiltboard.fabrics.reading import RepeatKind, Vector, Way
from tests.helpers.printed_cloth import (
    SYMMETRIC,
    UPRIGHT,
    Cloth,
    Motif,
    Pixels,
    bar,
    choose_contrast,
    choose_inks,
    often_all,
    photographed,
)

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

    def draw() -> Motif:
        return motifs[int(rng.integers(len(motifs)))](rng)

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
    ground, inks = choose_inks(rng, 3, choose_contrast(rng))
    cloth = Cloth(size, ground, turn)
    motifs = UPRIGHT if way == "one-way" else SYMMETRIC
    family, group = _group(rng, steps, motifs)
    if family != "two colours":
        inks = often_all(rng, inks)
    if way == "two-way" and family == "group":
        # A spray is alike half turned when each motif has its partner across the middle.
        (motif, _, large), *_ = group
        away = 0.2 * steps[0] + rng.uniform(0.12, 0.2) * steps[1]
        group = [(motif, away, large), (motif, -away, large)]
    shift = complex(*rng.uniform(0, 1, 2)) * abs(steps[0])
    for _, _, corner in cloth.spots(*steps):
        for motif, spot, large in group:
            cloth.put(motif, corner + spot + shift, complex(large), inks)
    pixels = photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    turned = [v * cloth.turn / size[0] for v in steps]
    return Drawn(pixels, kind, tuple((v.real, v.imag) for v in turned), way, family)


def stripe_print(seed: int, *, least: float = 2.15) -> Drawn:
    """Draw stripes of several widths and colours, at any slope."""
    rng = np.random.default_rng([seed, 12])
    size = SIZES[int(rng.integers(len(SIZES)))]
    slope = float(rng.choice([0, 90, 45, -45, rng.uniform(-90, 90)])) + rng.uniform(-5, 5)
    ground, inks = choose_inks(rng, 3, choose_contrast(rng))
    cloth = Cloth(size, ground, slope)
    across = np.exp(1j * np.radians(slope))
    span = size[0] * abs(across.real) + size[1] * abs(across.imag)
    period = min(*size, span) / (least * (14 / least) ** rng.uniform())
    bands = [
        (rng.uniform(0, 1), rng.uniform(0.06, 0.4), int(rng.integers(3)))
        for _ in range(int(rng.integers(1, 6)))
    ]
    middle, reach = complex(*size) / 2, sum(size)
    for k in range(-int(reach / period) - 1, int(reach / period) + 2):
        for at, wide, ink in bands:
            start = middle + (k + at) * period
            cloth.fill(bar(start - 1j * reach, start + 1j * reach, wide * period), inks[ink])
    pixels = photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    step = period * across / size[0]
    return Drawn(pixels, "stripes", ((step.real, step.imag),), "two-way", "stripes")


def check_print(seed: int, *, least: float = 2.15) -> Drawn:
    """Draw a gingham: stripes both ways, dark where they cross."""
    rng = np.random.default_rng([seed, 13])
    size = SIZES[int(rng.integers(len(SIZES)))]
    (red, green, blue), inks = choose_inks(rng, 1, rng.uniform(0.2, 0.5))
    wide, high = (min(size) / rng.uniform(least, 12) for _ in range(2))
    turn = np.exp(1j * np.radians(rng.uniform(-10, 10)))
    down, across = np.mgrid[0 : size[1], 0 : size[0]]
    flat = (across - size[0] / 2 + 1j * (down - size[1] / 2)) * np.conj(turn)
    share = rng.uniform(0.35, 0.65)
    cover = (flat.real / wide % 1 < share) * 0.5 + (flat.imag / high % 1 < share) * 0.5
    picture = np.asarray(
        (1 - cover[..., np.newaxis]) * (red, green, blue) + cover[..., np.newaxis] * inks[0],
        dtype=np.float32,
    )
    pixels = photographed(rng, np.float32(1 / 255) * picture)
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
    ground, inks = choose_inks(rng, 3, choose_contrast(rng))
    cloth = Cloth(size, ground, rng.uniform(-10, 10))
    inks = often_all(rng, inks)
    picks = rng.permutation(len(UPRIGHT))[:kinds]
    motifs = [UPRIGHT[int(k)](rng) for k in picks]
    for spot in _tossed_spots(rng, size, gap):
        lean = np.exp(
            1j * (rng.uniform(0, 2 * np.pi) if way == "two-way" else rng.normal(0, 0.1))
        )
        by = complex(gap * rng.uniform(0.8, 1.0) * lean)
        cloth.put(motifs[int(rng.integers(kinds))], spot, by, inks)
    pixels = photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
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
    ground, inks = choose_inks(rng, 3, choose_contrast(rng))
    cloth = Cloth(size, ground, rng.uniform(-10, 10))
    motifs = [UPRIGHT[int(k)](rng) for k in rng.permutation(len(UPRIGHT))[:2]]
    turns = rng.uniform(0, 2 * np.pi, len(spots)) if way == "two-way" else 0.1 * rng.normal(
        size=len(spots)
    )  # fmt: skip
    for _, _, corner in cloth.spots(one, other):
        for number, (spot, turn) in enumerate(zip(spots, turns, strict=True)):
            by = complex(gap * 0.95 * np.exp(1j * turn))
            cloth.put(motifs[number % 2], corner + spot, by, inks)
    pixels = photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
    steps = [v * cloth.turn / size[0] for v in (one, other)]
    return Drawn(pixels, kind, tuple((v.real, v.imag) for v in steps), way, "tossed repeat")


def turned_rows_print(seed: int) -> Drawn:
    """Draw upright motifs on a square lattice, every second row of them turned half round."""
    rng = np.random.default_rng([seed, 15])
    size = SIZES[int(rng.integers(len(SIZES)))]
    one, other = _lattice(rng, "square", size, 4.4)
    ground, inks = choose_inks(rng, 3, choose_contrast(rng))
    cloth = Cloth(size, ground, rng.uniform(-10, 10))
    inks = often_all(rng, inks)
    motif = UPRIGHT[int(rng.integers(len(UPRIGHT)))](rng)
    large = abs(one) * rng.uniform(0.55, 0.8)
    for _, row, corner in cloth.spots(one, other):
        cloth.put(motif, corner, complex(large * (-1) ** row), inks)
    pixels = photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
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
    ground, inks = choose_inks(rng, 1, rng.uniform(0.1, 0.4))
    share = np.clip(cover, 0, 1)[..., np.newaxis]
    picture = ((1 - share) * ground + share * inks[0]) / 255
    return photographed(rng, picture.astype(np.float32))


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
    fleck = _enlarged(rng, size, (30, 45)) + _enlarged(rng, size, (70, 105))
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
    ground, _ = choose_inks(rng, 1, 0.3)
    picture = np.full((size[1], size[0], 3), ground, np.float32)
    pixels = photographed(rng, np.float32(1 / 255) * picture, rng.uniform(0, 0.01))
    return Drawn(pixels, "none", (), "two-way", "solid")


def uneven_stripes_print(seed: int) -> Drawn:
    """Draw stripes whose widths and colours never come again in the same order."""
    rng = np.random.default_rng([seed, 20])
    size = SIZES[int(rng.integers(len(SIZES)))]
    ground, inks = choose_inks(rng, 4, choose_contrast(rng))
    cloth = Cloth(size, ground, rng.uniform(-90, 90))
    at = -float(sum(size))
    while at < 2 * sum(size):
        wide = rng.uniform(0.01, 0.09) * size[0]
        if rng.uniform() < 0.6:
            ink = inks[int(rng.integers(4))]
            cloth.fill(bar(at - 2j * sum(size), at + 2j * sum(size), wide), ink)
        at += wide
    pixels = photographed(rng, cloth.picture(), rng.uniform(0, 0.02))
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
