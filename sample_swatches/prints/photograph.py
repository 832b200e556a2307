"""The photo of a cloth: held a little askew, lit from one side, a white card in one corner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from .cloth import HEIGHT_IN, WIDTH_IN, Field, Picture, encoded, linear_of, smooth_field

SHOWN_IN: Final = 9.0
"""How wide a stretch of cloth a photo shows across its middle."""
WIDTH_PX: Final = 1200
HEIGHT_PX: Final = 900
CARD_LIGHT: Final = 0.893
"""The card's linear light in the photo: L* 95.7."""


@dataclass(frozen=True)
class Sitting:
    """How one cloth is photographed.

    Attributes
    ----------
    fall_off
        How much brighter and darker than its mean the light is in opposite corners.
    card
        Whether a white card lies in a corner.
    """

    fall_off: float = 0.06
    card: bool = True


def photograph(
    cloth: Picture,
    colour: str,
    sitting: Sitting,
    rng: np.random.Generator,
    width_px: int = WIDTH_PX,
) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """Photograph a cloth so that what shows of it still has its mean colour.

    Parameters
    ----------
    cloth
        The printed cloth, linear-light sRGB.
    colour
        Its mean colour, ``#rrggbb``.
    sitting
        Light and card.
    rng
        Where turn, tilt, corners and noise are drawn from.
    width_px
        The width of the photo; its height is three quarters of that.

    Returns
    -------
    photo
        ndarray of shape (M, N, 3), sRGB uint8.
    card
        ndarray of shape (M, N), true where the card lies.
    """
    shape = (width_px * HEIGHT_PX // WIDTH_PX, width_px)
    bright = (float(rng.choice([-1, 1])), float(rng.choice([-1, 1])))
    seen = _askew(cloth, shape, rng)
    light = _light(shape, bright, sitting.fall_off, rng)
    card, shadow = _card(shape, bright, rng)
    if not sitting.card:
        card, shadow = np.zeros_like(card), np.zeros_like(shadow)
    lit = seen * light[..., None]
    showing = card < 0.5
    lit *= linear_of(colour) / lit[showing].mean(axis=0, dtype=np.float64)
    lit *= 1 - shadow[..., None]
    # The card lies in the same light as the cloth beside it.
    paper = CARD_LIGHT * np.clip(light / light[showing].mean(), 0, 1.1)
    paper = paper * (1 + 0.004 * smooth_field(rng, shape, (shape[0] // 3, shape[1] // 3)))
    lit += card[..., None] * (paper[..., None] - lit)
    return _developed(lit, rng), card > 0.01


def _askew(cloth: Picture, shape: tuple[int, int], rng: np.random.Generator) -> Picture:
    """Show the cloth turned and tilted a little, filling the frame."""
    turn = np.radians(rng.uniform(0.4, 2.0) * rng.choice([-1, 1]))
    tilt = rng.uniform(0.003, 0.013, 2) * rng.choice([-1, 1], 2)
    down, across = shape
    ppi = cloth.shape[1] / WIDTH_IN
    frame = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    spread = 1 + frame @ tilt
    corners = frame * [SHOWN_IN / 2, SHOWN_IN / 2 * down / across] * spread[:, None]
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    corners = (corners @ spin + [WIDTH_IN / 2, HEIGHT_IN / 2]) * ppi
    limit = np.array(cloth.shape[1::-1])
    if (corners < 0).any() or (corners > limit).any():
        raise ValueError("the frame reaches beyond the cloth")
    pixels = (frame + 1) / 2 * [across, down]
    view = _projection(pixels, corners)
    planes = [
        Image.fromarray(plane).transform(
            (across, down), Image.Transform.PERSPECTIVE, view, Image.Resampling.BICUBIC
        )
        for plane in np.ascontiguousarray(np.moveaxis(cloth, 2, 0))
    ]
    return np.stack([np.asarray(plane) for plane in planes], axis=2)


def _projection(to: NDArray[np.float64], back: NDArray[np.float64]) -> list[float]:
    """Solve for the eight numbers that carry four points of the photo back to the cloth."""
    rows, wanted = [], []
    for (x, y), (u, v) in zip(to, back, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        wanted += [u, v]
    solved: list[float] = np.linalg.solve(np.array(rows), np.array(wanted)).tolist()
    return solved


def _light(
    shape: tuple[int, int],
    bright: tuple[float, float],
    fall_off: float,
    rng: np.random.Generator,
) -> Field:
    """Light the cloth from one corner; it lies not quite flat."""
    down, across = shape
    y, x = np.meshgrid(np.linspace(-1, 1, down), np.linspace(-1, 1, across), indexing="ij")
    toward = (x * bright[0] + y * bright[1]) / 2
    ripple = 0.011 * smooth_field(rng, shape, (4, 5))
    light: Field = (1 + fall_off * np.sin(toward * np.pi / 2) + ripple).astype(np.float32)
    return light


def _card(
    shape: tuple[int, int], bright: tuple[float, float], rng: np.random.Generator
) -> tuple[Field, Field]:
    """Lay a card over one corner of the frame, running out of it on both sides."""
    down, across = shape
    fine = 4
    size = np.array([rng.uniform(0.20, 0.228), rng.uniform(0.158, 0.188)]) * [across, down]
    lean = np.tan(np.radians(rng.uniform(0.7, 2.0) * rng.choice([-1, 1])))
    side, edge = rng.choice([0, 1], 2)
    beyond = 0.1 * across
    corner = np.array(
        [
            [-beyond, -beyond],
            [size[0] + lean * (size[1] + beyond), -beyond],
            [size[0], size[1]],
            [-beyond, size[1] + lean * (size[0] + beyond)],
        ]
    )
    corner[:, 0] = across - corner[:, 0] if side else corner[:, 0]
    corner[:, 1] = down - corner[:, 1] if edge else corner[:, 1]
    mask = Image.new("L", (across * fine, down * fine))
    ImageDraw.Draw(mask).polygon((corner * fine).ravel().tolist(), fill=255)
    small = mask.reduce(fine)
    card: Field = np.asarray(small, dtype=np.float32) / np.float32(255)
    soft = small.filter(ImageFilter.GaussianBlur(0.0036 * across))
    aside = [round(-v * 0.0025 * across) for v in (bright[1], bright[0])]
    thrown = np.roll(np.asarray(soft, dtype=np.float32) / np.float32(255), aside, (0, 1))
    shadow: Field = np.float32(0.34) * thrown * (1 - card)
    return card, shadow


def _developed(lit: Picture, rng: np.random.Generator) -> NDArray[np.uint8]:
    """Add the camera's grain and round to codes."""
    down, across = lit.shape[:2]
    grain = rng.normal(0.0, 0.007, (down, across, 1)).astype(np.float32)
    tint = np.stack(
        [0.004 * smooth_field(rng, (down, across), (down // 2, across // 2)) for _ in range(3)],
        axis=2,
    )
    code = encoded(lit) + grain + tint
    photo: NDArray[np.uint8] = np.clip(np.rint(code * 255), 0, 255).astype(np.uint8)
    return photo
