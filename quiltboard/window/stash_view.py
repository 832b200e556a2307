"""The stash's drawer: it opens over the board, and shows what lies in it."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QToolButton, QVBoxLayout, QWidget

from quiltboard.document.document import Document
from quiltboard.document.stash import Found, Page, Stashing
from quiltboard.document.wording import counted
from quiltboard.fabrics.fabric import FabricId
from quiltboard.store.stash_entry import StashEntry
from quiltboard.store.stash_search import MOST_ROWS, StashRow
from quiltboard.window.icons import make_icon
from quiltboard.window.lettering import Words
from quiltboard.window.stash_filters import StashFilters
from quiltboard.window.stash_list import StashList
from quiltboard.window.stash_rows import (
    StashCloths,
    list_lines,
)
from quiltboard.window.theme import ICON_PX, NOTE, PADDING_PX, PART_TITLE, Theme

WIDE_PX: Final = 560
LEAST_LEFT_PX: Final = 96
"""Less of the board than this beside the drawer is of no use: the drawer takes it."""
SHADOW_PX: Final = 10


class StashDrawer(QWidget):
    """The drawer over the board.

    Signals
    -------
    closed
        It was closed from inside.
    """

    closed = Signal()

    def __init__(
        self,
        document: Document,
        stashing: Stashing,
        theme: Theme,
        cloths: StashCloths,
        over: QWidget,
    ) -> None:
        super().__init__(over)
        self._document = document
        self._stashing = stashing
        self._theme = theme
        self._over = over
        self._like: StashRow | None = None
        self._found = Found((), 0)
        self._gone: StashEntry | None = None
        self._chosen: FabricId | None = None
        self.title = Words(theme, self.tr("Stash"), size=PART_TITLE, weight=600)
        self.how_many = Words(theme, size=NOTE, colour="text_2", shortened=True)
        self.shut = QToolButton()
        self.shut.setProperty("plain", True)
        self.shut.setAccessibleName(self.tr("Close the stash"))
        self.shut.setToolTip(self.tr("Close the stash (Esc)"))
        self.filters = StashFilters(theme)
        self.like_said = Words(theme, weight=600, shortened=True)
        self.show_all = QPushButton(self.tr("Show all"))
        self.list = StashList(theme, cloths, self)
        self.keep_shelf = QPushButton(self.tr("Keep the whole shelf"))
        self.keep_shelf.setProperty("filled", True)
        self.undo_said = Words(theme, shortened=True)
        self.put_back = QPushButton(self.tr("Put it back"))
        self._lay_out()
        self.shut.clicked.connect(self.closed)
        self.filters.query_changed.connect(self._on_query)
        self.show_all.clicked.connect(self._on_show_all)
        self.keep_shelf.clicked.connect(self._on_keep_shelf)
        self.put_back.clicked.connect(self._on_put_back)
        self.list.row_chosen.connect(self._on_chosen)
        self.list.row_opened.connect(self._on_opened)
        self.list.taken_out.connect(stashing.remove)
        stashing.found.connect(self._on_found)
        stashing.changed.connect(self.look)
        stashing.removed.connect(self._on_removed)
        stashing.page_shown.connect(self._on_page_shown)
        document.judged.connect(self._on_judged)
        theme.changed.connect(self._on_theme_changed)
        over.installEventFilter(self)
        self.hide()
        self._on_theme_changed()
        self._show_like()
        self._show_gone(None)

    def open(self) -> None:
        """Open it, the keyboard in its look-up field."""
        self.place()
        self.show()
        self.raise_()
        self.look()
        self.filters.words.setFocus(Qt.FocusReason.OtherFocusReason)

    def look(self) -> None:
        """Look into the stash anew, as it was looked into last."""
        if self._like is not None:
            self._stashing.like(self._like)
        else:
            self._stashing.look(self.filters.query)

    def show_like(self, row: StashRow) -> None:
        """Show what comes nearest to a fabric, in place of what is looked for."""
        self._like = row
        self._show_like()
        self.look()

    def place(self) -> None:
        """Take the drawer's place at the left of the board, beside the shelf."""
        room = self._over.width()
        wide = min(self._theme.wide(WIDE_PX) + SHADOW_PX, room)
        if room - wide < LEAST_LEFT_PX:
            wide = room
        self.setGeometry(0, 0, wide, self._over.height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the board as it grows and shrinks."""
        if event.type() == QEvent.Type.Resize and watched is self._over:
            self.place()
        elif event.type() == QEvent.Type.ChildAdded:
            self.raise_()
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close it with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
            return
        super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Keep presses from the board below."""
        event.accept()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the panel, its shadow on the board, and rules."""
        theme = self._theme
        front = self._front()
        with QPainter(self) as painter:
            for k in range(round(self.width() - front)):
                shade = QColor(0, 0, 0, round(46 * (1 - k / SHADOW_PX) ** 2))
                painter.fillRect(QRectF(front + k, 0, 1, self.height()), shade)
            painter.fillRect(QRectF(0, 0, front, self.height()), theme.colour("panel"))
            painter.fillRect(QRectF(0, self.list.y() - 1, front, 1), theme.colour("rule"))
            foot = self.list.geometry().bottom() + 1
            painter.fillRect(QRectF(0, foot, front, 1), theme.colour("rule"))
            if front < self.width():
                painter.setPen(QPen(theme.colour("edge"), 1))
                painter.drawLine(QPointF(front - 0.5, 0), QPointF(front - 0.5, self.height()))

    # How it is laid out.

    def _front(self) -> float:
        whole = self.width() >= self._over.width()
        return self.width() if whole else self.width() - SHADOW_PX

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(PADDING_PX, 6, 10, 6)
        head.setSpacing(4)
        head.addWidget(self.title)
        head.addSpacing(6)
        head.addWidget(self.how_many, 1)
        head.addWidget(self.shut)
        self._like_bar = QWidget()
        like = QHBoxLayout(self._like_bar)
        like.setContentsMargins(PADDING_PX, 0, PADDING_PX, 10)
        like.setSpacing(12)
        like.addWidget(self.like_said, 1)
        like.addWidget(self.show_all)
        self._foot = QWidget()
        foot = QHBoxLayout(self._foot)
        foot.setContentsMargins(PADDING_PX, 8, PADDING_PX, 8)
        foot.setSpacing(12)
        foot.addWidget(self.undo_said, 1)
        foot.addWidget(self.put_back)
        foot.addWidget(self.keep_shelf)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._column.addLayout(head)
        self._column.addWidget(self.filters)
        self._column.addWidget(self._like_bar)
        self._column.addSpacing(1)
        self._column.addWidget(self.list, 1)
        self._column.addSpacing(1)
        self._column.addWidget(self._foot)

    def resizeEvent(self, event: object) -> None:
        """Leave the shadow's room free."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._column.setContentsMargins(0, 0, round(self.width() - self._front()), 0)

    # What it is told.

    def _on_query(self) -> None:
        self._like = None
        self._show_like()
        self.look()

    def _on_show_all(self) -> None:
        self._like = None
        self._show_like()
        self.filters.clear()

    def _on_found(self, found: Found) -> None:
        self._found = found
        self.list.total = found.total
        self._show_lines()
        count = len(found.lines)
        if not found.total:
            self.how_many.setText(self.tr("empty"))
        elif self._like is None and count < found.total:
            most = (
                self.tr("the first {n} of {total}") if count == MOST_ROWS else "{n} of {total}"
            )
            self.how_many.setText(most.format(n=count, total=f"{found.total:,}"))
        else:
            self.how_many.setText(
                counted(found.total, self.tr("{n} fabric"), self.tr("{n} fabrics"))
            )
        self.filters.setVisible(bool(found.total) and self._like is None)
        self._show_foot()

    def _show_lines(self) -> None:
        unit = self._document.project.board.unit
        self.list.lines.set_rows(list_lines(self._found, unit))
        self.filters.show_unit(unit)
        self.list.choose_row(self.list.lines.row_of(self._chosen))
        self.list.viewport().update()

    def _show_like(self) -> None:
        like = self._like
        self._like_bar.setVisible(like is not None)
        self.filters.setVisible(like is None and self.list.total != 0)
        if like is not None:
            self.like_said.setText(
                self.tr("Nearest to {name}, in colour and value").format(name=like.name)
            )

    def _show_gone(self, entry: StashEntry | None) -> None:
        self._gone = entry
        if entry is not None:
            self.undo_said.setText(
                self.tr("{name} was taken out of the stash.").format(name=entry.fabric.name)
            )
        else:
            self.undo_said.setText("")
        self._show_foot()

    def _show_foot(self) -> None:
        gone = self._gone is not None
        self.list.shelf_filled = bool(self._document.project.fabrics)
        unkept = self.list.shelf_filled and self.list.total == 0
        self.put_back.setVisible(gone)
        self.keep_shelf.setVisible(unkept and not gone)
        self._foot.setVisible(gone or unkept)
        self.update()

    def _on_removed(self, entry: StashEntry) -> None:
        if self._like is not None and self._like.id == entry.fabric.id:
            self._like = None
            self._show_like()
        self._show_gone(entry)

    def _on_put_back(self) -> None:
        if self._gone is not None:
            self._stashing.put_back(self._gone)
            self._show_gone(None)

    def _on_page_shown(self, page: Page | None) -> None:
        self._chosen = None if page is None else page.row.id
        self.list.choose_row(self.list.lines.row_of(self._chosen))

    def _on_keep_shelf(self) -> None:
        self._stashing.keep(self._document.project.fabrics)

    def _on_chosen(self, place: int) -> None:
        row = self.list.row_at(place)
        if row is not None:
            self._chosen = row.id
            self._stashing.show_page(row.id)

    def _on_opened(self, place: int) -> None:
        row = self.list.row_at(place)
        if row is not None:
            self._stashing.put_on_shelf(row.id)

    def _on_judged(self, _judgement: object) -> None:
        if self.isVisible():
            self._show_lines()
            self._show_foot()

    def _on_theme_changed(self) -> None:
        side = self._theme.px(ICON_PX)
        self.shut.setIcon(make_icon("stop", self._theme))
        self.shut.setIconSize(
            self.shut.iconSize().scaled(side, side, Qt.AspectRatioMode.IgnoreAspectRatio)
        )
        self.place()
        self.update()
