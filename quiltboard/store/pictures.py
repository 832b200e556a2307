"""Looking over a kept picture without decoding it: whether it is whole, and how large.

References
----------
PNG: W3C Portable Network Graphics, third edition, section 5. JPEG: ITU-T T.81, annex B.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from typing import Final

import msgspec

from quiltboard.fabrics.fabric import Fabric, Photo, Pool, Swatch

LARGEST_SIDE_PX: Final = 4096

_PNG: Final = b"\x89PNG\r\n\x1a\n"
_FRAMES: Final = {0xC0, 0xC1, 0xC2}
_BARE_MARKERS: Final = {0x01, *range(0xD0, 0xD8)}


class DamagedPictureError(ValueError):
    """A picture that is not whole, or not what the board says it is."""


def png_size(data: bytes) -> tuple[int, int]:
    """Tell the size of a PNG after checking that every part of it is as it was written.

    Returns
    -------
    tuple of int
        Width and height in pixels.

    Raises
    ------
    DamagedPictureError
        If it is no PNG, is cut short, or a check sum fails.
    """
    if not data.startswith(_PNG):
        raise DamagedPictureError("no PNG")
    at, first, size, filled = len(_PNG), True, (0, 0), False
    while at + 12 <= len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        kind, end = data[at + 4 : at + 8], at + 8 + length
        if end + 4 > len(data):
            break
        if zlib.crc32(data[at + 4 : end]) != int.from_bytes(data[end : end + 4], "big"):
            raise DamagedPictureError("a check sum fails")
        if first:
            if kind != b"IHDR" or length != 13:
                raise DamagedPictureError("no size")
            size = (
                int.from_bytes(data[at + 8 : at + 12], "big"),
                int.from_bytes(data[at + 12 : at + 16], "big"),
            )
        filled |= kind == b"IDAT"
        if kind == b"IEND" and filled:
            return size
        at, first = end + 4, False
    raise DamagedPictureError("cut short")


def jpeg_size(data: bytes) -> tuple[int, int]:
    """Tell the size of a JPEG after checking that it has a beginning, a frame and an end.

    Returns
    -------
    tuple of int
        Width and height in pixels.

    Raises
    ------
    DamagedPictureError
        If it is no JPEG or is cut short.
    """
    if not data.startswith(b"\xff\xd8\xff") or not data.endswith(b"\xff\xd9"):
        raise DamagedPictureError("no whole JPEG")
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
        elif marker in _BARE_MARKERS:
            at += 2
        elif marker in _FRAMES:
            height = int.from_bytes(data[at + 5 : at + 7], "big")
            return int.from_bytes(data[at + 7 : at + 9], "big"), height
        else:
            at += 2 + max(2, int.from_bytes(data[at + 2 : at + 4], "big"))
    raise DamagedPictureError("no size")


def without_damaged(fabric: Fabric) -> Fabric:
    """Give a fabric without those pictures that are not whole or not of the size it says."""
    swatch, photo, pool = fabric.swatch, fabric.photo, fabric.pool
    return msgspec.structs.replace(
        fabric,
        swatch=swatch if swatch and _is_sound_swatch(swatch) else None,
        photo=photo if photo and _is_sound_photo(photo) else None,
        pool=Pool(pool.cloths, tuple(filter(_is_sound_swatch, pool.more))) if pool else None,
    )


def _is_sound_swatch(swatch: Swatch) -> bool:
    return _is_sound(png_size, swatch.png, (swatch.width_px, swatch.height_px))


def _is_sound_photo(photo: Photo) -> bool:
    return _is_sound(jpeg_size, photo.jpeg, (photo.width_px, photo.height_px))


def _is_sound(
    size_of: Callable[[bytes], tuple[int, int]], data: bytes, said: tuple[int, int]
) -> bool:
    try:
        size = size_of(data)
    except DamagedPictureError:
        return False
    return size == said and all(1 <= side <= LARGEST_SIDE_PX for side in size)
