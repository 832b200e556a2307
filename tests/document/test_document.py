"""The document: every change is one step of undo, announced once, judged at once."""

from __future__ import annotations

import random

import pytest
from pytestqt.qtbot import QtBot

from quiltboard.document.document import Document
from quiltboard.fabrics.fabric import FabricId
from quiltboard.project.edits import (
    CopyOrder,
    Edit,
    PinWedges,
    PlaceFabric,
    SwapWedges,
    TurnRing,
)
from quiltboard.quilt.board import Cell
from tests.helpers.projects import sample_project

pytestmark = pytest.mark.qt

F0, F1 = FabricId("f0"), FabricId("f1")


@pytest.fixture
def document(qtbot: QtBot) -> Document:
    made = Document()
    made.begin(sample_project())
    return made


def unsaved(document: Document) -> bool:
    return document.modified


def test_an_edit_is_announced_judged_and_undone(document: Document, qtbot: QtBot) -> None:
    before = document.project
    with qtbot.waitSignals(
        [document.project_changed, document.judged, document.modified_changed]
    ):
        assert document.place_fabric((Cell(0, 0), Cell(0, 1)), F1)
    assert unsaved(document)
    kinds = [flag.key.kind for flag in document.judgement.report.flags]
    assert "touch" in kinds
    document.undo_stack.undo()
    assert document.project == before
    assert not unsaved(document)
    document.undo_stack.redo()
    assert document.project.board.at(Cell(0, 1)) == F1


def test_what_cannot_be_done_is_said_and_leaves_no_step(
    document: Document, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(document.refused) as refusal:
        assert not document.place_fabric((Cell(9, 9),), F1)
    assert "no such wedge" in refusal.args[0]
    assert document.undo_stack.count() == 0


def test_what_changes_nothing_leaves_no_step(document: Document) -> None:
    assert not document.turn_ring(0, 12)
    assert not document.rename(document.project.title)
    assert document.undo_stack.count() == 0


def test_a_preview_changes_nothing(document: Document) -> None:
    before = document.project
    preview = document.preview(PlaceFabric((Cell(0, 0), Cell(0, 1)), F1))
    assert preview is not None
    assert any(flag.key.kind == "touch" for flag in preview.report.flags)
    assert document.project is before
    assert document.preview(PlaceFabric((Cell(9, 9),), F1)) is None


def test_saving_meanwhile_counts_the_newer_work_as_unsaved(
    document: Document, tmp_path: object
) -> None:
    from pathlib import Path  # noqa: PLC0415

    path = Path(str(tmp_path)) / "a.quiltboard"
    written = document.project
    document.place_fabric((Cell(0, 0),), F1)
    document.saved(path, written)
    assert unsaved(document)
    document.saved(path, document.project)
    assert not unsaved(document)
    assert document.path == path


def random_edit(rng: random.Random) -> Edit:
    def cell() -> Cell:
        return Cell(rng.randrange(4), rng.randrange(12))

    fabric = FabricId(f"f{rng.randrange(8)}")
    made: list[Edit] = [
        PlaceFabric((cell(), cell()), rng.choice([fabric, None])),
        SwapWedges(cell(), cell()),
        TurnRing(rng.randrange(4), rng.randrange(-12, 12)),
        PinWedges((cell(),), rng.random() < 0.5),
        CopyOrder(rng.randrange(4), (rng.randrange(4),)),
    ]
    return rng.choice(made)


@pytest.mark.parametrize("seed", range(5))
def test_any_run_of_edits_undone_is_the_start(document: Document, seed: int) -> None:
    rng = random.Random(seed)
    start = document.project
    states = [start]
    states += [document.project for _ in range(120) if document.do(random_edit(rng), "edit")]
    for state in reversed(states[:-1]):
        document.undo_stack.undo()
        assert document.project == state
    assert document.project == start
    for state in states[1:]:
        document.undo_stack.redo()
        assert document.project == state


def test_recovered_work_can_be_undone_step_by_step(document: Document) -> None:
    base = sample_project()
    edits: list[Edit] = [PlaceFabric((Cell(0, w),), F1) for w in (0, 5, 7)]
    edits = [edit for edit in edits if edit.apply(base) != base]
    document.retrace(base, edits, len(edits) - 1, None)
    assert unsaved(document)
    assert document.undo_stack.canRedo()
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.project == base
