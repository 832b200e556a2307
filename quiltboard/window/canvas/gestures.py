"""Gestures: what the hand does on the board, each from the press to the release.

A gesture only shows what would happen; the document is asked once, when the hand lets go.
Esc gives any gesture up and leaves everything as it was.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt

from quiltboard.quilt.board import Cell
from quiltboard.window.canvas.acts import Act, carry_act, lay_act
from quiltboard.window.canvas.overlay import KEYBOARD_LIFT_PX, Hand

if TYPE_CHECKING:
    from quiltboard.fabrics.fabric import FabricId
    from quiltboard.window.canvas.hands import BoardHands


class Gesture:
    """One thing the hand is doing; most do nothing at most moments."""

    cursor: Qt.CursorShape | None = None

    def __init__(self, canvas: BoardHands) -> None:
        self.canvas = canvas

    def move(self, at: QPointF) -> None:
        """Follow the pointer."""

    def release(self, at: QPointF) -> None:
        """Let go; the gesture is over."""

    def give_up(self) -> None:
        """Leave everything as it was."""


class PanGesture(Gesture):
    """Moves the top under the hand."""

    cursor = Qt.CursorShape.ClosedHandCursor

    def __init__(self, canvas: BoardHands, at: QPointF) -> None:
        super().__init__(canvas)
        self._last = at

    def move(self, at: QPointF) -> None:
        """Move the top as far as the pointer went."""
        self.canvas.pan(at.x() - self._last.x(), at.y() - self._last.y())
        self._last = at


class ChooseGesture(Gesture):
    """A press that chooses when it is let go; dragged, it turns into another gesture."""

    def __init__(self, canvas: BoardHands, at: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        super().__init__(canvas)
        self._start = at
        self._modifiers = modifiers
        self._cell = canvas.cell_at(at)

    def move(self, at: QPointF) -> None:
        """Turn into a carry or a pan once the drag is plain."""
        if (at - self._start).manhattanLength() < self.canvas.drag_distance:
            return
        board = self.canvas.document.project.board
        cell = self._cell
        if cell is None or board.at(cell) is None:
            self.canvas.begin(PanGesture(self.canvas, self._start))
        elif board.pinned(cell):
            self.canvas.begin(PinnedGesture(self.canvas, cell))
        else:
            self.canvas.begin(CarryGesture(self.canvas, cell, self._start))
        self.canvas.follow(at)

    def release(self, at: QPointF) -> None:
        """Choose what was pressed."""
        self.canvas.choose_at(at, self._modifiers)


class PinnedGesture(Gesture):
    """A drag on a pinned piece: it stays, and the tag says how to free it."""

    cursor = Qt.CursorShape.ForbiddenCursor

    def __init__(self, canvas: BoardHands, cell: Cell) -> None:
        super().__init__(canvas)
        self._cell = cell

    def move(self, at: QPointF) -> None:
        """Keep the tag by the pointer."""
        project = self.canvas.document.project
        fabric = project.board.at(self._cell)
        if fabric is not None:
            act = carry_act(project, self._cell, self._cell)
            self.canvas.hold(Hand(fabric, None, at, (0.0, 0.0), act, note=act.note))

    def release(self, at: QPointF) -> None:  # noqa: ARG002 - nothing came of it
        """Let the tag go, and choose the piece, so that P takes its pin out."""
        self.canvas.let_go()
        self.canvas.desk.choose_cells((self._cell,))
        self.canvas.keyboard_cell = self._cell

    def give_up(self) -> None:
        """Let the tag go."""
        self.canvas.let_go()


class HoldingGesture(Gesture):
    """Any gesture with something in the hand: shows what letting go would do."""

    def act_on(self, target: Cell | None) -> Act:
        """Tell what letting go over a wedge, or over none, would do."""
        raise NotImplementedError

    def commit(self, act: Act) -> bool:
        """Ask the document for what the tag said; False if nothing came of it."""
        canvas = self.canvas
        hand = canvas.overlay.hand
        canvas.let_go()
        if act.edit is None:
            return False
        done = canvas.perform(act)
        if done and hand is not None:
            canvas.land(hand, act)
        return done


class DropFabricGesture(HoldingGesture):
    """A fabric dragged over from the shelf."""

    def __init__(self, canvas: BoardHands, fabric: FabricId) -> None:
        super().__init__(canvas)
        self.fabric = fabric

    def act_on(self, target: Cell | None) -> Act:
        """Lay it on the wedge."""
        return lay_act(self.canvas.document.project, self.fabric, target)

    def move(self, at: QPointF) -> None:
        """Show the ghost on the wedge under the pointer."""
        target = self.canvas.cell_at(at)
        hand = self.canvas.overlay.hand
        if hand is None or hand.target != target:
            act = self.act_on(target)
            note = self.canvas.consider(act)
            hand = Hand(self.fabric, None, at, (0.0, 0.0), act, target, note)
        hand.at = at
        self.canvas.hold(hand)

    def release(self, at: QPointF) -> None:
        """Lay it."""
        self.commit(self.act_on(self.canvas.cell_at(at)))

    def give_up(self) -> None:
        """Take it back to the shelf."""
        self.canvas.let_go()


class CarryGesture(HoldingGesture):
    """A piece lifted off its wedge: onto another it swaps, off the rings it comes off."""

    cursor = Qt.CursorShape.ClosedHandCursor

    def __init__(self, canvas: BoardHands, source: Cell, at: QPointF) -> None:
        super().__init__(canvas)
        self.source = source
        self._grip = canvas.view.to_mm(at)

    def act_on(self, target: Cell | None) -> Act:
        """Swap with what lies there, or take off."""
        return carry_act(self.canvas.document.project, self.source, target)

    def move(self, at: QPointF) -> None:
        """Carry the piece; where it is over another wedge, the act changes."""
        canvas = self.canvas
        target = canvas.cell_at(at)
        hand = canvas.overlay.hand
        if hand is None or hand.target != target:
            fabric = canvas.document.project.board.at(self.source)
            if fabric is None:
                canvas.give_up()
                return
            fresh = hand is None
            act = self.act_on(target)
            note = canvas.consider(act)
            hand = Hand(fabric, self.source, at, self._grip, act, target, note)
            if fresh:
                canvas.motion.start("lift", 90)
        hand.at = at
        canvas.hold(hand)

    def release(self, at: QPointF) -> None:
        """Lay it down here."""
        self.commit(self.act_on(self.canvas.cell_at(at)))

    def give_up(self) -> None:
        """Put it back where it was."""
        self.canvas.put_back()


class KeyboardCarryGesture(HoldingGesture):
    """A piece picked up from the keyboard; it follows the cord from wedge to wedge."""

    def __init__(self, canvas: BoardHands, source: Cell) -> None:
        super().__init__(canvas)
        self.source = source

    def act_on(self, target: Cell | None) -> Act:
        """Swap with what lies there."""
        return carry_act(self.canvas.document.project, self.source, target)

    def walk_to(self, target: Cell) -> None:
        """Hold the piece over another wedge."""
        canvas = self.canvas
        fabric = canvas.document.project.board.at(self.source)
        if fabric is None:
            canvas.give_up()
            return
        act = self.act_on(target)
        note = canvas.consider(act)
        sight = canvas.sight()
        at = canvas.view.to_px(*sight.middle(target)) + KEYBOARD_LIFT_PX
        layout = sight.layout
        turn = layout.angle_deg(target.wedge) - layout.angle_deg(self.source.wedge)
        grip = sight.middle(self.source)
        canvas.hold(Hand(fabric, self.source, at, grip, act, target, note, turn))

    def lay_on(self, target: Cell) -> bool:
        """Lay it down on a wedge; on its own it is simply put back."""
        act = self.act_on(target)
        if act.edit is None:
            self.canvas.put_back()
            return False
        return self.commit(act)

    def give_up(self) -> None:
        """Put it back where it was."""
        self.canvas.put_back()
