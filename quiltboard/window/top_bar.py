"""The top bar: the quilt's label, the thread of steps, and the loupes."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.window.loupes import Loupes
from quiltboard.window.quilt_label import QuiltLabel
from quiltboard.window.theme import SHELF_PX, SIDE_PX, TOP_BAR_PX, Theme
from quiltboard.window.thread import StepThread

INSET_PX = 12
BEFORE_THREAD_PX = 20


class TopBar(QWidget):
    """Lays its three parts; where they are tight, the loupes stand in two rows."""

    def __init__(
        self,
        label: QuiltLabel,
        steps: StepThread,
        loupes: Loupes,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self.label = label
        self.steps = steps
        self.loupes = loupes
        for part in (label, steps, loupes):
            part.setParent(self)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self._on_theme_changed)
        steps.widths_changed.connect(self._lay_out)
        self._on_theme_changed()

    def sizeHint(self) -> QSize:
        """Give the bar's height."""
        return QSize(1200, self._theme.px(TOP_BAR_PX))

    def minimumSizeHint(self) -> QSize:
        """Give the bar's height."""
        return QSize(600, self._theme.px(TOP_BAR_PX))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the parts."""
        super().resizeEvent(event)
        self._lay_out()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the bar, a rule under it, and one before the loupes."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("bars"))
            rule = self._theme.colour("rule")
            painter.fillRect(0, self.height() - 1, self.width(), 1, rule)
            painter.fillRect(self.loupes.x() - 1, 14, 1, self.height() - 28, rule)

    def _lay_out(self) -> None:
        theme, wide, high = self._theme, self.width(), self.height() - 1
        shelf = theme.wide(SHELF_PX)
        self.label.setGeometry(INSET_PX, 10, shelf - 2 * INSET_PX, high - 20)
        left = shelf + BEFORE_THREAD_PX
        loupes = max(theme.wide(SIDE_PX), self.loupes.needed_px(stacked=False))
        stacked = left + self.steps.needed_px(short=False) + loupes > wide
        if stacked:
            loupes = self.loupes.needed_px(stacked=theme.text_percent > 100)
        self.loupes.stack(stacked and theme.text_percent > 100)
        self.loupes.setGeometry(wide - loupes, 0, loupes, high)
        self.steps.setGeometry(left, 0, max(0, wide - loupes - left - 8), high)

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self._lay_out()
        self.update()
