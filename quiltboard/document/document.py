"""The document: holds the present project, and alone changes it and announces changes."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from quiltboard.document.jobs import Errand
from quiltboard.errands.judge import Judgement, judge
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.project.edits import (
    AddFabrics,
    ChangeFabric,
    ChangeWedge,
    CopyOrder,
    Edit,
    InvalidEditError,
    LayOut,
    PinWedges,
    PlaceFabric,
    RemoveFabric,
    Rename,
    ShowIn,
    SwapWedges,
    TurnRing,
)
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell
from quiltboard.shapes.wedge import Wedge
from quiltboard.store.journal import Journal
from quiltboard.store.safe_write import StoreError
from quiltboard.units import Unit

_log = logging.getLogger(__name__)

NO_LOT: Final = -1
"""The id of a command that Qt merges with none."""


class EditCommand(QUndoCommand):
    """Edits that are one step of undo: the project before them and after them.

    Commands of one lot, one after the other, become one; every edit stands in the journal by
    itself.
    """

    def __init__(
        self, document: Document, edit: Edit, after: Project, text: str, lot: int = NO_LOT
    ) -> None:
        super().__init__(text)
        self._document = document
        self.edits = [edit]
        self._before = document.project
        self.after = after
        self._lot = lot
        self._fresh = True

    def id(self) -> int:
        """Tell which lot it belongs to; Qt asks."""
        return self._lot

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take in the next edit of the same lot; Qt asks where both have one id."""
        if not isinstance(other, EditCommand):
            return False
        self.edits += other.edits
        self.after = other.after
        return True

    def redo(self) -> None:
        """Set the project after the edits."""
        for edit in self.edits:
            self._document.note_done(edit if self._fresh else None)
        self._fresh = False
        self._document.set_project(self.after)

    def undo(self) -> None:
        """Set the project before the edits."""
        for _ in self.edits:
            self._document.note_undone()
        self._document.set_project(self._before)


class Document(QObject):
    """The open project.

    Signals
    -------
    project_changed
        The project before and the project now.
    judged
        What is known of the project now, after every change.
    place_changed
        The file it lives in, or None.
    modified_changed
        Whether something is unsaved.
    refused
        A sentence: an edit that cannot be made; nothing was changed.
    told
        A sentence worth reading that is no refusal.
    """

    project_changed = Signal(object, object)
    judged = Signal(object)
    place_changed = Signal(object)
    modified_changed = Signal(bool)
    refused = Signal(str)
    told = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._project = new_project()
        self._judgement = judge(self._project)
        self._path: Path | None = None
        self._revision = 0
        self.journal: Journal | None = None
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(1000)
        self.undo_stack.cleanChanged.connect(self._on_clean_changed)
        self._unsaved_elsewhere = False
        self._flush = QTimer(self)
        self._flush.setInterval(1000)
        self._flush.timeout.connect(self._on_flush)

    @property
    def project(self) -> Project:
        """The project as it is now."""
        return self._project

    @property
    def judgement(self) -> Judgement:
        """What is known of the project as it is now."""
        return self._judgement

    @property
    def path(self) -> Path | None:
        """The file the project lives in."""
        return self._path

    @property
    def revision(self) -> int:
        """Counts every change; a result made for another revision is stale."""
        return self._revision

    @property
    def modified(self) -> bool:
        """Whether something is unsaved."""
        return self._unsaved_elsewhere or not self.undo_stack.isClean()

    def do(self, edit: Edit, text: str, lot: int = NO_LOT) -> bool:
        """Make an edit; the one way in which the project changes.

        Parameters
        ----------
        edit
            What to do.
        text
            What undo calls it.
        lot
            Edits of one lot that follow each other are one step of undo.

        Returns
        -------
        bool
            False if the edit cannot be made (``refused`` says why) or changes nothing.
        """
        try:
            after = edit.apply(self._project)
        except InvalidEditError as error:
            self.refused.emit(str(error))
            return False
        if after == self._project:
            return False
        self.undo_stack.push(EditCommand(self, edit, after, text, lot))
        return True

    def preview(self, edit: Edit) -> Judgement | None:
        """Tell what an edit would come to, without making it; None if it cannot be made."""
        try:
            return judge(edit.apply(self._project))
        except InvalidEditError:
            return None

    # What the maker does, in her words.

    def place_fabric(self, cells: tuple[Cell, ...], fabric: FabricId) -> bool:
        """Lay a fabric on wedges."""
        return self.do(PlaceFabric(cells, fabric), self.tr("lay fabric"))

    def clear_wedges(self, cells: tuple[Cell, ...]) -> bool:
        """Take the pieces off wedges."""
        return self.do(PlaceFabric(cells, None), self.tr("take off"))

    def swap_wedges(self, first: Cell, second: Cell) -> bool:
        """Let two pieces change places."""
        return self.do(SwapWedges(first, second), self.tr("swap"))

    def turn_ring(self, block: int, by: int) -> bool:
        """Turn a ring clockwise by some wedges."""
        return self.do(TurnRing(block, by), self.tr("turn ring"))

    def pin_wedges(self, cells: tuple[Cell, ...], *, pinned: bool) -> bool:
        """Pin pieces where they are, or take the pins out."""
        text = self.tr("pin") if pinned else self.tr("take pin out")
        return self.do(PinWedges(cells, pinned), text)

    def copy_order(self, source: int, targets: tuple[int, ...]) -> bool:
        """Lay other plates in the order of one."""
        return self.do(CopyOrder(source, targets), self.tr("copy order"))

    def lay_out(self, cells: tuple[tuple[FabricId | None, ...], ...]) -> bool:
        """Lay the whole board, as a deal does."""
        return self.do(LayOut(cells), self.tr("deal"))

    def add_fabrics(self, fabrics: tuple[Fabric, ...], lot: int = NO_LOT) -> bool:
        """Put fabrics on the shelf; those of one lot can be taken off again in one step."""
        return bool(fabrics) and self.do(AddFabrics(fabrics), self.tr("add fabrics"), lot)

    def change_fabric(self, fabric: Fabric) -> bool:
        """Change what is known of a fabric."""
        return self.do(ChangeFabric(fabric), self.tr("change fabric"))

    def remove_fabric(self, fabric: FabricId) -> bool:
        """Take a fabric off the shelf and the board."""
        return self.do(RemoveFabric(fabric), self.tr("remove fabric"))

    def change_wedge(self, wedge: Wedge) -> bool:
        """Make every ring of another wedge."""
        return self.do(ChangeWedge(wedge), self.tr("change wedge"))

    def rename(self, title: str) -> bool:
        """Call the quilt something else."""
        return self.do(Rename(title), self.tr("rename"))

    def show_in(self, unit: Unit) -> bool:
        """Show lengths in inches or centimetres."""
        return self.do(ShowIn(unit), self.tr("change unit"))

    # Where it lives.

    def begin(
        self, project: Project, path: Path | None = None, *, unsaved: bool = False
    ) -> None:
        """Take up another project; the undo stack starts anew.

        Parameters
        ----------
        project
            What to take up.
        path
            The file it lives in.
        unsaved
            Whether it holds work that is in no file (recovered, or the demo's copy).
        """
        self._unsaved_elsewhere = unsaved
        self.undo_stack.clear()
        self._path = path
        journal = self.journal
        if journal is not None:
            self._note(partial(journal.rebase, project, path, saved=not unsaved))
        self.set_project(project)
        self.place_changed.emit(path)
        self.modified_changed.emit(self.modified)

    def retrace(
        self, base: Project, edits: Sequence[Edit], done: int, path: Path | None
    ) -> None:
        """Take up recovered work edit by edit, so that undo and redo reach back into it.

        Parameters
        ----------
        base, edits, done
            Where it started, its edits in order, and how many of them stand.
        path
            The board file it lived in.
        """
        self.begin(base, path, unsaved=True)
        for edit in edits:
            self.do(edit, self.tr("recovered change"))
        self.undo_stack.setIndex(done)

    def saved(self, path: Path, project: Project) -> None:
        """Note that a project has been written to a file.

        Where the maker went on working meanwhile, the newer work still counts as unsaved.
        """
        self._path = path
        if project is self._project:
            self._unsaved_elsewhere = False
            self.undo_stack.setClean()
            journal = self.journal
            if journal is not None:
                self._note(partial(journal.mark_saved, path))
        self.place_changed.emit(path)
        self.modified_changed.emit(self.modified)

    def keep_journal(self, journal: Journal | None) -> None:
        """Keep a recovery journal from now on."""
        self.journal = journal
        if journal is None:
            self._flush.stop()
        else:
            self._flush.start()

    def close(self) -> None:
        """Let go: the journal is not needed any more."""
        self._flush.stop()
        self.undo_stack.blockSignals(True)  # it outlives, for a moment, those who listen
        if self.journal is not None:
            self._note(self.journal.close)
            self.journal = None

    def set_project(self, project: Project) -> None:
        """Set the project; only for the commands on the undo stack."""
        before, self._project = self._project, project
        self._revision += 1
        self._judgement = judge(project)
        self.project_changed.emit(before, project)
        self.judged.emit(self._judgement)

    def note_done(self, edit: Edit | None) -> None:
        """Note an edit in the journal; None for one that was undone and is made again."""
        journal = self.journal
        if journal is not None:
            self._note(journal.redo if edit is None else partial(journal.append, edit))

    def note_undone(self) -> None:
        """Note in the journal that an edit was undone."""
        if self.journal is not None:
            self._note(self.journal.undo)

    def _note(self, write: Callable[[], None]) -> None:
        """Write to the journal; where that fails, work goes on and the maker is told once."""
        try:
            write()
        except StoreError as error:
            self._on_journal_failed(error)

    def _on_journal_failed(self, error: object) -> None:
        _log.info("the journal cannot be kept: %s", error)
        self.told.emit(
            self.tr("A crash would lose unsaved work: the recovery notes cannot be written.")
        )

    def _on_clean_changed(self, _clean: bool) -> None:
        self.modified_changed.emit(self.modified)

    def _on_flush(self) -> None:
        """Make the journal last, in a thread: a slow disk must not hold the window up."""
        if self.journal is not None:
            errand = Errand(self.journal.flush_due, parent=self)
            errand.failed.connect(self._on_journal_failed)
            errand.finished.connect(errand.deleteLater)
            errand.start()
