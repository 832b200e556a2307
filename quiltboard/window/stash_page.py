"""The page of one fabric in the stash: what there is of it, what it cost, where it is used."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from quiltboard.document.document import Document
from quiltboard.document.stash import Found, Page, Stashing
from quiltboard.document.wording import counted
from quiltboard.drawing.display import GROUND
from quiltboard.fabrics.amounts import InvalidAmountError, amounts_text, parse_amounts
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.store.stash import BoardUse
from quiltboard.store.stash_entry import (
    LONGEST_SCRAPS,
    LONGEST_SHOP_NOTE,
    PriceUnit,
    StashEntry,
    print_mm,
)
from quiltboard.store.stash_search import StashRow
from quiltboard.store.stash_words import (
    InvalidWordsError,
    parse_price,
    parse_tags,
    price_text,
    tags_text,
)
from quiltboard.units import format_length, length_from_mm
from quiltboard.window.lettering import Words
from quiltboard.window.stash_rows import StashCloths, draw_folded
from quiltboard.window.steps.form import StepPanel
from quiltboard.window.theme import NOTE, Theme

PIECE_HIGH_PX: Final = 64
MOST_FOR_ONE_ROW: Final = 125
"""Up to this size of letters the price and what it is for stand side by side."""
UNITS: Final[tuple[PriceUnit, ...]] = ("yd", "m", "piece")


class FoldedPiece(QWidget):
    """The fabric of the page, folded, on the cloth's grey."""

    def __init__(
        self, theme: Theme, cloths: StashCloths, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._cloths = cloths
        self._row: StashRow | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        cloths.made.connect(self.update)
        theme.changed.connect(self.updateGeometry)

    def show_row(self, row: StashRow | None) -> None:
        """Show another fabric."""
        self._row = row
        self.update()

    def sizeHint(self) -> QSize:
        """Give the piece's room."""
        return QSize(200, PIECE_HIGH_PX + 32)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the piece on its grey."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), QColor(GROUND))
            if self._row is not None:
                box = QRectF(self.rect()).adjusted(20, 16, -20, -16)
                draw_folded(painter, box, self._row, self._cloths)


class NoteField(QPlainTextEdit):
    """A field of several lines; it tells once the keyboard leaves it.

    Signals
    -------
    left
        The keyboard left it.
    """

    left = Signal()

    def focusOutEvent(self, event: object) -> None:
        """Tell that it was left."""
        super().focusOutEvent(event)  # type: ignore[arg-type]
        self.left.emit()


class StashPage(StepPanel):
    """Shows and changes what the stash knows of one fabric.

    Signals
    -------
    like_asked
        Fabrics near this one are to be shown.
    board_asked
        A board that has it on its shelf is to be opened.
    """

    like_asked = Signal()
    board_asked = Signal(object)

    def __init__(
        self,
        document: Document,
        stashing: Stashing,
        theme: Theme,
        cloths: StashCloths,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(theme, "", "", parent)
        self._document = document
        self._stashing = stashing
        self._page: Page | None = None
        self._nothing = self.note("")
        self.add_wide(self._nothing)
        self.piece = FoldedPiece(theme, cloths)
        self.add_wide(self.piece)
        self._value = self.add_reading(self.tr("Value, L*"))
        self._print = self.add_reading(self.tr("Print"))
        self.amounts = self._line(self.tr("There is"), self.tr("not told"))
        self.amounts.setToolTip(
            self.tr("Pieces and their sizes: 1/2 yd + 2 fat quarters + 5 in x 9 in + 8 wedges")
        )
        self.scraps = self._line(self.tr("Scraps"), self.tr("a bag, the longest 9 in"))
        self.scraps.setMaxLength(LONGEST_SCRAPS)
        self.price = QLineEdit()
        self.price.setPlaceholderText(self.tr("not told"))
        self.price.setAccessibleName(self.tr("Price"))
        self.per = QComboBox()
        self.per.addItems([self.tr("a yard"), self.tr("a metre"), self.tr("a piece")])
        self.per.setAccessibleName(self.tr("Price of how much"))
        both = QWidget()
        self._price_row = QBoxLayout(QBoxLayout.Direction.LeftToRight, both)
        self._price_row.setContentsMargins(0, 0, 0, 0)
        self._price_row.setSpacing(8)
        self._price_row.addWidget(self.price, 1)
        self._price_row.addWidget(self.per)
        self.add_row(self.tr("Price"), both)
        self.tags = self._line(self.tr("Tags"), self.tr("sea, for the throw"))
        self.tags.setToolTip(self.tr("Words to find it by, with commas between"))
        self.shop = NoteField()
        self.shop.setTabChangesFocus(True)
        self.shop.setPlaceholderText(self.tr("where it is from, whether there is more"))
        self.add_row(self.tr("Shop note"), self.shop)
        self.on_shelf = QPushButton(self.tr("Put on the shelf"))
        self.on_shelf.setProperty("filled", True)
        self.like = QPushButton(self.tr("Like this one"))
        self.like.setToolTip(self.tr("Show what comes nearest to it in colour and value"))
        self.take_out = QPushButton(self.tr("Take out of the stash"))
        for button in (self.on_shelf, self.like, self.take_out):
            self.add_wide(button)
        self._boards_title = Words(theme, self.tr("Boards with it"), weight=600)
        self.add_wide(self._boards_title)
        self._boards = QWidget()
        self._board_column = QVBoxLayout(self._boards)
        self._board_column.setContentsMargins(0, 0, 0, 0)
        self._board_column.setSpacing(4)
        self.add_wide(self._boards)
        self._connect()
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()
        self.refresh()

    def _connect(self) -> None:
        self.amounts.editingFinished.connect(self._on_amounts)
        self.scraps.editingFinished.connect(self._on_scraps)
        self.price.editingFinished.connect(self._on_price)
        self.per.activated.connect(self._on_price_unit)
        self.tags.editingFinished.connect(self._on_tags)
        self.shop.left.connect(self._on_shop)
        self.on_shelf.clicked.connect(self._on_put_on_shelf)
        self.like.clicked.connect(self.like_asked)
        self.take_out.clicked.connect(self._on_take_out)
        self._stashing.page_shown.connect(self._on_page_shown)
        self._stashing.failed.connect(self._on_failed)
        self._stashing.found.connect(self._on_found)

    @property
    def entry(self) -> StashEntry | None:
        """The fabric shown."""
        return self._page.entry if self._page else None

    @property
    def row(self) -> StashRow | None:
        """The fabric shown, as a list shows it."""
        return self._page.row if self._page else None

    def refresh(self) -> None:
        """Show the fabric as it is; what is being typed stays."""
        entry = self.entry
        self.title.setText(self.tr("Nothing chosen") if entry is None else entry.fabric.name)
        for place in range(self.grid.count()):
            item = self.grid.itemAt(place)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.setVisible((entry is not None) != (widget is self._nothing))
        self.piece.show_row(self._page.row if self._page else None)
        self._show_boards(self._page.boards if self._page else ())
        if entry is None:
            return
        unit = self._document.project.board.unit
        self._value.setText(f"{entry.fabric.value:.0f}")
        self._print.setText(self._say_print(entry.fabric))
        _set(self.amounts, amounts_text(entry.fabric.amounts, unit))
        _set(self.scraps, entry.scraps)
        _set(self.price, price_text(entry.price))
        if entry.price is not None:
            self.per.setCurrentIndex(UNITS.index(entry.price.unit))
        _set(self.tags, tags_text(entry.tags))
        if not self.shop.document().isModified() and self.shop.toPlainText() != entry.shop:
            self.shop.setPlainText(entry.shop)

    def _say_print(self, fabric: Fabric) -> str:
        measured = fabric.reading.print
        solid = fabric.by_hand.solid
        if solid or (solid is None and measured is not None and measured.solid):
            return self.tr("reads as solid")
        size_mm = print_mm(fabric)
        if size_mm is None:
            return self.tr("size not known")
        unit = self._document.project.board.unit
        return self.tr("about {size}").format(size=format_length(length_from_mm(size_mm), unit))

    def let_go(self) -> None:
        """Give up what was typed but not entered."""
        for line in (self.amounts, self.scraps, self.price, self.tags):
            line.setModified(False)
        self.shop.document().setModified(False)

    def _line(self, label: str, blank: str) -> QLineEdit:
        line = QLineEdit()
        line.setPlaceholderText(blank)
        self.add_row(label, line)
        return line

    def _show_boards(self, boards: tuple[BoardUse, ...]) -> None:
        while (item := self._board_column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._boards_title.setVisible(bool(boards))
        self._boards.setVisible(bool(boards))
        for use in boards:
            button = QPushButton(_shortened(use.title))
            pieces = (
                counted(use.pieces, self.tr("{n} piece laid"), self.tr("{n} pieces laid"))
                if use.pieces
                else self.tr("on its shelf, nothing laid")
            )
            button.setAccessibleName(f"{use.title}, {pieces}")
            button.setToolTip(self.tr("Open {path}").format(path=use.path))
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            button.clicked.connect(partial(self._on_board, use.path))
            self._board_column.addWidget(button)
            self._board_column.addWidget(
                Words(self.theme, pieces, size=NOTE, colour="text_2", shortened=True)
            )

    def _on_board(self, path: Path, _checked: bool = False) -> None:
        self.board_asked.emit(path)

    def _on_page_shown(self, page: Page | None) -> None:
        before = self.entry
        same = page is not None and before is not None and page.row.id == before.fabric.id
        if not same:
            self.let_go()
            self.tell("")
        self._page = page
        self.bring_up_to_date()

    def _on_found(self, found: Found) -> None:
        self._nothing.setText(
            self.tr("Choose a fabric to see what there is of it, and which boards have it.")
            if found.total
            else self.tr(
                "What there is of a fabric, and which boards have it, will stand here."
            )
        )

    def _on_failed(self, sentence: str) -> None:
        if self.isVisible():
            self.tell(sentence)

    def _entered(self, line: QLineEdit) -> bool:
        """Tell whether something was typed in a line; from now on it counts as entered."""
        typed = line.isModified() and self._page is not None
        line.setModified(False)
        if typed:
            self.tell("")
        return typed

    def _change(self, **fields: object) -> None:
        if self._page is not None:
            self._stashing.change(FabricId(self._page.row.id), **fields)  # type: ignore[arg-type]

    def _on_amounts(self) -> None:
        if not self._entered(self.amounts):
            return
        try:
            self._change(
                amounts=parse_amounts(self.amounts.text(), self._document.project.board.unit)
            )
        except InvalidAmountError as error:
            self.refresh()
            self.tell(str(error))

    def _on_scraps(self) -> None:
        if self._entered(self.scraps):
            self._change(scraps=" ".join(self.scraps.text().split()))

    def _on_price(self) -> None:
        if self._entered(self.price):
            self._enter_price()

    def _on_price_unit(self, _index: int) -> None:
        self.price.setModified(False)
        self._enter_price()

    def _enter_price(self) -> None:
        try:
            self._change(price=parse_price(self.price.text(), UNITS[self.per.currentIndex()]))
        except InvalidWordsError as error:
            self.refresh()
            self.tell(str(error))

    def _on_tags(self) -> None:
        if not self._entered(self.tags):
            return
        try:
            self._change(tags=parse_tags(self.tags.text()))
        except InvalidWordsError as error:
            self.refresh()
            self.tell(str(error))

    def _on_shop(self) -> None:
        if not self.shop.document().isModified() or self._page is None:
            return
        text = self.shop.toPlainText().strip()
        if len(text) > LONGEST_SHOP_NOTE:
            self.tell(
                self.tr("The shop note is {n} signs too long: shorten it.").format(
                    n=len(text) - LONGEST_SHOP_NOTE
                )
            )
            return
        self.shop.document().setModified(False)
        self.tell("")
        self._change(shop=text)

    def _on_put_on_shelf(self) -> None:
        if self._page is not None:
            self._stashing.put_on_shelf(self._page.row.id)

    def _on_take_out(self) -> None:
        if self._page is not None:
            self._stashing.remove(self._page.row.id)

    def _on_theme_changed(self) -> None:
        self.shop.setFixedHeight(self.theme.px(64))
        beside = self.theme.text_percent <= MOST_FOR_ONE_ROW
        self._price_row.setDirection(
            QBoxLayout.Direction.LeftToRight if beside else QBoxLayout.Direction.TopToBottom
        )


def _set(line: QLineEdit, text: str) -> None:
    """Show a text, unless something else is being typed there."""
    if not line.isModified() and line.text() != text:
        line.setText(text)


def _shortened(title: str, most: int = 34) -> str:
    shown = title if len(title) <= most else title[: most - 1].rstrip() + "…"
    return shown.replace("&", "&&")  # to Qt a single one is a key
