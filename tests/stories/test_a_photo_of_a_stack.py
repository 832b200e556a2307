"""From one photograph of many cloths to fabrics that compare: cut apart, lit, scaled, kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.app import Parts, put_together
from quiltboard.store.board_file import open_board, save_board
from quiltboard.units import inches
from quiltboard.window.steps.photo_painter import on_photo
from quiltboard.window.steps.photo_table import PhotoTable
from tests.helpers.drags import drag_drop, drag_enter
from tests.helpers.table_scenes import table_scene

pytestmark = [pytest.mark.qt, pytest.mark.story]

PATIENCE_MS = 60_000


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


def drop(window: QWidget, file: Path) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(file))])
    at = QPoint(700, 450)
    QApplication.sendEvent(window, drag_enter(mime, at))
    QApplication.sendEvent(window, drag_drop(mime, at))


def press(window: QWidget, text: str) -> None:
    button = next(b for b in window.findChildren(QPushButton) if b.text() == text)
    button.click()


def click(table: PhotoTable, x: float, y: float) -> None:
    at = on_photo(table.photo_rect(), x, y).toPoint()
    QTest.mouseClick(table, Qt.MouseButton.LeftButton, pos=at)


def test_from_one_photo_to_a_shelf_that_compares(
    parts: Parts, tmp_path: Path, qtbot: QtBot
) -> None:
    document, window, desk = parts.document, parts.window, parts.desk
    scene = table_scene(511, "wood", "grid")
    pixels = scene.pixels.copy()
    pixels[20:150, 20:190] = (232, 231, 228)
    photo = tmp_path / "stack.png"
    Image.fromarray(pixels).save(photo, compress_level=1)

    # Every cloth becomes a fabric; one step of undo takes them off and brings them back.
    with qtbot.waitSignal(parts.bringing.ended, timeout=PATIENCE_MS) as brought:
        drop(window, photo)
    count = len(document.project.fabrics)
    assert count == len(scene.cloths)
    assert "cut apart" in brought.args[0][0]
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert not document.project.fabrics
    document.undo_stack.redo()

    # Opened, one cloth shows its place; a click on another cloth of the photo opens that.
    desk.go_to_step("fabrics")
    first, second = document.project.fabrics[:2]
    desk.choose_fabric(first.id)
    table = window.findChild(PhotoTable)
    assert table is not None
    qtbot.waitUntil(lambda: not table.photo_rect().isEmpty(), timeout=PATIENCE_MS)
    x, y = (sum(corner[axis] for corner in second.corners) / 4 for axis in (0, 1))
    click(table, x, y)
    assert desk.fabric == second.id

    # White is set by the card, pointed at; the value is comparable from then on.
    with qtbot.waitSignal(document.judged, timeout=PATIENCE_MS):
        press(window, "As taken")
    assert not document.project.fabric(second.id).calibrated
    with qtbot.waitSignal(document.judged, timeout=PATIENCE_MS):
        press(window, "White card…")
        click(table, 105 / pixels.shape[1], 85 / pixels.shape[0])
    assert document.project.fabric(second.id).lighting.reference == "white card"

    # The scale is set between two points, and the wedges show the print at true size.
    with qtbot.waitSignal(document.judged, timeout=PATIENCE_MS):
        press(window, "From point to point…")
        rect = table.photo_rect()
        ends = [on_photo(rect, px, 0.5).toPoint() for px in (0.2, 0.8)]
        QTest.mousePress(table, Qt.MouseButton.LeftButton, pos=ends[0])
        QTest.mouseMove(table, QPointF(ends[1]).toPoint())
        QTest.mouseRelease(table, Qt.MouseButton.LeftButton, pos=ends[1])
    scaled = document.project.fabric(second.id)
    assert scaled.ruler is not None
    assert scaled.ruler.length == inches(1)
    assert scaled.swatch is not None
    assert scaled.swatch.width is not None

    # All of it is in the board file, the photo once.
    board = tmp_path / "stack.quiltboard"
    save_board(document.project, board)
    opened = open_board(board).project
    assert opened == document.project
    assert len({id(fabric.photo and fabric.photo.jpeg) for fabric in opened.fabrics}) == 1
