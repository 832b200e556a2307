"""The step panels: what is typed becomes one edit; what cannot be is said."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.errands.sample import open_sample
from quiltboard.fabrics.fabric import WHOLE_PHOTO, Cloth, CutWedges
from quiltboard.units import inches
from quiltboard.window.steps.cut_step import CutStep
from quiltboard.window.steps.fabric_step import FabricStep
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


def test_a_fabric_is_renamed_measured_out_and_put_in_a_step(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    desk = Desk()
    panel = shown(FabricStep(document, desk, theme), qtbot)
    assert not field(panel, "Name").isEnabled()
    kale = next(f for f in document.project.fabrics if f.name == "Kale Frill")
    desk.choose_fabric(kale.id)
    write(field(panel, "Name"), "  Curly   Kale ")
    assert document.project.fabric(kale.id).name == "Curly Kale"
    write(field(panel, "Name"), "Marigold")
    assert document.project.fabric(kale.id).name == "Curly Kale"
    assert "share a name" in panel.problem.text()
    write(field(panel, "There is"), "3 wedges + fat eighth")
    assert document.project.fabric(kale.id).amounts == (
        CutWedges(3),
        Cloth(inches(9), inches(21)),
    )
    write(field(panel, "There is"), "a bit")
    assert "says no amount" in panel.problem.text()
    assert len(document.project.fabric(kale.id).amounts) == 2
    write(field(panel, "Photo shows"), "9 in")
    swatch = document.project.fabric(kale.id).swatch
    assert swatch is not None
    assert swatch.width == inches(9)
    panel._on_step(1)
    assert document.project.fabric(kale.id).step == "light"
    assert document.judgement.shelf.steps[kale.id] == "light"


def test_dragged_corners_take_the_swatch_anew(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    desk = Desk()
    panel = shown(FabricStep(document, desk, theme), qtbot)
    table = shown(panel.photo_table, qtbot)
    table.resize(800, 600)
    check = next(f for f in document.project.fabrics if f.name == "Newsprint Check")
    desk.choose_fabric(check.id)
    start = table.handle(2)
    photo = table.photo_rect()
    end = QPointF(photo.x() + 0.8 * photo.width(), photo.y() + 0.9 * photo.height())
    with qtbot.waitSignal(document.judged, timeout=PATIENCE_MS):
        QTest.mousePress(table, Qt.MouseButton.LeftButton, pos=start.toPoint())
        QTest.mouseMove(table, end.toPoint())
        QTest.mouseRelease(table, Qt.MouseButton.LeftButton, pos=end.toPoint())
    changed = document.project.fabric(check.id)
    assert changed.corners[2] == pytest.approx((0.8, 0.9), abs=0.01)
    assert changed.corners[:2] == check.corners[:2]
    assert changed.swatch != check.swatch
    with qtbot.waitSignal(document.judged, timeout=PATIENCE_MS):
        document.undo_stack.undo()
    assert table.corners == check.corners == WHOLE_PHOTO


def test_corners_that_cross_are_put_back(
    document: Document, theme: Theme, qtbot: QtBot
) -> None:
    desk = Desk()
    panel = shown(FabricStep(document, desk, theme), qtbot)
    fabric = document.project.fabrics[0]
    desk.choose_fabric(fabric.id)
    panel._on_corners(((0, 0), (1, 1), (1, 0), (0, 1)))
    qtbot.waitUntil(lambda: bool(panel.problem.text()), timeout=PATIENCE_MS)
    assert document.project.fabric(fabric.id) == fabric
    assert panel.photo_table.corners == fabric.corners


def test_corners_move_by_keyboard(document: Document, theme: Theme, qtbot: QtBot) -> None:
    desk = Desk()
    panel = shown(FabricStep(document, desk, theme), qtbot)
    table = shown(panel.photo_table, qtbot)
    check = next(f for f in document.project.fabrics if f.name == "Newsprint Check")
    desk.choose_fabric(check.id)
    QTest.keyClick(table, Qt.Key.Key_C)
    with qtbot.waitSignal(document.judged, timeout=PATIENCE_MS):
        QTest.keyClick(table, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert document.project.fabric(check.id).corners[1] == pytest.approx((0.98, 0.0))
    assert "upper right corner at 98 %" in table.accessibleDescription()


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
