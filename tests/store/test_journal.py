"""The recovery journal: what a crash leaves behind is found, followed, and never doubled."""

from __future__ import annotations

import errno
import multiprocessing
import os
import struct
import time
import zlib
from collections.abc import Iterator
from pathlib import Path
from threading import Event, Thread
from typing import IO

import msgspec
import pytest

from quiltboard.fabrics.fabric import Fabric, FabricId, Swatch
from quiltboard.project.edits import (
    AddFabrics,
    ChangeFabric,
    Edit,
    PinWedges,
    PlaceFabric,
    Rename,
    TurnRing,
)
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell
from quiltboard.store import journal as journal_module
from quiltboard.store import recovery
from quiltboard.store.journal import Journal
from quiltboard.store.records import LARGEST_JOURNAL, Begun, Did, framed
from quiltboard.store.recovery import Leftover, Recovered, find_leftovers
from quiltboard.store.safe_write import StoreError
from tests.helpers.boards import full_project, pictured, plain

EDITS: tuple[Edit, ...] = (
    AddFabrics((pictured("dot", "Harbour Dot"), plain("salt", "Salt Flat"))),
    PlaceFabric((Cell(0, 0), Cell(0, 4)), FabricId("dot")),
    PlaceFabric((Cell(0, 1),), FabricId("salt")),
    PinWedges((Cell(0, 0),), pinned=True),
    TurnRing(0, 3),
    Rename("Regatta"),
)


def after(edits: tuple[Edit, ...], project: Project | None = None) -> Project:
    """Make edits one after another."""
    state = project or new_project()
    for edit in edits:
        state = edit.apply(state)
    return state


def crash(journal: Journal) -> Path:
    """Let go of a journal as the system does when its process dies."""
    journal.settle()
    let_go(journal)
    return journal.path


def let_go(journal: Journal) -> None:
    """Close a journal's file, but leave it where it is."""
    assert journal._file is not None
    journal._writer.stop()
    journal._file.close()
    journal._file = None


def recovered_from(folder: Path) -> Recovered:
    """Recover the one leftover of a folder, and release it."""
    (leftover,) = find_leftovers(folder)
    recovered = leftover.recover()
    leftover.release()
    return recovered


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    made = Journal.start(tmp_path / "journals", new_project(), None)
    yield made
    made.close()


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


# Damage.


def test_a_torn_end_loses_only_the_last_record(journal: Journal) -> None:
    for edit in EDITS:
        journal.append(edit)
    path = crash(journal)
    whole = path.read_bytes()
    for cut in range(1, 12):
        path.write_bytes(whole[:-cut])
        recovered = recovered_from(path.parent)
        assert recovered.project == after(EDITS[:-1])
        assert recovered.lost == 1


def test_a_changed_byte_ends_the_work_there(journal: Journal) -> None:
    journal.append(EDITS[0])
    journal.settle()
    place = journal.path.stat().st_size + 20
    for edit in EDITS[1:]:
        journal.append(edit)
    path = crash(journal)
    spoiled = bytearray(path.read_bytes())
    spoiled[place] ^= 1
    path.write_bytes(spoiled)
    recovered = recovered_from(path.parent)
    assert recovered.project == after(EDITS[:1])
    assert recovered.lost == len(EDITS) - 1


def test_no_cut_breaks_the_program(journal: Journal) -> None:
    for edit in EDITS:
        journal.append(edit)
    path = crash(journal)
    whole = path.read_bytes()
    for length in range(0, len(whole), 97):
        path.write_bytes(whole[:length])
        for leftover in find_leftovers(path.parent):
            assert leftover.recover().done <= len(EDITS)
            leftover.discard()
        for rest in path.parent.iterdir():
            rest.unlink()


def test_an_edit_that_does_not_apply_ends_the_work_there(journal: Journal) -> None:
    journal.append(Rename("One"))
    journal.append(PlaceFabric((Cell(5, 0),), None))
    journal.append(Rename("Two"))
    recovered = recovered_from(crash(journal).parent)
    assert recovered.project.title == "One"
    assert recovered.lost == 2


@pytest.mark.parametrize("step", ["undo", "redo"])
def test_a_step_that_cannot_be_taken_ends_the_work_there(journal: Journal, step: str) -> None:
    journal.rebase(full_project(), None, saved=False)
    getattr(journal, step)()
    journal.append(Rename("Never"))
    recovered = recovered_from(crash(journal).parent)
    assert recovered.project == full_project()
    assert recovered.lost == 2


@pytest.mark.parametrize(
    "fabric",
    [
        msgspec.structs.replace(plain("x", "Odd"), colour="teal"),
        msgspec.structs.replace(plain("../x", "Odd")),
        msgspec.structs.replace(pictured("x", "Odd"), swatch=None, photo=None, note="\x07"),
        msgspec.structs.replace(pictured("x", "Odd"), swatch=Swatch(b"none", 12, 9)),
    ],
    ids=["colour", "id", "note", "picture"],
)
@pytest.mark.parametrize("kind", [AddFabrics, ChangeFabric])
def test_a_fabric_that_no_board_could_hold_is_not_recovered(
    journal: Journal, fabric: Fabric, kind: type[AddFabrics | ChangeFabric]
) -> None:
    journal.append(Rename("One"))
    journal.append(AddFabrics((plain("x", "Even"),)))
    edit = AddFabrics((fabric,)) if kind is AddFabrics else ChangeFabric(fabric)
    journal.append(edit)
    recovered = recovered_from(crash(journal).parent)
    assert recovered.lost == 1
    assert recovered.project.title == "One"


def test_a_record_of_no_kind_ends_the_work_there(journal: Journal) -> None:
    journal.append(Rename("One"))
    path = crash(journal)
    with path.open("ab") as file:
        for packed in (msgspec.msgpack.encode({"type": "Tore"}), b"\x91" * 100_000):
            file.write(struct.pack("<II", len(packed), zlib.crc32(packed)) + packed)
        file.write(b"".join(framed(Begun(0.0, new_project(), None, saved=True))))
    recovered = recovered_from(path.parent)
    assert recovered.project.title == "One"
    assert recovered.lost == 3


def test_a_second_beginning_ends_the_work_there(journal: Journal) -> None:
    journal.append(Rename("One"))
    path = crash(journal)
    with path.open("ab") as file:
        file.write(b"".join(framed(Begun(0.0, full_project(), None, saved=True))))
    assert recovered_from(path.parent).project.title == "One"


def test_a_time_that_is_none_is_no_harm(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(time, "time", lambda: float("nan"))
    crash(Journal.start(tmp_path, full_project(), None, saved=False))
    assert recovered_from(tmp_path).when.year == 1970


def test_an_unsound_beginning_is_refused(tmp_path: Path) -> None:
    bad = msgspec.structs.replace(full_project(), title="")
    crash(Journal.start(tmp_path, bad, None, saved=False))
    (leftover,) = find_leftovers(tmp_path)
    with pytest.raises(StoreError, match="The work left by a crash"):
        leftover.recover()
    leftover.discard()


def test_a_journal_that_cannot_be_read_is_set_aside(tmp_path: Path) -> None:
    path = tmp_path / "1-a.journal"
    path.write_bytes(b"Quiltboard journal 2\n" + bytes(100))
    assert find_leftovers(tmp_path) == []
    assert [left.name for left in tmp_path.iterdir()] == ["1-a.journal.broken"]


def test_a_missing_folder_holds_nothing(tmp_path: Path) -> None:
    assert find_leftovers(tmp_path / "gone") == []


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
    reached, going_on = Event(), Event()
    written: list[object] = []

    def write_slowly(task: object) -> None:
        written.append(task)
        reached.set()
        going_on.wait()

    monkeypatch.setattr(journal._writer, "_do", write_slowly)
    for edit in EDITS:
        journal.append(edit)
    reached.wait()
    closing = Thread(target=journal.close)
    closing.start()
    going_on.set()
    closing.join()
    assert written[0] == Did(written[0].when, EDITS[0])  # type: ignore[attr-defined]
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
