"""The Fabrics step: what the photo tells can be set right, by mouse and by keyboard."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from quiltboard.fabrics.fabric import (
    ByHand,
    Care,
    Cloth,
    CutWedges,
    Fabric,
    FabricId,
)
from quiltboard.quilt.board import empty_board
from quiltboard.units import inches
from quiltboard.window.steps.add import add_step_panels
from quiltboard.window.steps.fabric_step import FabricStep
from tests.helpers.projects import sample_project
from tests.helpers.table_photos import (
    table_photo,
)
from tests.window.conftest import MakeRoom
from tests.window.steps.conftest import PATIENCE_MS, Step

pytestmark = pytest.mark.qt


def act(step: Step, text: str) -> QPushButton:
    return next(b for b in step.panel.acts.findChildren(QPushButton) if b.text() == text)


# The label.


def test_name_amounts_and_note_are_written(step: Step) -> None:
    step.write("Name", "  Curly   Dot ")
    assert step.fabric.name == "Curly Dot"
    step.write("Name", "Lantern")
    assert step.fabric.name == "Curly Dot"
    assert "share a name" in step.said
    step.write("Name", "")
    assert step.field("Name").text() == "Curly Dot"
    assert "has a name" in step.said
    step.write("There is", "3 wedges + fat eighth")
    assert step.fabric.amounts == (CutWedges(3), Cloth(inches(9), inches(21)))
    step.write("There is", "a bit")
    assert "says no amount" in step.said
    assert len(step.fabric.amounts) == 2
    step.write("Note", "from the top drawer")
    assert step.fabric.note == "from the top drawer"
    assert step.said == ""


def test_escape_gives_up_what_was_typed(step: Step) -> None:
    line = step.field("Name")
    line.setFocus()
    QTest.keyClicks(line, "x")
    QTest.keyClick(line, Qt.Key.Key_Escape)
    assert line.text() == "Harbour Dot"
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert step.fabric.name == "Harbour Dot"


def test_what_is_half_typed_is_for_no_other_fabric(step: Step, dots: Fabric) -> None:
    line = step.field("Name")
    line.setFocus()
    QTest.keyClicks(line, "half")
    step.desk.choose_fabric(FabricId("f4"))
    assert line.text() == "Lantern"
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert step.fabric.name == "Lantern"
    assert step.document.project.fabric(dots.id).name == dots.name


# What the photo tells, and what the maker says instead.


def test_a_value_set_by_hand_goes_back_to_the_measured_one(step: Step) -> None:
    measured = step.fabric.reading.value
    assert step.field("Value, L*").placeholderText() == f"as measured: {measured:.0f}"
    step.write("Value, L*", "47,5")
    assert step.fabric.value == 47.5
    for nonsense in ("120", "-3", "nan", "dark"):
        step.write("Value, L*", nonsense)
        assert step.fabric.value == 47.5
        assert "0 (black) to 100 (white)" in step.said
        assert step.field("Value, L*").text() == "47.5"
    step.write("Value, L*", "")
    assert step.fabric.by_hand.value is None
    assert step.fabric.value == measured


def test_each_measure_is_set_by_hand_and_back(step: Step) -> None:
    measures = step.panel.measures
    step.choose(measures.step, "light")
    assert step.document.judgement.shelf.steps[step.fabric.id] == "light"
    step.choose(measures.step, "as measured")
    assert step.fabric.step is None
    step.choose(measures.print_size, "large")
    assert step.fabric.by_hand.size == "large"
    step.choose(measures.solid, "as a plain cloth")
    assert step.fabric.by_hand.solid is True
    step.choose(measures.way, "two-way")
    assert step.fabric.by_hand.way == "two-way"
    step.write("Repeat", "4 in x 6 in")
    assert step.fabric.by_hand.repeat == (inches(4), inches(6))
    assert step.field("Repeat").text() == "4 in x 6 in"
    for nonsense in ("wide", "0", "4 in x tall"):
        step.write("Repeat", nonsense)
        assert "no length" in step.said
        assert step.fabric.by_hand.repeat == (inches(4), inches(6))
    step.write("Repeat", "")
    for box in (measures.print_size, measures.solid, measures.way):
        step.choose(box, "as measured")
    assert step.fabric.by_hand == ByHand()


def test_the_step_choice_follows_the_number_of_steps(step: Step) -> None:
    box = step.panel.measures.step

    def offered() -> list[str]:
        return [box.itemText(at) for at in range(1, box.count())]

    assert offered() == ["light", "medium", "dark", "mixed"]
    step.desk.choose_fabric(None)
    section = step.panel.set_section
    assert section.isVisible()
    line = section.count.lineEdit()
    for count in (2, 7):
        line.selectAll()
        QTest.keyClicks(line, str(count))
        QTest.keyClick(line, Qt.Key.Key_Return)
        assert step.document.project.board.step_count == count
    QTest.keyClick(section.count, Qt.Key.Key_Up)
    assert step.document.project.board.step_count == 7
    step.desk.choose_fabric(FabricId("dots"))
    assert offered()[0] == "lightest"
    assert len(offered()) == 8
    step.choose(box, "darkest")
    step.document.undo_stack.undo()
    step.document.undo_stack.redo()
    step.desk.choose_fabric(None)
    section.count.setValue(3)
    step.desk.choose_fabric(FabricId("dots"))
    assert box.currentText() == "darkest, here dark"
    assert step.fabric.step == "darkest"


def test_the_print_is_told_against_the_wedge(step: Step) -> None:
    box = step.panel.measures.print_size
    assert box.itemText(0) == "as measured: no scale yet"
    assert "% of the swatch" in step.panel.measures.print_told.text()
    step.open(step.panel.scale)
    for width, size in (("4 in", "small"), ("12 in", "medium"), ("40 in", "large")):
        step.write("Photo shows", width)
        step.rest()
        assert box.itemText(0) == f"as measured: {size}"
    assert "in" in step.panel.measures.print_told.text().split()


def test_a_plain_colour_has_no_photo_to_tell_of(step: Step) -> None:
    step.desk.choose_fabric(FabricId("plain"))
    panel = step.panel
    for hidden in (panel.light, panel.scale, panel.cloths, panel.measures.print_size):
        assert not hidden.isVisible()
    assert panel.measures.value.isVisible()
    assert panel.measures.heading.text() == "A plain colour"
    step.open(panel.state)
    assert not panel.state.more.isEnabled()


# The cloth itself.


def test_the_state_of_the_cloth_is_told(step: Step) -> None:
    state = step.panel.state
    step.open(state)
    step.choose(state.washing, "washed")
    QTest.keyClick(state.starched, Qt.Key.Key_Space)
    QTest.keyClick(state.dye_tested, Qt.Key.Key_Space)
    assert step.fabric.care == Care("washed", starched=True, dye_tested=True)
    assert state.told.text() == "Washed; starched; dye tested."
    step.choose(state.washing, "not told")
    assert step.fabric.care.washing is None


def test_a_pool_takes_photos_and_never_has_fewer_cloths_than_are_shown(
    step: Step, tmp_path: Path
) -> None:
    state = step.panel.state
    step.open(state)
    with step.qtbot.waitSignal(step.panel.pool_photos_asked):
        step.click(state.more)
    photo, broken = tmp_path / "more.jpg", tmp_path / "broken.jpg"
    photo.write_bytes(table_photo())
    broken.write_bytes(table_photo()[:900])
    step.panel.add_pool_photos([photo])
    step.rest()
    pool = step.fabric.pool
    assert pool is not None
    shown = 1 + len(pool.more)
    assert pool.cloths == shown >= 2
    line = state.cloths.lineEdit()
    line.selectAll()
    QTest.keyClicks(line, "38")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert step.fabric.pool is not None
    assert step.fabric.pool.cloths == 38
    assert "38 cloths" in state.told.text()
    line.selectAll()
    QTest.keyClicks(line, "1")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert "of its cloths are shown" in step.said
    assert step.fabric.pool.cloths == 38
    assert state.cloths.value() == 38
    step.panel.add_pool_photos([broken])
    step.rest()
    assert "broken.jpg" in step.said
    assert step.fabric.pool.cloths == 38


# The panel itself.


def test_sections_open_and_close_by_keyboard(step: Step) -> None:
    for section in (
        step.panel.light, step.panel.scale, step.panel.cloths, step.panel.state,
    ):  # fmt: skip
        heading = section.heading
        assert not section.fields.isVisible()
        assert section.told.isVisible() or section is step.panel.cloths
        heading.setFocus()
        QTest.keyClick(heading, Qt.Key.Key_Space)
        assert section.fields.isVisible()
        assert heading.accessibleDescription() == "open"
        QTest.keyClick(heading, Qt.Key.Key_Return)
        assert not section.fields.isVisible()


def test_the_wheel_scrolls_and_changes_nothing(step: Step) -> None:
    before = step.fabric
    step.open(step.panel.state)
    for field in (step.panel.measures.step, step.panel.measures.way, step.panel.state.cloths):
        middle = QPointF(field.rect().center())
        event = QWheelEvent(
            middle,
            QPointF(field.mapToGlobal(middle)),
            QPoint(0, -120),
            QPoint(0, -120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(field, event)
    assert step.fabric == before


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_nothing_is_wider_than_the_part(step: Step, percent: int) -> None:
    step.write("Name", "A Very Long Name Of A Cloth That Was Bought On A Journey Long Ago")
    step.panel.theme.scale_text(percent)
    step.panel.setFixedWidth(step.panel.theme.wide(356))
    for section in (
        step.panel.light, step.panel.scale, step.panel.cloths, step.panel.state,
    ):  # fmt: skip
        step.open(section)
    inside = step.panel.widget()
    assert inside is not None
    step.qtbot.waitUntil(
        lambda: inside.width() <= step.panel.viewport().width(), timeout=PATIENCE_MS
    )
    step.desk.choose_fabric(None)
    assert inside.minimumSizeHint().width() <= step.panel.viewport().width()


def test_acts_ask_for_what_they_say(step: Step) -> None:
    with step.qtbot.waitSignal(step.panel.keep_asked):
        step.click(act(step, "Keep in the stash"))
    with step.qtbot.waitSignal(step.panel.remove_asked):
        step.click(act(step, "Take off the shelf"))
    step.click(act(step, "See the whole set"))
    assert step.desk.fabric is None
    assert step.panel.centre.currentWidget() is step.panel.set_view
    assert step.panel.title.text() == "The whole set"
    assert not step.panel.measures.isVisible()


def test_in_the_window_a_fabric_is_kept_in_the_stash(
    make_room: MakeRoom, qtbot: QtBot, dots: Fabric
) -> None:
    project = sample_project()
    room = make_room(
        msgspec.structs.replace(
            project, fabrics=(*project.fabrics[1:], dots), board=empty_board()
        )
    )
    window = room.window
    add_step_panels(window, room.document, room.desk, room.theme, room.keeping)
    room.desk.go_to_step("fabrics")
    panel = window.right.currentWidget()
    assert isinstance(panel, FabricStep)
    assert window.centre.currentWidget() is panel.centre
    assert "Click a fabric to open it" in window.status.hint.text()
    room.desk.choose_fabric(dots.id)
    assert "Drag the corners" in window.status.hint.text()
    keep = next(b for b in panel.findChildren(QPushButton) if b.text() == "Keep in the stash")
    with qtbot.waitSignal(window.keep_asked) as asked:
        QTest.mouseClick(keep, Qt.MouseButton.LeftButton)
    assert asked.args == [dots.id]
    off = next(b for b in panel.findChildren(QPushButton) if b.text() == "Take off the shelf")
    QTest.mouseClick(off, Qt.MouseButton.LeftButton)
    assert dots.id not in room.document.project.by_id()
    assert panel.set_section.isVisible()
