"""The records of a recovery journal: how each is framed, and what a row of them adds up to."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Final

import msgspec

from quiltboard.project.edits import Edit
from quiltboard.project.project import Project

MAGIC: Final = b"Quiltboard journal 1\n"
LARGEST_JOURNAL: Final = 1_000_000_000

_FRAME: Final = struct.Struct("<II")


class Begun(msgspec.Struct, frozen=True, tag=True):
    """The project that the edits after it start from, and the file it lives in."""

    when: float
    project: Project
    path: str | None
    saved: bool


class Did(msgspec.Struct, frozen=True, tag=True):
    """An edit was made."""

    when: float
    edit: Edit


class Undid(msgspec.Struct, frozen=True, tag=True):
    """The last edit was undone."""

    when: float


class Redid(msgspec.Struct, frozen=True, tag=True):
    """The edit that was undone last was made again."""

    when: float


class Saved(msgspec.Struct, frozen=True, tag=True):
    """All of it was saved."""

    when: float
    path: str


Record = Begun | Did | Undid | Redid | Saved


class DamagedJournalError(ValueError):
    """A journal without a whole beginning."""


@dataclass
class Trail:
    """What a row of records adds up to.

    Attributes
    ----------
    base
        Where the edits start from.
    edits
        All that can be undone, then all that can be redone.
    done
        How many of them stand.
    saved_at
        How many stood when it was saved last; None if that state cannot be reached any more.
    path
        The board file.
    when
        The time of the last record, in seconds since 1970.
    lost
        How many records could not be read, at least.
    """

    base: Project
    path: Path | None
    when: float
    saved_at: int | None
    edits: list[Edit] = field(default_factory=list)
    done: int = 0
    lost: int = 0

    @property
    def unsaved(self) -> bool:
        """Whether it holds work that is in no file."""
        return self.done != self.saved_at

    def follow(self, record: Record) -> bool:
        """Take one more record into account; False if it does not fit those before it."""
        if isinstance(record, Begun):
            return False
        if isinstance(record, Did):
            if self.saved_at is not None and self.saved_at > self.done:
                self.saved_at = None
            self.edits[self.done :] = [record.edit]
            self.done += 1
        elif isinstance(record, Undid):
            if self.done == 0:
                return False
            self.done -= 1
        elif isinstance(record, Redid):
            if self.done == len(self.edits):
                return False
            self.done += 1
        else:
            self.saved_at, self.path = self.done, Path(record.path)
        self.when = record.when
        return True


def framed(record: Record) -> tuple[bytes, bytes]:
    """Give a record as it stands in a journal: its length and check sum, then itself."""
    packed = msgspec.msgpack.encode(record)
    return _FRAME.pack(len(packed), zlib.crc32(packed)), packed


def read_trail(file: IO[bytes], size: int) -> Trail:
    """Read a journal from its start, up to the first record that is not whole.

    Parameters
    ----------
    file
        An open journal.
    size
        How many bytes it has.

    Raises
    ------
    DamagedJournalError
        If not even its beginning can be read.
    OSError
        If the disk does not let it be read.
    """
    file.seek(0)
    if file.read(len(MAGIC)) != MAGIC or size > LARGEST_JOURNAL:
        raise DamagedJournalError("no journal of this version")
    records = _records(file, size - len(MAGIC))
    first = next(records, None)
    if not isinstance(first, Begun):
        raise DamagedJournalError("no beginning")
    trail = Trail(
        base=first.project,
        path=None if first.path is None else Path(first.path),
        when=first.when,
        saved_at=0 if first.saved else None,
    )
    for record in records:
        if trail.lost or record is None or not trail.follow(record):
            trail.lost += 1
    return trail


def _records(file: IO[bytes], left: int) -> Iterator[Record | None]:
    """Read record after record; None for each that is damaged or cut short."""
    while left > 0:
        head = file.read(_FRAME.size)
        left -= len(head)
        if len(head) < _FRAME.size:
            yield None
            return
        length, check = _FRAME.unpack(head)
        packed = file.read(length) if length <= left else b""
        left -= length
        if left < 0 or len(packed) < length or zlib.crc32(packed) != check:
            yield None
            continue
        try:
            yield msgspec.msgpack.decode(packed, type=Record)
        except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
            yield None
