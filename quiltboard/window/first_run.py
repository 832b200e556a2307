"""The first run: a chalked ring, an invitation, and how a photograph becomes a wedge.

Its cloth is invented and painted here; no picture of anyone's cloth is shown.
"""

from __future__ import annotations

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QPushButton, QWidget

from quiltboard.drawing.display import GROUND, HALO, INK, Weight
from quiltboard.shapes.wedge import DraftedWedge, draft_wedge, usual_wedge
from quiltboard.window.cloth import draw_basted, draw_chalk
from quiltboard.window.invented_cloth import (
    CHECK,
    DOTS,
    LEAVES,
    Print,
    paint_photo,
    print_brush,
)
from quiltboard.window.lettering import Align, Words, draw_line, line_px, width_px
from quiltboard.window.numbered import draw_numbered
from quiltboard.window.theme import BUTTON, GRID_PX, INVITATION, NOTE, STEP, Theme

SHOWN_WEDGE: Final = 10
"""Which wedge of the chalked twelve is shown filled: at the left, toward the shelf."""
MARGIN_PX: Final = 24
LEAST_RING_PX: Final = 150
WAY_PX: Final = 214
"""What the photo and its steps take left of the ring, at 100 %."""
TIP_PHOTO_PX: Final = (66, 50)


class FirstRun(QWidget):
    """Covers the board while there is nothing on the shelf.

    Signals
    -------
    photos_asked, demo_asked
        One of the two buttons was pressed.
    """

    photos_asked = Signal()
    demo_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._drafted: DraftedWedge = draft_wedge(usual_wedge(12))
        self.title = Words(
            theme,
            self.tr("Bring in your fabrics"),
            size=INVITATION,
            weight=600,
            colour="ink",
            wrapped=True,
            align=Align.AlignHCenter,
            parent=self,
        )
        self.invitation = Words(
            theme,
            self.tr(
                "Drop photographs anywhere in this window, a folder of them, or a fabric list."
            ),
            size=BUTTON,
            colour="ink",
            wrapped=True,
            align=Align.AlignHCenter,
            parent=self,
        )
        self.choose = QPushButton(self.tr("Choose photographs"), self)
        self.choose.setObjectName("invite")
        self.demo = QPushButton(self.tr("Open the demo board"), self)
        self.demo.setObjectName("invite_2")
        for button in (self.choose, self.demo):
            button.setAccessibleName(button.text())
        self.setAccessibleName(self.tr("Bring in your fabrics"))
        self.setAccessibleDescription(
            self.tr(
                "Drop a photograph, one cloth to a picture. It lies on the shelf, the lightest "
                "at the top. Drag it onto a wedge and the count begins."
            )
        )
        self.choose.clicked.connect(self.photos_asked)
        self.demo.clicked.connect(self.demo_asked)
        theme.changed.connect(self._on_theme_changed)
        self._ring = QRectF()
        self._tips_top = 0.0

    def tips(self) -> tuple[tuple[Print, str, str, bool], ...]:
        """Give what makes a good photograph: a print, a heading, a note, a ruler or not."""
        return (
            (LEAVES, self.tr("Flat, in daylight"), self.tr("no flash, no folds"), False),
            (DOTS, self.tr("One cloth to a picture"), self.tr("let it fill the frame"), False),
            (CHECK, self.tr("A ruler along the edge"), self.tr("tells its true scale"), True),
        )

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Keep presses from reaching the board below."""
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the invitation out."""
        super().resizeEvent(event)
        self._lay_out()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ground, the ring, the photo, the way it takes, the tips."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(GROUND))
            if self._ring.width() >= LEAST_RING_PX:
                self._paint_ring(painter)
            if self._shows_way():
                self._paint_way(painter)
            if self._tips_top:
                self._paint_tips(painter)

    # Where things stand.

    def _lay_out(self) -> None:
        theme, wide, high = self._theme, self.width(), self.height()
        tip_high = max(TIP_PHOTO_PX[1], 3 * line_px(theme, NOTE))
        room = wide - 2 * MARGIN_PX
        tips_high = tip_high if room >= 3 * self._tip_px() else 0
        self.title.set_size(INVITATION)
        if high < 2 * self.title.heightForWidth(room) + theme.px(220):
            self.title.set_size(STEP + 4)
        title_high = self.title.heightForWidth(room)
        note_high = self.invitation.heightForWidth(room)
        button_high = theme.px(44)
        first, second = self.choose.sizeHint().width(), self.demo.sizeHint().width()
        beside = first + 12 + second <= room
        buttons_high = button_high if beside else 2 * button_high + 8
        block = title_high + 8 + note_high + 20 + buttons_high
        below = tips_high + (44 if tips_high else 0)
        ring = min(high - block - below - 3 * MARGIN_PX - 16, wide * 0.52, 520.0)
        ring = max(ring, 0.0)
        spare = high - block - below - ring
        if ring < LEAST_RING_PX:
            ring, spare = 0.0, high - block - below
        top = max(MARGIN_PX, spare * 0.42)
        # Where it is narrow the ring stands aside, so that the photo's way keeps its room.
        aside = min(wide - ring - MARGIN_PX, theme.px(WAY_PX) + 2.0)
        self._ring = QRectF(max((wide - ring) / 2, aside), top, ring, ring)
        y = round(top + ring + (spare * 0.24 if ring else 0))
        self.title.setGeometry(MARGIN_PX, y, room, title_high)
        y += title_high + 8
        self.invitation.setGeometry(MARGIN_PX, y, room, note_high)
        y += note_high + 20
        if beside:
            x = (wide - first - 12 - second) // 2
            self.choose.setGeometry(x, y, first, button_high)
            self.demo.setGeometry(x + first + 12, y, second, button_high)
        else:
            self.choose.setGeometry((wide - first) // 2, y, first, button_high)
            self.demo.setGeometry(
                (wide - second) // 2, y + button_high + 8, second, button_high
            )
        self._tips_top = high - tips_high - MARGIN_PX if tips_high else 0.0
        if self._tips_top < y + buttons_high + 8:
            self._tips_top = 0.0
        self.update()

    def _tip_px(self) -> int:
        widest = max(
            max(
                width_px(self._theme, heading, NOTE, 600),
                width_px(self._theme, note, NOTE),
            )
            for _, heading, note, _ in self.tips()
        )
        return TIP_PHOTO_PX[0] + 14 + widest + 28

    def _shows_way(self) -> bool:
        """Whether there is room left of the ring for the photo and its way."""
        beside = self._ring.left() >= self._theme.px(WAY_PX)
        return beside and self._ring.height() >= self._theme.px(300)

    # What is drawn.

    def _wedge_path(self, k: int) -> QPainterPath:
        scale = self._ring.width() * 0.46 / self._drafted.tip
        middle = self._ring.center()
        turn = math.radians(360 * k / self._drafted.n)
        points = [
            QPointF(
                middle.x() + scale * (x * math.cos(turn) + y * math.sin(turn)),
                middle.y() + scale * (x * math.sin(turn) - y * math.cos(turn)),
            )
            for x, y in self._drafted.sewn_outline()
        ]
        path = QPainterPath()
        path.addPolygon(QPolygonF(points))
        path.closeSubpath()
        return path

    def _paint_ring(self, painter: QPainter) -> None:
        square = QPainterPath()
        square.addRect(self._ring)
        draw_chalk(painter, square, width_px=1.6)
        # Each line once: two dashed sides laid over each other would look unbroken.
        outline = QPainterPath()
        for k in range(self._drafted.n):
            corners = self._wedge_path(k).toFillPolygon().toList()
            outline.moveTo(corners[0])
            for point in (corners[1], corners[2], corners[3]):
                outline.lineTo(point)
            self._paint_crease(painter, k)
        draw_chalk(painter, outline, width_px=1.6)
        middle = QPainterPath()
        scale = self._ring.width() * 0.46 / self._drafted.tip
        centre = self._drafted.centre_finished / 320 / 2 * scale
        middle.addEllipse(self._ring.center(), centre, centre)
        shown = self._wedge_path(SHOWN_WEDGE)
        brush = print_brush(DOTS)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(brush)
        painter.setOpacity(0.82)
        painter.drawPath(shown)
        painter.setOpacity(1.0)
        draw_basted(painter, shown, core_px=2.0, halo_px=1.6)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(GROUND))
        painter.drawPath(middle)
        draw_chalk(painter, middle, width_px=1.6)

    def _paint_crease(self, painter: QPainter, k: int) -> None:
        scale = self._ring.width() * 0.46 / self._drafted.tip
        turn = math.radians(360 * k / self._drafted.n)
        crease = QPainterPath()
        for share in (0.42, 0.84):
            r = scale * self._drafted.tip * share
            point = self._ring.center() + QPointF(r * math.sin(turn), -r * math.cos(turn))
            if share < 0.5:
                crease.moveTo(point)
            else:
                crease.lineTo(point)
        if k == SHOWN_WEDGE:
            return
        pen = QPen(QColor(HALO), 1.2)
        pen.setDashPattern([1.2, 4])
        painter.setOpacity(0.55)
        painter.strokePath(crease, pen)
        painter.setOpacity(1.0)

    def _paint_way(self, painter: QPainter) -> None:
        """Draw the photo, and the thread that leads over the shelf to the wedge."""
        theme = self._theme
        room = self._ring.left() - MARGIN_PX - 16
        side = min(room, 190.0, self._ring.height() * 0.46)
        photo = QRectF(0, 0, side, side * 0.78)
        at = QPointF(MARGIN_PX, self._ring.top() + self._ring.height() * 0.52)
        shelf = QPointF(4, 84)
        start = QPointF(at.x() + photo.width() * 0.38, at.y() - 18)
        first = QPainterPath(start)
        first.cubicTo(start.x() - 6, at.y() - 150, 60, 100, shelf.x() + 6, shelf.y() + 14)
        self._paint_thread(painter, first)
        wedge = self._wedge_path(SHOWN_WEDGE).boundingRect()
        goal = QPointF(wedge.left() + wedge.width() * 0.12, wedge.top() + wedge.height() * 0.08)
        second = QPainterPath(QPointF(shelf.x(), shelf.y()))
        second.cubicTo(
            room * 0.55,
            shelf.y() - 14,
            goal.x() - 120,
            goal.y() - 90,
            goal.x() - 8,
            goal.y() - 8,
        )
        self._paint_thread(painter, second)
        paint_photo(painter, QRectF(at, photo.size()), DOTS, turn=-5, card=True, ruler=False)
        width = self._ring.left() - MARGIN_PX - 12
        draw_numbered(
            painter,
            theme,
            QPointF(MARGIN_PX, 18),
            3,
            self.tr("Drag it onto a wedge"),
            self.tr("the count begins"),
            width=width,
            on_ground=True,
        )
        draw_numbered(
            painter,
            theme,
            QPointF(MARGIN_PX, at.y() + photo.height() + 26),
            1,
            self.tr("Drop a photograph"),
            self.tr("one cloth to a picture"),
            width=width,
            on_ground=True,
        )

    def _paint_thread(self, painter: QPainter, path: QPainterPath) -> None:
        """Sew a way, a needle at its end."""
        draw_basted(painter, path, core_px=2.2, halo_px=1.5)
        end = path.pointAtPercent(1)
        angle = path.angleAtPercent(0.99)
        painter.save()
        painter.translate(end)
        painter.rotate(-angle)
        needle = QPolygonF(
            [QPointF(2, 0), QPointF(-22, -2.8), QPointF(-30, 0), QPointF(-22, 2.8)]
        )
        painter.setPen(QPen(QColor(HALO), 2.4))
        painter.setBrush(QColor(INK))
        painter.drawPolygon(needle)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(needle)
        painter.setBrush(QColor(HALO))
        painter.drawEllipse(QPointF(-23, 0), 3.4, 0.8)
        painter.restore()

    def _paint_tips(self, painter: QPainter) -> None:
        theme = self._theme
        pitch = min((self.width() - 2 * MARGIN_PX) / 3, self._tip_px() + 6 * GRID_PX)
        left = (self.width() - 3 * pitch) / 2 + GRID_PX * 3
        wide, high = TIP_PHOTO_PX
        for k, (cloth, heading, note, ruler) in enumerate(self.tips()):
            x = left + k * pitch
            box = QRectF(x, self._tips_top, wide, high)
            turn = (-3.0, 2.5, -2.0)[k]
            paint_photo(painter, box, cloth, turn=turn, card=False, ruler=ruler)
            text_x = x + wide + 14
            line = line_px(theme, NOTE)
            top = box.center().y() - line
            room = pitch - wide - 14
            rows: tuple[tuple[str, Weight, float], ...] = (
                (heading, 600, top),
                (note, 400, top + line),
            )
            for text, weight, y in rows:
                place = QRectF(text_x, y, room, line)
                draw_line(painter, theme, place, text, size=NOTE, weight=weight, colour="ink")

    def _on_theme_changed(self) -> None:
        self._lay_out()
