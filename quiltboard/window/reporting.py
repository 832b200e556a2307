"""What the window says of the work beside it: bringing in, dealing, writing pictures."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QWidget

from quiltboard.document.bringing import Bringing
from quiltboard.document.dealing import Dealing
from quiltboard.window.dialogs import ProblemList
from quiltboard.window.exporting import Exporting
from quiltboard.window.ledge import Ledge
from quiltboard.window.status_bar import StatusBar
from quiltboard.window.theme import Theme

NEWS_MS = 12_000
"""How long a sentence of news stands in the bottom bar."""


class Reporting(QObject):
    """Shows jobs in the bottom bar, and what came of them."""

    def __init__(
        self,
        window: QWidget,
        theme: Theme,
        status: StatusBar,
        ledge: Ledge,
        bringing: Bringing,
        dealing: Dealing,
        exporting: Exporting,
    ) -> None:
        super().__init__(window)
        self._window = window
        self._theme = theme
        self._status = status
        self._ledge = ledge
        self._bringing = bringing
        self._dealing = dealing
        self._problems: list[str] = []
        self._news = QTimer(self)
        self._news.setSingleShot(True)
        self._news.setInterval(NEWS_MS)
        self._news.timeout.connect(partial(status.tell, ""))
        bringing.started.connect(self._on_bringing_started)
        bringing.progressed.connect(self._on_brought)
        bringing.ended.connect(self._on_bringing_ended)
        dealing.started.connect(self._on_deal_started)
        dealing.progressed.connect(self._on_dealt)
        dealing.ended.connect(self._on_deal_ended)
        exporting.started.connect(self._on_export_started)
        exporting.ended.connect(self._on_export_ended)
        status.stop_asked.connect(self._on_stop)
        status.problems_asked.connect(self.show_problems)

    def tell(self, sentence: str) -> None:
        """Tell one thing in the bottom bar, for a while."""
        self._status.tell(sentence)
        self._news.start()

    def show_problems(self) -> None:
        """Show what was left out of the last import."""
        ProblemList(self._theme, self._problems, self._window).exec()
        self._status.show_problems(0)

    def _on_bringing_started(self) -> None:
        self._status.show_problems(0)
        self._status.show_job(self.tr("Bringing fabrics in"), 0.0)

    def _on_brought(self, done: int, total: int, label: str) -> None:
        text = self.tr("Bringing in {label}").format(label=label) if label else ""
        self._status.show_job(text, done / max(total, 1))

    def _on_bringing_ended(self, problems: list[str]) -> None:
        self._status.end_job()
        self._problems = problems
        if len(problems) == 1:
            self.tell(problems[0])
        self._status.show_problems(len(problems) if len(problems) > 1 else 0)

    def _on_deal_started(self) -> None:
        self._ledge.show_dealing(True)
        self._status.show_job(self.tr("Dealing"), 0.0)

    def _on_dealt(self, share: float) -> None:
        self._status.show_job(self.tr("Dealing"), share)

    def _on_deal_ended(self, sentence: str) -> None:
        self._ledge.show_dealing(False)
        self._status.end_job()
        self.tell(sentence)

    def _on_export_started(self, name: str) -> None:
        self.tell(self.tr("Writing {name}").format(name=name))

    def _on_export_ended(self, sentence: str) -> None:
        self.tell(sentence)

    def _on_stop(self) -> None:
        if self._dealing.running:
            self._dealing.stop()
        if self._bringing.running:
            self._bringing.stop()
