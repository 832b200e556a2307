"""A whole window on an invented board, for the tests of its parts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from quiltboard.document.bringing import Bringing
from quiltboard.document.dealing import Dealing
from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.keeping import Keeping
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.project import Project
from quiltboard.window.main_window import MainWindow
from quiltboard.window.theme import RoomChoice, Theme
from tests.helpers.projects import sample_project


@dataclass
class Room:
    """A window and what it stands on."""

    window: MainWindow
    document: Document
    desk: Desk
    theme: Theme
    keeping: Keeping
    bringing: Bringing
    dealing: Dealing


MakeRoom = Callable[..., Room]


@pytest.fixture
def make_room(qtbot: QtBot, qapp: QApplication) -> MakeRoom:
    """Make a window on a project (None: an empty shelf), shown."""

    def make(
        project: Project | None = None,
        *,
        size: tuple[int, int] = (1280, 720),
        percent: int = 100,
        choice: RoomChoice = "light",
    ) -> Room:
        theme = Theme(choice=choice, text_percent=percent)
        theme.dress(qapp)
        document, desk, book = Document(), Desk(), ClothBook()
        if project is not None:
            document.begin(project)
        keeping = Keeping(document, book)
        bringing, dealing = Bringing(document), Dealing(document)
        window = MainWindow(document, desk, theme, book, keeping, bringing, dealing)
        for part in (document, desk, theme, keeping, bringing, dealing):
            part.setParent(window)

        def let_go(_window: object) -> None:
            document.begin(Project("left", document.project.board, document.project.fabrics))
            document.close()

        qtbot.addWidget(window, before_close_func=let_go)
        window.resize(*size)
        with qtbot.waitExposed(window):
            window.show()
        return Room(window, document, desk, theme, keeping, bringing, dealing)

    return make


@pytest.fixture
def room(make_room: MakeRoom) -> Room:
    """Give a window on four plates of twelve; wedge 4 of the first is empty."""
    return make_room(sample_project(2, 2, 12, empty=(3,)))
