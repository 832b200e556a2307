"""Questions and lists that stand before the window, in its own look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from PySide6.QtCore import QCoreApplication, QRectF, Qt
from PySide6.QtGui import QKeySequence, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from quiltboard.project.edits import LONGEST_TITLE
from quiltboard.window.actions import MORE_KEYS, TABLE
from quiltboard.window.focus_cord import FocusCord
from quiltboard.window.lettering import Words
from quiltboard.window.theme import NOTE, PADDING_PX, PART_TITLE, TEXT, Theme

Answer = Literal["save", "discard", "cancel"]
MOST_OF_WINDOW = 0.75
"""How much of the window's height a list of keys takes before it scrolls."""
LEAST_LIST_PX = 480


class Note(QDialog):
    """A dialog of our look: a title, words, what it holds, buttons at the foot."""

    def __init__(
        self, theme: Theme, title: str, text: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.theme = theme
        self.setWindowTitle(title)
        self.setModal(True)
        # Left to Python's collector, it would be torn down piece by piece under Qt's events.
        self.finished.connect(self.deleteLater)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(24, 20, 24, 20)
        self.column.setSpacing(10)
        self.column.addWidget(Words(theme, title, size=PART_TITLE, weight=600, wrapped=True))
        if text:
            words = Words(theme, text, wrapped=True)
            words.setMinimumWidth(min(theme.px(400), 620))
            self.column.addWidget(words)
        self.foot = QHBoxLayout()
        self.foot.setSpacing(8)
        self.foot.addStretch(1)
        self._cord = FocusCord(theme, self)

    def add_button(self, text: str, *, filled: bool = False) -> QPushButton:
        """Add a button at the foot; the filled one is what Enter presses."""
        button = QPushButton(text, self)
        button.setProperty("filled", filled)
        button.setDefault(filled)
        button.setAutoDefault(filled)
        self.foot.addWidget(button)
        return button

    def finish(self) -> None:
        """Set the foot below everything else."""
        self.column.addSpacing(6)
        self.column.addLayout(self.foot)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the panel, and basting along its edge."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self.theme.colour("panel"))
            pen = painter.pen()
            pen.setColor(self.theme.colour("edge"))
            pen.setDashPattern([5, 4])
            painter.setPen(pen)
            painter.drawRect(QRectF(self.rect()).adjusted(6.5, 6.5, -6.5, -6.5))


class UnsavedQuestion(Note):
    """Asks what becomes of unsaved work."""

    def __init__(self, theme: Theme, title: str, parent: QWidget | None = None) -> None:
        super().__init__(
            theme,
            _tr("Save the changes to “{title}”?").format(title=title),
            _tr("What has changed since it was last saved is lost otherwise."),
            parent,
        )
        self.answer: Answer = "cancel"
        self.discard_button = self.add_button(_tr("Leave unsaved"))
        self.cancel_button = self.add_button(_tr("Cancel"))
        self.save_button = self.add_button(_tr("Save"), filled=True)
        self.discard_button.clicked.connect(self._on_discard)
        self.cancel_button.clicked.connect(self.reject)
        self.save_button.clicked.connect(self._on_save)
        self.finish()

    def ask(self) -> Answer:
        """Ask, and give the answer; closing the question is no answer."""
        self.exec()
        return self.answer

    def _on_discard(self) -> None:
        self.answer = "discard"
        self.accept()

    def _on_save(self) -> None:
        self.answer = "save"
        self.accept()


class ProblemList(Note):
    """Lists what was left out of an import, each with its reason; it can be copied."""

    def __init__(
        self, theme: Theme, problems: Sequence[str], parent: QWidget | None = None
    ) -> None:
        super().__init__(
            theme,
            _tr("Left out"),
            _tr("Everything else is on the shelf. Put these right and bring them in again."),
            parent,
        )
        self.lines = QPlainTextEdit("\n".join(problems), self)
        self.lines.setReadOnly(True)
        self.lines.setTabChangesFocus(True)
        self.lines.setAccessibleName(_tr("Left out"))
        self.lines.setMinimumSize(min(theme.px(460), 760), min(theme.px(160), 280))
        self.column.addWidget(self.lines, 1)
        self.add_button(_tr("Close"), filled=True).clicked.connect(self.accept)
        self.finish()


class Message(Note):
    """Says one thing that must be read: what and how to mend it."""

    def __init__(
        self, theme: Theme, title: str, text: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(theme, title, text, parent)
        self.add_button(_tr("Close"), filled=True).clicked.connect(self.accept)
        self.finish()


class NameQuestion(Note):
    """Asks what the quilt is called."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(theme, _tr("Name the quilt"), parent=parent)
        self.field = QLineEdit(name, self)
        self.field.setMaxLength(LONGEST_TITLE)
        self.field.setAccessibleName(_tr("The quilt's name"))
        self.field.setMinimumWidth(min(theme.px(340), 600))
        self.field.selectAll()
        self.column.addWidget(self.field)
        self.add_button(_tr("Cancel")).clicked.connect(self.reject)
        self.add_button(_tr("Name it"), filled=True).clicked.connect(self.accept)
        self.finish()
        self.field.setFocus()


class KeysOverview(Note):
    """Lists every key of the window and of the board."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, _tr("Keys"), parent=parent)
        inside = QWidget()
        inside.setObjectName("panel")
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, PADDING_PX, 0)
        grid.setHorizontalSpacing(24)
        grid.setVerticalSpacing(3)
        columns = 2 if theme.text_percent < 150 else 1
        groups = (*board_keys(), *window_keys())
        lines = sum(len(keys) + 2 for _, keys in groups)
        row = [0] * columns
        column = 0
        for heading, keys in groups:
            if column + 1 < columns and row[column] + len(keys) / 2 > lines / columns:
                column += 1
            title = Words(theme, heading, size=TEXT, weight=600)
            grid.addWidget(title, row[column], 3 * column, 1, 2)
            row[column] += 1
            for text, key in keys:
                grid.addWidget(Words(theme, text, size=NOTE), row[column], 3 * column)
                grid.addWidget(self._key(key), row[column], 3 * column + 1)
                row[column] += 1
            grid.setRowMinimumHeight(row[column], 10)
            row[column] += 1
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidget(inside)
        area.setAccessibleName(_tr("Keys"))
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        wide = inside.sizeHint().width() + 2 * PADDING_PX
        most = MOST_OF_WINDOW * parent.height() if parent is not None else LEAST_LIST_PX
        high = min(inside.sizeHint().height() + 8, max(LEAST_LIST_PX, round(most)))
        area.setMinimumSize(min(wide, 1100), high)
        self.column.addWidget(area, 1)
        self.add_button(_tr("Close"), filled=True).clicked.connect(self.accept)
        self.finish()

    def _key(self, key: str) -> QLabel:
        label = QLabel(key)
        label.setObjectName("key")
        return label


Keys = tuple[str, tuple[tuple[str, str], ...]]


def board_keys() -> tuple[Keys, ...]:
    """Give what the keys do while the keyboard is at the board."""
    return (
        (
            _tr("At the board"),
            (
                (_tr("Walk round the ring"), _tr("Left, Right")),
                (_tr("Go to the plate above or below"), _tr("Up, Down")),
                (_tr("Go to the plate beside"), _tr("Ctrl+Left, Right")),
                (_tr("Pick a piece up"), _tr("Space")),
                (_tr("Lay it, or the fabric chosen on the shelf"), _tr("Enter")),
                (_tr("Take off"), _tr("Del")),
                (_tr("Pin, or take the pin out"), "P"),
                (_tr("Turn the ring"), "[  ]"),
                (_tr("Put back what is in the hand"), _tr("Esc")),
            ),
        ),
    )


def window_keys() -> tuple[Keys, ...]:
    """Give the keys of the table, by the part of the window they belong to."""
    titles = {
        "file": _tr("The board's file"),
        "edit": _tr("Undo"),
        "fabrics": _tr("Fabrics"),
        "stash": _tr("Stash"),
        "board": _tr("Board"),
        "see": _tr("Ways of seeing"),
        "step": _tr("Steps of the work"),
        "text": _tr("Letters"),
        "help": _tr("Help"),
    }
    groups = []
    for part, title in titles.items():
        keys = tuple(
            (
                QCoreApplication.translate("Actions", spec.text).rstrip("…"),
                _shown(spec.id, spec.keys),
            )
            for spec in TABLE
            if spec.id.split(".")[0] == part and spec.keys
        )
        groups.append((title, keys))
    return tuple(groups)


def _shown(action_id: str, keys: str) -> str:
    native = QKeySequence.SequenceFormat.NativeText
    shown = QKeySequence(keys).toString(native)
    more = MORE_KEYS.get(action_id)
    return f"{shown}, {QKeySequence(more).toString(native)}" if more else shown


def _tr(text: str) -> str:
    return QCoreApplication.translate("Dialogs", text)
