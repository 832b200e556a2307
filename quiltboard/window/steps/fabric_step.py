"""The Fabrics step: what is known of one fabric, what its photo tells, what is done with it."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import msgspec
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPolygonF
from PySide6.QtWidgets import QLineEdit, QStackedWidget, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import Corners, Fabric, FabricId
from quiltboard.fabrics.naming import new_fabric_id, unique_name
from quiltboard.fabrics.photo_work import add_to_pool, another_from, find_more
from quiltboard.photos.corners import upright_corners
from quiltboard.project.edits import ChangeSteps
from quiltboard.project.project import Project
from quiltboard.window.set_view import SetView
from quiltboard.window.steps.fabric_label import LabelSection
from quiltboard.window.steps.fabric_light import (
    ClothsSection,
    LightSection,
    ScaleSection,
    Work,
    cropped_to,
)
from quiltboard.window.steps.fabric_measures import MeasuresSection
from quiltboard.window.steps.fabric_section import FabricSection, TextField
from quiltboard.window.steps.fabric_state import StateSection
from quiltboard.window.steps.form import StepPanel
from quiltboard.window.steps.photo_bench import FROM_PHOTO, Order, PhotoBench
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.steps.set_section import SetSection
from quiltboard.window.theme import Theme

_SAME_CLOTH = 0.5
"""Where two outlines share so much of what they cover together, they are of one cloth."""


class FabricStep(StepPanel):
    """Shows and changes what is known of the fabric chosen on the shelf, or of the whole set.

    Signals
    -------
    keep_asked
        The fabric is to be kept in the stash.
    remove_asked
        The fabric is to be taken off the shelf.
    pool_photos_asked
        Photos are wanted for the pool that is shown.
    """

    keep_asked = Signal()
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
        self.bench = PhotoBench(document, self)
        self.bench.busy_changed.connect(self._on_busy_changed)
        self.bench.refused.connect(self._on_work_refused)
        self.photo_table = PhotoTable(theme)
        self.photo_table.corners_set.connect(self._on_corners)
        self.photo_table.fabric_picked.connect(desk.choose_fabric)
        self.set_view = set_view
        self.centre = QStackedWidget()
        self.centre.addWidget(set_view)
        self.centre.addWidget(self.photo_table)
        self._add_sections()
        document.project_changed.connect(self._on_project)
        document.judged.connect(self._on_judged)
        desk.fabric_chosen.connect(self._on_chosen)

    def _add_sections(self) -> None:
        theme, table = self.theme, self.photo_table
        # What must be put right stands where it is seen: under the title.
        self._column.removeWidget(self.problem)
        self._column.insertWidget(self._column.indexOf(self.title) + 1, self.problem)
        self.set_section = SetSection(theme)
        self.set_section.count_chosen.connect(self._on_step_count)
        self.add_wide(self.set_section)
        self.label = LabelSection(theme)
        self.measures = MeasuresSection(theme)
        self.light = LightSection(theme, table)
        self.scale = ScaleSection(theme, table)
        self.cloths = ClothsSection(theme)
        self.state = StateSection(theme)
        self._sections = (
            self.label, self.measures, self.light, self.scale, self.cloths, self.state,
        )  # fmt: skip
        for section in self._sections:
            section.changed.connect(self._on_changed)
            section.refused.connect(self._on_refused)
            self.add_wide(section)
        for part in (self.light, self.scale, self.cloths):
            part.work_asked.connect(self._on_work_asked)
        self.cloths.find_asked.connect(self._on_find)
        self.cloths.another_asked.connect(self._on_another)
        self.cloths.corners_asked.connect(self._on_corners)
        self.state.photos_asked.connect(self.pool_photos_asked)
        self.acts = FabricSection(theme, self.tr("This fabric"))
        self.acts.add_buttons(
            (self.tr("Keep in the stash"), self.keep_asked.emit),
            (self.tr("Take off the shelf"), self.remove_asked.emit),
            (self.tr("See the whole set"), self._on_whole_set),
        )
        self.add_wide(self.acts)

    @property
    def fabric(self) -> Fabric | None:
        """The fabric shown: the chosen one, as long as it is on the shelf."""
        if self._desk.fabric is None:
            return None
        return self._document.project.by_id().get(self._desk.fabric)

    def add_pool_photos(self, photos: list[Path]) -> None:
        """Add photos to the pool that is shown."""
        if photos:
            self._on_work_asked(partial(_pooled, photos), "")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put the tool in the hand off with Escape, wherever the keyboard is."""
        if event.key() == Qt.Key.Key_Escape and self.photo_table.tool is not None:
            self.photo_table.put_down()
            event.accept()
            return
        super().keyPressEvent(event)

    # What is shown.

    def _on_project(self, _before: Project, _project: Project) -> None:
        self.bring_up_to_date()

    def _on_chosen(self, _fabric: object) -> None:
        # What was being typed was meant for the fabric before.
        for field in self.findChildren(TextField):
            field.give_up()
        for line in self.findChildren(QLineEdit):
            line.setModified(False)
        self.tell("")
        self.bring_up_to_date()
        self.verticalScrollBar().setValue(0)

    def _on_judged(self, judgement: Judgement) -> None:
        if not self.isVisible():
            return
        project, fabric = self._document.project, self.fabric
        steps = judgement.shelf.steps
        if fabric is None:
            self.set_section.show_set(project.board.step_count, steps, project.by_id())
            return
        there = judgement.shelf.available.get(fabric.id)
        self.label.gives.setText(
            self.tr("as many as needed")
            if there is None
            else counted(there, self.tr("{n} wedge"), self.tr("{n} wedges"))
        )
        self.measures.show_step(steps[fabric.id], project.board.step_count)

    def refresh(self) -> None:
        """Show the fabric as it is, or the set."""
        fabric, board = self.fabric, self._document.project.board
        siblings = self._siblings(fabric)
        self.centre.setCurrentWidget(self.set_view if fabric is None else self.photo_table)
        coming = None if fabric is None else self.bench.corners_coming(fabric.id)
        self.photo_table.show_fabric(fabric, siblings, board.unit, coming)
        self.title.setText(self.tr("The whole set") if fabric is None else fabric.name)
        self.set_section.setVisible(fabric is None)
        self.acts.setVisible(fabric is not None)
        self.measures.setVisible(fabric is not None)
        self.measures.show_wedge(board.wedge)
        for section in self._sections:
            section.show_fabric(fabric, board.unit)
        self.cloths.show_siblings(len(siblings))
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

    def _on_step_count(self, count: int) -> None:
        edit = ChangeSteps(count)
        self.try_edit(
            self._document, partial(self._document.do, edit, self.tr("change value steps"))
        )

    def _on_refused(self, sentence: str) -> None:
        self.refresh()
        self.tell(sentence)

    def _on_whole_set(self) -> None:
        self._desk.choose_fabric(None)

    def tell(self, sentence: str) -> None:
        """Say what must be put right, in view; an empty sentence takes it back."""
        super().tell(sentence)
        if sentence:
            self.verticalScrollBar().setValue(0)

    # What takes a while, and is done beside the window.

    def _on_busy_changed(self, busy: bool) -> None:
        self.photo_table.show_busy(self.tr("Measuring…") if busy else "")

    def _on_work_refused(self, fabric_id: FabricId, sentence: str) -> None:
        shown = self.fabric
        if shown is not None and shown.id == fabric_id:
            self.refresh()
            self.tell(sentence)
            return
        other = self._document.project.by_id().get(fabric_id)
        if other is not None:
            self.tell(f"{other.name}: {sentence}")

    def _on_corners(self, corners: Corners) -> None:
        fabric = self.fabric
        if fabric is not None:
            work = cropped_to(corners)
            self._take(Order(fabric.id, work, self._on_worked, "corners", corners))

    def _on_work_asked(self, work: Work, kind: str) -> None:
        fabric = self.fabric
        if fabric is not None:
            self._take(Order(fabric.id, work, self._on_worked, kind))

    def _take(self, order: Order) -> None:
        self.tell("")
        self.bench.take(order)

    def _on_worked(self, fabric: Fabric, worked: object) -> None:
        """Take over what comes from the photo; what was changed meanwhile stays."""
        present = self._document.project.by_id().get(fabric.id)
        if present is None or not isinstance(worked, Fabric):
            return
        from_photo = {field: getattr(worked, field) for field in FROM_PHOTO}
        changed = msgspec.structs.replace(present, **from_photo)
        self.try_edit(self._document, partial(self._document.change_fabric, changed))

    def _on_find(self) -> None:
        fabric = self.fabric
        if fabric is not None:
            known = [fabric, *self._siblings(fabric)]
            outlines = [other.corners for other in known]
            self._take(Order(fabric.id, partial(_cut_more, outlines), self._on_found, "find"))

    def _on_found(self, fabric: Fabric, found: object) -> None:
        """Put the cloths that were found on the shelf, in one step of undo."""
        outlines = [other.corners for other in (fabric, *self._siblings(fabric))]
        made = [
            other
            for other in (found if isinstance(found, tuple) else ())
            if isinstance(other, Fabric) and _is_new(other.corners, outlines)
        ]
        if not made:
            self.tell(
                self.tr(
                    "No other cloth was found in this photo. “Another cloth” cuts one out, "
                    "whose corners you set."
                )
            )
        elif self._add(made, fabric):
            self.tell(
                counted(
                    len(made),
                    self.tr("{n} more cloth was found; it is on the shelf."),
                    self.tr("{n} more cloths were found; they are on the shelf."),
                )
            )

    def _on_another(self) -> None:
        fabric = self.fabric
        if fabric is not None:
            self._take(Order(fabric.id, _cut_another, self._on_cut))

    def _on_cut(self, fabric: Fabric, made: object) -> None:
        if (
            isinstance(made, Fabric)
            and self._add([made], fabric)
            and self._desk.fabric == fabric.id
        ):
            self._desk.choose_fabric(made.id)

    def _add(self, made: list[Fabric], source: Fabric) -> bool:
        """Put fabrics on the shelf, each named after the one whose photo they came from."""
        present = self._document.project.by_id().get(source.id, source)
        taken = {other.name.casefold() for other in self._document.project.fabrics}
        named = []
        for fabric in made:
            name = unique_name(present.name, taken)
            taken.add(name.casefold())
            named.append(msgspec.structs.replace(fabric, name=name))
        return self.try_edit(self._document, partial(self._document.add_fabrics, tuple(named)))


# A fabric comes last, so that everything before it can be bound.


def _pooled(photos: list[Path], fabric: Fabric) -> Fabric:
    return add_to_pool(fabric, photos)


def _cut_another(fabric: Fabric) -> Fabric:
    """Cut one more fabric out of the middle of a photo, for its corners to be dragged."""
    middle = upright_corners(0.35, 0.35, 0.65, 0.65)
    return another_from(fabric, middle, fabric.name, new_fabric_id())


def _cut_more(known: list[Corners], fabric: Fabric) -> tuple[Fabric, ...]:
    """Cut every cloth out of a photo that is not known yet."""
    return tuple(
        another_from(fabric, corners, fabric.name, new_fabric_id())
        for corners in find_more(fabric)
        if _is_new(corners, known)
    )


def _is_new(corners: Corners, known: list[Corners]) -> bool:
    return all(_overlap(corners, other) <= _SAME_CLOTH for other in known)


def _overlap(one: Corners, other: Corners) -> float:
    """Tell how much two outlines' upright frames share, of what they cover together."""
    a, b = _frame(one), _frame(other)
    shared = a.intersected(b)
    both = shared.width() * shared.height()
    return both / (a.width() * a.height() + b.width() * b.height() - both)


def _frame(corners: Corners) -> QRectF:
    return QPolygonF([QPointF(x, y) for x, y in corners]).boundingRect()
