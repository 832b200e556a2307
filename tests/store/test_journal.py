"""The recovery journal: what a crash leaves behind is found, followed, and never doubled."""

from __future__ import annotations

import errno
import multiprocessing
import os
import time
from pathlib import Path
from threading import Event
from typing import IO

import pytest

from quiltboard.project.edits import (
    Edit,
    Rename,
    TurnRing,
)
from quiltboard.project.project import new_project
from quiltboard.store import journal as journal_module
from quiltboard.store import recovery
from quiltboard.store.journal import Journal
from quiltboard.store.records import LARGEST_JOURNAL
from quiltboard.store.recovery import Leftover, find_leftovers
from quiltboard.store.safe_write import StoreError
from tests.helpers.boards import full_project
from tests.helpers.journals import EDITS, after, crash, let_go, recovered_from


def test_a_crash_loses_no_edit(journal: Journal) -> None:
    for edit in EDITS:
        journal.append(edit)
    folder = crash(journal).parent
    recovered = recovered_from(folder)
    assert recovered.project == after(EDITS)
    assert recovered.base == new_project()
    assert recovered.edits == EDITS
    assert recovered.done == len(EDITS)
    assert recovered.board_path is None
    assert recovered.lost == 0


def test_a_clean_end_leaves_nothing(journal: Journal) -> None:
    journal.append(EDITS[0])
    folder = journal.path.parent
    journal.close()
    journal.close()
    journal.append(EDITS[0])
    assert list(folder.iterdir()) == []
    assert find_leftovers(folder) == []


def test_undo_and_redo_are_followed(journal: Journal) -> None:
    for edit in EDITS:
        journal.append(edit)
    for _ in range(4):
        journal.undo()
    journal.redo()
    folder = crash(journal).parent
    recovered = recovered_from(folder)
    assert recovered.project == after(EDITS[:3])
    assert recovered.done == 3
    assert recovered.edits == EDITS


def test_an_edit_after_undoing_drops_what_could_be_redone(journal: Journal) -> None:
    for edit in EDITS:
        journal.append(edit)
    journal.undo()
    journal.undo()
    journal.append(Rename("Low Tide"))
    recovered = recovered_from(crash(journal).parent)
    assert recovered.edits == (*EDITS[:4], Rename("Low Tide"))
    assert recovered.project == after(recovered.edits)


def test_what_is_saved_is_not_offered(journal: Journal, tmp_path: Path) -> None:
    for edit in EDITS:
        journal.append(edit)
    journal.mark_saved(tmp_path / "supper.quiltboard")
    folder = crash(journal).parent
    assert find_leftovers(folder) == []
    assert list(folder.iterdir()) == []


def test_undoing_past_a_save_is_work_too(journal: Journal, tmp_path: Path) -> None:
    for edit in EDITS:
        journal.append(edit)
    journal.mark_saved(tmp_path / "supper.quiltboard")
    journal.undo()
    recovered = recovered_from(crash(journal).parent)
    assert recovered.project == after(EDITS[:-1])
    assert recovered.board_path == tmp_path / "supper.quiltboard"


def test_another_way_to_the_same_count_is_not_the_saved_state(
    journal: Journal, tmp_path: Path
) -> None:
    journal.append(Rename("One"))
    journal.mark_saved(tmp_path / "one.quiltboard")
    journal.undo()
    journal.append(Rename("Other"))
    assert recovered_from(crash(journal).parent).project.title == "Other"


def test_saving_after_an_undo_is_known(journal: Journal, tmp_path: Path) -> None:
    journal.append(Rename("One"))
    journal.append(Rename("Two"))
    journal.undo()
    journal.mark_saved(tmp_path / "one.quiltboard")
    assert find_leftovers(crash(journal).parent) == []


def test_another_project_begins_anew(journal: Journal, tmp_path: Path) -> None:
    for edit in EDITS:
        journal.append(edit)
    journal.rebase(full_project(), tmp_path / "sea.quiltboard")
    journal.append(Rename("Ebb"))
    recovered = recovered_from(crash(journal).parent)
    assert recovered.project == after((Rename("Ebb"),), full_project())
    assert recovered.board_path == tmp_path / "sea.quiltboard"


def test_recovered_work_is_not_lost_by_a_second_crash(tmp_path: Path) -> None:
    crash(Journal.start(tmp_path, full_project(), None, saved=False))
    recovered = recovered_from(tmp_path)
    assert recovered.project == full_project()
    assert recovered.edits == ()


def test_an_opened_board_without_an_edit_is_not_offered(tmp_path: Path) -> None:
    crash(Journal.start(tmp_path, full_project(), tmp_path / "sea.quiltboard"))
    assert find_leftovers(tmp_path) == []
    assert list(tmp_path.iterdir()) == []


def test_a_discarded_leftover_is_gone_and_a_released_one_is_not(journal: Journal) -> None:
    journal.append(EDITS[0])
    folder = crash(journal).parent
    (leftover,) = find_leftovers(folder)
    assert leftover.title == "New quilt"
    leftover.release()
    (again,) = find_leftovers(folder)
    again.discard()
    again.discard()
    again.release()
    assert list(folder.iterdir()) == []


# Two windows.


def test_the_journal_of_an_open_window_is_not_offered(journal: Journal) -> None:
    journal.append(EDITS[0])
    folder = journal.path.parent
    other = Journal.start(folder, new_project(), None)
    other.append(Rename("Other"))
    assert other.path != journal.path
    assert find_leftovers(folder) == []
    crash(other)
    (leftover,) = find_leftovers(folder)
    assert leftover.path == other.path
    assert find_leftovers(folder) == []
    leftover.discard()
    assert list(folder.iterdir()) == [journal.path]


def keep_and_die(folder: str) -> None:
    """Keep a journal in another process and leave without a word."""
    journal = Journal.start(Path(folder), new_project(), None)
    journal.append(Rename("From elsewhere"))
    journal.settle()
    os._exit(9)


def test_a_process_that_dies_leaves_its_journal(tmp_path: Path) -> None:
    process = multiprocessing.get_context("spawn").Process(
        target=keep_and_die, args=(str(tmp_path),)
    )
    process.start()
    process.join()
    assert process.exitcode == 9
    assert recovered_from(tmp_path).project.title == "From elsewhere"


def test_the_newest_work_is_offered_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for title, when in (("Old", 1000.0), ("New", 3000.0), ("Middle", 2000.0)):
        monkeypatch.setattr(time, "time", lambda when=when: when)
        made = Journal.start(tmp_path, new_project(), None)
        made.append(Rename(title))
        crash(made)
    found = find_leftovers(tmp_path)
    titles = [leftover.recover().project.title for leftover in found]
    for leftover in found:
        leftover.release()
    assert titles == ["New", "Middle", "Old"]


def test_where_the_disk_keeps_no_locks_the_process_tells(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal.append(EDITS[0])
    folder = crash(journal).parent
    monkeypatch.setattr(recovery, "take_lock", lambda _: "unknown")
    assert find_leftovers(folder) == []
    monkeypatch.setattr(recovery, "is_alive", lambda _: False)
    (leftover,) = find_leftovers(folder)
    leftover.release()


# A disk that does not take it.


class FullDisk:
    """A file that takes a few more bytes and then no more."""

    def __init__(self, file: IO[bytes], room: int = 5) -> None:
        self._file = file
        self.room = room

    def write(self, data: bytes) -> int:
        if not self.room:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        taken = self._file.write(data[: self.room])
        self.room -= taken
        return taken

    def __getattr__(self, name: str) -> object:
        return getattr(self._file, name)


def fill_disk(journal: Journal, monkeypatch: pytest.MonkeyPatch) -> FullDisk:
    """Let the disk take five more bytes of what was not written yet."""
    journal.settle()
    assert journal._file is not None
    full = FullDisk(journal._file)
    monkeypatch.setattr(journal._writer, "_file", full)
    return full


def test_a_full_disk_is_said_once_and_work_goes_on(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal.append(Rename("One"))
    fill_disk(journal, monkeypatch)
    journal.append(Rename("Two"))
    with pytest.raises(StoreError, match="no room left on that disk"):
        journal.settle()
    journal.append(Rename("Three"))
    journal.undo()
    journal.settle()
    let_go(journal)
    recovered = recovered_from(journal.path.parent)
    assert recovered.project.title == "One"
    assert recovered.lost == 1


def test_a_failure_is_said_by_whatever_call_comes_next(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill_disk(journal, monkeypatch)
    journal.append(Rename("Two"))
    journal._writer.settle()
    with pytest.raises(StoreError, match="no room left on that disk"):
        journal.append(Rename("Three"))
    assert not journal.flush_due()


def test_another_project_is_another_try(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = fill_disk(journal, monkeypatch)
    journal.append(Rename("Two"))
    with pytest.raises(StoreError):
        journal.settle()
    full.room = 1_000_000
    journal.append(Rename("Three"))
    journal.rebase(full_project(), None)
    journal.append(Rename("Ebb"))
    recovered = recovered_from(crash(journal).parent)
    assert recovered.project == after((Rename("Ebb"),), full_project())


def test_a_journal_that_failed_goes_when_all_is_saved(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill_disk(journal, monkeypatch)
    journal.append(Rename("One"))
    with pytest.raises(StoreError):
        journal.settle()
    journal.mark_saved(Path("one.quiltboard"))
    assert list(journal.path.parent.iterdir()) == []


def test_closing_does_not_wait_for_what_is_not_wanted_any_more(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal.settle()
    closing = Event()
    written: list[object] = []
    join = journal._writer._thread.join

    def write_slowly(task: object) -> None:
        closing.wait()
        written.append(task)

    def go_on_and_join() -> None:
        closing.set()
        join()

    monkeypatch.setattr(journal._writer, "_do", write_slowly)
    monkeypatch.setattr(journal._writer._thread, "join", go_on_and_join)
    for edit in EDITS:
        journal.append(edit)
    journal.close()
    assert len(written) <= 1
    assert list(journal.path.parent.iterdir()) == []


def test_a_closed_journal_takes_nothing_more(journal: Journal) -> None:
    journal.append(EDITS[0])
    journal.close()
    journal.rebase(full_project(), None)
    journal.settle()
    assert not journal.flush_due()
    assert list(journal.path.parent.iterdir()) == []


def test_a_journal_that_was_taken_away_meanwhile_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = ["busy", "held"]
    monkeypatch.setattr(journal_module, "take_lock", lambda _: answers.pop(0))
    made = Journal.start(tmp_path, new_project(), None)
    made.settle()
    assert not answers
    assert made.path.stat().st_size > 0
    made.close()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(StoreError, match="A crash would lose unsaved work"):
        Journal.start(tmp_path / "file" / "journals", new_project(), None)


@pytest.mark.parametrize("edit", [Rename("\udce4"), TurnRing(0, 1 << 70)])
def test_what_cannot_be_written_is_said(journal: Journal, edit: Edit) -> None:
    journal.append(edit)
    with pytest.raises(StoreError, match="too strange"):
        journal.settle()


def test_a_full_journal_is_said(journal: Journal, monkeypatch: pytest.MonkeyPatch) -> None:
    journal.settle()
    monkeypatch.setattr(journal._writer, "_size", LARGEST_JOURNAL)
    journal.append(Rename("One"))
    with pytest.raises(StoreError, match="the journal is full"):
        journal.settle()


def test_edits_are_with_the_system_soon_and_synced_once_a_second(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[int] = []
    now = [100.0]
    monkeypatch.setattr(os, "fsync", synced.append)
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    journal._synced_at = 100.0
    journal.append(Rename("One"))
    journal.settle()
    assert b"One" in journal.path.read_bytes()
    assert not journal.flush_due()
    now[0] = 101.0
    assert journal.flush_due()
    assert not journal.flush_due()
    journal.append(Rename("Two"))
    now[0] = 101.5
    assert not journal.flush_due()
    now[0] = 102.0
    assert journal.flush_due()
    journal.settle()
    assert len(synced) == 2


def test_a_disk_that_fails_to_sync_is_said_once(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: int) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(os, "fsync", fail)
    journal._synced_at = -10.0
    assert journal.flush_due()
    with pytest.raises(StoreError, match="the disk said"):
        journal.settle()
    assert not journal.flush_due()


def test_a_leftover_is_what_find_leftovers_gives(journal: Journal) -> None:
    journal.append(EDITS[0])
    (leftover,) = find_leftovers(crash(journal).parent)
    assert isinstance(leftover, Leftover)
    assert leftover.when.tzinfo is not None
    leftover.discard()
