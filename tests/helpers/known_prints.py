"""Prints drawn to a known measure: features of one diameter, colours of known shares.

Every picture is drawn larger and averaged in light, so that its edges are those of a photo; a
weave of threads and a grain can be laid over it. Measures are fractions of the width.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from quiltboard.photos.light import Pixels, encode_light, to_linear

FINER = 2
Field = NDArray[np.float64]


def _plane(size_px: int, turn_deg: float = 0.0) -> tuple[Field, Field]:
    at = (np.arange(size_px * FINER) + 0.5) / (size_px * FINER)
    x, y = np.meshgrid(at, at)
    turn = np.radians(turn_deg)
    return x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)


def dots(
    diameter: float, *, pitch: float = 2.0, size_px: int = 512, turn_deg: float = 0.0
) -> Field:
    """Cover a half-drop of dots, ``pitch`` diameters from one to the next; 1 on a dot."""
    x, y = _plane(size_px, turn_deg)
    x, y = x / (diameter * pitch) + 0.31, y / (diameter * pitch) + 0.17
    y = y + 0.5 * (np.floor(x) % 2)
    away = np.hypot(x % 1 - 0.5, y % 1 - 0.5)
    return _averaged(away < 0.5 / pitch)


def checks(side: float, *, size_px: int = 512, turn_deg: float = 0.0) -> Field:
    """Cover a check of squares of one side; 1 on every second square."""
    x, y = _plane(size_px, turn_deg)
    return _averaged((np.floor(x / side + 0.3) + np.floor(y / side + 0.7)) % 2 == 0)


def stripes(wide: float, *, size_px: int = 512) -> Field:
    """Cover stripes as wide as the ground between them."""
    x, _ = _plane(size_px)
    return _averaged(np.floor(x / wide + 0.3) % 2 == 0)


def tossed(diameter: float, *, seed: int, size_px: int = 512, cover: float = 0.3) -> Field:
    """Toss discs of one diameter until they cover so much; none lies on another."""
    rng = np.random.default_rng(seed)
    fine = size_px * FINER
    on = np.zeros((fine, fine), dtype=bool)
    reach = int(diameter * fine / 2) + 1
    rows, columns = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    disc = np.hypot(rows, columns) < diameter * fine / 2
    laid = np.full((1, 2), -9.0)
    for at in rng.uniform(-diameter / 2, 1 + diameter / 2, (4000, 2)):
        if np.hypot(*(laid - at).T).min() < 1.1 * diameter:
            continue
        laid = np.vstack([laid, at])
        row, column = (at * fine).astype(int)
        inside = (rows + row >= 0) & (rows + row < fine)
        inside &= (columns + column >= 0) & (columns + column < fine) & disc
        on[rows[inside] + row, columns[inside] + column] = True
        if len(laid) * disc.sum() > cover * (1 + diameter) ** 2 * on.size:
            break
    return _averaged(on)


def printed(
    shares: Field, ground: str, figure: str, *, weave: float = 0.0, grain: float = 0.0
) -> Pixels:
    """Print a field in two colours.

    Parameters
    ----------
    shares
        How much of each pixel the figure covers.
    ground, figure
        sRGB ``#rrggbb``.
    weave, grain
        By how much threads of 2.6 px, and chance, lighten or darken the light (0.1 is 10 %).
    """
    light = shares[..., None] * light_of_hex(figure) + (1 - shares[..., None]) * light_of_hex(
        ground
    )
    rows, columns = np.mgrid[0 : shares.shape[0], 0 : shares.shape[1]] * (2 * np.pi / 2.6)
    threads = np.sin(rows) * np.sin(columns)
    chance = np.random.default_rng(11).standard_normal(shares.shape)
    return encode_light(light * (1 + weave * threads + grain * chance)[..., None])


def light_of_hex(colour: str) -> Field:
    """Give the light of ``#rrggbb``."""
    light: Field = to_linear(np.frombuffer(bytes.fromhex(colour[1:]), dtype=np.uint8) / 255)
    return light


def _averaged(on: NDArray[np.bool_]) -> Field:
    side = len(on) // FINER
    shares: Field = on.reshape(side, FINER, side, FINER).mean(axis=(1, 3))
    return shares
