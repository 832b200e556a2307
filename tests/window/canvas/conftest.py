"""A canvas on a small invented board, without motion."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.project import Project
from quiltboard.window.canvas import BoardCanvas
from quiltboard.window.theme import Theme
from tests.helpers.canvas import Hands
from tests.helpers.projects import sample_project


@pytest.fixture
def make_hands(qtbot: QtBot) -> Callable[..., Hands]:
    """Make a canvas of a project, shown and settled."""

    def make(
        project: Project | None = None,
        width: int = 900,
        height: int = 720,
        *,
        reduced_motion: bool = True,
    ) -> Hands:
        document = Document()
        document.begin(project or sample_project(2, 2, 12, empty=(3,)))
        desk = Desk()
        theme = Theme(choice="light")
        canvas = BoardCanvas(document, desk, theme, ClothBook(), reduced_motion=reduced_motion)
        for part in (document, desk, theme):
            part.setParent(canvas)
        qtbot.addWidget(canvas, before_close_func=lambda _canvas: document.close())
        canvas.resize(width, height)
        with qtbot.waitExposed(canvas):
            canvas.show()
        hands = Hands(canvas, qtbot)
        hands.settle()
        return hands

    return make


@pytest.fixture
def hands(make_hands: Callable[..., Hands]) -> Hands:
    """Give a canvas of four plates of twelve; wedge 4 of the first is empty."""
    return make_hands()
