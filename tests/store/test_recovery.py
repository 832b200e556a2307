"""Journals that are torn or spoiled: what can be followed is, and the rest is counted."""

from __future__ import annotations

import struct
import time
import zlib
from pathlib import Path

import msgspec
import pytest

from quiltboard.fabrics.fabric import Fabric, Swatch
from quiltboard.project.edits import (
    AddFabrics,
    ChangeFabric,
    PlaceFabric,
    Rename,
)
from quiltboard.project.project import new_project
from quiltboard.quilt.board import Cell
from quiltboard.store.journal import Journal
from quiltboard.store.records import Begun, framed
from quiltboard.store.recovery import find_leftovers
from quiltboard.store.safe_write import StoreError
from tests.helpers.boards import full_project, pictured, plain
from tests.helpers.journals import EDITS, after, crash, recovered_from


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
