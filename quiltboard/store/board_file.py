"""The board file, ``NAME.quiltboard``: saving a project, opening one, its small picture."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Final, NamedTuple

import msgspec

from quiltboard.fabrics.fabric import Fabric
from quiltboard.photos.opening import plain_name
from quiltboard.project.project import Project
from quiltboard.store.archive import (
    Archive,
    ArchiveError,
    DamagedEntryError,
    open_archive,
    pack,
)
from quiltboard.store.board_json import (
    LARGEST_JSON,
    UnsoundBoardError,
    decode_board,
    encode_board,
    project_from,
)
from quiltboard.store.board_shape import BoardFile
from quiltboard.store.fabric_json import photo_owners
from quiltboard.store.fabric_shape import FabricEntry
from quiltboard.store.pictures import DamagedPictureError, png_size, without_damaged
from quiltboard.store.safe_write import StoreError, write_safely

SUFFIX: Final = ".quiltboard"
PREVIEW: Final = "board.png"
LARGEST_PICTURE: Final = 64_000_000
LARGEST_PREVIEW: Final = 8_000_000


class Opened(NamedTuple):
    """A board as it was opened.

    Attributes
    ----------
    project
        What it holds.
    notes
        A sentence for each picture that was damaged and is gone; mostly none.
    """

    project: Project
    notes: tuple[str, ...]


def save_board(
    project: Project, path: Path, previews: Mapping[str, bytes] | None = None
) -> None:
    """Write a project into a board file, whole or not at all.

    The same project and previews give the same bytes.

    Parameters
    ----------
    project
        What to keep; its pictures go in as they are.
    path
        The file; what was there is replaced only when all is written.
    previews
        Small PNGs by name; `PREVIEW` is the one that lists of recent boards show.

    Raises
    ------
    StoreError
        If it cannot be written, or could not be opened again.
    """
    name = plain_name(path.name)
    entries: dict[str, bytes] = {}
    try:
        entries["board.json"] = encode_board(project)
        entries |= {f"previews/{key}": png for key, png in (previews or {}).items()}
        owners = photo_owners(project.fabrics)
        for fabric in project.fabrics:
            for key, swatch in fabric.swatches.items():
                entries[_swatch_name(key)] = swatch.png
            if fabric.photo and owners[fabric.id] == fabric.id:
                entries[_photo_name(fabric.id)] = fabric.photo.jpeg
        data = pack(entries)
    except (UnsoundBoardError, ArchiveError) as error:
        raise StoreError(f"{name} was not saved: the quilt {error}.") from error
    write_safely(path, data)


def open_board(path: Path) -> Opened:
    """Open a board file, trusting nothing in it.

    A picture that is missing or damaged does not stop the board from opening: its fabric is
    shown in its plain colour, and a note says so. Anything else that is not sound does.

    Parameters
    ----------
    path
        The file; it is only read.

    Raises
    ------
    StoreError
        If it is not there, is no board, is damaged, is out of bounds, or was written by a newer
        Quiltboard. The message names the file and says what is wrong, in one sentence.
    """
    name = plain_name(path.name)
    try:
        with open_archive(path) as archive:
            board = decode_board(archive.read("board.json", LARGEST_JSON))
            return _with_pictures(archive, board)
    except (ArchiveError, UnsoundBoardError) as error:
        raise StoreError(f"{name} {error}.") from error
    except FileNotFoundError as error:
        raise StoreError(f"{name} is not there any more: look where it was moved.") from error
    except (OSError, ValueError) as error:
        why = plain_name(getattr(error, "strerror", None) or str(error))
        raise StoreError(f"{name} cannot be read: the disk said “{why}”.") from error


def preview(path: Path) -> bytes | None:
    """Give the small picture of a board file, or None if there is none to show.

    Nothing else in the file is read, so a list of recent boards is quickly filled.
    """
    try:
        with open_archive(path) as archive:
            png = archive.read(f"previews/{PREVIEW}", LARGEST_PREVIEW)
        width_px, height_px = png_size(png)
    except (ArchiveError, DamagedPictureError, OSError, ValueError):
        return None
    return png if 1 <= width_px <= 2048 and 1 <= height_px <= 2048 else None


def _swatch_name(fabric: str) -> str:
    return f"swatches/{fabric}.png"


def _photo_name(fabric: str) -> str:
    return f"photos/{fabric}.jpg"


def _with_pictures(archive: Archive, board: BoardFile) -> Opened:
    swatches = {key: _swatch_name(key) for f in board.fabrics for key in _swatch_keys(f)}
    photos = {f.photo.of: _photo_name(f.photo.of) for f in board.fabrics if f.photo}
    wanted = {*swatches.values(), *photos.values()}
    kept = {name for name in archive.names if name.startswith(("swatches/", "photos/"))}
    if not kept <= wanted:
        raise ArchiveError("holds a picture of no fabric: it is not opened")
    project = project_from(board, _read_all(archive, swatches), _read_all(archive, photos))
    fabrics: list[Fabric] = []
    notes: list[str] = []
    for entry, fabric in zip(board.fabrics, project.fabrics, strict=True):
        sound = without_damaged(fabric)
        if entry.swatch and not sound.swatch:
            notes.append(
                f"The picture of {fabric.name} is damaged in this file: it is shown in its "
                "plain colour until it is taken in again."
            )
        if entry.pool and sound.pool and len(sound.pool.more) < len(entry.pool.more):
            notes.append(
                f"Some pictures of {fabric.name} are damaged in this file: the others stay."
            )
        if entry.photo and not sound.photo:
            notes.append(
                f"The photo of {fabric.name} is damaged in this file: its corners cannot be "
                "dragged until it is taken in again."
            )
        fabrics.append(sound)
    return Opened(msgspec.structs.replace(project, fabrics=tuple(fabrics)), tuple(notes))


def _swatch_keys(entry: FabricEntry) -> list[str]:
    further = len(entry.pool.more) if entry.pool else 0
    own = [entry.id] if entry.swatch else []
    return own + [f"{entry.id}.{number}" for number in range(2, 2 + further)]


def _read_all(archive: Archive, names: Mapping[str, str]) -> dict[str, bytes]:
    """Read pictures by their keys, passing by those that are damaged."""
    read: dict[str, bytes] = {}
    for key, name in names.items():
        try:
            read[key] = archive.read(name, LARGEST_PICTURE)
        except DamagedEntryError:
            continue
    return read
