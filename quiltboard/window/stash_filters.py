"""What narrows the stash down: words, a stretch of values between two pins, hue, print."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from quiltboard.drawing.seeing import grey_of_value
from quiltboard.store.stash_search import HUES, Hue, Query
from quiltboard.units import FRACTION_SLASH, Unit, inches, to_mm
from quiltboard.window.lettering import Words, width_px
from quiltboard.window.theme import NOTE, PADDING_PX, Theme

WHITE, BLACK = 100, 0
GREYS: Final = 25
STRIP_PX: Final = 14
PIN_HEAD_PX: Final = 5.0
PIN_PX: Final = 12
"""How far a pin stands out above the strip."""
SMALL_MM: Final = to_mm(inches("1/2"))
LARGE_MM: Final = to_mm(inches("3/2"))
PRINTS: Final = ((0.0, SMALL_MM), (SMALL_MM, LARGE_MM), (LARGE_MM, 1e6))
"""Small, medium and large prints: how large their features are, in mm."""


class ValueStrip(QWidget):
    """The greys from white to black, and two pins: what lies between them is looked for.

    Signals
    -------
    range_changed
        The lower and the higher value were moved.
    """

    range_changed = Signal(int, int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._pins = [WHITE, BLACK]
        self._held = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Values looked for"))
        self.setToolTip(
            self.tr(
                "Drag the pins: only values between them are shown. From the keyboard: Left "
                "and Right move a pin, Space takes the other one."
            )
        )
        self._tell()
        theme.changed.connect(self._on_theme_changed)

    @property
    def between(self) -> tuple[int, int]:
        """The lower and the higher value."""
        return self._pins[1], self._pins[0]

    @property
    def whole(self) -> bool:
        """Whether nothing is left out."""
        return self.between == (BLACK, WHITE)

    def set_between(self, low: int, high: int) -> None:
        """Set the pins; nobody is told."""
        self._pins = [high, low]
        self._tell()

    def sizeHint(self) -> QSize:
        """Give the strip's room."""
        return QSize(self._theme.wide(200), self._theme.px(STRIP_PX + PIN_PX + 6))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the pin that is nearer."""
        value = self._value_at(event.position().x())
        high, low = self._pins
        self._held = 0 if abs(value - high) < abs(value - low) or value > high else 1
        self._move(value)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the pin in the hand."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._move(self._value_at(event.position().x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move a pin by keys; the strip runs from white at the left to black."""
        steps = {
            Qt.Key.Key_Left: 1,
            Qt.Key.Key_Right: -1,
            Qt.Key.Key_PageUp: 10,
            Qt.Key.Key_PageDown: -10,
            Qt.Key.Key_Home: WHITE,
            Qt.Key.Key_End: -WHITE,
        }
        if event.key() == Qt.Key.Key_Space:
            self._held = 1 - self._held
            self._tell()
        elif event.key() in steps:
            self._move(self._pins[self._held] + steps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the greys, pale where they are left out, and the pins."""
        theme, strip = self._theme, self._strip()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for k in range(GREYS):
                value = WHITE - (k + 0.5) * WHITE / GREYS
                left = round(strip.x() + k * strip.width() / GREYS)
                right = round(strip.x() + (k + 1) * strip.width() / GREYS)
                box = QRectF(left, strip.y(), right - left, strip.height())
                painter.fillRect(box, QColor(grey_of_value(value)))
            veil = QColor(theme.colour("panel"))
            veil.setAlphaF(0.82)
            first, last = self._x_of(self._pins[0]), self._x_of(self._pins[1])
            painter.fillRect(
                QRectF(strip.x(), strip.y(), first - strip.x(), strip.height()), veil
            )
            painter.fillRect(
                QRectF(last, strip.y(), strip.right() - last, strip.height()), veil
            )
            painter.setPen(QPen(theme.colour("graph"), 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(strip.adjusted(-0.5, -0.5, 0.5, 0.5))
            for k, value in enumerate(self._pins):
                self._paint_pin(painter, self._x_of(value), strip, held=k == self._held)

    def _paint_pin(self, painter: QPainter, x: float, strip: QRectF, *, held: bool) -> None:
        theme = self._theme
        head = theme.px(PIN_HEAD_PX)
        top = QPointF(x, head + 1)
        for colour, more in (("panel", 3.0), ("text", 0.0)):
            pen = QPen(theme.colour(colour), 2 + more)  # type: ignore[arg-type]
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            painter.drawLine(top, QPointF(x, strip.bottom() + 2))
        painter.setPen(QPen(theme.colour("text"), 2))
        filled = held and self.hasFocus()
        painter.setBrush(theme.colour("raised" if filled else "text"))
        painter.drawEllipse(top, head - 1, head - 1)

    def _strip(self) -> QRectF:
        margin = self._theme.px(PIN_HEAD_PX) + 1
        high = self._theme.px(STRIP_PX)
        return QRectF(margin, self.height() - high - 3, self.width() - 2 * margin, high)

    def _x_of(self, value: float) -> float:
        strip = self._strip()
        return strip.x() + (WHITE - value) / WHITE * strip.width()

    def _value_at(self, x: float) -> int:
        strip = self._strip()
        return round(WHITE - (x - strip.x()) / max(strip.width(), 1) * WHITE)

    def _move(self, value: int) -> None:
        high, low = self._pins
        before = self.between
        if self._held == 0:
            self._pins[0] = min(max(value, low), WHITE)
        else:
            self._pins[1] = max(min(value, high), BLACK)
        if self.between != before:
            self._tell()
            self.range_changed.emit(*self.between)

    def _tell(self) -> None:
        low, high = self.between
        moved = self.tr("the light pin") if self._held == 0 else self.tr("the dark pin")
        self.setAccessibleDescription(
            self.tr("value {low} to {high}; the keys move {pin}").format(
                low=low, high=high, pin=moved
            )
        )
        self.update()

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self.update()


class StashFilters(QWidget):
    """The fields that narrow the stash down.

    Signals
    -------
    query_changed
        Something else is looked for.
    """

    query_changed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.words = QLineEdit()
        self.words.setPlaceholderText(self.tr("Look up a name, a tag, a note"))
        self.words.setAccessibleName(self.tr("Look up in the stash"))
        self.words.setClearButtonEnabled(False)
        self.hue = QComboBox()
        self.hue.setAccessibleName(self.tr("Hue looked for"))
        self.hue.addItem(self.tr("any hue"))
        for hue in HUES:
            self.hue.addItem(self._hue_name(hue), hue)
        self.print = QComboBox()
        self.print.setAccessibleName(self.tr("Size of print looked for"))
        self._name_prints("in")
        self.strip = ValueStrip(theme)
        self.said = Words(theme, size=NOTE, colour="text_2")
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.words, 1)
        middle = QHBoxLayout()
        middle.setSpacing(8)
        middle.addWidget(self.hue, 1)
        middle.addWidget(self.print, 1)
        foot = QHBoxLayout()
        foot.setSpacing(10)
        foot.addWidget(self.strip, 1)
        foot.addWidget(self.said)
        column = QVBoxLayout(self)
        column.setContentsMargins(PADDING_PX, 0, PADDING_PX, 10)
        column.setSpacing(8)
        for row in (top, middle, foot):
            column.addLayout(row)
        self.words.textChanged.connect(self._on_changed)
        self.hue.activated.connect(self._on_changed)
        self.print.activated.connect(self._on_changed)
        self.strip.range_changed.connect(self._on_changed)
        theme.changed.connect(self._say)
        self._say()

    @property
    def query(self) -> Query:
        """What is looked for now."""
        low, high = self.strip.between
        size = self.print.currentIndex()
        return Query(
            text=self.words.text(),
            # The ends take in a black and a white that arithmetic puts a hair beyond.
            value=None if self.strip.whole else (low - 0.5, high + 0.5),
            hue=self.hue.currentData(),
            print_mm=PRINTS[size - 1] if size > 0 else None,
        )

    @property
    def narrowed(self) -> bool:
        """Whether anything is left out."""
        return self.query != Query()

    def clear(self) -> None:
        """Look for everything."""
        for field in (self.words, self.hue, self.print):
            field.blockSignals(True)
        self.words.clear()
        self.hue.setCurrentIndex(0)
        self.print.setCurrentIndex(0)
        for field in (self.words, self.hue, self.print):
            field.blockSignals(False)
        self.strip.set_between(BLACK, WHITE)
        self._on_changed()

    def show_unit(self, unit: Unit) -> None:
        """Tell the sizes of prints in inches or centimetres."""
        self._name_prints(unit)

    def _name_prints(self, unit: Unit) -> None:
        half, more = (
            (f"1{FRACTION_SLASH}2 in", f"1 1{FRACTION_SLASH}2 in")
            if unit == "in"
            else ("1.3 cm", "3.8 cm")
        )
        names = (
            self.tr("any print"),
            self.tr("small, under {half}").format(half=half),
            self.tr("medium, up to {more}").format(more=more),
            self.tr("large, {more} and over").format(more=more),
        )
        for k, name in enumerate(names):
            plain = name.replace(FRACTION_SLASH, "/")
            if k < self.print.count():
                self.print.setItemText(k, plain)
            else:
                self.print.addItem(plain)

    def _hue_name(self, hue: Hue) -> str:
        return {
            "neutral": self.tr("neutral"),
            "pink": self.tr("pink"),
            "red": self.tr("red"),
            "orange": self.tr("orange"),
            "yellow": self.tr("yellow"),
            "green": self.tr("green"),
            "blue-green": self.tr("blue-green"),
            "blue": self.tr("blue"),
            "violet": self.tr("violet"),
        }[hue]

    def _say(self) -> None:
        low, high = self.strip.between
        self.said.setText(
            self.tr("any value")
            if self.strip.whole
            else self.tr("value {low}–{high}").format(low=low, high=high)
        )
        widest = max(
            width_px(self._theme, text, NOTE)
            for text in (
                self.tr("any value"),
                self.tr("value {low}–{high}").format(low=88, high=88),
            )
        )
        self.said.setMinimumWidth(widest + 2)

    def _on_changed(self, *_what: object) -> None:
        self._say()
        self.query_changed.emit()
