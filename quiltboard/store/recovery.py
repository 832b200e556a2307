"""Finding what a crash left behind, and making its edits again."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from quiltboard.project.edits import Edit, InvalidEditError, Rename
from quiltboard.project.project import Project
from quiltboard.store.board_json import UnsoundBoardError, check_fabric, encode_board
from quiltboard.store.journal import SUFFIX, remove_journal
from quiltboard.store.lock import is_alive, take_lock
from quiltboard.store.pictures import without_damaged
from quiltboard.store.records import MAGIC, DamagedJournalError, Trail, read_trail
from quiltboard.store.safe_write import StoreError, set_aside


@dataclass(frozen=True)
class Recovered:
    """Work that a crash left behind.

    Attributes
    ----------
    project
        As it was last.
    base, edits, done
        Where it started from, and the edits in order: `done` of them stand, the rest can be
        redone. Making them again brings the undo steps back.
    board_path
        The board file it lived in, or None.
    when
        The time of the last edit that could be read.
    lost
        How many records at the end could not be read or do not apply; 0 if all is there.
    """

    project: Project
    base: Project
    edits: tuple[Edit, ...]
    done: int
    board_path: Path | None
    when: datetime
    lost: int


class Leftover:
    """A journal that a crash left behind; locked from being found until it is let go.

    Attributes
    ----------
    path
        Where it is.
    title
        What the quilt was called last.
    board_path
        The board file it lived in, or None.
    when
        The time of the last edit.
    """

    def __init__(self, path: Path, file: IO[bytes], trail: Trail) -> None:
        self._file: IO[bytes] | None = file
        self._trail = trail
        self.path = path
        renamed = [edit.title for edit in trail.edits[: trail.done] if isinstance(edit, Rename)]
        self.title = renamed[-1] if renamed else trail.base.title
        self.board_path = trail.path
        self.when = _moment(trail.when)

    def recover(self) -> Recovered:
        """Make the edits again; the journal stays until it is discarded.

        Every edit is checked as when it was made; the first that does not apply ends it there.

        Raises
        ------
        StoreError
            If what the edits start from is not sound.
        """
        trail = self._trail
        try:
            _check_new_fabrics(trail.base, None)
            encode_board(trail.base)
        except UnsoundBoardError as error:
            raise StoreError(f"The work left by a crash {error}.") from error
        states = [trail.base]
        for edit in trail.edits:
            try:
                after = edit.apply(states[-1])
                _check_new_fabrics(after, states[-1])
            except (InvalidEditError, UnsoundBoardError):
                break
            states.append(after)
        kept = len(states) - 1
        done = min(trail.done, kept)
        return Recovered(
            project=states[done],
            base=trail.base,
            edits=tuple(trail.edits[:kept]),
            done=done,
            board_path=trail.path,
            when=self.when,
            lost=trail.lost + len(trail.edits) - kept,
        )

    def discard(self) -> None:
        """Throw it away: the work was recovered and saved, or is not wanted."""
        if self._file is not None:
            remove_journal(self.path, self._file)
            self._file = None

    def release(self) -> None:
        """Let it go, to be found again next time."""
        if self._file is not None:
            self._file.close()
            self._file = None


def find_leftovers(folder: Path) -> list[Leftover]:
    """Find the work that crashes left behind, the newest first.

    Journals of windows that are open are passed by. Those that hold nothing unsaved are
    removed, and those that cannot be read are set aside as ``.broken``. Each one found is to be
    discarded or released.

    Parameters
    ----------
    folder
        Where journals are kept; it need not be there.
    """
    found: list[Leftover] = []
    for path in sorted(folder.glob(f"*{SUFFIX}")):
        with suppress(OSError):
            leftover = _left_over(path)
            if leftover is not None:
                found.append(leftover)
    return sorted(found, key=lambda leftover: leftover.when, reverse=True)


def _left_over(path: Path) -> Leftover | None:
    file = path.open("r+b", buffering=0)
    keep = False
    try:
        hold = take_lock(file.fileno())
        if hold == "busy" or (hold == "unknown" and is_alive(_process_of(path))):
            return None
        size = os.fstat(file.fileno()).st_size
        try:
            trail = read_trail(file, size)
        except DamagedJournalError:
            # Where nothing was begun, nothing is lost.
            if size <= len(MAGIC):
                remove_journal(path, file)
            else:
                file.close()
                set_aside(path)
            return None
        if not trail.unsaved:
            remove_journal(path, file)
            return None
        keep = True
        return Leftover(path, file, trail)
    finally:
        if not keep:
            file.close()


def _process_of(path: Path) -> int:
    number = path.name.partition("-")[0]
    return int(number) if number.isdecimal() and len(number) < 10 else 0


def _check_new_fabrics(project: Project, before: Project | None) -> None:
    """Refuse fabrics that a board file could not hold; those that were there are known."""
    known = {id(fabric) for fabric in before.fabrics} if before else set()
    for fabric in project.fabrics:
        if id(fabric) not in known:
            check_fabric(fabric)
            if without_damaged(fabric) != fabric:
                raise UnsoundBoardError(f"has a damaged picture of {fabric.name}")


def _moment(seconds: float) -> datetime:
    try:
        return datetime.fromtimestamp(seconds, UTC)
    except (ValueError, OverflowError, OSError):
        return datetime.fromtimestamp(0, UTC)
