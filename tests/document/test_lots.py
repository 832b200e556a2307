"""Fabrics of one lot land one after the other and are one step of undo, after a crash too."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from quiltboard.document.dealing import Dealing
from quiltboard.document.document import Document
from quiltboard.fabrics.fabric import FabricId
from quiltboard.quilt.board import Cell
from quiltboard.store.journal import Journal
from tests.helpers.boards import plain
from tests.helpers.journals import crash, recovered_from
from tests.helpers.projects import sample_project

pytestmark = pytest.mark.qt

RED, TEAL, SAND = (plain(id_, id_.title()) for id_ in ("red", "teal", "sand"))


def test_a_lot_is_one_step_of_undo(qtbot: QtBot) -> None:
    document = Document()
    document.add_fabrics((RED,), lot=1)
    document.add_fabrics((TEAL,), lot=1)
    assert document.undo_stack.count() == 1
    document.add_fabrics((SAND,), lot=2)
    assert document.undo_stack.count() == 2
    document.undo_stack.setIndex(0)
    assert not document.project.fabrics
    document.undo_stack.setIndex(2)
    assert document.project.fabrics == (RED, TEAL, SAND)
    document.close()


def test_what_is_done_between_keeps_the_parts_of_a_lot_apart(qtbot: QtBot) -> None:
    document = Document()
    document.add_fabrics((RED,), lot=1)
    document.place_fabric((Cell(0, 0),), RED.id)
    document.add_fabrics((TEAL,), lot=1)
    assert document.undo_stack.count() == 3
    document.close()


def test_a_lot_undone_is_undone_after_a_crash_too(tmp_path: Path, qtbot: QtBot) -> None:
    document = Document()
    journal = Journal.start(tmp_path, document.project, None)
    document.keep_journal(journal)
    document.add_fabrics((RED,), lot=1)
    document.add_fabrics((TEAL,), lot=1)
    document.undo_stack.undo()
    document.add_fabrics((SAND,), lot=2)
    document.keep_journal(None)
    crash(journal)
    recovered = recovered_from(tmp_path)
    assert recovered.project.fabrics == (SAND,)
    document.close()


def test_fabrics_that_come_meanwhile_do_not_spoil_a_deal(qtbot: QtBot) -> None:
    document = Document()
    document.begin(sample_project())
    dealing = Dealing(document)
    with qtbot.waitSignal(dealing.ended, timeout=60_000) as ended:
        dealing.deal(seed=1, moves=2000)
        document.add_fabrics((RED,), lot=1)
    assert "put away" not in ended.args[0]
    with qtbot.waitSignal(dealing.ended, timeout=60_000) as ended:
        dealing.deal(seed=2, moves=2000)
        document.place_fabric((Cell(0, 0),), FabricId("red"))
    assert "put away" in ended.args[0]
    document.close()
