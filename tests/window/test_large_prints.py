"""A large print in the panels: the dial and the loupes go by each piece, not by its cloth."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from quiltboard.balance.chance import heavy_against_shuffles
from quiltboard.drawing.seeing import step_colour
from quiltboard.quilt.board import Cell
from tests.helpers.large_prints import large_print_project
from tests.window.conftest import MakeRoom

pytestmark = pytest.mark.qt


def test_the_dial_weighs_each_piece(make_room: MakeRoom, qtbot: QtBot) -> None:
    room = make_room(large_print_project())
    dial = room.window.balance.dial
    room.desk.choose_block(1)
    judgement, board = room.document.judgement, room.document.project.board
    ring = judgement.ring_values(board, 1)
    assert dial.lean.values == ring
    assert len(set(ring)) == 6 + 3
    qtbot.waitUntil(lambda: dial.lean.circle is not None)
    assert dial.lean.circle == heavy_against_shuffles(ring, judgement.ground_value).circle


def test_the_loupe_shows_the_steps_of_the_chosen_rings_pieces(
    make_room: MakeRoom, qtbot: QtBot
) -> None:
    room = make_room(large_print_project())
    loupe = room.window.loupes.buttons["steps"]
    room.desk.choose_block(1)
    qtbot.waitUntil(lambda: loupe.picture is not None)
    picture = loupe.picture
    assert picture is not None
    own = room.document.judgement.piece_steps
    layout = room.window.canvas.frame.layout
    square = layout.blocks[1]
    for wedge in range(1, 12, 2):
        x, y = layout.to_top(Cell(1, wedge), (0.0, 105.0))
        # The plate fills the lens but for the corners of its square.
        scale = picture.width() / (square.width * 0.96)
        at = [round((d - 0.02 * square.width) * scale) for d in (x - square.x, y - square.y)]
        assert picture.pixelColor(*at).name() == step_colour(own[Cell(1, wedge)])
