"""The shelf: its order, its rows, the keyboard, what a drag carries."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.document.document import Document
from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges, Fabric, FabricId, Pool, Reading
from quiltboard.fabrics.steps import steps_of
from quiltboard.project.edits import ChangeFabric
from quiltboard.project.project import Project
from quiltboard.units import inches, parse_length
from quiltboard.window.canvas import FABRIC_MIME
from quiltboard.window.shelf_rows import FabricRow, Heading, list_shelf, say_amounts, say_there
from tests.helpers.projects import sample_project
from tests.window.conftest import MakeRoom, Room

pytestmark = pytest.mark.qt


def valued(number: int, value: float, name: str = "") -> Fabric:
    """Give a plain fabric of a value."""
    reading = Reading((value, 0.0, 0.0), value, value)
    return Fabric(FabricId(f"v{number}"), name or f"Cloth {number}", reading, "#808080")


def fabric_rows(room: Room) -> list[FabricRow]:
    """Give the shelf's rows that are fabrics."""
    return [row for row in room.window.shelf.rows.rows if isinstance(row, FabricRow)]


def test_fabrics_lie_by_value_step_the_lightest_first(make_room: MakeRoom) -> None:
    fabrics = tuple(valued(k, value) for k, value in enumerate((20, 88, 55, 91, 60, 24)))
    room = make_room(
        msgspec.structs.replace(
            sample_project(1, 1), fabrics=fabrics, board=Document().project.board
        )
    )
    rows = room.window.shelf.rows.rows
    headings = [row for row in rows if isinstance(row, Heading)]
    assert [(h.title, h.count) for h in headings] == [("Light", 2), ("Medium", 2), ("Dark", 2)]
    assert headings[0].values == "value 91–88"
    values = [row.value for row in rows if isinstance(row, FabricRow)]
    assert values == sorted(values, reverse=True)


def test_seven_steps_are_listed_in_their_order() -> None:
    fabrics = [valued(at, 5 + 90 * at / 6) for at in range(7)]
    steps = steps_of(fabrics, None, 7)
    rows = list_shelf(fabrics, steps, {f.id: f.value for f in fabrics}, [], "in")
    assert [row.title for row in rows if isinstance(row, Heading)] == [
        "Lightest", "Light", "Light medium", "Medium", "Dark medium", "Dark", "Darkest",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("amounts", "said"),
    [
        ((), "as needed"),
        ((CutWedges(1),), "1 piece"),
        ((CutWedges(12),), "12 pieces"),
        ((CutWedges(0),), "no wedges"),
        ((Cloth(inches(18), inches(21)),), "fat quarter"),
        ((Cloth(inches(9), inches(21)),), "fat eighth"),
        ((Cloth(inches(9)),), "1⁄4 yd"),
        ((Cloth(inches(45)),), "1 1⁄4 yd"),
        ((Cloth(inches(10)),), "10 in"),
        ((Cloth(inches(5), inches(5)),), "5 × 5 in"),
        ((Cloth(inches(18), inches(21)),) * 2, "2 fat quarters"),
        ((CutWedges(3), Cloth(inches(9), inches(21))), "fat eighth + 3"),
    ],
)
def test_amounts_are_said_in_the_trades_words(amounts: tuple[Amount, ...], said: str) -> None:
    assert say_amounts(amounts, "in") == said


def test_a_metric_board_says_lengths_in_centimetres() -> None:
    assert say_amounts((Cloth(parse_length("50 cm")),), "cm") == "50 cm"


def test_looking_up_keeps_what_holds_every_word(room: Room) -> None:
    shelf = room.window.shelf
    room.window.actions_of["fabrics.look_up"].trigger()
    QTest.keyClicks(shelf.field, "check buoy")
    assert [row.fabric.name for row in fabric_rows(room)] == ["Buoy Check"]
    shelf.field.clear()
    assert len(fabric_rows(room)) == 8


def test_rows_tell_what_is_short(room: Room) -> None:
    fabric = room.document.project.fabrics[0]
    fewer = msgspec.structs.replace(fabric, amounts=(CutWedges(1),))
    room.document.do(ChangeFabric(fewer), "fewer")
    row = next(row for row in fabric_rows(room) if row.fabric.id == fabric.id)
    placed = sum(block.cells.count(fabric.id) for block in room.document.project.board.blocks)
    assert row.short == placed - 1
    assert f"{placed - 1} short" in row.spoken


def test_a_drag_carries_the_fabrics_id(room: Room) -> None:
    view = room.window.shelf.view
    fabric = room.document.project.fabrics[2]
    room.desk.choose_fabric(fabric.id)
    data = view.drag_data()
    assert data.formats() == [FABRIC_MIME]
    assert bytes(data.data(FABRIC_MIME).data()).decode() == fabric.id
    assert view.dragEnabled()


def test_the_keyboard_walks_fabrics_and_passes_headings(room: Room) -> None:
    view = room.window.shelf.view
    view.setFocus(Qt.FocusReason.TabFocusReason)
    walked = [room.desk.fabric]
    for _ in range(7):
        QTest.keyClick(view, Qt.Key.Key_Down)
        walked.append(room.desk.fabric)
    assert walked == [row.fabric.id for row in fabric_rows(room)]
    assert view.shows_cord


def test_enter_opens_the_fabric_step(room: Room) -> None:
    view = room.window.shelf.view
    view.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert room.desk.step == "fabrics"


def test_delete_removes_and_undo_brings_back(room: Room) -> None:
    view = room.window.shelf.view
    fabric = room.document.project.fabrics[0].id
    room.desk.choose_fabric(fabric)
    QTest.keyClick(view, Qt.Key.Key_Delete)
    assert fabric not in room.document.project.by_id()
    assert len(fabric_rows(room)) == 7
    room.document.undo_stack.undo()
    assert fabric in {row.fabric.id for row in fabric_rows(room)}


def test_every_row_can_be_heard(room: Room) -> None:
    model = room.window.shelf.rows
    spoken = [
        model.index(k, 0).data(Qt.ItemDataRole.AccessibleTextRole)
        for k in range(model.rowCount())
    ]
    assert all(spoken)
    assert any("Harbour Dot" in text and "value" in text for text in spoken)
    assert room.window.shelf.view.accessibleName()
    assert room.window.shelf.view.accessibleDescription()


def test_five_hundred_fabrics_are_listed_and_only_what_differs_is_told(
    make_room: MakeRoom, qtbot: QtBot
) -> None:
    fabrics = tuple(valued(k, 5 + 0.18 * k) for k in range(500))
    board = Document().project.board
    room = make_room(Project("Many", board, fabrics))
    assert len(fabric_rows(room)) == 500
    model = room.window.shelf.rows
    with qtbot.assertNotEmitted(model.rowsRemoved), qtbot.waitSignal(model.dataChanged) as told:
        changed = msgspec.structs.replace(fabrics[250], note="from the swap")
        room.document.change_fabric(changed)
    first, last, *_ = told.args
    assert first.row() == last.row()


def test_a_listing_of_nothing_has_no_headings() -> None:
    assert list_shelf((), {}, {}, (), "in") == []


def test_tab_goes_from_the_shelfs_heading_down_to_its_cloth(room: Room) -> None:
    window = room.window
    window.loupes.setFocus()
    window.shelf.look_up()
    walked: list[QWidget | None] = [window.shelf.view, window.canvas]
    for stop in walked:
        window.focusNextChild()
        assert window.focusWidget() is stop
    window.shelf.add_button.setFocus()
    window.focusNextChild()
    assert window.focusWidget() is window.shelf.field


def test_the_menu_key_asks_about_the_fabric_the_keyboard_is_on(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = room.window.shelf.view
    row = room.window.shelf.rows.row_of(room.document.project.fabrics[2].id)
    view.setCurrentIndex(room.window.shelf.rows.index(row))
    asked: list[str] = []

    class Heard(QMenu):
        def exec(self, _at: QPoint) -> None:  # type: ignore[override]
            asked.append(self.actions()[0].text())

    monkeypatch.setattr("quiltboard.window.shelf.QMenu", Heard)
    middle = view.viewport().rect().center()
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Keyboard, middle, view.viewport().mapToGlobal(middle)
    )
    view.contextMenuEvent(event)
    assert asked == [f"Open “{room.document.project.fabrics[2].name}”"]


@pytest.mark.parametrize(
    ("cloths", "amounts", "said"),
    [
        (38, (), "38 cloths"),
        (1, (), "1 cloth"),
        (38, (CutWedges(50),), "38 cloths, 50 pieces"),
    ],
)
def test_a_pool_tells_how_many_cloths_it_has(
    cloths: int, amounts: tuple[Amount, ...], said: str
) -> None:
    swap = msgspec.structs.replace(valued(1, 50), amounts=amounts, pool=Pool(cloths))
    assert say_there(swap, "in") == said
    assert say_there(msgspec.structs.replace(swap, pool=None), "in") != said
