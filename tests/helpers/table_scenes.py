"""Cloths laid out on a table and photographed: where each lies in the photo is known.

A table is drawn in its own plane, 1 across; cloths lie on it in the order they were put down.
A homography takes the plane to the photo; shadows, fall-off of light, noise and JPEG follow.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.photos.cloths import FoundCloth
from quiltboard.photos.light import Pixels, mean_light, to_encoded, to_linear
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.straighten import homography

Floats = npt.NDArray[np.float64]
Rng = np.random.Generator
Draw = Callable[[Rng, int], Pixels]

LEAST_DIFFERENCE: Final = 10.0
"""CIEDE2000 between the mean colours of a cloth and of its ground."""


class Laid(NamedTuple):
    """One cloth in the photo: four corners in pixels, and where it can be seen."""

    corners: Floats
    seen: npt.NDArray[np.bool_]
    whole: bool


class Scene(NamedTuple):
    """A photo of a table, and the cloths on it."""

    pixels: Pixels
    cloths: tuple[Laid, ...]
    ground: str
    layout: str


# ---- prints ------------------------------------------------------------------------------


def _hex(rng: Rng, value: tuple[float, float] = (25, 92), chroma: float = 55) -> str:
    """Draw a colour at random, even in L*a*b*."""
    hue = rng.uniform(0, 2 * np.pi)
    lightness, strong = rng.uniform(*value), chroma * rng.uniform(0, 1) ** 0.8
    return _hex_of_lab(lightness, strong * np.cos(hue), strong * np.sin(hue))


def _hex_of_lab(value: float, a: float, b: float) -> str:
    f = (value + 16) / 116
    cube = np.array([f + a / 500, f, f - b / 200])
    xyz = np.where(cube > 6 / 29, cube**3, 3 * (6 / 29) ** 2 * (cube - 4 / 29))
    xyz = xyz * (0.9505, 1.0, 1.0890)
    to_rgb = np.linalg.inv(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    red, green, blue = np.rint(to_encoded(to_rgb @ xyz) * 255).astype(int)
    return f"#{red:02x}{green:02x}{blue:02x}"


def _sheet(rng: Rng, size: int, colour: str) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (size, size), colour)
    return image, ImageDraw.Draw(image)


def _flower(
    draw: ImageDraw.ImageDraw, rng: Rng, at: tuple[float, float], reach: float, ink: str
) -> None:
    turns = np.linspace(0, 2 * np.pi, 41) + rng.uniform(0, 6)
    out = reach * (0.75 + 0.25 * np.cos(5 * turns))
    x, y = at
    draw.polygon(
        [(x + r * np.cos(t), y + r * np.sin(t)) for r, t in zip(out, turns, strict=True)], ink
    )
    heart = reach * 0.3
    draw.ellipse((x - heart, y - heart, x + heart, y + heart), _hex(rng))


def floral(rng: Rng, size: int, least: float = 0.02, most: float = 0.06) -> Pixels:
    """Toss flowers and leaves over a ground."""
    image, draw = _sheet(rng, size, _hex(rng))
    inks = [_hex(rng) for _ in range(4)]
    mean = (least + most) / 2
    for _ in range(int(0.35 / mean**2)):
        reach = rng.uniform(least, most) * size
        x, y = rng.uniform(0, size, 2)
        ink = str(rng.choice(inks))
        if rng.uniform() < 0.4:
            draw.ellipse((x - reach, y - reach / 3, x + reach, y + reach / 3), ink)
        else:
            _flower(draw, rng, (x, y), reach, ink)
    return np.asarray(image)


def large_floral(rng: Rng, size: int) -> Pixels:
    """Toss motifs a third as wide as the cloth."""
    return floral(rng, size, 0.1, 0.2)


def dotted(rng: Rng, size: int) -> Pixels:
    """Set dots in rows, every second row moved by half."""
    image, draw = _sheet(rng, size, _hex(rng))
    pitch = rng.uniform(0.03, 0.14) * size
    reach, ink = pitch * rng.uniform(0.15, 0.4), _hex(rng)
    for row in range(int(size / pitch) + 2):
        for column in range(int(size / pitch) + 2):
            x, y = (column + row % 2 / 2) * pitch, row * pitch
            draw.ellipse((x - reach, y - reach, x + reach, y + reach), ink)
    return np.asarray(image)


def striped(rng: Rng, size: int) -> Pixels:
    """Weave stripes of two to four colours and uneven widths."""
    image, draw = _sheet(rng, size, _hex(rng))
    inks = [_hex(rng) for _ in range(int(rng.integers(2, 5)))]
    widths = rng.uniform(0.008, 0.09, len(inks)) * size
    across, at = 0.0, 0
    while across < size:
        draw.rectangle((across, 0, across + widths[at], size), inks[at])
        across, at = across + widths[at], (at + 1) % len(inks)
    turned = image.rotate(90) if rng.uniform() < 0.5 else image
    return np.asarray(turned)


def checked(rng: Rng, size: int) -> Pixels:
    """Weave a gingham: bands across bands."""
    ground, ink = to_linear_hex(_hex(rng, (60, 95))), to_linear_hex(_hex(rng, (20, 60)))
    pitch = rng.uniform(0.03, 0.16) * size
    band = (np.arange(size) / pitch) % 1 < 0.5
    share = (band[:, np.newaxis].astype(float) + band[np.newaxis, :])[..., np.newaxis] / 2
    return _encoded(ground * (1 - share) + ink * share)


def tweed(rng: Rng, size: int) -> Pixels:
    """Weave threads of two tones unevenly."""
    one, other = to_linear_hex(_hex(rng)), to_linear_hex(_hex(rng))
    fleck = rng.uniform(0, 1, (size // 3 + 1, size // 3 + 1))
    share = np.kron(fleck, np.ones((3, 3)))[:size, :size, np.newaxis]
    return _encoded(one * (1 - share) + other * share)


def near_solid(rng: Rng, size: int) -> Pixels:
    """Dye almost evenly."""
    ink = to_linear_hex(_hex(rng))
    clouds = Image.fromarray(rng.normal(0, 0.08, (12, 12)).astype(np.float32))
    depth = np.asarray(clouds.resize((size, size), Image.Resampling.BICUBIC))[..., np.newaxis]
    return _encoded(ink * np.exp(depth + rng.normal(0, 0.03, depth.shape)))


def patched(rng: Rng, size: int) -> Pixels:
    """Print squares of many colours, as a patchwork."""
    image, draw = _sheet(rng, size, _hex(rng))
    inks = [_hex(rng) for _ in range(5)]
    pitch = rng.uniform(0.08, 0.2) * size
    for row in range(int(size / pitch) + 1):
        for column in range(int(size / pitch) + 1):
            x, y = column * pitch, row * pitch
            draw.rectangle((x, y, x + pitch, y + pitch), str(rng.choice(inks)))
    return np.asarray(image)


PRINTS: Final[tuple[Draw, ...]] = (
    floral,
    large_floral,
    dotted,
    striped,
    checked,
    tweed,
    near_solid,
    patched,
)


def to_linear_hex(colour: str) -> Floats:
    """Give the light of ``#rrggbb``."""
    return to_linear(np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255)


def _encoded(light: Floats) -> Pixels:
    return np.rint(to_encoded(light) * 255).astype(np.uint8)


# ---- grounds -----------------------------------------------------------------------------


def wood(rng: Rng, width: int, height: int) -> Pixels:
    """Lay planks with grain along them."""
    value, hue = rng.uniform(35, 72), rng.uniform(0.9, 1.3)
    chroma = rng.uniform(14, 30)
    base = to_linear_hex(_hex_of_lab(value, chroma * np.cos(hue), chroma * np.sin(hue)))
    rows = np.arange(height)[:, np.newaxis] / width
    columns = np.arange(width)[np.newaxis, :] / width
    bent = rows + 0.01 * np.sin(columns * rng.uniform(3, 8) + rows * 9)
    depth = np.zeros((height, width))
    for _ in range(7):
        often = rng.uniform(20, 220)
        depth += rng.uniform(0.02, 0.06) * np.sin(
            2 * np.pi * often * bent
            + rng.uniform(0, 6)
            + 3 * np.sin(columns * rng.uniform(1, 4))
        )
    plank = rng.uniform(0.12, 0.3)
    tone = rng.normal(0, 0.09, 40)
    depth += tone[(rows / plank).astype(int)]
    depth -= 0.5 * ((rows / plank) % 1 < 0.004 / plank)
    depth += rng.normal(0, 0.03, (height, 1)) + rng.normal(0, 0.02, (height, width))
    return _encoded(base * np.exp(depth)[..., np.newaxis])


def white_table(rng: Rng, width: int, height: int) -> Pixels:
    """Lay a white board, a little warm or cold."""
    colour = _hex_of_lab(rng.uniform(82, 95), rng.uniform(-2, 2), rng.uniform(-3, 6))
    grain = rng.normal(0, 0.01, (height, width, 1))
    return _encoded(to_linear_hex(colour) * np.exp(grain))


def mat(rng: Rng, width: int, height: int) -> Pixels:
    """Lay a cutting mat, green or grey, ruled with lines."""
    green = rng.uniform() < 0.6
    colour = _hex_of_lab(
        rng.uniform(28, 55), -25 if green else rng.uniform(-2, 2), 8 if green else -2
    )
    light = np.broadcast_to(to_linear_hex(colour), (height, width, 3)).copy()
    light *= np.exp(rng.normal(0, 0.04, (height, width, 1)))
    pitch = rng.uniform(0.025, 0.06) * width
    line = to_linear_hex(_hex_of_lab(rng.uniform(70, 90), -5 if green else 0, 5))
    for lengths in (np.arange(height)[:, np.newaxis], np.arange(width)[np.newaxis, :]):
        thin = (lengths % pitch < 0.0016 * width) | (lengths % (5 * pitch) < 0.003 * width)
        light = np.where(thin[..., np.newaxis], 0.35 * light + 0.65 * line, light)
    return _encoded(light)


def card(rng: Rng, width: int, height: int) -> Pixels:
    """Lay plain card, white, cream or grey."""
    value = float(rng.choice([93, 88, 60]))
    colour = _hex_of_lab(value, rng.uniform(-1, 2), rng.uniform(0, 8))
    return _encoded(to_linear_hex(colour) * np.exp(rng.normal(0, 0.01, (height, width, 1))))


GROUNDS: Final[dict[str, Callable[[Rng, int, int], Pixels]]] = {
    "wood": wood,
    "white": white_table,
    "mat": mat,
    "card": card,
}


# ---- layouts: quadrilaterals in the plane, 1 across, `high` down ---------------------------


def _rectangle(x: float, y: float, wide: float, tall: float, turn: float = 0.0) -> Floats:
    half = np.array([(-wide, -tall), (wide, -tall), (wide, tall), (-wide, tall)]) / 2
    cos, sin = np.cos(turn), np.sin(turn)
    return np.asarray(half @ np.array([(cos, sin), (-sin, cos)]) + (x, y))


def _grid(rng: Rng, high: float, gap: float, turn: float) -> list[Floats]:
    columns, rows = int(rng.integers(2, 5)), int(rng.integers(2, 4))
    edge = rng.uniform(0.06, 0.1)
    wide, tall = (1 - 2 * edge) / columns, (high - 2 * edge) / rows
    return [
        _rectangle(
            edge + (column + 0.5) * wide,
            edge + (row + 0.5) * tall,
            wide - gap,
            tall - gap,
            rng.normal(0, turn),
        )
        for row in range(rows)
        for column in range(columns)
    ]


def grid(rng: Rng, high: float) -> list[Floats]:
    """Lay cloths in rows, well apart."""
    return _grid(rng, high, rng.uniform(0.03, 0.07), 0.03)


def close_grid(rng: Rng, high: float) -> list[Floats]:
    """Lay cloths in rows, nearly touching."""
    return _grid(rng, high, rng.uniform(0.008, 0.014), 0.004)


def fan(rng: Rng, high: float) -> list[Floats]:
    """Fan cloths out like cards, each on the one before."""
    count = int(rng.integers(3, 6))
    step = rng.uniform(0.22, 0.34)
    wide, tall = rng.uniform(0.2, 0.26), rng.uniform(0.4, 0.48) * min(high / 0.75, 1.1)
    turns = (np.arange(count) - (count - 1) / 2) * step
    hub = np.array([0.5, high * 0.5 + tall * 0.62])
    return [
        _rectangle(
            hub[0] + 0.66 * tall * np.sin(t), hub[1] - 0.66 * tall * np.cos(t), wide, tall, t
        )
        for t in turns
    ]


def stairs(rng: Rng, high: float) -> list[Floats]:
    """Lay cloths in a slanting row, each over a part of the one before."""
    count = int(rng.integers(3, 6))
    wide, tall = rng.uniform(0.26, 0.34), rng.uniform(0.3, 0.4) * high / 0.75
    span, drop = 0.86 - wide, high - 0.12 - tall
    at = np.linspace(0, 1, count)
    return [
        _rectangle(
            0.07 + wide / 2 + span * a,
            0.06 + tall / 2 + drop * a,
            wide,
            tall,
            rng.normal(0, 0.06),
        )
        for a in at
    ]


def folded(rng: Rng, high: float) -> list[Floats]:
    """Lay folded fat quarters side by side."""
    count = int(rng.integers(3, 6))
    wide = 0.88 / count
    tall = rng.uniform(0.5, 0.8) * high
    return [
        _rectangle(
            0.06 + (at + 0.5) * wide,
            high / 2 + rng.normal(0, 0.015),
            wide - rng.uniform(0.015, 0.04),
            tall,
            rng.normal(0, 0.02),
        )
        for at in range(count)
    ]


def swatch_row(rng: Rng, high: float) -> list[Floats]:
    """Stick small cuttings in a row."""
    count = int(rng.integers(5, 9))
    wide = 0.88 / count
    tall = wide * rng.uniform(0.9, 1.6)
    y = high * rng.uniform(0.35, 0.65)
    return [
        _rectangle(0.06 + (at + 0.5) * wide, y, wide * 0.8, tall, rng.normal(0, 0.015))
        for at in range(count)
    ]


def single(rng: Rng, high: float) -> list[Floats]:
    """Lay one cloth."""
    wide, tall = rng.uniform(0.35, 0.8), rng.uniform(0.4, 0.8) * high
    return [_rectangle(0.5, high / 2, wide, tall, rng.normal(0, 0.1))]


LAYOUTS: Final[dict[str, Callable[[Rng, float], list[Floats]]]] = {
    "grid": grid,
    "close grid": close_grid,
    "fan": fan,
    "stairs": stairs,
    "folded": folded,
    "swatch row": swatch_row,
    "single": single,
}


# ---- the photo ---------------------------------------------------------------------------


def table_scene(
    seed: int,
    ground: str,
    layout: str,
    *,
    size: tuple[int, int] = (1600, 1200),
    prints: tuple[Draw, ...] = PRINTS,
) -> Scene:
    """Lay cloths on a table and photograph them, a little aslant."""
    rng = np.random.default_rng(seed)
    width, height = size
    high = height / width
    table = GROUNDS[ground](rng, width, height)
    places = LAYOUTS[layout](rng, high)
    plane = np.array([(0, 0), (1, 0), (1, high), (0, high)])
    off = rng.uniform(-0.045, 0.045, (4, 2)) * (1, high)
    to_photo = homography(plane, (plane + off) * width)
    light = to_linear(_warped_ground(table, plane, off, size) / 255)
    of_ground = lab_of_light(mean_light(table))
    top = np.zeros((height, width), dtype=int)
    quads = []
    for at, place in enumerate(places, start=1):
        quad = _mapped(to_photo, place)
        cloth = _differing_cloth(rng, of_ground, prints, place, width, layout == "folded")
        light = _laid_down(rng, light, cloth, quad)
        top[_filled(quad, size) > 0.5] = at
        quads.append(quad)
    pixels = _photographed(rng, light)
    cloths = []
    for at, quad in enumerate(quads, start=1):
        seen = top == at
        whole = bool(seen.sum() > 0.995 * (_filled(quad, size) > 0.5).sum())
        cloths.append(Laid(quad, seen, whole))
    return Scene(pixels, tuple(cloths), ground, layout)


def full_frame(seed: int, draw: Draw, *, size: tuple[int, int] = (1600, 1200)) -> Pixels:
    """Photograph one print so near that it fills the frame."""
    rng = np.random.default_rng(seed)
    longest = max(size)
    cloth = draw(rng, longest)[: size[1], : size[0]]
    return _photographed(rng, to_linear(cloth / 255))


def _warped_ground(table: Pixels, plane: Floats, off: Floats, size: tuple[int, int]) -> Pixels:
    # A little larger than the photo, so that the slant shows no edge of the table.
    image = Image.fromarray(table)
    centre = plane.mean(axis=0)
    seen = centre + (plane - centre - off) * 0.86
    back = homography(plane * size[0], seen * size[0]).ravel()[:8]
    return np.asarray(
        image.transform(
            size, Image.Transform.PERSPECTIVE, tuple(back), Image.Resampling.BILINEAR
        )
    )


def _mapped(through: Floats, points: Floats) -> Floats:
    out = np.column_stack([points, np.ones(len(points))]) @ through.T
    return np.asarray(out[:, :2] / out[:, 2:])


def _filled(quad: Floats, size: tuple[int, int]) -> Floats:
    fine = Image.new("L", (size[0] * 2, size[1] * 2))
    ImageDraw.Draw(fine).polygon([tuple(p) for p in (quad * 2 - 0.5).tolist()], fill=255)
    return np.asarray(fine.resize(size, Image.Resampling.BOX)) / 255


def _differing_cloth(
    rng: Rng,
    of_ground: Floats,
    prints: tuple[Draw, ...],
    place: Floats,
    width: int,
    fold: bool,
) -> Pixels:
    wide, tall = (float(np.hypot(*(place[at] - place[0]))) * width for at in (1, 3))
    side = int(max(wide, tall))
    while True:
        cloth = prints[int(rng.integers(len(prints)))](rng, side)[: int(tall), : int(wide)]
        if fold:
            cloth = _with_fold(rng, cloth)
        apart = delta_e_2000(lab_of_light(mean_light(cloth)), of_ground)
        if float(apart) >= LEAST_DIFFERENCE:
            return cloth


def _with_fold(rng: Rng, cloth: Pixels) -> Pixels:
    """Fold the cloth over: a ridge, and the layer on top printed the other way up."""
    at = int(len(cloth) * rng.uniform(0.35, 0.65))
    light = to_linear(cloth / 255)
    light[at:] = light[at:][::-1]
    away = np.arange(len(cloth)) - at
    ridge = 1 - 0.35 * np.exp(-np.abs(away) / 4) * (away >= 0) + 0.1 * np.exp(-(away**2) / 30)
    return _encoded(light * ridge[:, np.newaxis, np.newaxis])


def _laid_down(rng: Rng, light: Floats, cloth: Pixels, quad: Floats) -> Floats:
    height, width, _ = light.shape
    tall, wide, _ = cloth.shape
    corners = np.array([(0, 0), (wide, 0), (wide, tall), (0, tall)], dtype=np.float64)
    back = homography(quad, corners).ravel()[:8]
    image = Image.fromarray(cloth).transform(
        (width, height), Image.Transform.PERSPECTIVE, tuple(back), Image.Resampling.BILINEAR
    )
    share = _filled(quad, (width, height))[..., np.newaxis]
    # A soft shadow to one side, and a narrow one where the cloth touches.
    aside = rng.uniform(-0.004, 0.004, 2) * width
    far = _blurred(np.roll(share[..., 0], aside.astype(int)[::-1], (0, 1)), 0.004 * width)
    near = _blurred(share[..., 0], 0.0012 * width)
    dark = 1 - rng.uniform(0.1, 0.35) * far - 0.15 * near
    shaded = light * dark[..., np.newaxis]
    return shaded * (1 - share) + to_linear(np.asarray(image) / 255) * share


def _blurred(share: Floats, reach: float) -> Floats:
    image = Image.fromarray(np.rint(share * 255).astype(np.uint8))
    return np.asarray(image.filter(ImageFilter.GaussianBlur(reach))) / 255


def _photographed(rng: Rng, light: Floats) -> Pixels:
    height, width, _ = light.shape
    y, x = np.mgrid[0:height, 0:width]
    across, down = x / width * 2 - 1, y / height * 2 - 1
    lean = rng.uniform(-0.16, 0.16, 2)
    fall = np.exp(lean[0] * across + lean[1] * down) / (1 + 0.12 * (across**2 + down**2))
    seen = np.clip(light * fall[..., np.newaxis] * rng.uniform(0.85, 1.05), 0, 1)
    noise = rng.normal(0, 1, light.shape) * np.sqrt(seen * 2e-4 + 2e-6)
    image = Image.fromarray(_encoded(np.clip(seen + noise, 0, 1)))
    image = image.filter(ImageFilter.GaussianBlur(0.7))
    stored = io.BytesIO()
    image.save(stored, "JPEG", quality=int(rng.integers(80, 95)))
    return np.asarray(Image.open(stored))


# ---- the score ---------------------------------------------------------------------------

_SCORED_PX: Final = 800


class Score(NamedTuple):
    """How well one cloth of a scene was found.

    Attributes
    ----------
    overlap
        What the outline and the visible part share of what they cover together.
    corner
        How far the worst corner lies off, as a share of the photo's width; None where the cloth
        cannot be seen whole.
    """

    overlap: float
    corner: float | None


def scored(scene: Scene, found: Sequence[FoundCloth]) -> tuple[list[Score], int]:
    """Score each cloth by the outline that fits it best; count the outlines left over."""
    height, width, _ = scene.pixels.shape
    scale = _SCORED_PX / max(height, width)
    size = (round(width * scale), round(height * scale))
    outlines = []
    for one in found:
        canvas = Image.new("L", size)
        points = [(x * size[0] - 0.5, y * size[1] - 0.5) for x, y in one.outline]
        ImageDraw.Draw(canvas).polygon(points, fill=1)
        outlines.append(np.asarray(canvas).astype(bool))
    scores = []
    used = set()
    for cloth in scene.cloths:
        image = Image.fromarray(cloth.seen.astype(np.uint8) * 255).resize(
            size, Image.Resampling.BOX
        )
        seen = np.asarray(image) >= 128
        shares = [float((seen & o).sum() / (seen | o).sum()) for o in outlines]
        best = int(np.argmax(shares)) if shares else -1
        if not shares or shares[best] == 0:
            scores.append(Score(0.0, None))
            continue
        used.add(best)
        corners = np.array(found[best].corners) * (width, height)
        apart = min(
            float(np.hypot(*(np.roll(corners, turn, axis=0) - cloth.corners).T).max())
            for turn in range(4)
        )
        scores.append(Score(shares[best], apart / width if cloth.whole else None))
    return scores, len(found) - len(used)
