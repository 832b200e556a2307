"""The stash beside the window: looks and changes run in threads, in their order."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import msgspec
import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from quiltboard.document.document import Document
from quiltboard.document.stash import Found, Page, Stashing, cut_piece
from quiltboard.fabrics.fabric import CutWedges, FabricId
from quiltboard.paint.cloth_book import pixels_of
from quiltboard.store.stash import Stash
from quiltboard.store.stash_entry import Price, StashEntry
from quiltboard.store.stash_search import Query
from quiltboard.units import inches
from tests.helpers.boards import pictured, plain
from tests.helpers.projects import printed, sample_project, swatch_of

pytestmark = pytest.mark.qt


class Heard:
    """What a stash beside the window has told."""

    def __init__(self, stashing: Stashing) -> None:
        self.found: list[Found] = []
        self.pages: list[Page | None] = []
        self.removed: list[StashEntry] = []
        self.failed: list[str] = []
        self.told: list[str] = []
        self.cloths: list[dict[FabricId, object]] = []
        self.changes: list[int] = []
        stashing.found.connect(self.found.append)
        stashing.page_shown.connect(self.pages.append)
        stashing.removed.connect(self.removed.append)
        stashing.failed.connect(self.failed.append)
        stashing.told.connect(self.told.append)
        stashing.cloths_read.connect(self.cloths.append)
        stashing.changed.connect(self._on_changed)

    def _on_changed(self) -> None:
        self.changes.append(1)


@pytest.fixture
def document(qtbot: QtBot) -> Document:
    """Give a document with eight fabrics on its shelf."""
    document = Document()
    document.begin(sample_project())
    return document


@pytest.fixture
def stash(tmp_path: Path) -> Stash:
    """Give a stash of two."""
    made = Stash(tmp_path / "stash.sqlite", wait_s=0.05)
    made.put(StashEntry(pictured("dot", "Dot of the stash")))
    made.put(StashEntry(plain("salt", "Salt of the stash")))
    return made


@pytest.fixture
def stashing(document: Document, stash: Stash) -> Stashing:
    """Give the stash beside a window."""
    return Stashing(document, stash, document)


@pytest.fixture
def heard(stashing: Stashing) -> Heard:
    """Listen to it."""
    return Heard(stashing)


def read_now(read: Callable[[FabricId], StashEntry | None], key: str) -> StashEntry:
    """Give a fabric that is there."""
    entry = read(FabricId(key))
    assert entry is not None
    return entry


def settle(qtbot: QtBot, stashing: Stashing) -> None:
    """Wait until nothing is read or written."""
    qtbot.waitUntil(lambda: stashing.idle)


def test_a_look_finds(qtbot: QtBot, stashing: Stashing, heard: Heard) -> None:
    stashing.look(Query(text="salt"))
    settle(qtbot, stashing)
    (found,) = heard.found
    assert [row.name for row, _ in found.lines] == ["Salt of the stash"]
    assert (found.total, found.like) == (2, "")


def test_only_the_last_of_quick_looks_is_shown(
    qtbot: QtBot, stashing: Stashing, heard: Heard
) -> None:
    for text in ("s", "sa", "sal", "dot"):
        stashing.look(Query(text=text))
    settle(qtbot, stashing)
    assert [[row.id for row, _ in found.lines] for found in heard.found] == [["dot"]]


def test_the_nearest_come_after_the_fabric_itself(
    qtbot: QtBot, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    stashing.like(stash.rows([FabricId("dot")])[FabricId("dot")])
    settle(qtbot, stashing)
    (found,) = heard.found
    assert [row.id for row, _ in found.lines] == ["dot", "salt"]
    assert found.lines[0][1] == 0
    assert found.like == "Dot of the stash"


def test_keeping_puts_the_boards_fabrics_in(
    qtbot: QtBot, document: Document, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    stashing.keep(document.project.fabrics[:1])
    settle(qtbot, stashing)
    stashing.keep(document.project.fabrics)
    settle(qtbot, stashing)
    assert heard.told == ["Harbour Dot is in the stash now.", "8 fabrics are in the stash now."]
    assert stash.count() == 10
    entry = stash.get(document.project.fabrics[0].id)
    assert entry is not None
    assert entry.fabric == document.project.fabrics[0]
    assert len(heard.changes) == 2
    stashing.keep(())
    assert stashing.idle


def test_two_quick_changes_both_last(
    qtbot: QtBot, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    dot = FabricId("dot")
    stashing.show_page(dot)
    settle(qtbot, stashing)
    stashing.change(dot, price=Price(Decimal(9), "m", "kr"))
    stashing.change(dot, tags=("sea",), amounts=(CutWedges(3),))
    stashing.change(dot, tags=("sea",))  # nothing new: nothing is written
    settle(qtbot, stashing)
    entry = stash.get(dot)
    assert entry is not None
    assert (entry.price, entry.tags) == (Price(Decimal(9), "m", "kr"), ("sea",))
    assert entry.fabric.amounts == (CutWedges(3),)
    assert entry.revision == 3
    assert heard.failed == []
    page = heard.pages[-1]
    assert page is not None
    assert page.entry == entry


def test_a_page_that_comes_late_is_dropped(
    qtbot: QtBot,
    stash: Stash,
    stashing: Stashing,
    heard: Heard,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Hold the first read back until the second one is done."""
    read, second_done, reads = stash.get, threading.Event(), []

    def slow(fabric: FabricId) -> StashEntry | None:
        entry = read(fabric)
        reads.append(fabric)
        if len(reads) == 1:
            second_done.wait(10)
        else:
            second_done.set()
        return entry

    monkeypatch.setattr(stash, "get", slow)
    stashing.show_page(FabricId("dot"))
    qtbot.waitUntil(lambda: bool(reads))
    stash.put(msgspec.structs.replace(read_now(read, "dot"), shop="changed"))
    stashing.show_page(FabricId("dot"))
    settle(qtbot, stashing)
    assert [page.entry.shop for page in heard.pages if page] == ["changed"]
    stashing.change(FabricId("dot"), scraps="a bag")
    settle(qtbot, stashing)
    assert heard.failed == []


def test_a_change_to_what_was_never_shown_is_passed_over(
    qtbot: QtBot, stash: Stash, stashing: Stashing
) -> None:
    stashing.change(FabricId("dot"), shop="x")
    settle(qtbot, stashing)
    entry = stash.get(FabricId("dot"))
    assert entry is not None
    assert entry.shop == ""


def test_what_another_window_changed_is_shown_and_not_written_over(
    qtbot: QtBot, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    dot = FabricId("dot")
    stashing.show_page(dot)
    settle(qtbot, stashing)
    theirs = stash.get(dot)
    assert theirs is not None
    theirs = stash.put(msgspec.structs.replace(theirs, shop="theirs"))
    stashing.change(dot, shop="mine")
    settle(qtbot, stashing)
    (said,) = heard.failed
    assert said.startswith("Dot of the stash was changed in another window meanwhile: look at")
    assert stash.get(dot) == theirs
    page = heard.pages[-1]
    assert page is not None
    assert page.entry == theirs
    stashing.change(dot, shop="again")
    settle(qtbot, stashing)
    again = stash.get(dot)
    assert again is not None
    assert again.shop == "again"


def test_from_the_stash_to_the_shelf_with_what_there_is(
    qtbot: QtBot, document: Document, stashing: Stashing, heard: Heard
) -> None:
    stashing.put_on_shelf(FabricId("dot"))
    settle(qtbot, stashing)
    fabric = document.project.fabric(FabricId("dot"))
    assert fabric.amounts == pictured("dot", "x").amounts
    stashing.put_on_shelf(FabricId("dot"))
    settle(qtbot, stashing)
    assert heard.told == [
        "Dot of the stash is on the shelf now.",
        "Dot of the stash is on the shelf already.",
    ]
    document.undo_stack.undo()
    assert "dot" not in document.project.by_id()
    assert document.undo_stack.index() == 0


def test_a_name_that_is_taken_on_the_shelf_gets_a_number(
    qtbot: QtBot, document: Document, stash: Stash, stashing: Stashing
) -> None:
    stash.put(StashEntry(plain("other", "Harbour Dot")))
    stashing.put_on_shelf(FabricId("other"))
    settle(qtbot, stashing)
    assert document.project.fabric(FabricId("other")).name == "Harbour Dot 2"


def test_what_was_taken_out_elsewhere_is_said(
    qtbot: QtBot, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    stash.remove(FabricId("dot"))
    stashing.put_on_shelf(FabricId("dot"))
    stashing.show_page(FabricId("dot"))
    stashing.remove(FabricId("dot"))
    settle(qtbot, stashing)
    assert heard.failed == ["That fabric was taken out in another window meanwhile."]
    assert heard.pages == [None]
    assert heard.removed == []


def test_taking_out_and_putting_back(
    qtbot: QtBot, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    stashing.show_page(FabricId("dot"))
    settle(qtbot, stashing)
    stashing.remove(FabricId("dot"))
    settle(qtbot, stashing)
    assert heard.pages[-1] is None
    assert stash.count() == 1
    stashing.put_back(heard.removed[0])
    settle(qtbot, stashing)
    assert heard.told == ["Dot of the stash is back."]
    assert stash.count() == 2


def test_boards_are_noted_without_a_word(
    qtbot: QtBot, document: Document, stash: Stash, stashing: Stashing, tmp_path: Path
) -> None:
    board = tmp_path / "one.quiltboard"
    stashing.note_board(board, document.project)
    qtbot.waitUntil(lambda: bool(stash.boards_using(document.project.fabrics[0].id)))
    (use,) = stash.boards_using(document.project.fabrics[0].id)
    assert (use.path, use.title) == (board, "Sea & <Brick>")


def test_a_damaged_stash_is_said_and_looked_into_anew(
    qtbot: QtBot, stash: Stash, stashing: Stashing, heard: Heard
) -> None:
    stash.path.write_bytes(b"nothing like a stash " * 400)
    stashing.look(Query())
    settle(qtbot, stashing)
    assert len(heard.failed) == 1
    assert "a new one was begun" in heard.failed[0]
    assert len(heard.changes) == 1


def test_what_is_our_own_fault_is_said_and_logged(
    qtbot: QtBot,
    stash: Stash,
    stashing: Stashing,
    heard: Heard,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    def break_down(_query: Query) -> None:
        raise RuntimeError("broken")

    monkeypatch.setattr(stash, "search", break_down)
    stashing.look(Query())
    settle(qtbot, stashing)
    assert heard.failed == ["Something of ours went wrong there; nothing was changed."]
    assert [record.levelno for record in caplog.records] == [logging.ERROR]
    caplog.clear()


def test_cuttings_come_by_fabric(qtbot: QtBot, stashing: Stashing, heard: Heard) -> None:
    stashing.read_cloths([FabricId("dot"), FabricId("salt")], (60, 20), 1.1)
    settle(qtbot, stashing)
    (read,) = heard.cloths
    assert read[FabricId("salt")] is None
    assert set(read) == {"dot", "salt"}


@pytest.mark.parametrize("width_in", [4, 9, 40])
def test_a_cutting_is_of_its_size_and_to_its_scale(width_in: int) -> None:
    """Find stripes of 18 px of a swatch of 270 px at the distance that the scale gives them."""
    swatch = swatch_of(printed("stripes", "#ffffff", "#000000"), inches(width_in))
    px_per_mm = 1.1
    shown = pixels_of(cut_piece(swatch, (300, 40), px_per_mm))
    assert shown.shape == (40, 300, 3)
    wide = round(width_in * 25.4 * px_per_mm)
    stretch = shown[20, : min(wide, 300), 1].astype(float) < 128
    starts = np.flatnonzero(stretch[1:] & ~stretch[:-1])
    expected = 18 / 270 * width_in * 25.4 * px_per_mm
    assert np.diff(starts).mean() == pytest.approx(expected, rel=0.06)
