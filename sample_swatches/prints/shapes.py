"""The shapes prints are made of.

A point is a complex number, x + iy in inches with y down, so that to turn a shape is to
multiply it and to shift it is to add.
"""

from __future__ import annotations

import cmath
from math import pi, radians

import numpy as np
from numpy.typing import ArrayLike, NDArray

Shape = NDArray[np.complexfloating]
"""The corners of an outline, or the points of a line, in order."""


def turned(angle_deg: float) -> complex:
    """Return the factor that turns a shape clockwise about the origin."""
    return cmath.exp(1j * radians(angle_deg))


def curve(*points: complex, closed: bool = False, steps: int = 12) -> Shape:
    """Draw a smooth line through points (a uniform Catmull-Rom spline)."""
    p = np.array(points, dtype=np.complex128)
    p = (
        np.concatenate((p[-1:], p, p[:2]))
        if closed
        else np.concatenate((2 * p[:1] - p[1:2], p, 2 * p[-1:] - p[-2:-1]))
    )
    t = np.linspace(0.0, 1.0, steps, endpoint=False)[:, None]
    a, b, c, d = p[:-3], p[1:-2], p[2:-1], p[3:]
    smooth = b + t * (c - a) / 2 + t**2 * (2 * a - 5 * b + 4 * c - d) / 2
    smooth = smooth + t**3 * (3 * b - a - 3 * c + d) / 2
    line: Shape = smooth.T.ravel()
    return line if closed else np.append(line, p[-2])


def arc(centre: complex, radius: float, start_deg: float, stop_deg: float) -> Shape:
    """Follow a circle clockwise from one angle to another; 0 points right."""
    angle = np.radians(np.linspace(start_deg, stop_deg, 48))
    line: Shape = centre + radius * np.exp(1j * angle)
    return line


def ribbon(line: Shape, width: ArrayLike) -> Shape:
    """Give a line a width, one for all its points or one for each."""
    along = np.gradient(line)
    across = 1j * along / np.maximum(np.abs(along), 1e-9) * np.asarray(width) / 2
    outline: Shape = np.concatenate((line + across, (line - across)[::-1]))
    return outline


def hoop(outline: Shape, width: float) -> Shape:
    """Give a closed outline a width."""
    line = np.append(outline, outline[:1])
    along = np.gradient(np.concatenate((outline[-1:], line, outline[1:2])))[1:-1]
    across = 1j * along / np.abs(along) * width / 2
    ring: Shape = np.concatenate((line + across, (line - across)[::-1]))
    return ring


def brush(line: Shape, width: float, thin: float = 0.15) -> Shape:
    """Draw a line as a brush does: full in the middle, thin at both ends."""
    t = np.linspace(0.0, 1.0, len(line))
    return ribbon(line, width * (thin + (1 - thin) * np.sin(pi * t) ** 0.7))


def taper(line: Shape, width: float, end: float = 0.1) -> Shape:
    """Draw a line that starts full and runs out thin."""
    return ribbon(line, width * np.linspace(1.0, end, len(line)))


def leaf(base: complex, tip: complex, width: float, bend: float = 0.0) -> Shape:
    """Draw a pointed leaf; ``bend`` bows its rib aside by that part of its length."""
    rib = vein(base, tip, bend)
    t = np.linspace(0.0, 1.0, len(rib))
    return ribbon(rib, width * np.sin(pi * t**0.8) ** 0.9)


def vein(base: complex, tip: complex, bend: float = 0.0) -> Shape:
    """Draw the rib of a leaf."""
    t = np.linspace(0.0, 1.0, 24)
    line: Shape = base + (tip - base) * (t + 4j * bend * t * (1 - t))
    return line


def rosette(
    centre: complex, radius: float, petals: int, depth: float, turn_deg: float = 0.0
) -> Shape:
    """Draw a flower head with round petals; ``depth`` is how far they are cut in."""
    angle = np.linspace(0.0, 2 * pi, 24 * petals, endpoint=False)
    reach = 1 - depth + depth * np.abs(np.sin(petals * angle / 2)) ** 0.55
    outline: Shape = centre + radius * reach * np.exp(1j * angle) * turned(turn_deg)
    return outline


def petal(centre: complex, length: float, width: float, turn_deg: float) -> Shape:
    """Draw one petal, narrow at the flower's centre and round at its end."""
    half = curve(0j, 0.45 + 0.34j, 0.82 + 0.46j, 1.0 + 0.0j, steps=8)
    outline = np.concatenate((half, half.conj()[::-1]))
    outline = outline.real * length + 1j * outline.imag * width
    placed: Shape = centre + outline * turned(turn_deg)
    return placed


def oval(centre: complex, across: float, down: float, turn_deg: float = 0.0) -> Shape:
    """Draw an ellipse of the given whole width and height."""
    angle = np.linspace(0.0, 2 * pi, 40, endpoint=False)
    outline = np.cos(angle) * across / 2 + 1j * np.sin(angle) * down / 2
    placed: Shape = centre + outline * turned(turn_deg)
    return placed


def wobbly(
    rng: np.random.Generator, centre: complex, radius: float, wobble: float = 0.04
) -> Shape:
    """Draw a disc as a hand cuts it from paper."""
    angle = np.linspace(0.0, 2 * pi, 60, endpoint=False)
    reach = np.ones_like(angle)
    for wave in (2, 3, 5):
        reach += wobble / wave * rng.normal() * np.cos(wave * angle + rng.uniform(0, 2 * pi))
    outline: Shape = centre + radius * reach * np.exp(1j * angle)
    return outline


def box(centre: complex, across: float, down: float, turn_deg: float = 0.0) -> Shape:
    """Draw a rectangle."""
    corners = np.array([-1 - 1j, 1 - 1j, 1 + 1j, -1 + 1j])
    outline: Shape = centre + (
        corners.real * across / 2 + 1j * corners.imag * down / 2
    ) * turned(turn_deg)
    return outline


def scattered(rng: np.random.Generator, side: float, gap: float) -> list[complex]:
    """Toss points over a square repeat, none nearer another than ``gap``, edges joined."""
    placed: list[complex] = []
    others = np.empty(0, dtype=np.complex128)
    misses = 0
    while misses < 1500:
        point = complex(*rng.uniform(0, side, 2))
        x, y = np.abs((point - others).real), np.abs((point - others).imag)
        if (np.minimum(x, side - x) ** 2 + np.minimum(y, side - y) ** 2 < gap**2).any():
            misses += 1
            continue
        placed.append(point)
        others = np.array(placed)
        misses = 0
    return placed
