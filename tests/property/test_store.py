"""Laws of keeping: what was saved is opened again, and what was noted is followed."""

from __future__ import annotations

import string
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from quiltboard.fabrics.fabric import STEPS, Cloth, CutWedges, Fabric, FabricId, Reading
from quiltboard.project.edits import (
    AddFabrics,
    ChangeBalance,
    ChangeFabric,
    ChangeTop,
    ChangeWedge,
    CopyOrder,
    Edit,
    InvalidEditError,
    PinWedges,
    PlaceFabric,
    RemoveFabric,
    Rename,
    ShowIn,
    SwapWedges,
    TurnRing,
)
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell, Weights
from quiltboard.shapes.wedge import usual_wedge
from quiltboard.store.board_file import open_board, save_board
from quiltboard.store.journal import Journal
from quiltboard.store.recovery import find_leftovers
from quiltboard.units import Length, inches
from tests.helpers.boards import pictured
from tests.helpers.journals import crash

IDS = [FabricId(f"f{k}") for k in range(4)]
CELLS = st.builds(Cell, st.integers(0, 5), st.integers(0, 15))
NAMES = st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1, max_size=60).filter(
    str.strip
)
COLOURS = st.text(string.hexdigits, min_size=6, max_size=6).map("#{}".format)
LENGTHS = st.integers(1, inches(36_000)).map(Length)
LIGHT = st.floats(0, 100)
SHARE = st.floats(0, 1)
CORNER = st.tuples(SHARE, SHARE)
AMOUNTS = st.one_of(
    st.builds(CutWedges, st.integers(0, 1_000_000)),
    st.builds(Cloth, LENGTHS, st.none() | LENGTHS),
)
PLAIN = st.builds(
    Fabric,
    id=st.sampled_from(IDS),
    name=NAMES,
    reading=st.builds(
        Reading,
        st.tuples(LIGHT, st.floats(-120, 120), st.floats(-120, 120)),
        LIGHT,
        LIGHT,
        st.lists(NAMES, max_size=2).map(tuple),
    ),
    colour=COLOURS,
    corners=st.tuples(CORNER, CORNER, CORNER, CORNER),
    amounts=st.lists(AMOUNTS, max_size=3).map(tuple),
    note=NAMES | st.just(""),
    step=st.none() | st.sampled_from(STEPS),
)
FABRICS = PLAIN | st.builds(pictured, st.sampled_from(IDS), NAMES, st.just("#2b7a7f"))
COVERS: Any = COLOURS | st.sampled_from(IDS)
WIDTHS = st.integers(0, inches(24)).map(Length)
EDITS: st.SearchStrategy[Edit] = st.one_of(
    st.builds(AddFabrics, st.tuples(FABRICS)),
    st.builds(AddFabrics, st.tuples(FABRICS, FABRICS)),
    st.builds(ChangeFabric, FABRICS),
    st.builds(RemoveFabric, st.sampled_from(IDS)),
    st.builds(
        PlaceFabric, st.lists(CELLS, min_size=1, max_size=6).map(tuple), st.sampled_from(IDS)
    ),
    st.builds(PlaceFabric, st.tuples(CELLS), st.none()),
    st.builds(SwapWedges, CELLS, CELLS),
    st.builds(TurnRing, st.integers(0, 5), st.integers(-20, 20)),
    st.builds(
        PinWedges, st.lists(CELLS, min_size=1, max_size=3).map(tuple), pinned=st.booleans()
    ),
    st.builds(CopyOrder, st.integers(0, 5), st.tuples(st.integers(0, 5))),
    st.builds(
        ChangeTop,
        st.integers(1, 3), st.integers(1, 2), WIDTHS, WIDTHS, *[COVERS] * 5,
    ),
    st.builds(ChangeWedge, st.integers(6, 16).map(usual_wedge)),
    st.builds(
        ChangeBalance,
        st.builds(Weights, st.floats(0, 1000), st.integers(0, 1000), st.floats(0, 1000)),
        st.none() | st.sampled_from([(), ("dark",), ("light", "dark")]),
    ),
    st.builds(Rename, NAMES),
    st.builds(ShowIn, st.sampled_from(["in", "cm"])),
)  # fmt: skip
RUNS = st.lists(EDITS, max_size=25)


def states_of(run: list[Edit]) -> tuple[list[Project], list[Edit]]:
    """Make those edits of a run that can be made; give every state, and the edits made."""
    states, made = [new_project()], []
    for edit in run:
        try:
            states.append(edit.apply(states[-1]))
        except InvalidEditError:
            continue
        made.append(edit)
    return states, made


@given(RUNS)
@settings(max_examples=150)
def test_opening_what_was_saved_is_identity(run: list[Edit]) -> None:
    project = states_of(run)[0][-1]
    with TemporaryDirectory() as folder:
        first, second = Path(folder, "a.quiltboard"), Path(folder, "b.quiltboard")
        save_board(project, first)
        opened, notes = open_board(first)
        assert opened == project
        assert not notes
        save_board(opened, second)
        assert first.read_bytes() == second.read_bytes()


@given(RUNS, st.lists(st.sampled_from(["edit", "undo", "redo", "save"]), max_size=40))
@settings(max_examples=100)
def test_a_journal_follows_any_going_back_and_forth(run: list[Edit], steps: list[str]) -> None:
    states, made = [new_project()], list(run)
    done = 0
    saved = new_project()
    with TemporaryDirectory() as folder:
        journal = Journal.start(Path(folder), states[0], None)
        for step in steps:
            if step == "edit" and made:
                edit = made.pop(0)
                try:
                    after = edit.apply(states[done])
                except InvalidEditError:
                    continue
                journal.append(edit)
                states[done + 1 :] = [after]
                done += 1
            elif step == "undo" and done:
                journal.undo()
                done -= 1
            elif step == "redo" and done < len(states) - 1:
                journal.redo()
                done += 1
            elif step == "save":
                journal.mark_saved(Path(folder, "a.quiltboard"))
                saved = states[done]
        crash(journal)
        found = find_leftovers(Path(folder))
        if states[done] != saved:
            assert len(found) == 1
        for leftover in found:
            recovered = leftover.recover()
            leftover.discard()
            assert recovered.project == states[done]
            assert recovered.done == done
            assert len(recovered.edits) == len(states) - 1
            assert recovered.lost == 0
