"""Cloths on tables drawn for tests, and beside them what tells their size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from PIL import Image, ImageDraw

from quiltboard.photos.corners import Corners
from tests.helpers.seen_table import Camera, Floats, Ink, Pixels, Table, rectangle, through

Ground = Literal["plain", "wood", "dots", "sprigs", "stripes", "mat"]
Spot = tuple[float, float]
CardLook = Literal["plain", "printed", "dark"]

GROUNDS: Final[tuple[Ground, ...]] = ("plain", "wood", "dots", "sprigs", "stripes", "mat")
LOOKS: Final[tuple[CardLook, ...]] = ("plain", "printed", "dark")
ID1_MM: Final = (85.60, 53.98, 3.18)


# --- what lies on the table -----------------------------------------------------------------


def draw_ink(rng: np.random.Generator, low: int = 30, high: int = 225) -> Ink:
    """Draw a colour."""
    red, green, blue = rng.integers(low, high, 3).tolist()
    return red, green, blue


def _near(rng: np.random.Generator, ink: Ink, step: int) -> Ink:
    red, green, blue = np.clip(
        np.array(ink) + rng.integers(-step, step + 1, 3), 0, 255
    ).tolist()
    return red, green, blue


def inks_apart(rng: np.random.Generator, others: Sequence[Ink], least: float = 90) -> Ink:
    """Draw a colour that stands out clearly from others."""
    while True:
        ink = draw_ink(rng, 5, 250)
        light = [0.3 * r + 0.59 * g + 0.11 * b for r, g, b in (ink, *others)]
        if all(abs(light[0] - other) > least * 0.6 for other in light[1:]) and all(
            math.dist(ink, other) > least for other in others
        ):
            return ink


def spread_ground(table: Table, rng: np.random.Generator, ground: Ground) -> list[Ink]:
    """Cover the table, and give the inks it is covered with."""
    wide, high = table.size_mm
    base = draw_ink(rng, 60, 200)
    everywhere = rectangle((0, 0), wide, high)
    table.polygon(everywhere, base)
    if ground == "wood":
        shades = [_near(rng, base, 14) for _ in range(6)]
        along = bool(rng.integers(2))
        for at in np.arange(-max(wide, high), max(wide, high), 2.5):
            drift = rng.uniform(-6, 6)
            ends = [(-wide / 2, at), (wide / 2, at + drift)]
            start, end = ends if along else [(y, x) for x, y in ends]
            table.line(start, end, rng.uniform(0.6, 3.0), shades[int(rng.integers(6))])
        return [base, *shades]
    if ground in {"dots", "sprigs"}:
        inks = [_near(rng, base, 70) for _ in range(3)]
        step = rng.uniform(9, 30)
        tossed = 0.0 if ground == "dots" else step / 3
        for x in np.arange(-wide / 2, wide / 2, step):
            for y in np.arange(-high / 2, high / 2, step):
                u, v = (np.array([x, y]) + rng.uniform(-1, 1, 2) * tossed).tolist()
                sides = 24 if ground == "dots" else int(rng.integers(3, 7))
                round_ = np.linspace(0, 2 * np.pi, sides, endpoint=False) + rng.uniform(0, 3)
                spot = np.column_stack([np.cos(round_), np.sin(round_)]) * step * 0.28
                table.polygon(spot + np.array([u, v]), inks[int(rng.integers(3))])
        return [base, *inks]
    if ground == "stripes":
        other = _near(rng, base, 50)
        step = rng.uniform(6, 25)
        for at in np.arange(-wide, wide, step):
            table.line((at, -high), (at + high / 3, high), step * 0.4, other)
        return [base, other]
    if ground == "mat":
        light = bool(rng.integers(2))
        base = (45, 95, 80) if light else (215, 220, 215)
        table.polygon(everywhere, base)
        rule_mat(table, everywhere, 25.4, (190, 215, 200) if light else (70, 90, 85))
    return [base]


def rule_mat(
    table: Table,
    mat_mm: Floats,
    spacing_mm: float,
    ink: Ink,
    *,
    halves: bool = True,
    eighths: bool = True,
) -> None:
    """Rule a mat: strong lines, fainter ones half way, short marks at eighths."""
    (left, top), _, (right, bottom), _ = mat_mm.tolist()
    x, y = table.at([(left + 1, top + 1)])[0]
    ground = table.picture.getpixel((int(x), int(y)))
    faint = tuple(
        round(0.6 * a + 0.4 * b) for a, b in zip(ink, np.ravel(np.array(ground)), strict=True)
    )
    eighth = spacing_mm / 8
    for upright in (True, False):
        low, high, near, far = (
            (left, right, top, bottom) if upright else (top, bottom, left, right)
        )
        for count in range(int((high - low) / eighth) + 1):
            at = low + count * eighth
            start, end = ((at, near), (at, far)) if upright else ((near, at), (far, at))
            if count % 8 == 0:
                table.line(start, end, 0.5, ink)
            elif count % 4 == 0 and halves:
                table.line(start, end, 0.3, (faint[0], faint[1], faint[2]))
            elif eighths:
                for across in np.arange(near, far, spacing_mm):
                    mark = [(at, across - 0.9), (at, across + 0.9)]
                    start, end = mark if upright else [(y, x) for x, y in mark]
                    table.line(start, end, 0.25, (faint[0], faint[1], faint[2]))


def lay_ruler(
    table: Table,
    middle: tuple[float, float],
    long_mm: float,
    turn_deg: float,
    inks: tuple[Ink, Ink],
    *,
    metric: bool,
) -> None:
    """Lay a ruler with long and short marks along one edge, and numbers beside them."""
    per_mm = 8
    body, mark = inks
    size = (round(long_mm * per_mm), 28 * per_mm)
    face = Image.new("RGB", size, body)
    draw = ImageDraw.Draw(face)
    step = 1.0 if metric else 25.4 / 16
    lengths = (
        {10: 8.0, 5: 6.0, 1: 4.0} if metric else {16: 10.0, 8: 8.0, 4: 6.0, 2: 4.5, 1: 3.0}
    )
    whole = max(lengths)
    for count in range(1, int((long_mm - 6) / step)):
        tall = next(length for every, length in lengths.items() if count % every == 0)
        x = (3 + count * step) * per_mm
        draw.rectangle((x - 0.13 * per_mm, 0, x + 0.12 * per_mm, tall * per_mm), fill=mark)
        if count % whole == 0:
            draw.text(
                (x - 12, 13 * per_mm), str(count // whole), fill=mark, font_size=5 * per_mm
            )
    table.lay(face, 0.0, rectangle(middle, long_mm, 28.0, turn_deg))


def card_face(
    rng: np.random.Generator, look: CardLook, rim: Ink, size_mm: tuple[float, float]
) -> Image.Image:
    """Draw the face of a card, whose rim has a known ink."""
    per_mm = 12
    wide, high = (round(side * per_mm) for side in size_mm)
    face = Image.new("RGB", (wide, high), rim)
    if look == "plain":
        return face
    draw = ImageDraw.Draw(face)
    if look == "printed":
        soft = rng.normal(0, 1, (9, 14, 3))
        blotches = np.clip(np.array(rim) + 28 * soft, 0, 255).astype(np.uint8)
        face.paste(Image.fromarray(blotches).resize((wide, high), Image.Resampling.BICUBIC))
        draw = ImageDraw.Draw(face)
        for _ in range(5):
            x, y = rng.uniform(0.15, 0.7, 2) * (wide, high)
            draw.ellipse((x, y, x + wide * 0.16, y + wide * 0.16), fill=_near(rng, rim, 60))
    draw.rectangle(
        (0.12 * wide, 0.32 * high, 0.26 * wide, 0.5 * high),
        fill=_near(rng, (190, 170, 100), 30),
    )
    for count in range(16):
        x = (0.1 + 0.05 * count + 0.01 * (count // 4)) * wide
        draw.rectangle((x, 0.62 * high, x + 0.03 * wide, 0.7 * high), fill=_near(rng, rim, 90))
    return face


# --- whole scenes ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Scene:
    """A photo, and what is known of it.

    Attributes
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8.
    camera
        How it was taken.
    cloth_mm
        The corners of the cloth on the table.
    thing_mm
        The corners of the card or other thing.
    """

    pixels: Pixels
    camera: Camera
    cloth_mm: Floats
    thing_mm: Floats

    @property
    def cloth(self) -> Corners:
        """Where the cloth lies in the photo."""
        return self.camera.corners(self.cloth_mm)

    @property
    def width_mm(self) -> float:
        """How wide the cloth is."""
        return math.dist(*self.cloth_mm[:2].tolist())

    @property
    def height_mm(self) -> float:
        """How high the cloth is."""
        return math.dist(*self.cloth_mm[1:3].tolist())


def draw_camera(rng: np.random.Generator, seen_mm: float, longest_px: int = 1600) -> Camera:
    """Hold a camera somehow over the table."""
    wide, high = longest_px, longest_px * 3 // 4
    return Camera(
        size_px=(wide, high) if rng.integers(2) else (high, wide),
        lens=rng.uniform(0.65, 0.9),
        seen_mm=seen_mm,
        tilt_deg=rng.uniform(0, 25),
        tilt_to_deg=rng.uniform(0, 360),
        turn_deg=rng.uniform(0, 360),
    )


def table_for(camera: Camera) -> Table:
    """Take a table as large as the photo sees it."""
    back: Floats = np.linalg.inv(camera.photo_of_table).astype(np.float64)
    wide, high = camera.size_px
    seen = through(back, [(0, 0), (wide, 0), (wide, high), (0, high)])
    reach = 2 * np.abs(seen).max(axis=0) + 4
    return Table(
        (float(reach[0]), float(reach[1])), per_mm=1.7 * camera.size_px[0] / camera.seen_mm
    )


def card_scene(
    rng: np.random.Generator,
    look: CardLook,
    ground: Ground,
    *,
    longest_px: int = 1600,
    size_mm: tuple[float, float] = ID1_MM[:2],
    round_mm: float = ID1_MM[2],
) -> Scene:
    """Draw a cloth and a card beside it, at least 15 hundredths of the photo's width long."""
    while True:
        camera = draw_camera(rng, size_mm[0] / rng.uniform(0.16, 0.35), longest_px)
        # In the photo the card lies left, right, above or below of a cloth about in the middle.
        across = camera.seen_mm
        up = math.radians(-camera.turn_deg)
        way = rng.uniform(0, 2 * np.pi)
        aspect = camera.size_px[1] / camera.size_px[0]
        off = np.array([math.cos(way) * 0.3, math.sin(way) * 0.32 * aspect]) * across
        card_at = np.array([[math.cos(up), -math.sin(up)], [math.sin(up), math.cos(up)]]) @ off
        thing = rectangle((float(card_at[0]), float(card_at[1])), *size_mm, rng.uniform(0, 360))
        seen = camera.seen(thing)
        if seen.min() > 0.01 and seen.max() < 0.99:
            break
    table = table_for(camera)
    inks = spread_ground(table, rng, ground)
    cloth_at = -0.45 * card_at
    cloth = rectangle(
        (float(cloth_at[0]), float(cloth_at[1])),
        across * rng.uniform(0.26, 0.4),
        across * rng.uniform(0.26, 0.4),
        rng.uniform(-15, 15) - camera.turn_deg,
    )
    table.lay(_cloth_face(rng, inks), 0.0, cloth)
    rim = (
        _near(rng, (28, 28, 32), 12)
        if look == "dark" and min(math.dist(ink, (28, 28, 32)) for ink in inks) > 80
        else inks_apart(rng, inks, 70)
    )
    table.lay(card_face(rng, look, rim, size_mm), round_mm, thing)
    return Scene(table.photo(camera, rng), camera, cloth, thing)


def mat_scene(rng: np.random.Generator, *, longest_px: int = 1600) -> tuple[Scene, Spot]:
    """Draw a cloth on a mat ruled in inches, and a place where its lines are bare."""
    camera = draw_camera(rng, rng.uniform(280, 600), longest_px)
    table = table_for(camera)
    light = bool(rng.integers(2))
    base: Ink = (35, 75, 65) if light else (205, 210, 200)
    ink: Ink = (200, 215, 190) if light else (60, 70, 90)
    everywhere = rectangle((0, 0), *table.size_mm)
    table.polygon(everywhere, base)
    rule_mat(
        table,
        everywhere,
        25.4,
        ink,
        halves=bool(rng.integers(4)),
        eighths=bool(rng.integers(4)),
    )
    side = camera.seen_mm * 0.35
    cloth = rectangle((0.25 * side, 0.2 * side), side, 0.8 * side, rng.uniform(-10, 10))
    table.lay(_cloth_face(rng, [base]), 0.0, cloth)
    clicked = camera.seen(
        [(-0.55 * side + rng.uniform(-9, 9), -0.1 * side + rng.uniform(-9, 9))]
    )
    x, y = clicked[0].tolist()
    return Scene(table.photo(camera, rng), camera, cloth, everywhere), (x, y)


def ruler_scene(
    rng: np.random.Generator, *, metric: bool, longest_px: int = 1600
) -> tuple[Scene, Spot]:
    """Draw a cloth with a ruler beside it, and a place on the ruler's marks."""
    camera = draw_camera(
        rng, rng.uniform(220, 380) if metric else rng.uniform(260, 480), longest_px
    )
    table = table_for(camera)
    ground = GROUNDS[int(rng.integers(5))]
    inks = spread_ground(table, rng, ground)
    side = camera.seen_mm * 0.35
    turn = rng.uniform(0, 360)
    aside = np.array([-math.sin(math.radians(turn)), math.cos(math.radians(turn))])
    cloth = rectangle((0, 0), side, 0.8 * side, rng.uniform(-20, 20))
    table.lay(_cloth_face(rng, inks), 0.0, cloth)
    middle = -aside * side * 0.4
    bright, dark = (238, 232, 214), (35, 35, 40)
    looks: tuple[tuple[Ink, Ink], ...] = (
        (bright, dark),
        ((225, 190, 120), dark),
        (dark, bright),
    )
    look = looks[int(rng.integers(3))]
    long_mm = 0.75 * camera.seen_mm
    lay_ruler(table, (float(middle[0]), float(middle[1])), long_mm, turn, look, metric=metric)
    way = np.array([math.cos(math.radians(turn)), math.sin(math.radians(turn))])
    on_marks = (
        middle - aside * (14 - rng.uniform(2, 8)) + way * rng.uniform(-0.15, 0.15) * long_mm
    )
    x, y = camera.seen([on_marks])[0].tolist()
    return Scene(table.photo(camera, rng), camera, cloth, cloth), (x, y)


def _cloth_face(rng: np.random.Generator, others: Sequence[Ink]) -> Image.Image:
    base = draw_ink(rng)
    face = Image.new("RGB", (700, 700), base)
    draw = ImageDraw.Draw(face)
    other = _near(rng, base, 80)
    step = int(rng.integers(30, 90))
    shape = int(rng.integers(3))
    for x in range(0, 700, step):
        for y in range(0, 700, step):
            box = (x, y, x + 0.6 * step, y + 0.45 * step)
            if shape == 0:
                draw.ellipse(box, fill=other)
            elif shape == 1:
                draw.rectangle(box, fill=other)
            else:
                draw.rounded_rectangle(box, 0.1 * step, fill=other)
    return face


def turned_once(scene: Scene) -> Pixels:
    """Give the photo as if the camera had been held a quarter turn the other way."""
    return np.ascontiguousarray(np.rot90(scene.pixels, -1))
