"""The Top step: how many plates, and what lies between and around them."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QComboBox, QWidget

from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.project.edits import change_top
from quiltboard.project.project import Project
from quiltboard.quilt.board import MOST_ACROSS
from quiltboard.quilt.layout import finished_size
from quiltboard.units import Unit, format_length
from quiltboard.window.steps.cloth_field import ClothField
from quiltboard.window.steps.form import CountField, LengthField, StepPanel
from quiltboard.window.theme import Theme

_UNITS: tuple[Unit, ...] = ("in", "cm")


class TopStep(StepPanel):
    """Chooses plates across and down, sashing, border, and their cloths."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, "", "", parent)
        self.title.setText(self.tr("Top"))
        self._document = document
        self._across = self._add_count(self.tr("Plates across"), "across")
        self._down = self._add_count(self.tr("Rows down"), "down")
        self._sash = self._add_length(self.tr("Sashing"), "sash")
        self._border = self._add_length(self.tr("Border"), "border")
        self._cloths = {
            part: self._add_cloth(label, part)
            for part, label in (
                ("ground", self.tr("Background")),
                ("centre", self.tr("Centres")),
                ("sashing", self.tr("Sashing cloth")),
                ("cornerstone", self.tr("Cornerstones")),
                ("frame", self.tr("Border cloth")),
            )
        }
        self._unit = QComboBox()
        self._unit.addItems([self.tr("inches"), self.tr("centimetres")])
        self._unit.activated.connect(self._on_unit)
        self.add_row(self.tr("Lengths in"), self._unit)
        self._size = self.add_reading(self.tr("Finished"))
        self._places = self.add_reading(self.tr("Takes"))
        document.project_changed.connect(self._on_project)

    def _add_count(self, label: str, part: str) -> CountField:
        box = CountField(1, MOST_ACROSS)
        box.valueChanged.connect(partial(self._change, part))
        self.add_row(label, box)
        return box

    def _add_length(self, label: str, part: str) -> LengthField:
        field = LengthField(zero=True)
        field.entered.connect(partial(self._change, part))
        field.refused.connect(self.tell)
        self.add_row(label, field)
        return field

    def _add_cloth(self, label: str, part: str) -> ClothField:
        field = ClothField()
        field.chosen.connect(partial(self._change, part))
        field.refused.connect(self.tell)
        self.add_row(label, field)
        return field

    def _change(self, part: str, value: object) -> None:
        self.tell("")
        edit = change_top(self._document.project.board, **{part: value})
        if not self._document.do(edit, self.tr("change top")):
            self.refresh()

    def _on_unit(self, index: int) -> None:
        self._document.show_in(_UNITS[index])

    def _on_project(self, _before: Project, _project: Project) -> None:
        self.bring_up_to_date()

    def refresh(self) -> None:
        """Show the top as it is."""
        project = self._document.project
        board = project.board
        self._across.show_count(board.across)
        self._down.show_count(board.down)
        self._sash.show_length(board.sash, board.unit)
        self._border.show_length(board.border, board.unit)
        for part, field in self._cloths.items():
            field.show_cloth(getattr(board, part), project.fabrics)
        self._unit.setCurrentIndex(_UNITS.index(board.unit))
        width, height = (
            format_length(side, board.unit, with_unit=False) for side in finished_size(board)
        )
        self._size.setText(f"{width} × {height} {board.unit}")
        self._places.setText(counted(board.places, self.tr("{n} wedge"), self.tr("{n} wedges")))
