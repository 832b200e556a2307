"""The photo of a fabric on its grey, with four corners to drag round the cloth."""

from __future__ import annotations

from typing import Final, cast

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QWidget

from quiltboard.fabrics.fabric import WHOLE_PHOTO, Corners, Fabric
from quiltboard.window.theme import Theme

_MARGIN_PX: Final = 40
_HANDLE_PX: Final = 9
_GRAB_PX: Final = 22
_NUDGE: Final = 0.0025
_NUDGE_FAR: Final = 0.02
_CORNER_NAMES: Final = ("upper left", "upper right", "lower right", "lower left")


class PhotoTable(QWidget):
    """Shows a photo and lets its corners be set by mouse and keyboard.

    Signals
    -------
    corners_set
        The corners after a drag or a run of key presses ends, as fractions of the photo.
    """

    corners_set = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._image = QImage()
        self._corners: list[QPointF] = []
        self._fabric: Fabric | None = None
        self._held: int | None = None
        self._at = 0
        self._keyed = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(320, 240)
        self.setAccessibleName(self.tr("Photo of the fabric"))
        theme.changed.connect(self.update)

    def show_fabric(self, fabric: Fabric | None) -> None:
        """Show a fabric's photo, or none."""
        if fabric is self._fabric:
            return
        before = self._fabric
        self._fabric = fabric
        if fabric is None or fabric.photo is None:
            self._image = QImage()
        elif before is None or before.photo is not fabric.photo:
            self._image = QImage.fromData(fabric.photo.jpeg)
        if self._held is None:
            corners = fabric.corners if fabric else WHOLE_PHOTO
            self._corners = [QPointF(x, y) for x, y in corners]
        self._describe()
        self.update()

    @property
    def corners(self) -> Corners:
        """The corners as they stand."""
        return cast("Corners", tuple((p.x(), p.y()) for p in self._corners))

    def photo_rect(self) -> QRectF:
        """Tell where on the widget the photo lies."""
        room = QRectF(self.rect()).adjusted(_MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX)
        if self._image.isNull() or room.width() <= 0 or room.height() <= 0:
            return QRectF()
        width, height = self._image.width(), self._image.height()
        scale = min(room.width() / width, room.height() / height, 2.0)
        size = QRectF(0, 0, width * scale, height * scale)
        size.moveCenter(room.center())
        return size

    def handle(self, corner: int) -> QPointF:
        """Tell where on the widget a corner's handle is."""
        photo, point = self.photo_rect(), self._corners[corner]
        return QPointF(
            photo.x() + point.x() * photo.width(), photo.y() + point.y() * photo.height()
        )

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the photo, what is left out of it veiled, and the corners."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("ground"))
            photo = self.photo_rect()
            if photo.isEmpty():
                self._paint_nothing(painter)
                return
            painter.setRenderHints(
                QPainter.RenderHint.SmoothPixmapTransform | QPainter.RenderHint.Antialiasing
            )
            painter.drawImage(photo, self._image)
            self._paint_corners(painter, photo)

    def _paint_nothing(self, painter: QPainter) -> None:
        painter.setFont(self._theme.font(15))
        painter.setPen(self._theme.colour("ink"))
        text = (
            self.tr("Choose a fabric on the shelf to see its photo.")
            if self._fabric is None
            else self.tr(
                "{name} is a plain colour: there is no photo to set corners in."
            ).format(name=self._fabric.name)
        )
        room = self.rect().adjusted(_MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX)
        painter.drawText(
            room, int(Qt.AlignmentFlag.AlignCenter) | int(Qt.TextFlag.TextWordWrap), text
        )

    def _paint_corners(self, painter: QPainter, photo: QRectF) -> None:
        outline = QPolygonF([self.handle(i) for i in range(4)])
        veil = QPolygonF(photo).subtracted(outline)
        painter.setPen(Qt.PenStyle.NoPen)
        ground = QColor(self._theme.colour("ground"))
        ground.setAlphaF(0.72)
        painter.setBrush(ground)
        painter.drawPolygon(veil)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        halo, ink = self._theme.colour("halo"), self._theme.colour("ink")
        for colour, width in ((halo, 5.5), (ink, 2.0)):
            pen = QPen(colour, width)
            pen.setDashPattern([4.0 * 2.0 / width * 2, 3.0 * 2.0 / width * 2])
            painter.setPen(pen if colour == ink else QPen(colour, width))
            painter.drawPolygon(outline)
        for index in range(4):
            here = self.hasFocus() and index == self._at
            radius = _HANDLE_PX + (3 if here or index == self._held else 0)
            painter.setPen(QPen(halo, 2))
            painter.setBrush(ink)
            painter.drawEllipse(self.handle(index), radius, radius)
            if here:
                painter.setPen(QPen(halo, 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(self.handle(index), radius - 5, radius - 5)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the nearest corner."""
        if event.button() != Qt.MouseButton.LeftButton or self.photo_rect().isEmpty():
            return
        near = min(range(4), key=lambda i: _distance(self.handle(i), event.position()))
        if _distance(self.handle(near), event.position()) <= _GRAB_PX:
            self._held = self._at = near
            self._describe()
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the held corner; a corner under the pointer shows a hand."""
        if self._held is None:
            photo = self.photo_rect()
            over = not photo.isEmpty() and any(
                _distance(self.handle(i), event.position()) <= _GRAB_PX for i in range(4)
            )
            self.setCursor(
                Qt.CursorShape.OpenHandCursor if over else Qt.CursorShape.ArrowCursor
            )
            return
        self._carry(self._held, event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the corner go: the swatch is taken anew."""
        if self._held is not None:
            self._carry(self._held, event.position())
            self._held = None
            self._settle()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go round the corners with C, nudge with the arrows (Shift: farther)."""
        steps = {
            Qt.Key.Key_Left: (-1, 0),
            Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Up: (0, -1),
            Qt.Key.Key_Down: (0, 1),
        }
        key = Qt.Key(event.key())
        if self.photo_rect().isEmpty():
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_C:
            self._at = (self._at + 1) % 4
            self._describe()
            self.update()
        elif key in steps:
            shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            far = _NUDGE_FAR if shift else _NUDGE
            dx, dy = steps[key]
            point = self._corners[self._at]
            self._move(self._at, point.x() + dx * far, point.y() + dy * far)
            self._keyed = True
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Take the swatch anew once the keys rest."""
        if self._keyed and not event.isAutoRepeat():
            self._keyed = False
            self._settle()
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show which corner the keys move."""
        self.update()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide which corner the keys move."""
        self.update()
        super().focusOutEvent(event)

    def _carry(self, corner: int, to: QPointF) -> None:
        photo = self.photo_rect()
        self._move(
            corner,
            (to.x() - photo.x()) / photo.width(),
            (to.y() - photo.y()) / photo.height(),
        )

    def _move(self, corner: int, x: float, y: float) -> None:
        self._corners[corner] = QPointF(min(max(x, 0.0), 1.0), min(max(y, 0.0), 1.0))
        self._describe()
        self.update()

    def _settle(self) -> None:
        if self._fabric is not None and self.corners != self._fabric.corners:
            self.corners_set.emit(self.corners)
        self.update()

    def refuse(self) -> None:
        """Put the corners back where the fabric has them."""
        if self._fabric is not None:
            self._corners = [QPointF(x, y) for x, y in self._fabric.corners]
            self.update()

    def _describe(self) -> None:
        if self._fabric is None or not self._corners:
            self.setAccessibleDescription("")
            return
        point = self._corners[self._at]
        self.setAccessibleDescription(
            self.tr("{name}: {corner} corner at {x} % across, {y} % down").format(
                name=self._fabric.name,
                corner=self.tr(_CORNER_NAMES[self._at]),
                x=round(100 * point.x()),
                y=round(100 * point.y()),
            )
        )


def _distance(a: QPointF, b: QPointF) -> float:
    return (a - b).manhattanLength()
