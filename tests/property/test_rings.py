"""Laws of rings: what their parts add up to, what lies beside what, what turning leaves."""

from __future__ import annotations

import math
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from typing import Any

import msgspec
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from quiltboard.balance.graph import graph_of_shape
from quiltboard.cutting.counts import count_pieces
from quiltboard.cutting.strips import strips_for
from quiltboard.drawing.board import silhouette
from quiltboard.errands.judge import judge
from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges, Fabric
from quiltboard.project.edits import LayOut, TurnRing
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell, empty_board
from quiltboard.quilt.layout import lay_out
from quiltboard.shapes.wedge import InvalidWedgeError, Wedge, draft_wedge, usual_wedge
from quiltboard.units import Length, inches
from tests.helpers.boards import plain
from tests.helpers.projects import sample_fabrics, sample_project

EIGHTHS = st.builds(lambda k: inches(Fraction(k, 8)), st.integers(4, 80))


@st.composite
def wedges(draw: st.DrawFn) -> Wedge:
    """Draw any wedge that makes a ring."""
    wedge = Wedge(draw(st.integers(6, 40)), draw(EIGHTHS), draw(EIGHTHS))
    try:
        draft_wedge(wedge)
    except InvalidWedgeError:
        assume(False)
    return wedge


@given(wedges())
def test_areas_add_up_to_the_ring(wedge: Wedge) -> None:
    board = msgspec.structs.replace(empty_board(), wedge=wedge)
    layout = lay_out(board)
    pieces = [Polygon(layout.outline(Cell(0, w))) for w in range(wedge.n)]
    ring = unary_union([piece.buffer(1e-7) for piece in pieces])
    added = sum(piece.area for piece in pieces)
    # The plate's outline less the opening, a regular polygon of n sides about its inner circle.
    opening = wedge.n * layout.drafted.opening**2 * math.tan(layout.drafted.half_angle)
    whole = Polygon(silhouette(layout, 0)).area - opening
    assert added == pytest.approx(whole, rel=1e-9)
    assert ring.area == pytest.approx(whole, rel=1e-4)


@given(wedges())
def test_every_wedge_of_a_ring_is_the_same_piece_and_shares_its_seams(wedge: Wedge) -> None:
    layout = lay_out(msgspec.structs.replace(empty_board(), wedge=wedge))
    outlines = [layout.outline(Cell(0, w)) for w in range(wedge.n)]
    for outline, following in pairwise([*outlines, outlines[0]]):
        near_right, right, *_ = outline
        *_, left, near_left = following
        assert math.dist(right, left) < 1e-9 * layout.width
        assert math.dist(near_right, near_left) < 1e-9 * layout.width


@given(n=st.integers(5, 40), across=st.integers(1, 6), down=st.integers(1, 6))
def test_adjacency_is_symmetric(n: int, across: int, down: int) -> None:
    graph = graph_of_shape(n, across, down)
    for near in (graph.beside, graph.cornering):
        links = [(plate, other) for plate, others in enumerate(near) for other in others]
        assert Counter(links) == Counter((other, plate) for plate, other in links)
        assert len(set(links)) == len(links)
        assert all(plate != other for plate, other in links)
    for degree in (graph.pairs, [(first, last) for first, _, last in graph.hops]):
        touched = Counter(wedge for pair in degree for wedge in pair)
        assert touched == dict.fromkeys(range(n), 2)


LAID = st.lists(
    st.sampled_from([*(fabric.id for fabric in sample_fabrics()), None]),
    min_size=24,
    max_size=24,
)


def of_kinds(project: Project) -> Counter[tuple[str, tuple[str, ...], float]]:
    """Give a board's flags by kind, fabrics and cost, wherever they lie."""
    return Counter(
        (flag.key.kind, tuple(sorted(flag.key.fabrics)), flag.cost)
        for flag in judge(project).report.flags
    )


@given(laid=LAID, block=st.integers(0, 1), by=st.integers(-40, 40))
def test_turning_a_ring_keeps_counts_and_flags(laid: list[Any], block: int, by: int) -> None:
    project = LayOut((tuple(laid[:12]), tuple(laid[12:]))).apply(sample_project(2, 1))
    turned = TurnRing(block, by).apply(project)
    assert judge(turned).counts == judge(project).counts
    assert judge(turned).report.cost == pytest.approx(judge(project).report.cost)
    assert of_kinds(turned) == of_kinds(project)
    assert TurnRing(block, -by).apply(turned) == project


AMOUNTS = st.lists(
    st.one_of(
        st.builds(CutWedges, st.integers(0, 40)),
        st.builds(Cloth, EIGHTHS, st.none() | EIGHTHS.map(lambda side: Length(side * 4))),
    ),
    max_size=4,
).map(tuple)


def stocked(amounts: tuple[Amount, ...]) -> Fabric:
    return msgspec.structs.replace(plain("kelp", "Kelp"), amounts=amounts)


@given(n=st.integers(6, 40), amounts=AMOUNTS, pieces=st.lists(st.integers(0, 200), max_size=8))
def test_yardage_never_falls_when_pieces_rise(
    n: int, amounts: tuple[Amount, ...], pieces: list[int]
) -> None:
    wedge = usual_wedge(n)
    notes = [strips_for(stocked(amounts), count, wedge) for count in sorted(pieces)]
    for fewer, more in pairwise(notes):
        assert fewer.strips <= more.strips
        assert fewer.ready <= more.ready
        assert fewer.missing <= more.missing
    for note in notes:
        given_ = sum(cut.strips * cut.per_strip for cut in note.cuts)
        assert note.ready + given_ + note.missing >= note.pieces
        assert not note.missing or note.ready + given_ + note.missing == note.pieces


@given(laid=LAID, pieces=st.integers(0, 24))
def test_what_is_needed_is_never_less_than_what_is_laid(laid: list[Any], pieces: int) -> None:
    cells = [*laid[:pieces], *[None] * (24 - pieces)]
    project = LayOut((tuple(cells[:12]), tuple(cells[12:]))).apply(sample_project(2, 1))
    for count in count_pieces(project.board, project.fabrics):
        assert count.placed <= count.needed <= project.board.places
