"""The piece count."""

from __future__ import annotations

import msgspec

from quiltboard.cutting.counts import Count, count_pieces
from quiltboard.fabrics.fabric import Amount, CutWedges, Fabric, FabricId, Pool, Reading
from quiltboard.quilt.board import Block, Board, empty_board

DOT, KELP, GULL = FabricId("Harbour Dot"), FabricId("Kelp"), FabricId("Gull Stripe")


def fabric(name: FabricId, *amounts: Amount) -> Fabric:
    return Fabric(name, name, Reading((50.0, 0.0, 0.0), 45.0, 55.0), "#777777", amounts=amounts)


def board(*rings: tuple[FabricId | None, ...]) -> Board:
    bare = empty_board(len(rings), 1, len(rings[0]))
    return msgspec.structs.replace(bare, blocks=tuple(Block(ring) for ring in rings))


def test_on_a_full_board_what_is_needed_is_what_is_placed() -> None:
    counts = count_pieces(
        board((DOT, KELP) * 6), (fabric(DOT, CutWedges(8)), fabric(KELP, CutWedges(4)))
    )
    assert counts == (Count(KELP, 6, 6, 4, 2), Count(DOT, 6, 6, 8, 0))
    assert [count.spare for count in counts] == [-2, 2]


def test_the_empty_wedges_are_filled_in_the_same_shares() -> None:
    laid = board((DOT, DOT, KELP, None, None, None, None, None, None, None), (None,) * 10)
    dot, kelp = count_pieces(laid, (fabric(DOT), fabric(KELP)))
    # Two and one of three laid, of 20 places: 13⅓ and 6⅔, rounded up.
    assert (dot.needed, kelp.needed) == (14, 7)
    assert (dot.there, dot.short, dot.spare) == (None, 0, None)


def test_short_speaks_of_what_is_on_the_board() -> None:
    laid = board((DOT, DOT, DOT, None, None, None))
    (dot,) = count_pieces(laid, (fabric(DOT, CutWedges(3)),))
    assert (dot.placed, dot.needed, dot.short, dot.spare) == (3, 6, 0, -3)


def test_the_tightest_comes_first_and_plenty_last() -> None:
    laid = board((DOT, DOT, DOT, KELP, KELP, GULL))
    shelf = (fabric(GULL), fabric(KELP, CutWedges(4)), fabric(DOT, CutWedges(5)))
    assert [count.fabric for count in count_pieces(laid, shelf)] == [DOT, KELP, GULL]


def test_a_bare_board_needs_nothing_yet() -> None:
    (dot,) = count_pieces(empty_board(2, 2), (fabric(DOT, CutWedges(3)),))
    assert dot == Count(DOT, 0, 0, 3, 0)


def test_a_pool_is_short_beyond_its_cloths() -> None:
    blues = msgspec.structs.replace(fabric(DOT), pool=Pool(4))
    assert count_pieces(board((DOT,) * 6), (blues,)) == (Count(DOT, 6, 6, 4, 2),)
