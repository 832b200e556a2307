"""Large prints with something to see in them: medallions, pots, packets."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from .cloth import Cloth
from .shapes import (
    Shape,
    box,
    brush,
    curve,
    leaf,
    oval,
    petal,
    ribbon,
    rosette,
    taper,
    turned,
    vein,
    wobbly,
)

Put = Callable[[Shape | NDArray[np.floating], str], None]


def beetroot_rings(cloth: Cloth, rng: np.random.Generator) -> None:
    """Slices of beetroot, three inches across, to be cut out by the ring."""
    cloth.ground("#4e1029")
    cloth.mottle(rng, 0.025, 0.9)
    for corner in cloth.repeats(3.3, 3.3):
        centre = corner + 1.65 + 1.65j
        _slice(cloth, np.random.default_rng(8), centre)
        star = corner
        for quarter in range(4):
            step = turned(45 + 90 * quarter)
            cloth.fill(leaf(star, star + 0.66 * step, 0.26), "#6d7d52")
            cloth.fill(ribbon(vein(star, star + 0.55 * step), 0.022), "#a8244f")
        cloth.fill(rosette(star, 0.2, 8, 0.3), "#c8436f")
        cloth.disc(star, 0.09, "#5a102c")


def _slice(cloth: Cloth, rng: np.random.Generator, centre: complex) -> None:
    """Print one slice: a scalloped skin, rings pale and dark, a star at the heart."""
    cloth.fill(rosette(centre, 1.5, 28, 0.07), "#a12450")
    cloth.fill(rosette(centre, 1.42, 28, 0.07), "#39091d")
    for place in range(28):
        cloth.disc(centre + 1.31 * turned(360 / 28 * (place + 0.5)), 0.03, "#d46a8e")
    rings = ((1.22, "#7a1238"), (1.1, "#c23e6b"), (1.02, "#6e1034"), (0.86, "#d05c84"),
             (0.79, "#7a1238"), (0.63, "#b93262"), (0.55, "#5f0e2d"), (0.4, "#cf5a82"),
             (0.33, "#7a1238"))  # fmt: skip
    for radius, ink in rings:
        cloth.fill(wobbly(rng, centre, radius, 0.018), ink)
    for ray in range(24):
        step = turned(15 * ray)
        line = centre + step * np.linspace(0.88, 1.0, 8)
        cloth.fill(brush(line, 0.03), "#9a1f4b")
        line = centre + step * turned(7.5) * np.linspace(0.57, 0.62, 6)
        cloth.fill(brush(line, 0.03), "#d66f92")
    cloth.fill(rosette(centre, 0.24, 8, 0.45), "#e08aa6")
    cloth.disc(centre, 0.08, "#5f0e2d")


def pot_stack(cloth: Cloth, rng: np.random.Generator) -> None:
    """Clay pots stacked one in another, a seedling in the top one: a one-way print."""
    cloth.ground("#cb7c53")
    cloth.mottle(rng, 0.02, 0.9)
    clays = (
        (("#a95032", "#92412a"), ("#dca077", "#c88a62"), ("#b8613d", "#a05233")),
        (("#dda680", "#c98f69"), ("#b4593a", "#9b4a2f"), ("#e2b391", "#cd9c79")),
    )
    for corner in cloth.repeats(2.7, 2.9):
        for place, clay in zip((0.68 + 2.2j, 2.03 + 3.65j), clays, strict=True):
            _stack(cloth, corner + place, clay)


def _stack(cloth: Cloth, foot: complex, clay: tuple[tuple[str, str], ...]) -> None:
    """Print a stack of three pots, the upper ones standing in the lower, and a seedling."""
    top = foot - 1.62j
    cloth.fill(taper(curve(top + 0.1j, top + 0.02 - 0.18j, top - 0.01 - 0.36j), 0.04, 0.6),
               "#6f7a50")  # fmt: skip
    for side in (-1, 1):
        cloth.fill(leaf(top - 0.1j, top + side * 0.33 - 0.26j, 0.16, side * 0.1), "#8f9663")
        cloth.fill(leaf(top - 0.3j, top + side * 0.18 - 0.52j, 0.12, side * 0.08), "#6f7a50")
    for pot in (2, 1, 0):
        _pot(cloth, foot - 0.36j * pot, *clay[pot])


def _pot(cloth: Cloth, foot: complex, ink: str, shade: str) -> None:
    """Print one pot: the body, a shaded side, the rim and a slip line."""
    cloth.fill(foot + np.array([-0.4 - 0.66j, 0.4 - 0.66j, 0.29, -0.29]), ink)
    cloth.fill(foot + np.array([0.17 - 0.66j, 0.4 - 0.66j, 0.29, 0.13]), shade)
    cloth.fill(foot + np.array([-0.41 - 0.67j, 0.41 - 0.67j, 0.4 - 0.61j, -0.4 - 0.61j]), shade)
    cloth.fill(foot + box(-0.78j, 0.98, 0.25), ink)
    cloth.fill(foot + box(0.34 - 0.78j, 0.3, 0.25), shade)
    cloth.fill(foot + ribbon(np.array([-0.49 - 0.9j, 0.49 - 0.9j]), 0.022), "#ecc9a8")
    for dot in np.linspace(-0.28, 0.08, 4):
        cloth.disc(foot + dot - 0.36j, 0.026, "#ecc9a8")
    cloth.fill(foot + ribbon(np.array([-0.345 - 0.26j, 0.345 - 0.26j]), 0.02), "#ecc9a8")
    cloth.fill(foot + ribbon(np.array([-0.365 - 0.46j, 0.365 - 0.46j]), 0.02), "#ecc9a8")


def seed_packets(cloth: Cloth, rng: np.random.Generator) -> None:
    """Seed packets spilt over a bench, three inches tall, each with its picture."""
    cloth.ground("#9a8c62")
    cloth.mottle(rng, 0.02, 0.9)
    packets = (
        (1.35 + 1.75j, -9.0, "#e4d6ac", "#a84a34", _carrot),
        (3.95 + 1.55j, 7.0, "#b9b584", "#5d6f47", _pea_pod),
        (6.45 + 1.9j, -5.0, "#d9b7a2", "#7f3b4b", _beet),
        (0.25 + 5.15j, 6.0, "#d3ba68", "#8d5a2a", _sunflower),
        (2.75 + 5.05j, -7.0, "#dcd6c0", "#b25433", _tomato),
        (5.3 + 5.2j, 10.0, "#a9b79f", "#4d6a66", _radishes),
    )
    inks = ("#6f6240", "#c2b285", "#82744d", "#d6c99f")
    for number, place, lean in cloth.tossed(rng, 7.6, 0.33):
        cloth.fill(place + lean * petal(0j, 0.17, 0.11, 0), inks[number % 4])
    for corner in cloth.repeats(7.6, 6.9):
        for centre, lean, paper, ink, picture in packets:
            _packet(cloth, corner + centre, turned(lean), paper, ink, picture)


def _packet(
    cloth: Cloth,
    centre: complex,
    lean: complex,
    paper: str,
    ink: str,
    picture: Callable[[Put], None],
) -> None:
    """Print one packet: a flap, a frame with its picture, lines of print."""

    def put(outline: Shape | NDArray[np.floating], colour: str) -> None:
        cloth.fill(centre + lean * outline, colour)

    put(box(0.05 + 0.07j, 2.1, 2.96), "#7b6e49")
    put(box(0j, 2.1, 2.96), paper)
    put(box(-1.33j, 2.1, 0.3), ink)
    for notch in np.linspace(-0.98, 0.98, 15):
        put(np.array([notch - 0.07 - 1.19j, notch + 0.07 - 1.19j, notch - 1.12j]), ink)
    put(box(0.16j, 1.66, 1.86), ink)
    put(box(0.16j, 1.6, 1.8), "#efe6cb")
    for place, long in ((-0.92, 1.1), (1.2, 1.3), (1.32, 0.8)):
        thick = 0.11 if place < 0 else 0.035
        if place < 0:
            for letter, stroke in enumerate((0.09, 0.16, 0.12, 0.07, 0.15, 0.12)):
                put(box(-0.52 + 0.2 * letter + 1j * place, stroke, thick), ink)
        else:
            put(box(1j * place, long, thick), ink)
    picture(put)


def _carrot(put: Put) -> None:
    """Print two carrots."""
    for x, lean in ((-0.28, 9), (0.3, -7)):
        step = turned(lean)
        for spread in (-34, -12, 10, 30):
            tip = x - 0.12j + 0.52j * step * -turned(spread)
            put(leaf(x - 0.1j, tip, 0.14), "#6f8449" if spread % 4 else "#56703f")
        body = curve(-0.17 - 0.02j, -0.1 + 0.4j, 0.0 + 1.0j, 0.11 + 0.4j, 0.17 - 0.02j,
                     0.0 - 0.08j, closed=True)  # fmt: skip
        put(x + step * (body - 0.06j), "#cf6f2f")
        for y in (0.12, 0.28, 0.44):
            put(x + step * brush(np.linspace(-0.12, 0.02, 8) + 1j * y, 0.022), "#a9521f")


def _pea_pod(put: Put) -> None:
    """Print an open pod and a shoot."""
    pod = curve(-0.62 - 0.25j, -0.3 + 0.32j, 0.25 + 0.5j, 0.66 + 0.2j)
    put(brush(pod, 0.46), "#5f8242")
    put(brush(pod - 0.03j, 0.3), "#a9bd6c")
    for x, y in ((-0.36, 0.14), (-0.15, 0.3), (0.08, 0.38), (0.31, 0.36)):
        put(oval(complex(x, y), 0.2, 0.2), "#7f9f4e")
        put(oval(complex(x - 0.03, y - 0.04), 0.06, 0.05), "#c8d692")
    put(taper(curve(-0.6 - 0.28j, -0.3 - 0.45j, 0.2 - 0.4j), 0.04), "#4d6b39")
    for tip in (-0.12 - 0.72j, 0.14 - 0.12j, 0.52 - 0.58j):
        put(leaf(-0.12 - 0.42j if tip.real < 0.5 else 0.18 - 0.4j, tip, 0.24), "#6f9150")


def _beet(put: Put) -> None:
    """Print a beetroot with its leaves."""
    for tip, bend in ((-0.45 - 0.55j, 0.1), (-0.02 - 0.68j, 0.0), (0.45 - 0.52j, -0.1)):
        put(leaf(0.05j, tip, 0.3, bend), "#5e7445")
        put(ribbon(vein(0.1j, tip * 0.9, bend), 0.04), "#973354")
    put(taper(np.linspace(0.5j, 1.02j, 12), 0.12), "#7a2241")
    put(oval(0.36j, 0.86, 0.78), "#7a2241")
    for arch in (0.2, 0.32):
        put(brush(curve(-arch + 0.2j, -arch - 0.05 + 0.38j, -arch + 0.56j), 0.035), "#a4506d")


def _sunflower(put: Put) -> None:
    """Print one sunflower."""
    put(taper(curve(0.3j, 0.05 + 0.7j, 1.04j), 0.08, 0.9), "#5f7540")
    for side in (-1, 1):
        put(leaf(0.85j, side * 0.6 + 0.62j, 0.28, side * 0.1), "#6f8449")
    for ring, ink in ((0, "#b97a20"), (1, "#dba32f")):
        for ray in range(14):
            angle = 360 / 14 * (ray + ring / 2)
            put(petal(-0.08j, 0.6 - 0.06 * ring, 0.2, angle), ink)
    put(oval(-0.08j, 0.46, 0.46), "#5b3a22")
    for ray in range(10):
        put(oval(-0.08j + 0.14 * turned(36 * ray), 0.045, 0.045), "#8b5f34")


def _tomato(put: Put) -> None:
    """Print a truss of tomatoes."""
    put(taper(curve(-0.5 - 0.68j, -0.1 - 0.3j, 0.1 + 0.3j), 0.06, 0.5), "#5f7540")
    for x, y, size in ((-0.32, 0.02, 0.56), (0.32, -0.14, 0.52), (0.02, 0.5, 0.66)):
        spot = complex(x, y)
        put(oval(spot, size, size * 0.9), "#b8402e")
        put(oval(spot - size * (0.2 + 0.16j), size * 0.2, size * 0.14, -30), "#dc8a6c")
        for ray in range(5):
            tip = spot - 0.36j * size + 0.22 * size * turned(72 * ray - 90)
            put(leaf(spot - 0.36j * size, tip, 0.07), "#5f7540")


def _radishes(put: Put) -> None:
    """Print a bunch of radishes."""
    for x, y, lean in ((-0.34, 0.1, 14), (0.34, 0.12, -14), (0.0, 0.26, 0)):
        spot, step = complex(x, y), turned(lean)
        for spread in (-22, 0, 22):
            tip = spot * 0.6 - 0.75j * turned(spread + lean * -1.2) + 0.1j
            put(leaf(spot - 0.12j, tip, 0.18), "#6f8a52" if spread else "#587344")
        put(spot + step * taper(np.linspace(0.1j, 0.56j, 12), 0.07), "#e9d9cf")
        put(oval(spot + 0.06j, 0.36, 0.4, lean), "#b33d5c")
        put(oval(spot - 0.08, 0.07, 0.14, lean), "#d98a9c")
