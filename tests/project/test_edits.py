"""Every edit: what it does, what it refuses, and that it leaves the old project as it was."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.fabrics.fabric import FabricId
from quiltboard.project.edits import (
    MOST_FABRICS,
    AddFabrics,
    ChangeBalance,
    ChangeFabric,
    ChangeSteps,
    ChangeWedge,
    CopyOrder,
    Edit,
    InvalidEditError,
    LayOut,
    PinWedges,
    PlaceFabric,
    RemoveFabric,
    Rename,
    ShowIn,
    SwapWedges,
    TurnRing,
    change_top,
)
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell, Weights
from quiltboard.shapes.wedge import Wedge, usual_wedge
from quiltboard.units import inches
from tests.helpers.boards import plain
from tests.helpers.projects import sample_project

F0, F1 = FabricId("f0"), FabricId("f1")


def cells(project: Project, block: int = 0) -> tuple[FabricId | None, ...]:
    return project.board.blocks[block].cells


def test_laying_and_taking_off() -> None:
    project = sample_project()
    laid = PlaceFabric((Cell(0, 0), Cell(1, 5)), F1).apply(project)
    assert laid.board.at(Cell(0, 0)) == laid.board.at(Cell(1, 5)) == F1
    bare = PlaceFabric((Cell(0, 0),), None).apply(laid)
    assert bare.board.at(Cell(0, 0)) is None
    assert laid.board.blocks[2] is project.board.blocks[2]


def test_swapping() -> None:
    project = sample_project()
    first, second = Cell(0, 1), Cell(3, 7)
    swapped = SwapWedges(first, second).apply(project)
    assert swapped.board.at(first) == project.board.at(second)
    assert swapped.board.at(second) == project.board.at(first)
    assert SwapWedges(first, second).apply(swapped) == project


def test_a_turned_ring_takes_its_pins_along() -> None:
    project = PinWedges((Cell(0, 11),), pinned=True).apply(sample_project())
    turned = TurnRing(0, 1).apply(project)
    assert cells(turned)[0] == cells(project)[11]
    assert turned.board.blocks[0].pins == (0,)
    assert TurnRing(0, 11).apply(turned) == project


def test_a_pinned_piece_stays() -> None:
    project = PinWedges((Cell(0, 3),), pinned=True).apply(sample_project())
    for edit in (
        PlaceFabric((Cell(0, 3),), F1),
        PlaceFabric((Cell(0, 2), Cell(0, 3)), None),
        SwapWedges(Cell(0, 3), Cell(0, 4)),
    ):
        with pytest.raises(InvalidEditError, match="pinned"):
            edit.apply(project)
    free = PinWedges((Cell(0, 3),), pinned=False).apply(project)
    assert free == sample_project()


def test_an_empty_wedge_takes_no_pin() -> None:
    with pytest.raises(InvalidEditError, match="lay a fabric there first"):
        PinWedges((Cell(0, 0),), pinned=True).apply(sample_project(empty=(0,)))


def test_copying_an_order_passes_by_the_pinned() -> None:
    project = PinWedges((Cell(2, 4),), pinned=True).apply(sample_project())
    held = project.board.at(Cell(2, 4))
    copied = CopyOrder(0, (1, 2)).apply(project)
    assert cells(copied, 1) == cells(project, 0)
    wanted = list(cells(project, 0))
    wanted[4] = held
    assert cells(copied, 2) == tuple(wanted)
    assert cells(copied, 3) == cells(project, 3)


def test_laying_all_out_at_once() -> None:
    project = PinWedges((Cell(0, 0),), pinned=True).apply(sample_project())
    rings = [list(block.cells) for block in project.board.blocks]
    rings[1][5] = None
    laid = LayOut(tuple(map(tuple, rings))).apply(project)
    assert laid.board.at(Cell(1, 5)) is None
    assert laid.board.pinned(Cell(0, 0))
    rings[0][0] = None
    with pytest.raises(InvalidEditError, match="move a pinned piece"):
        LayOut(tuple(map(tuple, rings))).apply(project)
    with pytest.raises(InvalidEditError, match="another board"):
        LayOut(((F0,) * 12,)).apply(project)


def test_adding_changing_and_removing_fabrics() -> None:
    project = AddFabrics((plain("new", "Sea Glass"),)).apply(sample_project())
    new = project.fabric(FabricId("new"))
    project = ChangeFabric(msgspec.structs.replace(new, name="Foam")).apply(project)
    assert project.names()[FabricId("new")] == "Foam"
    with pytest.raises(InvalidEditError, match="share a name"):
        AddFabrics((plain("other", "foam"),)).apply(project)
    with pytest.raises(InvalidEditError, match="share a name"):
        AddFabrics((plain("new", "Another"),)).apply(project)
    with pytest.raises(InvalidEditError, match="letters"):
        AddFabrics((plain("long", "x" * 61),)).apply(project)
    with pytest.raises(InvalidEditError, match="not on the shelf"):
        ChangeFabric(plain("unknown", "Nobody")).apply(project)


def test_a_shelf_holds_so_many_and_no_more() -> None:
    many = tuple(plain(f"f{k}", f"Print {k}") for k in range(MOST_FABRICS))
    full = AddFabrics(many).apply(new_project())
    assert full.fabrics == many
    with pytest.raises(InvalidEditError, match="at most 500 fabrics"):
        AddFabrics((plain("more", "One More"),)).apply(full)


def test_removing_a_fabric_takes_it_off_the_board_pins_and_all() -> None:
    project = sample_project()
    where = next(cell for cell, fabric in project.board.cells() if fabric == F0)
    project = PinWedges((where,), pinned=True).apply(project)
    project = change_top(project.board, ground="f0").apply(project)
    gone = RemoveFabric(F0).apply(project)
    assert F0 not in gone.by_id()
    assert all(fabric != F0 for _, fabric in gone.board.cells())
    assert not gone.board.pinned(where)
    assert gone.board.ground == project.fabric(F0).colour


def test_plates_keep_their_row_and_column_when_the_top_changes() -> None:
    project = sample_project()
    wide = change_top(project.board, across=3, down=1).apply(project)
    assert wide.board.blocks[:2] == project.board.blocks[:2]
    assert set(cells(wide, 2)) == {None}
    tall = change_top(project.board, across=1, down=3).apply(project)
    assert tall.board.blocks[1] == project.board.blocks[2]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"across": 0}, "1 to 40"),
        ({"across": 41}, "1 to 40"),
        ({"across": 40, "down": 11}, "at most 400"),
        ({"sash": inches(25)}, "0 to 24 in"),
        ({"border": -1}, "0 to 24 in"),
        ({"centre": "nothing"}, "not on the shelf"),
    ],
)
def test_a_top_out_of_bounds_is_refused(changes: dict[str, object], says: str) -> None:
    project = sample_project()
    with pytest.raises(InvalidEditError, match=says):
        change_top(project.board, **changes).apply(project)


def test_another_wedge_keeps_what_fits() -> None:
    project = PinWedges((Cell(0, 11), Cell(0, 2)), pinned=True).apply(sample_project())
    fewer = ChangeWedge(usual_wedge(8)).apply(project)
    assert cells(fewer) == cells(project)[:8]
    assert fewer.board.blocks[0].pins == (2,)
    more = ChangeWedge(usual_wedge(16)).apply(project)
    assert cells(more) == cells(project) + (None,) * 4
    with pytest.raises(InvalidEditError, match="leave the block"):
        ChangeWedge(Wedge(12, inches(9), inches(1))).apply(project)
    with pytest.raises(InvalidEditError, match="6 to 40"):
        ChangeWedge(Wedge(3, inches(4), inches(1))).apply(project)


def test_costs_titles_and_units() -> None:
    project = sample_project()
    watched = ChangeBalance(Weights(touch=7), ("dark",)).apply(project)
    assert (watched.board.weights.touch, watched.board.watch) == (7, ("dark",))
    with pytest.raises(InvalidEditError, match="cost of a close"):
        ChangeBalance(Weights(close=-1), None).apply(project)
    assert Rename("  Supper ").apply(project).title == "Supper"
    with pytest.raises(InvalidEditError, match="letters"):
        Rename("  ").apply(project)
    assert ShowIn("cm").apply(project).board.unit == "cm"


@pytest.mark.parametrize("count", range(2, 8))
def test_a_set_is_parted_into_two_to_seven_steps(count: int) -> None:
    project = sample_project()
    assert project.board.step_count == 3
    changed = ChangeSteps(count).apply(project)
    assert changed.board.step_count == count
    assert changed.fabrics == project.fabrics


@pytest.mark.parametrize("count", [-1, 0, 1, 8, 1000])
def test_no_other_number_of_steps(count: int) -> None:
    with pytest.raises(InvalidEditError, match=f"2 to 7 value steps, not {count}"):
        ChangeSteps(count).apply(sample_project())


@pytest.mark.parametrize(
    "edit",
    [
        PlaceFabric((), F0),
        PlaceFabric((Cell(4, 0),), F0),
        PlaceFabric((Cell(0, 12),), F0),
        PlaceFabric((Cell(0, -1),), F0),
        PlaceFabric((Cell(0, 0),), FabricId("nothing")),
        SwapWedges(Cell(0, 0), Cell(9, 0)),
        TurnRing(4, 1),
        CopyOrder(0, (4,)),
        RemoveFabric(FabricId("nothing")),
    ],
)
def test_what_is_not_there_is_refused_and_nothing_changes(edit: Edit) -> None:
    project = sample_project()
    with pytest.raises(InvalidEditError):
        edit.apply(project)
    assert project == sample_project()


def test_edits_survive_being_written_down() -> None:
    for edit in (PlaceFabric((Cell(0, 1),), F0), TurnRing(0, -3), Rename("Supper")):
        written = msgspec.msgpack.encode(edit)
        assert msgspec.msgpack.decode(written, type=Edit) == edit
