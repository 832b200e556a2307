"""The step panels: what is typed becomes one edit; what cannot be is said."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.document.document import Document
from quiltboard.errands.sample import open_sample
from quiltboard.units import inches
from quiltboard.window.steps.cut_step import CutStep
from quiltboard.window.steps.top_step import TopStep
from quiltboard.window.steps.wedge_step import WedgeStep
from quiltboard.window.theme import Theme

pytestmark = pytest.mark.qt

PATIENCE_MS = 30_000
W = TypeVar("W", bound=QWidget)


@pytest.fixture
def document(qtbot: QtBot) -> Iterator[Document]:
    made = Document()
    made.begin(open_sample().project)
    yield made
    made.close()


@pytest.fixture
def theme(qtbot: QtBot) -> Theme:
    return Theme(choice="light")


def shown(widget: W, qtbot: QtBot) -> W:
    qtbot.addWidget(widget)
    widget.resize(360, 900)
    widget.show()
    qtbot.waitExposed(widget)
    return widget


def field(panel: QWidget, name: str) -> QLineEdit:
    return next(f for f in panel.findChildren(QLineEdit) if f.accessibleName() == name)


def write(line: QLineEdit, text: str) -> None:
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, Qt.Key.Key_Return)


def test_the_top_is_changed_field_by_field(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    panel = shown(TopStep(document, theme), qtbot)
    assert field(panel, "Sashing").text() == "2 in"
    write(field(panel, "Sashing"), "1 1/2")
    assert document.project.board.sash == inches("3/2")
    write(field(panel, "Border"), "0")
    assert document.project.board.border == 0
    board = document.project.board
    write(field(panel, "Sashing"), "wide")
    assert document.project.board == board
    assert "no length" in panel.problem.text()
    assert field(panel, "Sashing").text() == "1 1/2 in"
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert field(panel, "Border").text() == "3 1/2 in"


def test_a_part_takes_a_cloth_from_the_shelf_or_a_plain(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    panel = shown(TopStep(document, theme), qtbot)
    box = next(b for b in panel.findChildren(QComboBox) if b.accessibleName() == "Background")
    assert box.currentText() == "Plain chalk"
    line = box.lineEdit()
    assert line is not None
    write(line, "#AABBCC")
    assert document.project.board.ground == "#aabbcc"
    line = box.lineEdit()
    assert line is not None
    write(line, "no such cloth")
    assert document.project.board.ground == "#aabbcc"
    assert "not on the shelf" in panel.problem.text()
    kale = next(f for f in document.project.fabrics if f.name == "Kale Frill")
    box.setCurrentIndex(box.findData(kale.id))
    box.activated.emit(box.currentIndex())
    assert document.project.board.ground == kale.id


def test_lengths_are_shown_in_centimetres(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    panel = shown(TopStep(document, theme), qtbot)
    document.show_in("cm")
    assert field(panel, "Sashing").text() == "5.1 cm"
    write(field(panel, "Sashing"), "6")
    assert field(panel, "Sashing").text() == "6 cm"


def test_a_ring_of_sixteen_takes_its_usual_wedge(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    panel = shown(WedgeStep(document, theme), qtbot)
    panel._count.setValue(16)
    wedge = document.project.board.wedge
    assert (wedge.n, wedge.length) == (16, inches("9/2"))
    write(field(panel, "Length, cut"), "9 in")
    assert document.project.board.wedge == wedge
    assert "leave the block" in panel.problem.text()
    assert field(panel, "Length, cut").text() == "4 1/2 in"
    write(field(panel, "Narrow end, cut"), "1 1/8")
    assert document.project.board.wedge.narrow == inches("9/8")


def test_the_cutting_list_follows_the_board(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    panel = shown(CutStep(document, theme, "letter"), qtbot)
    assert panel.paper == "letter"
    said = {name.text(): strips.text() for name, strips in panel._rows if name.isVisible()}
    assert said["Kale Frill"] == "16 wedges, 1 strip"
    assert said["Seed Packets"] == "8 wedges, 8 cut already"
    assert said["Beetroot Rings"] == "20 centre circles from 4 in squares"
    kale = next(f for f in document.project.fabrics if f.name == "Kale Frill")
    cells = tuple(cell for cell, laid in document.project.board.cells() if laid == kale.id)
    document.clear_wedges(cells)
    said = {name.text(): strips.text() for name, strips in panel._rows if name.isVisible()}
    assert "Kale Frill" not in said
    with qtbot.waitSignal(panel.sheets_asked) as asked:
        panel._on_sheets()
    assert asked.args == ["letter"]
