"""The table of actions: unique, clash-free, complete."""

from __future__ import annotations

from collections import Counter
from typing import get_args

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QKeySequence

from quiltboard.quilt.board import Cell
from quiltboard.window.actions import MORE_KEYS, TABLE, Fact
from quiltboard.window.icons import SHAPES, icon_pixmap
from tests.window.conftest import Room

pytestmark = pytest.mark.qt


def test_ids_and_texts_are_unique() -> None:
    assert max(Counter(spec.id for spec in TABLE).values()) == 1
    parts = Counter((spec.id.split(".")[0], spec.text) for spec in TABLE)
    assert max(parts.values()) == 1


def test_no_two_actions_answer_to_one_key() -> None:
    keys = [spec.keys for spec in TABLE if spec.keys] + list(MORE_KEYS.values())
    written = [QKeySequence(key).toString() for key in keys]
    assert all(written)
    assert max(Counter(written).values()) == 1


def test_icons_bear_the_last_part_of_the_id() -> None:
    for spec in TABLE:
        if spec.icon is not None:
            assert spec.icon in SHAPES
            stem = spec.id.split(".")[1]
            assert spec.icon in {stem, "question"}, spec.id


def test_conditions_are_known_facts() -> None:
    known = set(get_args(Fact))
    assert all(set(spec.when) <= known for spec in TABLE)
    assert known == {fact for spec in TABLE for fact in spec.when}


@pytest.mark.parametrize("stem", sorted(SHAPES))
def test_an_icon_is_drawn_inside_its_square(stem: str, room: Room) -> None:
    image: QImage = icon_pixmap(stem, room.theme.colour("text"), 48).toImage()
    alpha = [
        (x, y) for x in range(48) for y in range(48) if image.pixelColor(x, y).alpha() > 30
    ]
    assert len(alpha) > 60
    xs, ys = [x for x, _ in alpha], [y for _, y in alpha]
    assert min(xs) >= 1
    assert max(xs) <= 46
    assert min(ys) >= 1
    assert max(ys) <= 46


def test_every_action_lives_in_the_window_with_its_key(room: Room) -> None:
    actions = room.window.actions_of
    for spec in TABLE:
        action = actions[spec.id]
        assert action.shortcut() == QKeySequence(spec.keys)
        home = room.window.wall if spec.on_board else room.window
        assert action in home.actions()


def test_wiring_refuses_what_is_missing(room: Room) -> None:
    with pytest.raises(KeyError, match=r"file\.new"):
        room.window.actions_of.wire({})


def test_actions_open_and_close_with_what_is_chosen(room: Room) -> None:
    actions = room.window.actions_of
    assert not actions["board.pin"].isEnabled()
    assert not actions["edit.undo"].isEnabled()
    room.desk.choose_cells((Cell(1, 2),))
    assert actions["board.pin"].isEnabled()
    room.document.clear_wedges((Cell(1, 2),))
    assert not actions["board.pin"].isEnabled()
    assert actions["edit.undo"].isEnabled()
    actions["edit.undo"].trigger()
    assert room.document.project.board.at(Cell(1, 2)) is not None
    assert actions["edit.redo"].isEnabled()


def test_pinning_twice_takes_the_pin_out(room: Room) -> None:
    room.desk.choose_cells((Cell(0, 0), Cell(0, 1)))
    pin = room.window.actions_of["board.pin"]
    pin.trigger()
    assert list(room.document.project.board.blocks[0].pins) == [0, 1]
    assert room.window.ledge.pin.text() == "Take pin out"
    pin.trigger()
    assert not room.document.project.board.blocks[0].pins


def test_turning_copying_and_clearing_act_on_the_chosen_plate(room: Room) -> None:
    actions, board = room.window.actions_of, room.document.project.board
    room.desk.choose_block(1)
    before = board.blocks[1].cells
    actions["board.turn_ring_right"].trigger()
    assert room.document.project.board.blocks[1].cells == (before[-1], *before[:-1])
    actions["board.turn_ring_left"].trigger()
    assert room.document.project.board.blocks[1].cells == before
    actions["board.copy_order"].trigger()
    assert all(block.cells == before for block in room.document.project.board.blocks)
    actions["board.clear_plate"].trigger()
    assert set(room.document.project.board.blocks[1].cells) == {None}


def test_copying_to_chosen_plates_leaves_the_others(room: Room) -> None:
    old = room.document.project.board.blocks
    room.desk.choose_cells((Cell(3, 0), Cell(2, 5)))
    room.window.actions_of["board.copy_order_chosen"].trigger()
    new = room.document.project.board.blocks
    assert new[2].cells == old[3].cells
    assert new[:2] == old[:2]


def test_ways_of_seeing_and_steps_are_radio_actions(room: Room) -> None:
    actions = room.window.actions_of
    actions["see.squint"].trigger()
    assert room.desk.seeing == "squint"
    assert not actions["see.colour"].isChecked()
    room.desk.look("grey")
    assert actions["see.grey"].isChecked()
    actions["step.wedge"].trigger()
    assert room.desk.step == "wedge"
    assert room.window.steps.buttons["wedge"].isChecked()


def test_the_board_key_is_open_only_at_the_board(room: Room) -> None:
    action = room.window.actions_of["board.clear_wedge"]
    assert action.shortcutContext() == Qt.ShortcutContext.WidgetWithChildrenShortcut
