"""What there is to say of a board's balance: its flags, its figures, and their sentences."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Mapping
from functools import lru_cache
from typing import Final

import msgspec

from quiltboard.balance.flags import KINDS, Flag, Kind, find_flags
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.quilt.board import Board, Cell

RingValues = tuple[float | None, ...]
"""L* of each wedge of a ring, clockwise from the top; None is empty."""

_WORDS: Final = (
    "No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten",
    "Eleven", "Twelve",
)  # fmt: skip
_SIDES: Final = (
    "top", "upper right", "right", "lower right", "bottom", "lower left", "left", "upper left",
)  # fmt: skip
_NO_LEAN: Final = 1e-9
"""Float noise: no lean at all."""


class Heavy(msgspec.Struct, frozen=True):
    """How far a ring leans to one side.

    Attributes
    ----------
    block
        Which plate.
    length
        From 0 (even all round, or opposite knots that hold each other up) to 1 (all on one
        wedge).
    direction_deg
        Where the weight gathers, clockwise from the top, 0 to below 360; None for no side.
    """

    block: int
    length: float
    direction_deg: float | None


class Report(msgspec.Struct, frozen=True):
    """The balance of a board.

    Attributes
    ----------
    cost
        What its flags cost together.
    flags
        The heaviest kinds first.
    heavy
        Each plate's lean.
    """

    cost: float
    flags: tuple[Flag, ...]
    heavy: tuple[Heavy, ...]

    @property
    def counts(self) -> dict[Kind, int]:
        """How many flags there are of each kind, kinds without any included."""
        found = Counter(flag.key.kind for flag in self.flags)
        return {kind: found[kind] for kind in KINDS}


def check_board(
    board: Board,
    steps: Mapping[FabricId, Step],
    values: Mapping[FabricId, float],
    available: Mapping[FabricId, int | None],
    ground_value: float,
    pools: Collection[FabricId] = (),
    piece_steps: Mapping[Cell, Step] | None = None,
    piece_values: Mapping[Cell, float] | None = None,
) -> Report:
    """Look a whole board over.

    Parameters
    ----------
    board
        The layout.
    steps, values
        Each fabric's value step and L*.
    available
        How many wedges there are of each fabric; None is as many as are needed.
    ground_value
        L* of the ground.
    pools
        Fabrics that are pools of different cloths.
    piece_steps, piece_values
        The value step and L* of each piece that has its own, whatever its fabric's are.

    Raises
    ------
    KeyError
        If a fabric on the board has no value.
    """
    flags = find_flags(board, steps, available, ground_value, pools, piece_steps)
    heavy = tuple(
        lean(b, ring_values(board, b, values, piece_values), ground_value)
        for b in range(len(board.blocks))
    )
    return Report(math.fsum(flag.cost for flag in flags), flags, heavy)


def ring_values(
    board: Board,
    block: int,
    values: Mapping[FabricId, float],
    piece_values: Mapping[Cell, float] | None = None,
) -> RingValues:
    """Give how light each wedge of a ring is.

    Parameters
    ----------
    board, block
        The layout, and which plate of it.
    values
        Each fabric's L*.
    piece_values
        The L* of each piece that has its own, whatever its fabric's is.

    Raises
    ------
    KeyError
        If a fabric on the ring has no value.
    """
    cells = board.blocks[block].cells
    usual = (None if fabric is None else values[fabric] for fabric in cells)
    if not piece_values:
        return tuple(usual)
    return tuple(piece_values.get(Cell(block, w), value) for w, value in enumerate(usual))


def lean(block: int, values: RingValues, ground_value: float) -> Heavy:
    """Tell how far a ring leans to one side, and to which.

    Each piece weighs as much as its L* differs from the ground's, an empty wedge nothing; the
    lean is the mean resultant length of those weights at their wedges' angles.

    References
    ----------
    Mardia & Jupp, *Directional Statistics* (2000), section 2.2: mean resultant length.
    """
    return _lean(block, ring_weights(values, ground_value))


def ring_weights(values: RingValues, ground_value: float) -> tuple[float, ...]:
    """Give what each wedge of a ring weighs: its difference in L* from the ground."""
    return tuple(0.0 if value is None else abs(value - ground_value) for value in values)


@lru_cache(maxsize=4096)
def _lean(block: int, weights: tuple[float, ...]) -> Heavy:
    total = sum(weights)
    if total <= _NO_LEAN:
        return Heavy(block, 0.0, None)
    step = math.tau / len(weights)
    # y points to the top of the ring, x to its right.
    x = math.fsum(weight * math.sin(step * w) for w, weight in enumerate(weights))
    y = math.fsum(weight * math.cos(step * w) for w, weight in enumerate(weights))
    length = math.hypot(x, y) / total
    if length <= _NO_LEAN:
        return Heavy(block, 0.0, None)
    return Heavy(block, length, math.degrees(math.atan2(x, y)) % 360)


def sentence(flag: Flag, names: Mapping[FabricId, str], board: Board) -> tuple[str, str]:
    """Say what a flag is about, and where.

    Parameters
    ----------
    flag
        Found on ``board``.
    names
        The fabrics' names.
    board
        The layout; it tells how many plates there are and how many pieces are laid.

    Returns
    -------
    headline, place
        Such as "Coral Bed touches itself" and "Plate 14, wedges 2 and 3".

    Raises
    ------
    KeyError
        If a fabric has no name.
    """
    key = flag.key
    if key.kind == "short":
        missing = len(key.cells)
        asked = sum(block.cells.count(key.fabrics[0]) for block in board.blocks)
        pieces = "piece" if missing == 1 else "pieces"
        return (
            f"{names[key.fabrics[0]]} is {missing} {pieces} short",
            f"{asked} asked for, {asked - missing or 'none'} there",
        )
    first, last = key.cells[0].wedge + 1, key.cells[-1].wedge + 1
    if key.kind == "clump":
        count = len(key.cells)
        if count == board.wedge.n:
            return (
                f"The whole ring is {flag.step}",
                _place(board, key.cells[0].block, f"all {count} wedges"),
            )
        said = _WORDS[count] if count < len(_WORDS) else str(count)
        step = flag.step
        many = f"of the {step}" if step in {"darkest", "lightest"} else f"{step}s"
        headline = f"{said} {many} side by side"
        return headline, _place(board, key.cells[0].block, f"wedges {first} to {last}")
    name = names[key.fabrics[0]]
    headline = (
        f"{name} touches itself" if key.kind == "touch" else f"{name} again after one piece"
    )
    return headline, _place(board, key.cells[0].block, f"wedges {first} and {last}")


def _place(board: Board, block: int, wedges: str) -> str:
    if len(board.blocks) == 1:
        return wedges[0].upper() + wedges[1:]
    return f"Plate {block + 1}, {wedges}"


def heavy_sentence(heavy: Heavy) -> str:
    """Say to which side a ring leans and how far, claiming no more than the figure.

    Examples
    --------
    >>> heavy_sentence(Heavy(0, 0.32, 130.0))
    'Leans to the lower right, 0.32'
    """
    if heavy.direction_deg is None:
        return "Leans to no side"
    side = _SIDES[round(heavy.direction_deg / 45) % 8]
    return f"Leans to the {side}, {heavy.length:.2f}"
