"""Small pieces of cloth for lists: all to one scale, unshaded, made a few at a time.

A swatch is decoded when it is first seen. That takes a moment, so it is done between frames;
until then the cloth shows its plain colour.
"""

from __future__ import annotations

import math
from collections import deque
from typing import Final

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QGuiApplication,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QPolygonF,
)

from quiltboard.drawing.cloth import mm_per_px, swatch_for
from quiltboard.drawing.display import HALO, INK, ClothFill
from quiltboard.drawing.seeing import grey_of_value
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.paint.cloth_book import ClothBook

PX_PER_MM: Final = 1.1
"""Lists show cloth to one scale, so that a large print looks large."""
TILE_PX: Final = 192
SELVEDGE_SHARE: Final = 0.75
"""Width of a swatch's selvedge against its height."""
PINK_PX: Final = 4.0
TURN_MS: Final = 4
SELVEDGE: Final = "#dddddd"


class Cuttings(QObject):
    """A small cutting of every fabric, for the lists.

    Signals
    -------
    made
        A fabric whose cutting can now be shown.
    """

    made = Signal(object)

    def __init__(self, book: ClothBook, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._book = book
        self._tiles: dict[FabricId, tuple[Fabric, QPixmap]] = {}
        self._wanted: deque[Fabric] = deque()
        screen = QGuiApplication.primaryScreen()
        self._ratio = math.ceil(screen.devicePixelRatio()) if screen is not None else 1
        self._timer = QTimer(self)
        self._timer.setInterval(TURN_MS)
        self._timer.timeout.connect(self._on_idle)

    def brush(self, fabric: Fabric, at: QPointF) -> QBrush:
        """Give a brush that lays the fabric from a point on, or its plain colour until then."""
        chosen = swatch_for(fabric, 0)
        if chosen is None:
            return QBrush(QColor(fabric.colour))
        known = self._tiles.get(fabric.id)
        if known is None or swatch_for(known[0], 0) != chosen:
            if all(waiting.id != fabric.id for waiting in self._wanted):
                self._wanted.append(fabric)
                self._timer.start()
            if known is None:
                return QBrush(QColor(fabric.colour))
        brush = QBrush(known[1])
        transform = brush.transform()
        transform.translate(at.x(), at.y())
        transform.scale(1 / self._ratio, 1 / self._ratio)
        brush.setTransform(transform)
        return brush

    @property
    def waiting(self) -> int:
        """How many cuttings are still to be made."""
        return len(self._wanted)

    def _on_idle(self) -> None:
        if not self._wanted:
            self._timer.stop()
            return
        if not self._book.rested:
            return
        fabric = self._wanted.popleft()
        self._tiles[fabric.id] = (fabric, self._cut(fabric))
        self.made.emit(fabric.id)

    def _cut(self, fabric: Fabric) -> QPixmap:
        side_px = TILE_PX * self._ratio
        tile = QPixmap(side_px, side_px)
        chosen = swatch_for(fabric, 0)
        if chosen is None:
            tile.fill(QColor(fabric.colour))
            return tile
        cloth, swatch = chosen
        self._book.open({cloth: swatch})
        scale = mm_per_px(swatch)
        mirrored = min(swatch.width_px, swatch.height_px) * scale * PX_PER_MM < TILE_PX
        # From the middle, where no edge of the picture runs.
        spare_x = max(0.0, swatch.width_px * scale - TILE_PX / PX_PER_MM) / 2
        spare_y = max(0.0, swatch.height_px * scale - TILE_PX / PX_PER_MM) / 2
        fill = ClothFill(cloth, (-spare_x, -spare_y), 0.0, scale, mirrored=mirrored)
        with QPainter(tile) as painter:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            px_per_mm = PX_PER_MM * self._ratio
            painter.scale(px_per_mm, px_per_mm)
            side = TILE_PX / PX_PER_MM
            painter.fillRect(QRectF(0, 0, side, side), self._book.brush(fill, px_per_mm))
        return tile


def draw_swatch(
    painter: QPainter, box: QRectF, fabric: Fabric, value: float, cuttings: Cuttings
) -> None:
    """Draw a swatch: a selvedge with a dot in the grey of its value, cloth, a pinked end."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    selvedge = round(box.height() * SELVEDGE_SHARE)
    cloth = swatch_path(box.adjusted(selvedge, 0, 0, 0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(INK))
    painter.setOpacity(0.28)
    painter.drawPath(cloth.translated(0, 1))
    painter.drawRect(QRectF(box.x(), box.y() + 1, selvedge, box.height()))
    painter.setOpacity(1.0)
    edge = QRectF(box.x(), box.y(), selvedge, box.height())
    painter.fillRect(edge, QColor(SELVEDGE))
    if not fabric.calibrated:
        hatch(painter, edge)
    painter.setBrush(cuttings.brush(fabric, QPointF(box.x() + selvedge, box.y())))
    painter.drawPath(cloth)
    radius = min(box.height() * 0.24, 9)
    painter.setBrush(QColor(grey_of_value(value)))
    middle = edge.center()
    if not fabric.calibrated:
        painter.setPen(QPen(QColor(HALO), 3.5))
        painter.drawEllipse(middle, radius, radius)
    painter.setPen(QPen(QColor(INK), 1.0))
    painter.drawEllipse(middle, radius, radius)
    painter.restore()


def hatch(painter: QPainter, box: QRectF) -> None:
    """Hatch a selvedge whose value is not sure: its photo has no card in it."""
    painter.save()
    painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
    painter.setPen(QPen(QColor(INK), 1.1))
    x = box.left() - box.height()
    while x < box.right():
        painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()))
        x += 4.5
    painter.restore()


def draw_unsure(painter: QPainter, box: QRectF) -> None:
    """Draw a piece of hatched selvedge, the mark of a value that is not sure."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillRect(box, QColor(SELVEDGE))
    hatch(painter, box)
    painter.restore()


def swatch_path(box: QRectF, pink_px: float = PINK_PX) -> QPainterPath:
    """Give the outline of a strip of cloth with a pinked right end."""
    points = [box.topLeft()]
    teeth = max(3, round(box.height() / (2 * pink_px)))
    step = box.height() / (2 * teeth)
    for k in range(2 * teeth + 1):
        inward = 0.0 if k % 2 else pink_px * 0.8
        points.append(QPointF(box.right() - inward, box.top() + k * step))
    points.append(box.bottomLeft())
    path = QPainterPath()
    path.addPolygon(QPolygonF(points))
    path.closeSubpath()
    return path


def draw_basted(
    painter: QPainter, path: QPainterPath, *, core_px: float = 1.6, halo_px: float = 1.25
) -> None:
    """Draw a basted outline in ink on its halo, for what is not there yet."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((HALO, core_px + 2 * halo_px), (INK, core_px)):
        pen = QPen(QColor(colour), width)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if colour == INK:
            pen.setDashPattern([3.2, 2.0])
        painter.strokePath(path, pen)
    painter.restore()


def draw_chalk(
    painter: QPainter, path: QPainterPath, *, opacity: float = 1.0, width_px: float = 1.5
) -> None:
    """Draw a chalked outline, for a place that waits."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setOpacity(opacity)
    pen = QPen(QColor(HALO), width_px)
    pen.setDashPattern([5 / width_px, 3 / width_px])
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.strokePath(path, pen)
    painter.restore()
