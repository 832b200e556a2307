"""Fabrics at their spots: pointed at, walked by keyboard, chosen, named by a tag.

What the value strip and the hue wheel share; each of them only says where a fabric is.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.drawing.display import HALO, INK
from quiltboard.fabrics.fabric import FabricId
from quiltboard.fabrics.set_reading import Point, SetReading
from quiltboard.window.lettering import draw_line, line_px, width_px, wrap_lines
from quiltboard.window.rows import OWN_CORD
from quiltboard.window.theme import (
    CORD_HALO_PX,
    CORD_PX,
    NOTE,
    RADIUS_PX,
    TEXT,
    Theme,
)

NOTHING = SetReading((), (), (), (), (), ())
_TAG_PADDING_PX = 9
_TAG_AWAY_PX = 8
_CHOOSING = {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}
_BY_KEYBOARD = {
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
}


class FabricSpots(QWidget):
    """Shows every fabric of a set at a spot of its own.

    Signals
    -------
    fabric_pointed
        The fabric under the pointer or at which the keyboard is, or None.
    fabric_chosen
        The fabric that was clicked, or chosen with Enter.
    walked_to
        The box (QRectF) of the fabric that the keyboard came to: keep it in view.
    """

    fabric_pointed = Signal(object)
    fabric_chosen = Signal(object)
    walked_to = Signal(QRectF)

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.reading = NOTHING
        self._points: dict[FabricId, Point] = {}
        self._pointed: FabricId | None = None
        self._last: FabricId | None = None
        self._pressed: FabricId | None = None
        self._tagged = False
        self._by_keys = False
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setProperty(OWN_CORD, True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(name)
        theme.changed.connect(self._on_theme_changed)

    def lay_out(self) -> None:
        """Find every fabric's spot in the room there is."""
        raise NotImplementedError

    def box_of(self, fabric: FabricId) -> QRectF:
        """Tell what a fabric covers."""
        raise NotImplementedError

    def fabric_at(self, at: QPointF) -> FabricId | None:
        """Tell which fabric lies under a place."""
        raise NotImplementedError

    def fabric_beside(self, fabric: FabricId, key: Qt.Key) -> FabricId | None:
        """Tell which fabric an arrow, Home or End leads to; None leaves the key free."""
        raise NotImplementedError

    @property
    def pointed(self) -> Point | None:
        """The fabric that stands out."""
        return None if self._pointed is None else self._points.get(self._pointed)

    def show_reading(self, reading: SetReading) -> None:
        """Show another set, or the same one changed."""
        self.reading = reading
        self._points = {point.fabric: point for point in reading.points}
        if self._pointed not in self._points:
            self._pointed = None
        if self._last not in self._points:
            self._last = None
        policy = Qt.FocusPolicy.StrongFocus if self._points else Qt.FocusPolicy.NoFocus
        self.setFocusPolicy(policy)
        self.lay_out()
        self._describe()
        self.update()

    @property
    def coats(self) -> tuple[tuple[str, float], tuple[str, float]]:
        """The halo and the ink about what stands out: a cord where the keyboard is."""
        cord = self._by_keys and self.hasFocus()
        core = float(CORD_PX if cord else 2)
        return (HALO, core + 2 * CORD_HALO_PX), (INK, core)

    def point_at(self, fabric: FabricId | None) -> None:
        """Let a fabric stand out under a tag with its name; None lets all rest."""
        if fabric != self._pointed or not self._tagged:
            self.stand_out(fabric)
            self._tagged = True
            self._last = self._pointed or self._last
            self.fabric_pointed.emit(self._pointed)

    def stand_out(self, fabric: FabricId | None) -> None:
        """Let the fabric that is pointed at elsewhere stand out here too."""
        self._pointed = fabric if fabric in self._points else None
        self._tagged = False
        self._describe()
        self.update()

    def tag_middle(self, point: Point, high: float) -> QPointF:
        """Tell where the middle of a tag's upper edge is wanted: above what it names."""
        box = self.box_of(point.fabric)
        above = box.top() - high - _TAG_AWAY_PX
        return QPointF(box.center().x(), above if above >= 2 else box.bottom() + _TAG_AWAY_PX)

    def draw_tag(self, painter: QPainter) -> None:
        """Lay the tag with the name and value of what is pointed at."""
        point = self.pointed
        if point is None or not self._tagged:
            return
        theme = self.theme
        note = self._note(point)
        padding = theme.px(_TAG_PADDING_PX)
        first, second = line_px(theme, TEXT), line_px(theme, NOTE)
        wide = max(width_px(theme, point.name, TEXT, 600), width_px(theme, note, NOTE) + 1)
        wide = min(wide, self.width() - 4 - 2 * padding)
        lines = wrap_lines(note, wide, theme.px(NOTE), 400)
        wide += 2 * padding
        high = first + len(lines) * second + padding
        middle = self.tag_middle(point, high)
        x = min(max(middle.x() - wide / 2, 2.0), self.width() - wide - 2.0)
        tag = QRectF(x, min(middle.y(), self.height() - high - 3.0), wide, high)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        shadow = QColor(INK)
        shadow.setAlphaF(0.28)
        painter.setBrush(shadow)
        painter.drawRoundedRect(tag.translated(0, 1.5), RADIUS_PX, RADIUS_PX)
        painter.setPen(QPen(theme.colour("edge"), 1.0))
        painter.setBrush(theme.colour("raised"))
        painter.drawRoundedRect(tag, RADIUS_PX, RADIUS_PX)
        inside = tag.adjusted(padding, padding / 2, -padding, -padding / 2)
        line = QRectF(inside.x(), inside.y(), inside.width(), first)
        draw_line(painter, theme, line, point.name, weight=600)
        line = QRectF(inside.x(), inside.y() + first, inside.width(), second)
        for text in lines:
            draw_line(painter, theme, line, text, size=NOTE, colour="text_2")
            line.translate(0, second)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Find every fabric's spot anew."""
        super().resizeEvent(event)
        self.lay_out()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Let the fabric under the pointer stand out."""
        fabric = self.fabric_at(event.position())
        self._by_keys = False
        self.setCursor(
            Qt.CursorShape.ArrowCursor if fabric is None else Qt.CursorShape.PointingHandCursor
        )
        self.point_at(fabric)

    def leaveEvent(self, event: QEvent) -> None:
        """Let all rest, unless the keyboard is at one."""
        if not self._by_keys:
            self.point_at(None)
        super().leaveEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember which fabric the button went down on."""
        left = event.button() == Qt.MouseButton.LeftButton
        self._pressed = self.fabric_at(event.position()) if left else None

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Choose the fabric that the button went down and came up on."""
        fabric, self._pressed = self._pressed, None
        if fabric is not None and fabric == self.fabric_at(event.position()):
            self.point_at(fabric)
            self.fabric_chosen.emit(fabric)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk with the arrows, Home and End; choose with Enter."""
        key, at = Qt.Key(event.key()), self._pointed or self._last
        if at is None:
            super().keyPressEvent(event)
        elif key in _CHOOSING:
            self.point_at(at)
            self.fabric_chosen.emit(at)
        else:
            beside = self.fabric_beside(at, key)
            if beside is None:
                super().keyPressEvent(event)
            else:
                self._walk_to(beside)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin where the keyboard was last, or at the first fabric."""
        if event.reason() in _BY_KEYBOARD and self.reading.points:
            self._walk_to(self._last or self.reading.points[0].fabric)
        self.update()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Let all rest."""
        self._by_keys = False
        self.point_at(None)
        self.update()
        super().focusOutEvent(event)

    def _walk_to(self, fabric: FabricId) -> None:
        self._by_keys = True
        self.point_at(fabric)
        self.walked_to.emit(self.box_of(fabric))
        self.update()

    def _note(self, point: Point) -> str:
        said = self.tr("value {value}, {step}").format(
            value=round(point.value), step=self.tr(point.step)
        )
        return said if point.calibrated else said + self.tr(", no card in its photo")

    def _describe(self) -> None:
        """Say aloud what stands out, or how many there are."""
        point = self.pointed
        if point is None:
            said = self.tr("{n} fabrics; arrows walk, Enter opens one").format(
                n=len(self.reading.points)
            )
        else:
            said = self.tr("{name}, {note}, {place} of {n}").format(
                name=point.name,
                note=self._note(point),
                place=self.reading.points.index(point) + 1,
                n=len(self.reading.points),
            )
        self.setAccessibleDescription(said)

    def _on_theme_changed(self) -> None:
        self.lay_out()
        self.updateGeometry()
        self.update()
