"""How fast a board of 100 plates × 20 wedges is judged, counted and dealt.

The times are told beside a million turns of an empty loop, not judged: a shared machine would
judge by its other work. What is judged is what no machine changes.
"""

from __future__ import annotations

import random

import msgspec
import pytest

from quiltboard.balance.chance import Chance, heavy_against_shuffles
from quiltboard.balance.deal import DealResult, deal, deal_task
from quiltboard.balance.flags import find_flags
from quiltboard.balance.report import check_board, ring_values
from quiltboard.cutting.counts import count_pieces
from quiltboard.errands.judge import judge
from quiltboard.fabrics.fabric import Cloth, Fabric, FabricId, Reading, Step
from quiltboard.project.project import Project
from quiltboard.quilt.board import Block, Board, empty_board
from quiltboard.units import inches
from tests.helpers.large_prints import drifts, large_print, plain_cloth
from tests.helpers.timing import Record, best_ms, loop_ms, tell

PRINTS = [FabricId(f"Print {i}") for i in range(40)]
STEPS: dict[FabricId, Step] = {
    fabric: ("dark", "light", "medium")[i % 3] for i, fabric in enumerate(PRINTS)
}
VALUES = {fabric: 20.0 + i for i, fabric in enumerate(PRINTS)}
THERE: dict[FabricId, int | None] = dict.fromkeys(PRINTS, 50)
GROUND = 95.0


def shuffled(rng: random.Random) -> Board:
    pieces = PRINTS * 50
    rng.shuffle(pieces)
    blocks = tuple(Block(tuple(pieces[at : at + 20])) for at in range(0, 2000, 20))
    return msgspec.structs.replace(empty_board(10, 10, 20), blocks=blocks)


@pytest.fixture(scope="module")
def turns_ms() -> float:
    """Time a million turns of an empty loop."""
    return loop_ms()


def test_a_whole_board_judged_afresh(turns_ms: float, record_property: Record) -> None:
    rng = random.Random(1)
    boards = [shuffled(rng) for _ in range(5)]
    fresh = iter(boards)
    spent = best_ms(lambda: check_board(next(fresh), STEPS, VALUES, THERE, GROUND))
    tell(record_property, "check of 2,000 wedges", spent, "a million turns", turns_ms)
    report = check_board(boards[0], STEPS, VALUES, THERE, GROUND)
    assert len(report.heavy) == 100


def test_a_change_on_one_plate(turns_ms: float, record_property: Record) -> None:
    rng = random.Random(2)
    board = shuffled(rng)
    before = find_flags(board, STEPS, THERE, GROUND)
    changed = []
    for _ in range(5):
        ring = list(board.blocks[50].cells)
        rng.shuffle(ring)
        blocks = (*board.blocks[:50], Block(tuple(ring)), *board.blocks[51:])
        changed.append(msgspec.structs.replace(board, blocks=blocks))
    fresh = iter(changed)
    spent = best_ms(lambda: find_flags(next(fresh), STEPS, THERE, GROUND))
    tell(record_property, "flags after a change", spent, "a million turns", turns_ms)
    elsewhere = {flag for flag in before if flag.key.cells[0].block != 50}
    assert elsewhere <= set(find_flags(changed[0], STEPS, THERE, GROUND))


def test_a_board_with_large_prints_judged(turns_ms: float, record_property: Record) -> None:
    larges = [large_print(PRINTS[k], drifts(k), inches(9)) for k in range(3)]
    plains = [plain_cloth(fabric, VALUES[fabric]) for fabric in PRINTS[3:]]
    board = shuffled(random.Random(5))
    project = Project("Large", board, (*larges, *plains))
    cold = best_ms(lambda: judge(project), 1)
    spent = best_ms(lambda: judge(project))
    tell(
        record_property,
        "first judging of three large prints",
        cold,
        "a million turns",
        turns_ms,
    )
    tell(record_property, "judging them again", spent, "a million turns", turns_ms)
    assert len(judge(project).piece_steps) == 150


def test_the_piece_count(turns_ms: float, record_property: Record) -> None:
    board = shuffled(random.Random(3))
    reading = Reading((50.0, 0.0, 0.0), 45.0, 55.0)
    cloth = (Cloth(inches(18)),)
    fabrics = tuple(Fabric(f, f, reading, "#777777", amounts=cloth) for f in PRINTS)
    spent = best_ms(lambda: count_pieces(board, fabrics))
    tell(record_property, "piece count", spent, "a million turns", turns_ms)
    assert sum(count.placed for count in count_pieces(board, fabrics)) == 2000


def test_a_hundred_plates_held_against_chance(turns_ms: float, record_property: Record) -> None:
    board = shuffled(random.Random(4))

    def compare() -> list[Chance]:
        rings = [ring_values(board, block, VALUES) for block in range(len(board.blocks))]
        return [heavy_against_shuffles(values, GROUND) for values in rings]

    spent = best_ms(compare, 2)
    tell(record_property, "100 plates against chance", spent, "a million turns", turns_ms)
    assert all(0 < chance.share <= 1 for chance in compare())


@pytest.mark.parametrize("there", [50, None])
def test_a_hundred_plates_are_dealt_clean(
    there: int | None, turns_ms: float, record_property: Record
) -> None:
    limits = dict.fromkeys(PRINTS, there)
    task = deal_task(empty_board(10, 10, 20), STEPS, limits, GROUND, seed=1)
    results: list[DealResult] = []
    spent = best_ms(lambda: results.append(deal(task)), 1)
    (result,) = results
    what = f"a million moves, {there or 'any number'} of each"
    tell(record_property, what, 1e6 * spent / result.moves, "a million turns", turns_ms)
    assert (result.cost, result.stopped_by) == (0, "bound")
