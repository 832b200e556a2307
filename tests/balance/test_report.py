"""Figures and sentences."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.balance.flags import find_flags
from quiltboard.balance.report import (
    Heavy,
    check_board,
    heavy_sentence,
    lean,
    ring_values,
    sentence,
)
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Block, Board, Cell, empty_board

NAMES = {
    FabricId("c"): "Coral Bed",
    FabricId("g"): "Gull Stripe",
    FabricId("h"): "Harbour Dot",
    FabricId("k"): "Kelp",
    FabricId("s"): "Salt Flat",
}
STEPS: dict[FabricId, Step] = {
    FabricId("c"): "medium",
    FabricId("g"): "light",
    FabricId("h"): "dark",
    FabricId("k"): "dark",
    FabricId("s"): "medium",
}
VALUES = {
    FabricId("c"): 55.0,
    FabricId("g"): 85.0,
    FabricId("h"): 25.0,
    FabricId("k"): 20.0,
    FabricId("s"): 60.0,
}
GROUND = 95.0


def board(*rings: str) -> Board:
    bare = empty_board(len(rings), 1, len(rings[0]))
    blocks = tuple(
        Block(tuple(None if c == "." else FabricId(c) for c in ring)) for ring in rings
    )
    return msgspec.structs.replace(bare, blocks=blocks)


def said(laid: Board, **there: int) -> list[tuple[str, str]]:
    limits = {FabricId(f): n for f, n in there.items()}
    return [sentence(flag, NAMES, laid) for flag in find_flags(laid, STEPS, limits, GROUND)]


@pytest.mark.parametrize(
    ("rings", "there", "headline", "place"),
    [
        (("gs.hg.", ".cc.s."), {}, "Coral Bed touches itself", "Plate 2, wedges 2 and 3"),
        (("c.s.gc",), {}, "Coral Bed touches itself", "Wedges 6 and 1"),
        (("gsgc..",), {}, "Gull Stripe again after one piece", "Wedges 1 and 3"),
        (("......", "s..khk"), {}, "Three darks side by side", "Plate 2, wedges 4 to 6"),
        (("hkskhkh",), {}, "Six darks side by side", "Wedges 4 to 2"),
        (("h..c..",), {"h": 0}, "Harbour Dot is 1 piece short", "1 asked for, none there"),
        (
            ("h..h..", "h..h.."),
            {"h": 2},
            "Harbour Dot is 2 pieces short",
            "4 asked for, 2 there",
        ),
        (("hkhkhk",), {}, "The whole ring is dark", "All 6 wedges"),
        (("......", "hkhkhk"), {}, "The whole ring is dark", "Plate 2, all 6 wedges"),
    ],
)
def test_a_flag_says_what_and_where(
    rings: tuple[str, ...], there: dict[str, int], headline: str, place: str
) -> None:
    assert (headline, place) in said(board(*rings), **there)


def test_a_run_past_twelve_is_counted_in_figures() -> None:
    laid = board("hk" * 6 + "hsc")
    assert ("13 darks side by side", "Wedges 1 to 13") in said(laid)


def test_a_run_of_many_steps_is_said_by_its_step() -> None:
    laid = msgspec.structs.replace(board("hkhscs"), step_count=7)
    said_of: dict[Step, str] = {
        "darkest": "Three of the darkest side by side",
        "dark": "Three darks side by side",
        "lightest": "Three of the lightest side by side",
    }
    for step, headline in said_of.items():
        steps: dict[FabricId, Step] = {FabricId("h"): step, FabricId("k"): step}
        (clump,) = (f for f in find_flags(laid, steps, {}, GROUND) if f.key.kind == "clump")
        assert sentence(clump, NAMES, laid)[0] == headline


def test_a_report_adds_up() -> None:
    report = check_board(board("ccgkhksc"), STEPS, VALUES, {FabricId("g"): 0}, GROUND)
    assert report.counts == {"short": 1, "touch": 2, "clump": 1, "close": 1}
    # Round the top the third c touches the first; k is again after one h.
    assert report.cost == 2 * 100 + 30 + 20
    assert [heavy.block for heavy in report.heavy] == [0]


def test_an_even_ring_leans_to_no_side() -> None:
    laid = board("hs" * 6, "............")
    for heavy in check_board(laid, STEPS, VALUES, {}, GROUND).heavy:
        assert (heavy.length, heavy.direction_deg) == (0.0, None)
        assert heavy_sentence(heavy) == "Leans to no side"


def test_a_ring_of_the_ground_itself_leans_to_no_side() -> None:
    assert lean(0, (GROUND, None, None, None, None, None), GROUND) == Heavy(0, 0.0, None)


@pytest.mark.parametrize(
    ("wedge", "direction", "side"),
    [
        (0, 0.0, "top"),
        (1, 45.0, "upper right"),
        (2, 90.0, "right"),
        (3, 135.0, "lower right"),
        (4, 180.0, "bottom"),
        (5, 225.0, "lower left"),
        (6, 270.0, "left"),
        (7, 315.0, "upper left"),
    ],
)
def test_one_piece_leans_to_its_own_side(wedge: int, direction: float, side: str) -> None:
    heavy = lean(3, tuple(25.0 if w == wedge else None for w in range(8)), GROUND)
    assert heavy.length == pytest.approx(1)
    assert heavy.direction_deg is not None
    assert (heavy.direction_deg - direction + 180) % 360 == pytest.approx(180)
    assert heavy_sentence(heavy) == f"Leans to the {side}, 1.00"


def test_on_a_dark_ground_the_light_weighs() -> None:
    heavy = lean(0, (85.0, 20.0, 20.0, 20.0, 20.0, 20.0), 20.0)
    assert heavy.length == pytest.approx(1)
    assert heavy.direction_deg == pytest.approx(0)


def test_a_fabric_without_a_value_is_our_fault() -> None:
    with pytest.raises(KeyError):
        ring_values(board("h....u"), 0, VALUES)


def test_a_piece_with_a_value_of_its_own_weighs_by_it() -> None:
    laid, own = board("hs.hs.", "......"), {Cell(0, 3): GROUND}
    assert ring_values(laid, 0, VALUES, own) == (25.0, 60.0, None, GROUND, 60.0, None)
    assert ring_values(laid, 1, VALUES, own) == (None,) * 6
    report = check_board(laid, STEPS, VALUES, {}, GROUND, piece_values=own)
    assert report.heavy[0] == lean(0, ring_values(laid, 0, VALUES, own), GROUND)
    assert report.heavy[0].length > check_board(laid, STEPS, VALUES, {}, GROUND).heavy[0].length
