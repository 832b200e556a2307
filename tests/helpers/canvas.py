"""Hands to work a canvas with, as a mouse, a keyboard and a drag from the shelf would."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QDragLeaveEvent,
    QImage,
    QMouseEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from quiltboard.quilt.board import Cell
from quiltboard.window.canvas import FABRIC_MIME, BoardCanvas
from tests.helpers.drags import drag_drop, drag_enter, drag_move

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier


class Hands:
    """Works a canvas as a hand on a mouse and a keyboard would."""

    def __init__(self, canvas: BoardCanvas, qtbot: QtBot) -> None:
        self.canvas = canvas
        self.document = canvas.document
        self.desk = canvas.desk
        self.qtbot = qtbot

    def at(self, cell: Cell) -> QPoint:
        """Give the middle of a wedge on screen."""
        return self.canvas.view.to_px(*self.canvas.sight().middle(cell)).toPoint()

    def picture(self) -> QImage:
        """Give what is on screen, in full colour whatever the screen's depth."""
        image = QImage(self.canvas.size(), QImage.Format.Format_RGB32)
        self.canvas.render(image)
        return image

    def settle(self) -> None:
        """Wait until nothing is left to be painted."""

        def done() -> None:
            self.canvas.repaint()
            assert self.canvas.settled

        self.qtbot.waitUntil(done)

    def click(self, at: QPoint, modifier: Qt.KeyboardModifier = NONE) -> None:
        QTest.mouseClick(self.canvas, LEFT, modifier, at)

    def press(self, at: QPoint, button: Qt.MouseButton = LEFT) -> None:
        QTest.mousePress(self.canvas, button, NONE, at)

    def move(self, at: QPoint, buttons: Qt.MouseButton = LEFT) -> None:
        point = QPointF(at)
        QApplication.sendEvent(
            self.canvas,
            QMouseEvent(
                QEvent.Type.MouseMove,
                point,
                self.canvas.mapToGlobal(point),
                Qt.MouseButton.NoButton,
                buttons,
                NONE,
            ),
        )

    def release(self, at: QPoint, button: Qt.MouseButton = LEFT) -> None:
        QTest.mouseRelease(self.canvas, button, NONE, at)

    def carry(self, start: QPoint, end: QPoint) -> None:
        """Press and move, without letting go."""
        self.press(start)
        for k in range(1, 5):
            self.move(start + (end - start) * k / 4)

    def drag(self, start: QPoint, end: QPoint) -> None:
        """Drag from one point to another and let go."""
        self.carry(start, end)
        self.release(end)

    def key(self, key: Qt.Key, modifier: Qt.KeyboardModifier = NONE) -> None:
        QTest.keyClick(self.canvas, key, modifier)

    def drag_in(self, mime: QMimeData, at: QPoint) -> tuple[bool, bool]:
        """Bring something in from elsewhere; tell whether entering and moving were accepted."""
        enter = drag_enter(mime, at)
        QApplication.sendEvent(self.canvas, enter)
        over = drag_move(mime, at)
        QApplication.sendEvent(self.canvas, over)
        return enter.isAccepted(), over.isAccepted()

    def drop(self, mime: QMimeData, at: QPoint) -> bool:
        event = drag_drop(mime, at)
        QApplication.sendEvent(self.canvas, event)
        return event.isAccepted()

    def drag_out(self) -> None:
        QApplication.sendEvent(self.canvas, QDragLeaveEvent())


def fabric_mime(fabric: str) -> QMimeData:
    """Give what the shelf puts on a drag."""
    mime = QMimeData()
    mime.setData(FABRIC_MIME, fabric.encode())
    return mime
