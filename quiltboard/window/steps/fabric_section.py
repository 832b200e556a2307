"""A section of the Fabrics step: a heading, what is told, and fields that change one fabric.

A heading that folds shows its fields only once they are wanted; what is told always shows.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QKeyEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QStyle,
    QStyleOptionComboBox,
    QVBoxLayout,
    QWidget,
)

from quiltboard.fabrics.fabric import Fabric
from quiltboard.units import Unit
from quiltboard.window.cloth import draw_unsure
from quiltboard.window.icons import draw_icon
from quiltboard.window.lettering import Words, draw_line, width_px
from quiltboard.window.theme import ICON_PX, NOTE, ROW_PX, Theme

LABEL_PX: Final = 96
STACKED_FROM: Final = 150
"""From letters of so many % on, a field stands under its label, a button alone in a row."""
FEWEST_LETTERS: Final = 6
"""A choice may be squeezed to so many letters rather than be wider than the part it is in."""
_MARK_PX: Final = (22, 12)


class SectionHeading(QAbstractButton):
    """A heading under a rule; one that folds opens and closes what is below it."""

    def __init__(
        self, theme: Theme, text: str, *, folds: bool, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._folds = folds
        self._unsure = False
        self.setText(text)
        self.setCheckable(folds)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if folds else Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._name()
        self.toggled.connect(self._name)
        theme.changed.connect(self._on_theme_changed)

    @property
    def unsure(self) -> bool:
        """Whether it carries the mark of a value that is not sure."""
        return self._unsure

    def mark_unsure(self, unsure: bool) -> None:
        """Hatch a piece of selvedge beside the heading, or take it away."""
        self._unsure = unsure
        self.update()

    def setText(self, text: str) -> None:
        """Say something else."""
        super().setText(text)
        self._name()

    def sizeHint(self) -> QSize:
        """Give the heading's room."""
        wide = width_px(self._theme, self.text(), NOTE, 600)
        return QSize(wide + self._theme.px(ICON_PX + _MARK_PX[0]), self._theme.px(ROW_PX) + 6)

    def minimumSizeHint(self) -> QSize:
        """Let it be shortened."""
        return QSize(80, self.sizeHint().height())

    def enterEvent(self, event: QEnterEvent) -> None:
        """Show that it can be pressed."""
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Show it as it was."""
        self.update()
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open and close with Enter, as with Space."""
        if self._folds and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.toggle()
            event.accept()
            return
        super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the rule, the words, the mark and the chevron."""
        theme = self._theme
        with QPainter(self) as painter:
            painter.fillRect(0, 0, self.width(), 1, theme.colour("rule"))
            icon = theme.px(ICON_PX) if self._folds else 0
            box = QRectF(0, 6, self.width() - icon, self.height() - 6)
            used = draw_line(painter, theme, box, self.text(), size=NOTE, weight=600)
            if self._unsure:
                wide, high = (theme.px(side) for side in _MARK_PX)
                at = QRectF(used + 8, box.center().y() - high / 2, wide, high)
                draw_unsure(painter, at)
            if self._folds:
                painter.translate(self.width() - icon / 2, box.center().y())
                painter.rotate(180 if self.isChecked() else 0)
                ink = theme.colour("text" if self.underMouse() else "text_2")
                draw_icon(painter, "chevron", -icon / 2, -icon / 2, icon, ink)

    def _name(self) -> None:
        self.setAccessibleName(self.text())
        if self._folds:
            self.setAccessibleDescription(
                self.tr("open") if self.isChecked() else self.tr("closed")
            )

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self.update()


class FabricSection(QWidget):
    """A heading, what is told, and rows of fields.

    Signals
    -------
    changed
        The fields of the fabric that change, by name.
    refused
        A sentence: what was typed cannot be taken.
    """

    changed = Signal(dict)
    refused = Signal(str)

    def __init__(
        self, theme: Theme, heading: str, *, folds: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.theme = theme
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        self.heading = SectionHeading(theme, heading, folds=folds)
        self.heading.setVisible(bool(heading))
        column.addWidget(self.heading)
        self.told = Words(theme, "", size=NOTE, colour="text_2", wrapped=True)
        self.told.hide()
        column.addWidget(self.told)
        self.fields = QWidget()
        self.grid = QGridLayout(self.fields)
        self.grid.setContentsMargins(0, 2, 0, 4)
        self.grid.setHorizontalSpacing(12)
        self.grid.setVerticalSpacing(8)
        column.addWidget(self.fields)
        self._rows: list[tuple[QWidget, ...]] = []
        if folds:
            self.fields.hide()
            self.heading.toggled.connect(self.fields.setVisible)
        theme.changed.connect(self._lay_rows)

    def show_fabric(self, fabric: Fabric | None, _unit: Unit) -> None:
        """Show a fabric as it is; each section has its own way."""

    def tell(self, sentence: str) -> None:
        """Say something under the heading; nothing takes no room."""
        self.told.setText(sentence)
        self.told.setVisible(bool(sentence))

    def add_row(self, label: str, field: QWidget) -> None:
        """Add a field with its label before it, or above where letters are large."""
        name = QLabel(label)
        name.setBuddy(field)
        name.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        if not field.accessibleName():
            field.setAccessibleName(label)
        field.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._add(name, field)

    def add_reading(self, label: str) -> Words:
        """Add a line that only tells."""
        value = Words(self.theme, "", wrapped=True)
        value.setAccessibleName(label)
        self._add(Words(self.theme, label, colour="text_2"), value)
        return value

    def add_wide(self, widget: QWidget) -> None:
        """Add something across both columns."""
        self._add(widget)

    def add_told(self) -> Words:
        """Add a line of lesser text across both columns."""
        told = Words(self.theme, "", size=NOTE, colour="text_2", wrapped=True)
        self._add(told)
        return told

    def add_buttons(self, *buttons: tuple[str, Callable[[], object]]) -> list[QPushButton]:
        """Add buttons, two to a row where there is room."""
        pair = ButtonPairs(self.theme)
        made = [pair.add(text, pressed) for text, pressed in buttons]
        self._add(pair)
        return made

    def show_row(self, field: QWidget, shown: bool) -> None:
        """Show or hide a field with its label."""
        for row in self._rows:
            if field in row:
                for widget in row:
                    widget.setVisible(shown)

    def _add(self, *row: QWidget) -> None:
        self._rows.append(row)
        self._lay_rows()

    def _lay_rows(self) -> None:
        stacked = self.theme.text_percent >= STACKED_FROM
        for row in self._rows:
            for widget in row:
                self.grid.removeWidget(widget)
        at = 0
        for row in self._rows:
            if len(row) == 1 or stacked:
                for widget in row:
                    self.grid.addWidget(widget, at, 0, 1, 2)
                    at += 1
            else:
                self.grid.addWidget(row[0], at, 0)
                self.grid.addWidget(row[1], at, 1)
                at += 1
        self.grid.setColumnMinimumWidth(0, 0 if stacked else self.theme.px(LABEL_PX))
        self.grid.setColumnStretch(0, 1 if stacked else 0)
        self.grid.setColumnStretch(1, 1)


class ButtonPairs(QWidget):
    """Buttons, two to a row, or one where letters are large."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._buttons: list[QPushButton] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(8)
        theme.changed.connect(self._lay_out)

    def add(self, text: str, pressed: Callable[[], object]) -> QPushButton:
        """Add a button."""
        button = QPushButton(text)
        button.clicked.connect(pressed)
        self._buttons.append(button)
        self._lay_out()
        return button

    def _lay_out(self) -> None:
        across = 1 if self._theme.text_percent >= STACKED_FROM else 2
        for button in self._buttons:
            self._grid.removeWidget(button)
        for place, button in enumerate(self._buttons):
            alone = across == 2 and place == len(self._buttons) - 1 and place % 2 == 0
            row, column = divmod(place, across)
            self._grid.addWidget(button, row, column, 1, 2 if alone else 1)
        for column in (0, 1):
            self._grid.setColumnStretch(column, 1 if column < across else 0)


class ChoiceField(QComboBox):
    """A choice of a few words, the first of which may be what was measured.

    Signals
    -------
    chosen
        The value chosen by the maker.
    """

    chosen = Signal(object)

    def __init__(self, choices: Sequence[tuple[str, object]] = ()) -> None:
        super().__init__()
        self._values: list[object] = []
        self.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.setMinimumContentsLength(FEWEST_LETTERS)
        # A wheel that scrolls the part must not change what is under the pointer.
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.set_choices(choices)
        self.activated.connect(self._on_activated)

    def set_choices(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer other words."""
        texts = [text for text, _ in choices]
        self._values = [value for _, value in choices]
        if texts != [self.itemText(at) for at in range(self.count())]:
            self.clear()
            self.addItems(texts)

    def show_value(self, value: object, first: str | None = None) -> None:
        """Show a value; ``first`` is what the first choice says now."""
        if first is not None:
            self.setItemText(0, first)
        self.setCurrentIndex(self._values.index(value))
        self.setToolTip(self.currentText())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it, with words that are too long for it shortened; its tip has them all."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        style, part = self.style(), QStyle.SubControl.SC_ComboBoxEditField
        field = style.subControlRect(QStyle.ComplexControl.CC_ComboBox, option, part, self)
        option.currentText = self.fontMetrics().elidedText(
            self.currentText(), Qt.TextElideMode.ElideRight, field.width() - 4
        )
        with QPainter(self) as painter:
            style.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option, painter, self)
            style.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option, painter, self)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to what scrolls."""
        event.ignore()

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
        self._shown = ""
        self.setMaxLength(longest)
        self.setPlaceholderText(placeholder)
        self.editingFinished.connect(self._on_finished)

    def show_text(self, text: str) -> None:
        """Show a text; what is being typed is left alone."""
        self._shown = text
        if self.isModified():
            return
        if self.text() != text:
            self.setText(text)
            self.setCursorPosition(0)
        self.setModified(False)

    def give_up(self) -> None:
        """Give up what was typed."""
        self.setModified(False)
        self.show_text(self._shown)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Escape as giving up what was typed."""
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.give_up()
            event.accept()
            return
        super().keyPressEvent(event)

    def _on_finished(self) -> None:
        if self.isModified():
            self.setModified(False)
            self.entered.emit(self.text().strip())
