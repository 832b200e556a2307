"""Cautions: washed beside unwashed, and dyes that may run onto light cloth."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec
import pytest

from quiltboard.balance.cautions import Caution, find_cautions, may_bleed
from quiltboard.fabrics.fabric import Care, Fabric, FabricId, Step
from quiltboard.fabrics.measure import reading_of_colour
from quiltboard.fabrics.reading import Direction, Lab, Print, Repeat, Tint
from quiltboard.quilt.board import Block, Board, empty_board
from quiltboard.units import inches

RED, NAVY, CREAM, OCHRE, SLATE = "#b3202c", "#14223f", "#efe9dc", "#d59a33", "#5a6670"
LIGHT, DARK = 95.0, 30.0


def cloth(name: str, colour: str, care: Care | None = None) -> Fabric:
    return Fabric(FabricId(name), name, reading_of_colour(colour), colour, care=care or Care())


def board(*ring: str | None, **parts: str) -> Board:
    """Lay the first wedges of one plate; the rest is bare."""
    cells = tuple(None if name is None else FabricId(name) for name in ring)
    bare = empty_board(1, 1, 12)
    return msgspec.structs.replace(
        bare, blocks=(Block((*cells, *(None,) * (12 - len(cells)))),), **parts
    )


def cautions(
    laid: Board,
    *fabrics: Fabric,
    ground: float = LIGHT,
    steps: Mapping[FabricId, Step] | None = None,
) -> tuple[Caution, ...]:
    return find_cautions(laid, fabrics, steps or {}, ground)


WASHED, UNWASHED, PRECUT = (Care(washing=how) for how in ("washed", "unwashed", "precut"))


def test_washed_and_unwashed_cloth_on_one_board_are_told() -> None:
    butt, frill = cloth("Rain Butt", SLATE, WASHED), cloth("Kale Frill", OCHRE, UNWASHED)
    (caution,) = cautions(board("Rain Butt", None, "Kale Frill"), butt, frill)
    assert (caution.kind, caution.fabrics) == ("washing", ("Rain Butt", "Kale Frill"))
    assert caution.sentence == (
        "Washed and unwashed cloth meet: Rain Butt is washed, Kale Frill is not. Unwashed "
        "cotton shrinks by up to 3\u00a0% in its first wash and puckers what it is sewn to: "
        "wash all of it before you cut, or none. Your own test, and what the maker of the "
        "cloth or the dye says, go before this."
    )


def test_precut_pieces_are_unwashed_and_are_left_so() -> None:
    fabrics = (
        cloth("a", SLATE, WASHED),
        cloth("b", OCHRE, WASHED),
        cloth("c", CREAM, PRECUT),
        cloth("d", SLATE, UNWASHED),
    )
    (caution,) = cautions(board("a", "b", "c", "d"), *fabrics)
    assert "a and b are washed, c and d are not." in caution.sentence
    assert "Precut pieces are left unwashed" in caution.sentence


@pytest.mark.parametrize("second", [WASHED, Care()])
def test_cloth_of_one_state_or_of_which_nothing_is_told_is_let_be(second: Care) -> None:
    fabrics = (cloth("a", SLATE, WASHED), cloth("b", OCHRE, second))
    assert cautions(board("a", "b"), *fabrics) == ()


def test_unwashed_and_precut_cloth_go_together() -> None:
    fabrics = (cloth("a", SLATE, UNWASHED), cloth("b", OCHRE, PRECUT))
    assert cautions(board("a", "b"), *fabrics) == ()


def test_cloth_that_is_not_on_the_board_is_let_be() -> None:
    fabrics = (cloth("a", SLATE, WASHED), cloth("b", OCHRE, UNWASHED), cloth("c", RED))
    assert cautions(board("a"), *fabrics) == ()


@pytest.mark.parametrize(
    ("part", "across", "down", "counts"),
    [
        ("ground", 1, 1, True),
        ("centre", 1, 1, True),
        ("frame", 1, 1, True),
        ("sashing", 1, 1, False),
        ("sashing", 2, 1, True),
        ("cornerstone", 2, 1, False),
        ("cornerstone", 2, 2, True),
    ],
)
@pytest.mark.parametrize("width", [0, 2])
def test_parts_that_the_board_has_count_as_well(
    part: str, across: int, down: int, width: int, *, counts: bool
) -> None:
    ring = Block((FabricId("a"),) + (None,) * 11)
    laid = msgspec.structs.replace(
        empty_board(across, down, 12),
        blocks=(ring,) * (across * down),
        sash=inches(width),
        border=inches(width),
        **{part: "b"},
    )
    found = cautions(laid, cloth("a", SLATE, WASHED), cloth("b", OCHRE, UNWASHED))
    assert bool(found) == (counts and (width > 0 or part in {"ground", "centre"}))


def test_more_than_six_are_counted() -> None:
    washed = cloth("Rain Butt", SLATE, WASHED)
    others = [cloth(f"n{k}", OCHRE, UNWASHED) for k in range(9)]
    laid = board("Rain Butt", *(f"n{k}" for k in range(9)))
    (caution,) = cautions(laid, washed, *others)
    assert "n0, n1, n2, n3, n4, n5 and 3 more are not" in caution.sentence
    assert len(caution.fabrics) == 10


def test_an_untested_red_on_a_light_ground_is_told() -> None:
    (caution,) = cautions(board("Tomato Skin"), cloth("Tomato Skin", RED))
    assert (caution.kind, caution.fabrics) == ("dye", ("Tomato Skin",))
    assert caution.sentence == (
        "Tomato Skin’s dye is not tested and it lies on a light ground: press a damp white "
        "cloth on it for 30\u00a0s, and soak a scrap warm for 30\u00a0minutes, before you sew. "
        "Your own test, and what the maker of the cloth or the dye says, go before this."
    )


def test_several_share_one_sentence() -> None:
    (caution,) = cautions(board("r", "n"), cloth("r", RED), cloth("n", NAVY))
    assert caution.sentence.startswith(
        "The dyes of r and n are not tested and they lie on a light ground: press a damp white "
        "cloth on each for"
    )


def test_a_dye_that_was_tested_is_let_be() -> None:
    assert cautions(board("r"), cloth("r", RED, Care(dye_tested=True))) == ()


def test_on_a_dark_ground_a_light_neighbour_is_what_matters() -> None:
    red, cream, slate = cloth("r", RED), cloth("c", CREAM), cloth("s", SLATE)
    assert cautions(board("r", "s", "c"), red, cream, slate, ground=DARK) == ()
    (caution,) = cautions(board("c", "r"), red, cream, ground=DARK)
    assert "it lies beside light cloth" in caution.sentence
    # The ring closes: the last wedge lies beside the first.
    (_,) = cautions(board("r", *(None,) * 10, "c"), red, cream, ground=DARK)


def test_cloth_of_a_light_step_is_light_whatever_its_value() -> None:
    laid, fabrics = board("r", "s"), (cloth("r", RED), cloth("s", SLATE))
    assert cautions(laid, *fabrics, ground=DARK) == ()
    (_,) = cautions(laid, *fabrics, ground=DARK, steps={FabricId("s"): "light"})


def test_a_navy_ground_lies_under_every_light_wedge() -> None:
    navy, cream = cloth("n", NAVY), cloth("c", CREAM)
    (caution,) = cautions(board("c", ground="n"), navy, cream, ground=DARK)
    assert caution.fabrics == ("n",)


def test_both_kinds_are_told_the_washing_first() -> None:
    red, other = cloth("r", RED, WASHED), cloth("o", OCHRE, UNWASHED)
    assert [c.kind for c in cautions(board("r", "o"), red, other)] == ["washing", "dye"]


def test_an_empty_board_is_let_be() -> None:
    assert cautions(board(), cloth("r", RED)) == ()


@pytest.mark.parametrize(
    "colour",
    ["#ff0000", "#b3202c", "#dc143c", "#800020", "#a5482f", "#c2185b", "#14223f", "#000080"],
)
def test_reds_and_navies_may_bleed(colour: str) -> None:
    assert may_bleed(cloth("a", colour))


@pytest.mark.parametrize(
    "colour",
    [
        "#efe9dc", "#d59a33", "#2b7a7f", "#23473a", "#5b3a29", "#111111", "#777777",
        "#f4a6b0", "#cc5500", "#4169e1", "#9bb8d3", "#7a2f8f",
    ],
)  # fmt: skip
def test_other_colours_are_not_suspected(colour: str) -> None:
    assert not may_bleed(cloth("a", colour))


@pytest.mark.parametrize(("share", "suspected"), [(0.2, True), (0.1, False)])
def test_a_print_is_judged_by_its_colours(share: float, *, suspected: bool) -> None:
    red: Lab = (45.0, 60.0, 30.0)
    tints = (Tint((93.0, 0.0, 6.0), 1 - share), Tint(red, share))
    whole = Print(
        tints, 9.0, 0.1, False, Repeat("none", (), 0.0), Direction("not sure", 0.0), bytes(1024)
    )  # fmt: skip
    fabric = cloth("a", CREAM)
    reading = msgspec.structs.replace(fabric.reading, print=whole)
    assert may_bleed(msgspec.structs.replace(fabric, reading=reading)) == suspected
