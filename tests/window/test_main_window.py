"""The window as a whole: first run, drops, titles, jobs, rooms, and what fits where."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, QRect, Qt, QTimer, QUrl
from PySide6.QtGui import QCloseEvent, QColor, QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.project.edits import LONGEST_TITLE
from quiltboard.quilt.board import Cell
from quiltboard.window.adding import sources_in
from quiltboard.window.dialogs import (
    KeysOverview,
    Message,
    NameQuestion,
    Note,
    ProblemList,
    UnsavedQuestion,
)
from quiltboard.window.lettering import Words
from quiltboard.window.rows import RowsView
from tests.helpers.projects import sample_fabrics, sample_project
from tests.window.conftest import MakeRoom, Room

pytestmark = pytest.mark.qt


def drop(window: QWidget, data: QMimeData) -> None:
    """Drop something on the middle of the window."""
    event = QDropEvent(
        QPointF(600, 400),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    window.dropEvent(event)


def urls(*paths: Path) -> QMimeData:
    """Give what a file manager drags."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return data


# The first run.


def test_the_first_run_goes_when_there_is_cloth_and_comes_back_with_undo(
    make_room: MakeRoom,
) -> None:
    room = make_room()
    wall = room.window.wall
    assert wall.first_run.isVisible()
    assert not wall.canvas.isVisible()
    assert not room.window.ledge.isVisible()
    room.document.add_fabrics(sample_fabrics())
    assert not wall.first_run.isVisible()
    assert wall.canvas.isVisible()
    assert room.window.ledge.isVisible()
    room.document.undo_stack.undo()
    assert wall.first_run.isVisible()


def test_the_first_runs_buttons_ask_for_photos_and_for_the_demo(
    make_room: MakeRoom, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = make_room()
    first = room.window.wall.first_run
    asked = []
    monkeypatch.setattr(room.keeping, "open_demo", lambda: asked.append("demo"))
    QTest.mouseClick(first.demo, Qt.MouseButton.LeftButton)
    assert asked == ["demo"]
    with qtbot.waitSignal(first.photos_asked):
        monkeypatch.setattr(
            "quiltboard.window.adding.QFileDialog.getOpenFileNames", lambda *_: ([], "")
        )
        QTest.keyClick(first.choose, Qt.Key.Key_Space)


# Drops and pastes.


def test_dropped_files_are_brought_in(
    make_room: MakeRoom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = make_room()
    brought: list[object] = []
    monkeypatch.setattr(room.bringing, "bring", brought.extend)
    photo = tmp_path / "kelp.png"
    drop(room.window, urls(photo, tmp_path))
    assert brought == [photo, tmp_path]
    assert room.keeping.settings.photo_folder == str(tmp_path)


def test_a_dropped_board_is_opened(
    room: Room, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[Path] = []
    monkeypatch.setattr(room.keeping, "open", opened.append)
    drop(room.window, urls(tmp_path / "sea.quiltboard"))
    assert opened == [tmp_path / "sea.quiltboard"]


def test_text_that_names_files_counts_as_files(tmp_path: Path) -> None:
    there = tmp_path / "list.csv"
    there.write_text("name,photo\n")
    data = QMimeData()
    data.setText(f"{there}\n{QUrl.fromLocalFile(str(tmp_path)).toString()}\n/not/there.png\n")
    assert sources_in(data) == [there, tmp_path]


def test_a_copied_picture_is_brought_in_as_bytes() -> None:
    image = QImage(8, 6, QImage.Format.Format_RGB32)
    image.fill(QColor("#2b7a7f"))
    data = QMimeData()
    data.setImageData(image)
    (source,) = sources_in(data)
    assert isinstance(source, bytes)
    again = QImage.fromData(source)
    assert (again.width(), again.height()) == (8, 6)


def test_words_are_nothing_to_bring_in(room: Room) -> None:
    data = QMimeData()
    data.setText("a verse about cloth")
    drop(room.window, data)
    assert "nothing to bring in" in room.window.status.news.text()


# Titles, the label, unsaved work.


def test_the_title_tells_the_quilts_name_and_unsaved_work(room: Room) -> None:
    window = room.window
    assert window.windowTitle() == "Sea & <Brick>[*] – Quiltboard"
    assert not window.isWindowModified()
    room.document.rename("Harbour")
    assert window.windowTitle().startswith("Harbour[*]")
    assert window.isWindowModified()
    assert "Not saved yet" in window.label.accessibleName()


def test_closing_with_unsaved_work_asks(
    room: Room, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    room.document.rename("Harbour")
    monkeypatch.setattr(UnsavedQuestion, "ask", lambda _self: "cancel")
    event = QCloseEvent()
    room.window.closeEvent(event)
    assert not event.isAccepted()
    monkeypatch.setattr(UnsavedQuestion, "ask", lambda _self: "discard")
    room.window.close()
    qtbot.waitUntil(lambda: not room.window.isVisible())
    assert room.keeping.settings.geometry


def test_save_before_leaving_goes_on_when_the_file_is_written(
    room: Room, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room.document.rename("Harbour")
    target = tmp_path / "harbour.quiltboard"
    monkeypatch.setattr(UnsavedQuestion, "ask", lambda _self: "save")
    monkeypatch.setattr(
        "quiltboard.window.filing.QFileDialog.getSaveFileName", lambda *_: (str(target), "")
    )
    room.window.actions_of["file.new"].trigger()
    qtbot.waitUntil(lambda: not room.document.project.fabrics)
    assert target.exists()
    assert room.document.path is None


def test_refusals_are_told_in_the_bottom_bar(room: Room) -> None:
    room.document.pin_wedges((Cell(0, 3),), pinned=True)
    assert "no piece to pin" in room.window.status.news.text()


# Jobs.


def test_an_import_shows_its_progress_and_its_problems(room: Room) -> None:
    status = room.window.status
    room.bringing.started.emit()
    room.bringing.progressed.emit(3, 12, "kelp.jpg")
    assert status.stitches.share == pytest.approx(0.25)
    assert "kelp.jpg" in status.job.text()
    assert status.percent.text() == "25 %"
    room.bringing.ended.emit(["a.jpg: is no picture.", "b.jpg: is empty."])
    assert status.job.isHidden()
    assert status.problems.isVisible()
    assert status.problems.text() == "2 left out: see why"


def test_stop_ends_the_deal(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    stopped = []
    monkeypatch.setattr(type(room.dealing), "running", property(lambda _self: True))
    monkeypatch.setattr(room.dealing, "stop", lambda: stopped.append(True))
    room.dealing.started.emit()
    assert room.window.ledge.stop.isVisible()
    assert not room.window.ledge.deal.isVisible()
    QTest.mouseClick(room.window.status.stop, Qt.MouseButton.LeftButton)
    assert stopped == [True]
    monkeypatch.setattr(type(room.dealing), "running", property(lambda _self: False))
    room.dealing.ended.emit("Dealt: nothing is flagged.")
    assert room.window.ledge.deal.isVisible()
    assert room.window.status.news.text() == "Dealt: nothing is flagged."


# Steps.


def test_a_step_shows_its_own_parts(room: Room) -> None:
    side, centre = QWidget(), QWidget()
    room.window.add_step_panel("fabrics", side, centre)
    room.desk.go_to_step("fabrics")
    assert room.window.right.currentWidget() is side
    assert room.window.centre.currentWidget() is centre
    QTest.mouseClick(room.window.steps.buttons["arrange"], Qt.MouseButton.LeftButton)
    assert room.window.right.currentWidget() is room.window.panel_area
    assert room.window.centre.currentWidget() is room.window.wall
    with pytest.raises(ValueError, match="no step"):
        room.window.add_step_panel("sew", side)


def test_the_thread_tells_how_far_each_step_is(room: Room) -> None:
    notes = room.window.steps.notes()
    assert notes["wedge"] == "12 to a ring"
    assert notes["arrange"] == "47 of 48 laid"
    assert notes["top"] == "28 1⁄2 × 28 1⁄2 in"
    room.document.clear_wedges((Cell(0, 0),))
    assert room.window.steps.notes()["arrange"] == "46 of 48 laid"


def test_the_loupes_show_the_chosen_ring_each_way(room: Room, qtbot: QtBot) -> None:
    loupes = room.window.loupes.buttons
    qtbot.waitUntil(lambda: all(loupe.picture is not None for loupe in loupes.values()))

    def chroma(way: str) -> int:
        image = loupes[way].picture  # type: ignore[index]
        assert image is not None
        colours = [
            image.pixelColor(x, y)
            for x in range(0, image.width(), 3)
            for y in range(0, image.height(), 3)
        ]
        return max(
            max(c.red(), c.green(), c.blue()) - min(c.red(), c.green(), c.blue())
            for c in colours
        )

    assert chroma("colour") > 60
    assert chroma("squint") > 30
    assert chroma("grey") <= 2
    assert chroma("steps") <= 2
    QTest.mouseClick(loupes["grey"], Qt.MouseButton.LeftButton)
    assert room.desk.seeing == "grey"


# What fits, and what can be reached and heard.


@pytest.mark.parametrize("choice", ["light", "dark"])
@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("laid", [True, False], ids=["laid", "empty"])
def test_nothing_is_wider_than_its_place(
    make_room: MakeRoom, percent: int, laid: bool, choice: str
) -> None:
    project = sample_project(2, 2, 12, empty=(3,)) if laid else None
    room = make_room(project, percent=percent, choice=choice)
    window = room.window
    assert (window.width(), window.height()) == (1280, 720)
    for widget in window.findChildren(QWidget):
        if not widget.isVisible() or widget.window() is not window:
            continue
        left = widget.mapTo(window, widget.rect().topLeft()).x()
        assert left >= -1, widget
        assert left + widget.width() <= 1281, widget
    for words in window.findChildren(Words):
        if words.isVisible() and not words._shortened and words.text():
            needed = words.minimumSizeHint()
            assert words.width() >= needed.width() - 1, words.text()
            if not words._wrapped:
                continue
            assert words.height() >= words.heightForWidth(words.width()) - 1, words.text()
    for button in window.findChildren(QAbstractButton):
        if button.isVisible() and button.parent() is window.ledge:
            assert button.width() >= button.sizeHint().width()


def test_everything_that_can_be_reached_has_a_name(room: Room) -> None:
    nameless = [
        widget
        for widget in room.window.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and isinstance(widget, QAbstractButton | QLineEdit | RowsView)
        and not (widget.accessibleName() or getattr(widget, "text", str)())
    ]
    assert nameless == []


def test_tab_walks_the_window_and_the_cord_follows(room: Room) -> None:
    window = room.window
    window.activateWindow()
    window.label.setFocus()
    QTest.keyClick(window.label, Qt.Key.Key_Tab)
    focused = window.focusWidget()
    assert focused is not window.label
    assert window._cord.widget is focused
    window.resize(window.width() + 90, window.height() + 40)
    window.balance.question.setFocus()
    window.actions_of["text.larger"].trigger()
    QApplication.processEvents()
    question = window.balance.question
    box = QRect(question.mapTo(window, QPoint(0, 0)), question.size())
    assert window._cord.geometry().contains(box)
    assert window._cord.geometry().center() == box.center()
    QTest.mouseClick(window.status, Qt.MouseButton.LeftButton)
    assert window._cord.widget is None


def test_the_room_and_the_letters_can_be_changed_while_it_stands(room: Room) -> None:
    actions = room.window.actions_of
    actions["room.dark"].trigger()
    assert room.theme.dark
    assert room.keeping.settings.theme == "dark"
    before = room.window.shelf.width()
    actions["text.larger"].trigger()
    actions["text.larger"].trigger()
    assert room.theme.text_percent == 150
    assert room.window.shelf.width() > before
    actions["text.smaller"].trigger()
    assert room.theme.text_percent == 125


def test_the_bars_are_grey_and_the_ground_is_the_same_in_both_rooms(
    make_room: MakeRoom,
) -> None:
    for choice in ("light", "dark"):
        room = make_room(sample_project(1, 1), choice=choice)
        picture = room.window.grab().toImage()
        bar = picture.pixelColor(290, 4)
        assert bar.name() == room.theme.room.bars
        ground = picture.pixelColor(290, 600)
        assert ground.name() == room.theme.room.ground


# Dialogs.


def test_dialogs_speak_our_words_and_answer(room: Room) -> None:
    theme, window = room.theme, room.window
    question = UnsavedQuestion(theme, "Harbour", window)
    problems = ProblemList(theme, ["a.jpg: is no picture."], window)
    name = NameQuestion(theme, "Harbour", window)
    keys = KeysOverview(theme, window)
    message = Message(theme, "That did not work", "The disk is full.", window)
    dialogs: tuple[Note, ...] = (question, problems, name, keys, message)
    for dialog in dialogs:
        dialog.show()
        assert dialog.windowTitle()
        assert all(button.text() for button in dialog.findChildren(QAbstractButton))
        dialog.hide()
    QTest.mouseClick(question.discard_button, Qt.MouseButton.LeftButton)
    assert question.answer == "discard"
    assert "a.jpg" in problems.lines.toPlainText()
    assert name.field.maxLength() == LONGEST_TITLE
    shown = {label.text() for label in keys.findChildren(QLabel)}
    assert {"Ctrl+Z", "Ctrl+1", "Space"} <= shown
    for dialog in dialogs:
        dialog.deleteLater()


def test_an_answered_dialog_leaves_nothing_behind_that_listens(room: Room) -> None:
    keys = KeysOverview(room.theme, room.window)
    QTimer.singleShot(0, keys, keys.accept)
    keys.exec()
    del keys
    gc.collect()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    room.document.rename("Harbour at night")
    QTest.keyClick(room.window, Qt.Key.Key_Tab)
    assert room.window.findChildren(KeysOverview) == []
    assert "Harbour at night" in room.window.label.accessibleName()
