"""Leaves and flowers, from small sprigs to spires."""

from __future__ import annotations

import numpy as np

from .cloth import Cloth
from .shapes import (
    Shape,
    arc,
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
)


def kale_frill(cloth: Cloth, rng: np.random.Generator) -> None:
    """Frilled kale leaves, an inch and a quarter long."""
    cloth.ground("#1a3826")
    cloth.mottle(rng, 0.03, 0.9)
    for _, place, _ in cloth.tossed(rng, 4.2, 0.3):
        cloth.disc(place, 0.02, "#315c40")
    for number, place, lean in cloth.tossed(rng, 4.2, 1.06):
        _kale(cloth, place, 0.9 * lean, ("#264c35", "#2c5840", "#20452f")[number % 3])


def _kale(cloth: Cloth, centre: complex, lean: complex, ink: str) -> None:
    """Print one leaf: a ruffled edge, a paler rib, veins into every ruffle."""
    t = np.linspace(0.0, np.pi, 140)
    ruffle = 0.9 + 0.2 * np.abs(np.sin(11 * t)) ** 0.6
    side = 0.37 * np.sin(t) ** 0.75 * (1 - 0.22 * np.cos(t)) * ruffle
    down = -0.58 * np.cos(t) * (0.94 + 0.08 * np.abs(np.sin(11 * t)) ** 0.6)
    blade = np.concatenate((side + 1j * down, (-side + 1j * down)[::-1]))
    cloth.fill(centre + lean * blade, "#4c7c55")
    cloth.fill(centre + lean * (blade * 0.91), ink)
    pale = "#6f9a70"
    cloth.fill(taper(centre + lean * curve(0.72j, 0.02 + 0.2j, -0.46j), 0.05), pale)
    for up, reach in ((0.3, 0.24), (0.12, 0.29), (-0.08, 0.29), (-0.26, 0.22)):
        for hand in (-1, 1):
            line = curve(1j * up, hand * reach * 0.5 + 1j * (up - 0.11), hand * reach
                         + 1j * (up - 0.14))  # fmt: skip
            cloth.fill(taper(centre + lean * line, 0.022), pale)


def runner_bean(cloth: Cloth, rng: np.random.Generator) -> None:
    """Scarlet bean flowers and pods on green, small."""
    cloth.ground("#528c3e")
    cloth.mottle(rng, 0.02, 0.8)
    for number, place, lean in cloth.tossed(rng, 3.4, 0.6):
        if number % 3 == 2:
            _pod(cloth, place, lean)
        else:
            _bean_flower(cloth, place, lean)
    for _, place, _ in cloth.tossed(rng, 3.4, 0.42):
        cloth.disc(place, 0.024, "#7fb05c")


def _pod(cloth: Cloth, place: complex, lean: complex) -> None:
    """Print one bean pod."""
    pod = curve(-0.28, -0.1 + 0.07j, 0.1 + 0.07j, 0.3 - 0.03j)
    cloth.fill(place + lean * brush(pod, 0.1), "#9cc46a")
    for bean in (-0.14, -0.02, 0.1):
        cloth.disc(place + lean * (bean + 0.06j), 0.023, "#5c9440")
    hook = curve(-0.27, -0.33 - 0.06j, -0.3 - 0.13j)
    cloth.fill(place + lean * taper(hook, 0.025), "#3d7430")


def _bean_flower(cloth: Cloth, place: complex, lean: complex) -> None:
    """Print two leaves and a scarlet flower on a twig."""
    twig = curve(-0.3 + 0.1j, -0.08 + 0.05j, 0.1 - 0.06j)
    cloth.fill(place + lean * taper(twig, 0.03, 0.5), "#3d7430")
    for tip in (-0.22 - 0.2j, -0.05 + 0.27j, -0.42 + 0.12j):
        base = -0.14 + 0.05j
        cloth.fill(place + lean * leaf(base, tip, 0.17), "#437b33")
        cloth.fill(
            place + lean * ribbon(vein(base, base + 0.8 * (tip - base)), 0.012), "#6fa653"
        )
    head = 0.16 - 0.09j
    cloth.fill(place + lean * petal(head - 0.04, 0.155, 0.19, -70), "#bf4230")
    cloth.fill(place + lean * petal(head - 0.04, 0.155, 0.17, 20), "#cf553c")
    cloth.fill(place + lean * petal(head - 0.02, 0.1, 0.1, -25), "#eab285")


def pea_shoot(cloth: Cloth, rng: np.random.Generator) -> None:
    """Pea blossom and curling tendrils on green, small."""
    cloth.ground("#599144")
    cloth.mottle(rng, 0.02, 0.8)
    for number, place, lean in cloth.tossed(rng, 3.4, 0.72):
        _pea(cloth, place, lean, 1 if number % 2 else -1)
    for _, place, _ in cloth.tossed(rng, 3.4, 0.42):
        cloth.disc(place, 0.024, "#7fb05c")


def _pea(cloth: Cloth, place: complex, lean: complex, hand: int) -> None:
    """Print a pair of leaves, a tendril and a white blossom."""

    def put(shape: Shape, ink: str) -> None:
        cloth.fill(place + lean * (shape.real + 1j * hand * shape.imag), ink)

    put(taper(curve(-0.32 + 0.06j, -0.1, 0.1 - 0.02j, 0.2 - 0.1j), 0.026, 0.6), "#34702f")
    turn = np.linspace(0, 2.9 * np.pi, 70)
    put(
        ribbon(-0.02 + 0.2j + (0.105 - 0.0095 * turn) * np.exp(1j * (turn - 1.5)), 0.02),
        "#34702f",
    )
    put(taper(curve(-0.16 + 0.01j, -0.12 + 0.06j, -0.03 + 0.095j), 0.02, 0.9), "#34702f")
    for tip, width in ((-0.26 - 0.21j, 0.17), (-0.36 + 0.27j, 0.17)):
        put(leaf(-0.2 + 0.03j, tip, width), "#7fb05c")
        put(
            ribbon(vein(-0.2 + 0.03j, -0.2 + 0.03j + 0.75 * (tip + 0.2 - 0.03j)), 0.011),
            "#4c863c",
        )
    head = 0.2 - 0.1j
    put(petal(head - 0.03, 0.16, 0.2, -78), "#e3e4a8")
    put(petal(head - 0.03, 0.155, 0.19, 14), "#f2f0c4")
    put(petal(head - 0.01, 0.095, 0.095, -32), "#e0a088")


def foxglove_row(cloth: Cloth, rng: np.random.Generator) -> None:
    """Foxglove spires, all upright: a one-way print."""
    cloth.ground("#b0568a")
    cloth.mottle(rng, 0.02, 0.9)
    for corner in cloth.repeats(1.2, 3.2, drop=0.5):
        _spire(cloth, corner + 0.6 + 3.0j)


def _spire(cloth: Cloth, foot: complex) -> None:
    """Print one spire: leaves at the foot, bells growing smaller to the buds at the top."""
    green, dark = "#7d8a62", "#5c6a4c"
    cloth.fill(taper(foot + curve(0j, 0.03 - 1.2j, -0.02 - 2.0j, -2.85j), 0.06, 0.25), dark)
    for reach, rise, ink in ((-0.42, 0.5, dark), (0.42, 0.5, green), (-0.3, 0.8, green),
                             (0.3, 0.85, dark)):  # fmt: skip
        tip = foot + reach - 1j * rise
        cloth.fill(leaf(foot - 0.08j, tip, 0.2, 0.1 if reach < 0 else -0.1), ink)
    for level in range(8):
        share = level / 7
        height = 0.85 + 1.72 * share**0.92
        length = 0.52 * (1 - 0.68 * share)
        for hand in (-1, 1):
            joint = foot - 1j * (height + (0.08 if hand > 0 else 0)) + hand * 0.015
            _bell_flower(cloth, joint, length, hand)
    for bud in range(4):
        hand = 1 if bud % 2 else -1
        place = foot - 1j * (2.62 + 0.075 * bud) + hand * 0.035
        cloth.fill(oval(place, 0.07, 0.09, 30 * hand), green)


def _bell_flower(cloth: Cloth, joint: complex, length: float, hand: int) -> None:
    """Print one hanging bell with its freckled mouth."""
    hang = turned(58 if hand > 0 else 122)
    half = curve(0j, 0.3 + 0.16j, 0.7 + 0.22j, 1.0 + 0.36j, steps=6)
    bell = np.concatenate((half, half.conj()[::-1])) * length
    cloth.fill(joint + hang * bell, "#c77aa6")
    side = np.concatenate((half, (half.real + 0.02j * half.real)[::-1])) * length
    cloth.fill(joint + hang * (side.conj() if hand > 0 else side), "#96406f")
    mouth = joint + hang * length * 0.98
    cloth.fill(
        oval(mouth, 0.3 * length, 0.72 * length, float(np.angle(hang, deg=True))), "#e9bdd3"
    )
    cloth.fill(
        oval(mouth, 0.2 * length, 0.5 * length, float(np.angle(hang, deg=True))), "#742a56"
    )


def marigold(cloth: Cloth, rng: np.random.Generator) -> None:
    """Full marigolds, petal over petal, on orange."""
    cloth.ground("#e59a33")
    cloth.mottle(rng, 0.02, 0.9)
    for _, place, _ in cloth.tossed(rng, 3.9, 0.36):
        cloth.disc(place, 0.028, "#f3bd5c")
    heads = list(cloth.tossed(rng, 3.9, 0.95))
    for number, place, lean in heads:
        for angle in (5.0, 130.0, 240.0):
            tip = place + (0.6 if number % 3 == 2 else 0.69) * lean * turned(angle)
            cloth.fill(leaf(place, tip, 0.21, 0.08), "#8a7c2c")
            cloth.fill(ribbon(vein(place, tip, 0.08)[:-3], 0.014), "#b9a348")
    for number, place, lean in heads:
        _marigold_head(cloth, place, 0.37 if number % 3 == 2 else 0.48, lean)


def _marigold_head(cloth: Cloth, centre: complex, size: float, lean: complex) -> None:
    """Print one head in five rings of petals."""
    turn_deg = float(np.angle(lean, deg=True))
    rings = ((1.0, 13, "#b9540f"), (0.93, 13, "#de7312"), (0.74, 11, "#f09a22"),
             (0.55, 9, "#d96a10"), (0.38, 7, "#f6b541"))  # fmt: skip
    for ring, (share, petals, ink) in enumerate(rings):
        cloth.fill(rosette(centre, size * share, petals, 0.24, turn_deg + 17 * ring), ink)
    cloth.disc(centre, size * 0.16, "#8f3d10")
    for place in arc(centre, size * 0.17, 0, 315)[::7]:
        cloth.disc(complex(place), size * 0.045, "#f9d27a")


def radish_confetti(cloth: Cloth, rng: np.random.Generator) -> None:
    """Radish flowers and slices tossed like confetti, small."""
    cloth.ground("#f3dadb")
    cloth.mottle(rng, 0.01, 0.8)
    for number, place, _ in cloth.tossed(rng, 3.4, 0.24):
        cloth.disc(place, 0.024, ("#dd93a9", "#a9bb95", "#fffaf6")[number % 3])
    for number, place, lean in cloth.tossed(rng, 3.4, 0.52):
        if number % 4 == 0:
            cloth.disc(place, 0.165, "#d0577f")
            cloth.disc(place, 0.14, "#fbf3ef")
            for ray in range(6):
                line = lean * turned(60 * ray) * np.linspace(0.03, 0.11, 8)
                cloth.fill(place + brush(line, 0.02), "#ecbcc8")
        elif number % 4 == 2:
            _radish(cloth, place, lean)
        else:
            ink = "#e08aa6" if number % 4 == 1 else "#fff9f5"
            for quarter in range(4):
                cloth.fill(place + lean * petal(0j, 0.17, 0.17, 90 * quarter), ink)
            cloth.disc(place, 0.04, "#e5b04d")


def _radish(cloth: Cloth, place: complex, lean: complex) -> None:
    """Print one small radish with its top."""
    for tip in (-0.36 - 0.1j, -0.38 + 0.03j, -0.32 + 0.14j):
        cloth.fill(place + lean * leaf(-0.08, tip, 0.1), "#8fae7c")
    root = curve(-0.1 - 0.04j, 0.0 - 0.11j, 0.1 - 0.06j, 0.2, 0.1 + 0.06j, 0.11j, -0.1 + 0.04j,
                 closed=True)  # fmt: skip
    cloth.fill(place + lean * taper(np.linspace(0.1, 0.32, 12) + 0j, 0.05), "#fbf1ee")
    cloth.fill(place + lean * root, "#cf4f79")
    cloth.fill(place + lean * brush(curve(-0.04 - 0.06j, 0.03 - 0.065j, 0.09 - 0.04j), 0.03),
               "#ec9db5")  # fmt: skip


def lemon_verbena(cloth: Cloth, rng: np.random.Generator) -> None:
    """Sprigs of verbena and slices of lemon, bright."""
    cloth.ground("#f3e57c")
    cloth.mottle(rng, 0.01, 0.9)
    for _, place, _ in cloth.tossed(rng, 4.0, 0.36):
        cloth.disc(place, 0.026, "#fffdf0")
    for number, place, lean in cloth.tossed(rng, 4.0, 0.88):
        if number % 3 == 1:
            _lemon_slice(cloth, place, lean)
        else:
            _verbena(cloth, place, lean)


def _verbena(cloth: Cloth, place: complex, lean: complex) -> None:
    """Print one sprig: leaves in pairs, a spray of white flowers."""
    stem = curve(-0.5 + 0.06j, -0.15 - 0.02j, 0.15 + 0.02j, 0.48 - 0.04j)
    cloth.fill(place + lean * taper(stem, 0.028, 0.5), "#93a54a")
    for along, size in ((-0.34, 0.3), (-0.12, 0.34), (0.1, 0.28)):
        for hand in (-1, 1):
            tip = along + size * turned(52 * hand)
            cloth.fill(place + lean * leaf(along, tip, 0.13, 0.06 * hand), "#aab956")
            cloth.fill(
                place + lean * ribbon(vein(along, tip, 0.06 * hand)[:-4], 0.012), "#dcd97f"
            )
    for along, aside in (
        (0.3, 0.05),
        (0.32, -0.06),
        (0.42, 0.03),
        (0.44, -0.06),
        (0.53, -0.02),
    ):
        head = place + lean * complex(along, aside)
        cloth.fill(rosette(head, 0.058, 5, 0.4), "#fffdf2")
        cloth.disc(head, 0.018, "#e9b93c")


def _lemon_slice(cloth: Cloth, place: complex, lean: complex) -> None:
    """Print one slice of lemon."""
    cloth.disc(place, 0.33, "#e8c531")
    cloth.disc(place, 0.285, "#fdf8d8")
    for part in range(8):
        step = lean * turned(45 * part)
        cloth.fill(petal(place + 0.03 * step, 0.225, 0.17, float(np.angle(step, deg=True))),
                   "#f3dc58")  # fmt: skip
