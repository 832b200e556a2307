"""Invented cloth, and photographs of it, for teaching before there is any real cloth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPixmap

from quiltboard.drawing.display import INK


@dataclass(frozen=True, slots=True)
class Print:
    """An invented print: its ground, its figure, and what it shows."""

    ground: str
    figure: str
    kind: str


DOTS: Final = Print("#2f7c80", "#efe6d2", "dots")
LEAVES: Final = Print("#8fb4a0", "#33604e", "leaves")
CHECK: Final = Print("#f1d8cf", "#cf6a58", "check")


def print_brush(cloth: Print, scale: float = 1.0) -> QBrush:
    """Print a cloth to paint with."""
    side = round(36 * scale)
    tile = QPixmap(side, side)
    tile.fill(QColor(cloth.ground))
    figure = QColor(cloth.figure)
    with QPainter(tile) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(scale, scale)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(figure)
        if cloth.kind == "dots":
            for x, y in ((9, 9), (27, 27)):
                painter.drawEllipse(QPointF(x, y), 4.4, 4.4)
        elif cloth.kind == "leaves":
            for x, y, turn in ((9, 10, 30), (27, 28, -40)):
                painter.save()
                painter.translate(x, y)
                painter.rotate(turn)
                painter.drawEllipse(QPointF(0, 0), 2.6, 7)
                painter.drawEllipse(QPointF(5, 2), 2, 5)
                painter.restore()
        else:
            figure.setAlphaF(0.62)
            for across in (0, 1):
                box = (0, 0, 18, 36) if across else (0, 0, 36, 18)
                painter.fillRect(*box, figure)
    return QBrush(tile)


def paint_photo(
    painter: QPainter,
    box: QRectF,
    cloth: Print,
    *,
    turn: float,
    card: bool,
    ruler: bool,
) -> None:
    """Paint a photograph with a white rim: a cloth lying a little askew."""
    rim = box.width() * 0.045
    painter.save()
    painter.translate(box.center())
    painter.rotate(turn)
    outer = QRectF(-box.width() / 2, -box.height() / 2, box.width(), box.height())
    painter.setPen(Qt.PenStyle.NoPen)
    for down, dark in ((6, 16), (4, 22), (2, 30)):
        painter.setBrush(QColor(0, 0, 0, dark))
        painter.drawRect(outer.translated(0, down))
    painter.fillRect(outer, QColor("#f7f7f7"))
    inner = outer.adjusted(rim, rim, -rim, -rim)
    painter.setClipRect(inner, Qt.ClipOperation.IntersectClip)
    painter.fillRect(inner, QColor("#6f6f6f"))
    painter.rotate(-1.5 * turn)
    painter.setBrush(print_brush(cloth, max(0.35, box.width() / 210)))
    painter.drawRect(outer.adjusted(2.5 * rim, 3.4 * rim, -2 * rim, 3 * rim))
    if card:
        painter.setBrush(QColor("#f4f4f4"))
        left, top = inner.right() - box.width() * 0.3, inner.bottom() - box.height() * 0.28
        corner = QRectF(left, top, box.width(), box.height())
        painter.drawRect(corner)
    if ruler:
        _paint_ruler(painter, inner)
    painter.restore()


def _paint_ruler(painter: QPainter, inner: QRectF) -> None:
    rule = QRectF(
        inner.left() - 4,
        inner.bottom() - inner.height() * 0.3,
        inner.width() + 8,
        inner.height(),
    )
    painter.fillRect(rule, QColor("#f0f0f0"))
    painter.setPen(QPen(QColor(INK), 1))
    for k in range(int(rule.width() // 4)):
        x = rule.left() + 4 * k
        painter.drawLine(QPointF(x, rule.top()), QPointF(x, rule.top() + (5 if k % 4 else 9)))
    painter.setPen(Qt.PenStyle.NoPen)
