"""The bottom bar: a hint on the left; a job as running stitch, with Stop, on the right."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from quiltboard.document.wording import counted
from quiltboard.window.icons import make_icon
from quiltboard.window.lettering import Align, Words, width_px
from quiltboard.window.theme import NOTE, PADDING_PX, STATUS_BAR_PX, TEXT, Theme

STITCHES: Final = 16
STITCH_PX: Final = 8
STITCH_GAP_PX: Final = 5


class RunningStitch(QWidget):
    """Progress as a row of stitches, the sewn ones dark."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.share = 0.0
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Progress"))

    def show_share(self, share: float) -> None:
        """Show how much is done, 0 to 1."""
        share = min(max(share, 0.0), 1.0)
        if share != self.share:
            self.share = share
            self.setAccessibleDescription(f"{round(share * 100)} %")
            self.update()

    def sizeHint(self) -> QSize:
        """Give the row's room."""
        return QSize(STITCHES * (STITCH_PX + STITCH_GAP_PX), 12)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Sew as far as it is done."""
        y = self.height() / 2
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for k in range(STITCHES):
                sewn = k < round(self.share * STITCHES)
                colour = "text" if sewn else "graph"
                wide = 2.6 if sewn else 1.6
                painter.setPen(
                    QPen(self._theme.colour(colour), wide, c=Qt.PenCapStyle.RoundCap)  # type: ignore[arg-type]
                )
                x = k * (STITCH_PX + STITCH_GAP_PX) + 2
                painter.drawLine(QPointF(x, y), QPointF(x + STITCH_PX, y))


class StatusBar(QWidget):
    """Hints, jobs, and what came of them.

    Signals
    -------
    stop_asked
        Stop was pressed.
    problems_asked
        The line that tells of problems was pressed.
    """

    stop_asked = Signal()
    problems_asked = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.hint = Words(theme, size=NOTE, colour="text_2", shortened=True)
        self.news = Words(theme, size=NOTE, weight=600, shortened=True)
        self.problems = QPushButton(self)
        self.problems.setProperty("plain", True)
        self.problems.setAccessibleName(self.tr("What was left out"))
        self.problems.hide()
        self.job = Words(theme, size=NOTE, shortened=True, align=Align.AlignRight)
        self.stitches = RunningStitch(theme, self)
        self.percent = Words(theme, size=NOTE, align=Align.AlignRight)
        self.stop = QPushButton(self.tr("Stop"), self)
        self.stop.setProperty("plain", True)
        row = QHBoxLayout(self)
        row.setContentsMargins(PADDING_PX, 0, 8, 0)
        row.setSpacing(12)
        row.addWidget(self.hint, 4)
        row.addWidget(self.news)
        row.addWidget(self.problems)
        row.addWidget(self.job, 1)
        row.addWidget(self.stitches)
        row.addWidget(self.percent)
        row.addWidget(self.stop)
        self.stop.clicked.connect(self.stop_asked)
        self.problems.clicked.connect(self.problems_asked)
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()
        self.end_job()
        self.tell("")

    def show_hint(self, text: str) -> None:
        """Show what can be done here and now."""
        self.hint.setText(text)

    def tell(self, sentence: str) -> None:
        """Tell what came of something; an empty sentence takes it away."""
        self.news.setText(sentence)
        self.news.setVisible(bool(sentence))

    def show_job(self, label: str, share: float) -> None:
        """Show a job at work: its name and how much of it is done, 0 to 1."""
        self.job.setText(label)
        self.stitches.show_share(share)
        self.percent.setText(f"{round(share * 100)} %")
        for part in self._job_parts():
            part.show()

    def end_job(self) -> None:
        """Take the job away."""
        for part in self._job_parts():
            part.hide()

    def show_problems(self, count: int) -> None:
        """Offer the list of what was left out of an import; none takes the line away."""
        text = counted(
            count, self.tr("{n} left out: see why"), self.tr("{n} left out: see why")
        )
        self.problems.setText(text)
        self.problems.setAccessibleName(text)
        self.problems.setVisible(count > 0)

    def sizeHint(self) -> QSize:
        """Give the bar's height."""
        return QSize(400, self._theme.px(STATUS_BAR_PX))

    def minimumSizeHint(self) -> QSize:
        """Give the bar's height; its words are shortened."""
        return QSize(200, self._theme.px(STATUS_BAR_PX))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the bar and a rule over it."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("bars"))
            painter.fillRect(0, 0, self.width(), 1, self._theme.colour("rule"))

    def _job_parts(self) -> tuple[QWidget, ...]:
        return self.job, self.stitches, self.percent, self.stop

    def _on_theme_changed(self) -> None:
        self.percent.setFixedWidth(width_px(self._theme, "100 %", NOTE) + 2)
        self.stop.setIcon(make_icon("stop", self._theme))
        side = self._theme.px(TEXT + 3)
        self.stop.setIconSize(QSize(side, side))
        self.updateGeometry()
        self.update()
