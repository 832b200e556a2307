"""What the maker writes on a fabric's label: its name, what there is of it, a note."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from quiltboard.fabrics.amounts import InvalidAmountError, amounts_text, parse_amounts
from quiltboard.fabrics.fabric import Fabric
from quiltboard.fabrics.naming import LONGEST_NAME
from quiltboard.units import Unit
from quiltboard.window.steps.fabric_section import FabricSection, TextField
from quiltboard.window.theme import Theme

LONGEST_NOTE = 300
LONGEST_AMOUNTS = 1000


class LabelSection(FabricSection):
    """Name, amounts and note."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, "", parent=parent)
        self._unit: Unit = "in"
        self.name = TextField(LONGEST_NAME)
        self.name.entered.connect(self._on_name)
        self.add_row(self.tr("Name"), self.name)
        self.amounts = TextField(LONGEST_AMOUNTS, self.tr("as much as needed"))
        self.amounts.setToolTip(
            self.tr("What there is: 8 wedges, 1/2 yd, 18 in x 21 in; several with a plus")
        )
        self.amounts.entered.connect(self._on_amounts)
        self.add_row(self.tr("There is"), self.amounts)
        self.gives = self.add_reading(self.tr("Gives"))
        self.note = TextField(LONGEST_NOTE)
        self.note.entered.connect(self._on_note)
        self.add_row(self.tr("Note"), self.note)

    def show_fabric(self, fabric: Fabric | None, unit: Unit) -> None:
        """Show what is written on it."""
        self._unit = unit
        self.setVisible(fabric is not None)
        if fabric is None:
            return
        self.name.show_text(fabric.name)
        self.name.setToolTip(fabric.name)
        self.amounts.show_text(amounts_text(fabric.amounts, unit))
        self.note.show_text(fabric.note)

    def _on_name(self, text: str) -> None:
        name = " ".join(text.split())
        if name:
            self.changed.emit({"name": name})
        else:
            self.refused.emit(self.tr("A fabric has a name: write one."))

    def _on_amounts(self, text: str) -> None:
        try:
            amounts = parse_amounts(text, self._unit)
        except InvalidAmountError as error:
            self.refused.emit(str(error))
            return
        self.changed.emit({"amounts": amounts})

    def _on_note(self, text: str) -> None:
        self.changed.emit({"note": text})
