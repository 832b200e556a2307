"""Cloths under light that falls off, with and without a card: what the light was is known."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from quiltboard.photos.light import Pixels, encode_light, to_linear

Floats = npt.NDArray[np.float64]

WIDTH, HEIGHT = 480, 360
PAPER: Final = 0.88


def places(height: int = HEIGHT, width: int = WIDTH) -> tuple[Floats, Floats]:
    """Give x and y, -1 to 1, of every pixel."""
    down, across = np.mgrid[0:height, 0:width]
    return (across + 0.5) / width * 2 - 1, (down + 0.5) / height * 2 - 1


def ink(text: str) -> Floats:
    return to_linear(np.array([int(text[at : at + 2], 16) for at in (1, 3, 5)]) / 255)


def woven(cloth: Floats, seed: int, depth: float = 0.08) -> Floats:
    """Weave a little unevenness into it."""
    grain = np.random.default_rng(seed).normal(0, depth, (*cloth.shape[:2], 1))
    return np.clip(cloth * np.exp(grain), 0, 1)


def solid(seed: int) -> Floats:
    return woven(np.tile(ink("#a06a52"), (HEIGHT, WIDTH, 1)), seed)


def dark_solid(seed: int) -> Floats:
    return woven(np.tile(ink("#2c3138"), (HEIGHT, WIDTH, 1)), seed, 0.2)


def tonal(seed: int) -> Floats:
    """Scatter soft spots of nearly the ground's own colour over a solid."""
    rng = np.random.default_rng(seed)
    small = rng.normal(0, 0.07, (HEIGHT // 8, WIDTH // 8))
    spots = np.kron(small, np.ones((8, 8)))[..., np.newaxis]
    return woven(ink("#8fa3b8") * np.exp(spots), seed)


def tossed(seed: int, small: int = 8, large: int = 16, count: int = 130) -> Floats:
    rng = np.random.default_rng(seed)
    image = Image.new("RGB", (WIDTH, HEIGHT), "#e6dcc8")
    draw = ImageDraw.Draw(image)
    for _ in range(count):
        x, y = rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT)
        reach = rng.uniform(small, large)
        petals = [
            (x + reach * r * np.cos(t), y + reach * r * np.sin(t))
            for t, r in zip(np.linspace(0, 2 * np.pi, 13), [1, 0.6] * 6 + [1], strict=True)
        ]
        draw.polygon(petals, fill=str(rng.choice(["#b2434f", "#3d6a50", "#d8a13c"])))
    return woven(to_linear(np.asarray(image) / 255), seed, 0.04)


def large_tossed(seed: int) -> Floats:
    return tossed(seed, 30, 55, 16)


def stripes(seed: int) -> Floats:
    x, _ = places()
    cloth = np.where(
        (np.floor(x * 12) % 2 == 0)[..., np.newaxis], ink("#f0ead8"), ink("#345c86")
    )
    return woven(cloth, seed, 0.04)


def checks(seed: int) -> Floats:
    x, y = places()
    odd = (np.floor(x * 8) + np.floor(y * 6)) % 2 == 0
    return woven(np.where(odd[..., np.newaxis], ink("#e9e4da"), ink("#3a3a3c")), seed, 0.04)


def border(seed: int) -> Floats:
    """Print a wide dark border along one side."""
    _, y = places()
    cloth = np.where((y > 0.5)[..., np.newaxis], ink("#2d3f63"), ink("#dccbb0"))
    return woven(cloth, seed, 0.05)


def steps(seed: int) -> Floats:
    """Print an ombre in six steps of one grey."""
    x, _ = places()
    step = np.floor((x + 1) * 3)[..., np.newaxis] / 5
    return woven(np.full((HEIGHT, WIDTH, 3), 0.3) * 1.9**step, seed, 0.05)


def ombre(seed: int) -> Floats:
    """Dye from pale to deep rose without a step."""
    x, _ = places()
    depth = ((x + 1) / 2)[..., np.newaxis]
    return woven(ink("#f0d9d6") * (1 - depth) + ink("#b85f74") * depth, seed, 0.05)


def halves(seed: int) -> Floats:
    x, _ = places()
    cloth = np.where((x > 0)[..., np.newaxis], ink("#b49a80"), ink("#d8cbb4"))
    return woven(cloth, seed, 0.05)


Cloth = Callable[[int], Floats]

REPEATING: Final[dict[str, Cloth]] = {
    "solid": solid,
    "dark solid": dark_solid,
    "tonal": tonal,
    "tossed": tossed,
    "large tossed": large_tossed,
    "stripes": stripes,
    "checks": checks,
}
UNEVEN: Final[dict[str, Cloth]] = {
    "border": border,
    "steps": steps,
    "ombre": ombre,
    "halves": halves,
}


def from_a_side(most: float, x: float, y: float) -> Floats:
    """Light so many times brighter at one end than at the other."""
    across, down = places()
    toward = across * x + down * y
    toward = (toward - toward.min()) / np.ptp(toward)
    return np.asarray(1 / (most + (1 - most) * toward), dtype=np.float64)


def toward_the_corners(most: float) -> Floats:
    """Darken as a lens does, by cos⁴."""
    across, down = places()
    falls = 1 / (1 + (np.sqrt(most) - 1) * (across**2 + down**2) / 2) ** 2
    return np.asarray(falls, dtype=np.float64)


FALLS: Final[dict[str, Floats]] = {
    "from the left, 2": from_a_side(2.0, -1, 0),
    "from a corner, 2": from_a_side(2.0, 1, 1),
    "from the top, 1.4": from_a_side(1.4, 0.3, -1),
    "to the corners, 1.5": toward_the_corners(1.5),
    "to the corners, 2": toward_the_corners(2.0),
}
EVEN: Final = np.ones((HEIGHT, WIDTH))


def photographed(scene: Floats, falls: Floats, seed: int) -> Pixels:
    """Light a scene, and take it with the grain of a camera."""
    taken = encode_light(scene * (falls / falls.max())[..., np.newaxis]).astype(np.float64)
    grain = np.random.default_rng(seed).normal(0, 1.5, taken.shape)
    return np.clip(np.rint(taken + grain), 0, 255).astype(np.uint8)


def with_paper(
    scene: Floats,
    quad: tuple[tuple[float, float], ...],
    reflected: float = PAPER,
) -> Floats:
    """Lay a plain card on a scene; its corners are fractions of the picture."""
    height, width, _ = scene.shape
    card = Image.new("L", (width, height))
    ImageDraw.Draw(card).polygon([(u * width, v * height) for u, v in quad], fill=1)
    return np.where(np.asarray(card)[..., np.newaxis] > 0, reflected, scene)
