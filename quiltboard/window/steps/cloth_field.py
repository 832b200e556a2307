"""A field that chooses the cloth for a part of the top: one from the shelf, or a plain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QComboBox, QWidget

from quiltboard.fabrics.fabric import Fabric, is_colour
from quiltboard.quilt.board import Cloth

PLAINS: Final = (
    ("Plain white", "#fafafa"),
    ("Plain chalk", "#f4f0e6"),
    ("Plain oatmeal", "#d9cdb8"),
    ("Plain pewter", "#8c8a85"),
    ("Plain sage", "#6f8478"),
    ("Plain fir", "#4f665c"),
    ("Plain clay", "#c27a4a"),
    ("Plain navy", "#27324d"),
    ("Plain charcoal", "#3a3a3c"),
)
"""Plain cloths to try a top with; any other is typed as #rrggbb."""
_ICON: Final = QSize(28, 16)


class ClothField(QComboBox):
    """Chooses a cloth.

    Signals
    -------
    chosen
        A fabric's id or a plain ``#rrggbb``.
    refused
        A sentence, where what was typed is neither.
    """

    chosen = Signal(str)
    refused = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setIconSize(_ICON)
        self.setMinimumContentsLength(10)
        self.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.setToolTip(self.tr("Choose a cloth, or type a plain colour as #rrggbb"))
        self._cloth: Cloth = ""
        self._listed: tuple[tuple[str, str, str], ...] = ()
        self.activated.connect(self._on_activated)
        line = self.lineEdit()
        if line is not None:
            line.editingFinished.connect(self._on_typed)

    def show_cloth(self, cloth: Cloth, fabrics: Sequence[Fabric]) -> None:
        """Show the present cloth among the shelf's and the plains."""
        plains = [(self.tr(name), colour, colour) for name, colour in PLAINS]
        if is_colour(cloth) and cloth.lower() not in {colour for _, colour, _ in plains}:
            plains.append((cloth, cloth, cloth))
        listed = (*plains, *((f.name, str(f.id), f.colour) for f in fabrics))
        self.blockSignals(True)
        if listed != self._listed:
            self._listed = listed
            self.clear()
            for name, value, colour in listed:
                self.addItem(_icon(colour), name, value)
        self._cloth = cloth
        self.setCurrentIndex(
            max(0, self.findData(cloth.lower() if is_colour(cloth) else cloth))
        )
        self.blockSignals(False)

    def _on_activated(self, index: int) -> None:
        self._choose(str(self.itemData(index)))

    def _on_typed(self) -> None:
        text = self.currentText().strip()
        if text == self.itemText(self.currentIndex()):
            return
        index = self.findText(text)
        if is_colour(text):
            self._choose(text.lower())
        elif index >= 0:
            self._choose(str(self.itemData(index)))
        else:
            self.setEditText(self.itemText(self.currentIndex()))
            said = self.tr("“{text}” is not on the shelf: type plain colours as #rrggbb.")
            self.refused.emit(said.format(text=text))

    def _choose(self, cloth: Cloth) -> None:
        if cloth != self._cloth:
            self._cloth = cloth
            self.chosen.emit(cloth)


def _icon(colour: str) -> QIcon:
    pixmap = QPixmap(_ICON)
    pixmap.fill(QColor("#919191"))
    with QPainter(pixmap) as painter:
        painter.fillRect(2, 2, _ICON.width() - 4, _ICON.height() - 4, QColor(colour))
    return QIcon(pixmap)
