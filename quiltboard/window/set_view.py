"""The set read together: the value strip, the hue wheel, and what they tell in sentences.

This lies in the middle of the Fabrics step while no fabric is chosen.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.drawing.display import GROUND, HALO, INK
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.fabrics.set_reading import MOST_PAIRS, Alike, SetReading, read_set
from quiltboard.window.cloth import Cuttings
from quiltboard.window.hue_wheel import HueWheel
from quiltboard.window.lettering import Words
from quiltboard.window.theme import NOTE, PADDING_PX, PART_TITLE, TEXT, Theme
from quiltboard.window.value_strip import ValueStrip

WORDS_PX: Final = 240
"""The sentences stand beside the wheel where they have this width, at 100 %."""
WHEEL_PX: Final = (220, 460)
"""The wheel's side: at least, and at most."""
CLOTHS_SHARE: Final = 0.3
"""How much of the height the hung cloths may take."""
BESIDE_PX: Final = 24
AROUND_PX: Final = 64
"""How much is kept in view round what the keyboard is at, at 100 %."""
_PAIR_PX: Final = (64, 24)


class PairOfCloths(QWidget):
    """Two look-alikes sewn side by side, as they would lie on a plate."""

    def __init__(self, theme: Theme, cuttings: Cuttings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._cuttings = cuttings
        self._cloths: tuple[Fabric, ...] = ()
        cuttings.made.connect(self._on_cut)
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()

    def show_cloths(self, first: Fabric, second: Fabric) -> None:
        """Show two others."""
        self._cloths = (first, second)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the two cloths and the whip stitch over their seam."""
        wide, high = self.width() / 2, self.height()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for at, fabric in enumerate(self._cloths):
                box = QRectF(at * wide, 0, wide, high)
                painter.fillRect(box, self._cuttings.brush(fabric, box.topLeft()))
            for colour, width in ((HALO, 4.0), (INK, 1.5)):
                painter.setPen(QPen(QColor(colour), width, c=Qt.PenCapStyle.FlatCap))
                for y in range(5, int(high) - 2, 6):
                    painter.drawLine(QPointF(wide - 3, y + 2), QPointF(wide + 3, y - 2))

    def _on_cut(self, fabric: object) -> None:
        if any(cloth.id == fabric for cloth in self._cloths):
            self.update()

    def _on_theme_changed(self) -> None:
        wide, high = _PAIR_PX
        self.setFixedSize(self._theme.wide(wide), self._theme.px(high))


class PairRow(QWidget):
    """A pair of look-alikes and what is said of it."""

    def __init__(self, theme: Theme, cuttings: Cuttings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cloths = PairOfCloths(theme, cuttings)
        self.words = Words(theme, colour="ink", wrapped=True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        row.addWidget(self.cloths, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.words, 1)

    def show_pair(self, pair: Alike, fabrics: Mapping[FabricId, Fabric]) -> None:
        """Show another pair."""
        self.cloths.show_cloths(fabrics[pair.first.fabric], fabrics[pair.second.fabric])
        self.words.setText(pair.sentence)


class SetView(QScrollArea):
    """Shows a set by value, by hue and chroma, and says what is alike, missing or unsure."""

    def __init__(
        self,
        document: Document,
        desk: Desk,
        theme: Theme,
        cuttings: Cuttings,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._stale = True
        self._shown: tuple[object, object] | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.strip = ValueStrip(theme, cuttings)
        self.wheel = HueWheel(theme)
        self.title = Words(theme, size=PART_TITLE, weight=600, colour="ink", wrapped=True)
        self.hint = Words(theme, size=NOTE, colour="ink", wrapped=True)
        self.pairs = [PairRow(theme, cuttings) for _ in range(MOST_PAIRS)]
        self.more_alike, self.advice = self._line(), self._line()
        self.missing, self.photos, self.whole = (self._line() for _ in range(3))
        self._headings = {
            name: Words(theme, text, weight=600, colour="ink")
            for name, text in (
                ("alike", self.tr("Look-alikes")),
                ("missing", self.tr("Missing values")),
                ("photos", self.tr("Photos to take with care")),
            )
        }
        self._lay_out()
        for part, other in ((self.strip, self.wheel), (self.wheel, self.strip)):
            part.fabric_pointed.connect(other.stand_out)
            part.fabric_chosen.connect(desk.choose_fabric)
            part.walked_to.connect(self._on_walked)
        document.judged.connect(self._on_judged)
        theme.changed.connect(self._fit)

    @property
    def reading(self) -> SetReading:
        """What is shown."""
        return self.strip.reading

    def refresh(self) -> None:
        """Read the set as it is and show it; a set that is shown already is left alone."""
        fabrics = self._document.project.fabrics
        steps = self._document.judgement.shelf.steps
        if self._shown is not None and self._shown == (fabrics, steps):
            return
        self._shown = (fabrics, steps)
        reading = read_set(fabrics, steps)
        by_id = self._document.project.by_id()
        self.strip.show_fabrics(by_id)
        self.strip.show_reading(reading)
        self.wheel.show_reading(reading)
        self._say(reading, by_id)
        self._fit()

    def bring_up_to_date(self) -> None:
        """Show what is so now, or as soon as the set comes into view."""
        self._stale = not self.isVisible()
        if not self._stale:
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Come into view with what is so now."""
        if self._stale:
            self._stale = False
            self.refresh()
        super().showEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the sentences beside the wheel where there is room."""
        super().resizeEvent(event)
        self._fit()

    def sizeHint(self) -> QSize:
        """Ask for as much room as there is."""
        return QSize(900, 700)

    def minimumSizeHint(self) -> QSize:
        """Give the least room."""
        return QSize(280, 240)

    def _line(self) -> Words:
        return Words(self._theme, size=TEXT, colour="ink", wrapped=True)

    def _lay_out(self) -> None:
        inside = _Ground()
        column = QVBoxLayout(inside)
        column.setContentsMargins(PADDING_PX, PADDING_PX, PADDING_PX, PADDING_PX)
        column.setSpacing(4)
        column.addWidget(self.title)
        column.addWidget(self.hint)
        column.addSpacing(10)
        column.addWidget(self.strip)
        column.addSpacing(14)
        self._lower = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._lower.setSpacing(BESIDE_PX)
        self._lower.addWidget(self.wheel, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(5)
        for heading, parts in (
            ("alike", (*self.pairs, self.more_alike, self.advice)),
            ("missing", (self.missing,)),
            ("photos", (self.photos,)),
        ):
            words.addWidget(self._headings[heading])
            for part in parts:
                words.addWidget(part)
            words.addSpacing(10)
        words.addWidget(self.whole)
        words.addStretch(1)
        self._lower.addLayout(words, 1)
        column.addLayout(self._lower)
        column.addStretch(1)
        self.setWidget(inside)

    def _fit(self) -> None:
        """Share the room out, a scroll bar's width kept free, so that none comes and goes."""
        least, most = WHEEL_PX
        room = self.width() - 2 * PADDING_PX - self.verticalScrollBar().sizeHint().width()
        words = self._theme.px(WORDS_PX)
        beside = bool(self.reading.points) and room - least - BESIDE_PX >= words
        direction = QBoxLayout.Direction
        self._lower.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        self._lower.setAlignment(
            self.wheel, Qt.AlignmentFlag.AlignTop if beside else Qt.AlignmentFlag.AlignHCenter
        )
        self.strip.take_height(round(self.height() * CLOTHS_SHARE))
        above = self.title.heightForWidth(room) + self.hint.heightForWidth(room)
        left = self.height() - above - self.strip.sizeHint().height() - 6 * PADDING_PX
        wide = min(round(room * 0.45), room - BESIDE_PX - words)
        # Under the strip there is no end to the room: the view scrolls.
        side = min(left, wide) if beside else room if self.reading.points else left
        self.wheel.take_side(max(min(side, most), least))

    def _say(self, reading: SetReading, fabrics: Mapping[FabricId, Fabric]) -> None:
        count = len(reading.points)
        self.title.setText(
            counted(
                count,
                self.tr("{n} fabric, read by itself"),
                self.tr("{n} fabrics, read together"),
            )
            if count
            else self.tr("A set, read together")
        )
        self.hint.setText(
            self.tr(
                "Each hangs at its value, and is pinned by its hue, the farther out the more"
                " vivid. Point at one for its name; click it to open it."
            )
            if count
            else self.tr(
                "Drop photographs here, each with a white card beside the cloth; then every"
                " fabric hangs on this tape by its value and is pinned in the cushion by its"
                " hue, and what looks alike or is missing is told."
            )
        )
        for row, pair in zip(self.pairs, reading.alike, strict=False):
            row.show_pair(pair, fabrics)
        for at, row in enumerate(self.pairs):
            row.setVisible(at < len(reading.alike))
        more = reading.alike_sentences[MOST_PAIRS:]
        _set(self.more_alike, " ".join(more))
        _set(
            self.advice,
            self.tr("Lay them apart on a plate, or let one stand for both.")
            if reading.alike
            else "",
        )
        _set(self.missing, " ".join(reading.gap_sentences))
        photos = list(reading.photo_sentences)
        if reading.uncalibrated:
            photos.append(
                counted(
                    len(reading.uncalibrated),
                    self.tr("It hangs by a basted thread, its selvedge hatched."),
                    self.tr("They hang by basted threads, their selvedges hatched."),
                )
            )
        _set(self.photos, " ".join(photos))
        for name, shown in (
            ("alike", bool(reading.alike)),
            ("missing", bool(reading.gaps)),
            ("photos", bool(photos)),
        ):
            self._headings[name].setVisible(shown)
        clean = count > 1 and not reading.sentences
        _set(
            self.whole,
            self.tr(
                "No two look alike, no step from dark to light is missing, and every photo"
                " compares."
            )
            if clean
            else "",
        )

    def _on_walked(self, box: QRectF) -> None:
        """Keep in view what the keyboard is at, and its tag."""
        part, inside = self.sender(), self.widget()
        if isinstance(part, QWidget) and inside is not None:
            at = part.mapTo(inside, box.center().toPoint())
            away = self._theme.px(AROUND_PX)
            self.ensureVisible(at.x(), at.y(), 0, away + round(box.height() / 2))

    def _on_judged(self, _judgement: Judgement) -> None:
        self.bring_up_to_date()


class _Ground(QWidget):
    """The grey that cloth lies on."""

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay it."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(GROUND))


def _set(words: Words, text: str) -> None:
    words.setText(text)
    words.setVisible(bool(text))
