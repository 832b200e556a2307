"""Bring fabrics in: photos, folders of them, fabric lists, pasted pictures."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import msgspec

from quiltboard.errands.hands import BrokenHandError, in_order
from quiltboard.fabrics.bring_in import (
    fabric_from_colour,
    fabrics_from_photo,
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
    """What is to be made: from a photo, a pasted picture, a plain colour.

    A row of a fabric list is one fabric, whatever lies in its photo.
    """

    name: str
    photo: Path | bytes | None
    colour: str | None = None
    amounts: tuple[Amount, ...] = ()
    note: str = ""
    listed: bool = False


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
    hands: int | None = None,
) -> Brought:
    """Make fabrics of photos, folders, lists and pasted pictures; a bad one loses only itself.

    A photo of several cloths makes several fabrics. Many photos are worked on by all cores.

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
    hands
        How many processes work; None for as many as there are cores.
    """
    fabrics: list[Fabric] = []
    origins: list[Path | None] = []

    def keep(fabric: Fabric, origin: Path | None) -> None:
        fabrics.append(fabric)
        origins.append(origin)
        send(fabric)

    shelf = _Shelf(taken, new_id, keep)
    problems = _fill(shelf, sources, send, should_stop, hands)
    return Brought(tuple(fabrics), tuple(origins), tuple(problems))


def stream_in(
    sources: Sequence[Source],
    taken: Sequence[str] = (),
    *,
    send: Callable[[object], None],
    should_stop: Callable[[], bool],
    hands: int | None = None,
) -> tuple[str, ...]:
    """Bring fabrics in without holding on to them: each is sent, and the problems given.

    The parameters are those of `bring_in`.
    """
    shelf = _Shelf(taken, new_fabric_id, lambda fabric, _origin: send(fabric))
    return tuple(_fill(shelf, sources, send, should_stop, hands))


class _Shelf:
    """Names and numbers fabrics as they come, as long as there is room."""

    def __init__(
        self,
        taken: Sequence[str],
        new_id: Callable[[], FabricId],
        keep: Callable[[Fabric, Path | None], None],
    ) -> None:
        self._names = {name.casefold() for name in taken}
        self._new_id = new_id
        self._keep = keep

    @property
    def full(self) -> bool:
        """Whether no more fabrics have room."""
        return len(self._names) >= MOST_FABRICS

    def put(self, fabric: Fabric, want: Wanted) -> None:
        """Keep a fabric under a name and an id that are free."""
        name = unique_name(fabric.name, self._names)
        self._names.add(name.casefold())
        named = msgspec.structs.replace(
            fabric, id=self._new_id(), name=name, amounts=want.amounts, note=want.note
        )
        self._keep(named, want.photo if isinstance(want.photo, Path) else None)


def _fill(
    shelf: _Shelf,
    sources: Sequence[Source],
    send: Callable[[object], None],
    should_stop: Callable[[], bool],
    hands: int | None,
) -> list[str]:
    """Put all that is wanted on the shelf; give a line for each thing that could not be."""
    problems: list[str] = []
    wanted = list(_wanted(sources, problems))
    making = in_order(_make, wanted, hands=hands, should_stop=should_stop)
    for index, want in enumerate(wanted):
        left = len(wanted) - index
        if shelf.full:
            problems.append(
                f"A shelf holds at most {MOST_FABRICS} fabrics: {left} were not brought in."
            )
            break
        send(Progress(index, len(wanted), want.name))
        made = next(making, None)
        if made is None:
            problems.append(f"Stopped: {left} were not brought in.")
            break
        if isinstance(made, BrokenHandError):
            problems.append(
                f"{want.name}: reading it took more memory than there is; save a smaller copy"
            )
        elif isinstance(made, str):
            problems.append(made)
        else:
            problems.extend(_put_all(shelf, made, want))
    return problems


def _put_all(shelf: _Shelf, made: Sequence[Fabric], want: Wanted) -> Iterator[str]:
    """Put the cloths of one photo on the shelf; say where there were several, or no room."""
    if len(made) > 1:
        yield (
            f"{want.name}: {len(made)} cloths were found in one photo and cut apart. Their "
            "outlines can be corrected under Fabrics."
        )
    for number, fabric in enumerate(made):
        if shelf.full:
            yield (
                f"A shelf holds at most {MOST_FABRICS} fabrics: {len(made) - number} of "
                f"{want.name} were not brought in."
            )
            return
        shelf.put(fabric, want)


def _make(want: Wanted) -> tuple[Fabric, ...] | str:
    """Make the fabrics of one photo or colour; a sentence says why not."""
    try:
        if want.photo is None:
            colour = want.colour or "#808080"
            return (fabric_from_colour(want.name, colour, new_fabric_id()),)
        return fabrics_from_photo(want.photo, want.name, several=not want.listed)
    except PhotoError as error:
        return str(error)


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
    return Wanted(row.name, row.photo, row.colour, row.amounts, row.note, listed=True)


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
