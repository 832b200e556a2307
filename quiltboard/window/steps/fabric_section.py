"""A section of the Fabrics step: a heading, and rows of fields that change one fabric."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from quiltboard.fabrics.fabric import Fabric
from quiltboard.units import Unit
from quiltboard.window.lettering import Words
from quiltboard.window.theme import NOTE, Theme

LABEL_PX: Final = 96


class FabricSection(QWidget):
    """Rows under a heading.

    Signals
    -------
    changed
        The fields of the fabric that change, by name.
    refused
        A sentence: what was typed cannot be taken.
    """

    changed = Signal(dict)
    refused = Signal(str)

    def __init__(self, theme: Theme, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(8)
        if heading:
            column.addWidget(Words(theme, heading, size=NOTE, weight=600))
        self.grid = QGridLayout()
        self.grid.setHorizontalSpacing(12)
        self.grid.setVerticalSpacing(8)
        self.grid.setColumnStretch(1, 1)
        column.addLayout(self.grid)
        theme.changed.connect(self._on_theme_changed)
        self._on_theme_changed()

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Show a fabric as it is; each section has its own way."""

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
        """Add a line that only tells."""
        row = self.grid.rowCount()
        value = Words(self.theme, "", wrapped=True)
        value.setAccessibleName(label)
        self.grid.addWidget(Words(self.theme, label, colour="text_2"), row, 0)
        self.grid.addWidget(value, row, 1)
        return value

    def add_told(self) -> Words:
        """Add a line of lesser text across both columns."""
        told = Words(self.theme, "", size=NOTE, colour="text_2", wrapped=True)
        self.grid.addWidget(told, self.grid.rowCount(), 0, 1, 2)
        return told

    def add_buttons(self, *buttons: tuple[str, Callable[[], object]]) -> list[QPushButton]:
        """Add buttons, two to a row."""
        made = []
        for index, (text, pressed) in enumerate(buttons):
            if index % 2 == 0:
                row = QGridLayout()
                row.setHorizontalSpacing(8)
                self.grid.addLayout(row, self.grid.rowCount(), 0, 1, 2)
            button = QPushButton(text)
            button.clicked.connect(pressed)
            row.addWidget(button, 0, index % 2)
            row.setColumnStretch(index % 2, 1)
            made.append(button)
        return made

    def _on_theme_changed(self) -> None:
        self.grid.setColumnMinimumWidth(0, self.theme.px(LABEL_PX))


class ChoiceField(QComboBox):
    """A choice of a few words, the first of which may be what was measured.

    Signals
    -------
    chosen
        The value chosen by the maker.
    """

    chosen = Signal(object)

    def __init__(self, choices: Sequence[tuple[str, object]]) -> None:
        super().__init__()
        self._values = [value for _, value in choices]
        self.addItems([text for text, _ in choices])
        self.activated.connect(self._on_activated)

    def show_value(self, value: object, first: str | None = None) -> None:
        """Show a value; ``first`` is what the first choice says now."""
        if first is not None:
            self.setItemText(0, first)
        self.setCurrentIndex(self._values.index(value))

    def _on_activated(self, index: int) -> None:
        self.chosen.emit(self._values[index])


class TextField(QLineEdit):
    """A line of text that tells of itself only once it was changed and left.

    Signals
    -------
    entered
        The text as it was typed, spaces at its ends gone.
    """

    entered = Signal(str)

    def __init__(self, longest: int, placeholder: str = "") -> None:
        super().__init__()
        self.setMaxLength(longest)
        self.setPlaceholderText(placeholder)
        self.editingFinished.connect(self._on_finished)

    def show_text(self, text: str) -> None:
        """Show a text."""
        if self.text() != text:
            self.setText(text)
        self.setModified(False)

    def _on_finished(self) -> None:
        if self.isModified():
            self.setModified(False)
            self.entered.emit(self.text().strip())
