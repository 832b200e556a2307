"""The value strip: every fabric hung by a thread at its own place on a tape of greys.

The thread begins at the fabric's value; where cloths crowd, they lean apart below it, and where
there are very many, neighbours in value hang from one thread.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QWidget

from quiltboard.drawing.display import HALO, INK
from quiltboard.drawing.seeing import grey_of_value
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.fabrics.set_reading import Gap, Point
from quiltboard.window.cloth import SELVEDGE, Cuttings, draw_chalk, hatch
from quiltboard.window.fabric_spots import FabricSpots
from quiltboard.window.hanging import PRINTED_FROM_PX, Hanging, Thread, hang
from quiltboard.window.lettering import Align, draw_line, line_px, width_px
from quiltboard.window.theme import NOTE, Theme

TAPE_PX: Final = 18
DROP_PX: Final = 30
"""How far cloth hangs below the tape."""
LEAST_HIGH_PX: Final = 110
"""Cloths are given at least this much room below the tape."""
WAITING: Final = (Gap(None, 0.0, True), Gap(40.0, 60.0, True), Gap(100.0, None, True))
"""The empty places of a set without a fabric."""
_SIDE_PX: Final = 20
_BELOW_PX: Final = 4
_SELVEDGE_PX: Final = 14
_LEAST_DOT_PX: Final = 20


class ValueStrip(FabricSpots):
    """Draws the tape of greys, its value steps, and the cloths that hang from it."""

    def __init__(self, theme: Theme, cuttings: Cuttings, parent: QWidget | None = None) -> None:
        super().__init__(theme, "", parent)
        self.setAccessibleName(self.tr("Fabrics by value, from dark to light"))
        self._cuttings = cuttings
        self._fabrics: Mapping[FabricId, Fabric] = {}
        self._boxes: dict[FabricId, QRectF] = {}
        self._high_px = LEAST_HIGH_PX
        self.hanging = Hanging()
        cuttings.made.connect(self._on_cut)

    def show_fabrics(self, fabrics: Mapping[FabricId, Fabric]) -> None:
        """Take the cloths themselves, to show them as they are."""
        self._fabrics = fabrics

    def take_height(self, high_px: int) -> None:
        """Hang cloths as low as there is room for."""
        high_px = max(high_px, LEAST_HIGH_PX)
        if high_px != self._high_px:
            self._high_px = high_px
            self.lay_out()
            self.update()

    def sizeHint(self) -> QSize:
        """Give the strip's room."""
        return QSize(400, self._top_of_cloth() + self.hanging.height_px + _BELOW_PX)

    def minimumSizeHint(self) -> QSize:
        """Give the strip's room: it is not squeezed from above."""
        return QSize(200, self.sizeHint().height())

    def lay_out(self) -> None:
        """Hang every cloth in the room there is."""
        before = self.hanging.height_px
        points, left = self.reading.points, self.x_of(0)
        gaps = self.reading.gaps if points else WAITING
        self.hanging = hang(points, gaps, left, self.x_of(100) - left, self._high_px)
        self._boxes = {
            point.fabric: self._box(thread, row)
            for thread in self.hanging.threads
            for row, point in enumerate(thread.points)
        }
        if self.hanging.height_px != before:
            self.updateGeometry()

    def box_of(self, fabric: FabricId) -> QRectF:
        """Tell what a fabric's cloth covers."""
        return self._boxes.get(fabric, QRectF())

    def fabric_at(self, at: QPointF) -> FabricId | None:
        """Tell whose cloth, or which thread of a single cloth, lies under a place."""
        near = self.hanging.gap / 2
        for fabric, box in self._boxes.items():
            if box.adjusted(-near, -near, near, near).contains(at):
                return fabric
        return None

    def fabric_beside(self, fabric: FabricId, key: Qt.Key) -> FabricId | None:
        """Walk from dark to light with left and right, along a thread with up and down."""
        threads = [thread.points for thread in self.hanging.threads if thread.points]
        column = next(
            k for k, points in enumerate(threads) if any(p.fabric == fabric for p in points)
        )
        row = next(k for k, p in enumerate(threads[column]) if p.fabric == fabric)
        if key == Qt.Key.Key_Home:
            column, row = 0, 0
        elif key == Qt.Key.Key_End:
            column, row = len(threads) - 1, len(threads[-1]) - 1
        elif key in {Qt.Key.Key_Left, Qt.Key.Key_Right}:
            column += 1 if key == Qt.Key.Key_Right else -1
            column = min(max(column, 0), len(threads) - 1)
        elif key in {Qt.Key.Key_Up, Qt.Key.Key_Down} and self.hanging.rows > 1:
            row += 1 if key == Qt.Key.Key_Down else -1
        else:
            return None
        return threads[column][min(max(row, 0), len(threads[column]) - 1)].fabric

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the tape, the steps, the threads, the cloths and the tag."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for thread in self.hanging.threads:
                self._draw_thread(painter, thread)
            self._draw_tape(painter)
            self._draw_steps(painter)
            for thread in self.hanging.threads:
                for row, point in enumerate(thread.points):
                    self._draw_cloth(painter, self._box(thread, row), point)
                if not thread.points:
                    place = QPainterPath()
                    place.addRect(self._box(thread, 0))
                    draw_chalk(painter, place, opacity=0.9)
            self._draw_pointed(painter)
            self.draw_tag(painter)

    # Where things are.

    def x_of(self, value: float) -> float:
        """Tell where an L* lies across the strip."""
        side = max(_SIDE_PX, width_px(self.theme, "100", NOTE) / 2 + 2)
        return side + value / 100 * (self.width() - 2 * side)

    def tag_middle(self, point: Point, high: float) -> QPointF:  # noqa: ARG002
        """Lay the tag over the tape, at the value."""
        return QPointF(self.x_of(point.value), 0)

    def _top_of_tape(self) -> int:
        return 2 * line_px(self.theme, NOTE) + self.theme.px(8)

    def _top_of_cloth(self) -> int:
        return self._top_of_tape() + TAPE_PX + DROP_PX

    def _box(self, thread: Thread, row: int) -> QRectF:
        wide, high = self.hanging.wide, self.hanging.high
        top = self._top_of_cloth() + row * (high + self.hanging.gap)
        return QRectF(round(thread.x - wide / 2), top, wide, high)

    # What is drawn.

    def _draw_tape(self, painter: QPainter) -> None:
        top = self._top_of_tape()
        tape = QRectF(self.x_of(0), top, self.x_of(100) - self.x_of(0), TAPE_PX)
        greys = QLinearGradient(tape.topLeft(), tape.topRight())
        for value in range(0, 101, 4):
            greys.setColorAt(value / 100, QColor(grey_of_value(value)))
        painter.setPen(QPen(QColor(HALO), 3.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(tape)
        painter.setPen(QPen(QColor(INK), 1.2))
        painter.setBrush(greys)
        painter.drawRect(tape)
        for value in range(10, 100, 10):
            x, reach = self.x_of(value), 6 if value % 20 == 0 else 4
            for colour, width in ((HALO, 3.0), (INK, 1.2)):
                painter.setPen(QPen(QColor(colour), width, c=Qt.PenCapStyle.FlatCap))
                painter.drawLine(QPointF(x, top), QPointF(x, top + reach))
        line = line_px(self.theme, NOTE)
        for value in range(0, 101, 20):
            box = QRectF(self.x_of(value) - 40, top - line - 2, 80, line)
            half = width_px(self.theme, str(value), NOTE) / 2 + 3
            if any(
                abs(self.x_of(border.value) - self.x_of(value)) < half
                for border in self.reading.borders
            ):
                continue
            draw_line(
                painter,
                self.theme,
                box,
                str(value),
                size=NOTE,
                colour="ink",
                align=Align.AlignHCenter,
            )

    def _draw_steps(self, painter: QPainter) -> None:
        """Stitch across the tape where steps part, and name them above."""
        borders, points = self.reading.borders, self.reading.points
        top, line = self._top_of_tape(), line_px(self.theme, NOTE)
        for border in borders:
            x = self.x_of(border.value)
            for colour, width in ((HALO, 4.0), (INK, 1.6)):
                pen = QPen(QColor(colour), width, c=Qt.PenCapStyle.FlatCap)
                if colour == INK:
                    pen.setDashPattern([3.2, 2.0])
                painter.setPen(pen)
                painter.drawLine(QPointF(x, 2), QPointF(x, top + TAPE_PX + 6))
        if borders:
            names = [borders[0].darker, *(border.lighter for border in borders)]
        else:
            names = [point.step for point in points[:1]]
        edges = [0.0, *(border.value for border in borders), 100.0]
        for name, (low, high) in zip(names, pairwise(edges), strict=False):
            box = QRectF(self.x_of(low) + 5, 0, self.x_of(high) - self.x_of(low) - 10, line)
            text = self.tr(name)
            if width_px(self.theme, text, NOTE, 600) <= box.width():
                draw_line(
                    painter,
                    self.theme,
                    box,
                    text,
                    size=NOTE,
                    weight=600,
                    colour="ink",
                    align=Align.AlignHCenter,
                )

    def _draw_thread(self, painter: QPainter, thread: Thread) -> None:
        """Draw a thread from the tape to its cloth, basted where a photo has no card."""
        start = QPointF(self.x_of(thread.value), self._top_of_tape() + TAPE_PX)
        box = self._box(thread, max(len(thread.points) - 1, 0))
        end = QPointF(box.center().x(), self._top_of_cloth())
        middle = (start.y() + end.y()) / 2
        path = QPainterPath(start)
        path.cubicTo(QPointF(start.x(), middle), QPointF(end.x(), middle), end)
        if not thread.points:
            draw_chalk(painter, path, opacity=0.9)
            return
        path.lineTo(end.x(), box.top())
        basted = not all(point.calibrated for point in thread.points)
        for colour, width in ((HALO, 3.6), (INK, 1.4)):
            pen = QPen(QColor(colour), width, c=Qt.PenCapStyle.FlatCap)
            if basted and colour == INK:
                pen.setDashPattern([4.0, 3.0])
            painter.strokePath(path, pen)

    def _draw_cloth(self, painter: QPainter, box: QRectF, point: Point) -> None:
        """Draw a hung cloth: its selvedge on top with the dot of its value, pinked below."""
        fabric = self._fabrics.get(point.fabric)
        cloth = _hung_path(box)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setOpacity(0.28)
        painter.setBrush(QColor(INK))
        painter.drawPath(cloth.translated(0, 1))
        painter.setOpacity(1.0)
        printed = fabric is not None and box.width() >= PRINTED_FROM_PX
        painter.setBrush(
            self._cuttings.brush(fabric, box.topLeft())
            if fabric is not None and printed
            else QColor(point.colour)
        )
        painter.drawPath(cloth)
        dotted = box.width() >= _LEAST_DOT_PX
        deep = _SELVEDGE_PX if dotted else box.height() / 3
        selvedge = QRectF(box.x(), box.y(), box.width(), deep)
        painter.setBrush(QColor(SELVEDGE))
        painter.drawRect(selvedge)
        if not point.calibrated:
            hatch(painter, selvedge)
        if dotted:
            painter.setPen(QPen(QColor(HALO), 3.5))
            painter.drawEllipse(selvedge.center(), 4.5, 4.5)
            painter.setPen(QPen(QColor(INK), 1.0))
            painter.setBrush(QColor(grey_of_value(point.value)))
            painter.drawEllipse(selvedge.center(), 4.5, 4.5)

    def _draw_pointed(self, painter: QPainter) -> None:
        point = self.pointed
        if point is None:
            return
        box = self.box_of(point.fabric).adjusted(-3, -3, 3, 3)
        x, top = self.x_of(point.value), self._top_of_tape()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in self.coats:
            painter.setPen(QPen(QColor(colour), width))
            painter.drawRect(box)
            painter.drawLine(QPointF(x, top - 3), QPointF(x, top + TAPE_PX + 3))

    def _on_cut(self, fabric: object) -> None:
        for known, box in self._boxes.items():
            if known == fabric:
                self.update(box.adjusted(-2, -2, 2, 2).toAlignedRect())


def _hung_path(box: QRectF) -> QPainterPath:
    """Give the outline of a cloth with its pinked end below."""
    teeth = max(3, round(box.width() / 7))
    step = box.width() / (2 * teeth)
    points = [box.topLeft(), box.topRight()]
    for k in range(2 * teeth + 1):
        inward = 0.0 if k % 2 else 2.6
        points.append(QPointF(box.right() - k * step, box.bottom() - inward))
    path = QPainterPath()
    path.addPolygon(QPolygonF(points))
    path.closeSubpath()
    return path
