"""The recovery journal: every edit is on disk when it is made, so that a crash loses little.

Each window keeps a journal of its own, locked while it lives. One that is left over and that
nobody locks was left by a crash. Saving does not shorten it, so that undoing past the last save
can be followed as well; a clean end removes it.
"""

from __future__ import annotations

import errno
import os
import secrets
import time
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import IO, Final

from quiltboard.project.edits import Edit
from quiltboard.project.project import Project
from quiltboard.store.lock import take_lock
from quiltboard.store.records import (
    LARGEST_JOURNAL,
    MAGIC,
    Begun,
    Did,
    Record,
    Redid,
    Saved,
    Undid,
    framed,
)
from quiltboard.store.safe_write import StoreError, reason

SUFFIX: Final = ".journal"
SYNC_EVERY_S: Final = 1.0


class Journal:
    """The journal of one window.

    Once a write fails it says so with one `StoreError`, then keeps silent until it is rebased:
    further notes do nothing. Keep it and close it as any other, or its remains would be offered
    as the work of a crash.
    """

    def __init__(self, path: Path, file: IO[bytes]) -> None:
        self._path = path
        self._file: IO[bytes] | None = file
        self._guard = Lock()
        self._size = 0
        self._failed = False
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
            If it cannot be written; work can go on without one.
        """
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path, file = _new_file(folder)
        except OSError as error:
            raise _no_journal(error) from error
        journal = cls(path, file)
        try:
            journal.rebase(base, board_path, saved=saved)
        except StoreError:
            journal.close()
            raise
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
            If it cannot be written.
        """
        self._note(Did(time.time(), edit))

    def undo(self) -> None:
        """Note that the last edit was undone.

        Raises
        ------
        StoreError
            If it cannot be written.
        """
        self._note(Undid(time.time()))

    def redo(self) -> None:
        """Note that the edit undone last was made again.

        Raises
        ------
        StoreError
            If it cannot be written.
        """
        self._note(Redid(time.time()))

    def mark_saved(self, board_path: Path) -> None:
        """Note that all of it is in a board file now; edits before that can still be undone.

        A journal that cannot be written any more is removed: what it holds is in the file.

        Raises
        ------
        StoreError
            If it cannot be written.
        """
        if self._failed:
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
            If it cannot be written.
        """
        if self._file is None:
            return
        self._failed = False
        try:
            self._file.seek(0)
            self._file.truncate()
        except OSError as error:
            self._failed = True
            raise _no_journal(error) from error
        self._size = 0
        where = None if board_path is None else os.fspath(board_path)
        self._note(Begun(time.time(), project, where, saved), MAGIC)

    def flush_due(self) -> bool:
        """Make what was noted last through a power cut; for a timer of about a second.

        May be called from another thread: a slow disk then holds nobody up.

        Returns
        -------
        bool
            Whether it was due, and is done.

        Raises
        ------
        StoreError
            If it cannot be written.
        """
        with self._guard:
            now = time.monotonic()
            if self._file is None or self._failed or not self._unsynced:
                return False
            if now - self._synced_at < SYNC_EVERY_S:
                return False
            self._unsynced, self._synced_at = False, now
            handle = os.dup(self._file.fileno())
        try:
            os.fsync(handle)
        except OSError as error:
            self._failed = True
            raise _no_journal(error) from error
        finally:
            os.close(handle)
        return True

    def close(self) -> None:
        """End cleanly: nothing is left to recover. Closing twice does no harm."""
        with self._guard:
            if self._file is None:
                return
            remove_journal(self._path, self._file)
            self._file = None

    def _note(self, record: Record, before: bytes = b"") -> None:
        if self._failed or self._file is None:
            return
        try:
            data = before + framed(record)
            _write_all(self._file, data, room=LARGEST_JOURNAL - self._size)
        except (OSError, UnicodeEncodeError) as error:
            self._failed = True
            raise _no_journal(error) from error
        self._size += len(data)
        self._unsynced = True


def _write_all(file: IO[bytes], data: bytes, room: int) -> None:
    if len(data) > room:
        raise OSError(errno.EFBIG, "the journal is full")
    rest = memoryview(data)
    while rest:
        rest = rest[file.write(rest) :]


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


def _no_journal(error: OSError | UnicodeEncodeError) -> StoreError:
    why = reason(error) if isinstance(error, OSError) else "a name holds a strange sign"
    return StoreError(
        f"A crash would lose unsaved work, as the recovery journal cannot be kept: {why}."
    )
