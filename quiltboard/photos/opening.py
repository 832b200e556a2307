"""Opening a file that someone else made: bounded, and known by what is in it."""

from __future__ import annotations

import stat
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from pathlib import Path

Kind = Literal["JPEG", "PNG", "WEBP", "AVIF", "HEIC"]

READ_KINDS: Final = "JPEG, PNG, WEBP, AVIF and HEIC"

_HEIF_BRANDS: Final = {
    b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs", b"mif1", b"msf1",
}  # fmt: skip
_KNOWN_BUT_NOT_READ: Final = (
    (b"GIF8", "a GIF picture"),
    (b"II*\0", "a TIFF or raw camera picture"),
    (b"MM\0*", "a TIFF or raw camera picture"),
    (b"BM", "a BMP picture"),
    (b"8BPS", "a layered drawing (PSD)"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a ZIP or office file"),
)


class PhotoError(ValueError):
    """A file that cannot be read as it is; its message says which, why, and how to mend it."""


def plain_name(text: str) -> str:
    """Give a file's name as one line that can stand in a sentence."""
    shown = "".join(sign if sign.isprintable() else " " for sign in text)
    return " ".join(shown.split()) or "The file"


def read_bytes(path: Path, limit_mb: int) -> bytes:
    """Read a file whole, if it is a file and no larger than it may be.

    Parameters
    ----------
    path
        The file.
    limit_mb
        The most it may hold, in millions of bytes.

    Raises
    ------
    PhotoError
        If it is missing, a folder, a device, locked, unreadable, empty or too large.
    """
    name = plain_name(path.name or str(path))
    limit = limit_mb * 1_000_000
    try:
        mode = path.stat().st_mode
        # A pipe or a device might never end, so only ordinary files are opened at all.
        data = b""
        if stat.S_ISREG(mode):
            with path.open("rb") as file:
                data = file.read(limit + 1)
    except FileNotFoundError as error:
        raise PhotoError(
            f"{name}: there is no such file; check its name and folder: {plain_name(str(path))}"
        ) from error
    except PermissionError as error:
        raise PhotoError(
            f"{name}: it may not be opened; close it in other programs, or copy it to a folder"
            " of your own"
        ) from error
    except (OSError, ValueError) as error:
        raise PhotoError(
            f"{name}: it cannot be opened ({plain_name(str(error))}); copy it again from where"
            " it came"
        ) from error
    if stat.S_ISDIR(mode):
        raise PhotoError(f"{name}: this is a folder; choose the files inside it")
    if not stat.S_ISREG(mode):
        raise PhotoError(f"{name}: this is no ordinary file; copy it to your disk first")
    if len(data) > limit:
        raise PhotoError(f"{name}: it holds more than {limit_mb} MB; save a smaller copy of it")
    if not data:
        raise PhotoError(f"{name}: the file is empty; copy it again from where it came")
    return data


def kind_of_picture(data: bytes, name: str) -> Kind:
    """Tell by its first bytes, whatever its name ends in, how a picture is encoded.

    Parameters
    ----------
    data
        The file's bytes.
    name
        What to call it in a sentence.

    Raises
    ------
    PhotoError
        If it is none of the kinds that are read.
    """
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "WEBP"
    if data[4:8] == b"ftyp":
        box = data[8 : min(int.from_bytes(data[:4], "big"), 256)]
        brands = {box[at : at + 4] for at in range(0, len(box), 4)}
        if brands & {b"avif", b"avis"}:
            return "AVIF"
        if brands & _HEIF_BRANDS:
            return "HEIC"
    said = next((what for head, what in _KNOWN_BUT_NOT_READ if data.startswith(head)), "")
    if not said and b"<svg" in data[:2048].lower():
        said = "an SVG drawing"
    raise PhotoError(
        f"{name}: this is {said or 'no picture that can be read here'}; save it as JPEG or PNG"
        f" (read are {READ_KINDS})"
    )
