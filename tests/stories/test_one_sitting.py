"""One sitting: from photographs dropped on a new window to sheets on paper, by hand."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pdfplumber
import pytest
from PIL import Image
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.app import Parts, put_together
from quiltboard.quilt.board import Cell
from tests.helpers.canvas import Hands, fabric_mime
from tests.helpers.drags import drag_drop, drag_enter
from tests.helpers.projects import PRINTS, printed

pytestmark = [pytest.mark.qt, pytest.mark.story, pytest.mark.smoke]

PATIENCE_MS = 60_000


@pytest.fixture
def photos(tmp_path: Path) -> list[Path]:
    """Six invented prints as files, and one that is torn."""
    files = []
    for name, (kind, ground, figure, _) in list(PRINTS.items())[:6]:
        file = tmp_path / f"{name}.jpg"
        Image.fromarray(printed(kind, ground, figure, 420)).save(file, quality=92)
        files.append(file)
    torn = tmp_path / "Torn.jpg"
    torn.write_bytes(files[0].read_bytes()[:500])
    return [*files, torn]


@pytest.fixture
def parts(qtbot: QtBot) -> Iterator[Parts]:
    made = put_together()
    qtbot.addWidget(
        made.window, before_close_func=lambda _w: made.document.undo_stack.setClean()
    )
    made.window.resize(1400, 900)
    made.window.show()
    qtbot.waitExposed(made.window)
    yield made
    made.document.close()


def drop(window: QWidget, files: list[Path]) -> None:
    """Drop files on the window, as a file manager does."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(file)) for file in files])
    at = QPoint(700, 450)
    enter = drag_enter(mime, at)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, drag_drop(mime, at))


def kinds(parts: Parts) -> list[str]:
    return [flag.key.kind for flag in parts.document.judgement.report.flags]


def test_from_photographs_to_paper(
    parts: Parts, photos: list[Path], tmp_path: Path, qtbot: QtBot
) -> None:
    document, window = parts.document, parts.window

    # Photographs dropped as files; the torn one loses only itself, with a line that says why.
    with qtbot.waitSignal(parts.bringing.ended, timeout=PATIENCE_MS) as brought:
        drop(window, photos)
    assert len(document.project.fabrics) == 6
    assert len(brought.args[0]) == 1
    assert "Torn.jpg" in brought.args[0][0]

    # The ring filled from the shelf, wedge by wedge, so that nothing touches.
    hands = Hands(window.canvas, qtbot)
    hands.settle()
    ids = [fabric.id for fabric in document.project.fabrics]
    for w in range(12):
        cloth, wedge = fabric_mime(ids[w % 6]), hands.at(Cell(0, w))
        assert hands.drag_in(cloth, wedge) == (True, True)
        assert hands.drop(cloth, wedge)
    assert [fabric for _, fabric in document.project.board.cells()] == ids * 2
    assert "touch" not in kinds(parts)

    # Two wedges swapped by mouse: a touch appears, in the panel too, and goes with undo.
    order = document.project
    hands.drag(hands.at(Cell(0, 1)), hands.at(Cell(0, 6)))
    assert document.project.board.at(Cell(0, 1)) == ids[0]
    assert kinds(parts).count("touch") == 2  # wedges 1 and 2, and wedges 7 and 8
    assert (
        "touch" in window.balance.headline.text().lower() + window.balance.kinds.text().lower()
    )
    with qtbot.waitSignal(document.judged):
        window.actions_of["edit.undo"].trigger()
    assert document.project == order
    assert "touch" not in kinds(parts)

    # Saved, and opened again.
    board = tmp_path / "evening.quiltboard"
    with qtbot.waitSignal(parts.keeping.saved, timeout=PATIENCE_MS):
        parts.keeping.save(board)
    assert not document.modified
    with qtbot.waitSignal(parts.keeping.opened, timeout=PATIENCE_MS):
        parts.keeping.new()
    assert list(document.project.fabrics) == []
    with qtbot.waitSignal(parts.keeping.opened, timeout=PATIENCE_MS):
        parts.keeping.open(board)
    assert document.project == order

    # Dealt: never worse, one step of undo.
    cost = document.judgement.report.cost
    with qtbot.waitSignal(parts.dealing.ended, timeout=PATIENCE_MS):
        window.actions_of["board.deal"].trigger()
    assert document.judgement.report.cost <= cost
    if document.undo_stack.canUndo():
        window.actions_of["edit.undo"].trigger()
    assert document.project == order

    # On paper: the check squares measure what they say.
    pdf = tmp_path / "evening.pdf"
    with qtbot.waitSignal(window.exporting.ended, timeout=PATIENCE_MS):
        window.exporting.write_sheets(document.project, pdf, "a4")
    squares = []
    with pdfplumber.open(pdf) as pages:
        for page in pages.pages:
            squares += [
                (shape["width"], shape["height"])
                for shape in (*page.rects, *page.curves)
                if shape["stroke"] and abs(shape["width"] - shape["height"]) < 0.2
            ]
    for wanted_mm in (25.4, 20.0):
        wanted_pt = wanted_mm / 25.4 * 72
        assert any(
            abs(width / wanted_pt - 1) < 0.001 and abs(height / wanted_pt - 1) < 0.001
            for width, height in squares
        ), wanted_mm


def test_the_same_by_keyboard_alone(parts: Parts, photos: list[Path], qtbot: QtBot) -> None:
    document, window = parts.document, parts.window
    with qtbot.waitSignal(parts.bringing.ended, timeout=PATIENCE_MS):
        drop(window, photos)
    hands = Hands(window.canvas, qtbot)
    ids = [fabric.id for fabric in document.project.fabrics]
    window.canvas.setFocus()
    for w in range(12):
        parts.desk.choose_fabric(ids[w % 6])
        hands.key(Qt.Key.Key_Return)
        hands.key(Qt.Key.Key_Right)
    assert sorted(f for _, f in document.project.board.cells() if f) == sorted(ids * 2)
    before = document.project.board.at(Cell(0, 0))
    hands.key(Qt.Key.Key_P)
    hands.key(Qt.Key.Key_Delete)
    assert document.project.board.at(Cell(0, 0)) == before
    hands.key(Qt.Key.Key_P)
    hands.key(Qt.Key.Key_Delete)
    assert document.project.board.at(Cell(0, 0)) is None
    while document.undo_stack.canUndo():
        window.actions_of["edit.undo"].trigger()
    assert not document.project.fabrics
