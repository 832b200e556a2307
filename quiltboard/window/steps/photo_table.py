"""The photo of a fabric on its grey: corners to drag, cards to point at, rulers to lay."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, cast

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPolygonF,
)
from PySide6.QtWidgets import QApplication, QWidget

from quiltboard.fabrics.fabric import WHOLE_PHOTO, Corners, Fabric
from quiltboard.units import Unit, format_length
from quiltboard.window.steps.photo_painter import (
    on_photo,
    paint_caption,
    paint_outline,
    paint_ruler,
    paint_sibling,
    paint_spot,
    paint_tool,
)
from quiltboard.window.steps.photo_tools import (
    ARROWS,
    NUDGE,
    NUDGE_FAR,
    Point,
    PointTool,
    RulerTool,
    Tool,
    within,
)
from quiltboard.window.theme import Theme

_MARGIN_PX: Final = 40
_GRAB_PX: Final = 22
_CORNER_NAMES: Final = ("upper left", "upper right", "lower right", "lower left")


class PhotoTable(QWidget):
    """Shows a photo and what is cut from it; lets corners, cards and rulers be set.

    Signals
    -------
    corners_set
        The corners after a drag or a run of key presses ends, as fractions of the photo.
    fabric_picked
        The id of another fabric of the same photo that was clicked.
    tool_changed
        Whether a tool is in the hand.
    """

    corners_set = Signal(object)
    fabric_picked = Signal(object)
    tool_changed = Signal(bool)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._image = QImage()
        self._corners: list[QPointF] = []
        self._fabric: Fabric | None = None
        self._siblings: tuple[Fabric, ...] = ()
        self._unit: Unit = "in"
        self._tool: Tool | None = None
        self._came_from: QWidget | None = None
        self._busy = ""
        self._held: int | None = None
        self._at = 0
        self._keyed = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(320, 240)
        self.setAccessibleName(self.tr("Photo of the fabric"))
        theme.changed.connect(self.update)

    # What it shows.

    def show_fabric(
        self,
        fabric: Fabric | None,
        siblings: Sequence[Fabric] = (),
        unit: Unit = "in",
        corners: Corners | None = None,
    ) -> None:
        """Show a fabric's photo, or none.

        Parameters
        ----------
        fabric
            The fabric.
        siblings
            Other fabrics cut from the same photo.
        unit
            What lengths are shown in.
        corners
            Corners that are set already and not yet measured; None for the fabric's own.
        """
        before, self._fabric = self._fabric, fabric
        self._siblings, self._unit = tuple(siblings), unit
        if before is None or fabric is None or before.id != fabric.id:
            self.put_down()
            self._held, self._keyed, self._at = None, False, 0
        if fabric is None or fabric.photo is None:
            self._image = QImage()
        elif before is None or before.photo is not fabric.photo:
            self._image = QImage.fromData(fabric.photo.jpeg)
        if self._held is None and not self._keyed:
            own = fabric.corners if fabric else WHOLE_PHOTO
            self._corners = [QPointF(x, y) for x, y in corners or own]
        self._describe()
        self.update()

    def show_busy(self, sentence: str) -> None:
        """Say over the photo that it is being worked at; nothing takes the sentence away."""
        self._busy = sentence
        self.update()

    @property
    def corners(self) -> Corners:
        """The corners as they stand."""
        return cast("Corners", tuple((p.x(), p.y()) for p in self._corners))

    @property
    def tool(self) -> Tool | None:
        """The tool in the hand."""
        return self._tool

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
        point = self._corners[corner]
        return on_photo(self.photo_rect(), point.x(), point.y())

    def refuse(self) -> None:
        """Put the corners back where the fabric has them."""
        if self._fabric is not None:
            self._corners = [QPointF(x, y) for x, y in self._fabric.corners]
            self.update()

    # Tools.

    def ask_point(self, caption: str, done: Callable[[Point], None]) -> None:
        """Let the maker point at a place in the photo."""
        self._take_up(PointTool(caption, done))

    def ask_ruler(self, caption: str, done: Callable[[Point, Point], None]) -> None:
        """Let the maker lay a ruler between two places in the photo."""
        self._take_up(RulerTool(caption, done))

    def put_down(self) -> None:
        """Put the tool down; nothing is set."""
        if self._tool is not None:
            self._tool = None
            self.unsetCursor()
            if self.hasFocus() and self._came_from is not None:
                self._came_from.setFocus(Qt.FocusReason.OtherFocusReason)
            self._came_from = None
            self._describe()
            self.tool_changed.emit(False)
            self.update()

    def _take_up(self, tool: Tool) -> None:
        at = QApplication.focusWidget()
        if at is not self:
            self._came_from = at
        self._tool = tool
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self._describe()
        self.tool_changed.emit(True)
        self.update()

    # How it is painted.

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the photo, what is left out of it veiled, and what is in the hand."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("ground"))
            photo, fabric = self.photo_rect(), self._fabric
            if photo.isEmpty() or fabric is None:
                self._paint_nothing(painter)
                return
            painter.setRenderHints(
                QPainter.RenderHint.SmoothPixmapTransform | QPainter.RenderHint.Antialiasing
            )
            painter.drawImage(photo, self._image)
            if self._tool is not None:
                paint_tool(painter, self._theme, photo, self._tool)
                self._paint_slip(
                    painter,
                    self.tr("{what} Esc puts it off.").format(what=self._tool.caption),
                    on_photo(photo, self._tool.at.x(), self._tool.at.y()),
                )
                return
            paint_outline(
                painter,
                self._theme,
                photo,
                self._corners,
                held=self._held,
                keyed=self._at if self.hasFocus() else None,
            )
            self._paint_known(painter, photo, fabric)
            if self._busy:
                self._paint_slip(painter, self._busy)

    def _paint_slip(
        self, painter: QPainter, text: str, away_from: QPointF | None = None
    ) -> None:
        paint_caption(painter, self._theme, QRectF(self.rect()), text, away_from)

    def _paint_known(self, painter: QPainter, photo: QRectF, fabric: Fabric) -> None:
        """Paint the other cloths, the ruler, and where white was set by."""
        for sibling in self._siblings:
            corners = [QPointF(x, y) for x, y in sibling.corners]
            paint_sibling(painter, self._theme, photo, corners, sibling.name)
        if fabric.ruler is not None:
            start, end = QPointF(*fabric.ruler.start), QPointF(*fabric.ruler.end)
            text = format_length(fabric.ruler.length, self._unit, finest=16)
            paint_ruler(painter, self._theme, photo, start, end, text)
        if fabric.lighting.at is not None:
            paint_spot(painter, self._theme, on_photo(photo, *fabric.lighting.at))

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

    # The mouse.

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Use the tool; else take hold of the nearest corner, or pick another cloth."""
        if event.button() != Qt.MouseButton.LeftButton or self.photo_rect().isEmpty():
            return
        if self._tool is not None:
            self._tool.press(self._in_photo(event.position()))
            self.update()
            return
        near = min(range(4), key=lambda i: _distance(self.handle(i), event.position()))
        if _distance(self.handle(near), event.position()) <= _GRAB_PX:
            self._held = self._at = near
            self._describe()
            self.update()
            return
        picked = self._sibling_at(event.position())
        if picked is not None:
            self.fabric_picked.emit(picked.id)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the tool or the held corner; a corner under the pointer shows a hand."""
        if self._tool is not None:
            if not self.photo_rect().isEmpty():
                self._tool.move(self._in_photo(event.position()))
                self.update()
        elif self._held is not None:
            self._carry(self._held, event.position())
        else:
            self._show_hand(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the tool or the corner go."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        if self._tool is not None:
            if self._tool.release(self._in_photo(event.position())):
                self.put_down()
            self.update()
        elif self._held is not None:
            self._carry(self._held, event.position())
            self._held = None
            self._settle()

    # The keyboard.

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go round the corners with C, to the photo's next cloth with N; nudge with arrows.

        A tool is set with Enter and put off with Escape.
        """
        key = Qt.Key(event.key())
        if self.photo_rect().isEmpty():
            super().keyPressEvent(event)
        elif key in ARROWS:
            shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            far = NUDGE_FAR if shift else NUDGE
            self._nudge(ARROWS[key][0] * far, ARROWS[key][1] * far)
        elif self._tool is not None and key == Qt.Key.Key_Escape:
            self.put_down()
        elif self._tool is not None and key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            if self._tool.set():
                self.put_down()
            self.update()
        elif self._tool is None and key == Qt.Key.Key_C:
            self._at = (self._at + 1) % 4
            self._describe()
            self.update()
        elif self._tool is None and key == Qt.Key.Key_N and self._siblings:
            self.fabric_picked.emit(self._next_sibling().id)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Take the swatch anew once the keys rest."""
        if not event.isAutoRepeat():
            self._end_nudge()
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show which corner the keys move."""
        self.update()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide which corner the keys move; a nudge that was begun is done."""
        self._end_nudge()
        self.update()
        super().focusOutEvent(event)

    # How it is done.

    def _nudge(self, dx: float, dy: float) -> None:
        if self._tool is not None:
            self._tool.move(self._tool.at + QPointF(dx, dy))
            self._describe()
            self.update()
            return
        point = self._corners[self._at]
        self._move(self._at, point.x() + dx, point.y() + dy)
        self._keyed = True

    def _end_nudge(self) -> None:
        if self._keyed:
            self._keyed = False
            self._settle()

    def _in_photo(self, place: QPointF) -> QPointF:
        photo = self.photo_rect()
        return QPointF(
            (place.x() - photo.x()) / photo.width(), (place.y() - photo.y()) / photo.height()
        )

    def _sibling_at(self, place: QPointF) -> Fabric | None:
        """Find the cloth under a place, the smallest where one lies on another."""
        if self.photo_rect().isEmpty():
            return None
        at = self._in_photo(place)
        under = []
        for sibling in self._siblings:
            outline = QPolygonF([QPointF(x, y) for x, y in sibling.corners])
            if outline.containsPoint(at, Qt.FillRule.OddEvenFill):
                frame = outline.boundingRect()
                under.append((frame.width() * frame.height(), sibling))
        return min(under, key=lambda found: found[0])[1] if under else None

    def _next_sibling(self) -> Fabric:
        """Find the cloth after this one, in the order of their ids, round and round."""
        own = self._fabric.id if self._fabric else ""
        in_order = sorted(self._siblings, key=lambda sibling: sibling.id)
        return next((other for other in in_order if other.id > own), in_order[0])

    def _show_hand(self, place: QPointF) -> None:
        sibling = self._sibling_at(place)
        self.setToolTip("" if sibling is None else sibling.name)
        if self.photo_rect().isEmpty():
            self.unsetCursor()
        elif any(_distance(self.handle(i), place) <= _GRAB_PX for i in range(4)):
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif sibling is not None:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        else:
            self.unsetCursor()

    def _carry(self, corner: int, to: QPointF) -> None:
        at = self._in_photo(to)
        self._move(corner, at.x(), at.y())

    def _move(self, corner: int, x: float, y: float) -> None:
        self._corners[corner] = within(x, y)
        self._describe()
        self.update()

    def _settle(self) -> None:
        if self._fabric is not None and self.corners != self._fabric.corners:
            self.corners_set.emit(self.corners)
        self.update()

    def _describe(self) -> None:
        if self._fabric is None or not self._corners:
            self.setAccessibleDescription("")
            return
        if self._tool is not None:
            point, what = self._tool.at, self._tool.caption
        else:
            point = self._corners[self._at]
            what = self.tr("{name}: {corner} corner").format(
                name=self._fabric.name, corner=self.tr(_CORNER_NAMES[self._at])
            )
        self.setAccessibleDescription(
            self.tr("{what} at {x} % across, {y} % down").format(
                what=what, x=round(100 * point.x()), y=round(100 * point.y())
            )
        )


def _distance(a: QPointF, b: QPointF) -> float:
    return (a - b).manhattanLength()
