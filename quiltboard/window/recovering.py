"""What a crash left behind, offered once when the window opens."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QDateTime, QLocale
from PySide6.QtWidgets import QWidget

from quiltboard.document.keeping import Keeping
from quiltboard.store.recovery import Leftover
from quiltboard.window.dialogs import Note
from quiltboard.window.theme import Theme


class RecoveryQuestion(Note):
    """Asks what becomes of work that a crash left behind."""

    def __init__(self, theme: Theme, leftover: Leftover, parent: QWidget | None = None) -> None:
        moment = QDateTime.fromSecsSinceEpoch(int(leftover.when.timestamp()))
        when = QLocale().toString(moment, "d\u00a0MMMM\u00a0yyyy, HH:mm")
        super().__init__(
            theme,
            _tr("Take up “{title}” where it was?").format(title=leftover.title),
            _tr("The program ended before it was saved. The last change is of {when}.").format(
                when=when
            ),
            parent,
        )
        self.answer = "later"
        self.drop_button = self.add_button(_tr("Throw it away"))
        self.later_button = self.add_button(_tr("Ask later"))
        self.take_button = self.add_button(_tr("Take it up"), filled=True)
        self.drop_button.clicked.connect(self._on_drop)
        self.later_button.clicked.connect(self.reject)
        self.take_button.clicked.connect(self._on_take)
        self.finish()

    def _on_drop(self) -> None:
        self.answer = "drop"
        self.accept()

    def _on_take(self) -> None:
        self.answer = "take"
        self.accept()


def offer_leftovers(keeping: Keeping, theme: Theme, window: QWidget) -> bool:
    """Offer the newest work that a crash left behind.

    Returns
    -------
    bool
        Whether it was taken up; then nothing else should be opened over it.
    """
    taken = False
    for leftover in keeping.leftovers():
        if taken:
            leftover.release()
            continue
        question = RecoveryQuestion(theme, leftover, window)
        question.exec()
        if question.answer == "take":
            keeping.recover(leftover)
            taken = True
        elif question.answer == "drop":
            leftover.discard()
        else:
            leftover.release()
    return taken


def _tr(text: str) -> str:
    return QCoreApplication.translate("RecoveryQuestion", text)
