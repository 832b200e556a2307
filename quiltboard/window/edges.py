"""What parts the window: thin lines, and a handle with a grip."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSplitter, QSplitterHandle, QWidget

from quiltboard.window.theme import Theme


class Edge(QWidget):
    """A thin line between two parts."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setFixedWidth(1)
        theme.changed.connect(self.update)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("edge"))


class PanelSplitter(QSplitter):
    """Divides the side part in two; its handle wears a grip."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(Qt.Orientation.Vertical)
        self.theme = theme
        self.setHandleWidth(9)

    def createHandle(self) -> QSplitterHandle:
        """Make a handle of our own."""
        return PanelHandle(self.theme, self)


class PanelHandle(QSplitterHandle):
    """A rule with a grip."""

    def __init__(self, theme: Theme, splitter: QSplitter) -> None:
        super().__init__(Qt.Orientation.Vertical, splitter)
        self._theme = theme

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the rule and the grip."""
        middle = self.height() // 2
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("panel"))
            painter.fillRect(0, middle, self.width(), 1, self._theme.colour("rule"))
            grip = self._theme.colour("edge")
            painter.fillRect(self.width() // 2 - 16, middle - 1, 32, 3, grip)
