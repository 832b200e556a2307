"""The front of the stash's drawer, under the shelf: pull the button and it opens."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QEnterEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from quiltboard.document.wording import counted
from quiltboard.window.lettering import draw_line, width_px
from quiltboard.window.theme import (
    BUTTON,
    NOTE,
    PADDING_PX,
    RADIUS_PX,
    SHELF_PX,
    TALL_BUTTON_PX,
    Colour,
    Theme,
)

INSET_PX: Final = 6
PULL_PX: Final = 11
"""The radius of the sewn-on button that the drawer is pulled by."""
HOLE_PX: Final = 1.7
HOLE_APART_PX: Final = 3.2


class StashFront(QAbstractButton):
    """Tells how much is in the stash, and opens and closes its drawer."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._total: int | None = None
        self._pointed = False
        self.setCheckable(True)
        self.setText(self.tr("Stash"))
        self.setAccessibleName(self.tr("Stash"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self._on_theme_changed)

    def show_total(self, total: int) -> None:
        """Tell how many fabrics are in it."""
        self._total = total
        self.setAccessibleDescription(self._said())
        self.update()

    def sizeHint(self) -> QSize:
        """Give the front's room."""
        return QSize(self._theme.wide(SHELF_PX), self._theme.px(TALL_BUTTON_PX) + 2 * INSET_PX)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Stand out under the pointer."""
        self._pointed = True
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Lie back."""
        self._pointed = False
        self.update()
        super().leaveEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the front in its frame, what it says, and the button it is pulled by."""
        theme = self._theme
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), theme.colour("bars"))
            painter.fillRect(0, 0, self.width(), 1, theme.colour("edge"))
            front = QRectF(self.rect()).adjusted(8.5, INSET_PX + 1.5, -8.5, -INSET_PX - 0.5)
            face: Colour = "raised" if self.isChecked() or self._pointed else "panel"
            painter.setPen(QPen(theme.colour("graph" if self._pointed else "edge"), 1))
            painter.setBrush(theme.colour(face))
            painter.drawRoundedRect(front, RADIUS_PX, RADIUS_PX)
            pull = theme.px(PULL_PX)
            middle = QPointF(front.right() - pull - 10, front.center().y())
            self._paint_pull(painter, middle, pull)
            name = QRectF(
                PADDING_PX, front.y(), middle.x() - pull - PADDING_PX - 8, front.height()
            )
            draw_line(painter, theme, name, self.text(), size=BUTTON, weight=600)
            used = width_px(theme, self.text(), BUTTON, 600) + 10
            draw_line(
                painter,
                theme,
                name.adjusted(used, 1, 0, 1),
                self._said(),
                size=NOTE,
                colour="text_2",
            )

    def _paint_pull(self, painter: QPainter, middle: QPointF, radius: float) -> None:
        """Draw a sewing button of four holes, sewn on with two stitches."""
        theme = self._theme
        scale = radius / PULL_PX
        painter.setPen(QPen(theme.colour("text"), 1.4 * scale))
        painter.setBrush(theme.colour("well"))
        painter.drawEllipse(middle, radius - 1, radius - 1)
        painter.setPen(QPen(theme.colour("graph"), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(middle, radius - 3.4 * scale, radius - 3.4 * scale)
        apart = HOLE_APART_PX * scale / 1.3
        painter.setPen(QPen(theme.colour("text"), 1.3 * scale))
        for x in (-apart, apart):
            painter.drawLine(middle + QPointF(x, -apart), middle + QPointF(x, apart))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.colour("text"))
        for x in (-apart, apart):
            for y in (-apart, apart):
                painter.drawEllipse(middle + QPointF(x, y), HOLE_PX * scale, HOLE_PX * scale)

    def _said(self) -> str:
        if self._total is None:
            return ""
        if not self._total:
            return self.tr("empty")
        return counted(self._total, self.tr("{n} fabric"), self.tr("{n} fabrics"))

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self.update()
