"""How fast a board of 100 plates × 20 wedges is judged, counted and dealt.

Every figure is the best of several runs in one go, since other work may share the machine.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable

import msgspec
import pytest

from quiltboard.balance.chance import heavy_against_shuffles
from quiltboard.balance.deal import deal, deal_task
from quiltboard.balance.flags import find_flags
from quiltboard.balance.report import check_board
from quiltboard.cutting.counts import count_pieces
from quiltboard.fabrics.fabric import Cloth, Fabric, FabricId, Reading, Step
from quiltboard.quilt.board import Block, Board, empty_board
from quiltboard.units import inches

PRINTS = [FabricId(f"Print {i}") for i in range(40)]
STEPS: dict[FabricId, Step] = {
    fabric: ("dark", "light", "medium")[i % 3] for i, fabric in enumerate(PRINTS)
}
VALUES = {fabric: 20.0 + i for i, fabric in enumerate(PRINTS)}
THERE: dict[FabricId, int | None] = dict.fromkeys(PRINTS, 50)
GROUND = 95.0


def best_ms(job: Callable[[], object], runs: int = 7) -> float:
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return 1000 * min(times)


def shuffled(rng: random.Random) -> Board:
    pieces = PRINTS * 50
    rng.shuffle(pieces)
    blocks = tuple(Block(tuple(pieces[at : at + 20])) for at in range(0, 2000, 20))
    return msgspec.structs.replace(empty_board(10, 10, 20), blocks=blocks)


def test_a_whole_board_is_judged_afresh_within_10_ms() -> None:
    rng = random.Random(1)
    boards = [shuffled(rng) for _ in range(7)]
    fresh = iter(boards)
    assert best_ms(lambda: check_board(next(fresh), STEPS, VALUES, THERE, GROUND)) < 10


def test_a_change_on_one_plate_is_judged_within_a_millisecond() -> None:
    rng = random.Random(2)
    board = shuffled(rng)
    find_flags(board, STEPS, THERE, GROUND)
    changed = []
    for _ in range(7):
        ring = list(board.blocks[50].cells)
        rng.shuffle(ring)
        blocks = (*board.blocks[:50], Block(tuple(ring)), *board.blocks[51:])
        changed.append(msgspec.structs.replace(board, blocks=blocks))
    fresh = iter(changed)
    assert best_ms(lambda: find_flags(next(fresh), STEPS, THERE, GROUND)) < 1


def test_the_piece_count_takes_at_most_5_ms() -> None:
    board = shuffled(random.Random(3))
    reading = Reading((50.0, 0.0, 0.0), 45.0, 55.0)
    cloth = (Cloth(inches(18)),)
    fabrics = tuple(Fabric(f, f, reading, "#777777", amounts=cloth) for f in PRINTS)
    assert best_ms(lambda: count_pieces(board, fabrics)) < 5


def test_a_hundred_plates_are_held_against_chance_within_300_ms() -> None:
    board = shuffled(random.Random(4))
    spent = best_ms(
        lambda: [heavy_against_shuffles(b.cells, VALUES, GROUND) for b in board.blocks], 3
    )
    assert spent < 300


@pytest.mark.parametrize("there", [50, None])
def test_a_hundred_plates_are_dealt_clean_at_a_good_pace(there: int | None) -> None:
    limits = dict.fromkeys(PRINTS, there)
    task = deal_task(empty_board(10, 10, 20), STEPS, limits, GROUND, seed=1)
    start = time.perf_counter()
    result = deal(task)
    spent = time.perf_counter() - start
    assert (result.cost, result.stopped_by) == (0, "bound")
    # Moves are weighed in turns of an empty loop, so that a slow machine is not blamed.
    loop_ms = best_ms(lambda: [None for _ in range(1_000_000)])
    assert spent / result.moves < 100 * loop_ms / 1e9, f"{result.moves / spent:.0f} a second"
