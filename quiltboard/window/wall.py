"""The design wall: the board, the ledge over its lower edge, the first run before both."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.document.document import Document
from quiltboard.drawing.display import GROUND
from quiltboard.errands.judge import Judgement
from quiltboard.window.canvas import BoardCanvas
from quiltboard.window.first_run import FirstRun
from quiltboard.window.ledge import SHADOW_PX, Ledge
from quiltboard.window.rows import OWN_CORD
from quiltboard.window.theme import Theme

BELOW_LEDGE_PX: Final = 2


class Wall(QWidget):
    """Keeps the ledge in its place, and the first run over an empty board."""

    def __init__(
        self,
        document: Document,
        canvas: BoardCanvas,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self.canvas = canvas
        canvas.setParent(self)
        canvas.setProperty(OWN_CORD, True)
        self.ledge: Ledge | None = None
        self.first_run = FirstRun(theme, self)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        document.judged.connect(self._on_judged)
        theme.changed.connect(self._lay_out)
        self._on_judged(document.judgement)

    def set_ledge(self, ledge: Ledge) -> None:
        """Lay the ledge over the board."""
        self.ledge = ledge
        ledge.setParent(self)
        ledge.show()
        self._on_judged(self._document.judgement)
        self._lay_out()

    @property
    def empty(self) -> bool:
        """Whether there is nothing on the shelf yet, and so nothing on the board."""
        return not self._document.project.fabrics

    def sizeHint(self) -> QSize:
        """Ask for as much room as there is."""
        return QSize(900, 700)

    def minimumSizeHint(self) -> QSize:
        """Give the least room."""
        return QSize(280, 240)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the parts over each other."""
        super().resizeEvent(event)
        self._lay_out()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the ground."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(GROUND))

    def _lay_out(self) -> None:
        self.first_run.setGeometry(self.rect())
        if self.ledge is None:
            self.canvas.setGeometry(self.rect())
            return
        size = self.ledge.arrange(self.width())
        x = (self.width() - size.width()) // 2
        y = self.height() - size.height() - BELOW_LEDGE_PX
        self.ledge.move(x, y)
        self.canvas.setGeometry(self.rect())
        self.canvas.keep_bottom_free(size.height() - SHADOW_PX + BELOW_LEDGE_PX)

    def _on_judged(self, _judgement: Judgement) -> None:
        empty = self.empty
        self.first_run.setVisible(empty)
        if empty:
            self.first_run.raise_()
        self.canvas.setVisible(not empty)
        if self.ledge is not None:
            self.ledge.setVisible(not empty)
            self.ledge.raise_()
