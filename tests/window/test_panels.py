"""Scrap balance and piece count: they follow the document, in words."""

from __future__ import annotations

import time

import msgspec
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from quiltboard.fabrics.fabric import Care, CutWedges
from quiltboard.project.edits import ChangeFabric
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.window.balance_panel import say_share
from quiltboard.window.canvas.acts import lay_act
from quiltboard.window.dial import Dial, Lean
from quiltboard.window.theme import Theme
from tests.helpers.projects import sample_project
from tests.window.conftest import MakeRoom, Room

pytestmark = pytest.mark.qt


def lay(room: Room, *fabrics: int | None) -> None:
    """Lay the only plate from its first wedge on; the rest is bare."""
    project = room.document.project
    cells = [None if k is None else project.fabrics[k].id for k in fabrics]
    cells += [None] * (project.board.wedge.n - len(cells))
    room.document.lay_out((tuple(cells),))


@pytest.fixture
def bare(make_room: MakeRoom) -> Room:
    """Give a window with eight fabrics and one bare plate."""
    return make_room(sample_project(1, 1, 12, empty=tuple(range(12))), size=(1600, 1000))


def test_a_bare_board_is_told_what_will_be_said(bare: Room) -> None:
    balance = bare.window.balance
    assert "begins to speak" in balance.headline.text()
    assert balance.pages.currentIndex() == 1
    assert not balance.rows.rows


def test_the_headline_follows_the_board(bare: Room) -> None:
    balance = bare.window.balance
    lay(bare, 0, 0, None, None, 1)
    report = bare.document.judgement.report
    assert balance.headline.text() == f"1 flag, cost {report.cost:g}"
    assert [row.headline for row in balance.rows.rows] == ["Harbour Dot touches itself"]
    assert [row.place for row in balance.rows.rows] == ["Wedges 1 and 2"]
    assert balance.pages.currentIndex() == 0
    lay(bare, 0, 1)
    assert balance.headline.text() == "Nothing touches, nothing clumps"
    bare.document.undo_stack.undo()
    assert len(balance.rows.rows) == 1


def test_choosing_a_flag_points_at_it_and_at_its_plate(room: Room) -> None:
    fabric = room.document.project.fabrics[0].id
    room.document.place_fabric((Cell(2, 4), Cell(2, 5)), fabric)
    balance = room.window.balance
    touch = next(k for k, row in enumerate(balance.rows.rows) if row.flag.key.kind == "touch")
    view = balance.view
    view.setFocus(Qt.FocusReason.TabFocusReason)
    while view.currentIndex().row() < touch:
        QTest.keyClick(view, Qt.Key.Key_Down)
    assert room.desk.flag == balance.rows.rows[touch].flag.key
    assert room.desk.block == 2
    assert view.is_chosen(touch)


def test_a_flag_that_is_gone_is_not_chosen_any_more(bare: Room) -> None:
    lay(bare, 0, 0)
    bare.desk.point_at_flag(bare.window.balance.rows.rows[0].flag.key)
    lay(bare, 0, 1)
    assert not any(bare.window.balance.view.is_chosen(k) for k in range(2))


def test_the_question_shows_what_flags_mean_and_cost(bare: Room) -> None:
    balance = bare.window.balance
    lay(bare, 0, 0)
    bare.window.actions_of["help.flags"].trigger()
    assert balance.pages.currentIndex() == 1
    kinds = {kind: cost for kind, _, _, cost in balance.legend.meanings()}
    weights = bare.document.project.board.weights
    assert kinds["touch"] == f"{weights.touch:g} each"
    assert kinds["short"] == "a limit"
    assert set(kinds) == {"touch", "close", "clump", "short"}
    bare.window.actions_of["help.flags"].trigger()
    assert balance.pages.currentIndex() == 0


def test_the_dial_shows_the_chosen_plate_and_what_chance_says(bare: Room, qtbot: QtBot) -> None:
    balance = bare.window.balance
    lay(bare, 1, 1, 1, 1, 5, 5, 5, 5)
    lean = balance.dial.lean
    assert [value is None for value in lean.values] == [False] * 8 + [True] * 4
    assert lean.direction_deg is not None
    assert "Leans to the" in balance.leaning.text()
    qtbot.waitUntil(lambda: balance.dial.lean.circle is not None)
    assert "of its shuffles" in balance.chance.text()
    assert balance.chance.text() in balance.dial.accessibleDescription()


def test_the_plate_that_leans_most_is_shown_until_one_is_chosen(room: Room) -> None:
    heavy = room.document.judgement.report.heavy
    most = max(heavy, key=lambda h: h.length).block
    assert room.window.balance.plate.text() == f"Plate {most + 1}, leans most"
    room.desk.choose_block(3)
    assert room.window.balance.plate.text() == "Plate 4"


@pytest.mark.parametrize(
    ("share", "said"),
    [(1.0, "10 in 10"), (0.4, "4 in 10"), (0.05, "1 in 20"), (0.001, "1 in 1000")],
)
def test_shares_are_said_without_reckoning(share: float, said: str) -> None:
    assert say_share(share) == said


def test_the_pin_stands_where_the_dark_gathers(qtbot: QtBot) -> None:
    """Draw a heavy right side: ink lies right of the middle, none left of it."""
    dial = Dial(Theme(choice="light"))
    qtbot.addWidget(dial)
    dial.resize(160, 160)
    dial.show_lean(Lean((50.0,) * 12, 0.4, 90.0, 0.3))
    picture = dial.grab().toImage()
    ratio = picture.devicePixelRatio()

    def ink_at(point: QPointF) -> bool:
        colour = picture.pixelColor((point * ratio).toPoint())
        return colour.lightness() < 60

    assert any(ink_at(QPointF(80 + dx, 80)) for dx in range(10, 28))
    assert not any(ink_at(QPointF(80 - dx, 80)) for dx in (6, 8, 10, 12))
    assert any(ink_at(QPointF(x, 80)) for x in range(146, 160))


def test_counts_follow_the_board_tightest_first(bare: Room) -> None:
    count = bare.window.count
    assert not count.invitation.isHidden()
    lay(bare, 0, 1, 0, None, 2)
    assert count.invitation.isHidden()
    assert [row.fabric.name for row in count.rows.rows] == [
        "Harbour Dot",
        "Night Ferry",
        "Gull Stripe",
    ]
    assert count.rows.rows[0].figures == ("2", "6", "8", "–")
    assert count.rest.text() == "5 more fabrics, none on the board"


def test_what_is_short_comes_first_and_is_said(bare: Room) -> None:
    fabric = msgspec.structs.replace(bare.document.project.fabrics[5], amounts=(CutWedges(1),))
    bare.document.do(ChangeFabric(fabric), "fewer")
    lay(bare, 0, 5, 1, 5, 2, 5)
    row = bare.window.count.rows.rows[0]
    assert row.fabric.name == "Salt Flat"
    assert row.figures[3] == "2"
    assert row.spoken.endswith("2 short")


def test_a_full_board_needs_no_column_for_all_plates(make_room: MakeRoom) -> None:
    room = make_room(sample_project(1, 1, 12))
    assert list(room.window.count.row_painter.columns) == [0, 2, 3]
    room.document.clear_wedges((Cell(0, 0),))
    assert list(room.window.count.row_painter.columns) == [0, 1, 2, 3]


def test_choosing_a_count_chooses_the_fabric_on_the_shelf(bare: Room) -> None:
    lay(bare, 0, 1, 2)
    view = bare.window.count.view
    view.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(view, Qt.Key.Key_Down)
    chosen = bare.desk.fabric
    assert chosen == bare.window.count.rows.rows[1].fabric.id
    shelf = bare.window.shelf
    assert shelf.view.is_chosen(shelf.rows.row_of(chosen))


def test_panels_show_what_a_piece_in_the_hand_would_come_to(bare: Room) -> None:
    from quiltboard.project.edits import PlaceFabric  # noqa: PLC0415

    lay(bare, 0, None, 1)
    fabric = bare.document.project.fabrics[0].id
    edit = PlaceFabric((Cell(0, 1),), fabric)
    preview = bare.document.preview(edit)
    bare.window.canvas.previewed.emit(preview, edit.apply(bare.document.project))
    assert "cost 100" in bare.window.balance.headline.text()
    assert bare.window.count.rows.rows[0].figures[0] == "2"
    bare.window.canvas.previewed.emit(None, None)
    assert bare.window.balance.headline.text() == "Nothing touches, nothing clumps"


def test_a_row_that_goes_does_not_hand_its_choice_on(room: Room) -> None:
    balance, count, desk = room.window.balance, room.window.count, room.desk
    fabric = room.document.project.fabrics[0].id
    count.view.setCurrentIndex(count.rows.index(count.rows.row_of(fabric)))
    balance.view.setCurrentIndex(balance.rows.index(len(balance.rows.rows) - 1))
    flag, block = desk.flag, desk.block
    assert flag is not None
    assert desk.fabric == fabric
    room.document.lay_out(tuple((None,) * 12 for _ in room.document.project.board.blocks))
    assert not balance.rows.rows
    assert (desk.flag, desk.block, desk.fabric) == (flag, block, fabric)
    cells = room.document.project.fabrics[1].id
    room.document.place_fabric((Cell(0, 0), Cell(0, 1)), cells)
    assert (desk.flag, desk.block, desk.fabric) == (flag, block, fabric)


def test_sentences_count_the_piece_that_is_in_the_hand(bare: Room) -> None:
    fabric = bare.document.project.fabrics[0]
    bare.document.change_fabric(msgspec.structs.replace(fabric, amounts=(CutWedges(1),)))
    lay(bare, 0, 1, 0, 2)
    shown = bare.window.balance.rows
    assert [row.headline for row in shown.rows if row.flag.key.kind == "short"] == [
        "Harbour Dot is 1 piece short"
    ]
    canvas = bare.window.canvas
    canvas.consider(lay_act(bare.document.project, fabric.id, Cell(0, 6)))
    short = next(row for row in shown.rows if row.flag.key.kind == "short")
    assert (short.headline, short.place) == (
        "Harbour Dot is 2 pieces short",
        "3 asked for, 1 there",
    )
    canvas.consider(lay_act(bare.document.project, fabric.id, None))
    short = next(row for row in shown.rows if row.flag.key.kind == "short")
    assert (short.headline, short.place) == (
        "Harbour Dot is 1 piece short",
        "2 asked for, 1 there",
    )


def test_a_change_on_a_large_board_costs_the_panels_little(make_room: MakeRoom) -> None:
    """Tell eight fabrics' panels of a change among 2,400 wedges within a few ms each time."""
    room = make_room(sample_project(10, 20, 12), size=(1600, 1000))
    window = room.window
    panels = (window.balance, window.count, window.shelf, window.steps)
    took = []
    for k in range(9):
        room.document.clear_wedges((Cell(k, k),))
        start = time.perf_counter()
        for panel in panels:
            panel._on_judged(room.document.judgement)
        took.append(time.perf_counter() - start)
    assert sorted(took)[4] < 0.015


def minding(project: Project) -> Project:
    """Give a project with washed and unwashed cloth, and a red that was not tested."""
    cares = (Care(washing="washed"), Care(washing="unwashed"))
    shelf = [
        msgspec.structs.replace(fabric, care=cares[k % 2])
        for k, fabric in enumerate(project.fabrics)
    ]
    red = msgspec.structs.replace(shelf[0].reading, lab=(40.0, 60.0, 30.0))
    shelf[0] = msgspec.structs.replace(shelf[0], reading=red)
    return msgspec.structs.replace(project, fabrics=tuple(shelf))


def test_what_to_mind_stands_beneath_the_flags(make_room: MakeRoom) -> None:
    room = make_room(minding(sample_project(1, 1)), size=(1600, 1000))
    balance = room.window.balance
    said = [caution.sentence for caution in room.document.judgement.cautions]
    assert len(said) == 2
    assert balance.minding.isVisible()
    assert [note.text() for note in balance.minding.notes] == said
    assert [note.accessibleName() for note in balance.minding.notes] == said
    flags = balance.pages.mapTo(balance, balance.pages.rect().bottomLeft()).y()
    assert balance.minding.y() > flags
    room.document.clear_wedges(tuple(cell for cell, _ in room.document.project.board.cells()))
    assert not balance.minding.isVisible()
    room.document.undo_stack.undo()
    assert balance.minding.isVisible()


def test_what_is_minded_goes_and_comes_sentence_by_sentence(make_room: MakeRoom) -> None:
    room = make_room(minding(sample_project(1, 1)), size=(1600, 1000))
    red = room.document.project.fabrics[0]
    tested = msgspec.structs.replace(red.care, dye_tested=True)
    room.document.do(ChangeFabric(msgspec.structs.replace(red, care=tested)), "tested")
    notes = room.window.balance.minding.notes
    assert [note.isVisible() for note in notes] == [True, False]
    assert notes[0].text().startswith("Washed and unwashed cloth meet")


def test_a_board_with_nothing_to_mind_has_no_room_for_it(bare: Room) -> None:
    assert not bare.window.balance.minding.isVisible()
    assert bare.window.balance.minding.high_px(300) == 0


@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("size", [(1280, 720), (1600, 1000)])
def test_what_to_mind_stands_in_full_at_every_size_of_letters(
    make_room: MakeRoom, qtbot: QtBot, percent: int, size: tuple[int, int]
) -> None:
    room = make_room(minding(sample_project(1, 1)), size=size, percent=percent)
    balance = room.window.balance
    notes = balance.minding.notes
    qtbot.waitUntil(lambda: all(n.height() >= n.heightForWidth(n.width()) for n in notes))
    assert all(
        balance.rect().contains(note.mapTo(balance, note.rect().bottomRight()))
        for note in notes
    )
    assert balance.pages.height() > 60


@pytest.mark.parametrize("percent", [100, 200])
def test_the_keyboard_goes_from_the_flags_to_what_to_mind(
    make_room: MakeRoom, qtbot: QtBot, percent: int
) -> None:
    room = make_room(minding(sample_project(1, 1)), size=(1280, 720), percent=percent)
    balance, area = room.window.balance, room.window.panel_area
    balance.view.setFocus(Qt.FocusReason.TabFocusReason)
    for note in balance.minding.notes:
        QTest.keyClick(room.window.focusWidget(), Qt.Key.Key_Tab)
        assert room.window.focusWidget() is note
        top = note.mapTo(area.viewport(), note.rect().topLeft()).y()
        assert 0 <= top < area.viewport().height() - 20
