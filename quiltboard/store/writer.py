"""Writing a journal's records in a thread, so that pictures and slow disks hold nobody up."""

from __future__ import annotations

import errno
import os
from queue import SimpleQueue
from threading import Event, Thread
from typing import IO, Final

import msgspec

from quiltboard.store.records import LARGEST_JOURNAL, MAGIC, Begun, Record, framed
from quiltboard.store.safe_write import StoreError, reason

_SYNC: Final = "sync"


class RecordWriter:
    """Writes records to an open file one after another, in the order in which they come.

    Once a write fails, what comes after it is passed by until a record begins anew.

    Attributes
    ----------
    failed
        Whether a write has failed since the journal was begun.
    """

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._size = 0
        self._problem: StoreError | None = None
        self._work: SimpleQueue[Record | str | Event | None] = SimpleQueue()
        self._stopping = False
        self.failed = False
        self._thread = Thread(target=self._run, name="journal", daemon=True)
        self._thread.start()

    def write(self, record: Record) -> None:
        """Write a record soon; one that begins anew takes the place of all before it."""
        self._work.put(record)

    def sync(self) -> None:
        """Make what was written last through a power cut, soon."""
        self._work.put(_SYNC)

    def settle(self) -> None:
        """Wait until all that was asked for is done."""
        done = Event()
        self._work.put(done)
        done.wait()

    def stop(self) -> None:
        """Write nothing more, and wait until the file is let go."""
        self._stopping = True
        self._work.put(None)
        self._thread.join()

    def raise_problem(self) -> None:
        """Say once what has gone wrong since it was last asked.

        Raises
        ------
        StoreError
            If something has.
        """
        problem, self._problem = self._problem, None
        if problem is not None:
            raise problem

    def _run(self) -> None:
        while (task := self._work.get()) is not None:
            if isinstance(task, Event):
                task.set()
            elif not self._stopping:
                try:
                    self._do(task)
                except (OSError, ValueError, OverflowError, msgspec.MsgspecError) as error:
                    self.failed = True
                    self._problem = no_journal(error)

    def _do(self, task: Record | str) -> None:
        if isinstance(task, Begun):
            self.failed, self._size = False, 0
            self._file.seek(0)
            self._file.truncate()
            self._write_all(MAGIC)
        if self.failed:
            return
        if isinstance(task, str):
            os.fsync(self._file.fileno())
        else:
            self._write_all(*framed(task))

    def _write_all(self, *parts: bytes) -> None:
        self._size += sum(map(len, parts))
        if self._size > LARGEST_JOURNAL:
            raise OSError(errno.EFBIG, "the journal is full")
        for part in parts:
            rest = memoryview(part)
            while rest:
                rest = rest[self._file.write(rest) :]


def no_journal(error: Exception) -> StoreError:
    """Say why no journal can be kept."""
    why = reason(error) if isinstance(error, OSError) else "a name or number is too strange"
    return StoreError(
        f"A crash would lose unsaved work, as the recovery journal cannot be kept: {why}."
    )
