"""Dealing while the window stays alive."""

from __future__ import annotations

import random

from PySide6.QtCore import QObject, Signal

from quiltboard.balance.deal import DealResult
from quiltboard.document.document import Document
from quiltboard.document.jobs import Job
from quiltboard.document.wording import counted
from quiltboard.errands.deal import deal_pieces, task_for
from quiltboard.project.project import Project

CEILING_S = 20.0
"""The clock is only a ceiling: a deal has a budget of moves."""


class Dealing(QObject):
    """Deals in a process of its own and lays the result as one step of undo.

    Signals
    -------
    started, ended
        Around a deal; ``ended`` carries a sentence about what came of it.
    progressed
        From 0 to 1.
    """

    started = Signal()
    progressed = Signal(float)
    ended = Signal(str)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._job: Job | None = None
        self._dealt_from: Project | None = None
        self._sentence = ""

    @property
    def running(self) -> bool:
        """Whether a deal is at work."""
        return self._job is not None

    def deal(self, seed: int | None = None, moves: int | None = None) -> None:
        """Deal the whole board; pinned pieces are held.

        Parameters
        ----------
        seed
            The same seed on the same board deals the same; None takes a new one.
        moves
            The budget of moves; None takes the usual one for the board's size.
        """
        if self._job is not None:
            return
        seed = random.SystemRandom().randrange(2**31) if seed is None else seed
        try:
            task = task_for(self._document.project, seed, moves, afresh=True)
        except ValueError as error:
            self._document.refused.emit(str(error))
            return
        self._dealt_from = self._document.project
        self._sentence = ""
        job = Job(deal_pieces, task, CEILING_S, parent=self)
        self._job = job
        job.item_arrived.connect(self._on_progress)
        job.finished.connect(self._on_finished)
        job.failed.connect(self._on_failed)
        job.ended.connect(self._on_over)
        job.start()
        self.started.emit()

    def stop(self) -> None:
        """Stop and keep the best so far."""
        if self._job is not None:
            self._job.stop()

    def close(self) -> None:
        """End the deal; nothing is laid."""
        if self._job is not None:
            self._job.kill()

    def _on_progress(self, share: object) -> None:
        if isinstance(share, float):
            self.progressed.emit(share)

    def _on_finished(self, result: DealResult) -> None:
        if self._changed_meanwhile():
            self._sentence = self.tr("The board changed meanwhile: the deal was put away.")
            return
        if not self._document.lay_out(result.cells):
            self._sentence = self.tr("Nothing better was found: the board stays as it was.")
            return
        report = self._document.judgement.report
        left = counted(len(report.flags), self.tr("{n} flag left"), self.tr("{n} flags left"))
        self._sentence = (
            self.tr("Dealt: {left}, cost {cost}.").format(left=left, cost=f"{report.cost:,g}")
            if report.flags
            else self.tr("Dealt: nothing is flagged.")
        )

    def _changed_meanwhile(self) -> bool:
        """Tell whether the deal is of another board; fabrics that came since are no matter."""
        before, now = self._dealt_from, self._document.project
        if before is None or before.board is not now.board:
            return True
        return before.fabrics != now.fabrics[: len(before.fabrics)]

    def _on_failed(self, sentence: str) -> None:
        self._sentence = sentence

    def _on_over(self) -> None:
        self._job = None
        self.ended.emit(self._sentence)
