"""The rules of every flag."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec
import pytest

from quiltboard.balance.flags import Flag, FlagKey, Kind, find_flags, watched_steps
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Block, Board, Cell, Watched, Weights, empty_board

STEPS: Mapping[FabricId, Step] = {
    FabricId("A"): "dark",
    FabricId("B"): "dark",
    FabricId("C"): "dark",
    FabricId("D"): "dark",
    FabricId("k"): "light",
    FabricId("l"): "light",
    FabricId("m"): "light",
    FabricId("n"): "light",
    FabricId("u"): "medium",
    FabricId("v"): "medium",
    FabricId("w"): "medium",
    FabricId("?"): "mixed",
}


def board(
    *rings: str,
    weights: Weights | None = None,
    watch: tuple[Watched, ...] | None = None,
    pins: tuple[int, ...] = (),
) -> Board:
    """Lay rings spelled with a letter a fabric; a stop is an empty wedge."""
    bare = empty_board(len(rings), 1, len(rings[0]))
    blocks = tuple(
        Block(tuple(None if c == "." else FabricId(c) for c in ring), pins) for ring in rings
    )
    return msgspec.structs.replace(
        bare, blocks=blocks, weights=weights or Weights(), watch=watch
    )


def flags(laid: Board, ground: float = 95, **there: int) -> tuple[Flag, ...]:
    return find_flags(laid, STEPS, {FabricId(f): n for f, n in there.items()}, ground)


def found(laid: Board, kind: Kind, ground: float = 95) -> list[tuple[list[int], float]]:
    return [
        ([cell.wedge for cell in flag.key.cells], flag.cost)
        for flag in flags(laid, ground)
        if flag.key.kind == kind
    ]


def test_each_pair_side_by_side_is_a_touch() -> None:
    laid = board("uuvwuv", "vwuvwv")
    assert [flag for flag in flags(laid) if flag.key.kind == "touch"] == [
        Flag(FlagKey("touch", (Cell(0, 0), Cell(0, 1)), (FabricId("u"),)), 100),
        Flag(FlagKey("touch", (Cell(1, 5), Cell(1, 0)), (FabricId("v"),)), 100),
    ]


def test_three_of_a_fabric_are_two_touches_and_not_too_close() -> None:
    laid = board("uuuvwk.")
    assert found(laid, "touch") == [([0, 1], 100), ([1, 2], 100)]
    assert found(laid, "close") == []


def test_a_ring_of_one_fabric_touches_all_round() -> None:
    assert len(found(board("uuuuuu"), "touch")) == 6
    assert found(board("uuuuuu"), "close") == []


def test_next_but_one_is_too_close_over_another_piece_only() -> None:
    assert found(board("uvuwkv"), "close") == [([0, 2], 20), ([5, 1], 20)]
    assert found(board("u.uwkl"), "close") == []


def test_a_ring_of_six_lists_each_pair_once() -> None:
    assert len(found(board("uvuvuv"), "close")) == 6


def test_a_run_of_a_watched_step_is_one_clump() -> None:
    laid = board("ABCDuvwkul.v")
    assert found(laid, "clump") == [([0, 1, 2, 3], 60)]
    (clump,) = (flag for flag in flags(laid) if flag.key.kind == "clump")
    assert clump.key.fabrics == ("A", "B", "C", "D")
    assert clump.step == "dark"


def test_a_run_goes_on_over_the_top() -> None:
    assert found(board("AuvwkulvwkBC"), "clump") == [([10, 11, 0], 30)]


def test_a_ring_of_one_step_costs_each_three() -> None:
    assert found(board("ABCDABCABCDB"), "clump") == [(list(range(12)), 360)]


def test_a_ring_but_one_is_a_run() -> None:
    assert found(board("BCDABCu"), "clump") == [([0, 1, 2, 3, 4, 5], 120)]


@pytest.mark.parametrize("breaker", [".", "?", "u", "k"])
def test_empty_wedges_mixed_cloths_and_other_steps_end_a_run(breaker: str) -> None:
    assert found(board(f"AB{breaker}CDulv"), "clump") == []


def test_mixed_cloths_still_touch() -> None:
    assert found(board("??ukvl"), "touch") == [([0, 1], 100)]


def test_two_steps_side_by_side_are_two_clumps() -> None:
    assert found(board("ABCklmuv"), "clump") == [([0, 1, 2], 30), ([3, 4, 5], 30)]


def test_lights_count_where_the_ground_is_light() -> None:
    laid = board("klmuvA")
    assert found(laid, "clump", ground=70) == [([0, 1, 2], 30)]
    assert found(laid, "clump", ground=69.9) == []


def test_the_board_may_name_what_is_watched() -> None:
    assert found(board("uvwklm", watch=("medium",)), "clump") == [([0, 1, 2], 30)]
    assert found(board("ABCuvw", watch=()), "clump") == []
    assert watched_steps(board("uvwklm", watch=("medium",)), 95) == ("medium",)
    assert watched_steps(board("uvwklm"), 20) == ("dark",)


@pytest.mark.parametrize(
    ("count", "darks", "mediums"),
    [
        (2, ("dark",), ("medium",)),
        (3, ("dark",), ("medium",)),
        (4, ("dark",), ("medium", "dark medium", "light medium")),
        (5, ("dark",), ("medium", "dark medium", "light medium")),
        (6, ("dark", "darkest"), ("medium", "dark medium", "light medium")),
        (7, ("dark", "darkest"), ("medium", "dark medium", "light medium")),
    ],
)
def test_darks_and_mediums_of_many_steps_are_watched_together(
    count: int, darks: tuple[Step, ...], mediums: tuple[Step, ...]
) -> None:
    laid = msgspec.structs.replace(board("uvwklm"), step_count=count)
    assert watched_steps(laid, 20) == darks
    lights = tuple(step.replace("dark", "light") for step in darks)
    assert watched_steps(laid, 95) == darks + lights
    named = msgspec.structs.replace(laid, watch=("medium",))
    assert watched_steps(named, 20) == mediums


def test_a_run_is_of_one_step_all_along() -> None:
    steps: dict[FabricId, Step] = {
        FabricId("A"): "dark", FabricId("B"): "darkest", FabricId("u"): "medium",
    }  # fmt: skip
    laid = msgspec.structs.replace(board("BBBuAAuu"), step_count=7)
    runs = [flag for flag in find_flags(laid, steps, {}, 20) if flag.key.kind == "clump"]
    assert [(len(flag.key.cells), flag.step) for flag in runs] == [(3, "darkest")]
    mixed_up = msgspec.structs.replace(board("ABAuABuu"), step_count=7)
    assert not [f for f in find_flags(mixed_up, steps, {}, 20) if f.key.kind == "clump"]


def test_a_kind_that_costs_nothing_is_not_watched() -> None:
    laid = board("AABCAukul", weights=Weights(touch=0, clump=0, close=0))
    assert flags(laid) == ()
    assert flags(laid, A=2) == (Flag(FlagKey("short", (Cell(0, 4),), (FabricId("A"),)), 0),)


def test_short_marks_the_last_laid_that_are_not_pinned() -> None:
    laid = board("ukAuvl", "uvkulv", pins=(3,))
    (short,) = (flag for flag in flags(laid, u=2, k=2) if flag.key.kind == "short")
    # Of u on 0.0, 0.3 (pinned), 1.0 and 1.3 (pinned), two are there.
    assert short == Flag(FlagKey("short", (Cell(0, 0), Cell(1, 0)), (FabricId("u"),)), 0)


def test_short_marks_pinned_pieces_where_no_others_are_left() -> None:
    laid = board("ukAuvl", "uvkulv", pins=(3,))
    (short,) = (flag for flag in flags(laid, u=1) if flag.key.kind == "short")
    assert short.key.cells == (Cell(0, 0), Cell(1, 0), Cell(1, 3))


def test_the_heaviest_kinds_come_first() -> None:
    kinds = [flag.key.kind for flag in flags(board("ukukll", "ABCAAu"), A=1)]
    assert kinds == sorted(kinds, key=["short", "touch", "clump", "close"].index)
    assert set(kinds) == {"short", "touch", "clump", "close"}


def test_an_empty_board_has_no_flags() -> None:
    assert flags(board("......")) == ()


def test_the_pieces_of_a_pool_are_different_cloths() -> None:
    laid = board("uuvuwvw.")
    assert find_flags(laid, STEPS, {}, 95, {FabricId("u")}) == (
        Flag(FlagKey("close", (Cell(0, 4), Cell(0, 6)), (FabricId("w"),)), 20),
    )


def test_a_pool_clumps_and_is_short_like_any_fabric() -> None:
    laid = board("AAAuvw")
    kinds = [
        f.key.kind for f in find_flags(laid, STEPS, {FabricId("A"): 2}, 95, {FabricId("A")})
    ]
    assert kinds == ["short", "clump"]


def test_a_fabric_on_both_sides_of_a_pools_piece_is_too_close() -> None:
    laid = board("vuvkwl")
    assert [f.key.kind for f in find_flags(laid, STEPS, {}, 95, {FabricId("u")})] == ["close"]


def test_a_piece_with_a_step_of_its_own_clumps_by_that() -> None:
    laid = board("AuAvkl", "AAAuvw")
    assert [flag.key.kind for flag in find_flags(laid, STEPS, {}, 20)] == [
        "touch", "touch", "clump", "close",
    ]  # fmt: skip
    own: dict[Cell, Step] = {Cell(0, 1): "dark", Cell(1, 1): "medium"}
    clumps = [f for f in find_flags(laid, STEPS, {}, 20, (), own) if f.key.kind == "clump"]
    assert clumps == [
        Flag(
            FlagKey(
                "clump",
                (Cell(0, 0), Cell(0, 1), Cell(0, 2)),
                (FabricId("A"), FabricId("u")),
            ),
            30,
            "dark",
        )
    ]
