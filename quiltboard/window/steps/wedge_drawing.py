"""The wedge drawn as it is cut and as it is sewn, in proportion."""

from __future__ import annotations

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.shapes.wedge import DraftedWedge, Point
from quiltboard.units import to_mm
from quiltboard.window.lettering import draw_line, line_px
from quiltboard.window.theme import NOTE, Theme

_HEIGHT_PX: Final = 210
_MARGIN_PX: Final = 14
_LINES: Final = 3


class WedgeDrawing(QWidget):
    """Draws the cut line, the seams, the folded tip and the centre circle's edge."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._drafted: DraftedWedge | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Drawing of the wedge"))
        theme.changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """Give the room the drawing asks for."""
        return QSize(200, _HEIGHT_PX + _LINES * line_px(self._theme, NOTE))

    def show_wedge(self, drafted: DraftedWedge) -> None:
        """Draw another wedge."""
        if drafted != self._drafted:
            self._drafted = drafted
            self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the wedge standing on its narrow end, and what the lines mean."""
        legend = _LINES * line_px(self._theme, NOTE)
        room = QRectF(self.rect()).adjusted(
            _MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX - legend
        )
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._drafted is not None:
                self._paint_wedge(painter, self._drafted, room)
            self._paint_legend(painter, self.height() - legend)

    def _paint_wedge(self, painter: QPainter, wedge: DraftedWedge, room: QRectF) -> None:
        cut = wedge.cut_outline()
        low, high = cut[0][1], cut[1][1]
        scale = min(room.height() / (high - low), room.width() / wedge.wide)
        middle = room.center().x()
        seam = wedge.seam / math.cos(wedge.half_angle)

        def put(*points: Point) -> QPolygonF:
            return QPolygonF(
                [
                    QPointF(middle + x * scale, room.top() + (high - y) * scale)
                    for x, y in points
                ]
            )

        painter.setPen(self._tip_pen())
        painter.setBrush(self._theme.colour("well"))
        painter.drawPolygon(put(*wedge.sewn_outline()))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(self._seam_pen())
        for side in (1, -1):
            narrow = (side * (wedge.narrow / 2 - seam), low)
            painter.drawPolyline(put(narrow, (side * (wedge.wide / 2 - seam), high)))
        painter.setPen(self._cut_pen())
        painter.drawPolygon(put(*cut))
        radius = to_mm(wedge.centre_finished) / 2
        half_deg = math.degrees(wedge.half_angle)
        circle = put((-radius, radius), (radius, -radius)).boundingRect()
        painter.setPen(QPen(self._theme.colour("graph"), 1.5))
        painter.drawArc(circle, round(16 * (90 - half_deg)), round(32 * half_deg))

    def _paint_legend(self, painter: QPainter, top: float) -> None:
        line = line_px(self._theme, NOTE)
        rows = (
            (self._cut_pen(), self.tr("cut line")),
            (self._seam_pen(), self.tr("seam line")),
            (self._tip_pen(), self.tr("what shows, with its folded tip")),
        )
        for index, (pen, said) in enumerate(rows):
            y = top + (index + 0.5) * line
            painter.setPen(pen)
            painter.drawLine(QPointF(0, y), QPointF(30, y))
            box = QRectF(40, top + index * line, self.width() - 40, line)
            draw_line(painter, self._theme, box, said, size=NOTE, colour="text_2")

    def _cut_pen(self) -> QPen:
        return QPen(self._theme.colour("text"), 2)

    def _seam_pen(self) -> QPen:
        return _dashed(self._theme.colour("text"), 5, 4)

    def _tip_pen(self) -> QPen:
        return _dashed(self._theme.colour("text_2"), 1, 3)


def _dashed(colour: QColor, drawn: float, left_out: float) -> QPen:
    pen = QPen(colour, 1.2)
    pen.setDashPattern([drawn, left_out])
    return pen
