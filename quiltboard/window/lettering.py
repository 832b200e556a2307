"""Letters on screen: small built fractions, figures of one width, shortened with a tip.

How a line is laid out comes from the drawing room, so that a fraction looks alike on the screen
and on paper.
"""

from __future__ import annotations

import math
from functools import lru_cache

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QSizePolicy, QToolTip, QWidget

from quiltboard.drawing.display import Weight
from quiltboard.drawing.lettering import CAPITAL, elide, lay_text, text_width, wrap
from quiltboard.units import plain_fractions
from quiltboard.window.theme import TEXT, Colour, Theme

LINE_SPACING = 1.36
"""From one line to the next, in ems."""
FEWEST_EMS = 3
"""A shortened text keeps room for so much of it."""

Align = Qt.AlignmentFlag


def line_px(theme: Theme, size: int) -> int:
    """Give the height of one line of text."""
    return math.ceil(theme.px(size) * LINE_SPACING)


def width_px(theme: Theme, text: str, size: int = TEXT, weight: Weight = 400) -> int:
    """Tell how wide a text stands on screen: as wide as the widest of its lines."""
    size_px = theme.px(size)
    return math.ceil(max(text_width(line, size_px, weight) for line in text.split("\n")))


@lru_cache(maxsize=8192)
def wrap_lines(text: str, width_px: float, size_px: int, weight: Weight) -> tuple[str, ...]:
    """Break a text into lines; lists ask for the same ones over and over."""
    return wrap(text, width_px, size_px, weight)


def draw_runs(
    painter: QPainter,
    theme: Theme,
    at: QPointF,
    text: str,
    size: int,
    weight: Weight,
    colour: QColor,
) -> None:
    """Set one line from a point on its baseline."""
    size_px = theme.px(size)
    laid = lay_text(text, size_px, weight)
    font = theme.font(size, weight)
    painter.setFont(font)
    painter.setPen(colour)
    for run in laid.runs:
        if run.size_mm == size_px:
            painter.drawText(QPointF(at.x() + run.x, at.y() + run.y), run.text)
            continue
        painter.save()
        painter.translate(at.x() + run.x, at.y() + run.y)
        painter.scale(run.size_mm / size_px, run.size_mm / size_px)
        painter.drawText(QPointF(0, 0), run.text)
        painter.restore()
    if laid.slashes:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colour, laid.slash_width))
        for (x0, y0), (x1, y1) in laid.slashes:
            painter.drawLine(at + QPointF(x0, y0), at + QPointF(x1, y1))
        painter.restore()


def draw_line(
    painter: QPainter,
    theme: Theme,
    box: QRectF,
    text: str,
    *,
    size: int = TEXT,
    weight: Weight = 400,
    colour: Colour | QColor = "text",
    align: Align = Align.AlignLeft,
) -> float:
    """Set one line in a box, upright in its middle, shortened where it is too long.

    Returns
    -------
    float
        How wide what was set stands, in px.
    """
    size_px = theme.px(size)
    shown = elide(text, box.width() + 0.5, size_px, weight)
    width = text_width(shown, size_px, weight)
    x = box.x()
    if align & Align.AlignRight:
        x = box.right() - width
    elif align & Align.AlignHCenter:
        x = box.center().x() - width / 2
    y = box.center().y() + CAPITAL * size_px / 2
    ink = colour if isinstance(colour, QColor) else theme.colour(colour)
    draw_runs(painter, theme, QPointF(x, y), shown, size, weight, ink)
    return width


class Words(QLabel):
    """A label that builds fractions small and, told to, wraps or shortens itself.

    A shortened one tells its whole text in a tip.
    """

    def __init__(
        self,
        theme: Theme,
        text: str = "",
        *,
        size: int = TEXT,
        weight: Weight = 400,
        colour: Colour = "text",
        wrapped: bool = False,
        shortened: bool = False,
        align: Align = Align.AlignLeft,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._size = size
        self._weight: Weight = weight
        self._colour: Colour = colour
        self._wrapped = wrapped
        self._shortened = shortened
        self._align = align
        # What wraps must be free to grow; a fixed height would be that of another width.
        upright = QSizePolicy.Policy.Preferred if wrapped else QSizePolicy.Policy.Fixed
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, upright)
        policy.setHeightForWidth(wrapped)
        self.setSizePolicy(policy)
        self.setText(text)
        theme.changed.connect(self._on_theme_changed)

    def setText(self, text: str) -> None:
        """Say something else; a screen reader hears fractions spelled out."""
        if text != self.text() or not text:
            super().setText(text)
            self.setAccessibleName(plain_fractions(text))
            self.updateGeometry()
            self.update()

    def set_size(self, size: int) -> None:
        """Set it larger or smaller."""
        if size != self._size:
            self._size = size
            self.updateGeometry()
            self.update()

    def hasHeightForWidth(self) -> bool:
        """Tell Qt that a wrapped text needs more lines in less room."""
        return self._wrapped

    def heightForWidth(self, width: int) -> int:
        """Tell how high the text stands in a width."""
        return len(self._lines(width)) * line_px(self._theme, self._size)

    def sizeHint(self) -> QSize:
        """Give the room the text asks for."""
        line = line_px(self._theme, self._size)
        width = width_px(self._theme, self.text(), self._size, self._weight) + 1
        if self._wrapped:
            width = min(width, self._theme.wide(300))
            return QSize(width, self.heightForWidth(width))
        return QSize(width, line * len(self._lines(width)))

    def minimumSizeHint(self) -> QSize:
        """Give the least room in which it can be read."""
        size = self._theme.px(self._size)
        line = line_px(self._theme, self._size)
        if self._wrapped:
            words = self.text().split() or [""]
            longest = max(text_width(word, size, self._weight) for word in words)
            return QSize(min(math.ceil(longest) + 1, self._theme.wide(180)), line)
        if self._shortened:
            return QSize(min(FEWEST_EMS * size, self.sizeHint().width()), line)
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Set the lines."""
        line = line_px(self._theme, self._size)
        lines = self._lines(self.width())
        top = max(0.0, (self.height() - line * len(lines)) / 2) if not self._wrapped else 0.0
        with QPainter(self) as painter:
            for k, text in enumerate(lines):
                box = QRectF(0, top + k * line, self.width(), line)
                draw_line(
                    painter,
                    self._theme,
                    box,
                    text,
                    size=self._size,
                    weight=self._weight,
                    colour=self._colour,
                    align=self._align,
                )

    def event(self, event: QEvent) -> bool:
        """Show the whole of a shortened text as a tip."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            whole = self.sizeHint().width() <= self.width() or self._wrapped
            if not whole and not self.toolTip():
                QToolTip.showText(event.globalPos(), plain_fractions(self.text()), self)
                return True
        return super().event(event)

    def _lines(self, width: int) -> tuple[str, ...]:
        if not self._wrapped:
            return tuple(self.text().split("\n"))
        size = self._theme.px(self._size)
        return tuple(
            line
            for part in self.text().split("\n")
            for line in wrap_lines(part, max(width, size), size, self._weight)
        )

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self.update()
