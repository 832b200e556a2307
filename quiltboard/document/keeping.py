"""Keeping: opening, saving, recent boards, and what a crash left behind."""

from __future__ import annotations

import logging
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from quiltboard.document.document import Document
from quiltboard.document.jobs import Errand
from quiltboard.errands.sample import open_sample
from quiltboard.paint.preview import preview_png
from quiltboard.project.project import Project, new_project
from quiltboard.store.board_file import Opened, open_board, save_board
from quiltboard.store.errors import StoreError
from quiltboard.store.journal import Journal, Leftover, find_leftovers
from quiltboard.store.settings import Settings, recovery_folder, save_settings

_log = logging.getLogger(__name__)

SUFFIX = ".quiltboard"
MOST_RECENT = 10


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
        self, document: Document, settings: Settings, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self.settings = settings
        self._errand: Errand | None = None

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
        self._run(partial(open_board, path), partial(self._on_opened, path))

    def open_demo(self) -> None:
        """Open the demo board as new work: saving it asks for a name."""
        self._run(open_sample, self._on_demo)

    def save(self, path: Path) -> None:
        """Save the board as it is now; work may go on meanwhile."""
        path = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
        project = self._document.project
        self._run(partial(_write, project, path), partial(self._on_saved, path, project))

    def start_journal(self) -> None:
        """Begin the recovery journal; without one, work goes on and says so."""
        try:
            journal = Journal.start(
                recovery_folder(), self._document.project, self._document.path
            )
        except (OSError, StoreError) as error:
            _log.info("no recovery journal: %s", error)
            return
        self._document.keep_journal(journal)

    def leftovers(self) -> list[Leftover]:
        """Find work that a crash left behind, newest first."""
        try:
            return find_leftovers(recovery_folder())
        except (OSError, StoreError) as error:
            _log.info("leftovers cannot be read: %s", error)
            return []

    def recover(self, leftover: Leftover) -> None:
        """Take up what a crash left behind, as unsaved work."""
        try:
            recovered = leftover.recover()
        except (OSError, StoreError) as error:
            self.failed.emit(str(error))
            return
        self._document.begin(recovered.project, recovered.board_path, unsaved=True)
        leftover.discard()
        lost = recovered.lost
        self.opened.emit(
            (self.tr("%n last change(s) could not be read and are lost.", "", lost),)
            if lost
            else ()
        )

    def _run(self, work: object, then: object) -> None:
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
        then = self._then
        self._put_by()
        then(result)

    def _on_failed(self, error: object) -> None:
        self._put_by()
        if not isinstance(error, StoreError | OSError):
            _log.error("a board could not be read or written: %r", error)
        self.failed.emit(str(error))

    def _put_by(self) -> None:
        if self._errand is not None:
            self._errand.deleteLater()
        self._errand = None
        self.busy_changed.emit(False)

    def _on_opened(self, path: Path, opened: Opened) -> None:
        self._document.begin(opened.project, path)
        self._remember(path)
        self.opened.emit(opened.notes)

    def _on_demo(self, opened: Opened) -> None:
        self._document.begin(opened.project)
        self.opened.emit(opened.notes)

    def _on_saved(self, path: Path, project: Project, _result: object) -> None:
        self._document.saved(path, project)
        self._remember(path)
        self.saved.emit(path)

    def _remember(self, path: Path) -> None:
        """Put a board at the head of the recent ones."""
        text = str(path.resolve())
        others = [recent for recent in self.settings.recent if recent != text]
        self.settings.recent = [text, *others][:MOST_RECENT]
        self.store_settings()
        self.recent_changed.emit()

    def store_settings(self) -> None:
        """Write the settings; where that fails they last until the window closes."""
        try:
            save_settings(self.settings)
        except (OSError, StoreError) as error:
            _log.info("settings cannot be written: %s", error)


def _write(project: Project, path: Path) -> None:
    save_board(project, path, {"board.png": preview_png(project)})
