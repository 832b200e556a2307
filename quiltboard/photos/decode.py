"""Reading a photo, whoever made it: bounded first, then decoded, turned upright, made sRGB.

The limits, checked before a pixel is decoded: 200 MB a file; 250 megapixels for a JPEG, which
above 50 is made smaller as it comes in; 100 megapixels for every other kind.
"""

from __future__ import annotations

import contextlib
import importlib
import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
from PIL import (
    AvifImagePlugin,
    ExifTags,
    Image,
    ImageFile,
    JpegImagePlugin,
    PngImagePlugin,
    WebPImagePlugin,
)

from quiltboard.photos.light import halved, light_of_image
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.opening import (
    Kind,
    PhotoError,
    kind_of_picture,
    plain_name,
    read_bytes,
)
from quiltboard.photos.srgb import as_srgb

if TYPE_CHECKING:
    from quiltboard.photos.light import Mask, Pixels

__all__ = [
    "PHOTO_SUFFIXES",
    "Negative",
    "PhotoError",
    "Picture",
    "read_bytes",
    "read_negative",
    "read_photo",
]

PHOTO_SUFFIXES: Final = frozenset(
    {
        ".jpg",
        ".jpeg",
        ".jpe",
        ".jfif",
        ".mpo",
        ".png",
        ".webp",
        ".avif",
        ".heic",
        ".heif",
        ".hif",
    }
)
"""How the names of photos end, for finding them in folders; what a file is its bytes tell."""

LARGEST_FILE_MB: Final = 200
LARGEST_MEGAPIXELS: Final[dict[Kind, int]] = {
    "JPEG": 250, "PNG": 100, "WEBP": 100, "AVIF": 100, "HEIC": 100,
}  # fmt: skip
WHOLE_MEGAPIXELS: Final = 50
"""A JPEG up to this size is measured as it is; a larger one is halved first, in light."""
HALVED_MEGAPIXELS: Final = 6
HALVED_CHANGE: Final = 0.1
"""Photos above this size are measured at half of it, where L*, a* and b* of the whole stay
within this."""
DECODED_MEGAPIXELS: Final = 150
"""A JPEG up to this size is decoded whole. Reducing it while decoding averages encoded numbers,
not light, which darkens the value of a fine check by up to one L*: beyond this it saves a
gigabyte of memory, and no lens draws that finely."""
_BAND_ROWS: Final = 256

SEVERAL: Final = "The file holds several pictures or moves: its first picture is used."
SEE_THROUGH: Final = "Its see-through parts are left out."
EXIF_IGNORED: Final = "Its camera notes (EXIF) are damaged: it may lie on its side."
REDUCED: Final = "It is very large and was read at a part of its size."

_TURNS: Final[dict[object, Image.Transpose]] = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True, eq=False)
class Picture:
    """A photo as it was seen: upright, in sRGB, with nothing else the file told.

    Attributes
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    name
        The file's name, for sentences about it.
    notes
        Sentences about what was decided while reading.
    mask
        ndarray of shape (M, N), True where the picture is at least half opaque; None where it
        is so everywhere. See-through parts are no cloth.
    """

    pixels: Pixels
    name: str
    notes: tuple[str, ...] = ()
    mask: Mask | None = None


@dataclass(frozen=True, eq=False)
class Negative:
    """A photo as the camera wrote it: upright, but in its own colours.

    Turning colours into sRGB takes longer than reading a photo does; a negative lets it be done
    on the small pictures that are made of it.

    Attributes
    ----------
    pixels
        ndarray of shape (M, N, 3), uint8, rows first, encoded as sRGB is or nearly so.
    profile
        The colour profile they are in; None is sRGB.
    name, notes, mask
        As in `Picture`.
    """

    pixels: Pixels
    profile: bytes | None
    name: str
    notes: tuple[str, ...] = ()
    mask: Mask | None = None

    def in_srgb(self, part: Pixels) -> Pixels:
        """Give a picture made of this one in sRGB."""
        if self.profile is None:
            return part
        image = Image.fromarray(np.ascontiguousarray(part))
        image.info["icc_profile"] = self.profile
        return as_srgb(image)[0]


def read_photo(source: Path | bytes, name: str = "") -> Picture:
    """Read a photo whole.

    Parameters
    ----------
    source
        A file, or the bytes of one. What it is is told by what is in it, not by its name.
    name
        What to call it in sentences; a file goes by its own name.

    Returns
    -------
    Picture
        At full size (a JPEG above 50 megapixels: at a half or a quarter), upright, sRGB.

    Raises
    ------
    PhotoError
        If it cannot be read; the message says why and how to mend it.
    """
    read = _read(source, name)
    if not isinstance(read, _Plain):
        return read
    pixels = as_srgb(read.image)[0] if read.profile else np.asarray(read.image)
    return Picture(pixels, read.name, read.notes)


def read_negative(source: Path | bytes, name: str = "") -> Negative:
    """Read a photo for measuring: a large one at half its size, if that changes no value.

    Halving mixes encoded numbers, which darkens what is finer than a pixel of the half. The
    tallies of both tell by how much: a photo that would be darkened is measured whole.

    Parameters
    ----------
    source, name
        As for `read_photo`.

    Raises
    ------
    PhotoError
        If it cannot be read; the message says why and how to mend it.
    """
    read = _read(source, name)
    if not isinstance(read, _Plain):
        return Negative(read.pixels, None, read.name, read.notes, read.mask)
    image = read.image
    if image.width * image.height > HALVED_MEGAPIXELS * 1_000_000:
        half = image.reduce(2)
        darker = lab_of_light(light_of_image(image)) - lab_of_light(light_of_image(half))
        if np.abs(darker).max() <= HALVED_CHANGE:
            image = half
    return Negative(np.asarray(image), read.profile, read.name, read.notes)


@dataclass(frozen=True, eq=False)
class _Plain:
    """An upright RGB image with nothing see-through in it, not turned into sRGB yet."""

    image: Image.Image
    profile: bytes | None
    name: str
    notes: tuple[str, ...]


def _read(source: Path | bytes, name: str) -> _Plain | Picture:
    if isinstance(source, Path):
        called = plain_name(name or source.name)
        data = read_bytes(source, LARGEST_FILE_MB)
    else:
        called = plain_name(name or "The picture")
        data = source
        if not data:
            raise PhotoError(f"{called}: there is nothing in it; copy it again")
        if len(data) > LARGEST_FILE_MB * 1_000_000:
            raise PhotoError(
                f"{called}: it holds more than {LARGEST_FILE_MB} MB; save a smaller copy"
            )
    kind = kind_of_picture(data, called)
    notes: list[str] = []
    # Pillow warns of damaged notes in a file; what matters of that is told in our own words.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        image = _loaded(data, kind, called, notes)
        if image.width * image.height > WHOLE_MEGAPIXELS * 1_000_000 and kind == "JPEG":
            image = _halved(image, notes)
        image = _upright(image, notes)
        plain = image.mode == "RGB" and not image.has_transparency_data
        # One pixel tells whether the profile can be followed.
        pixels, mask, decided = as_srgb(image.crop((0, 0, 1, 1)) if plain else image)
    notes.extend(decided)
    if plain:
        profile = image.info.get("icc_profile") or None
        return _Plain(image, None if decided else profile, called, tuple(notes))
    if mask is not None:
        if not mask.any():
            raise PhotoError(
                f"{called}: it is see-through all over; save it with the cloth in it"
            )
        notes.append(SEE_THROUGH)
    return Picture(pixels, called, tuple(notes), mask)


def _loaded(data: bytes, kind: Kind, name: str, notes: list[str]) -> Image.Image:
    try:
        image = _opened(data, kind, name)
        megapixels = _bounded_megapixels(image, kind, name)
        if getattr(image, "n_frames", 1) > 1:
            notes.append(SEVERAL)
        if kind == "JPEG" and megapixels > WHOLE_MEGAPIXELS:
            notes.append(REDUCED)
        if kind == "JPEG" and megapixels > DECODED_MEGAPIXELS:
            part = 2 if megapixels <= 4 * WHOLE_MEGAPIXELS else 4
            image.draft(None, (image.width // part, image.height // part))
        image.load()
    except PhotoError:
        raise
    except MemoryError as error:
        raise PhotoError(
            f"{name}: it is too large for this computer's memory; save a smaller copy of it"
        ) from error
    # A decoder may raise anything on a broken file, and what it says helps nobody.
    except Exception as error:
        raise PhotoError(
            f"{name}: the {kind} picture is damaged or not all there; copy it again from the"
            " camera or phone"
        ) from error
    return image


def _halved(image: Image.Image, notes: list[str]) -> Image.Image:
    """Make a very large picture half as wide and high, in sRGB, a band of rows at a time."""
    half = np.empty((image.height // 2, image.width // 2, 3), dtype=np.uint8)
    decided: tuple[str, ...] = ()
    for top in range(0, image.height - 1, _BAND_ROWS):
        foot = min(top + _BAND_ROWS, image.height)
        pixels, _, decided = as_srgb(image.crop((0, top, image.width, foot)))
        half[top // 2 : foot // 2] = halved(pixels)
    notes.extend(decided)
    small = Image.fromarray(half)
    small.info["exif"] = image.info.get("exif", b"")
    return small


def _bounded_megapixels(image: Image.Image, kind: Kind, name: str) -> float:
    width, height = image.size
    most = LARGEST_MEGAPIXELS[kind]
    if width * height > most * 1_000_000:
        raise PhotoError(
            f"{name}: {width} × {height} pixels are more than the {most} million that are"
            f" read of a {kind}; save a smaller copy of it"
        )
    return width * height / 1_000_000


def _opened(data: bytes, kind: Kind, name: str) -> ImageFile.ImageFile:
    # Straight to the one decoder. Image.open would try others too, and its own pixel limit is
    # a setting of the whole process.
    stream = BytesIO(data)
    if kind == "JPEG":
        return JpegImagePlugin.JpegImageFile(stream)
    if kind == "PNG":
        return PngImagePlugin.PngImageFile(stream)
    if kind == "WEBP":
        return WebPImagePlugin.WebPImageFile(stream)
    if kind == "AVIF":
        return AvifImagePlugin.AvifImageFile(stream)
    try:
        heif = importlib.import_module("pillow_heif")
    except ImportError as error:
        raise PhotoError(
            f'{name}: HEIC pictures need one more part: pip install "quiltboard[heic]",'
            " or save it as JPEG"
        ) from error
    opened: ImageFile.ImageFile = heif.HeifImageFile(stream)
    return opened


def _upright(image: Image.Image, notes: list[str]) -> Image.Image:
    turn = None
    with warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        try:
            # Read afresh: Pillow says nothing of notes it has failed on once already.
            Image.Exif().load(image.info.get("exif", b""))
            damaged = bool(warned)
        # Hostile camera notes break the parser in many ways; the picture itself is sound.
        except Exception:  # noqa: BLE001
            damaged = True
        with contextlib.suppress(Exception):
            turn = image.getexif().get(ExifTags.Base.Orientation)
    if turn in _TURNS:
        return image.transpose(_TURNS[turn])
    if damaged and turn is None:
        notes.append(EXIF_IGNORED)
    return image
