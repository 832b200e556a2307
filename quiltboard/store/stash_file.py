"""The file the stash is kept in: opened for a moment, brought up, guarded, never thrown away.

References
----------
SQLite, "Rollback journal" and "Result and error codes", https://sqlite.org/rescode.html.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, Literal

from quiltboard.photos.opening import plain_name
from quiltboard.store.safe_write import StoreError, reason
from quiltboard.store.stash_schema import MIGRATIONS, TABLES, VERSION

WAIT_S: Final = 5.0
"""How long a window waits for another one to finish writing."""
MOST_BACKUPS: Final = 5

_LARGEST_VALUE: Final = 64_000_000
_DAMAGED: Final = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_WHY: Final = {
    sqlite3.SQLITE_BUSY: "another window is writing in it: wait a moment and try again",
    sqlite3.SQLITE_LOCKED: "another window is writing in it: wait a moment and try again",
    sqlite3.SQLITE_FULL: "there is no room left on that disk: free some and try again",
    sqlite3.SQLITE_READONLY: "it may only be read: let its folder and file be written in",
    sqlite3.SQLITE_PERM: "it may not be opened: let its folder and file be read",
    sqlite3.SQLITE_CANTOPEN: "it cannot be opened: look whether its folder may be written in",
    sqlite3.SQLITE_IOERR: "the disk does not work as it should: look after it",
    sqlite3.SQLITE_TOOBIG: "a picture is too large for it: take a smaller one",
}


class StashDamagedError(StoreError):
    """The stash was damaged and lies aside; a new one was begun. Its message says where."""


class _Damage(Exception):  # noqa: N818 - what was found, not yet what is told
    """What is in the file is no stash."""


class StashFile:
    """The stash's file.

    Every use opens a connection of its own and closes it again, so any thread and any number of
    windows may use one stash. A rollback journal is kept rather than a write-ahead log: writing
    is rare and takes milliseconds, so nothing is gained by reading beside it, while the stash
    stays one file that can be copied, backed up and set aside, lies well on a network disk,
    and can be read where nothing may be written. A writer takes the file from the first moment
    (``BEGIN IMMEDIATE``), so two windows wait for one another and never meet half-way; one that
    was killed leaves its journal, from which the next one takes everything back.

    Parameters
    ----------
    path
        Where it is, or will be.
    wait_s
        How long to wait for another window.
    """

    def __init__(self, path: Path, wait_s: float = WAIT_S) -> None:
        self.path = path
        self._wait_s = wait_s

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Read in one go, as the stash was at one moment; looking alone makes no file.

        Raises
        ------
        StoreError
            If it cannot be read.
        """
        with self._open("BEGIN", begun=self._is_there()) as stash:
            yield stash

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Write all or nothing.

        Raises
        ------
        StoreError
            If it cannot be written; nothing was changed.
        """
        with suppress(OSError):  # connecting says why
            self.path.parent.mkdir(parents=True, exist_ok=True)
        with self._open("BEGIN IMMEDIATE", begun=True) as stash:
            yield stash

    @contextmanager
    def _open(
        self, begin: Literal["BEGIN", "BEGIN IMMEDIATE"], *, begun: bool
    ) -> Iterator[sqlite3.Connection]:
        try:
            with closing(self._connect() if begun else self._nothing()) as stash:
                self._bring_up(stash)
                stash.execute(begin)
                yield stash
                stash.execute("COMMIT")
        except _Damage as damage:
            raise self._set_aside() from damage
        except sqlite3.Error as error:
            if _code(error) in _DAMAGED:
                raise self._set_aside() from error
            raise StoreError(f"The stash was not reached: {_why(error)}.") from error

    def _connect(self) -> sqlite3.Connection:
        stash = sqlite3.connect(self.path, timeout=self._wait_s, isolation_level=None)
        stash.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LARGEST_VALUE)
        return stash

    def _nothing(self) -> sqlite3.Connection:
        """Give an empty stash in memory, for one that nothing was put in yet."""
        return sqlite3.connect(":memory:", isolation_level=None)

    def _is_there(self) -> bool:
        try:
            return self.path.exists()
        except OSError:  # connecting says why
            return True

    def _bring_up(self, stash: sqlite3.Connection) -> None:
        """Take the file to the present version, step by step; mostly it is there already."""
        new = _version(stash) == 0
        while (version := _version(stash)) < VERSION:
            stash.execute("BEGIN IMMEDIATE")
            if _version(stash) == version:  # no other window was quicker
                if not new:
                    self._back_up(version)
                MIGRATIONS[version](stash)
                stash.execute(f"PRAGMA user_version = {version + 1}")
            stash.execute("COMMIT")
        if version > VERSION:
            raise StoreError(
                f"The stash was written by a newer Quiltboard (version {version}) and is left "
                "untouched: update to open it."
            )

    def _back_up(self, version: int) -> None:
        """Copy the file beside itself, as it is before it is changed."""
        kept = self._beside(f"-v{version}-", ".backup")
        try:
            with closing(self._connect()) as source, closing(sqlite3.connect(kept)) as copy:
                source.backup(copy)
        except sqlite3.Error:
            kept.unlink(missing_ok=True)
            raise
        pattern = f"{self.path.stem}-v*-*.backup{self.path.suffix}"
        stamped = sorted(self.path.parent.glob(pattern), key=_stamp)
        for old in stamped[:-MOST_BACKUPS]:
            with suppress(OSError):
                old.unlink()

    def _set_aside(self) -> StoreError:
        """Move what is damaged out of the way, and begin anew; tell what was done."""
        if self._is_sound():  # another window has done it meanwhile
            return StashDamagedError(
                "The stash was damaged and another window has set it aside: try again."
            )
        aside = self._beside("-damaged-")
        try:
            self.path.replace(aside)
            journal = self.path.with_name(f"{self.path.name}-journal")
            if journal.exists():
                journal.replace(aside.with_name(f"{aside.name}-journal"))
        except OSError as error:
            return StoreError(
                f"The stash is damaged and cannot be moved out of the way: {reason(error)}."
            )
        with self.writing():
            pass
        return StashDamagedError(
            f"The stash was damaged: it is kept as {plain_name(aside.name)}, and a new one was "
            "begun. Copies from before an update may lie beside it."
        )

    def _is_sound(self) -> bool:
        try:
            with closing(self._connect()) as stash:
                _version(stash)
                return bool(stash.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok")
        except _Damage:
            return False
        except sqlite3.Error as error:  # one that is only held by another window is no damage
            return _code(error) not in _DAMAGED

    def _beside(self, mark: str, ending: str = "") -> Path:
        """Give a free name beside the file, with the time in it."""
        stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
        stem, suffix = f"{self.path.stem}{mark}{stamp}", f"{ending}{self.path.suffix}"
        path, number = self.path.with_name(stem + suffix), 2
        while path.exists():
            path, number = self.path.with_name(f"{stem}-{number}{suffix}"), number + 1
        return path


def _version(stash: sqlite3.Connection) -> int:
    """Tell a stash's version; 0 is a file that nothing was written in yet."""
    version = int(stash.execute("PRAGMA user_version").fetchone()[0])
    names = {name for (name,) in stash.execute("SELECT name FROM sqlite_master")}
    if version < 0 or (version and not names >= TABLES) or (not version and names):
        raise _Damage
    return version


def _stamp(backup: Path) -> str:
    """Give the time in a backup's name, which the version stands before."""
    return backup.name.rpartition("-v")[2].partition("-")[2]


def _code(error: sqlite3.Error) -> int:
    """Give the primary result code; 0 where Python itself refused."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def _why(error: sqlite3.Error) -> str:
    return _WHY.get(_code(error), f"the disk said “{plain_name(str(error))}”")
