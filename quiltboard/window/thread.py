"""The thread of steps: sewn behind, the needle under the present step, chalk dots ahead."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from quiltboard.document.desk import STEPS_OF_WORK, Desk
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.errands.judge import Judgement
from quiltboard.quilt.layout import finished_size
from quiltboard.units import format_length, plain_fractions
from quiltboard.window.actions import Actions
from quiltboard.window.lettering import draw_line, line_px, width_px
from quiltboard.window.theme import NOTE, STEP, Theme

MOST_PX = 132
"""Steps stand no farther apart than this, at 100 %."""
GAP_PX = 16
LEAST_GAP_PX = 6
NEEDLE_PX = 54
BELOW_PX = 12
"""From the bar's lower edge up to the thread."""


class StepButton(QAbstractButton):
    """One step of the work and how far it is."""

    def __init__(self, step: str, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.step = step
        self.note = ""
        self.short = False
        self._theme = theme
        self.setCheckable(True)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def say(self, note: str) -> bool:
        """Say how far the step is; tell whether that is news."""
        if note == self.note:
            return False
        self.note = note
        self.setAccessibleName(plain_fractions(f"{self.text()}, {note}"))
        self.setToolTip(plain_fractions(f"{self.text()}: {note}"))
        self.update()
        return True

    def needed_px(self, *, short: bool) -> int:
        """Tell how wide the step stands, with its note or, short, without."""
        name = width_px(self._theme, self.text(), STEP, 600)
        return name if short else max(name, width_px(self._theme, self.note, NOTE))

    def sizeHint(self) -> QSize:
        """Give the step's room."""
        return QSize(self.needed_px(short=False), 48)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Set the name and the note."""
        theme = self._theme
        first, second = line_px(theme, STEP), line_px(theme, NOTE)
        top = max(0.0, (self.height() - first - second) / 2)
        colour = "text" if self.isChecked() or self.underMouse() else "text_2"
        with QPainter(self) as painter:
            name = QRectF(0, top, self.width() + 2, first)
            draw_line(
                painter,
                theme,
                name,
                self.text(),
                size=STEP,
                weight=600 if self.isChecked() else 400,
                colour="text",
            )
            if self.short:  # the thread writes the present step's note, where there is room
                return
            note = QRectF(0, top + first, self.width() + 2, second)
            draw_line(painter, theme, note, self.note, size=NOTE, colour=colour)  # type: ignore[arg-type]


class StepThread(QWidget):
    """The steps that can be done, hung on one thread.

    Signals
    -------
    widths_changed
        The steps ask for more or less room.
    """

    widths_changed = Signal()

    def __init__(
        self,
        document: Document,
        desk: Desk,
        actions: Actions,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._desk = desk
        self._theme = theme
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.buttons: dict[str, StepButton] = {}
        for step in STEPS_OF_WORK:
            button = StepButton(step, theme, self)
            button.setText(actions[f"step.{step}"].text())
            button.clicked.connect(actions[f"step.{step}"].trigger)
            self.buttons[step] = button
        document.judged.connect(self._on_judged)
        desk.step_changed.connect(self._on_step_changed)
        theme.changed.connect(self._on_theme_changed)
        self._on_judged(document.judgement)
        self._on_step_changed(desk.step)

    def needed_px(self, *, short: bool) -> int:
        """Tell how wide all steps stand."""
        gap = self._theme.px(GAP_PX)
        return sum(b.needed_px(short=short) + gap for b in self.buttons.values())

    def notes(self) -> Mapping[str, str]:
        """Say how far each step is."""
        project, board = self._document.project, self._document.project.board
        laid = sum(count.placed for count in self._document.judgement.counts)
        shelf = self._document.judgement.shelf
        values = [shelf.values[fabric.id] for fabric in project.fabrics]
        count = len(values)
        spread = count > 1 and max(values) - min(values) > 30
        fabrics = str(count) if count else self.tr("none yet")
        width, height = (
            format_length(side, board.unit, with_unit=False) for side in finished_size(board)
        )
        asked = sum(1 for c in self._document.judgement.counts if c.placed)
        return {
            "fabrics": self.tr("{count}, light to dark").format(count=count)
            if spread
            else fabrics,
            "top": f"{width} × {height} {board.unit}",
            "wedge": self.tr("{n} to a ring").format(n=board.wedge.n),
            "arrange": self.tr("{laid} of {places} laid").format(
                laid=laid, places=board.places
            ),
            "cut": counted(asked, self.tr("{n} fabric"), self.tr("{n} fabrics"))
            if asked
            else self.tr("nothing yet"),
        }

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Spread the steps over the room."""
        super().resizeEvent(event)
        self._spread()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the thread: sewn, needle, chalk."""
        y = self.height() - BELOW_PX + 0.5
        present = self.buttons[self._desk.step]
        last = list(self.buttons.values())[-1]
        eye = float(present.x())
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            pen = QPen(self._theme.colour("text"), 2.6)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            pen.setDashPattern([3.0, 1.4])
            painter.setPen(pen)
            if eye > 4:
                painter.drawLine(QPointF(2, y), QPointF(eye - 2, y))
            self._needle(painter, eye, y)
            if present.short:
                self._paint_note(painter, present)
            dots = QPen(self._theme.colour("graph"), 2.0)
            dots.setCapStyle(Qt.PenCapStyle.RoundCap)
            dots.setDashPattern([0.01, 3.2])
            painter.setPen(dots)
            end = float(last.x() + last.width())
            if end > eye + NEEDLE_PX + 10:
                painter.drawLine(QPointF(eye + NEEDLE_PX + 8, y), QPointF(end, y))

    def _paint_note(self, painter: QPainter, step: StepButton) -> None:
        """Write the present step's note over the room of its neighbours, which show none."""
        theme = self._theme
        first, second = line_px(theme, STEP), line_px(theme, NOTE)
        top = step.y() + max(0.0, (step.height() - first - second) / 2) + first
        wide = width_px(theme, step.note, NOTE)
        x = max(0, min(step.x(), self.width() - wide - 2))
        note = QRectF(x, top, wide + 2, second)
        draw_line(painter, theme, note, step.note, size=NOTE, colour="text_2")

    def _needle(self, painter: QPainter, x: float, y: float) -> None:
        needle = QPainterPath(QPointF(x, y))
        needle.cubicTo(x + 2, y - 3.4, x + 12, y - 3.0, x + 20, y - 2.4)
        needle.lineTo(x + NEEDLE_PX, y)
        needle.lineTo(x + 20, y + 2.4)
        needle.cubicTo(x + 12, y + 3.0, x + 2, y + 3.4, x, y)
        eye = QPainterPath()
        eye.addEllipse(QPointF(x + 10, y), 4.4, 1.1)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._theme.colour("text"))
        painter.drawPath(needle.subtracted(eye))

    def _spread(self) -> None:
        buttons = list(self.buttons.values())
        room, gap = self.width(), self._theme.px(GAP_PX)
        high = self.height() - BELOW_PX - 4
        short = self.needed_px(short=False) > room
        widths = [button.needed_px(short=short) for button in buttons]
        between = max(len(buttons) - 1, 1)
        if short:
            gap = max(LEAST_GAP_PX, min(gap, (room - sum(widths)) // between))
        pitch = min(self._theme.px(MOST_PX), (room - gap) // len(buttons))
        even = all(wide + gap <= pitch for wide in widths)
        spare = max(0, room - sum(widths) - gap * between) // len(buttons)
        x = 0
        for button, wide in zip(buttons, widths, strict=True):
            step = pitch if even else wide + gap + spare
            button.short = short
            button.setGeometry(x, 2, max(step - gap, wide), high)
            x += step
        self.update()

    def _on_judged(self, _judgement: Judgement) -> None:
        notes = self.notes()
        news = [button.say(notes[step]) for step, button in self.buttons.items()]
        if any(news):
            self.widths_changed.emit()
            self._spread()

    def _on_step_changed(self, step: str) -> None:
        for name, button in self.buttons.items():
            button.setChecked(name == step)
        self.update()

    def _on_theme_changed(self) -> None:
        self._spread()
        self.update()
