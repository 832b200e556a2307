"""The shelf: every fabric by its value, to be looked up, dragged, opened and removed."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QDrag,
    QHelpEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
)
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QMenu,
    QSizePolicy,
    QToolButton,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.drawing.display import GROUND
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.window.cloth import Cuttings, draw_basted, draw_chalk, swatch_path
from quiltboard.window.icons import make_icon
from quiltboard.window.invented_cloth import DOTS, print_brush
from quiltboard.window.lettering import Words, draw_line, line_px
from quiltboard.window.numbered import draw_numbered
from quiltboard.window.rows import RowsView
from quiltboard.window.shelf_rows import (
    SWATCH_PX,
    FabricRow,
    ShelfPainter,
    ShelfRows,
    list_shelf,
)
from quiltboard.window.theme import (
    NOTE,
    PADDING_PX,
    PART_TITLE,
    SHELF_CLOTH_PX,
    SHELF_PX,
    Theme,
)

CHALK_PLACES = 17
GHOST_OPACITY = 0.5
GRIP_PX = 5.0
HELD_AT_PX = (70, 38)
"""Where the pin is that cloth in the hand is held by."""
MOST_FOR_COUNT = 125
"""Up to this size of letters the count of fabrics has room beside the title."""


class ShelfView(RowsView):
    """The shelf's list; where it is empty it shows where cloth will lie.

    Signals
    -------
    fabric_removed
        Delete was pressed on a fabric, or Remove chosen.
    fabric_kept
        A fabric is to be kept in the stash.
    """

    fabric_removed = Signal(object)
    fabric_kept = Signal(object)

    def __init__(
        self, theme: Theme, cuttings: Cuttings, model: ShelfRows, parent: QWidget | None = None
    ) -> None:
        super().__init__(theme, "", parent)
        self.setAccessibleName(self.tr("Shelf"))
        self.setAccessibleDescription(
            self.tr(
                "Fabrics by value, the lightest first. Enter opens a fabric, Delete removes "
                "it; drag one onto a wedge, or choose one and lay it from the board."
            )
        )
        self._cuttings = cuttings
        self.painter_of_rows = ShelfPainter(theme, cuttings)
        self.setModel(model)
        self.setItemDelegate(self.painter_of_rows)
        self.setDragEnabled(True)
        self.verticalScrollBar().setProperty("ground", True)
        self.searching = False
        cuttings.made.connect(self._on_made)

    def fabric_at(self, row: int) -> Fabric | None:
        """Give the fabric in a row."""
        shown = self.model().index(row, 0).data(Qt.ItemDataRole.UserRole)
        return shown.fabric if isinstance(shown, FabricRow) else None

    def paintEvent(self, event: QPaintEvent) -> None:
        """Lay the cloth's grey under its column, then the rows."""
        self.painter_of_rows.width_px = self.width()
        names = self.painter_of_rows.names_px
        with QPainter(self.viewport()) as painter:
            painter.fillRect(
                QRectF(names, 0, self.viewport().width() - names, self.viewport().height()),
                QColor(GROUND),
            )
            if not self.model().rowCount():
                self._paint_waiting(painter, names)
        super().paintEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Remove a fabric with Delete."""
        fabric = self.fabric_at(self.currentIndex().row())
        if event.key() in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace} and fabric is not None:
            self.fabric_removed.emit(fabric.id)
            return
        super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with a fabric."""
        at = event.globalPos()
        index = self.indexAt(event.pos())
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            index = self.currentIndex()
            at = self.viewport().mapToGlobal(self.visualRect(index).center())
        row = index.row()
        fabric = self.fabric_at(row)
        if fabric is None:
            return
        menu = QMenu(self)
        opened = menu.addAction(self.tr("Open “{name}”").format(name=fabric.name))
        kept = menu.addAction(self.tr("Keep in the stash"))
        removed = menu.addAction(self.tr("Remove from the shelf and the board"))
        chosen = menu.exec(at)
        if chosen is opened:
            self.row_opened.emit(row)
        elif chosen is kept:
            self.fabric_kept.emit(fabric.id)
        elif chosen is removed:
            self.fabric_removed.emit(fabric.id)

    def startDrag(self, _actions: Qt.DropAction) -> None:
        """Take a fabric in the hand."""
        fabric = self.fabric_at(self.currentIndex().row())
        if fabric is None:
            return
        drag = QDrag(self)
        drag.setMimeData(self.drag_data())
        drag.setPixmap(self._in_hand(fabric))
        # It hangs up and to the left, where neither the wedge nor the tag is hidden.
        drag.setHotSpot(QPoint(*HELD_AT_PX))
        drag.exec(Qt.DropAction.CopyAction)

    def drag_data(self) -> QMimeData:
        """Give what a drag of the current fabric carries."""
        return self.model().mimeData([self.currentIndex()])

    def viewportEvent(self, event: object) -> bool:
        """Tell a row's whole name and what there is in a tip."""
        if isinstance(event, QHelpEvent) and event.type() == QHelpEvent.Type.ToolTip:
            shown = self.indexAt(event.pos()).data(Qt.ItemDataRole.UserRole)
            if isinstance(shown, FabricRow):
                QToolTip.showText(event.globalPos(), shown.spoken, self)
            return True
        return super().viewportEvent(event)  # type: ignore[arg-type]

    def _in_hand(self, fabric: Fabric) -> QPixmap:
        """Draw cloth in the hand: its shadow, the cloth, a pin's head at the grip."""
        ratio = self.devicePixelRatioF()
        pixmap = QPixmap(round(92 * ratio), round(60 * ratio))
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        with QPainter(pixmap) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            path = swatch_path(QRectF(4, 4, 80, 44))
            painter.setPen(Qt.PenStyle.NoPen)
            for down, dark in ((5, 26), (3, 34), (1.5, 40)):
                painter.setBrush(QColor(0, 0, 0, dark))
                painter.drawPath(path.translated(1, down))
            painter.setBrush(self._cuttings.brush(fabric, QPointF(4, 4)))
            painter.setPen(QPen(self.theme.colour("ink"), 1))
            painter.drawPath(path)
            painter.setPen(QPen(self.theme.colour("halo"), 2))
            painter.setBrush(self.theme.colour("ink"))
            painter.drawEllipse(QPointF(*HELD_AT_PX), GRIP_PX, GRIP_PX)
        return pixmap

    def _paint_waiting(self, painter: QPainter, names: int) -> None:
        """Chalk the places that wait for cloth; say so where a name looked up is none."""
        if self.searching:
            line = QRectF(PADDING_PX, 12, names - PADDING_PX - 4, line_px(self.theme, NOTE))
            said = self.tr("No such name here")
            draw_line(painter, self.theme, line, said, size=NOTE, colour="text_2")
            return
        for k in range(CHALK_PLACES):
            top = 22 + 44 * k
            place = swatch_path(QRectF(names + 12, top, SHELF_CLOTH_PX - 26, SWATCH_PX))
            if k:
                draw_chalk(painter, place, opacity=max(0.12, 0.85 - 0.05 * k))
                continue
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setOpacity(GHOST_OPACITY)
            painter.fillPath(place, print_brush(DOTS, 0.62))
            painter.setOpacity(1.0)
            draw_basted(painter, place)
        draw_numbered(
            painter,
            self.theme,
            QPointF(PADDING_PX, 24),
            2,
            self.tr("It lies on the shelf"),
            self.tr("lightest at the top"),
            width=names - PADDING_PX - 4,
            on_ground=False,
        )

    def _on_made(self, _fabric: object) -> None:
        self.viewport().update()


class Shelf(QWidget):
    """The shelf's heading, its look-up field and its list.

    Signals
    -------
    fabric_opened
        A fabric to be looked at in its own step.
    """

    fabric_opened = Signal(object)

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
        self.rows = ShelfRows(self)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self._title = Words(theme, self.tr("Shelf"), size=PART_TITLE, weight=600)
        self._how_many = Words(theme, size=NOTE, colour="text_2", shortened=True)
        self._look_up = self._make_tool(self.tr("Look up a fabric by name"))
        self._look_up.setCheckable(True)
        self.add_button = self._make_tool(self.tr("Add fabrics"))
        self.add_button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.field = QLineEdit()
        self.field.setPlaceholderText(self.tr("Look up a name"))
        self.field.setAccessibleName(self.tr("Look up a fabric by name"))
        head = QHBoxLayout()
        head.setContentsMargins(PADDING_PX, 6, 10, 6)
        head.setSpacing(4)
        head.addWidget(self._title)
        head.addSpacing(6)
        head.addWidget(self._how_many, 1)
        head.addWidget(self._look_up)
        head.addWidget(self.add_button)
        self._search = QWidget(self)
        search = QHBoxLayout(self._search)
        search.setContentsMargins(PADDING_PX, 0, PADDING_PX, 8)
        search.addWidget(self.field)
        self._search.hide()
        # Tab walks in the order in which parts are made: from the heading down.
        self.view = ShelfView(theme, cuttings, self.rows, self)
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self._search)
        column.addSpacing(1)
        column.addWidget(self.view, 1)
        self._look_up.toggled.connect(self._on_look_up)
        self.field.textChanged.connect(self._on_looked_up)
        self.view.row_chosen.connect(self._on_row_chosen)
        self.view.row_opened.connect(self._on_row_opened)
        self.view.fabric_removed.connect(self._on_removed)
        document.judged.connect(self._on_judged)
        desk.fabric_chosen.connect(self._on_fabric_chosen)
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()
        self._show(document.judgement)

    def set_add_menu(self, menu: QMenu) -> None:
        """Give the add button its ways of adding."""
        self.add_button.setMenu(menu)

    def add_foot(self, foot: QWidget) -> None:
        """Set something under the list."""
        self._column.addWidget(foot)

    def look_up(self) -> None:
        """Open the look-up field."""
        self._look_up.setChecked(True)
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.field.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close the look-up field with Escape."""
        if event.key() == Qt.Key.Key_Escape and self._look_up.isChecked():
            self._look_up.setChecked(False)
            self.view.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the panel, and a rule under the heading."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("panel"))
            top = self.view.y() - 1
            painter.fillRect(0, top, self.width(), 1, self._theme.colour("rule"))

    def sizeHint(self) -> QSize:
        """Give the shelf's width."""
        return QSize(self._theme.wide(SHELF_PX), 400)

    def _make_tool(self, name: str) -> QToolButton:
        button = QToolButton(self)
        button.setProperty("plain", True)
        button.setToolTip(name)
        button.setAccessibleName(name)
        return button

    def _on_theme_changed(self) -> None:
        theme = self._theme
        self.setFixedWidth(theme.wide(SHELF_PX))
        self.view.painter_of_rows.width_px = theme.wide(SHELF_PX)
        self._look_up.setIcon(make_icon("look_up", theme))
        self.add_button.setIcon(make_icon("add_cloth", theme))
        side = QSize(theme.px(20), theme.px(20))
        self._look_up.setIconSize(side)
        self.add_button.setIconSize(side)
        self._how_many.setVisible(theme.text_percent <= MOST_FOR_COUNT)
        self.update()

    def _on_judged(self, judgement: Judgement) -> None:
        self._show(judgement)

    def _show(self, judgement: Judgement) -> None:
        project = self._document.project
        self.rows.set_rows(
            list_shelf(
                project.fabrics,
                judgement.shelf.steps,
                judgement.shelf.values,
                judgement.counts,
                project.board.unit,
                self.field.text(),
            )
        )
        count = len(project.fabrics)
        self._how_many.setText(
            counted(count, self.tr("{n} fabric"), self.tr("{n} fabrics"))
            if count
            else self.tr("empty")
        )
        self._look_up.setVisible(count > 0)
        self.view.searching = bool(self.field.text())
        self._on_fabric_chosen(self._desk.fabric)
        self.view.viewport().update()

    def _on_look_up(self, checked: bool) -> None:
        self._search.setVisible(checked)
        if checked:
            self.field.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.field.clear()

    def _on_looked_up(self, _text: str) -> None:
        self._show(self._document.judgement)

    def _on_row_chosen(self, row: int) -> None:
        fabric = self.view.fabric_at(row)
        if fabric is not None:
            self._desk.choose_fabric(fabric.id)

    def _on_row_opened(self, row: int) -> None:
        fabric = self.view.fabric_at(row)
        if fabric is not None:
            self._desk.choose_fabric(fabric.id)
            self.fabric_opened.emit(fabric.id)

    def _on_removed(self, fabric: FabricId) -> None:
        self._document.remove_fabric(fabric)

    def _on_fabric_chosen(self, fabric: object) -> None:
        self.view.choose_row(self.rows.row_of(fabric) if fabric is not None else -1)
