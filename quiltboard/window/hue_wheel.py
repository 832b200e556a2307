"""The hue wheel: a pincushion with a pin for every fabric.

A pin's point is where the fabric's colour is: its direction the hue, its distance from the
button in the middle the chroma. Heads lean outward, and apart where they crowd.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.drawing.display import GROUND, HALO, INK
from quiltboard.fabrics.fabric import FabricId
from quiltboard.fabrics.set_reading import Point
from quiltboard.window.cloth import draw_chalk
from quiltboard.window.dial import CUSHION
from quiltboard.window.fabric_spots import FabricSpots
from quiltboard.window.lettering import Align, draw_line, line_px, width_px
from quiltboard.window.theme import NOTE, Theme

USUAL_PX: Final = 320
LEAST_CHROMA: Final = 60.0
"""The rim stands for at least this chroma, so that a quiet set stays near the middle."""
CHROMA_RING: Final = 20.0
HUES: Final = (
    (0, "pink"),
    (35, "red"),
    (65, "orange"),
    (95, "yellow"),
    (145, "green"),
    (200, "teal"),
    (265, "blue"),
    (315, "purple"),
)
"""Where everyday names lie, in degrees of CIELAB hue."""
PINS_PX: Final = ((40, 8.0, 18.0), (150, 6.0, 11.0), (100_000, 4.0, 0.0))
"""Up to so many fabrics, a pin has a head of this radius, so far from its point."""
_FARTHEST_LEAN: Final = 3.0
"""A head leans aside by so many of its radii at most."""
_TURNS: Final = 24
_PATIENCE: Final = 0.6
"""How much of an overlap one turn takes away."""

Places = npt.NDArray[np.float64]


def pin_px(count: int) -> tuple[float, float]:
    """Give the radius of a pin's head, and how far it stands out, in a set of so many."""
    return next((radius, lean) for most, radius, lean in PINS_PX if count <= most)


def stand_pins(points: Sequence[Point], radius_px: float) -> tuple[Places, Places]:
    """Find where pins stand round a middle at (0, 0).

    Parameters
    ----------
    points
        The fabrics.
    radius_px
        How far from the middle a head may stand.

    Returns
    -------
    tips, heads : ndarray of shape (N, 2)
        x right, y down: hue 0 at the top, rising clockwise.
    """
    count = len(points)
    head, lean = pin_px(count)
    turn = np.radians([point.hue_deg for point in points])
    chroma = np.array([point.chroma for point in points])
    outward = np.column_stack((np.sin(turn), -np.cos(turn))).reshape(-1, 2)
    reach = max(radius_px - head - lean, 1.0)
    tips = outward * (chroma / rim_chroma(points) * reach)[:, None]
    wanted = tips + outward * lean
    # A hair's breadth, so that heads on the very same spot know where to go.
    order = np.arange(count)
    heads = wanted + 0.01 * np.column_stack((np.cos(order), np.sin(order)))
    least, farthest = 2 * head + 1, _FARTHEST_LEAN * head
    first, second = np.triu_indices(count, k=1)
    meet = _lengths(wanted[first] - wanted[second]) < least + 2 * farthest
    first, second = first[meet], second[meet]
    for _ in range(_TURNS):
        apart = heads[first] - heads[second]
        away = _lengths(apart)
        close = away < least
        push = apart[close] * ((least - away[close]) / away[close] * _PATIENCE / 2)[:, None]
        np.add.at(heads, first[close], push)
        np.subtract.at(heads, second[close], push)
        heads = wanted + _no_longer(heads - wanted, farthest)
        heads = _no_longer(heads, radius_px - head)
    return tips, heads


def _no_longer(vectors: Places, most: float) -> Places:
    """Shorten the vectors that are longer than that."""
    return vectors * np.minimum(1.0, most / _lengths(vectors))[:, None]


def _lengths(vectors: Places) -> Places:
    return np.hypot(vectors[:, 0], vectors[:, 1]) + 1e-9


def rim_chroma(points: Sequence[Point]) -> float:
    """Give the chroma that the rim stands for: a whole number of rings, enough for all."""
    most = max((point.chroma for point in points), default=0.0)
    return max(LEAST_CHROMA, CHROMA_RING * math.ceil(most / CHROMA_RING))


class HueWheel(FabricSpots):
    """Draws the pincushion, its pins and the names of the hues on its rim."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, "", parent)
        self.setAccessibleName(self.tr("Fabrics by hue and chroma"))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._side_px = USUAL_PX
        self._tips: Places = np.zeros((0, 2))
        self._heads: Places = np.zeros((0, 2))

    def take_side(self, side_px: int) -> None:
        """Stand as wide and high as there is room."""
        if side_px != self._side_px:
            self._side_px = side_px
            self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Give the wheel's room."""
        return QSize(self._side_px, self._side_px)

    def minimumSizeHint(self) -> QSize:
        """Give the wheel's room: it is not squeezed."""
        return self.sizeHint()

    def lay_out(self) -> None:
        """Stand every pin in the room there is."""
        self._tips, self._heads = stand_pins(self.reading.points, self._inner())

    def box_of(self, fabric: FabricId) -> QRectF:
        """Tell what the head of a fabric's pin covers."""
        for point, head in zip(self.reading.points, self._heads, strict=True):
            if point.fabric == fabric:
                radius = self._head_px()
                at = self._middle() + QPointF(*head.tolist())
                return QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius)
        return QRectF()

    def fabric_at(self, at: QPointF) -> FabricId | None:
        """Tell whose pin's head lies nearest under a place."""
        if not len(self._heads):
            return None
        place = at - self._middle()
        away = np.hypot(self._heads[:, 0] - place.x(), self._heads[:, 1] - place.y())
        nearest = int(away.argmin())
        near = away[nearest] <= self._head_px() + 3
        return self.reading.points[nearest].fabric if near else None

    def fabric_beside(self, fabric: FabricId, key: Qt.Key) -> FabricId | None:
        """Walk round by hue: right and down with the clock, left and up against it."""
        round_ = [
            point.fabric
            for point in sorted(self.reading.points, key=lambda p: (p.hue_deg, p.chroma))
        ]
        at = round_.index(fabric)
        if key in {Qt.Key.Key_Right, Qt.Key.Key_Down}:
            return round_[(at + 1) % len(round_)]
        if key in {Qt.Key.Key_Left, Qt.Key.Key_Up}:
            return round_[at - 1]
        if key in {Qt.Key.Key_Home, Qt.Key.Key_End}:
            return round_[0 if key == Qt.Key.Key_Home else -1]
        return None

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the cushion, the names on its rim, the pins and the tag."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.save()
            painter.translate(self._middle())
            self._draw_cushion(painter)
            self._draw_hues(painter)
            count = len(self.reading.points)
            for place in range(count) if pin_px(count)[1] else ():
                self._draw_shaft(painter, place)
            for place in range(count):
                self._draw_head(painter, place)
            if not count:
                self._draw_waiting(painter)
            painter.restore()
            self._draw_pointed(painter)
            self.draw_tag(painter)

    def _head_px(self) -> float:
        return pin_px(len(self._heads))[0]

    def _middle(self) -> QPointF:
        return QPointF(self.width() / 2, self.height() / 2)

    def _outer(self) -> float:
        return min(self.width(), self.height()) / 2 - 2

    def _inner(self) -> float:
        """How far from the middle the rim begins."""
        return max(self._outer() - line_px(self.theme, NOTE) - 8, 20.0)

    def _draw_cushion(self, painter: QPainter) -> None:
        outer, inner = self._outer(), self._inner()
        painter.setPen(Qt.PenStyle.NoPen)
        shadow = QColor(INK)
        shadow.setAlphaF(0.28)
        painter.setBrush(shadow)
        painter.drawEllipse(QPointF(0, 1.5), outer, outer)
        painter.setBrush(QColor(CUSHION))
        painter.drawEllipse(QPointF(0, 0), outer, outer)
        painter.setBrush(QColor(GROUND))
        painter.drawEllipse(QPointF(0, 0), inner, inner)
        chalk = QColor(HALO)
        chalk.setAlphaF(0.5)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        rings = round(rim_chroma(self.reading.points) / CHROMA_RING)
        reach = inner - sum(pin_px(len(self.reading.points)))
        for ring in range(1, rings):
            pen = QPen(chalk, 1.0)
            pen.setDashPattern([5.0, 4.0])
            painter.setPen(pen)
            painter.drawEllipse(QPointF(0, 0), reach * ring / rings, reach * ring / rings)
        # Seams gather the cushion to its button.
        painter.setPen(QPen(chalk, 1.2))
        for at in range(6):
            seam = QPainterPath(QPointF(0, 0))
            turn = 60 * at + 15
            seam.quadTo(_at(inner * 0.5, turn + 9), _at(inner, turn))
            painter.drawPath(seam)
        for colour, width in ((HALO, 4.0), (INK, 1.5)):
            pen = QPen(QColor(colour), width, c=Qt.PenCapStyle.FlatCap)
            if colour == INK:
                pen.setDashPattern([4.0, 2.6])
            painter.setPen(pen)
            painter.drawEllipse(QPointF(0, 0), inner, inner)
        painter.setPen(QPen(QColor(INK), 1.0))
        painter.setBrush(QColor(CUSHION))
        painter.drawEllipse(QPointF(0, 0), 5, 5)

    def _draw_hues(self, painter: QPainter) -> None:
        """Set the names along the rim, none upside down; those without room are left out."""
        radius = (self._outer() + self._inner()) / 2
        line = line_px(self.theme, NOTE)
        free_from = -math.inf
        for hue, name in HUES:
            text = self.tr(name)
            wide = width_px(self.theme, text, NOTE)
            half = math.degrees(wide / 2 / radius) + 2
            if hue - half < free_from or hue + half > 360 - 4:
                continue
            free_from = hue + half
            below = 90 < hue < 270
            painter.save()
            painter.rotate(hue + (180 if below else 0))
            painter.translate(0, radius if below else -radius)
            draw_line(
                painter,
                self.theme,
                QRectF(-wide / 2 - 1, -line / 2, wide + 2, line),
                text,
                size=NOTE,
                colour="ink",
                align=Align.AlignHCenter,
            )
            painter.restore()

    def _draw_waiting(self, painter: QPainter) -> None:
        """Chalk the places of pins to come."""
        for at, turn in enumerate((20, 75, 150, 215, 300)):
            head = QPainterPath()
            head.addEllipse(_at(self._inner() * (0.42 + 0.1 * (at % 3)), turn), 8, 8)
            draw_chalk(painter, head)

    def _draw_shaft(self, painter: QPainter, place: int) -> None:
        tip, head = (QPointF(*xy[place].tolist()) for xy in (self._tips, self._heads))
        for colour, width in ((HALO, 3.4), (INK, 1.5)):
            painter.setPen(QPen(QColor(colour), width, c=Qt.PenCapStyle.RoundCap))
            painter.drawLine(tip, head)

    def _draw_head(self, painter: QPainter, place: int) -> None:
        """Draw a head in its cloth's colour, its edge basted where the photo has no card."""
        point, radius = self.reading.points[place], self._head_px()
        painter.setBrush(QColor(point.colour))
        for colour, width in ((HALO, 3.2), (INK, 1.1)):
            pen = QPen(QColor(colour), width, c=Qt.PenCapStyle.FlatCap)
            if not point.calibrated and colour == INK:
                pen.setDashPattern([3.0, 2.5])
            painter.setPen(pen)
            painter.drawEllipse(QPointF(*self._heads[place].tolist()), radius, radius)

    def _draw_pointed(self, painter: QPainter) -> None:
        point = self.pointed
        if point is None:
            return
        place = self.reading.points.index(point)
        painter.save()
        painter.translate(self._middle())
        self._draw_shaft(painter, place)
        self._draw_head(painter, place)
        head = QPointF(*self._heads[place].tolist())
        radius = self._head_px() + 4
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in self.coats:
            painter.setPen(QPen(QColor(colour), width))
            painter.drawEllipse(head, radius, radius)
        painter.restore()


def _at(radius: float, turn_deg: float) -> QPointF:
    turn = math.radians(turn_deg)
    return QPointF(radius * math.sin(turn), -radius * math.cos(turn))
