"""What the command line says of a board, as JSON and in words, sentence by sentence."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from quiltboard.balance.annealing import Stop
from quiltboard.balance.deal import DealResult
from quiltboard.errands.deal import Dealt
from quiltboard.errands.plan import Planned
from quiltboard.errands.report import (
    CautionReport,
    CellReport,
    CheckReport,
    FlagReport,
    HeavyReport,
    LaidReport,
    PiecesReport,
    check_report,
    check_text,
    deal_report,
    deal_text,
    plan_report,
    plan_text,
)
from quiltboard.fabrics.fabric import Care, CutWedges, FabricId
from quiltboard.project.edits import ChangeBalance, PlaceFabric
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Block, Cell, Weights, empty_board
from tests.helpers.boards import plain

KELP, SALT, LANTERN = (FabricId(name) for name in ("kelp", "salt", "lantern"))
SHELF = (
    msgspec.structs.replace(plain("kelp", "Kelp", "#23473a"), amounts=(CutWedges(3),)),
    plain("salt", "Salt Flat"),
    msgspec.structs.replace(plain("lantern", "Lantern", "#d59a33"), amounts=(CutWedges(9),)),
)


def laid(*rings: str) -> Project:
    """Lay plates: k is Kelp, s Salt Flat, l Lantern, a dot nothing."""
    fabric = {"k": KELP, "s": SALT, "l": LANTERN, ".": None}
    blocks = tuple(Block(tuple(fabric[sign] for sign in ring)) for ring in rings)
    bare = empty_board(len(rings), 1, len(rings[0]))
    board = msgspec.structs.replace(bare, blocks=blocks, watch=())
    return Project("Supper", board, SHELF)


def dealt_as(project: Project, stopped_by: Stop) -> DealResult:
    cells = tuple(block.cells for block in project.board.blocks)
    return DealResult(cells, cost=100, moves=12_345, stopped_by=stopped_by, seed=7)


def test_check_gives_everything_that_is_known() -> None:
    assert check_report(laid("kkl...", "k.l...")) == CheckReport(
        cost=100,
        flags=(
            FlagReport(
                "touch",
                ("Kelp",),
                (CellReport(0, 0), CellReport(0, 1)),
                "Kelp touches itself. Plate 1, wedges 1 and 2.",
            ),
        ),
        heavy=check_report(laid("kkl...", "k.l...")).heavy,
        pieces=(
            PiecesReport("kelp", "Kelp", 3, 3, 0),
            PiecesReport("lantern", "Lantern", 2, 9, 0),
            PiecesReport("salt", "Salt Flat", 0, None, 0),
        ),
        cells=tuple(
            LaidReport(block, wedge, name, *((91, "medium") if name else (None, None)))
            for block, ring in enumerate(
                (["Kelp", "Kelp", "Lantern", None, None, None],
                 ["Kelp", None, "Lantern", None, None, None])
            )
            for wedge, name in enumerate(ring)
        ),
        cautions=(),
    )  # fmt: skip


def test_check_tells_what_to_mind() -> None:
    project = laid("kl....")
    kelp, salt, lantern = project.fabrics
    shelf = (
        msgspec.structs.replace(kelp, care=Care(washing="washed")),
        salt,
        msgspec.structs.replace(lantern, care=Care(washing="unwashed")),
    )
    project = msgspec.structs.replace(project, fabrics=shelf)
    (caution,) = check_report(project).cautions
    assert caution == CautionReport("washing", ("Kelp", "Lantern"), caution.message)
    assert caution.message.startswith("Washed and unwashed cloth meet: Kelp is washed, Lantern")
    assert list(check_text(project))[1] == f"  mind   {caution.message}"


def test_check_tells_where_each_plate_leans() -> None:
    leans, even = check_report(laid("k.....", "......")).heavy
    assert leans == HeavyReport(0, 1.0, 0.0)
    assert even == HeavyReport(1, 0.0, None)


def test_check_in_words_with_many_plates() -> None:
    assert list(check_text(laid("kkl...", "kk...."))) == [
        "Supper: 3 flags, cost 200",
        "  short  Kelp is 1 piece short. 4 asked for, 3 there.",
        "  touch  Kelp touches itself. Plate 1, wedges 1 and 2.",
        "  touch  Kelp touches itself. Plate 2, wedges 1 and 2.",
        "  Plate 2 leans most: Leans to the upper right, 0.87",
        "             placed  there  short",
        "  Kelp            4      3      1",
        "  Lantern         1      9      -",
        "  Salt Flat       0    any      -",
    ]


@pytest.mark.parametrize(
    ("ring", "says"),
    [
        ("k.l.s.", "Supper: nothing flagged, cost 0"),
        ("kk....", "Supper: 1 flag, cost 100"),
    ],
)
def test_check_counts_flags_in_plain_words(ring: str, says: str) -> None:
    assert next(check_text(laid(ring))) == says


def test_check_of_one_plate_does_not_name_it() -> None:
    assert list(check_text(laid("k.....")))[1] == "  Leans to the top, 1.00"


def test_check_of_an_empty_board_has_no_table() -> None:
    assert list(check_text(new_project())) == [
        "New quilt: nothing flagged, cost 0",
        "  Leans to no side",
    ]


@pytest.mark.parametrize(
    ("stopped_by", "says"),
    [
        ("moves", "its budget of moves was used"),
        ("clock", "the time was up"),
        ("asked", "it was stopped"),
        ("bound", "nothing can be better"),
    ],
)
def test_a_plan_says_what_it_came_to_and_what_was_written(stopped_by: Stop, says: str) -> None:
    project = laid("kk.l..", "l.....")
    planned = Planned(project, dealt_as(project, stopped_by), ())
    files = [Path("out/supper.quiltboard"), Path("out/supper-sheets.pdf")]
    report = plan_report(planned, files[0], files)
    assert report.board == str(files[0])
    assert report.cost == 100
    assert report.flags == {"short": 0, "touch": 1, "clump": 0, "close": 0}
    assert report.files == tuple(map(str, files))
    assert list(plan_text(planned, report)) == [
        f"Supper: 2 × 1 plates of 6, 1 flag, cost 100 ({says})",
        "             placed  there  short",
        "  Kelp            2      3      -",
        "  Lantern         2      9      -",
        "  Salt Flat       0    any      -",
        "Written:",
        f"  {files[0]}",
        f"  {files[1]}",
    ]


def test_a_deal_says_what_it_cost_before_and_now() -> None:
    before = laid("kk.kk.")
    after = PlaceFabric((Cell(0, 0), Cell(0, 3)), None).apply(before)
    dealt = Dealt(before, after, dealt_as(after, "bound"))
    report = deal_report(dealt, Path("supper-dealt.quiltboard"))
    assert (report.before, report.cost) == (200, 0)
    assert report.flags == {"short": 0, "touch": 0, "clump": 0, "close": 0}
    cost, written = deal_text(report)
    assert cost == (
        "Cost 200 before, 0 now; nothing flagged "
        "(12,345 moves with seed 7: nothing can be better)"
    )
    assert written == "Written: supper-dealt.quiltboard"


def test_costs_that_are_asked_for_are_what_is_said() -> None:
    dear = ChangeBalance(Weights(touch=2.5), ()).apply(laid("kk...."))
    assert next(check_text(dear)) == "Supper: 1 flag, cost 2.5"
