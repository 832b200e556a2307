"""Piece count: what each fabric is asked for and what there is, the tightest first."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.drawing.display import GROUND
from quiltboard.errands.judge import Judgement
from quiltboard.window.cloth import Cuttings, draw_chalk
from quiltboard.window.count_rows import CountPainter, CountRow, column_names, list_counts
from quiltboard.window.lettering import Align, Words, draw_line, line_px, width_px
from quiltboard.window.rows import Rows, RowsView
from quiltboard.window.theme import NOTE, PADDING_PX, PART_TITLE, SIDE_PX, Theme

LEAST_HIGH_PX = 170
"""Below this, at 100 %, the side part scrolls."""
CHALK_SHARES = (0.84, 0.68, 0.64, 0.49, 0.43, 0.29, 0.23)


class CountPanel(QWidget):
    """The heading, the columns, and a row for each fabric on the board."""

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
        self.rows: Rows[CountRow] = Rows(self)
        self.view = RowsView(theme, self.tr("Piece count"), self)
        self.view.setModel(self.rows)
        self.row_painter = CountPainter(theme, cuttings)
        self.row_painter.setParent(self.view)
        self.view.setItemDelegate(self.row_painter)
        self._title = Words(theme, self.tr("Piece count"), size=PART_TITLE, weight=600)
        self._order = Words(
            theme, self.tr("tightest first"), size=NOTE, colour="text_2", shortened=True
        )
        self.invitation = Words(
            theme,
            self.tr("Counts each cloth as you lay it, and tells before you cut when one will "
                    "not reach."),
            colour="text_2",
            wrapped=True,
        )  # fmt: skip
        self.rest = Words(theme, size=NOTE, colour="text_2", wrapped=True)
        self._columns = _Columns(theme, self.row_painter)
        self._chalk = _Chalk(self)
        head = QHBoxLayout()
        head.setContentsMargins(PADDING_PX, 10, PADDING_PX, 2)
        head.setSpacing(10)
        head.addWidget(self._title)
        head.addWidget(self._order, 1)
        padded = QVBoxLayout()
        padded.setContentsMargins(PADDING_PX, 0, PADDING_PX, 10)
        padded.setSpacing(10)
        padded.addWidget(self.invitation)
        padded.addWidget(self._chalk, 1)
        foot = QVBoxLayout()
        foot.setContentsMargins(PADDING_PX, 6, PADDING_PX, 8)
        foot.addWidget(self.rest)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addLayout(padded)
        column.addWidget(self._columns)
        column.addWidget(self.view, 1)
        column.addLayout(foot)
        document.judged.connect(self._on_judged)
        desk.fabric_chosen.connect(self._on_fabric_chosen)
        self.view.row_chosen.connect(self._on_row_chosen)
        cuttings.made.connect(self._on_cut)
        theme.changed.connect(self.updateGeometry)
        self._on_judged(document.judgement)

    def preview(self, judgement: Judgement) -> None:
        """Show what would be asked for with the piece let go here."""
        self._on_judged(judgement)

    def sizeHint(self) -> QSize:
        """Give the panel's room."""
        return QSize(self._theme.wide(SIDE_PX), 310)

    def minimumSizeHint(self) -> QSize:
        """Give the least room in which the panel can be used."""
        return QSize(200, self._theme.px(LEAST_HIGH_PX))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the panel."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("panel"))

    def _on_judged(self, judgement: Judgement) -> None:
        project = self._document.project
        rows = list_counts(project, judgement.counts)
        full = all(row.count.placed == row.count.needed for row in rows)
        if full != self.row_painter.full:
            self.row_painter.full = full
            self._columns.update()
            self.view.scheduleDelayedItemsLayout()
        self.rows.set_rows(rows)
        bare = not rows
        shown_bare: tuple[QWidget, ...] = (self.invitation, self._chalk)
        shown_laid: tuple[QWidget, ...] = (self._order, self._columns, self.view)
        for part in shown_bare:
            part.setVisible(bare)
        for part in shown_laid:
            part.setVisible(not bare)
        more = len(project.fabrics) - len(rows)
        self.rest.setVisible(more > 0 and not bare)
        self.rest.setText(
            counted(
                more,
                self.tr("{n} more fabric, not on the board"),
                self.tr("{n} more fabrics, none on the board"),
            )
        )
        self._on_fabric_chosen(self._desk.fabric)

    def _on_fabric_chosen(self, fabric: object) -> None:
        self.view.choose_row(self.rows.row_of(fabric) if fabric is not None else -1)

    def _on_row_chosen(self, row: int) -> None:
        self._desk.choose_fabric(self.rows.rows[row].fabric.id)

    def _on_cut(self, _fabric: object) -> None:
        self.view.viewport().update()


class _Columns(QWidget):
    """The columns' names over the figures."""

    def __init__(self, theme: Theme, rows: CountPainter) -> None:
        super().__init__()
        self._theme = theme
        self._rows = rows
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(", ".join(column_names()))
        theme.changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """Give the height of one line of notes; of two where letters are large."""
        lines = 2 if self._rows.stacked else 1
        return QSize(100, lines * line_px(self._theme, NOTE) + 6)

    def minimumSizeHint(self) -> QSize:
        """Give the least room."""
        return QSize(100, self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Set the names flush with their figures."""
        theme = self._theme
        x = float(self.width() - PADDING_PX)
        names = [column_names()[k] for k in self._rows.columns]
        columns = list(zip(names, self._rows.columns_px(), strict=True))
        with QPainter(self) as painter:
            for name, wide in reversed(columns):
                crowded = width_px(theme, name, NOTE) + 4 > wide
                lines = name.split(" ") if crowded else [name]
                high = line_px(theme, NOTE)
                for k, line in enumerate(reversed(lines)):
                    place = QRectF(x - wide, self.height() - 4 - (k + 1) * high, wide, high)
                    draw_line(
                        painter,
                        theme,
                        place,
                        line,
                        size=NOTE,
                        colour="text_2",
                        align=Align.AlignRight,
                    )
                x -= wide
            rule = QRectF(PADDING_PX, self.height() - 1, self.width() - 2 * PADDING_PX, 1)
            painter.fillRect(rule, theme.colour("rule"))


class _Chalk(QWidget):
    """Where the strips will lie, chalked on the cloth's grey."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:
        """Give room for a few strips."""
        return QSize(200, 210)

    def minimumSizeHint(self) -> QSize:
        """Give the least room: none."""
        return QSize(40, 0)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Chalk the strips."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(GROUND))
            for k, share in enumerate(CHALK_SHARES):
                top = 8 + 30 * k
                if top + 24 > self.height():
                    break
                strip = QRectF(8, top, share * (self.width() - 16), 15)
                path = QPainterPath()
                path.addRect(strip)
                draw_chalk(painter, path, opacity=0.9)
