"""The container of a board file: a ZIP that is the same every time and is read within bounds.

References
----------
PKWARE APPNOTE 6.3.10, sections 4.3.7 (local header), 4.3.15 and 4.3.16 (end of the directory).
"""

from __future__ import annotations

import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import IO, Final

MIMETYPE: Final = b"application/vnd.quiltboard+zip"
LARGEST_FILE: Final = 1_000_000_000
ROOM_FOR_TEXT: Final = 16_000_000
LARGEST_DIRECTORY: Final = 500_000
MOST_ENTRIES: Final = 5000
"""Two pictures to each of 500 fabrics, further ones of pools, the text, a few previews."""

_NAMES: Final = re.compile(
    r"mimetype|board\.json|previews/[a-z]{1,20}\.png"
    r"|swatches/[A-Za-z0-9][A-Za-z0-9_-]{0,63}(\.[1-9][0-9]{0,3})?\.png"
    r"|photos/[A-Za-z0-9][A-Za-z0-9_-]{0,63}\.jpg"
)
_START: Final = b"PK\x03\x04"
_END: Final = b"PK\x05\x06"
_LARGE_END: Final = b"PK\x06\x07"
_END_BYTES: Final = 22
_LARGE_END_BYTES: Final = 20
_LONG_AGO: Final = (1980, 1, 1, 0, 0, 0)
_UNREADABLE: Final = (
    zipfile.BadZipFile, zlib.error, struct.error, EOFError, NotImplementedError, RuntimeError,
    ValueError, OverflowError,
)  # fmt: skip


class ArchiveError(ValueError):
    """A container that is not sound; the message follows on the file's name."""


class DamagedEntryError(ArchiveError):
    """One entry that cannot be read, or is not as it was written."""


def pack(entries: Mapping[str, bytes]) -> bytes:
    """Pack entries into a ZIP, the type first, nothing compressed and nothing dated.

    Pictures are compressed already, and a stored text can be read in any tool; so the same
    entries give the same bytes everywhere.

    Raises
    ------
    ArchiveError
        If an entry's name is none that a board file holds.
    """
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED, allowZip64=False) as archive:
        for name, data in {"mimetype": MIMETYPE, **entries}.items():
            if not _NAMES.fullmatch(name):
                raise ArchiveError(f"holds no {name!r}")
            entry = zipfile.ZipInfo(name, _LONG_AGO)
            entry.create_system = 3
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            archive.writestr(entry, data)
    return packed.getvalue()


class Archive:
    """An open board file whose directory has been looked over.

    Attributes
    ----------
    names
        The entries, all of names that a board file holds, none twice.
    """

    def __init__(self, archive: zipfile.ZipFile, budget: int) -> None:
        self._archive = archive
        self._left = budget
        self.names = frozenset(archive.namelist())

    def read(self, name: str, limit: int) -> bytes:
        """Read one entry.

        Parameters
        ----------
        name
            Which.
        limit
            The most bytes it may unpack to.

        Raises
        ------
        DamagedEntryError
            If it is missing or not as it was written.
        ArchiveError
            If it, or all that was read so far, unpacks to more than it may.
        """
        limit = min(limit, self._left)
        try:
            with self._archive.open(name) as entry:
                data = entry.read(limit + 1)
        except KeyError as error:
            raise DamagedEntryError(f"has no {name}") from error
        except _UNREADABLE as error:
            raise DamagedEntryError(f"is damaged: its {name} cannot be read") from error
        if len(data) > limit:
            raise ArchiveError(f"is not opened: its {name} unpacks to more than it may hold")
        self._left -= len(data)
        return data


@contextmanager
def open_archive(path: Path) -> Iterator[Archive]:
    """Open a board file and look over its directory before anything is unpacked.

    All that is read from it may unpack to little more than its own size: pictures do not
    shrink when packed, and the text is short.

    Raises
    ------
    ArchiveError
        If it is no board file, is too large, or holds what a board file does not hold.
    OSError
        If it cannot be read at all.
    """
    # A pipe would be waited for; only ordinary files are opened.
    if not stat.S_ISREG(path.stat().st_mode):
        raise ArchiveError("is no ordinary file: choose a board file")
    with path.open("rb") as file:
        size = _look_over(file)
        try:
            archive = zipfile.ZipFile(file)
        except _UNREADABLE as error:
            raise ArchiveError("is damaged: its directory cannot be read") from error
        with archive:
            _look_over_entries(archive)
            yield Archive(archive, 2 * size + ROOM_FOR_TEXT)


def _look_over(file: IO[bytes]) -> int:
    """Bound the directory by the file's last bytes, before it is read; give the file's size."""
    head = file.read(30 + len(b"mimetype"))
    size = file.seek(0, 2)
    if not (head.startswith(_START) and head.endswith(b"mimetype")):
        raise ArchiveError("is no Quiltboard board")
    if size > LARGEST_FILE:
        raise ArchiveError("is larger than any board: it is not opened")
    if size < _END_BYTES + _LARGE_END_BYTES:
        raise ArchiveError("is cut short: copy it again from where it came")
    file.seek(-_END_BYTES - _LARGE_END_BYTES, 2)
    tail = file.read()
    end = tail[_LARGE_END_BYTES:]
    if not end.startswith(_END) or end[-2:] != b"\0\0":
        raise ArchiveError("is cut short: copy it again from where it came")
    entries, directory = struct.unpack("<HI", end[10:16])
    if tail.startswith(_LARGE_END) or directory > LARGEST_DIRECTORY or entries > MOST_ENTRIES:
        raise ArchiveError("holds more than any board: it is not opened")
    return size


def _look_over_entries(archive: zipfile.ZipFile) -> None:
    entries = archive.infolist()
    if len(entries) > MOST_ENTRIES:
        raise ArchiveError("holds more than any board: it is not opened")
    names = [entry.filename for entry in entries]
    # A name is read up to its first zero byte; what stands in the file must be plain as well.
    if not all(_NAMES.fullmatch(entry.orig_filename) for entry in entries):
        raise ArchiveError("holds something that no board holds: it is not opened")
    if len(set(names)) < len(names):
        raise ArchiveError("holds one thing twice: it is not opened")
    if any(e.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED} for e in entries):
        raise ArchiveError("is packed in a way that no board is: it is not opened")
    if names[:1] != ["mimetype"] or entries[0].compress_type != zipfile.ZIP_STORED:
        raise ArchiveError("is no Quiltboard board")
    try:
        with archive.open("mimetype") as entry:
            kind = entry.read(len(MIMETYPE) + 1)
    except _UNREADABLE as error:
        raise ArchiveError("is damaged: it does not say what it is") from error
    if kind != MIMETYPE:
        raise ArchiveError("is no Quiltboard board")
