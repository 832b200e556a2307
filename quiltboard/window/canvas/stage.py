"""The board on its ground, to be looked at: fitted, zoomed, panned, painted frame by frame."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, QSize, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.balance.flags import Flag
from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.drawing.display import GROUND
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout, Rect
from quiltboard.window.canvas.frame import DIMMED, Frame
from quiltboard.window.canvas.header import HEADER_PX, SIDE_PX, paint_header, scale_line
from quiltboard.window.canvas.motion import SETTLE_MS, Motion
from quiltboard.window.canvas.overlay import Overlay
from quiltboard.window.canvas.pieces import Sight
from quiltboard.window.canvas.view import LEAST_OF_FIT, MOST_TIMES_TRUE, View, fit
from quiltboard.window.theme import Theme

ZOOM_STEP: Final = 1.25
MARGIN_PX: Final = 20
REST_MS: Final = 140
"""How long after the last move the view counts as at rest."""
SQUINT_REST_MS: Final = 700
"""How long the pointer rests until marks come back over a squint."""
MM_PER_INCH: Final = 25.4
MOST_BY_HAND: Final = 2
"""As many plates a hand changes in one go; where more change they settle one by one."""

Fitted = Literal["whole", "plate", "free"]


class BoardStage(QWidget):
    """Shows the board; what the hand does there is its heir's business.

    Signals
    -------
    view_changed
        Another part of the top is in sight, or at another scale.
    """

    view_changed = Signal()

    def __init__(
        self,
        document: Document,
        desk: Desk,
        theme: Theme,
        cloths: ClothBook,
        parent: QWidget | None = None,
        *,
        reduced_motion: bool = False,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.desk = desk
        self.theme = theme
        self.cloths = cloths
        self.motion = Motion(self, reduced=reduced_motion)
        self.overlay = Overlay(theme, self.motion)
        self.frame = Frame(cloths)
        self.view = View(1.0, 0.0, 0.0)
        self.settled = False
        """Whether the last frame left nothing to be painted."""
        self._fitted: Fitted = "whole"
        self._plate = 0
        self._bottom_room_px = 0
        self._flags: tuple[Flag, ...] = ()
        self._again = _single_shot(self, 0)
        self._again.timeout.connect(self.update)
        self._rest = _single_shot(self, REST_MS)
        self._rest.timeout.connect(self.update)
        self._squint_rest = _single_shot(self, SQUINT_REST_MS)
        self._squint_rest.timeout.connect(self._on_squint_rest)
        self._marks_aside = True
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 200)
        self.frame.notes.number_px = theme.px(11)
        self.take_project()
        self.motion.ticked.connect(self.update)
        self.frame.squint.ready.connect(self.update)
        theme.changed.connect(self._on_theme_changed)

    def sizeHint(self) -> QSize:
        """Ask for as much room as there is."""
        return QSize(900, 700)

    # What is shown.

    def take_project(self) -> None:
        """Take up the board as it is now."""
        document = self.document
        moved = self.frame.take(document.project, document.judgement, self.desk.seeing)
        self.show_flags(document.judgement.report.flags)
        if self.frame.waiting > MOST_BY_HAND:
            self.motion.start("settle", SETTLE_MS)
        if moved:
            self.fit_whole()
        self.update()

    def show_flags(self, flags: tuple[Flag, ...]) -> None:
        """Show the marks of these flags; those that come and go fade."""
        old, new = set(self._flags), set(flags)
        self._flags = flags
        coming = tuple(flag for flag in flags if flag not in old)
        if not self.motion.reduced and old != new:
            self.overlay.going = tuple(flag for flag in old if flag not in new)
            self.overlay.coming = coming
            self.motion.start("flags", 120)
        self._mark()

    def _mark(self) -> None:
        coming = set(self.overlay.coming) if self.motion.runs("flags") else set()
        self.frame.mark(
            [flag for flag in self._flags if flag not in coming], self.devicePixelRatioF()
        )
        self.update()

    @property
    def layout_mm(self) -> Layout:
        """Where everything lies, in mm."""
        return self.frame.layout

    def sight(self) -> Sight:
        """Give what pieces are painted from."""
        document = self.document
        seeing = "colour" if self.desk.seeing == "squint" else self.desk.seeing
        return Sight(
            document.project,
            document.judgement.shelf,
            seeing,
            self.view,
            self.devicePixelRatioF(),
            self.cloths,
        )

    # Where it is looked at.

    @property
    def content_rect(self) -> QRectF:
        """Where the board may lie: under the line above it, over the ledge."""
        top = self.theme.px(HEADER_PX)
        return QRectF(0, top, self.width(), max(40, self.height() - top - self._bottom_room_px))

    @property
    def true_scale(self) -> float:
        """Logical pixels to a millimetre at true size on this screen."""
        dpi = 96.0
        screen = self.screen()
        if screen is not None:
            measured = screen.physicalDotsPerInch()
            dpi = measured if 40 <= measured <= 500 else screen.logicalDotsPerInch()
        return dpi / MM_PER_INCH

    @property
    def scale_text(self) -> str:
        """What is in sight and how large."""
        layout = self.layout_mm
        shape = self.view.rect_px(Rect(0, 0, layout.width, layout.height))
        whole = self.content_rect.adjusted(-1, -1, 1, 1).contains(shape)
        plate = self._plate if self._fitted == "plate" else None
        if len(layout.blocks) == 1:
            plate = None
        return scale_line(self.view.scale / self.true_scale, plate, whole=whole)

    def keep_bottom_free(self, px: int) -> None:
        """Leave room at the bottom for what the window lays over the ground."""
        if px != self._bottom_room_px:
            self._bottom_room_px = px
            self._refit()

    def fit_whole(self) -> None:
        """Show the whole top."""
        layout = self.layout_mm
        self._fitted = "whole"
        self._set_view(
            fit(Rect(0, 0, layout.width, layout.height), self._fit_area(), MARGIN_PX),
            free=False,
        )

    def fit_plate(self, block: int) -> None:
        """Show one plate as large as it goes."""
        self._fitted, self._plate = "plate", block
        self._set_view(
            fit(self.layout_mm.blocks[block], self._fit_area(), MARGIN_PX), free=False
        )

    def show_true_size(self) -> None:
        """Show the cloth at its true size."""
        self.zoom_by(self.true_scale / self.view.scale)

    def zoom_in(self) -> None:
        """Come a step nearer."""
        self.zoom_by(ZOOM_STEP)

    def zoom_out(self) -> None:
        """Go a step back."""
        self.zoom_by(1 / ZOOM_STEP)

    def zoom_by(self, factor: float, about: QPointF | None = None) -> None:
        """Zoom about a point of the screen, or about the middle, within bounds."""
        layout, area = self.layout_mm, self._fit_area()
        whole = fit(Rect(0, 0, layout.width, layout.height), area, MARGIN_PX).scale
        most = max(MOST_TIMES_TRUE * self.true_scale, whole)
        scale = min(max(self.view.scale * factor, whole * LEAST_OF_FIT), most)
        middle = about or self.content_rect.center()
        self._set_view(self.view.zoomed(scale / self.view.scale, middle))

    def pan(self, dx_px: float, dy_px: float) -> None:
        """Move the top on screen."""
        self._set_view(self.view.moved(dx_px, dy_px))

    def bring_into_view(self, cells: tuple[Cell, ...]) -> None:
        """Move the top until these wedges are in sight, if they are not."""
        rects = [self.cell_rect(cell) for cell in cells]
        if not rects:
            return
        bounds = QRectF(rects[0])
        for rect in rects[1:]:
            bounds = bounds.united(rect)
        area = self.content_rect
        if bounds.width() > area.width() or bounds.height() > area.height():
            bounds = rects[-1]
        if not area.contains(bounds):
            away = area.center() - bounds.center()
            self._set_view(self.view.moved(away.x(), away.y()))

    def cell_rect(self, cell: Cell) -> QRectF:
        """Give the upright rectangle on screen that holds a wedge."""
        points = [self.view.to_px(x, y) for x, y in self.layout_mm.outline(cell)]
        xs, ys = [p.x() for p in points], [p.y() for p in points]
        return QRectF(QPointF(min(xs), min(ys)), QPointF(max(xs), max(ys)))

    def cell_at(self, at: QPointF) -> Cell | None:
        """Tell which wedge lies under a point of the screen."""
        if not self.content_rect.adjusted(0, 0, 0, self._bottom_room_px).contains(at):
            return None
        return self.layout_mm.cell_at(*self.view.to_mm(at))

    def _fit_area(self) -> QRectF:
        # The line above stands at the board's edge, so little ground is wanted between them.
        return self.content_rect.adjusted(0, -MARGIN_PX + 8, 0, 0)

    def _refit(self) -> None:
        if self._fitted == "plate" and self._plate < len(self.layout_mm.blocks):
            self.fit_plate(self._plate)
        elif self._fitted != "free":
            self.fit_whole()
        else:
            self._set_view(self.view)

    def _set_view(self, view: View, *, free: bool = True) -> None:
        layout = self.layout_mm
        kept = view.kept_in(self.content_rect, layout.width, layout.height)
        kept = kept.snapped(self.devicePixelRatioF())
        if free and kept != self.view:
            self._fitted = "free"
            self._rest.start()
        if kept != self.view:
            self.view = kept
            self.view_changed.emit()
        self.update()

    # How it is painted.

    @property
    def moving(self) -> bool:
        """Whether the view is on the move."""
        return self._rest.isActive()

    @property
    def marks_aside(self) -> bool:
        """Whether the marks have stepped aside from a squint."""
        squinting = self.desk.seeing == "squint"
        return squinting and self._marks_aside and self.overlay.hand is None

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a frame; what does not fit into it is painted in the next."""
        if self.overlay.coming and not self.motion.runs("flags"):
            self.overlay.coming = self.overlay.going = ()
            self._mark()
        self.frame.settle(self.motion.share("settle"))
        sight = self.sight()
        squinting = self.desk.seeing == "squint"
        aside = self.marks_aside
        marks = 0.0 if aside else DIMMED if self.overlay.flag is not None else 1.0
        # A piece lifted under the pointer would stand out sharp from what is seen squinting.
        sharp = not squinting or self.overlay.hand is not None

        def paint_under(painter: QPainter) -> None:
            if sharp:
                self.overlay.paint_under(painter, sight, self.frame.top.centre_items)

        with QPainter(self) as painter:
            done = self.frame.paint(
                painter,
                self.view,
                event.rect(),
                self.devicePixelRatioF(),
                moving=self.moving,
                marks=1.0 if squinting and not aside else marks,
                under=paint_under,
            )
            if not aside:
                self.overlay.paint_over(painter, sight, self.content_rect)
            header = QRectF(0, 0, self.width(), self.theme.px(HEADER_PX))
            if event.rect().top() < header.bottom():
                painter.fillRect(header, QColor(GROUND))
                self._paint_header(painter, header)
            self.overlay.paint_hand(painter, sight, self.content_rect)
        at_work = self.frame.waiting or (squinting and self.frame.squint.busy)
        self.settled = done and not self.moving and not at_work
        if not done:
            self._again.start()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep what was fitted fitted."""
        super().resizeEvent(event)
        self._refit()

    def _paint_header(self, painter: QPainter, box: QRectF) -> None:
        layout = self.layout_mm
        left = self.view.x
        right = self.view.x + layout.width * self.view.scale
        inside = left >= SIDE_PX and right <= box.width() - SIDE_PX
        if self._fitted == "whole" and inside and right - left > self.theme.px(420):
            box = QRectF(left - SIDE_PX, box.y(), right - left + 2 * SIDE_PX, box.height())
        paint_header(painter, self.theme, box, self.document.project.board, self.scale_text)

    def take_ratio(self) -> None:
        """Take up the pixels of another screen."""
        self._mark()
        self._set_view(self.view, free=False)

    def stir_squint(self) -> None:
        """Let the marks step aside from a squint until the pointer rests again."""
        if self.desk.seeing != "squint":
            return
        self._squint_rest.start()
        if not self._marks_aside:
            self._marks_aside = True
            self.update()

    def _on_squint_rest(self) -> None:
        self._marks_aside = not self.underMouse()
        self.update()

    def _on_theme_changed(self) -> None:
        self.frame.notes.number_px = self.theme.px(11)
        self._refit()
        self.update()


def _single_shot(parent: QWidget, ms: int) -> QTimer:
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(ms)
    return timer
