"""Scrap balance: what is out of balance, what to mind, and how the chosen plate leans."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from quiltboard.balance.chance import Chance, heavy_against_shuffles
from quiltboard.balance.flags import FlagKey
from quiltboard.balance.report import Heavy, Report, heavy_sentence
from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.errands.judge import Judgement
from quiltboard.project.project import Project
from quiltboard.window.cloth import Cuttings
from quiltboard.window.dial import Dial, Lean
from quiltboard.window.flag_rows import FlagPainter, FlagRow, Legend, list_flags
from quiltboard.window.icons import make_icon
from quiltboard.window.lettering import Align, Words
from quiltboard.window.minding import Minding
from quiltboard.window.rows import Rows, RowsView
from quiltboard.window.theme import (
    NOTE,
    PADDING_PX,
    PART_TITLE,
    ROW_OF_TWO_PX,
    SIDE_PX,
    TEXT,
    Theme,
)

LEAST_HIGH_PX = 280
"""Below this, at 100 %, the side part scrolls; large letters wrap and take more."""
WRAPPED_PX = 2.2
SMALL_DIAL_BELOW_PX = 470
SETTLE_MS = 120
"""Shuffles are counted when the board has rested so long."""


class BalancePanel(QWidget):
    """The headline, the flags, what to mind before sewing, the dial."""

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
        self._desk = desk
        self._theme = theme
        self._shown_block = 0
        self._chance: Mapping[tuple[object, ...], Chance] = {}
        self.rows: Rows[FlagRow] = Rows(self)
        self.view = RowsView(theme, self.tr("Flags"), self)
        self.view.setModel(self.rows)
        self.flag_painter = FlagPainter(theme, cuttings)
        self.flag_painter.setParent(self.view)
        self.view.setItemDelegate(self.flag_painter)
        self.dial = Dial(theme, self)
        self.headline = Words(theme, weight=600, wrapped=True)
        self.kinds = Words(theme, size=NOTE, colour="text_2", wrapped=True)
        self.plate = Words(theme, weight=600, wrapped=True)
        self.leaning = Words(theme, wrapped=True)
        self.chance = Words(theme, size=NOTE, colour="text_2", wrapped=True)
        self._lay_out()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._on_settled)
        document.judged.connect(self._on_judged)
        desk.block_chosen.connect(self._on_block_chosen)
        desk.flag_pointed.connect(self._on_flag_pointed)
        self.view.row_chosen.connect(self._on_row_chosen)
        self.view.row_opened.connect(self._on_row_chosen)
        self.question.toggled.connect(self._on_question)
        cuttings.made.connect(self._on_cut)
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()
        self._on_judged(document.judgement)

    def preview(self, judgement: Judgement, project: Project) -> None:
        """Show what the board would come to with the piece let go here."""
        self._show_flags(judgement, project)

    def show_meanings(self) -> None:
        """Show what the flags mean, or the flags again."""
        self.question.toggle()

    def sizeHint(self) -> QSize:
        """Give the panel's room."""
        return QSize(self._theme.wide(SIDE_PX), 540)

    def minimumSizeHint(self) -> QSize:
        """Give the least room in which the panel can be used; what to mind stands in full."""
        noted = self.minding.high_px(self.width())
        # A flag stays in sight above what is to be minded.
        return QSize(200, least_high(self._theme) + (noted + ROW_OF_TWO_PX if noted else 0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take a smaller dial where the panel is low."""
        super().resizeEvent(event)
        self._fit_dial()
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the panel."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("panel"))

    def _fit_dial(self) -> None:
        noted = self.minding.high_px(self.width())
        self.dial.take_size(small=self.height() - noted < SMALL_DIAL_BELOW_PX)

    def _lay_out(self) -> None:
        theme = self._theme
        title = Words(theme, self.tr("Scrap balance"), size=PART_TITLE, weight=600)
        self.question = self._make_question()
        head = QHBoxLayout()
        head.addWidget(title)
        head.addStretch(1)
        head.addWidget(self.question)
        self._list_head = QWidget(self)
        columns = QHBoxLayout(self._list_head)
        columns.setContentsMargins(PADDING_PX, 6, PADDING_PX, 0)
        columns.addWidget(Words(theme, self.tr("Flags"), size=TEXT, weight=600))
        columns.addStretch(1)
        columns.addWidget(
            Words(theme, self.tr("cost"), size=NOTE, colour="text_2", align=Align.AlignRight)
        )
        self.legend = Legend(theme)
        legend_area = QScrollArea()
        legend_area.setWidgetResizable(True)
        legend_area.setWidget(self.legend)
        legend_area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        legend_area.viewport().setAutoFillBackground(False)
        legend_area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.view)
        self.pages.addWidget(legend_area)
        self.pages.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        top = QVBoxLayout()
        top.setContentsMargins(PADDING_PX, 8, 10, 0)
        top.setSpacing(2)
        top.addLayout(head)
        top.addWidget(self.headline)
        top.addWidget(self.kinds)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(self._list_head)
        column.addWidget(self.pages, 1)
        # Tab walks in the order in which parts are made: from the flags to what is minded.
        self.minding = Minding(theme, self)
        column.addWidget(self.minding)
        column.addLayout(self._make_lower())

    def _make_lower(self) -> QHBoxLayout:
        beside = QVBoxLayout()
        beside.setSpacing(4)
        beside.addWidget(self.plate)
        beside.addWidget(self.leaning)
        beside.addSpacing(4)
        beside.addWidget(self.chance)
        beside.addStretch(1)
        lower = QHBoxLayout()
        lower.setContentsMargins(PADDING_PX, 8, PADDING_PX, 12)
        lower.setSpacing(PADDING_PX)
        lower.addWidget(self.dial, 0, Align.AlignTop)
        lower.addLayout(beside, 1)
        return lower

    def _make_question(self) -> QToolButton:
        button = QToolButton(self)
        button.setProperty("plain", True)
        button.setCheckable(True)
        button.setToolTip(self.tr("What the flags mean"))
        button.setAccessibleName(self.tr("What the flags mean"))
        return button

    def _on_theme_changed(self) -> None:
        self.question.setIcon(make_icon("question", self._theme))
        side = self._theme.px(20)
        self.question.setIconSize(QSize(side, side))
        self.updateGeometry()
        self.update()

    def _on_judged(self, judgement: Judgement) -> None:
        self._show_flags(judgement, self._document.project)
        # Not shown while a piece is in the hand: the panel would shift under the eye.
        if self.minding.say(judgement.cautions):
            self._fit_dial()
            self.updateGeometry()
        self._show_dial()

    def _show_flags(self, judgement: Judgement, project: Project) -> None:
        report = judgement.report
        laid = any(fabric is not None for _, fabric in project.board.cells())
        self.headline.setText(self._say_headline(report, laid=laid))
        self.kinds.setText(self._say_kinds(report))
        self.kinds.setVisible(bool(report.flags))
        self.legend.show_weights(project.board.weights)
        self.rows.set_rows(list_flags(project, report))
        self._on_flag_pointed(self._desk.flag)
        self._turn_page()

    def _say_headline(self, report: Report, *, laid: bool) -> str:
        if not laid:
            return self.tr(
                "Lay two wedges and it begins to speak: what touches, what clumps, "
                "where the dark gathers."
            )
        if not report.flags:
            return self.tr("Nothing touches, nothing clumps")
        flags = counted(len(report.flags), self.tr("{n} flag"), self.tr("{n} flags"))
        if not report.cost:
            return flags
        return self.tr("{flags}, cost {cost}").format(flags=flags, cost=f"{report.cost:,g}")

    def _say_kinds(self, report: Report) -> str:
        counts = report.counts
        words = {
            "short": (self.tr("{n} short"), self.tr("{n} short")),
            "touch": (self.tr("{n} touch"), self.tr("{n} touches")),
            "clump": (self.tr("{n} clump"), self.tr("{n} clumps")),
            "close": (self.tr("{n} too close"), self.tr("{n} too close")),
        }
        return " · ".join(counted(n, *words[kind]) for kind, n in counts.items() if n)

    def _turn_page(self) -> None:
        meanings = self.question.isChecked() or not self.rows.rows
        self.pages.setCurrentIndex(1 if meanings else 0)
        self._list_head.setVisible(not meanings)

    def _on_question(self, _checked: bool) -> None:
        self._turn_page()

    def _on_row_chosen(self, row: int) -> None:
        flag = self.rows.rows[row].flag
        self._desk.point_at_flag(flag.key)
        self._desk.choose_block(flag.key.cells[0].block)

    def _on_flag_pointed(self, flag: FlagKey | None) -> None:
        self.view.choose_row(self.rows.row_of(flag) if flag is not None else -1)

    def _on_block_chosen(self, _block: object) -> None:
        self._show_dial()

    def _on_cut(self, _fabric: object) -> None:
        self.view.viewport().update()

    # The dial.

    def _show_dial(self) -> None:
        project, judgement = self._document.project, self._document.judgement
        chosen = self._desk.block
        heavy = judgement.report.heavy
        known = chosen is not None and chosen < len(heavy)
        self._shown_block = (
            chosen
            if known and chosen is not None
            else max(range(len(heavy)), key=lambda b: heavy[b].length)
        )
        here = heavy[self._shown_block]
        chance = self._chance.get(self._ring_key(project, judgement))
        lean = self._lean_of(project, judgement, here, chance)
        self.dial.show_lean(lean)
        bare = all(value is None for value in lean.values)
        several = len(project.board.blocks) > 1
        self.plate.setText(self._say_plate(several=several, chosen=known))
        self.plate.setVisible(not bare and bool(self.plate.text()))
        self.leaning.setVisible(not bare)
        self.leaning.setText("" if bare else heavy_sentence(here))
        self.chance.setText(self._say_chance(lean, chance, bare=bare))
        said = ". ".join(
            word.text() for word in (self.plate, self.leaning, self.chance) if word.text()
        )
        self.dial.setAccessibleDescription(said)
        if chance is None and not bare:
            self._settle.start()

    def _say_plate(self, *, several: bool, chosen: bool) -> str:
        if not several:
            return ""
        plate = self.tr("Plate {number}").format(number=self._shown_block + 1)
        return plate if chosen else self.tr("{plate}, leans most").format(plate=plate)

    def _say_chance(self, lean: Lean, chance: Chance | None, *, bare: bool) -> str:
        if bare:
            return self.tr("The pin will stand where the dark gathers.")
        if chance is None or lean.direction_deg is None:
            return ""
        if lean.outside:
            return self.tr(
                "{share} of its shuffles lean as far. Inside the stitched circle it is chance."
            ).format(share=say_share(chance.share))
        return self.tr(
            "Inside the stitched circle it is chance: {share} of its shuffles lean as far."
        ).format(share=say_share(chance.share))

    def _lean_of(
        self, project: Project, judgement: Judgement, heavy: Heavy, chance: Chance | None
    ) -> Lean:
        return Lean(
            judgement.ring_values(project.board, heavy.block),
            heavy.length,
            heavy.direction_deg,
            None if chance is None else chance.circle,
        )

    def _ring_key(self, project: Project, judgement: Judgement) -> tuple[object, ...]:
        values = judgement.ring_values(project.board, self._shown_block)
        return (values, judgement.ground_value)

    def _on_settled(self) -> None:
        project, judgement = self._document.project, self._document.judgement
        key = self._ring_key(project, judgement)
        values = judgement.ring_values(project.board, self._shown_block)
        chance = heavy_against_shuffles(values, judgement.ground_value)
        self._chance = {key: chance}
        self._show_dial()


def least_high(theme: Theme) -> int:
    """Tell how low the panel may stand before the side part scrolls."""
    return round(theme.px(LEAST_HIGH_PX) + WRAPPED_PX * (theme.text_percent - 100))


def say_share(share: float) -> str:
    """Say a share of shuffles in words that need no reckoning.

    Examples
    --------
    >>> say_share(1 / 60), say_share(0.4)
    ('1 in 60', '4 in 10')
    """
    if share > 0.15:
        return f"{round(share * 10)} in 10"
    return f"1 in {round(1 / share)}"
