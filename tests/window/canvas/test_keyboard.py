"""Arranging from the keyboard, and what a screen reader hears of it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface, QKeyEvent
from PySide6.QtWidgets import QApplication, QLineEdit

from quiltboard.fabrics.fabric import FabricId
from quiltboard.quilt.board import Cell
from tests.helpers.canvas import Hands

pytestmark = pytest.mark.qt

Key = Qt.Key
SHIFT = Qt.KeyboardModifier.ShiftModifier
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def heard(hands: Hands) -> list[str]:
    """Listen to what a screen reader is told, the keyboard on plate 1, wedge 1."""
    told: list[str] = []
    hands.canvas.announced.connect(told.append)
    with hands.qtbot.waitActive(hands.canvas):
        hands.canvas.activateWindow()
    hands.canvas.clearFocus()
    hands.canvas.setFocus(Qt.FocusReason.TabFocusReason)
    return told


def test_tab_shows_the_cord_and_says_where_it_is(hands: Hands, heard: list[str]) -> None:
    assert hands.canvas.overlay.cord == Cell(0, 0)
    assert heard == ["Plate 1, wedge 1, Harbour Dot, medium, again after one piece"]
    assert hands.canvas.accessibleDescription() == heard[-1]


@pytest.mark.usefixtures("heard")
def test_arrows_walk_round_the_ring_and_between_plates(hands: Hands) -> None:
    walks = (
        (Key.Key_Right, None, Cell(0, 1)),
        (Key.Key_Left, None, Cell(0, 0)),
        (Key.Key_Left, None, Cell(0, 11)),
        (Key.Key_Down, None, Cell(2, 11)),
        (Key.Key_Down, None, Cell(2, 11)),
        (Key.Key_Right, CONTROL, Cell(3, 11)),
        (Key.Key_Up, CONTROL, Cell(1, 11)),
        (Key.Key_PageDown, None, Cell(2, 11)),
        (Key.Key_PageUp, None, Cell(1, 11)),
        (Key.Key_Home, None, Cell(1, 0)),
        (Key.Key_End, None, Cell(1, 11)),
    )
    for key, modifier, expected in walks:
        hands.key(key, modifier or Qt.KeyboardModifier.NoModifier)
        assert hands.canvas.keyboard_cell == hands.canvas.overlay.cord == expected
        assert hands.desk.cells == (expected,)
    hands.key(Key.Key_Left, SHIFT)
    hands.key(Key.Key_Left, SHIFT)
    assert hands.desk.cells == (Cell(1, 11), Cell(1, 10), Cell(1, 9))


def test_enter_lays_the_shelfs_fabric_on_all_that_is_chosen(
    hands: Hands, heard: list[str]
) -> None:
    told: list[str] = []
    hands.document.told.connect(told.append)
    hands.key(Key.Key_Return)
    assert told == ["Choose a fabric on the shelf first."]
    hands.desk.choose_fabric(FabricId("f4"))
    hands.key(Key.Key_Right)
    hands.key(Key.Key_Right, SHIFT)
    hands.key(Key.Key_Return)
    board = hands.document.project.board
    assert [board.at(Cell(0, w)) for w in range(4)] == ["f0", "f4", "f4", None]
    assert hands.document.undo_stack.count() == 1
    assert heard[-1] == "Plate 1, wedge 3, Lantern, medium, touches itself"


def test_space_picks_up_walks_and_lays(hands: Hands, heard: list[str]) -> None:
    before = hands.document.project
    hands.key(Key.Key_Space)
    assert heard[-1] == "Harbour Dot picked up"
    hands.key(Key.Key_Down)
    hand = hands.canvas.overlay.hand
    assert hand is not None
    assert hand.act.title.startswith("Swap with ")
    assert heard[-1].startswith(hand.act.title)
    assert hands.document.project is before
    hands.key(Key.Key_Space)
    board = hands.document.project.board
    assert board.at(Cell(2, 0)) == before.board.at(Cell(0, 0))
    assert board.at(Cell(0, 0)) == before.board.at(Cell(2, 0))
    assert heard[-1].startswith("Plate 3, wedge 1, Harbour Dot")
    hands.document.undo_stack.undo()
    assert hands.document.project == before


def test_escape_puts_the_picked_up_piece_back(hands: Hands, heard: list[str]) -> None:
    before = hands.document.project
    hands.key(Key.Key_Space)
    hands.key(Key.Key_Right)
    hands.key(Key.Key_Escape)
    assert hands.canvas.overlay.hand is None
    assert heard[-1] == "put back"
    hands.key(Key.Key_Return)
    assert hands.document.project is before


def test_delete_pin_and_turn(hands: Hands, heard: list[str]) -> None:
    hands.key(Key.Key_P)
    assert hands.document.project.board.pinned(Cell(0, 0))
    assert "pinned" in heard[-1]
    hands.key(Key.Key_Space)
    assert heard[-1] == "That piece is pinned: take the pin out first."
    hands.key(Key.Key_BracketRight)
    assert hands.document.project.board.pinned(Cell(0, 1))
    hands.key(Key.Key_BracketLeft)
    assert hands.document.project.board.pinned(Cell(0, 0))
    hands.key(Key.Key_P)
    hands.key(Key.Key_Delete)
    assert hands.document.project.board.at(Cell(0, 0)) is None
    assert heard[-1] == "Plate 1, wedge 1, empty, taken off"
    hands.key(Key.Key_P)
    assert heard[-1] == "There is no piece here to pin."
    for _ in range(5):
        hands.document.undo_stack.undo()
    assert hands.document.project.board.at(Cell(0, 0)) == "f0"


def test_menu_key_asks_for_the_same_menu(hands: Hands, heard: list[str]) -> None:
    asked: list[object] = []
    hands.canvas.menu_requested.connect(lambda _point, cell: asked.append(cell))
    hands.key(Key.Key_Menu)
    assert asked == [Cell(0, 0)]
    assert heard


def test_letters_are_the_boards_only_while_it_has_the_keyboard(hands: Hands) -> None:
    field = QLineEdit(hands.canvas.parentWidget())
    hands.qtbot.addWidget(field)
    field.show()
    for key, text in ((Key.Key_P, "p"), (Key.Key_BracketLeft, "[")):
        press = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier, text)
        QApplication.sendEvent(field, press)
    assert field.text() == "p["
    assert hands.document.undo_stack.count() == 0
    ours = QKeyEvent(QEvent.Type.ShortcutOverride, Key.Key_P, Qt.KeyboardModifier.NoModifier)
    ours.ignore()
    QApplication.sendEvent(hands.canvas, ours)
    assert ours.isAccepted()
    undo = QKeyEvent(QEvent.Type.ShortcutOverride, Key.Key_Z, CONTROL)
    undo.ignore()
    QApplication.sendEvent(hands.canvas, undo)
    assert not undo.isAccepted()


def name_of(element: QAccessibleInterface) -> str:
    return element.text(QAccessible.Text.Name)


def test_every_wedge_is_an_element_of_its_own(hands: Hands, heard: list[str]) -> None:
    voice = QAccessible.queryAccessibleInterface(hands.canvas)
    assert voice.role() == QAccessible.Role.List
    assert voice.childCount() == 48
    wedge = voice.child(2 * 12 + 6)
    assert name_of(wedge) == hands.canvas.text_of(Cell(2, 6))
    assert wedge.rect().contains(hands.canvas.mapToGlobal(hands.at(Cell(2, 6))))
    point = hands.canvas.mapToGlobal(hands.at(Cell(1, 3)))
    assert name_of(voice.childAt(point.x(), point.y())) == hands.canvas.text_of(Cell(1, 3))
    assert voice.indexOfChild(wedge) == 30
    assert name_of(voice.focusChild()) == hands.canvas.text_of(Cell(0, 0))
    assert voice.child(0).state().focused
    assert not wedge.state().selected
    hands.desk.choose_cells((Cell(2, 6),))
    assert wedge.state().selected
    assert voice.child(48) is None
    assert heard
