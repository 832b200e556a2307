"""The parts that the step panels are put together from: headings, rows, fields for lengths."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent, QWheelEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QLineEdit,
    QScrollArea,
    QSizePolicy,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from quiltboard.document.document import Document
from quiltboard.units import (
    InvalidLengthError,
    Length,
    Unit,
    format_length,
    parse_length,
    plain_fractions,
)
from quiltboard.window.lettering import Words
from quiltboard.window.theme import NOTE, PADDING_PX, PART_TITLE, Theme


class StepPanel(QScrollArea):
    """A side part: a title, a line under it, and rows; it scrolls where the window is low."""

    def __init__(
        self, theme: Theme, title: str, note: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.theme = theme
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inside = QWidget()
        inside.setObjectName("panel")
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(PADDING_PX, PADDING_PX, PADDING_PX, PADDING_PX)
        self._column.setSpacing(8)
        self.title = Words(theme, title, size=PART_TITLE, weight=600, shortened=True)
        self._column.addWidget(self.title)
        if note:
            self._column.addWidget(self.note(note))
        self.grid = QGridLayout()
        self.grid.setHorizontalSpacing(12)
        self.grid.setVerticalSpacing(8)
        self.grid.setColumnStretch(1, 1)
        self._column.addSpacing(4)
        self._column.addLayout(self.grid)
        self.problem = Words(theme, "", size=NOTE, weight=600, wrapped=True)
        self.problem.setAccessibleName(self.tr("What must be put right"))
        self.problem.hide()
        self._column.addWidget(self.problem)
        self._column.addStretch(1)
        self.setWidget(inside)
        self._stale = True

    def refresh(self) -> None:
        """Show what is so now; each panel has its own way."""

    def bring_up_to_date(self) -> None:
        """Show what is so now, or as soon as the panel comes into view."""
        self._stale = not self.isVisible()
        if not self._stale:
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Come into view with what is so now."""
        if self._stale:
            self._stale = False
            self.refresh()
        super().showEvent(event)

    def note(self, text: str) -> Words:
        """Make a line of lesser text that wraps."""
        return Words(self.theme, text, size=NOTE, colour="text_2", wrapped=True)

    def add_row(self, label: str, field: QWidget) -> None:
        """Add a field with its label before it."""
        row = self.grid.rowCount()
        name = QLabel(label)
        name.setBuddy(field)
        name.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        if not field.accessibleName():
            field.setAccessibleName(label)
        field.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.grid.addWidget(name, row, 0)
        self.grid.addWidget(field, row, 1)

    def add_reading(self, label: str) -> Words:
        """Add a line that only tells; the answer is the label to set."""
        row = self.grid.rowCount()
        name = Words(self.theme, label, colour="text_2")
        value = Words(self.theme, "", weight=600, wrapped=True)
        value.setAccessibleName(label)
        self.grid.addWidget(name, row, 0)
        self.grid.addWidget(value, row, 1)
        return value

    def add_wide(self, widget: QWidget) -> None:
        """Add something across both columns."""
        self.grid.addWidget(widget, self.grid.rowCount(), 0, 1, 2)

    def try_edit(self, document: Document, edit: Callable[[], bool]) -> bool:
        """Make an edit; what the document refuses is said in the panel.

        Returns
        -------
        bool
            Whether anything changed.
        """
        self.tell("")
        document.refused.connect(self.tell)
        try:
            return edit()
        finally:
            document.refused.disconnect(self.tell)

    def tell(self, sentence: str) -> None:
        """Say what must be put right; an empty sentence takes it back."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))


class CountField(QSpinBox):
    """A field for a whole number; it tells of a number only once it is typed whole."""

    def __init__(self, least: int, most: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setRange(least, most)
        self.setKeyboardTracking(False)
        # A stylesheet's padding does not reach the figures of a spin box.
        self.lineEdit().setTextMargins(8, 0, 0, 0)
        # A wheel that scrolls the part must not change what is under the pointer.
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to what scrolls."""
        event.ignore()

    def show_count(self, count: int) -> None:
        """Show a number without telling of it."""
        self.blockSignals(True)
        self.setValue(count)
        self.blockSignals(False)


class LengthField(QLineEdit):
    """A field for one length, as a maker writes it.

    Signals
    -------
    entered
        A length that was typed and can be read.
    refused
        A sentence, where it cannot be read; the last good length stays.
    """

    entered = Signal(int)
    refused = Signal(str)

    def __init__(
        self, *, zero: bool = False, blank: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._zero = zero
        self._length: Length | None = None
        self._unit: Unit = "in"
        self._finest = 16
        self.setPlaceholderText(blank)
        self.editingFinished.connect(self._on_finished)

    def show_length(self, length: Length | None, unit: Unit) -> None:
        """Show a length; None leaves the field blank."""
        self._length, self._unit = length, unit
        self.setText(
            ""
            if length is None
            else plain_fractions(format_length(length, unit, finest=self._finest))
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Escape as giving up what was typed."""
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.show_length(self._length, self._unit)
            event.accept()
            return
        super().keyPressEvent(event)

    def _on_finished(self) -> None:
        if not self.isModified():
            return
        self.setModified(False)
        text = self.text().strip()
        try:
            nothing = self._zero and text.rstrip(" incm") in {"", "0"}
            length = Length(0) if nothing else parse_length(text, self._unit)
        except InvalidLengthError as error:
            self.show_length(self._length, self._unit)
            self.refused.emit(str(error))
            return
        self.show_length(length, self._unit)
        self.entered.emit(length)
