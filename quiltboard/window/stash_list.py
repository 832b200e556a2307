"""The list in the stash's drawer; where it is empty it shows how cloth comes into it."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from quiltboard.drawing.display import GROUND
from quiltboard.store.stash_search import StashRow
from quiltboard.window.cloth import draw_basted, draw_chalk
from quiltboard.window.lettering import draw_line, line_px
from quiltboard.window.numbered import draw_numbered
from quiltboard.window.rows import Rows, RowsView
from quiltboard.window.stash_rows import StashCloths, StashLine, StashPainter, fold_path
from quiltboard.window.theme import ICON_PX, NOTE, PADDING_PX, TEXT, Theme

CHALK_PLACES: Final = 14


class StashList(RowsView):
    """What was found in the stash.

    Signals
    -------
    taken_out
        Delete was pressed on a fabric.
    """

    taken_out = Signal(object)

    def __init__(
        self, theme: Theme, cloths: StashCloths, parent: QWidget | None = None
    ) -> None:
        super().__init__(theme, "", parent)
        self.setAccessibleName(self.tr("Stash"))
        self.setAccessibleDescription(
            self.tr(
                "Fabrics in the stash, the lightest first. Enter puts one on the shelf, Delete "
                "takes it out of the stash."
            )
        )
        self.lines: Rows[StashLine] = Rows(self)
        self.painter_of_rows = StashPainter(theme, cloths, self)
        self.setModel(self.lines)
        self.setItemDelegate(self.painter_of_rows)
        self.verticalScrollBar().setProperty("ground", True)
        self.total: int | None = None
        self.shelf_filled = True
        cloths.made.connect(self._on_made)

    def row_at(self, place: int) -> StashRow | None:
        """Give the fabric in a place."""
        rows = self.lines.rows
        return rows[place].row if 0 <= place < len(rows) else None

    def paintEvent(self, event: QPaintEvent) -> None:
        """Lay the cloth's grey under its column, then the lines."""
        view = self.viewport()
        cloth = self.painter_of_rows.cloth_px(view.width())
        with QPainter(view) as painter:
            painter.fillRect(
                QRectF(view.width() - cloth, 0, cloth, view.height()), QColor(GROUND)
            )
            if not self.lines.rows and self.total is not None:
                self._paint_waiting(painter, view.width() - cloth, cloth)
        super().paintEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a fabric out with Delete."""
        row = self.row_at(self.currentIndex().row())
        if event.key() in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace} and row is not None:
            self.taken_out.emit(row.id)
            return
        super().keyPressEvent(event)

    def _paint_waiting(self, painter: QPainter, names: float, cloth: float) -> None:
        theme = self.theme
        if self.total:
            line = QRectF(PADDING_PX, 12, names - PADDING_PX - 8, line_px(theme, TEXT))
            draw_line(
                painter, theme, line, self.tr("Nothing in the stash is like that"), weight=600
            )
            line.translate(0, line_px(theme, TEXT))
            draw_line(
                painter,
                theme,
                line,
                self.tr("Fewer words, or pins farther apart, find more."),
                size=NOTE,
                colour="text_2",
            )
            return
        step = theme.px(ICON_PX) + 24
        for k in range(CHALK_PLACES):
            place = fold_path(QRectF(names + 14, 14 + step * k, cloth - 28, 30))
            if k:
                draw_chalk(painter, place, opacity=max(0.12, 0.85 - 0.06 * k))
            else:
                draw_basted(painter, place)
        y = 16.0
        width = names - PADDING_PX - 12
        for number, (heading, note) in enumerate(self.teaching(), start=1):
            y += 18 + draw_numbered(
                painter,
                theme,
                QPointF(PADDING_PX, y),
                number,
                heading,
                note,
                width=width,
                on_ground=False,
            )

    def teaching(self) -> tuple[tuple[str, str], ...]:
        """Give how a stash is begun, a heading and a note each."""
        return (
            (
                self.tr("Keep a fabric here"),
                self.tr("choose it on the shelf and press Ctrl+K, or keep the whole shelf")
                if self.shelf_filled
                else self.tr("once fabrics lie on the shelf: choose one and press Ctrl+K"),
            ),
            (
                self.tr("Say what there is"),
                self.tr("pieces and scraps, the price, the shop, tags to find it by"),
            ),
            (
                self.tr("Put it on any board's shelf"),
                self.tr("a double click, and its amounts come along"),
            ),
        )

    def _on_made(self) -> None:
        self.viewport().update()
