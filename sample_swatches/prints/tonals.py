"""Near-solids and tonals: prints that read as one colour until you come close."""

from __future__ import annotations

import numpy as np

from .cloth import HEIGHT_IN, WIDTH_IN, Cloth
from .shapes import Shape, arc, brush, curve, hoop, leaf, oval, ribbon, taper, turned, wobbly


def wet_slate(cloth: Cloth, rng: np.random.Generator) -> None:
    """Split slate after rain: fine grain, near-solid."""
    cloth.ground("#39434d")
    cloth.mottle(rng, 0.035, 0.5, stretch=3.0)
    inks = ("#414c57", "#333c45", "#46515b", "#37414b", "#303840")
    for _ in range(1500):
        start = complex(rng.uniform(-1, WIDTH_IN), rng.uniform(-1, HEIGHT_IN + 1))
        along = rng.uniform(0.4, 2.0) * turned(-14 + rng.normal(0, 2.5))
        sag = 1j * rng.normal(0, 0.02)
        line = curve(start, start + along / 2 + sag, start + along)
        cloth.fill(brush(line, rng.uniform(0.008, 0.026)), str(rng.choice(inks)))


def tomato_skin(cloth: Cloth, rng: np.random.Generator) -> None:
    """Brushed dabs that flow round like the shine on a skin, near-solid."""
    cloth.ground("#c23a2b")
    cloth.mottle(rng, 0.03, 1.1)
    inks = ("#c94432", "#bb3628", "#cd4a36", "#be3a2c", "#c6402f")
    dab = brush(curve(-0.07, 0.012j, 0.07), 0.044)
    wave = 2 * np.pi / 3.0
    for number, spot, _ in cloth.tossed(rng, 3.0, 0.095):
        angle = 50 * np.sin(wave * spot.real) + 60 * np.cos(wave * spot.imag) + 20
        cloth.fill(spot + dab * turned(float(angle)), inks[number % len(inks)])


def compost_tweed(cloth: Cloth, rng: np.random.Generator) -> None:
    """Herringbone with flecks of leaf and straw, tonal."""
    cloth.ground("#30251f")
    cloth.mottle(rng, 0.03, 1.0)
    rib, pitch = 0.36, 0.075
    for column in range(int(WIDTH_IN / rib) + 1):
        rise = rib if column % 2 else -rib
        for row in range(-6, int(HEIGHT_IN / pitch) + 6):
            foot = complex(column * rib, row * pitch)
            line = np.array([foot, foot + complex(rib, rise * 0.8)])
            shade = ("#4b3d35", "#514239", "#463830")[int(rng.integers(3))]
            cloth.fill(ribbon(line, pitch * 0.52), shade)
    flecks = ("#93703f", "#85503a", "#6d7047", "#b08d5c", "#5d4a55")
    for _ in range(620):
        spot = complex(rng.uniform(0, WIDTH_IN), rng.uniform(0, HEIGHT_IN))
        half = rng.uniform(0.02, 0.055) * turned(rng.uniform(0, 360))
        line = curve(spot - half, spot + 0.12j * half, spot + half)
        cloth.fill(brush(line, rng.uniform(0.02, 0.036), thin=0.5), str(rng.choice(flecks)))


_ONION_SIDE = np.array(
    [0.03, 0.035, 0.06, 0.16, 0.33, 0.45, 0.5, 0.49, 0.41, 0.26, 0.09, 0.0], dtype=np.float64
)
_ONION_DOWN = np.linspace(-0.62, 0.5, len(_ONION_SIDE))


def onion_paper(cloth: Cloth, rng: np.random.Generator) -> None:
    """Papery onions, skin over skin, tone on tone."""
    cloth.ground("#eadfc6")
    cloth.mottle(rng, 0.012, 0.8)
    for corner in cloth.repeats(1.9, 1.32):
        _onion(cloth, corner + 0.5 + 0.66j, turned(16) * 0.88)
        _onion(cloth, corner + 1.45 + 1.32j, turned(-164) * 0.88)


def _onion(cloth: Cloth, centre: complex, placing: complex) -> None:
    """Print one onion: a bulb, the lines of its skin, its roots."""

    def line(side: float) -> Shape:
        points = side * _ONION_SIDE + 1j * _ONION_DOWN
        return centre + placing * curve(*points, steps=6)

    bulb = np.concatenate((line(1.0), line(-1.0)[::-1]))
    cloth.fill(bulb, "#f0e7d2")
    for side in (-1.0, -0.78, -0.5, -0.17, 0.17, 0.5, 0.78, 1.0):
        cloth.fill(brush(line(side), 0.026 if abs(side) == 1 else 0.02), "#d8c8a4")
    for root in (-0.09, -0.03, 0.03, 0.09):
        tail = np.array([0.48j, root * 0.8 + 0.56j, root * 1.6 + 0.62j])
        cloth.fill(taper(centre + placing * curve(*tail), 0.018), "#d8c8a4")


def cloche_glass(cloth: Cloth, rng: np.random.Generator) -> None:
    """Bell glasses over seedlings, tone on tone."""
    cloth.ground("#d5e6e4")
    cloth.mottle(rng, 0.012, 0.9)
    for corner in cloth.repeats(1.5, 1.7, drop=0.5):
        _bell(cloth, corner + 0.75 + 0.85j)


def _bell(cloth: Cloth, centre: complex) -> None:
    """Print one bell glass with a seedling in it."""
    pale, deep = "#eaf4f2", "#b3d0cd"
    half = curve(
        0.0 - 0.5j, 0.22 - 0.46j, 0.37 - 0.26j, 0.42 + 0.05j, 0.44 + 0.36j, 0.5 + 0.48j
    )
    bell = np.concatenate((half, -half.conj()[::-1]))
    cloth.fill(centre + bell, pale)
    cloth.fill(centre + ribbon(bell, 0.028), deep)
    knob = oval(centre - 0.575j, 0.17, 0.15)
    cloth.fill(knob, pale)
    cloth.fill(hoop(knob, 0.026), deep)
    cloth.fill(ribbon(centre + np.array([-0.53 + 0.49j, 0.53 + 0.49j]), 0.04), deep)
    cloth.fill(brush(centre + arc(0.0 - 0.0j, 0.3, 190, 255), 0.045), "#ffffff")
    cloth.fill(taper(centre + curve(0.47j, 0.02 + 0.3j, 0.0 + 0.12j), 0.035, 0.6), deep)
    for side in (-1, 1):
        cloth.fill(leaf(centre + 0.14j, centre + side * 0.2 - 0.02j, 0.12, side * 0.12), deep)
        cloth.fill(leaf(centre + 0.3j, centre + side * 0.17 + 0.2j, 0.08, side * 0.1), deep)


def butterbean(cloth: Cloth, rng: np.random.Generator) -> None:
    """Dried beans dotted about, cream on butter."""
    cloth.ground("#ede3c9")
    cloth.mottle(rng, 0.01, 0.8)
    outline = curve(
        -0.15, -0.1 - 0.085j, 0.03 - 0.1j, 0.145 - 0.035j, 0.12 + 0.07j, 0.05 + 0.062j,
        -0.02 + 0.045j, -0.09 + 0.08j, closed=True, steps=8,
    )  # fmt: skip
    leans = rng.uniform(0, 360, (6, 6))
    for corner in cloth.repeats(3.0, 3.0):
        for (row, column), lean_deg in np.ndenumerate(leans):
            spot = corner + 0.5 * complex(column + 0.5 * (row % 2), row)
            bean = outline * turned(lean_deg)
            cloth.fill(spot + 0.012 + 0.016j + bean * 1.06, "#d9caa2")
            cloth.fill(spot + bean, "#f9f3e2")
            eye = oval(spot + 0.052j * turned(lean_deg), 0.06, 0.018, lean_deg)
            cloth.fill(eye, "#cdbb8e")


def aubergine_pip(cloth: Cloth, rng: np.random.Generator) -> None:
    """Small pips, an eighth of an inch, in rows that step aside."""
    cloth.ground("#351d40")
    cloth.mottle(rng, 0.03, 0.8)
    inks = ("#9377a6", "#9377a6", "#a488b0", "#7d5f93")
    for row in range(int(HEIGHT_IN / 0.325) + 2):
        for column in range(int(WIDTH_IN / 0.375) + 2):
            spot = complex((column + 0.5 * (row % 2)) * 0.375, row * 0.325)
            pip = wobbly(rng, 0j, 0.0625, 0.03)
            cloth.fill(spot + pip, inks[int(rng.integers(4))])


def rain_butt(cloth: Cloth, rng: np.random.Generator) -> None:
    """Raindrops on a full butt, and the rings they make."""
    cloth.ground("#2f7388")
    cloth.mottle(rng, 0.025, 0.9)
    for corner in cloth.repeats(1.7, 1.7):
        for place in (0.42 + 0.42j, 1.27 + 1.27j):
            cloth.fill(corner + wobbly(rng, place, 0.2, 0.02), "#a9cdd4")
        for place in (1.27 + 0.42j, 0.42 + 1.27j):
            cloth.fill(hoop(wobbly(rng, corner + place, 0.215, 0.02), 0.036), "#7db4c0")
            cloth.disc(corner + place, 0.062, "#a9cdd4")
