"""The stash: the maker's fabrics between boards, searched, compared, put by and taken out."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, NamedTuple

import msgspec
import numpy as np

from quiltboard.fabrics.fabric import Fabric, FabricId, Swatch
from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.fabrics.reading import Lab
from quiltboard.project.project import Project
from quiltboard.store.pictures import DamagedPictureError, png_size
from quiltboard.store.safe_write import StoreError
from quiltboard.store.settings import folders
from quiltboard.store.stash_entry import (
    StashEntry,
    digest,
    glance,
    glance_kept,
    read_entry,
    write_entry,
)
from quiltboard.store.stash_file import WAIT_S, StashFile
from quiltboard.store.stash_search import Query, StashRow, conditions, hue_of

FILE_NAME: Final = "stash.sqlite"

_ROW: Final = "id, revision, name, colour, value, a, b, print_mm, fabric, kept"
_AT_ONCE: Final = 500
"""SQLite takes so many values in one statement on every system."""


class StashChangedError(StoreError):
    """Another window has changed a fabric meanwhile; nothing was written over it.

    Attributes
    ----------
    latest
        The fabric as it is in the stash now; None where it was taken out.
    """

    def __init__(self, sentence: str, latest: StashEntry | None) -> None:
        super().__init__(sentence)
        self.latest = latest


class Alike(NamedTuple):
    """A fabric near another, and how far apart they look (CIEDE2000)."""

    row: StashRow
    apart: float


class BoardUse(NamedTuple):
    """A board that a fabric lies on the shelf of.

    Attributes
    ----------
    path
        Where the board was when it was last seen.
    title
        What it was called then.
    pieces
        How many wedges were laid from the fabric.
    seen
        When, in UTC as ISO 8601 writes it.
    """

    path: Path
    title: str
    pieces: int
    seen: str


class Stash:
    """The stash on this computer.

    Every call opens the file and closes it again (see `StashFile`), so one stash may be used
    from any thread and from any number of windows.

    Parameters
    ----------
    path
        Where it is kept; None for its place among this system's files.
    wait_s
        How long to wait for another window that writes.
    """

    def __init__(self, path: Path | None = None, *, wait_s: float = WAIT_S) -> None:
        self.path = path or folders().data / FILE_NAME
        self._file = StashFile(self.path, wait_s)

    def put(self, entry: StashEntry) -> StashEntry:
        """Put a fabric in, or what has changed about it.

        Parameters
        ----------
        entry
            As it was read, changed; its revision says what it was changed from, 0 for a fabric
            that is not in the stash yet.

        Returns
        -------
        StashEntry
            As it is in the stash now.

        Raises
        ------
        StashChangedError
            If another window changed it, put it in or took it out since it was read.
        StoreError
            If something in it is out of bounds, or it cannot be written.
        """
        written = write_entry(entry)
        with self._file.writing() as stash:
            known = stash.execute(
                "SELECT revision FROM fabrics WHERE id = ?", (written.id,)
            ).fetchone()
            if (known[0] if known else 0) != entry.revision:
                raise _changed(entry, self._read(stash, entry.fabric.id))
            now = msgspec.structs.replace(entry, revision=entry.revision + 1, updated=_moment())
            columns = {
                "revision": now.revision,
                "updated": now.updated,
                **written._asdict(),
            }
            del columns["pictures"]
            stash.execute(
                f"INSERT OR REPLACE INTO fabrics ({', '.join(columns)}) "  # noqa: S608 - ours
                f"VALUES ({', '.join('?' * len(columns))})",
                tuple(columns.values()),
            )
            before = _take_pictures_off(stash, written.id)
            for key, data in written.pictures.items():
                name = digest(data)
                stash.execute("INSERT OR IGNORE INTO pictures VALUES (?, ?)", (name, data))
                stash.execute(
                    "INSERT INTO fabric_pictures VALUES (?, ?, ?)", (written.id, key, name)
                )
            _drop_unused(stash, before)
        return now

    def keep(self, fabric: Fabric) -> StashEntry:
        """Put a board's fabric in; what only the stash knows of it (price, tags) stays.

        Raises
        ------
        StoreError
            As `put` does.
        """
        known = self.get(fabric.id)
        return self.put(
            StashEntry(fabric)
            if known is None
            else msgspec.structs.replace(known, fabric=fabric)
        )

    def remove(self, fabric: FabricId) -> StashEntry | None:
        """Take a fabric out.

        Returns
        -------
        StashEntry or None
            What was taken out, ready to be put back; None if it was gone already.

        Raises
        ------
        StoreError
            If it cannot be read or written.
        """
        with self._file.writing() as stash:
            gone = self._read(stash, fabric)
            stash.execute("DELETE FROM fabrics WHERE id = ?", (fabric,))
            _drop_unused(stash, _take_pictures_off(stash, fabric))
        return gone and msgspec.structs.replace(gone, revision=0)

    def get(self, fabric: FabricId) -> StashEntry | None:
        """Give a fabric with its pictures; None if it is not in the stash.

        Raises
        ------
        StoreError
            If it cannot be read.
        """
        with self._file.reading() as stash:
            return self._read(stash, fabric)

    def count(self) -> int:
        """Tell how many fabrics there are.

        Raises
        ------
        StoreError
            If the stash cannot be read.
        """
        with self._file.reading() as stash:
            return int(stash.execute("SELECT count(*) FROM fabrics").fetchone()[0])

    def search(self, query: Query | None = None) -> tuple[StashRow, ...]:
        """Find fabrics, the lightest first; without a query, all of them. Reads no pictures.

        Raises
        ------
        StoreError
            If the stash cannot be read.
        """
        query = query or Query()
        where, asked = conditions(query)
        with self._file.reading() as stash:
            stash.create_function("hue_of", 3, _hue_of, deterministic=True)
            found = stash.execute(
                f"SELECT {_ROW} FROM fabrics WHERE {where} "  # noqa: S608 - values are bound
                "ORDER BY value DESC, folded, id LIMIT ?",
                (*asked, query.limit),
            ).fetchall()
        return tuple(_row(*row) for row in found)

    def rows(self, fabrics: Iterable[FabricId]) -> dict[FabricId, StashRow]:
        """Give the rows of some fabrics; those that are gone are left out.

        Raises
        ------
        StoreError
            If the stash cannot be read.
        """
        with self._file.reading() as stash:
            return {row.id: row for row in _rows(stash, list(fabrics))}

    def nearest(self, to: Lab | FabricId, k: int = 8) -> tuple[Alike, ...]:
        """Find what comes nearest to a colour, or to a fabric of the stash.

        Parameters
        ----------
        to
            CIE L*a*b* (D65), or a fabric, which is itself left out.
        k
            How many.

        Returns
        -------
        tuple of Alike
            The nearest first; none where the fabric is gone.

        Raises
        ------
        StoreError
            If the stash cannot be read.

        References
        ----------
        Sharma, Wu and Dalal 2005, doi 10.1002/col.20070 (CIEDE2000).
        """
        with self._file.reading() as stash:
            known = stash.execute("SELECT id, value, a, b FROM fabrics").fetchall()
            if isinstance(to, str):
                own = next((row[1:] for row in known if row[0] == to), None)
                known = [row for row in known if row[0] != to]
            else:
                own = to
            if own is None or not known:
                return ()
            apart = delta_e_2000(np.array([row[1:] for row in known]), np.array([own]))
            order = np.argsort(apart, kind="stable")[:k].tolist()
            rows = {row.id: row for row in _rows(stash, [known[at][0] for at in order])}
        return tuple(Alike(rows[known[at][0]], float(apart[at])) for at in order)

    def swatches(self, fabrics: Iterable[FabricId]) -> dict[FabricId, Swatch]:
        """Give the swatches of some fabrics, for a list; those without are left out.

        Raises
        ------
        StoreError
            If the stash cannot be read.
        """
        found: dict[FabricId, Swatch] = {}
        with self._file.reading() as stash:
            for fabric in fabrics:
                row = stash.execute(
                    "SELECT f.fabric, p.data FROM fabrics f "
                    "JOIN fabric_pictures o ON o.fabric = f.id AND o.key = f.id "
                    "JOIN pictures p ON p.digest = o.digest WHERE f.id = ?",
                    (fabric,),
                ).fetchone()
                seen = glance(row[0]).swatch_size if row else None
                if seen is not None and _is_png(row[1], seen[:2]):
                    found[fabric] = Swatch(row[1], *seen)
        return found

    def note_board(self, path: Path, project: Project) -> None:
        """Note which fabrics a board has on its shelf; call it when one is opened or saved.

        Raises
        ------
        StoreError
            If it cannot be written.
        """
        laid = Counter(cell for block in project.board.blocks for cell in block.cells)
        place, now = str(path.absolute()), _moment()
        with self._file.writing() as stash:
            stash.execute("DELETE FROM boards WHERE path = ?", (place,))
            stash.executemany(
                "INSERT INTO boards (fabric, path, title, pieces, seen) VALUES (?, ?, ?, ?, ?)",
                [
                    (fabric.id, place, project.title, laid[fabric.id], now)
                    for fabric in project.fabrics
                ],
            )

    def boards_using(self, fabric: FabricId) -> tuple[BoardUse, ...]:
        """Tell which boards have a fabric on their shelf, the last seen first.

        Raises
        ------
        StoreError
            If the stash cannot be read.
        """
        with self._file.reading() as stash:
            found = stash.execute(
                "SELECT path, title, pieces, seen FROM boards WHERE fabric = ? "
                "ORDER BY seen DESC, path",
                (fabric,),
            ).fetchall()
        return tuple(BoardUse(Path(path), *more) for path, *more in found)

    def _read(self, stash: sqlite3.Connection, fabric: FabricId) -> StashEntry | None:
        row = stash.execute(
            "SELECT fabric, kept, shape, revision, updated FROM fabrics WHERE id = ?", (fabric,)
        ).fetchone()
        if row is None:
            return None
        written, kept, shape, revision, updated = row
        pictures = stash.execute(
            "SELECT o.key, p.data FROM fabric_pictures o "
            "JOIN pictures p ON p.digest = o.digest WHERE o.fabric = ?",
            (fabric,),
        )
        return read_entry(written, kept, shape, dict(pictures), revision, updated)


def _changed(entry: StashEntry, latest: StashEntry | None) -> StashChangedError:
    name = entry.fabric.name
    if latest is None:
        sentence = f"{name} was taken out of the stash in another window meanwhile."
    elif entry.revision == 0:
        sentence = f"{name} is in the stash already, as {latest.fabric.name}."
    else:
        sentence = (
            f"{name} was changed in another window meanwhile: look at it as it is now, and "
            "change it again."
        )
    return StashChangedError(sentence, latest)


def _take_pictures_off(stash: sqlite3.Connection, fabric: str) -> list[tuple[bytes]]:
    """Take a fabric's pictures off it; tell which they were."""
    had = stash.execute("SELECT digest FROM fabric_pictures WHERE fabric = ?", (fabric,))
    names: list[tuple[bytes]] = had.fetchall()
    stash.execute("DELETE FROM fabric_pictures WHERE fabric = ?", (fabric,))
    return names


def _drop_unused(stash: sqlite3.Connection, names: list[tuple[bytes]]) -> None:
    """Let go of those pictures that no fabric has any more."""
    stash.executemany(
        "DELETE FROM pictures WHERE digest = ?1 "
        "AND NOT EXISTS (SELECT 1 FROM fabric_pictures WHERE digest = ?1)",
        names,
    )


def _rows(stash: sqlite3.Connection, fabrics: Sequence[FabricId]) -> list[StashRow]:
    found: list[StashRow] = []
    for at in range(0, len(fabrics), _AT_ONCE):
        some = fabrics[at : at + _AT_ONCE]
        asked = f"SELECT {_ROW} FROM fabrics WHERE id IN ({', '.join('?' * len(some))})"  # noqa: S608
        found += [_row(*row) for row in stash.execute(asked, some)]
    return found


def _row(
    fabric: str,
    revision: int,
    name: str,
    colour: str,
    value: float,
    a: float,
    b: float,
    print_mm: float | None,
    written: bytes,
    kept: bytes,
) -> StashRow:
    seen, told = glance(written), glance_kept(kept)
    lab = (value, a, b)
    return StashRow(
        FabricId(fabric),
        revision,
        name,
        colour,
        lab,
        print_mm,
        seen.amounts,
        told.scraps,
        told.tags,
    )


def _is_png(data: bytes, size: tuple[int, int]) -> bool:
    try:
        return png_size(data) == size
    except DamagedPictureError:
        return False


def _hue_of(value: float, a: float, b: float) -> str:
    return hue_of((value, a, b))


def _moment() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
