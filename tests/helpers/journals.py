"""Journals as a crash leaves them."""

from __future__ import annotations

from pathlib import Path

from quiltboard.fabrics.fabric import FabricId
from quiltboard.project.edits import (
    AddFabrics,
    Edit,
    PinWedges,
    PlaceFabric,
    Rename,
    TurnRing,
)
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell
from quiltboard.store.journal import Journal
from quiltboard.store.recovery import Recovered, find_leftovers
from tests.helpers.boards import pictured, plain

EDITS: tuple[Edit, ...] = (
    AddFabrics((pictured("dot", "Harbour Dot"), plain("salt", "Salt Flat"))),
    PlaceFabric((Cell(0, 0), Cell(0, 4)), FabricId("dot")),
    PlaceFabric((Cell(0, 1),), FabricId("salt")),
    PinWedges((Cell(0, 0),), pinned=True),
    TurnRing(0, 3),
    Rename("Regatta"),
)


def after(edits: tuple[Edit, ...], project: Project | None = None) -> Project:
    """Make edits one after another."""
    state = project or new_project()
    for edit in edits:
        state = edit.apply(state)
    return state


def crash(journal: Journal) -> Path:
    """Let go of a journal as the system does when its process dies."""
    journal.settle()
    let_go(journal)
    return journal.path


def let_go(journal: Journal) -> None:
    """Close a journal's file, but leave it where it is."""
    assert journal._file is not None
    journal._writer.stop()
    journal._file.close()
    journal._file = None


def recovered_from(folder: Path) -> Recovered:
    """Recover the one leftover of a folder, and release it."""
    (leftover,) = find_leftovers(folder)
    recovered = leftover.recover()
    leftover.release()
    return recovered
