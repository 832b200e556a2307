"""Lists of painted rows: walked by keyboard, read by screen readers, changed row by row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, Protocol, TypeVar

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from quiltboard.window.theme import CORD_HALO_PX, CORD_PX, RADIUS_PX, Colour, Theme

OWN_CORD = "own_cord"
"""A widget with this property draws the keyboard's cord itself."""

AnyIndex = QModelIndex | QPersistentModelIndex


class Row(Protocol):
    """What a list shows in one line."""

    @property
    def key(self) -> object:
        """What it is about; it stays the same while its figures change."""
        ...

    @property
    def spoken(self) -> str:
        """All it shows, as a screen reader says it."""
        ...

    @property
    def walkable(self) -> bool:
        """Whether it can be chosen."""
        ...


R = TypeVar("R", bound=Row)


class Rows(QAbstractListModel, Generic[R]):
    """The rows of a list; setting them anew touches only those that differ."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: list[R] = []

    @property
    def rows(self) -> Sequence[R]:
        """The rows from the top."""
        return self._rows

    def set_rows(self, rows: Sequence[R]) -> None:
        """Show other rows: equal keys keep their place, only the stretch that differs moves."""
        old = [row.key for row in self._rows]
        new = [row.key for row in rows]
        head = 0
        while head < min(len(old), len(new)) and old[head] == new[head]:
            head += 1
        tail = 0
        while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
            tail += 1
        gone, come = len(old) - tail, len(new) - tail
        # Where a stretch only changes its order or length, its places are kept as they are.
        shared = min(gone, come) - head
        if gone > head + shared:
            self.beginRemoveRows(QModelIndex(), head + shared, gone - 1)
            del self._rows[head + shared : gone]
            self.endRemoveRows()
        if come > head + shared:
            self.beginInsertRows(QModelIndex(), head + shared, come - 1)
            self._rows[head + shared : head + shared] = rows[head + shared : come]
            self.endInsertRows()
        changed = [k for k, row in enumerate(rows) if self._rows[k] != row]
        for k in changed:
            self._rows[k] = rows[k]
        if changed:
            self.dataChanged.emit(self.index(changed[0]), self.index(changed[-1]))

    def row_of(self, key: object) -> int:
        """Tell where a key stands, or -1."""
        return next((k for k, row in enumerate(self._rows) if row.key == key), -1)

    def rowCount(self, parent: AnyIndex | None = None) -> int:
        """Tell how many rows there are."""
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Give a row itself, or what is said of it."""
        if not 0 <= index.row() < len(self._rows):
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.UserRole:
            return row
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole}:
            return row.spoken
        return None

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        """Let headings be passed over."""
        if not 0 <= index.row() < len(self._rows) or not self._rows[index.row()].walkable:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class RowPainter(QStyledItemDelegate, Generic[R]):
    """Paints rows; a list says how high they are and what is in them."""

    def __init__(self, theme: Theme, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.theme = theme

    def height_px(self, row: R) -> int:
        """Tell how high a row stands."""
        raise NotImplementedError

    def paint_row(
        self, painter: QPainter, box: QRectF, row: R, *, chosen: bool, pointed: bool
    ) -> None:
        """Paint what is in a row."""
        raise NotImplementedError

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """Give a row's room."""
        return QSize(option.rect.width(), self.height_px(index.data(Qt.ItemDataRole.UserRole)))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Paint a row, and the cord about it where the keyboard is."""
        row: R = index.data(Qt.ItemDataRole.UserRole)
        view = option.widget
        current = isinstance(view, RowsView) and view.currentIndex() == index
        chosen = isinstance(view, RowsView) and view.is_chosen(index.row())
        pointed = isinstance(view, RowsView) and view.pointed_row == index.row()
        painter.save()
        self.paint_row(painter, QRectF(option.rect), row, chosen=chosen, pointed=pointed)
        painter.restore()
        if current and isinstance(view, RowsView) and view.shows_cord:
            draw_cord(painter, self.theme, QRectF(option.rect).adjusted(3, 1, -3, -1))


class RowsView(QListView):
    """A list of painted rows.

    Signals
    -------
    row_chosen
        The keyboard or the pointer came to a row.
    row_opened
        Enter or a double click on it.
    row_pointed
        The pointer lies over a row, or -1 for none.
    """

    row_chosen = Signal(int)
    row_opened = Signal(int)
    row_pointed = Signal(int)

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.pointed_row = -1
        self._chosen_row = -1
        self._keyboard = False
        self.setProperty(OWN_CORD, True)
        self.setAccessibleName(name)
        self.setMouseTracking(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.verticalScrollBar().setSingleStep(32)
        self.entered.connect(self._on_entered)
        self.viewportEntered.connect(self._on_left)
        self.doubleClicked.connect(self._on_opened)
        theme.changed.connect(self._on_theme_changed)

    @property
    def shows_cord(self) -> bool:
        """Whether the keyboard is in this list."""
        return self.hasFocus() and self._keyboard

    def is_chosen(self, row: int) -> bool:
        """Tell whether a row is the chosen one."""
        return row == self._chosen_row

    def choose_row(self, row: int) -> None:
        """Show a row as chosen, without announcing it; -1 for none."""
        if row != self._chosen_row:
            self._chosen_row = row
            self.viewport().update()
        model = self.model()
        index = model.index(row, 0) if row >= 0 else QModelIndex()
        if index != self.currentIndex():
            self.selectionModel().blockSignals(True)
            self.setCurrentIndex(index)
            self.selectionModel().blockSignals(False)
            if row >= 0 and self.isVisible():
                self.scrollTo(index)

    def currentChanged(self, current: AnyIndex, previous: AnyIndex) -> None:
        """Announce the row that was come to."""
        super().currentChanged(current, previous)
        self.viewport().update()
        if current.isValid() and current.row() != self._chosen_row:
            self._chosen_row = current.row()
            self.row_chosen.emit(current.row())

    def rowsAboutToBeRemoved(self, parent: AnyIndex, start: int, end: int) -> None:
        """Let go of a row that goes; nobody came to its neighbour."""
        if start <= self.currentIndex().row() <= end:
            self.choose_row(-1)
        super().rowsAboutToBeRemoved(parent, start, end)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the cord where the keyboard brought us here; stand on a row at once."""
        self._keyboard = event.reason() in {
            Qt.FocusReason.TabFocusReason,
            Qt.FocusReason.BacktabFocusReason,
            Qt.FocusReason.ShortcutFocusReason,
            Qt.FocusReason.OtherFocusReason,
        }
        super().focusInEvent(event)
        if self._keyboard and not self.currentIndex().isValid():
            for row in range(self.model().rowCount()):
                index = self.model().index(row, 0)
                if self.model().flags(index) & Qt.ItemFlag.ItemIsEnabled:
                    self.setCurrentIndex(index)
                    break
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the cord away."""
        super().focusOutEvent(event)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open a row with Enter; any key shows where the keyboard is."""
        if not self._keyboard:
            self._keyboard = True
            self.viewport().update()
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            if self.currentIndex().isValid():
                self.row_opened.emit(self.currentIndex().row())
            return
        super().keyPressEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Point at nothing: the pointer has gone."""
        self._on_left()
        super().leaveEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let rows that wrap find their new height."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def _on_entered(self, index: QModelIndex) -> None:
        self._point(index.row())

    def _on_left(self) -> None:
        self._point(-1)

    def _point(self, row: int) -> None:
        if row != self.pointed_row:
            self.pointed_row = row
            self.viewport().update()
            self.row_pointed.emit(row)

    def _on_opened(self, index: QModelIndex) -> None:
        self.row_opened.emit(index.row())

    def _on_theme_changed(self) -> None:
        self.scheduleDelayedItemsLayout()
        self.viewport().update()


def draw_cord(painter: QPainter, theme: Theme, box: QRectF) -> None:
    """Draw the keyboard's cord about a box: an unbroken line with a halo on both sides."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    inset = (CORD_PX + 2 * CORD_HALO_PX) / 2
    line = box.adjusted(inset, inset, -inset, -inset)
    radius = RADIUS_PX
    under: Colour = "ink" if theme.dark else "panel"
    painter.setPen(QPen(theme.colour(under), CORD_PX + 2 * CORD_HALO_PX))
    painter.drawRoundedRect(line, radius, radius)
    painter.setPen(QPen(theme.colour("text"), CORD_PX))
    painter.drawRoundedRect(line, radius, radius)
    painter.restore()
