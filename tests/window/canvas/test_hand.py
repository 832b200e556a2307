"""Arranging with the mouse: every gesture asks the document once, when the hand lets go."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication

from quiltboard.errands.judge import Judgement, judge
from quiltboard.project.edits import Edit, SwapWedges
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.window.canvas.overlay import Hand
from tests.helpers.canvas import Hands, fabric_mime

pytestmark = pytest.mark.qt

BESIDE = QPoint(5, 600)
"""A point of the ground, off the top."""


def holding(hands: Hands) -> Hand:
    """Give what is in the hand."""
    hand = hands.canvas.overlay.hand
    assert hand is not None
    return hand


def chosen(hands: Hands) -> tuple[Cell, ...]:
    """Give the chosen wedges."""
    return hands.desk.cells


def chosen_plate(hands: Hands) -> int | None:
    """Give the chosen plate."""
    return hands.desk.block


def test_wedge_dragged_onto_wedge_swaps_in_one_undo_step(hands: Hands) -> None:
    before = hands.document.project
    one, other = Cell(0, 1), Cell(3, 6)
    hands.drag(hands.at(one), hands.at(other))
    after = hands.document.project
    assert after.board.at(other) == before.board.at(one)
    assert after.board.at(one) == before.board.at(other)
    assert hands.document.undo_stack.count() == 1
    assert chosen(hands) == (other,)
    hands.document.undo_stack.undo()
    assert hands.document.project == before
    hands.document.undo_stack.redo()
    assert hands.document.project == after


def test_wedge_dragged_onto_empty_wedge_moves(hands: Hands) -> None:
    hands.drag(hands.at(Cell(0, 0)), hands.at(Cell(0, 3)))
    board = hands.document.project.board
    assert (board.at(Cell(0, 0)), board.at(Cell(0, 3))) == (None, "f0")


@pytest.mark.parametrize("where", ["ground of the block", "beside the top"])
def test_wedge_let_go_off_the_ring_comes_off(hands: Hands, where: str) -> None:
    square = hands.canvas.layout_mm.blocks[1]
    corner = hands.canvas.view.to_px(square.x + 12, square.y + 12).toPoint()
    hands.drag(hands.at(Cell(0, 5)), corner if where == "ground of the block" else BESIDE)
    assert hands.document.project.board.at(Cell(0, 5)) is None
    assert hands.document.undo_stack.undoText() == "take off"


def test_piece_over_its_own_place_changes_nothing(hands: Hands) -> None:
    at = hands.at(Cell(0, 5))
    hands.carry(at, at + QPoint(60, 60))
    hands.move(at + QPoint(3, 3))
    hand = holding(hands)
    assert hand.act.kind == "nothing"
    hands.release(at + QPoint(3, 3))
    assert hands.document.undo_stack.count() == 0


def test_escape_gives_a_drag_up(hands: Hands) -> None:
    before = hands.document.project
    hands.carry(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    assert holding(hands).source == Cell(0, 1)
    hands.key(Qt.Key.Key_Escape)
    assert hands.canvas.overlay.hand is None
    hands.release(hands.at(Cell(3, 6)))
    assert hands.document.project is before
    assert hands.document.undo_stack.count() == 0


def test_pinned_piece_stays_and_says_how_to_free_it(hands: Hands) -> None:
    hands.document.pin_wedges((Cell(0, 1),), pinned=True)
    before = hands.document.project
    hands.carry(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    hand = holding(hands)
    assert hand.source is None
    assert (hand.act.title, hand.note) == (
        "Buoy Check is pinned",
        "Take the pin out first: press P.",
    )
    hands.release(hands.at(Cell(3, 6)))
    assert hands.document.project is before
    hands.drag(hands.at(Cell(3, 6)), hands.at(Cell(0, 1)))
    assert hands.document.project is before
    hands.drag(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    hands.key(Qt.Key.Key_P)
    assert not hands.document.project.board.pinned(Cell(0, 1))


def test_panels_and_marks_are_live_while_the_piece_is_in_the_hand(hands: Hands) -> None:
    heard: list[Judgement | None] = []
    boards: list[Project | None] = []
    hands.canvas.previewed.connect(lambda judged, _: heard.append(judged))
    hands.canvas.previewed.connect(lambda _, project: boards.append(project))
    before, judged = hands.document.project, hands.document.judgement
    # Harbour Dot from wedge 6 to wedge 2 comes to lie beside the one on wedge 1.
    hands.carry(hands.at(Cell(0, 5)), hands.at(Cell(0, 1)))
    assert hands.document.project is before
    assert hands.document.judgement is judged
    would = [judgement for judgement in heard if judgement is not None][-1]
    touches = [flag.key.cells for flag in would.report.flags if flag.key.kind == "touch"]
    assert (Cell(0, 0), Cell(0, 1)) in touches
    assert boards[-1] == SwapWedges(Cell(0, 5), Cell(0, 1)).apply(before)
    assert would.report == judge(boards[-1]).report
    hands.key(Qt.Key.Key_Escape)
    assert heard[-1] is None
    assert boards[-1] is None


def test_tag_says_the_act_and_what_it_changes(hands: Hands) -> None:
    # On wedge 12 the Harbour Dot of wedge 6 comes to lie between those of wedges 11 and 1.
    hands.document.clear_wedges((Cell(0, 11),))
    cost = hands.document.judgement.report.cost
    hands.carry(hands.at(Cell(0, 5)), hands.at(Cell(0, 11)))
    hand = holding(hands)
    assert hand.act.title == "Move Harbour Dot here"
    would = hands.document.preview(hand.act.edit) if hand.act.edit else None
    assert would is not None
    assert hand.note == (f"2 new touches. Cost {would.report.cost:.0f}, was {cost:.0f}.")
    hands.move(hands.at(Cell(3, 0)))
    hand = holding(hands)
    assert hand.act.title.startswith("Swap with ")


def test_preview_is_made_once_for_each_wedge(
    hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Edit] = []
    preview = hands.document.preview

    def listen(edit: Edit) -> Judgement | None:
        asked.append(edit)
        return preview(edit)

    monkeypatch.setattr(hands.document, "preview", listen)
    at = hands.at(Cell(2, 6))
    hands.carry(hands.at(Cell(2, 6)), hands.at(Cell(2, 0)))
    first = len(asked)
    for k in range(8):
        hands.move(hands.at(Cell(2, 0)) + QPoint(k % 3, k % 2))
    assert len(asked) == first
    hands.move(at)
    hands.release(at)


def test_fabric_dropped_on_a_wedge_is_laid(hands: Hands) -> None:
    at = hands.at(Cell(0, 3))
    assert hands.drag_in(fabric_mime("f1"), at) == (True, True)
    hand = holding(hands)
    assert hand.act.title == "Lay Night Ferry"
    assert hand.act.ghosts == ((Cell(0, 3), "f1"),)
    assert hands.document.project.board.at(Cell(0, 3)) is None
    assert hands.drop(fabric_mime("f1"), at)
    assert hands.document.project.board.at(Cell(0, 3)) == "f1"
    assert hands.canvas.overlay.hand is None
    hands.document.undo_stack.undo()
    assert hands.document.project.board.at(Cell(0, 3)) is None


def test_fabric_over_another_says_what_it_replaces_and_what_is_short(hands: Hands) -> None:
    hands.drag_in(fabric_mime("f0"), hands.at(Cell(0, 8)))
    hand = holding(hands)
    assert hand.act.title == "Replace Gull Stripe with Harbour Dot"
    assert "Harbour Dot would be 2 short." in hand.note
    assert "Gull Stripe would not be short any more." in hand.note
    hands.drag_out()
    assert hands.canvas.overlay.hand is None
    assert hands.document.undo_stack.count() == 0


def test_fabric_is_not_taken_by_pinned_wedges_nor_beside_them(hands: Hands) -> None:
    hands.document.pin_wedges((Cell(0, 1),), pinned=True)
    assert hands.drag_in(fabric_mime("f4"), hands.at(Cell(0, 1))) == (True, False)
    hands.drop(fabric_mime("f4"), hands.at(Cell(0, 1)))
    assert hands.document.project.board.at(Cell(0, 1)) == "f3"
    assert hands.drag_in(fabric_mime("f4"), BESIDE) == (True, False)
    hands.drag_out()


def test_files_and_unknown_fabrics_are_left_to_the_window(hands: Hands) -> None:
    files = QMimeData()
    files.setUrls([QUrl.fromLocalFile("cloth.jpg")])
    assert hands.drag_in(files, hands.at(Cell(0, 1)))[0] is False
    assert hands.drag_in(fabric_mime("gone"), hands.at(Cell(0, 1)))[0] is False
    assert hands.drop(files, hands.at(Cell(0, 1))) is False


def test_clicks_choose_wedges_plates_and_nothing(hands: Hands) -> None:
    hands.click(hands.at(Cell(1, 4)))
    assert chosen(hands) == (Cell(1, 4),)
    assert chosen_plate(hands) == 1
    hands.click(hands.at(Cell(1, 2)), Qt.KeyboardModifier.ControlModifier)
    assert chosen(hands) == (Cell(1, 4), Cell(1, 2))
    hands.click(hands.at(Cell(1, 4)), Qt.KeyboardModifier.ControlModifier)
    assert chosen(hands) == (Cell(1, 2),)
    hands.click(hands.at(Cell(1, 11)), Qt.KeyboardModifier.ShiftModifier)
    assert chosen(hands) == (Cell(1, 2), Cell(1, 1), Cell(1, 0), Cell(1, 11))
    square = hands.canvas.layout_mm.blocks[2]
    hands.click(hands.canvas.view.to_px(square.x + 10, square.y + 10).toPoint())
    assert chosen(hands) == ()
    assert chosen_plate(hands) == 2
    hands.click(BESIDE)
    assert chosen(hands) == ()
    assert chosen_plate(hands) is None


def test_edit_from_elsewhere_puts_what_is_in_the_hand_back(hands: Hands) -> None:
    hands.carry(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    hands.document.clear_wedges((Cell(0, 1),))
    assert hands.canvas.overlay.hand is None
    hands.release(hands.at(Cell(3, 6)))
    assert hands.document.undo_stack.count() == 1


def test_right_click_asks_for_a_menu_on_the_wedge(hands: Hands) -> None:
    asked: list[object] = []
    hands.canvas.menu_requested.connect(lambda _point, cell: asked.append(cell))
    at = hands.at(Cell(1, 4))
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, hands.canvas.mapToGlobal(at))
    QApplication.sendEvent(hands.canvas, event)
    assert asked == [Cell(1, 4)]
    assert chosen(hands) == (Cell(1, 4),)
