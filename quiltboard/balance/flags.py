"""Flags: the places where a layout is out of balance, and what each costs.

The rules, for every ring of n wedges:

touch
    Two neighbours of one fabric. One flag, costing ``weights.touch``, for each such pair.
close
    A piece and the next but one of one fabric, with a piece of *another* fabric between. One
    flag, costing ``weights.close``, for each such pair. Where the piece between is of the same
    fabric, the two touches have said it; where the wedge between is empty, nothing is said yet.
clump
    A run of r ≥ 3 neighbours of one watched value step, as long as it goes. One flag for the
    run, costing ``weights.clump`` for each three in a row: (r − 2) times, and n times for a run
    that closes the ring. Empty wedges and cloths marked "mixed" are in no run and end one. A
    piece of a large print counts by its own step.
short
    A fabric with more pieces on the board than there are. One flag for the fabric; it costs
    nothing, being a limit that is never traded. Its wedges are those beyond what there is: the
    last in reading order (plate by plate, clockwise), pinned ones only if no others are left.

The pieces of a pool are all of different cloths: two of them side by side are no touch, nor are
they too close. They clump like any others, and are short beyond what the pool has.

Watched are the steps that the board names; left to itself, darks, and lights too where the
ground's L* is 70 or more. In a set of many steps, darks are the dark and the darkest, lights
the light and the lightest, mediums all three; a run is of one of these steps all along. A kind
with a cost of 0 is not watched and raises no flag.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from functools import lru_cache
from itertools import chain, groupby
from typing import Final, Literal

import msgspec

from quiltboard.balance.graph import graph_of_shape
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.fabrics.steps import step_names
from quiltboard.quilt.board import Board, Cell, Watched, Weights

Kind = Literal["short", "touch", "clump", "close"]
KINDS: Final[tuple[Kind, ...]] = ("short", "touch", "clump", "close")
"""The kinds of flag, the heaviest first."""

LIGHT_GROUND: Final = 70.0
"""From this L* of the ground on, clumps of lights count as well."""

_WATCHING: Final[dict[Watched, tuple[Step, ...]]] = {
    "dark": ("dark", "darkest"),
    "medium": ("medium", "dark medium", "light medium"),
    "light": ("light", "lightest"),
}

Laid = tuple[FabricId | None, ...]
"""What lies round one ring, clockwise from the top."""


class FlagKey(msgspec.Struct, frozen=True):
    """What a flag is about; it stays the same as long as its cause does.

    Attributes
    ----------
    kind
        Which rule.
    cells
        The wedges, clockwise along the ring (in reading order if short).
    fabrics
        The fabrics on them, each once, in the order of the wedges.
    """

    kind: Kind
    cells: tuple[Cell, ...]
    fabrics: tuple[FabricId, ...]


class Flag(msgspec.Struct, frozen=True):
    """One place that is out of balance.

    Attributes
    ----------
    key
        What it is about.
    cost
        What it adds to the board's cost.
    step
        The value step that clumps, or None for other kinds.
    """

    key: FlagKey
    cost: float
    step: Step | None = None


def watched_steps(board: Board, ground_value: float) -> tuple[Step, ...]:
    """Tell which value steps' clumps count on a board.

    Parameters
    ----------
    board
        Which may name them.
    ground_value
        L* of its ground.
    """
    usual: tuple[Watched, ...] = (
        ("dark", "light") if ground_value >= LIGHT_GROUND else ("dark",)
    )
    groups = usual if board.watch is None else board.watch
    # A set of fewer values than steps may have the plain name among steps that know it not.
    there = {*groups, *step_names(board.step_count)}
    return tuple(step for group in groups for step in _WATCHING[group] if step in there)


def find_flags(
    board: Board,
    steps: Mapping[FabricId, Step],
    available: Mapping[FabricId, int | None],
    ground_value: float,
    pools: Collection[FabricId] = (),
    piece_steps: Mapping[Cell, Step] | None = None,
) -> tuple[Flag, ...]:
    """Find everything that is out of balance on a board, the heaviest kinds first.

    Rings that have not changed since they were last looked at cost next to nothing.

    Parameters
    ----------
    board
        The layout.
    steps
        Each fabric's value step.
    available
        How many wedges there are of each fabric; None, or a fabric left out, is as many as are
        needed.
    ground_value
        L* of the ground.
    pools
        Fabrics that are pools of different cloths.
    piece_steps
        The value step of each piece that has one of its own, whatever its fabric's is.
    """
    differing = frozenset(pools)
    watched = frozenset(watched_steps(board, ground_value))
    marks: dict[FabricId | None, Step] = {
        fabric: step for fabric, step in steps.items() if step in watched
    }
    mark = marks.get
    own: dict[int, dict[int, Step | None]] = {}
    for (b, w), step in (piece_steps or {}).items():
        own.setdefault(b, {})[w] = step if step in watched else None

    def marks_on(b: int, cells: Laid) -> tuple[Step | None, ...]:
        if b not in own:
            return tuple(map(mark, cells))
        there = own[b]
        return tuple(there[w] if w in there else mark(f) for w, f in enumerate(cells))

    rings = [
        _ring_flags(b, block.cells, marks_on(b, block.cells), board.weights, differing)
        for b, block in enumerate(board.blocks)
    ]
    in_kinds = (chain.from_iterable(ring[kind] for ring in rings) for kind in range(3))
    return (*_find_short(board, available), *chain.from_iterable(in_kinds))


@lru_cache(maxsize=4096)
def _ring_flags(
    block: int,
    cells: Laid,
    marks: tuple[Step | None, ...],
    weights: Weights,
    pools: frozenset[FabricId],
) -> tuple[tuple[Flag, ...], tuple[Flag, ...], tuple[Flag, ...]]:
    """Find one ring's touches, clumps and pieces too close."""
    graph = graph_of_shape(len(cells), 1, 1)
    touches: list[Flag] = []
    clumps: list[Flag] = []
    closes: list[Flag] = []
    if weights.touch:
        for first, second in graph.pairs:
            fabric = cells[first]
            if fabric is not None and fabric == cells[second] and fabric not in pools:
                key = FlagKey("touch", (Cell(block, first), Cell(block, second)), (fabric,))
                touches.append(Flag(key, weights.touch))
    if weights.clump:
        for start, length, step in _find_runs(marks):
            wedges = [(start + i) % len(cells) for i in range(length)]
            fabrics = dict.fromkeys(fabric for w in wedges if (fabric := cells[w]) is not None)
            key = FlagKey("clump", tuple(Cell(block, w) for w in wedges), tuple(fabrics))
            threes = length if length == len(cells) else length - 2
            clumps.append(Flag(key, weights.clump * threes, step))
    if weights.close:
        for first, between, second in graph.hops:
            fabric = cells[first]
            if fabric is None or fabric != cells[second] or fabric in pools:
                continue
            if cells[between] is not None and cells[between] != fabric:
                key = FlagKey("close", (Cell(block, first), Cell(block, second)), (fabric,))
                closes.append(Flag(key, weights.close))
    return tuple(touches), tuple(clumps), tuple(closes)


def _find_runs(marks: tuple[Step | None, ...]) -> list[tuple[int, int, Step]]:
    """Find runs of three or more round a ring: where each starts, how long, of what."""
    n = len(marks)
    start = next((i for i in range(n) if marks[i] != marks[i - 1]), 0)
    runs: list[tuple[int, int, Step]] = []
    at = start
    for mark, run in groupby(marks[start:] + marks[:start]):
        length = len(list(run))
        if mark is not None and length >= 3:
            runs.append((at % n, length, mark))
        at += length
    return runs


def _find_short(board: Board, available: Mapping[FabricId, int | None]) -> list[Flag]:
    placed = Counter(chain.from_iterable(block.cells for block in board.blocks))
    over = {
        fabric: there
        for fabric, there in available.items()
        if there is not None and placed[fabric] > there
    }
    if not over:
        return []
    where: dict[FabricId, list[Cell]] = {fabric: [] for fabric in over}
    for b, block in enumerate(board.blocks):
        for w, laid in enumerate(block.cells):
            if laid in over:
                where[laid].append(Cell(b, w))
    flags: list[Flag] = []
    for fabric, there in over.items():
        cells = where[fabric]
        # A sort by pin keeps reading order within each sort of piece.
        cells.sort(key=lambda cell: not board.pinned(cell))
        beyond = tuple(sorted(cells[there:]))
        flags.append(Flag(FlagKey("short", beyond, (fabric,)), 0))
    return flags
