"""Pictures and sheets, written in a process of its own so that the window goes on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject, Signal

from quiltboard.document.jobs import Job
from quiltboard.drawing.seeing import Seeing
from quiltboard.paint.export import pages_of, write_picture
from quiltboard.paint.pdf import write_pdf
from quiltboard.project.project import Project

PaperName = Literal["a4", "letter"]


def export_picture(
    project: Project,
    path: Path,
    seeing: Seeing,
    *,
    send: Callable[[object], None],
    should_stop: Callable[[], bool],
) -> str:
    """Write the board as a picture.

    Raises
    ------
    StoreError
        If it cannot be written.
    """
    del send, should_stop
    write_picture(project, path, seeing)
    return str(path)


def export_sheets(
    project: Project,
    path: Path,
    paper: PaperName,
    *,
    send: Callable[[object], None],
    should_stop: Callable[[], bool],
) -> str:
    """Write all sheets as one PDF.

    Raises
    ------
    StoreError
        If it cannot be written.
    """
    del send, should_stop
    write_pdf(pages_of(project, paper), path, project.title)
    return str(path)


class Exporting(QObject):
    """Writes one picture or one set of sheets at a time.

    Signals
    -------
    started
        What is being written.
    ended
        A sentence: where it lies, or why it is not there.
    """

    started = Signal(str)
    ended = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._job: Job | None = None
        self._sentence = ""

    @property
    def running(self) -> bool:
        """Whether something is being written."""
        return self._job is not None

    def write_picture(self, project: Project, path: Path, seeing: Seeing) -> None:
        """Write the board as PNG or SVG, as it is seen now."""
        self._start(Job(export_picture, project, path, seeing, parent=self), path)

    def write_sheets(self, project: Project, path: Path, paper: PaperName) -> None:
        """Write the sheets as one PDF."""
        self._start(Job(export_sheets, project, path, paper, parent=self), path)

    def stop(self) -> None:
        """End the work; a file half written is not left behind."""
        if self._job is not None:
            self._sentence = ""
            self._job.kill()

    def _start(self, job: Job, path: Path) -> None:
        if self._job is not None:
            self.ended.emit(self.tr("Another picture is still being written."))
            return
        self._job = job
        self._sentence = ""
        job.finished.connect(self._on_finished)
        job.failed.connect(self._on_failed)
        job.ended.connect(self._on_over)
        job.start()
        self.started.emit(path.name)

    def _on_finished(self, written: str) -> None:
        self._sentence = self.tr("Written: {path}").format(path=written)

    def _on_failed(self, sentence: str) -> None:
        self._sentence = sentence

    def _on_over(self) -> None:
        self._job = None
        self.ended.emit(self._sentence)
