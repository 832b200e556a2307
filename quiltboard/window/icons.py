"""Our own icons, drawn as paths in a square of 24 and coloured by the room.

Each is made of the sewing room's things: a fan of wedges is a deal, a straight pin holds, a
linen tester looks up, a thread turned back undoes.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QTransform

from quiltboard.window.theme import ICON_PX, Colour, Theme

BOX: Final = 24.0
LINE: Final = 1.8


@dataclass(frozen=True, slots=True)
class Shape:
    """An icon's two coats: what is drawn as a line and what is filled."""

    line: QPainterPath
    filled: QPainterPath


def _blank() -> Shape:
    return Shape(QPainterPath(), QPainterPath())


def _polyline(path: QPainterPath, *points: tuple[float, float]) -> None:
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)


def _polygon(path: QPainterPath, *points: tuple[float, float]) -> None:
    _polyline(path, *points)
    path.closeSubpath()


def _arc(path: QPainterPath, x: float, y: float, r: float, start: float, sweep: float) -> None:
    """Add an arc; angles in degrees clockwise from the top."""
    box = QRectF(x - r, y - r, 2 * r, 2 * r)
    path.arcMoveTo(box, 90 - start)
    path.arcTo(box, 90 - start, -sweep)


def _around(x: float, y: float, r: float, angle: float) -> tuple[float, float]:
    turn = math.radians(angle)
    return x + r * math.sin(turn), y - r * math.cos(turn)


def _blade(
    path: QPainterPath, x: float, y: float, near: float, far: float, half: float, angle: float
) -> None:
    """Add a wedge with a folded tip, standing on a ring about (x, y)."""
    wide, narrow = far * math.tan(math.radians(half)), near * math.tan(math.radians(half))
    corners = ((-narrow, near), (-wide * 0.82, far * 0.82), (0, far), (wide * 0.82, far * 0.82))
    turn = math.radians(angle)
    points = [
        (
            x + px * math.cos(turn) + py * math.sin(turn),
            y + px * math.sin(turn) - py * math.cos(turn),
        )
        for px, py in (*corners, (narrow, near))
    ]
    _polygon(path, *points)


def _undo() -> Shape:
    """Run a thread back on itself, its needle's point at the left."""
    shape = _blank()
    shape.line.moveTo(7.5, 8.5)
    shape.line.lineTo(14.2, 8.5)
    shape.line.cubicTo(21.2, 8.5, 21.2, 17.5, 14.2, 17.5)
    shape.line.moveTo(11.2, 17.5)
    shape.line.lineTo(8.2, 17.5)
    _polygon(shape.filled, (2.8, 8.5), (8.8, 4.6), (7.6, 8.5), (8.8, 12.4))
    return shape


def _redo() -> Shape:
    back = _undo()
    flip = QTransform(-1, 0, 0, 1, BOX, 0)
    return Shape(flip.map(back.line), flip.map(back.filled))


def _deal() -> Shape:
    shape = _blank()
    for angle in (-46, 0, 46):
        _blade(shape.filled, 12, 20.6, 4.4, 14.6 if angle else 17.6, 18, angle)
    return shape


def _turn_ring() -> Shape:
    shape = _blank()
    for angle in (100, 140, 180, 220, 260):
        _blade(shape.filled, 12, 12.4, 3.4, 9.6, 13, angle)
    _arc(shape.line, 12, 12.4, 7.4, -62, 104)
    tip = _around(12, 12.4, 7.4, 76)
    _polygon(shape.filled, tip, _around(12, 12.4, 11.2, 40), _around(12, 12.4, 3.8, 34))
    return shape


def _turn_ring_left() -> Shape:
    right = _turn_ring()
    flip = QTransform(-1, 0, 0, 1, BOX, 0)
    return Shape(flip.map(right.line), flip.map(right.filled))


def _pin() -> Shape:
    """Stick a straight pin in, its middle under the cloth."""
    shape = _blank()
    shape.filled.addEllipse(QPointF(17.4, 6.6), 3.9, 3.9)
    _polyline(shape.line, (14.6, 9.4), (12.4, 11.6))
    _polyline(shape.line, (8.6, 15.4), (4.0, 20.0))
    return shape


def _copy_order() -> Shape:
    """Draw two rings, the second laid in the order of the first."""
    shape = _blank()
    for x, y in ((8.6, 14.8), (15.4, 9.2)):
        for angle in (0, 60, 120, 180, 240, 300):
            _polyline(shape.line, _around(x, y, 3.0, angle), _around(x, y, 5.6, angle))
        shape.filled.addEllipse(QPointF(x, y), 1.3, 1.3)
    return shape


def _take_off() -> Shape:
    """Lift a wedge from its place, which stays in chalk."""
    shape = _blank()
    _blade(shape.filled, 4.5, 21.5, 10.4, 22.6, 14, 42)
    _polyline(shape.line, (3.2, 14.4), (5.0, 11.4))
    _polyline(shape.line, (6.6, 8.9), (8.2, 6.3))
    _polyline(shape.line, (9.9, 20.6), (13.0, 19.2))
    _polyline(shape.line, (15.6, 18.0), (18.6, 16.6))
    return shape


def _look_up() -> Shape:
    """Draw a linen tester, the folding square lens that threads are counted under."""
    shape = _blank()
    shape.line.addRoundedRect(QRectF(3.4, 3.2, 12.6, 12.6), 2.2, 2.2)
    for at in (7.6, 11.8):
        _polyline(shape.line, (at, 7.0), (at, 12.0))
        _polyline(shape.line, (7.2 - 0.6, at - 0.2), (12.8, at - 0.2))
    _polyline(shape.line, (16.0, 15.8), (20.6, 20.4))
    _polyline(shape.line, (13.4, 20.6), (20.6, 20.6), (20.6, 13.4))
    return shape


def _add_cloth() -> Shape:
    """Lay a cloth with a pinked lower edge, and a cross for one more."""
    shape = _blank()
    _polyline(shape.line, (12.4, 4.6), (3.6, 4.6), (3.6, 19.4))
    _polyline(
        shape.line,
        (3.6, 19.4),
        (5.8, 17.4),
        (8.0, 19.6),
        (10.2, 17.4),
        (12.4, 19.6),
        (14.6, 17.4),
        (16.8, 19.6),
        (18.6, 17.9),
        (18.6, 11.4),
    )
    _polyline(shape.line, (18.6, 1.8), (18.6, 8.2))
    _polyline(shape.line, (15.4, 5.0), (21.8, 5.0))
    return shape


def _chevron() -> Shape:
    """Sew two stitches that all but meet."""
    shape = _blank()
    _polyline(shape.line, (6.4, 9.4), (11.0, 14.0))
    _polyline(shape.line, (13.0, 14.0), (17.6, 9.4))
    return shape


def _stop() -> Shape:
    """Sew a cross-stitch, one leg over the other."""
    shape = _blank()
    _polyline(shape.line, (6.4, 6.4), (17.6, 17.6))
    _polyline(shape.line, (17.6, 6.4), (14.0, 10.0))
    _polyline(shape.line, (10.0, 14.0), (6.4, 17.6))
    return shape


def _question() -> Shape:
    """Draw a hooked thread over a knot."""
    shape = _blank()
    shape.line.moveTo(8.0, 8.6)
    shape.line.cubicTo(8.0, 2.6, 16.8, 3.0, 16.4, 8.4)
    shape.line.cubicTo(16.2, 11.6, 12.0, 11.6, 12.0, 15.4)
    shape.filled.addEllipse(QPointF(12.0, 19.6), 1.5, 1.5)
    return shape


def _tick() -> Shape:
    """Tick with two stitches, one short, one long."""
    shape = _blank()
    _polyline(shape.line, (5.2, 12.6), (9.2, 16.8))
    _polyline(shape.line, (11.0, 16.2), (18.8, 6.6))
    return shape


def _fit() -> Shape:
    """Chalk corners about a ring."""
    shape = _blank()
    for x, y in ((4.0, 4.0), (20.0, 4.0), (20.0, 20.0), (4.0, 20.0)):
        inward_x, inward_y = (4.4 if x < 12 else -4.4), (4.4 if y < 12 else -4.4)
        _polyline(shape.line, (x + inward_x, y), (x, y), (x, y + inward_y))
    for angle in range(0, 360, 60):
        _blade(shape.filled, 12, 12, 1.8, 6.4, 16, angle)
    return shape


SHAPES: Final[dict[str, Callable[[], Shape]]] = {
    "undo": _undo,
    "redo": _redo,
    "deal": _deal,
    "turn_ring_right": _turn_ring,
    "turn_ring_left": _turn_ring_left,
    "pin": _pin,
    "copy_order": _copy_order,
    "clear_wedge": _take_off,
    "look_up": _look_up,
    "add_cloth": _add_cloth,
    "chevron": _chevron,
    "stop": _stop,
    "question": _question,
    "tick": _tick,
    "fit": _fit,
}
"""Every icon by its stem, which is the last part of the id of the action it stands for."""


def draw_icon(
    painter: QPainter, stem: str, x: float, y: float, size: float, colour: QColor
) -> None:
    """Draw an icon with its upper left corner at (x, y)."""
    shape = SHAPES[stem]()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(x, y)
    painter.scale(size / BOX, size / BOX)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawPath(shape.filled)
    pen = QPen(colour, LINE)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(shape.line)
    painter.restore()


def icon_pixmap(stem: str, colour: QColor, size_px: int, ratio: float = 1.0) -> QPixmap:
    """Give an icon as a picture."""
    pixmap = QPixmap(round(size_px * ratio), round(size_px * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    with QPainter(pixmap) as painter:
        draw_icon(painter, stem, 0, 0, size_px, colour)
    return pixmap


def make_icon(stem: str, theme: Theme, colour: Colour = "text", size: int = ICON_PX) -> QIcon:
    """Give an icon in the room's colours; what cannot be used is paler."""
    icon = QIcon()
    size_px = theme.px(size)
    for ratio in (1.0, 2.0):
        icon.addPixmap(icon_pixmap(stem, theme.colour(colour), size_px, ratio))
        icon.addPixmap(
            icon_pixmap(stem, theme.colour("graph"), size_px, ratio), QIcon.Mode.Disabled
        )
    return icon
