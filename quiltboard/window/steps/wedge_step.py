"""The Wedge step: how many to a ring, its cut measures, and what they come to."""

from __future__ import annotations

from functools import partial

import msgspec
from PySide6.QtWidgets import QPushButton, QWidget

from quiltboard.document.document import Document
from quiltboard.project.project import Project
from quiltboard.shapes.wedge import (
    FEWEST_WEDGES,
    MOST_WEDGES,
    InvalidWedgeError,
    Wedge,
    draft_wedge,
    reach_mm,
    usual_wedge,
)
from quiltboard.units import Length, format_length, length_from_mm, to_mm
from quiltboard.window.steps.form import CountField, LengthField, StepPanel
from quiltboard.window.steps.wedge_drawing import WedgeDrawing
from quiltboard.window.theme import Theme


class WedgeStep(StepPanel):
    """Chooses the wedge that every ring is made of."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, "", "", parent)
        self.title.setText(self.tr("Wedge"))
        self._document = document
        self._count = CountField(FEWEST_WEDGES, MOST_WEDGES)
        self._count.valueChanged.connect(self._on_count)
        self.add_row(self.tr("Wedges to a ring"), self._count)
        self._length = self._add_length(self.tr("Length, cut"))
        self._length.entered.connect(self._on_length)
        self._narrow = self._add_length(self.tr("Narrow end, cut"))
        self._narrow.entered.connect(self._on_narrow)
        self._seam = self._add_length(self.tr("Seam allowance"))
        self._seam.entered.connect(self._on_seam)
        self._usual = QPushButton(self.tr("Usual wedge for this block"))
        self._usual.clicked.connect(self._on_usual)
        self.add_wide(self._usual)
        self._drawing = WedgeDrawing(theme)
        self.add_wide(self._drawing)
        self.add_wide(self.note(self.tr("Cut strips as wide as the wedge is long.")))
        self._wide = self.add_reading(self.tr("Wide end, cut"))
        self._plate = self.add_reading(self.tr("Plate across"))
        self._clear = self.add_reading(self.tr("Tip to block seam"))
        self._opening = self.add_reading(self.tr("Centre opening"))
        self._centre = self.add_reading(self.tr("Centre circle"))
        self._angle = self.add_reading(self.tr("Angle"))
        document.project_changed.connect(self._on_project)

    def _add_length(self, label: str) -> LengthField:
        field = LengthField()
        field.refused.connect(self.tell)
        self.add_row(label, field)
        return field

    def _change(self, **measures: int) -> None:
        self._take(msgspec.structs.replace(self._document.project.board.wedge, **measures))

    def _take(self, wedge: Wedge) -> None:
        if not self.try_edit(self._document, partial(self._document.change_wedge, wedge)):
            self.refresh()

    def _on_count(self, n: int) -> None:
        """Take the usual wedge of so many: its measures hang together."""
        board = self._document.project.board
        try:
            self._take(usual_wedge(n, board.block, board.wedge.seam))
        except InvalidWedgeError as error:
            self.tell(str(error))
            self.refresh()

    def _on_length(self, length: Length) -> None:
        self._change(length=length)

    def _on_narrow(self, narrow: Length) -> None:
        self._change(narrow=narrow)

    def _on_seam(self, seam: Length) -> None:
        self._change(seam=seam)

    def _on_usual(self) -> None:
        self._on_count(self._document.project.board.wedge.n)

    def _on_project(self, _before: Project, _project: Project) -> None:
        self.bring_up_to_date()

    def refresh(self) -> None:
        """Show the wedge as it is, and what it comes to."""
        board = self._document.project.board
        wedge, unit = board.wedge, board.unit
        drafted = draft_wedge(wedge)
        self._drawing.show_wedge(drafted)
        self._count.show_count(wedge.n)
        for field, length in (
            (self._length, wedge.length),
            (self._narrow, wedge.narrow),
            (self._seam, wedge.seam),
        ):
            field.show_length(length, unit)

        def said(mm: float) -> str:
            return format_length(length_from_mm(mm), unit, finest=16)

        self._wide.setText(said(drafted.wide))
        self._plate.setText(said(drafted.plate))
        self._clear.setText(said(to_mm(board.block) / 2 - reach_mm(drafted)))
        self._opening.setText(said(2 * drafted.opening))
        self._centre.setText(
            self.tr("{finished}, cut {cut}").format(
                finished=format_length(drafted.centre_finished, unit, rounding="up"),
                cut=format_length(drafted.centre_cut, unit, rounding="up"),
            )
        )
        self._angle.setText(
            self.tr("{each}° each, {base}° at the narrow end").format(
                each=f"{360 / wedge.n:g}"[:6], base=f"{drafted.base_angle_deg:g}"[:6]
            )
        )
