"""Motion: pieces fly to their places and marks fade, then everything stands still."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt

from quiltboard.quilt.board import Cell
from tests.helpers.canvas import Hands

pytestmark = pytest.mark.qt


def test_swapped_pieces_fly_to_their_places_and_come_to_rest(
    make_hands: Callable[..., Hands],
) -> None:
    hands = make_hands(reduced_motion=False)
    one, other = Cell(0, 1), Cell(3, 6)
    hands.drag(hands.at(one), hands.at(other))
    # The edit is made at once; only the picture takes its time.
    assert hands.document.undo_stack.count() == 1
    flights = hands.canvas.overlay.flights
    assert {flight.cell for flight in flights} == {one, other}
    assert all(-180 <= flight.turn_deg < 180 for flight in flights)
    hands.qtbot.waitUntil(lambda: not hands.canvas.motion.busy, timeout=5000)
    hands.settle()
    assert not hands.canvas.overlay.flights
    assert not hands.canvas.overlay.coming


def test_piece_given_up_flies_back(make_hands: Callable[..., Hands]) -> None:
    hands = make_hands(reduced_motion=False)
    hands.carry(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    hands.key(Qt.Key.Key_Escape)
    assert [flight.cell for flight in hands.canvas.overlay.flights] == [Cell(0, 1)]


def test_marks_that_come_fade_in_and_then_are_part_of_the_picture(
    make_hands: Callable[..., Hands],
) -> None:
    hands = make_hands(reduced_motion=False)
    board = hands.document.project.board
    fabric = board.at(Cell(0, 0))
    assert fabric is not None
    hands.document.place_fabric((Cell(0, 1),), fabric)
    kinds = {flag.key.kind for flag in hands.canvas.overlay.coming}
    assert "touch" in kinds
    hands.qtbot.waitUntil(lambda: not hands.canvas.motion.busy, timeout=5000)
    hands.settle()
    assert hands.canvas.overlay.coming == ()


def test_what_changes_many_plates_settles_one_by_one(make_hands: Callable[..., Hands]) -> None:
    hands = make_hands(reduced_motion=False)
    board = hands.document.project.board
    turned = tuple((*block.cells[6:], *block.cells[:6]) for block in board.blocks)
    hands.document.lay_out(turned)
    assert hands.document.project.board.blocks[3].cells == turned[3]
    frame = hands.canvas.frame
    assert frame.waiting == 4
    frame.settle(0.5)
    assert frame.waiting == 2
    hands.qtbot.waitUntil(lambda: not hands.canvas.motion.busy, timeout=5000)
    hands.settle()
    assert frame.waiting == 0
    at_once = make_hands(hands.document.project)
    assert hands.picture() == at_once.picture()


def test_reduced_motion_moves_nothing(hands: Hands) -> None:
    hands.carry(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    assert not hands.canvas.motion.busy
    hands.release(hands.at(Cell(3, 6)))
    assert hands.canvas.overlay.flights == []
    assert not hands.canvas.motion.busy
    assert hands.canvas.motion.share("land") == 1.0
    hands.document.lay_out(tuple((None,) * 12 for _ in range(4)))
    hands.canvas.repaint()
    assert hands.canvas.frame.waiting == 0
