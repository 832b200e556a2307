"""Bringing fabrics in while the window stays alive."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import msgspec
from PySide6.QtCore import QObject, QTimer, Signal

from quiltboard.document.document import Document
from quiltboard.document.jobs import Job
from quiltboard.errands.bring_in import Progress, stream_in
from quiltboard.fabrics.bring_in import unique_name
from quiltboard.fabrics.fabric import Fabric, FabricId

LAND_MS: Final = 400
"""Between two landings: each looks the whole shelf over anew."""


class Bringing(QObject):
    """Brings fabrics onto the shelf, one lot after another, in processes of their own.

    What is made lands a few times a second, all of a lot as one step of undo.

    Signals
    -------
    started, ended
        Around each lot; ``ended`` carries a line for each thing that was left out.
    progressed
        Done, total, and the name at hand.
    """

    started = Signal()
    progressed = Signal(int, int, str)
    ended = Signal(list)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._waiting: list[tuple[Path | bytes, ...]] = []
        self._job: Job | None = None
        self._made: list[Fabric] = []
        self._problems: list[str] = []
        self._lot = 0
        self._landing = QTimer(self)
        self._landing.setInterval(LAND_MS)
        self._landing.timeout.connect(self._land)

    @property
    def running(self) -> bool:
        """Whether a lot is being brought in."""
        return self._job is not None

    def bring(self, sources: Sequence[Path | bytes]) -> None:
        """Bring photos, folders, lists and pictures in; they land as one step of undo."""
        if not sources:
            return
        self._waiting.append(tuple(sources))
        if self._job is None:
            self._start_next()

    def stop(self) -> None:
        """Stop after the photo at hand; what is made by then lands on the shelf."""
        self._waiting.clear()
        if self._job is not None:
            self._job.stop()

    def close(self) -> None:
        """End the work; nothing more lands."""
        self._waiting.clear()
        self._landing.stop()
        self._made = []
        if self._job is not None:
            self._job.kill()

    def _start_next(self) -> None:
        names = [fabric.name for fabric in self._document.project.fabrics]
        self._made, self._problems = [], []
        self._lot += 1
        job = Job(stream_in, self._waiting.pop(0), names, parent=self)
        self._job = job
        job.item_arrived.connect(self._on_item)
        job.finished.connect(self._on_finished)
        job.failed.connect(self._on_failed)
        job.ended.connect(self._on_over)
        job.start()
        self._landing.start()
        self.started.emit()

    def _on_item(self, item: object) -> None:
        if isinstance(item, Progress):
            self.progressed.emit(item.done, item.total, item.label)
        elif isinstance(item, Fabric):
            self._made.append(item)

    def _on_finished(self, problems: tuple[str, ...]) -> None:
        self._problems = list(problems)

    def _on_failed(self, sentence: str) -> None:
        self._problems = [sentence]

    def _on_over(self) -> None:
        """Put what was made on the shelf, even where the job was ended early."""
        self._job = None
        self._landing.stop()
        self._land()
        self.ended.emit(self._problems)
        if self._waiting:
            self._start_next()

    def _land(self) -> None:
        made, self._made = self._made, []
        self._document.add_fabrics(fit_in(self._document, made), self._lot)


def fit_in(document: Document, made: Sequence[Fabric]) -> tuple[Fabric, ...]:
    """Give fabrics with names and ids that are free on the shelf as it is now."""
    taken = {fabric.name.casefold() for fabric in document.project.fabrics}
    ids: set[FabricId] = {fabric.id for fabric in document.project.fabrics}
    fitting = []
    for fabric in made:
        if fabric.id in ids:
            continue
        name = unique_name(fabric.name, taken)
        taken.add(name.casefold())
        fitting.append(msgspec.structs.replace(fabric, name=name))
    return tuple(fitting)
