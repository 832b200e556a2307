"""The board from the keyboard: the cord walks, picks up, lays, takes off, pins and turns."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from quiltboard.quilt.board import Board, Cell
from quiltboard.window.canvas.acts import said
from quiltboard.window.canvas.gestures import KeyboardCarryGesture

if TYPE_CHECKING:
    from quiltboard.window.canvas.hands import BoardHands

Key = Qt.Key

_ALONG: Final = {Key.Key_Left: (-1, 0), Key.Key_Right: (1, 0)}
_ACROSS: Final = {
    Key.Key_Left: (-1, 0),
    Key.Key_Right: (1, 0),
    Key.Key_Up: (0, -1),
    Key.Key_Down: (0, 1),
}
OURS: Final = frozenset(
    {
        *_ACROSS,
        Key.Key_PageUp,
        Key.Key_PageDown,
        Key.Key_Home,
        Key.Key_End,
        Key.Key_Return,
        Key.Key_Enter,
        Key.Key_Space,
        Key.Key_Escape,
        Key.Key_Delete,
        Key.Key_Backspace,
        Key.Key_P,
        Key.Key_BracketLeft,
        Key.Key_BracketRight,
        Key.Key_Plus,
        Key.Key_Equal,
        Key.Key_Minus,
        Key.Key_0,
        Key.Key_Menu,
    }
)
"""The keys that mean something on the board while the keyboard is there, and only then."""


def is_ours(event: QKeyEvent) -> bool:
    """Tell whether a key belongs to the board rather than to a shortcut of the window."""
    control = event.modifiers() & (
        Qt.KeyboardModifier.ControlModifier
        | Qt.KeyboardModifier.AltModifier
        | Qt.KeyboardModifier.MetaModifier
    )
    if control:
        return control == Qt.KeyboardModifier.ControlModifier and event.key() in _ACROSS
    return event.key() in OURS


def step_from(board: Board, cell: Cell, event: QKeyEvent) -> Cell | None:
    """Tell where a key walks to: round the ring, or to another plate; None if it does not.

    At the edge of the board a walk stays where it is.
    """
    key = Key(event.key())
    across = key in _ACROSS and (
        event.modifiers() & Qt.KeyboardModifier.ControlModifier or key not in _ALONG
    )
    if across:
        dx, dy = _ACROSS[key]
        row, column = divmod(cell.block, board.across)
        row = min(max(row + dy, 0), board.down - 1)
        column = min(max(column + dx, 0), board.across - 1)
        return Cell(row * board.across + column, cell.wedge)
    if key in _ALONG:
        return Cell(cell.block, (cell.wedge + _ALONG[key][0]) % board.wedge.n)
    if key in {Key.Key_PageUp, Key.Key_PageDown}:
        by = 1 if key == Key.Key_PageDown else -1
        return Cell(min(max(cell.block + by, 0), len(board.blocks) - 1), cell.wedge)
    if key == Key.Key_Home:
        return Cell(cell.block, 0)
    if key == Key.Key_End:
        return Cell(cell.block, board.wedge.n - 1)
    return None


class Keyboard:
    """Does what the keys ask for."""

    def __init__(self, canvas: BoardHands) -> None:
        self._canvas = canvas

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; False if it means nothing here."""
        canvas = self._canvas
        key = Key(event.key())
        if key in {Key.Key_Plus, Key.Key_Equal}:
            canvas.zoom_in()
        elif key == Key.Key_Minus:
            canvas.zoom_out()
        elif key == Key.Key_0:
            canvas.fit_whole()
        elif key == Key.Key_Escape:
            self._escape()
        else:
            return self._at_cord(key, event)
        return True

    def pick_up_or_lay(self) -> None:
        """Pick the piece at the cord up; with one in the hand, lay it."""
        canvas = self._canvas
        cell = canvas.show_cord()
        gesture = canvas.gesture
        if isinstance(gesture, KeyboardCarryGesture):
            self._lay(gesture, cell)
            return
        project = canvas.document.project
        fabric = project.board.at(cell)
        if fabric is None:
            canvas.announce(said("There is no piece here to pick up."))
        elif project.board.pinned(cell):
            canvas.announce(said("That piece is pinned: take the pin out first."))
        else:
            carry = KeyboardCarryGesture(canvas, cell)
            canvas.begin(carry)
            carry.walk_to(cell)
            canvas.announce(said("{name} picked up").format(name=project.fabric(fabric).name))

    def _at_cord(self, key: Key, event: QKeyEvent) -> bool:
        canvas = self._canvas
        shown = canvas.overlay.cord is not None
        cell = canvas.show_cord()
        target = step_from(canvas.document.project.board, cell, event)
        if target is not None:
            # The first key only shows where the keyboard is.
            extend = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._walk(target if shown else cell, extend=extend)
        elif key in {Key.Key_Return, Key.Key_Enter}:
            self._enter(cell)
        elif key in {Key.Key_Delete, Key.Key_Backspace}:
            self._done(canvas.take_off(canvas.cells_at(cell)), said("taken off"))
        elif key == Key.Key_P:
            self._pin(cell)
        elif key in {Key.Key_BracketLeft, Key.Key_BracketRight}:
            by = 1 if key == Key.Key_BracketRight else -1
            self._done(canvas.document.turn_ring(cell.block, by), said("ring turned"))
        elif key == Key.Key_Menu:
            canvas.ask_for_menu(cell)
        else:
            return False
        return True

    def _walk(self, target: Cell, *, extend: bool) -> None:
        canvas = self._canvas
        gesture = canvas.gesture
        canvas.walk_to(target, extend=extend and gesture is None)
        if isinstance(gesture, KeyboardCarryGesture):
            gesture.walk_to(target)
            hand = canvas.overlay.hand
            if hand is not None:
                canvas.announce(f"{hand.act.title}. {hand.note}".strip())

    def _lay(self, gesture: KeyboardCarryGesture, cell: Cell) -> None:
        canvas = self._canvas
        hand = canvas.overlay.hand
        refused = hand is not None and hand.act.kind == "pinned"
        if refused and hand is not None:
            canvas.announce(f"{hand.act.title}. {hand.act.note}")
            return
        canvas.end_gesture()
        if gesture.lay_on(cell):
            canvas.announce(canvas.text_of(cell))
        else:
            canvas.announce(said("put back"))

    def _enter(self, cell: Cell) -> None:
        canvas = self._canvas
        if isinstance(canvas.gesture, KeyboardCarryGesture):
            self._lay(canvas.gesture, cell)
            return
        fabric = canvas.desk.fabric
        if fabric is None or fabric not in canvas.document.project.by_id():
            sentence = said("Choose a fabric on the shelf first.")
            canvas.document.told.emit(sentence)
            canvas.announce(sentence)
            return
        self._done(canvas.document.place_fabric(canvas.cells_at(cell), fabric), "")

    def _pin(self, cell: Cell) -> None:
        canvas = self._canvas
        board = canvas.document.project.board
        cells = tuple(c for c in canvas.cells_at(cell) if board.at(c) is not None)
        if not cells:
            canvas.announce(said("There is no piece here to pin."))
            return
        pinned = not all(board.pinned(c) for c in cells)
        self._done(canvas.document.pin_wedges(cells, pinned=pinned), "")

    def _done(self, done: bool, word: str) -> None:
        canvas = self._canvas
        if done and canvas.keyboard_cell is not None:
            text = canvas.text_of(canvas.keyboard_cell)
            canvas.announce(f"{text}, {word}" if word else text)

    def _escape(self) -> None:
        canvas = self._canvas
        if canvas.gesture is not None:
            canvas.give_up()
            canvas.announce(said("put back"))
        else:
            canvas.desk.choose_cells(())
            canvas.desk.choose_block(None)
