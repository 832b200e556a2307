"""Bring fabrics in: photos, folders of them, fabric lists, pasted pictures."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import msgspec

from quiltboard.fabrics.bring_in import (
    fabric_from_colour,
    fabric_from_photo,
    name_from_path,
    new_fabric_id,
    unique_name,
)
from quiltboard.fabrics.fabric import Amount, Fabric, FabricId
from quiltboard.fabrics.fabric_list import LIST_SUFFIXES, ListedFabric, read_fabric_list
from quiltboard.photos.decode import PHOTO_SUFFIXES, PhotoError
from quiltboard.project.edits import MOST_FABRICS

Source = Path | bytes
"""A photo, a folder, a fabric list, or an encoded picture from the clipboard."""

OTHER_PICTURES: Final = frozenset(
    {
        ".arw",
        ".bmp",
        ".cr2",
        ".dng",
        ".gif",
        ".jp2",
        ".jxl",
        ".nef",
        ".psd",
        ".svg",
        ".tif",
        ".tiff",
    }
)
"""Pictures of kinds that are not read. In a folder they are taken for photos all the same, so
that each is refused with a line that says what to do, and none is passed by in silence."""

DEEPEST_FOLDER: Final = 6
MOST_FILES: Final = 2000


@dataclass(frozen=True)
class Wanted:
    """One fabric to be made: from a photo, a pasted picture or a plain colour."""

    name: str
    photo: Path | bytes | None
    colour: str | None = None
    amounts: tuple[Amount, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Progress:
    """How far an errand is: so many done of so many, and what is at hand."""

    done: int
    total: int
    label: str


@dataclass(frozen=True)
class Brought:
    """What came of bringing fabrics in.

    Attributes
    ----------
    fabrics
        In the order in which they were asked for, names made unique.
    sources
        Beside each fabric, the photo it was made from, or None.
    problems
        A line for each thing that could not be brought in, and for what was decided on the way.
    """

    fabrics: tuple[Fabric, ...]
    sources: tuple[Path | None, ...]
    problems: tuple[str, ...]


def bring_in(
    sources: Sequence[Source],
    taken: Sequence[str] = (),
    *,
    send: Callable[[object], None] = lambda _item: None,
    should_stop: Callable[[], bool] = lambda: False,
    new_id: Callable[[], FabricId] = new_fabric_id,
) -> Brought:
    """Make fabrics of photos, folders, lists and pasted pictures; a bad one loses only itself.

    Parameters
    ----------
    sources
        What was dropped, chosen, pasted or named.
    taken
        Names that are on the shelf already.
    send
        Told of `Progress` before each one and of each `Fabric` when it is made.
    should_stop
        Asked before each one; what is made by then is handed over.
    new_id
        Where ids come from.
    """
    problems: list[str] = []
    wanted = list(_wanted(sources, problems))
    names = {name.casefold() for name in taken}
    fabrics: list[Fabric] = []
    origins: list[Path | None] = []
    for index, want in enumerate(wanted):
        if should_stop():
            problems.append(f"Stopped: {len(wanted) - index} were not brought in.")
            break
        if len(names) >= MOST_FABRICS:
            problems.append(
                f"A shelf holds at most {MOST_FABRICS} fabrics: "
                f"{len(wanted) - index} were not brought in."
            )
            break
        name = unique_name(want.name, names)
        send(Progress(index, len(wanted), name))
        try:
            fabric = _make(want, name, new_id())
        except PhotoError as error:
            problems.append(str(error))
            continue
        names.add(name.casefold())
        fabrics.append(fabric)
        origins.append(want.photo if isinstance(want.photo, Path) else None)
        send(fabric)
    return Brought(tuple(fabrics), tuple(origins), tuple(problems))


def _make(want: Wanted, name: str, fabric_id: FabricId) -> Fabric:
    if want.photo is None:
        fabric = fabric_from_colour(name, want.colour or "#808080", fabric_id)
    else:
        fabric = fabric_from_photo(want.photo, name, fabric_id)
    return msgspec.structs.replace(fabric, amounts=want.amounts, note=want.note)


def _wanted(sources: Sequence[Source], problems: list[str]) -> Iterator[Wanted]:
    for source in sources:
        if isinstance(source, bytes):
            yield Wanted("Pasted cloth", source)
        elif source.is_dir():
            yield from _from_folder(source, problems)
        elif source.suffix.lower() in LIST_SUFFIXES:
            rows, list_problems = read_fabric_list(source)
            problems.extend(list_problems)
            yield from (_from_row(row) for row in rows)
        else:
            yield Wanted(name_from_path(source), source)


def _from_row(row: ListedFabric) -> Wanted:
    return Wanted(row.name, row.photo, row.colour, row.amounts, row.note)


def _from_folder(folder: Path, problems: list[str]) -> Iterator[Wanted]:
    """Take every photo in a folder and the folders in it, by name; pass other files by.

    Pictures of a kind that is not read are taken too: to be refused by name.
    """
    found: list[Path] = []
    depth = len(folder.parts)
    for place, folders, files in os.walk(folder, onerror=lambda e: problems.append(_says(e))):
        here = Path(place)
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        if len(here.parts) - depth >= DEEPEST_FOLDER:
            folders.clear()
        found += [
            here / file
            for file in sorted(files)
            if not file.startswith(".")
            and Path(file).suffix.lower() in PHOTO_SUFFIXES | OTHER_PICTURES
        ]
        if len(found) > MOST_FILES:
            problems.append(
                f"{folder.name} holds more than {MOST_FILES} photos: the rest is left."
            )
            break
    if not found:
        problems.append(f"{folder.name} holds no photos.")
    for path in found[:MOST_FILES]:
        yield Wanted(name_from_path(path), path)


def _says(error: OSError) -> str:
    return f"{Path(str(error.filename)).name} cannot be opened: {error.strerror}."
