"""Judging: what the shelf says, and what a board says when it is read with it."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.errands.deal import deal_pieces, task_for
from quiltboard.errands.judge import judge, read_shelf, value_of
from quiltboard.fabrics.fabric import Amount, ByHand, Care, CutWedges, Fabric, FabricId, Reading
from quiltboard.fabrics.steps import step_names
from quiltboard.project.edits import ChangeSteps, change_top
from quiltboard.project.project import new_project
from quiltboard.shapes.wedge import usual_wedge
from tests.helpers.projects import pool_project, sample_project

WEDGE = usual_wedge(12)


def fabric(name: str, value: float, *amounts: Amount) -> Fabric:
    return Fabric(FabricId(name), name, Reading((value, 0, 0), value, value), "#777777",
                  amounts=amounts)  # fmt: skip


def test_the_shelf_knows_values_steps_and_what_there_is() -> None:
    shelf = read_shelf(
        (fabric("a", 20, CutWedges(4)), fabric("b", 50, CutWedges(4)), fabric("c", 90)), WEDGE
    )
    assert shelf.values == {"a": 20, "b": 50, "c": 90}
    assert shelf.steps == {"a": "dark", "b": "medium", "c": "light"}
    assert shelf.available == {"a": 4, "b": 4, "c": None}


def test_a_value_set_by_hand_is_the_one_judged_by() -> None:
    told = msgspec.structs.replace(fabric("a", 20), by_hand=ByHand(value=95.0))
    shelf = read_shelf((told, fabric("b", 50), fabric("c", 90), fabric("d", 20)), WEDGE)
    assert shelf.values[told.id] == 95
    assert shelf.steps[told.id] == "light"


@pytest.mark.parametrize("count", range(2, 8))
def test_a_board_is_judged_and_dealt_by_its_number_of_steps(count: int) -> None:
    fabrics = tuple(fabric(f"f{at}", 10 + 80 * at / 13) for at in range(14))
    project = msgspec.structs.replace(sample_project(), fabrics=fabrics)
    changed = ChangeSteps(count).apply(project)
    assert set(judge(changed).shelf.steps.values()) == set(step_names(count))
    assert set(task_for(changed, seed=1).steps.values()) == set(step_names(count))


def test_as_much_as_needed_weighs_like_the_average_of_the_others() -> None:
    others = (
        fabric("a", 20, CutWedges(40)),
        fabric("b", 30, CutWedges(20)),
        fabric("c", 40, CutWedges(30)),
    )
    endless = read_shelf((*others, fabric("d", 50)), WEDGE).steps
    assert endless == {"a": "dark", "b": "medium", "c": "medium", "d": "light"}
    assert endless == read_shelf((*others, fabric("d", 50, CutWedges(30))), WEDGE).steps
    none = read_shelf((*others, fabric("d", 50, CutWedges(0))), WEDGE).steps
    assert none == {"a": "dark", "b": "medium", "c": "light", "d": "light"}


def test_a_colour_and_a_fabric_have_a_value() -> None:
    known = {FabricId("kelp"): 31.5}
    assert value_of("kelp", known) == 31.5
    assert value_of("#777777", known) == pytest.approx(50.03, abs=0.01)


def test_an_empty_project_judges_clean() -> None:
    judgement = judge(new_project())
    assert judgement.report.flags == ()
    assert judgement.report.cost == 0
    assert judgement.counts == ()
    assert judgement.ground_value > 90


def test_a_ground_of_cloth_is_judged_by_that_cloth() -> None:
    project = sample_project()
    shelf = tuple(
        msgspec.structs.replace(one, reading=Reading((12.5, 0, 0), 12, 13))
        if one.id == "f1"
        else one
        for one in project.fabrics
    )
    project = msgspec.structs.replace(project, fabrics=shelf)
    judgement = judge(change_top(project.board, ground="f1").apply(project))
    assert judgement.ground_value == 12.5
    assert {count.fabric for count in judgement.counts} == {f.id for f in project.fabrics}
    assert sum(count.placed for count in judgement.counts) == project.board.places


def test_a_pool_is_judged_by_its_cloths() -> None:
    project = pool_project(2, 2)
    judgement = judge(project)
    assert judgement.shelf.pools == {"swap": 38}
    assert judgement.shelf.available == {"swap": 38}
    assert [flag.key.kind for flag in judgement.report.flags if flag.cost] == []
    (short,) = judgement.report.flags
    assert (short.key.kind, len(short.key.cells)) == ("short", 48 - 38)
    (count,) = judgement.counts
    assert (count.there, count.short) == (38, 10)


def test_a_pool_is_dealt_as_it_is_judged() -> None:
    project = pool_project(3, 1)
    task = task_for(project, seed=1)
    result = deal_pieces(task)
    assert task.pools == {"swap": 38}
    assert (result.cost, result.stopped_by) == (0, "bound")


def test_what_to_mind_is_judged_with_the_rest() -> None:
    project = sample_project(1, 1)
    first, second, *others = project.fabrics
    shelf = (
        msgspec.structs.replace(first, care=Care(washing="washed")),
        msgspec.structs.replace(second, care=Care(washing="precut")),
        *others,
    )
    (caution,) = judge(msgspec.structs.replace(project, fabrics=shelf)).cautions
    assert (caution.kind, caution.fabrics) == ("washing", (first.id, second.id))
