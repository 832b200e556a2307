"""The Fabrics step: what is known of one fabric, what its photo tells, what is done with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import msgspec
from PySide6.QtCore import QPointF, QRectF, Signal
from PySide6.QtGui import QPolygonF
from PySide6.QtWidgets import QPushButton, QStackedWidget, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.jobs import Errand
from quiltboard.document.wording import counted
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.amounts import InvalidAmountError, amounts_text, parse_amounts
from quiltboard.fabrics.fabric import Corners, Fabric
from quiltboard.fabrics.naming import LONGEST_NAME, new_fabric_id, unique_name
from quiltboard.fabrics.photo_work import add_to_pool, another_from, find_more
from quiltboard.photos.corners import upright_corners
from quiltboard.project.project import Project
from quiltboard.window.set_view import SetView
from quiltboard.window.steps.fabric_light import (
    ClothsSection,
    LightSection,
    ScaleSection,
    Work,
    cropped_to,
)
from quiltboard.window.steps.fabric_measures import MeasuresSection
from quiltboard.window.steps.fabric_section import TextField
from quiltboard.window.steps.fabric_state import StateSection
from quiltboard.window.steps.form import StepPanel
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.theme import Theme

LONGEST_NOTE = 300
LONGEST_AMOUNTS = 1000
_SAME_CLOTH = 0.5
"""Where two outlines share so much of what they cover together, they are of one cloth."""


class FabricStep(StepPanel):
    """Shows and changes what is known of the fabric chosen on the shelf.

    Signals
    -------
    remove_asked
        The fabric is to be taken off the shelf.
    pool_photos_asked
        Photos are wanted for the pool that is shown.
    """

    remove_asked = Signal()
    pool_photos_asked = Signal()

    def __init__(
        self,
        document: Document,
        desk: Desk,
        theme: Theme,
        set_view: SetView,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(theme, "", "", parent)
        self._document = document
        self._desk = desk
        self._errand: Errand | None = None
        self.photo_table = PhotoTable(theme)
        self.photo_table.corners_set.connect(self._on_corners)
        self.photo_table.fabric_picked.connect(desk.choose_fabric)
        self.set_view = set_view
        self.centre = QStackedWidget()
        self.centre.addWidget(set_view)
        self.centre.addWidget(self.photo_table)

        self._name = TextField(LONGEST_NAME)
        self._name.entered.connect(self._on_name)
        self.add_row(self.tr("Name"), self._name)
        self._amounts = TextField(LONGEST_AMOUNTS, self.tr("as much as needed"))
        self._amounts.setToolTip(
            self.tr("What there is: 8 wedges, 1/2 yd, 18 in x 21 in; several with a plus")
        )
        self._amounts.entered.connect(self._on_amounts)
        self.add_row(self.tr("There is"), self._amounts)
        self._there = self.add_reading(self.tr("Gives"))
        self._note = TextField(LONGEST_NOTE)
        self._note.entered.connect(partial(self._change_one, "note"))
        self.add_row(self.tr("Note"), self._note)
        self._warnings = self.note("")
        self.add_wide(self._warnings)
        self.measures = MeasuresSection(theme)
        self.light = LightSection(theme, self.photo_table)
        self.scale = ScaleSection(theme, self.photo_table)
        self.cloths = ClothsSection(theme)
        self.state = StateSection(theme)
        self._sections = (self.measures, self.light, self.scale, self.cloths, self.state)
        for section in self._sections:
            section.changed.connect(self._on_changed)
            section.refused.connect(self._on_refused)
            self.add_wide(section)
        for part in (self.light, self.scale, self.cloths):
            part.work_asked.connect(self._work)
        self.cloths.find_asked.connect(self._on_find)
        self.cloths.another_asked.connect(self._on_another)
        self.state.photos_asked.connect(self.pool_photos_asked)
        self._whole_set = QPushButton(self.tr("Look at the whole set"))
        self._whole_set.clicked.connect(partial(desk.choose_fabric, None))
        self.add_wide(self._whole_set)
        self._remove = QPushButton(self.tr("Take off the shelf"))
        self._remove.clicked.connect(self.remove_asked)
        self.add_wide(self._remove)

        document.project_changed.connect(self._on_project)
        document.judged.connect(self._on_judged)
        desk.fabric_chosen.connect(self._on_chosen)

    @property
    def fabric(self) -> Fabric | None:
        """The fabric shown: the chosen one, as long as it is on the shelf."""
        if self._desk.fabric is None:
            return None
        return self._document.project.by_id().get(self._desk.fabric)

    def add_pool_photos(self, photos: list[Path]) -> None:
        """Add photos to the pool that is shown."""
        if photos:
            self._work(partial(_pooled, photos))

    # What is shown.

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
        self.measures.show_step(judgement.shelf.steps[fabric.id])

    def refresh(self) -> None:
        """Show the fabric as it is."""
        fabric = self.fabric
        project = self._document.project
        unit = project.board.unit
        self.centre.setCurrentWidget(self.set_view if fabric is None else self.photo_table)
        self.photo_table.show_fabric(fabric, self._siblings(fabric), unit)
        self.title.setText(self.tr("Fabric") if fabric is None else fabric.name)
        for widget in (
            self._name, self._amounts, self._note, self._whole_set, self._remove,
        ):  # fmt: skip
            widget.setEnabled(fabric is not None)
        for section in self._sections:
            section.show_fabric(fabric, unit)
        if fabric is None:
            for line in (self._name, self._amounts, self._note):
                line.show_text("")
            for reading in (self._there, self._warnings):
                reading.setText("")
            return
        self._name.show_text(fabric.name)
        self._amounts.show_text(amounts_text(fabric.amounts, unit))
        self._note.show_text(fabric.note)
        self._warnings.setText(" ".join(fabric.reading.warnings))
        self._on_judged(self._document.judgement)

    def _siblings(self, fabric: Fabric | None) -> list[Fabric]:
        """Find the other fabrics that were cut from the same photo."""
        if fabric is None or fabric.photo is None:
            return []
        photo = fabric.photo
        return [
            other
            for other in self._document.project.fabrics
            if other.id != fabric.id and other.photo == photo
        ]

    # What is changed at once.

    def _on_changed(self, fields: dict[str, object]) -> None:
        fabric = self.fabric
        if fabric is None:
            return
        changed = msgspec.structs.replace(fabric, **fields)
        self.try_edit(self._document, partial(self._document.change_fabric, changed))
        self.refresh()

    def _change_one(self, field: str, value: object) -> None:
        self._on_changed({field: value})

    def _on_refused(self, sentence: str) -> None:
        self.refresh()
        self.tell(sentence)

    def _on_name(self, text: str) -> None:
        name = " ".join(text.split())
        if name:
            self._change_one("name", name)
        else:
            self.refresh()

    def _on_amounts(self, text: str) -> None:
        try:
            amounts = parse_amounts(text, self._document.project.board.unit)
        except InvalidAmountError as error:
            self._on_refused(str(error))
            return
        self._change_one("amounts", amounts)

    # What takes a while, and is done beside the window.

    def _on_corners(self, corners: Corners) -> None:
        self._work(cropped_to(corners))

    def _work(self, work: Work) -> None:
        """Do something with the photo; a later work outdoes an earlier one."""
        fabric = self.fabric
        if fabric is not None:
            self._begin(partial(work, fabric), self._on_worked)

    def _begin(self, function: Callable[[], object], then: Callable[[object], None]) -> None:
        errand = Errand(function, parent=self)
        errand.finished.connect(partial(self._on_done, errand, then))
        errand.failed.connect(partial(self._on_failed, errand))
        self._errand = errand
        errand.start()

    def _on_done(self, errand: Errand, then: Callable[[object], None], result: object) -> None:
        if errand is self._errand:
            self._errand = None
            self.tell("")
            then(result)
        errand.deleteLater()

    def _on_failed(self, errand: Errand, error: object) -> None:
        if errand is self._errand:
            self._errand = None
            self.photo_table.refuse()
            self.tell(str(error))
        errand.deleteLater()

    def _on_worked(self, worked: object) -> None:
        """Take over what comes from the photo; what was changed meanwhile stays."""
        if not isinstance(worked, Fabric):
            return
        present = self._document.project.by_id().get(worked.id)
        if present is None or present.photo != worked.photo:
            return
        self._document.change_fabric(
            msgspec.structs.replace(
                present,
                corners=worked.corners,
                swatch=worked.swatch,
                reading=worked.reading,
                colour=worked.colour,
                lighting=worked.lighting,
                ruler=worked.ruler,
                pool=worked.pool,
            )
        )

    def _on_find(self) -> None:
        fabric = self.fabric
        if fabric is not None:
            known = (fabric, *self._siblings(fabric))
            names = [other.name for other in self._document.project.fabrics]
            self._begin(partial(_cut_more, fabric, known, names), self._on_found)

    def _on_found(self, made: object) -> None:
        if not isinstance(made, tuple):
            return
        if made:
            self._document.add_fabrics(made)
        else:
            self.tell(
                self.tr(
                    "No other cloth was found in this photo. “Another cloth in it” lets you set "
                    "the corners yourself."
                )
            )

    def _on_another(self) -> None:
        fabric = self.fabric
        if fabric is not None:
            names = [other.name for other in self._document.project.fabrics]
            self._begin(partial(_cut_another, fabric, names), self._on_cut)

    def _on_cut(self, made: object) -> None:
        if isinstance(made, Fabric) and self._document.add_fabrics((made,)):
            self._desk.choose_fabric(made.id)


def _pooled(photos: list[Path], fabric: Fabric) -> Fabric:
    return add_to_pool(fabric, photos)


def _cut_another(fabric: Fabric, names: list[str]) -> Fabric:
    """Cut one more fabric out of the middle of a photo, for its corners to be dragged."""
    middle = upright_corners(0.35, 0.35, 0.65, 0.65)
    name = unique_name(fabric.name, {name.casefold() for name in names})
    return another_from(fabric, middle, name, new_fabric_id())


def _cut_more(
    fabric: Fabric, known: tuple[Fabric, ...], names: list[str]
) -> tuple[Fabric, ...]:
    """Cut every cloth out of a photo that is not on the shelf yet."""
    taken = {name.casefold() for name in names}
    made = []
    for corners in find_more(fabric):
        if any(_overlap(corners, other.corners) > _SAME_CLOTH for other in known):
            continue
        name = unique_name(fabric.name, taken)
        taken.add(name.casefold())
        made.append(another_from(fabric, corners, name, new_fabric_id()))
    return tuple(made)


def _overlap(one: Corners, other: Corners) -> float:
    """Tell how much two outlines' upright frames share, of what they cover together."""
    a, b = _frame(one), _frame(other)
    shared = a.intersected(b)
    both = shared.width() * shared.height()
    return both / (a.width() * a.height() + b.width() * b.height() - both)


def _frame(corners: Corners) -> QRectF:
    return QPolygonF([QPointF(x, y) for x, y in corners]).boundingRect()
