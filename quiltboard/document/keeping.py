"""Keeping: opening, saving, recent boards, and what a crash left behind."""

from __future__ import annotations

import logging
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from quiltboard.document.document import Document
from quiltboard.document.jobs import Errand
from quiltboard.document.wording import counted
from quiltboard.errands.sample import open_sample
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.preview import preview_image, preview_png
from quiltboard.project.project import Project, new_project
from quiltboard.store.board_file import PREVIEW, SUFFIX, Opened, open_board, save_board
from quiltboard.store.journal import Journal
from quiltboard.store.recovery import Leftover, find_leftovers
from quiltboard.store.safe_write import StoreError
from quiltboard.store.settings import (
    Settings,
    folders,
    read_settings,
    with_recent,
    without_recent,
    write_settings,
)

_log = logging.getLogger(__name__)


class Keeping(QObject):
    """Opens and saves beside the window, so that nothing holds it up.

    Signals
    -------
    opened
        Sentences about what was decided while opening; often none.
    saved
        The file that was written.
    failed
        A sentence; the document and the old file are as they were.
    recent_changed
        The list of recent boards has changed.
    busy_changed
        Whether a file is being read or written.
    """

    opened = Signal(tuple)
    saved = Signal(object)
    failed = Signal(str)
    recent_changed = Signal()
    busy_changed = Signal(bool)

    def __init__(
        self, document: Document, book: ClothBook, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._book = book
        self._document = document
        self._settings = read_settings()
        self._errand: Errand | None = None
        self._then: Callable[[Any], None] | None = None

    @property
    def settings(self) -> Settings:
        """What is remembered between windows."""
        return self._settings

    def remember(self, settings: Settings) -> None:
        """Remember something between windows; where that fails, until this one closes."""
        if settings == self._settings:
            return
        recent = self._settings.recent
        self._settings = settings
        try:
            write_settings(settings)
        except StoreError as error:
            _log.info("settings cannot be written: %s", error)
        if settings.recent != recent:
            self.recent_changed.emit()

    @property
    def busy(self) -> bool:
        """Whether a file is being read or written."""
        return self._errand is not None

    def new(self) -> None:
        """Take up an empty board."""
        self._document.begin(new_project())
        self.opened.emit(())

    def open(self, path: Path) -> None:
        """Open a board; the present one stays until the other is read whole."""
        if not path.exists():
            self.remember(without_recent(self._settings, path))
        self._run(partial(open_board, path), partial(self._on_opened, path))

    def open_demo(self) -> None:
        """Open the demo board as new work: saving it asks for a name."""
        self._run(open_sample, self._on_demo)

    def save(self, path: Path) -> None:
        """Save the board as it is now; work may go on meanwhile."""
        path = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
        project = self._document.project
        image = preview_image(project, self._book)
        self._run(partial(_write, project, path, image), partial(self._on_saved, path, project))

    def start_journal(self) -> None:
        """Begin the recovery journal; without one, work goes on."""
        try:
            journal = Journal.start(
                folders().journals, self._document.project, self._document.path
            )
        except StoreError as error:
            _log.info("no recovery journal: %s", error)
            return
        self._document.keep_journal(journal)

    def leftovers(self) -> list[Leftover]:
        """Find work that a crash left behind, newest first."""
        try:
            return find_leftovers(folders().journals)
        except (StoreError, OSError) as error:
            _log.info("leftovers cannot be read: %s", error)
            return []

    def recover(self, leftover: Leftover) -> None:
        """Take up what a crash left behind, as unsaved work that can be undone step by step."""
        try:
            found = leftover.recover()
        except StoreError as error:
            self.failed.emit(str(error))
            return
        self._document.retrace(found.base, found.edits, found.done, found.board_path)
        if self._document.journal is not None:
            self._document.journal.settle()
        leftover.discard()
        lost = counted(
            found.lost,
            self.tr("{n} last change could not be read and is lost."),
            self.tr("{n} last changes could not be read and are lost."),
        )
        self.opened.emit((lost,) if found.lost else ())

    def _run(self, work: Callable[[], object], then: Callable[[Any], None]) -> None:
        if self._errand is not None:
            self.failed.emit(self.tr("Another board is still being read or written."))
            return
        errand = Errand(work, parent=self)
        self._errand = errand
        self._then = then
        errand.finished.connect(self._on_finished)
        errand.failed.connect(self._on_failed)
        errand.start()
        self.busy_changed.emit(True)

    def _on_finished(self, result: object) -> None:
        then, self._then = self._then, None
        self._put_by()
        if then is not None:
            then(result)

    def _on_failed(self, error: object) -> None:
        self._put_by()
        if isinstance(error, StoreError):
            self.failed.emit(str(error))
            return
        _log.error("a board could not be read or written: %r", error)
        self.failed.emit(self.tr("Something of ours went wrong there; nothing was changed."))

    def _put_by(self) -> None:
        if self._errand is not None:
            self._errand.deleteLater()
        self._errand = None
        self.busy_changed.emit(False)

    def _on_opened(self, path: Path, opened: Opened) -> None:
        self._document.begin(opened.project, path)
        self.remember(with_recent(self._settings, path))
        self.opened.emit(opened.notes)

    def _on_demo(self, opened: Opened) -> None:
        self._document.begin(opened.project)
        self.opened.emit(opened.notes)

    def _on_saved(self, path: Path, project: Project, _result: object) -> None:
        self._document.saved(path, project)
        self.remember(with_recent(self._settings, path))
        self.saved.emit(path)


def _write(project: Project, path: Path, image: QImage) -> None:
    save_board(project, path, {PREVIEW: preview_png(image)})
