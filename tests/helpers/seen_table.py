"""A table drawn flat for tests, and the camera that looks at it.

The table is drawn flat in millimetres and seen through a pinhole camera, tilted and turned, so
that every size and every place in the photo is known.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

from quiltboard.photos.corners import Corners
from quiltboard.photos.light import LIGHT_OF, encode_light
from quiltboard.photos.straighten import homography

Pixels = npt.NDArray[np.uint8]
Floats = npt.NDArray[np.float64]
Ink = tuple[int, int, int]


@dataclass(frozen=True)
class Camera:
    """How the table is looked at.

    Attributes
    ----------
    size_px
        Width and height of the photo.
    lens
        Focal length over the longer side of the photo.
    seen_mm
        How wide a stretch of table the middle of the photo shows.
    tilt_deg, tilt_to_deg
        How far from straight down, and which way.
    turn_deg
        How far the table is turned in the photo.
    """

    size_px: tuple[int, int] = (1600, 1200)
    lens: float = 0.75
    seen_mm: float = 400.0
    tilt_deg: float = 0.0
    tilt_to_deg: float = 0.0
    turn_deg: float = 0.0

    @property
    def photo_of_table(self) -> Floats:
        """The homography from millimetres on the table to pixels of the photo."""
        width, height = self.size_px
        focal = self.lens * max(self.size_px)
        tilt, to = math.radians(self.tilt_deg), math.radians(self.tilt_to_deg)
        axis = np.array([math.cos(to), math.sin(to), 0.0])
        cross = np.array([[0, 0, axis[1]], [0, 0, -axis[0]], [-axis[1], axis[0], 0]])
        tilted = np.eye(3) + math.sin(tilt) * cross + (1 - math.cos(tilt)) * cross @ cross
        turn = math.radians(self.turn_deg)
        turned = np.array(
            [
                [math.cos(turn), -math.sin(turn), 0],
                [math.sin(turn), math.cos(turn), 0],
                [0, 0, 1],
            ]
        )
        axes = tilted @ turned
        away = focal * self.seen_mm / width
        lens = np.array([[focal, 0, width / 2], [0, focal, height / 2], [0, 0, 1]])
        there: Floats = lens @ np.column_stack([axes[:, 0], axes[:, 1], (0.0, 0.0, away)])
        scaled: Floats = there / there[2, 2]
        return scaled

    def seen(self, places_mm: npt.ArrayLike) -> Floats:
        """Give where places of the table lie, as fractions of the photo."""
        seen: Floats = through(self.photo_of_table, places_mm) / self.size_px
        return seen

    def corners(self, places_mm: npt.ArrayLike) -> Corners:
        """Give where four places of the table lie."""
        a, b, c, d = ((x, y) for x, y in self.seen(places_mm).tolist())
        return a, b, c, d


def through(map_: Floats, places: npt.ArrayLike) -> Floats:
    """Take places through a homography."""
    at = np.asarray(places, dtype=np.float64).reshape(-1, 2)
    there = np.column_stack([at, np.ones(len(at))]) @ map_.T
    flat: Floats = there[:, :2] / there[:, 2:]
    return flat


def rectangle(
    middle: tuple[float, float], width: float, height: float, turn_deg: float = 0.0
) -> Floats:
    """Give the corners of a rectangle on the table, clockwise from its top left."""
    turn = math.radians(turn_deg)
    half = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * (width / 2, height / 2)
    turned = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    corners: Floats = half @ turned.T + np.array(middle)
    return corners


@dataclass
class Table:
    """A table top, drawn flat.

    Attributes
    ----------
    size_mm
        Its width and height; the middle of the photo looks at its middle, which is 0, 0.
    per_mm
        Pixels it is drawn with a millimetre.
    """

    size_mm: tuple[float, float]
    per_mm: float = 6.0
    picture: Image.Image = field(init=False)

    def __post_init__(self) -> None:
        size = (round(self.size_mm[0] * self.per_mm), round(self.size_mm[1] * self.per_mm))
        self.picture = Image.new("RGB", size, (150, 140, 130))

    @property
    def draw(self) -> ImageDraw.ImageDraw:
        return ImageDraw.Draw(self.picture)

    def at(self, places_mm: npt.ArrayLike) -> list[tuple[float, float]]:
        """Give where places lie in the drawing; ImageDraw counts from the middle of a pixel."""
        moved = (
            np.asarray(places_mm, dtype=np.float64).reshape(-1, 2) + np.array(self.size_mm) / 2
        )
        return [(x, y) for x, y in (moved * self.per_mm - 0.5).tolist()]

    def polygon(self, places_mm: npt.ArrayLike, ink: Ink) -> None:
        self.draw.polygon(self.at(places_mm), fill=ink)

    def line(
        self, start: Sequence[float], end: Sequence[float], wide_mm: float, ink: Ink
    ) -> None:
        a, b = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
        along = (b - a) / np.hypot(*(b - a))
        aside = np.array([-along[1], along[0]]) * wide_mm / 2
        self.polygon([a + aside, b + aside, b - aside, a - aside], ink)

    def lay(self, face: Image.Image, round_mm: float, corners_mm: Floats) -> None:
        """Lay a picture on the table between four corners, its own corners rounded."""
        across = math.dist(corners_mm[0], corners_mm[1])
        shape = Image.new("L", face.size, 0)
        round_px = round_mm * face.width / across
        ImageDraw.Draw(shape).rounded_rectangle(
            (0, 0, face.width - 1, face.height - 1), round_px, fill=255
        )
        there = np.array(self.at(corners_mm)) + 0.5
        low = np.floor(there.min(axis=0)).astype(int) - 1
        high = np.ceil(there.max(axis=0)).astype(int) + 1
        wide, high_px = (high - low).tolist()
        own = np.array([(0, 0), (face.width, 0), (face.width, face.height), (0, face.height)])
        back = homography(there - low, own.astype(np.float64)).ravel()[:8].tolist()
        perspective = Image.Transform.PERSPECTIVE
        laid, mask = (
            picture.transform((wide, high_px), perspective, back, Image.Resampling.BILINEAR)
            for picture in (face, shape)
        )
        self.picture.paste(laid, (int(low[0]), int(low[1])), mask)

    def photo(self, camera: Camera, rng: np.random.Generator | None = None) -> Pixels:
        """See the table: light mixed as light, then fall-off, blur, grain and JPEG."""
        width, height = camera.size_px
        to_drawing = np.array(
            [
                [self.per_mm, 0, self.size_mm[0] / 2 * self.per_mm],
                [0, self.per_mm, self.size_mm[1] / 2 * self.per_mm],
                [0, 0, 1],
            ]
        )
        twice = np.diag([2.0, 2.0, 1.0])
        back = to_drawing @ np.linalg.inv(twice @ camera.photo_of_table)
        numbers = (back / back[2, 2]).ravel()[:8].tolist()
        fine = self.picture.transform(
            (2 * width, 2 * height),
            Image.Transform.PERSPECTIVE,
            numbers,
            Image.Resampling.BILINEAR,
        )
        light = LIGHT_OF.astype(np.float32)[np.asarray(fine)]
        rows = light[0::2] + light[1::2]
        seen = (rows[:, 0::2] + rows[:, 1::2]) / 4
        if rng is None:
            return encode_light(seen)
        down, across = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j].astype(np.float32)
        slope = rng.uniform(-0.25, 0.25, 2)
        even = 1 - rng.uniform(0, 0.25) * (across**2 + down**2) / 2
        even = even * (1 + slope[0] * across + slope[1] * down)
        encoded = encode_light(seen * even[..., np.newaxis] * rng.uniform(0.75, 1.0))
        blurred = Image.fromarray(encoded).filter(
            ImageFilter.GaussianBlur(rng.uniform(0.3, 1.2))
        )
        grain = rng.normal(0, rng.uniform(0.5, 4.0), (height, width, 3)).astype(np.float32)
        noisy = np.clip(np.asarray(blurred) + grain + 0.5, 0, 255).astype(np.uint8)
        kept = io.BytesIO()
        Image.fromarray(noisy).save(kept, "JPEG", quality=int(rng.integers(78, 96)))
        return np.asarray(Image.open(kept).convert("RGB"))
