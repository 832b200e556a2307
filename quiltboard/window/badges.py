"""The flags' badges, for the panels: the same shapes that stand on the board's threads."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from quiltboard.balance.flags import Kind

BOX: Final = 24.0


def draw_badge(
    painter: QPainter, kind: Kind, box: QRectF, colour: QColor, paper: QColor
) -> None:
    """Draw a badge in the middle of a box.

    Parameters
    ----------
    painter
        An open painter.
    kind
        Which flag.
    box
        Where; the badge takes its shorter side.
    colour, paper
        What it is drawn in, and what shows through it.
    """
    side = min(box.width(), box.height())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(box.center().x() - side / 2, box.center().y() - side / 2)
    painter.scale(side / BOX, side / BOX)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    pen = QPen(paper, 1.8)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    _DRAW[kind](painter, pen)
    painter.restore()


def _touch(painter: QPainter, pen: QPen) -> None:
    """Draw a square on its point, whipped across."""
    painter.drawPolygon(
        QPolygonF([QPointF(12, 1), QPointF(23, 12), QPointF(12, 23), QPointF(1, 12)])
    )
    painter.setPen(pen)
    for k in (-1, 0, 1):
        middle = QPointF(12 + 3.0 * k, 12 + 3.0 * k)
        painter.drawLine(middle + QPointF(-2.6, 1.6), middle + QPointF(2.6, -1.6))


def _close(painter: QPainter, pen: QPen) -> None:
    """Draw an arch over another."""
    path = QPainterPath(QPointF(2, 21))
    path.lineTo(2, 12.5)
    path.arcTo(QRectF(2, 2.5, 20, 20), 180, -180)
    path.lineTo(22, 21)
    path.closeSubpath()
    painter.drawPath(path)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(pen)
    arch = QPainterPath(QPointF(7.2, 16.8))
    arch.lineTo(7.2, 13)
    arch.arcTo(QRectF(7.2, 8.2, 9.6, 9.6), 180, -180)
    arch.lineTo(16.8, 16.8)
    painter.drawPath(arch)


def _clump(painter: QPainter, pen: QPen) -> None:
    """Draw three heads together."""
    heads = (QPointF(12, 7.2), QPointF(6.6, 16.2), QPointF(17.4, 16.2))
    for head in heads:
        painter.drawEllipse(head, 5.8, 5.8)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(pen.color())
    for head in heads:
        painter.drawEllipse(head, 1.3, 1.3)


def _short(painter: QPainter, pen: QPen) -> None:
    """Draw a pinked scrap with too little on it."""
    points = [QPointF(2.5, 22), QPointF(2.5, 3)]
    for k in range(5):
        left = 2.5 + 3.8 * k
        points += [QPointF(left + 1.9, 7.4), QPointF(left + 3.8, 3)]
    points += [QPointF(21.5, 22)]
    painter.drawPolygon(QPolygonF(points))
    painter.setPen(pen)
    painter.drawLine(QPointF(8, 15.4), QPointF(16, 15.4))


_DRAW: Final = {"touch": _touch, "close": _close, "clump": _clump, "short": _short}
