"""Planning and dealing as whole errands."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from quiltboard.balance.deal import CannotDealError
from quiltboard.errands.bring_in import Progress
from quiltboard.errands.deal import deal_again, task_for
from quiltboard.errands.judge import judge
from quiltboard.errands.plan import NothingToPlanError, Top, plan
from quiltboard.errands.sample import dress_sample
from quiltboard.fabrics.fabric import Fabric
from quiltboard.project.edits import InvalidEditError, PinWedges, change_top
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell, Weights
from quiltboard.shapes.wedge import InvalidWedgeError
from quiltboard.units import inches
from tests.helpers.projects import sample_project


@pytest.fixture
def cloths(tmp_path: Path) -> Path:
    """Six plain colours, as much as needed of each."""
    path = tmp_path / "sea-and-brick.csv"
    colours = ("#14223f", "#23473a", "#a5482f", "#c27a4a", "#efe9dc", "#f2d9cf")
    rows = [f"Cloth {k},{colour}" for k, colour in enumerate(colours)]
    path.write_text("\n".join(["name,colour", *rows]), encoding="utf-8")
    return path


def test_a_plan_is_a_full_clean_board_titled_after_its_source(cloths: Path) -> None:
    heard: list[object] = []
    planned = plan([cloths], Top(2, 1, 10), seed=3, send=heard.append)
    board = planned.project.board
    assert planned.project.title == "Sea and brick"
    assert (board.across, board.down, board.wedge.n) == (2, 1, 10)
    assert all(fabric is not None for _, fabric in board.cells())
    assert judge(planned.project).report.cost == planned.result.cost == 0
    assert planned.problems == ()
    assert (planned.result.seed, planned.result.stopped_by) == (3, "bound")
    brought = [item for item in heard if isinstance(item, Progress | Fabric)]
    assert len(brought) == 12
    assert heard[-1] == 1.0


def test_costs_watch_and_dress_are_taken(cloths: Path) -> None:
    def dress(project: Project) -> Project:
        return change_top(project.board, sash=inches(2)).apply(project)

    planned = plan([cloths], Top(1, 1), dress=dress, weights=Weights(close=7), watch=("light",))
    board = planned.project.board
    assert (board.weights, board.watch, board.sash) == (Weights(close=7), ("light",), inches(2))


def test_the_same_seed_plans_the_same(cloths: Path) -> None:
    first, second, other = (plan([cloths], Top(1, 1), seed=seed) for seed in (1, 1, 2))
    assert first == second
    assert first.project != other.project


def test_nothing_to_plan_from_says_why(tmp_path: Path) -> None:
    with pytest.raises(NothingToPlanError, match=r"^gone\.png"):
        plan([tmp_path / "gone.png"], Top(1, 1))
    with pytest.raises(NothingToPlanError, match="no photo and no fabric list"):
        plan([], Top(1, 1))


def test_a_top_that_cannot_be_is_refused_before_anything_is_read(tmp_path: Path) -> None:
    with pytest.raises(InvalidEditError, match="1 to 40"):
        plan([tmp_path / "gone.png"], Top(0, 1))
    with pytest.raises(InvalidWedgeError, match="6 to 40"):
        plan([tmp_path / "gone.png"], Top(1, 1, 5))


def test_too_few_pieces_are_told_with_the_numbers(tmp_path: Path) -> None:
    path = tmp_path / "few.csv"
    path.write_text("name,colour,pieces\nKelp,#23473a,5\n", encoding="utf-8")
    with pytest.raises(CannotDealError, match="takes 12 wedges and there are only 5"):
        plan([path], Top(1, 1))


def test_what_was_left_out_is_named_where_too_little_is_left(tmp_path: Path) -> None:
    path = tmp_path / "few.csv"
    path.write_text("name,colour,pieces\nKelp,#23473a,5\nSalt,white,9\n", encoding="utf-8")
    with pytest.raises(CannotDealError, match=r"only 5: add fabric.*few\.csv row 3: “white”"):
        plan([path], Top(1, 1))


def test_dealing_again_is_never_worse_and_holds_what_is_pinned() -> None:
    project = sample_project(2, 1)
    held = (Cell(0, 0), Cell(1, 3))
    project = PinWedges(held, pinned=True).apply(project)
    dealt = deal_again(project, seed=5)
    assert dealt.before is project
    assert dealt.result.cost == judge(dealt.after).report.cost
    assert dealt.result.cost <= judge(project).report.cost
    assert all(dealt.after.board.at(cell) == project.board.at(cell) for cell in held)


def test_a_bare_shelf_cannot_be_dealt() -> None:
    with pytest.raises(CannotDealError, match="no fabrics to deal"):
        task_for(new_project(), seed=1)


def test_the_demo_is_dressed_from_its_own_cloth() -> None:
    project = sample_project(4, 5)
    rings = msgspec.structs.replace(project.fabrics[2], name="Beetroot Rings")
    project = msgspec.structs.replace(project, fabrics=(*project.fabrics[:2], rings))
    dressed = dress_sample(project)
    assert dressed.title == "Allotment Supper"
    assert dressed.board.centre == rings.id
    assert (dressed.board.sash, dressed.board.border) == (inches(2), inches("7/2"))
    assert dressed.board.blocks == project.board.blocks
