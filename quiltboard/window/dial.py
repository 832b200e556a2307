"""The dial: a ring's values round a pincushion, the pin where the dark gathers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.drawing.display import GROUND, HALO, INK
from quiltboard.drawing.seeing import grey_of_value
from quiltboard.window.theme import Theme

DIAL_PX: Final = 160
SMALL_DIAL_PX: Final = 120
CUSHION: Final = "#dddddd"
FARTHEST: Final = 0.5
"""The lean that would put the pin on the cushion's rim."""
_NEAR, _SHOULDER, _TIP, _CUSHION = 0.235, 0.345, 0.415, 0.195


@dataclass(frozen=True, slots=True)
class Lean:
    """What the dial shows of one ring.

    Attributes
    ----------
    values
        L* of each wedge, clockwise from the top; None is empty.
    length, direction_deg
        How far it leans, 0 to 1, and where to, clockwise from the top; None is no side.
    circle
        The lean that 19 of 20 shuffles stay within; None while it is not known.
    """

    values: tuple[float | None, ...]
    length: float = 0.0
    direction_deg: float | None = None
    circle: float | None = None

    @property
    def outside(self) -> bool:
        """Whether the lean is more than chance."""
        return self.circle is not None and self.length > self.circle


class Dial(QWidget):
    """Draws a ring's lean; bare, it is chalked."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.lean = Lean((None,) * 12)
        self._side_px = DIAL_PX
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Dial"))

    def show_lean(self, lean: Lean) -> None:
        """Show another ring, or the same one changed."""
        if lean != self.lean:
            self.lean = lean
            self.update()

    def take_size(self, *, small: bool) -> None:
        """Stand smaller where room is short."""
        side = SMALL_DIAL_PX if small else DIAL_PX
        if side != self._side_px:
            self._side_px = side
            self.updateGeometry()

    def minimumSizeHint(self) -> QSize:
        """Give the dial's room: it is not squeezed."""
        return self.sizeHint()

    def sizeHint(self) -> QSize:
        """Give the dial's room."""
        return QSize(self._side_px, self._side_px)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ground, the ring, the cushion, the stitched circle, the pin and the lead."""
        side = min(self.width(), self.height())
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.translate(self.width() / 2, self.height() / 2)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(GROUND))
            painter.drawEllipse(QPointF(0, 0), side / 2, side / 2)
            if all(value is None for value in self.lean.values):
                self._chalk(painter, side)
                return
            self._ring(painter, side)
            self._cushion(painter, side)
            self._pin(painter, side)

    def _ring(self, painter: QPainter, side: float) -> None:
        n = len(self.lean.values)
        for k, value in enumerate(self.lean.values):
            wedge = _wedge(n, k, side)
            if value is None:
                _stitch(painter, wedge, QColor(HALO), 1.2)
                continue
            painter.setPen(QPen(QColor(GROUND), 1.4))
            painter.setBrush(QColor(grey_of_value(value)))
            painter.drawPath(wedge)

    def _cushion(self, painter: QPainter, side: float) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(CUSHION))
        painter.drawEllipse(QPointF(0, 0), side * _CUSHION, side * _CUSHION)
        painter.setPen(QPen(QColor(INK), 1.2))
        for dx, dy in ((1, 0), (0, 1)):
            painter.drawLine(QPointF(-2.5 * dx, -2.5 * dy), QPointF(2.5 * dx, 2.5 * dy))
        if self.lean.circle is not None and self.lean.circle > 0:
            radius = self._reach(self.lean.circle) * side
            circle = QPainterPath()
            circle.addEllipse(QPointF(0, 0), radius, radius)
            _stitch(painter, circle, QColor(INK), 1.5)

    def _pin(self, painter: QPainter, side: float) -> None:
        direction = self.lean.direction_deg
        if direction is None:
            return
        head = _at(self._reach(self.lean.length) * side, direction)
        painter.setPen(QPen(QColor(HALO), 5.0, c=Qt.PenCapStyle.RoundCap))
        painter.drawLine(QPointF(0, 0), head)
        painter.setPen(QPen(QColor(INK), 1.8, c=Qt.PenCapStyle.RoundCap))
        painter.drawLine(QPointF(0, 0), head)
        painter.setPen(QPen(QColor(HALO), 1.5))
        painter.setBrush(QColor(INK))
        painter.drawEllipse(head, 5.0, 5.0)
        if self.lean.outside:
            self._lead(painter, side, direction)

    def _lead(self, painter: QPainter, side: float, direction: float) -> None:
        """Hang a lead on the heavy rim."""
        painter.save()
        rim = _at(side * 0.452, direction)
        painter.translate(rim)
        painter.rotate(direction + 180)
        drop = QPainterPath(QPointF(0, -7))
        drop.cubicTo(3, -3, 6.5, -1.5, 6, 3)
        drop.cubicTo(5.5, 7, -5.5, 7, -6, 3)
        drop.cubicTo(-6.5, -1.5, -3, -3, 0, -7)
        painter.rotate(180)
        painter.setPen(QPen(QColor(HALO), 3.0))
        painter.setBrush(QColor(INK))
        painter.drawPath(drop)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPath(drop)
        painter.restore()

    def _chalk(self, painter: QPainter, side: float) -> None:
        n = len(self.lean.values)
        for k in range(n):
            _stitch(painter, _wedge(n, k, side), QColor(HALO), 1.3)
        circle = QPainterPath()
        circle.addEllipse(QPointF(0, 0), side * _CUSHION, side * _CUSHION)
        _stitch(painter, circle, QColor(HALO), 1.3)

    def _reach(self, length: float) -> float:
        return min(length / FARTHEST, 1.0) * (_CUSHION - 0.03)


def _at(radius: float, angle_deg: float) -> QPointF:
    turn = math.radians(angle_deg)
    return QPointF(radius * math.sin(turn), -radius * math.cos(turn))


def _wedge(n: int, k: int, side: float) -> QPainterPath:
    turn, half = 360 * k / n, 180 / n
    path = QPainterPath(_at(side * _NEAR, turn - half))
    path.lineTo(_at(side * _SHOULDER, turn - half))
    path.lineTo(_at(side * _TIP, turn))
    path.lineTo(_at(side * _SHOULDER, turn + half))
    path.lineTo(_at(side * _NEAR, turn + half))
    path.closeSubpath()
    return path


def _stitch(painter: QPainter, path: QPainterPath, colour: QColor, width: float) -> None:
    pen = QPen(colour, width)
    pen.setDashPattern([3.2, 2.2])
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.strokePath(path, pen)
