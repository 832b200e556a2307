"""Stripes, checks and grain: prints that run by rule."""

from __future__ import annotations

import numpy as np

from .cloth import HEIGHT_IN, WIDTH_IN, Cloth
from .shapes import Shape, box, brush, curve, leaf, oval, ribbon, rosette, turned


def _wavering(rng: np.random.Generator, x: float, sway: float = 0.006) -> Shape:
    """Draw a line down the cloth, ruled by hand."""
    down = np.arange(-0.3, HEIGHT_IN + 0.9, 0.6)
    return curve(*(x + sway * rng.normal(size=len(down)) + 1j * down), steps=6)


def midnight_leek(cloth: Cloth, rng: np.random.Generator) -> None:
    """Leek leaves by night: stripes from blue-black to sage."""
    cloth.ground("#1c2d34")
    cloth.mottle(rng, 0.03, 1.0)
    stripes = (
        (0.10, 0.16, "#2c454a"), (0.10, 0.03, "#4f7470"), (0.31, 0.05, "#2c454a"),
        (0.40, 0.025, "#7fa093"), (0.49, 0.05, "#2c454a"), (0.72, 0.18, "#14232a"),
        (0.72, 0.022, "#3c5c5e"), (0.93, 0.035, "#37565a"), (1.03, 0.07, "#3f6463"),
        (1.13, 0.035, "#37565a"),
    )  # fmt: skip
    for repeat in range(int(WIDTH_IN / 1.25) + 2):
        for x, width, ink in stripes:
            cloth.fill(ribbon(_wavering(rng, repeat * 1.25 + x), width), ink)


def blue_twine(cloth: Cloth, rng: np.random.Generator) -> None:
    """Twisted twine between fine rules, a ticking."""
    cloth.ground("#456fa4")
    cloth.mottle(rng, 0.025, 1.0)
    strand = curve(-0.085 + 0.075j, -0.04 + 0.05j, 0.04 - 0.05j, 0.085 - 0.075j)
    for repeat in range(int(WIDTH_IN / 0.9) + 2):
        x = repeat * 0.9
        cloth.fill(ribbon(_wavering(rng, x, 0.002), 0.24), "#345a8e")
        for turn in range(int(HEIGHT_IN / 0.1) + 2):
            middle = complex(x, turn * 0.1)
            cloth.fill(middle + brush(strand, 0.07, thin=0.5), "#86a8d2")
            cloth.fill(middle - 0.012j + brush(strand * 0.7, 0.022), "#b9cde6")
        for aside, width, ink in ((0.32, 0.028, "#7c9dca"), (0.39, 0.05, "#345a8e"),
                                  (0.45, 0.016, "#9db8dc"), (0.51, 0.05, "#345a8e"),
                                  (0.58, 0.028, "#7c9dca")):  # fmt: skip
            cloth.fill(ribbon(_wavering(rng, x + aside, 0.003), width), ink)


def brick_path(cloth: Cloth, rng: np.random.Generator) -> None:
    """Bricks laid in basket weave: a check of paired courses."""
    cloth.ground("#c98d70")
    cloth.mottle(rng, 0.025, 0.8)
    side, joint = 0.84, 0.032
    light, dark = ("#b4644a", "#ba6c50", "#ae5e46"), ("#934632", "#8b412f", "#9a4d38")
    for row in range(int(HEIGHT_IN / side) + 1):
        for column in range(int(WIDTH_IN / side) + 1):
            upright = (row + column) % 2 == 1
            for brick in (-1, 0, 1):
                middle = complex(column + 0.5, row + 0.5) * side
                middle += brick * side / 3 * (1 if upright else 1j)
                long, short = side - joint, side / 3 - joint
                across, down = (short, long) if upright else (long, short)
                ink = str(rng.choice(dark if upright else light))
                jitter = rng.normal(0, 0.4)
                cloth.fill(box(middle, across, down, jitter), ink)
                for _ in range(5):
                    spot = middle + complex(
                        rng.uniform(-0.4, 0.4) * across, rng.uniform(-0.4, 0.4) * down
                    )
                    cloth.disc(spot, 0.011, "#a65740" if upright else "#c37b60")


def newsprint_check(cloth: Cloth, rng: np.random.Generator) -> None:
    """Half-inch squares, half of them black, half white, set in lines of type.

    Every second square carries rules in the other colour, black on white as white on black, so
    that the halves stay equal.
    """
    white, black = "#fdfdfc", "#1c1c1c"
    cloth.ground(white)
    cloth.mottle(rng, 0.003, 1.0)
    side = 0.5
    for row in range(int(HEIGHT_IN / side) + 1):
        for column in range(int(WIDTH_IN / side) + 1):
            corner = complex(column, row) * side
            dark = (row + column) % 2 == 1
            if dark:
                cloth.fill(box(corner + (0.5 + 0.5j) * side, side, side), black)
            if column % 4 in (0, 1) and row % 2 == 0:
                _type(cloth, corner, white if dark else black)


def _type(cloth: Cloth, corner: complex, ink: str) -> None:
    """Set four lines of words too small to read."""
    words = ((0.09, 0.05, 0.12, 0.04), (0.05, 0.13, 0.07, 0.06), (0.14, 0.04, 0.06, 0.07),
             (0.07, 0.1, 0.05))  # fmt: skip
    for line, lengths in enumerate(words):
        x = 0.085
        for length in lengths:
            middle = corner + complex(x + length / 2, 0.115 + 0.09 * line)
            cloth.fill(box(middle, length, 0.034), ink)
            x += length + 0.025


def fork_handle(cloth: Cloth, rng: np.random.Generator) -> None:
    """Ash grain of a handle, running round its knots."""
    cloth.ground("#937e5d")
    cloth.mottle(rng, 0.03, 0.7)
    knots = [
        (1.5, 1.9, 0.2),
        (4.6, 5.2, 0.26),
        (7.4, 2.6, 0.22),
        (9.4, 6.4, 0.2),
        (2.3, 7.3, 0.17),
    ]
    down = np.linspace(-0.2, HEIGHT_IN + 0.2, 200)
    sway = 0.12 * np.sin(down * 0.8 + 0.4) + 0.05 * np.sin(down * 2.1)
    inks = ("#75623f", "#ad9872", "#7e6a48", "#a8936c", "#6d5b3c")
    x = -0.6
    while x < WIDTH_IN + 0.6:
        line = x + sway + 0.012 * np.sin(down * 5 + x * 3) * np.sin(x * 7)
        for knot_x, knot_y, size in knots:
            away = line - knot_x
            near = np.exp(-(((down - knot_y) / (size * 3.2)) ** 2))
            push = size * np.tanh(away / 0.05) * np.exp(-np.abs(away) / (size * 2.6))
            line = line + near * push
        width = rng.uniform(0.012, 0.04) * (1 + 0.45 * np.sin(down * 1.7 + x * 9))
        cloth.fill(ribbon(line + 1j * down, width), str(rng.choice(inks)))
        x += rng.uniform(0.04, 0.1)
    for x, y, size in knots:
        centre = complex(x + float(np.interp(y, down, sway)) * 0.0, y)
        for share, ink in ((0.86, "#6d5b3c"), (0.7, "#a8936c"), (0.56, "#75623f"),
                           (0.38, "#94805e"), (0.24, "#5c4b30")):  # fmt: skip
            cloth.fill(oval(centre, 2 * size * share * 0.8, 2 * size * share * 1.5, 4), ink)


def gate_border(cloth: Cloth, rng: np.random.Generator) -> None:
    """Pickets and roses between garlands: a border stripe, band over band."""
    deep, pale, mauve, sage = "#5b5080", "#b3a7c9", "#b07fa8", "#8d9c88"
    cloth.ground("#75688f")
    cloth.mottle(rng, 0.02, 1.0)
    tall = 3.3
    for band in range(-1, int(HEIGHT_IN / tall) + 2):
        top = band * tall * 1j
        for offset, width, ink in (
            (0.0, 0.1, deep), (0.11, 0.035, pale), (0.46, 0.62, "#685c86"),
            (0.82, 0.035, pale), (0.93, 0.1, deep),
        ):  # fmt: skip
            cloth.fill(box(top + WIDTH_IN / 2 + 1j * offset, WIDTH_IN + 1, width), ink)
        _garland(cloth, top + 0.46j, mauve, sage)
        _pickets(cloth, top + 2.15j, pale, mauve, sage, deep)


def _garland(cloth: Cloth, start: complex, mauve: str, sage: str) -> None:
    """Print a wavy stem with leaves and buds along one band."""
    along = np.linspace(-0.5, WIDTH_IN + 0.5, 420)
    cloth.fill(ribbon(start + along + 0.12j * np.sin(along * np.pi / 0.55), 0.026), sage)
    for place in range(-1, int(WIDTH_IN / 0.55) + 2):
        side = 1 if place % 2 else -1
        crest = start + complex((place + 0.5) * 0.55, -side * 0.12)
        cloth.fill(leaf(crest, crest + 0.24 * turned(-28 * -side), 0.1, 0.1), sage)
        cloth.fill(leaf(crest, crest - 0.22 * turned(24 * -side), 0.09, -0.1), sage)
        bloom = start + complex((place + 0.5) * 0.55, side * 0.1)
        cloth.fill(rosette(bloom, 0.1, 5, 0.35, 18), "#e3dae8")
        cloth.disc(bloom, 0.034, mauve)


def _pickets(cloth: Cloth, start: complex, pale: str, mauve: str, sage: str, deep: str) -> None:
    """Print pickets on two rails, and a rose climbing at every fifth."""
    for rail in (-0.38j, 0.52j):
        cloth.fill(box(start + rail + WIDTH_IN / 2, WIDTH_IN + 1, 0.13), "#988bb2")
    for place in range(-1, int(WIDTH_IN / 0.42) + 2):
        foot = start + place * 0.42
        if place % 5 == 0:
            _climber(cloth, foot, mauve, sage, deep)
            continue
        height = 0.86 + 0.14 * np.cos((place % 5 - 2.5) * np.pi / 3)
        picket = np.array(
            [-0.115 + 0.95j, -0.115 - 1j * (height - 0.16), -1j * height,
             0.115 - 1j * (height - 0.16), 0.115 + 0.95j]
        )  # fmt: skip
        cloth.fill(foot + picket + 0.03 + 0.02j, deep)
        cloth.fill(foot + picket, pale)
        for rail in (-0.38j, 0.52j):
            cloth.disc(foot + rail, 0.022, "#7a6d97")


def _climber(cloth: Cloth, foot: complex, mauve: str, sage: str, deep: str) -> None:
    """Print a climbing rose, three heads on one stem."""
    stem = curve(foot + 0.95j, foot + 0.06 + 0.5j, foot - 0.06 + 0.0j, foot - 0.8j)
    cloth.fill(brush(stem, 0.045, thin=0.6), deep)
    for height, side in ((0.72, 1), (0.46, -1), (0.16, 1), (-0.14, -1), (-0.44, 1)):
        joint = foot + height * 1j
        cloth.fill(leaf(joint, joint + side * 0.24 * turned(-35 * side), 0.12, 0.08), sage)
    for height, size in ((-0.86, 0.17), (-0.28, 0.14), (0.32, 0.14)):
        head = foot + 1j * height
        cloth.fill(rosette(head, size, 6, 0.25), mauve)
        cloth.fill(rosette(head, size * 0.66, 5, 0.3, 20), "#dcbcd4")
        cloth.disc(head, size * 0.24, deep)
