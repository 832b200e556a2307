"""The Fabrics step: one fabric's photo, name, value, scale and amounts."""

from __future__ import annotations

from functools import partial

import msgspec
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QLineEdit, QPushButton, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.jobs import Errand
from quiltboard.document.wording import counted
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.amounts import InvalidAmountError, amounts_text, parse_amounts
from quiltboard.fabrics.bring_in import recrop
from quiltboard.fabrics.fabric import STEPS, WHOLE_PHOTO, Corners, Fabric
from quiltboard.fabrics.naming import LONGEST_NAME
from quiltboard.project.project import Project
from quiltboard.units import Length
from quiltboard.window.steps.form import LengthField, StepPanel
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.theme import Theme


class FabricStep(StepPanel):
    """Shows and changes what is known of the fabric chosen on the shelf.

    Signals
    -------
    remove_asked
        The fabric is to be taken off the shelf.
    """

    remove_asked = Signal()

    def __init__(
        self, document: Document, desk: Desk, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(theme, "", "", parent)
        self._document = document
        self._desk = desk
        self._errand: Errand | None = None
        self.photo_table = PhotoTable(theme)
        self.photo_table.corners_set.connect(self._on_corners)

        self._name = QLineEdit()
        self._name.setMaxLength(LONGEST_NAME)
        self._name.editingFinished.connect(self._on_name)
        self.add_row(self.tr("Name"), self._name)
        self._value = self.add_reading(self.tr("Value, L*"))
        self._step = QComboBox()
        self._step.addItem("")
        self._step.addItems([self.tr(step) for step in STEPS])
        self._step.activated.connect(self._on_step)
        self.add_row(self.tr("Reads as"), self._step)
        self._amounts = QLineEdit()
        self._amounts.setPlaceholderText(self.tr("as much as needed"))
        self._amounts.setToolTip(
            self.tr("What there is: 8 wedges, 1/2 yd, 18 in x 21 in; several with a plus")
        )
        self._amounts.editingFinished.connect(self._on_amounts)
        self.add_row(self.tr("There is"), self._amounts)
        self._there = self.add_reading(self.tr("Gives"))
        self._width = LengthField(blank=self.tr("not known"))
        self._width.setToolTip(
            self.tr("How much cloth lies between the left and right corners")
        )
        self._width.entered.connect(self._on_width)
        self._width.refused.connect(self.tell)
        self.add_row(self.tr("Photo shows"), self._width)
        self._note = QLineEdit()
        self._note.setMaxLength(300)
        self._note.editingFinished.connect(self._on_note)
        self.add_row(self.tr("Note"), self._note)
        self._whole = QPushButton(self.tr("Take the whole photo"))
        self._whole.clicked.connect(self._on_whole)
        self.add_wide(self._whole)
        self._remove = QPushButton(self.tr("Take off the shelf"))
        self._remove.clicked.connect(self.remove_asked)
        self.add_wide(self._remove)
        self._warnings = self.note("")
        self.add_wide(self._warnings)

        document.project_changed.connect(self._on_project)
        document.judged.connect(self._on_judged)
        desk.fabric_chosen.connect(self._on_chosen)

    @property
    def fabric(self) -> Fabric | None:
        """The fabric shown: the chosen one, as long as it is on the shelf."""
        if self._desk.fabric is None:
            return None
        return self._document.project.by_id().get(self._desk.fabric)

    def _on_project(self, _before: Project, _project: Project) -> None:
        self.bring_up_to_date()

    def _on_chosen(self, _fabric: object) -> None:
        self.tell("")
        self.bring_up_to_date()

    def _on_judged(self, judgement: Judgement) -> None:
        fabric = self.fabric
        if fabric is None or not self.isVisible():
            return
        there = judgement.shelf.available.get(fabric.id)
        self._there.setText(
            self.tr("as many as needed")
            if there is None
            else counted(there, self.tr("{n} wedge"), self.tr("{n} wedges"))
        )
        measured = self._document.judgement.shelf.steps[fabric.id]
        self._step.setItemText(
            0,
            self.tr("as measured: {step}").format(step=self.tr(measured))
            if fabric.step is None
            else self.tr("as measured"),
        )

    def refresh(self) -> None:
        """Show the fabric as it is."""
        fabric = self.fabric
        self.photo_table.show_fabric(fabric)
        self.title.setText(self.tr("Fabric") if fabric is None else fabric.name)
        for widget in (
            self._name, self._step, self._amounts, self._width, self._note, self._remove,
        ):  # fmt: skip
            widget.setEnabled(fabric is not None)
        self._whole.setEnabled(fabric is not None and fabric.photo is not None)
        if fabric is None:
            for line in (self._name, self._amounts, self._note):
                line.clear()
            self._width.show_length(None, "in")
            for reading in (self._value, self._there, self._warnings):
                reading.setText("")
            return
        unit = self._document.project.board.unit
        _set(self._name, fabric.name)
        _set(self._amounts, amounts_text(fabric.amounts, unit))
        _set(self._note, fabric.note)
        self._width.setEnabled(fabric.swatch is not None)
        self._width.show_length(fabric.swatch.width if fabric.swatch else None, unit)
        self._value.setText(f"{fabric.reading.value:.0f}")
        self._step.setCurrentIndex(0 if fabric.step is None else 1 + STEPS.index(fabric.step))
        self._warnings.setText(" ".join(fabric.reading.warnings))
        self._on_judged(self._document.judgement)

    def _change(self, **fields: object) -> None:
        fabric = self.fabric
        if fabric is None:
            return
        changed = msgspec.structs.replace(fabric, **fields)
        self.try_edit(self._document, partial(self._document.change_fabric, changed))
        self.refresh()

    def _on_name(self) -> None:
        fabric, name = self.fabric, " ".join(self._name.text().split())
        if fabric is None or not self._name.isModified():
            return
        self._name.setModified(False)
        if name and name != fabric.name:
            self._change(name=name)
        else:
            _set(self._name, fabric.name)

    def _on_step(self, index: int) -> None:
        self._change(step=None if index == 0 else STEPS[index - 1])

    def _on_amounts(self) -> None:
        if not self._amounts.isModified():
            return
        self._amounts.setModified(False)
        try:
            amounts = parse_amounts(self._amounts.text(), self._document.project.board.unit)
        except InvalidAmountError as error:
            self.refresh()
            self.tell(str(error))
            return
        self._change(amounts=amounts)

    def _on_note(self) -> None:
        if self._note.isModified():
            self._note.setModified(False)
            self._change(note=self._note.text().strip())

    def _on_width(self, width: Length) -> None:
        fabric = self.fabric
        if fabric is not None and fabric.swatch is not None:
            self._change(swatch=msgspec.structs.replace(fabric.swatch, width=width))

    def _on_whole(self) -> None:
        self._on_corners(WHOLE_PHOTO)

    def _on_corners(self, corners: Corners) -> None:
        """Take the swatch anew, beside the window; a later drag outdoes an earlier one."""
        fabric = self.fabric
        if fabric is None or fabric.photo is None:
            return
        width = fabric.swatch.width if fabric.swatch else None
        errand = Errand(partial(recrop, fabric, corners, width), parent=self)
        errand.finished.connect(self._on_cropped)
        errand.failed.connect(self._on_crop_failed)
        self._errand = errand
        errand.start()

    def _on_cropped(self, cropped: Fabric) -> None:
        if self.sender() is not self._errand:
            return
        self._errand = None
        present = self._document.project.by_id().get(cropped.id)
        if present is None or present.photo != cropped.photo:
            return
        self.tell("")
        self._document.change_fabric(
            msgspec.structs.replace(
                present,
                corners=cropped.corners,
                swatch=cropped.swatch,
                reading=cropped.reading,
                colour=cropped.colour,
            )
        )

    def _on_crop_failed(self, error: object) -> None:
        self._errand = None
        self.photo_table.refuse()
        self.tell(str(error))


def _set(line: QLineEdit, text: str) -> None:
    if line.text() != text:
        line.setText(text)
    line.setModified(False)
