"""The recovery journal: every edit is written as it is made, so that a crash loses little.

Each window keeps a journal of its own, locked while it lives. One that is left over and that
nobody locks was left by a crash. Saving does not shorten it, so that undoing past the last save
can be followed as well; a clean end removes it.
"""

from __future__ import annotations

import os
import secrets
import time
from contextlib import suppress
from pathlib import Path
from typing import IO, Final

from quiltboard.project.edits import Edit
from quiltboard.project.project import Project
from quiltboard.store.lock import take_lock
from quiltboard.store.records import (
    Begun,
    Did,
    Record,
    Redid,
    Saved,
    Undid,
)
from quiltboard.store.writer import RecordWriter, no_journal

SUFFIX: Final = ".journal"
SYNC_EVERY_S: Final = 1.0


class Journal:
    """The journal of one window.

    Writing goes on in a thread of its own, in order; no call waits for the disk but `settle`
    and `close`. Once a write fails the next call says so with one `StoreError`; then the
    journal keeps silent until it is rebased, and further notes do nothing. Keep it and close it
    as any other, or its remains would be offered as the work of a crash.
    """

    def __init__(self, path: Path, file: IO[bytes]) -> None:
        self._path = path
        self._file: IO[bytes] | None = file
        self._writer = RecordWriter(file)
        self._unsynced = False
        self._synced_at = time.monotonic()

    @classmethod
    def start(
        cls, folder: Path, base: Project, board_path: Path | None, *, saved: bool = True
    ) -> Journal:
        """Begin a journal of edits to a project.

        Parameters
        ----------
        folder
            Where journals are kept; made if it is not there.
        base
            The project as it is.
        board_path
            The board file it lives in; None if it has none yet.
        saved
            Whether all of it is in that file, or it is bare; False for work that was recovered
            and is in no file.

        Raises
        ------
        StoreError
            If there can be none in that folder; work can go on without one.
        """
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path, file = _new_file(folder)
        except OSError as error:
            raise no_journal(error) from error
        journal = cls(path, file)
        journal.rebase(base, board_path, saved=saved)
        return journal

    @property
    def path(self) -> Path:
        """Where it is kept."""
        return self._path

    def append(self, edit: Edit) -> None:
        """Note an edit that was made.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        self._note(Did(time.time(), edit))

    def undo(self) -> None:
        """Note that the last edit was undone.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        self._note(Undid(time.time()))

    def redo(self) -> None:
        """Note that the edit undone last was made again.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        self._note(Redid(time.time()))

    def mark_saved(self, board_path: Path) -> None:
        """Note that all of it is in a board file now; edits before that can still be undone.

        A journal that cannot be written any more is removed: what it holds is in the file.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        if self._writer.failed:
            self.close()
        self._note(Saved(time.time(), os.fspath(board_path)))

    def rebase(self, project: Project, board_path: Path | None, *, saved: bool = True) -> None:
        """Begin anew with another project; edits before it are forgotten.

        After a save of the same project use `mark_saved`: undoing past it can then be followed.

        Parameters
        ----------
        project, board_path, saved
            As in `start`.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        where = None if board_path is None else os.fspath(board_path)
        self._note(Begun(time.time(), project, where, saved))

    def flush_due(self) -> bool:
        """See that what was noted will last through a power cut; for a timer of about a second.

        Returns
        -------
        bool
            Whether it was due, and is under way.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        self._writer.raise_problem()
        now = time.monotonic()
        due = self._unsynced and now - self._synced_at >= SYNC_EVERY_S
        if due and self._file is not None:
            self._unsynced, self._synced_at = False, now
            self._writer.sync()
        return due

    def settle(self) -> None:
        """Wait until all that was noted is written.

        Raises
        ------
        StoreError
            If a write failed since the last call.
        """
        if self._file is not None:
            self._writer.settle()
        self._writer.raise_problem()

    def close(self) -> None:
        """End cleanly: nothing is left to recover. Closing twice does no harm."""
        if self._file is not None:
            self._writer.stop()
            remove_journal(self._path, self._file)
            self._file = None
            self._unsynced = False

    def _note(self, record: Record) -> None:
        if self._file is not None:
            self._writer.write(record)
            self._unsynced = True
        self._writer.raise_problem()


def _new_file(folder: Path) -> tuple[Path, IO[bytes]]:
    """Make a journal of our own and lock it."""
    while True:
        path = folder / f"{os.getpid()}-{secrets.token_hex(8)}{SUFFIX}"
        file = path.open("x+b", buffering=0)
        # Another window that looks for leftovers may have come between and taken it away.
        if take_lock(file.fileno()) != "busy" and os.fstat(file.fileno()).st_nlink:
            return path, file
        file.close()


def remove_journal(path: Path, file: IO[bytes]) -> None:
    """Remove a journal while it is locked; where open files cannot be removed, just after."""
    with suppress(OSError):
        path.unlink()
    with suppress(OSError):
        file.close()
    with suppress(OSError):
        path.unlink(missing_ok=True)
