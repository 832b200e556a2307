"""Cautions: what may spoil a quilt in its first wash, said before the first seam.

They are no flags: nothing on the board need move, and they cost nothing.

washing
    Cloth that is told to be washed lies on the board with cloth that is told to be unwashed or
    precut. What is not told is not spoken of.
dye
    A red or a navy whose dye has not been tested lies on a light ground or beside a light
    wedge.

References
----------
Cotton shrinks by up to 3 % (Z. Humbach). Precut pieces are not pre-washed (*Quilting*, ISBN
9781615646142, pp. 36-37). Colourfastness: a damp white cloth pressed on it for 30 s, a warm
soak of 30 minutes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, Literal

import msgspec

from quiltboard.balance.flags import LIGHT_GROUND
from quiltboard.balance.graph import graph_of_shape
from quiltboard.fabrics.fabric import Fabric, FabricId, Step
from quiltboard.fabrics.reading import Lab
from quiltboard.quilt.board import Board

CautionKind = Literal["washing", "dye"]

MOST_NAMED: Final = 6
"""A sentence names so many fabrics; the rest it counts."""
SHRINKS_BY: Final = "3\u00a0%"
"""How much unwashed cotton may shrink in its first wash."""
LIGHT_VALUE: Final = LIGHT_GROUND
"""From this L* on, cloth shows a stain of red or navy."""
LIGHT_STEPS: Final = frozenset({"lightest", "light"})

RED_HUES_DEG: Final = (-15.0, 45.0)
"""CIELAB hue, from deep pink-red to brick."""
RED_CHROMA: Final = 28.0
RED_VALUE: Final = 65.0
"""Reds are at least so strong and no lighter than this; above it they are pinks."""
NAVY_HUES_DEG: Final = (250.0, 310.0)
NAVY_CHROMA: Final = 10.0
NAVY_VALUE: Final = 32.0
"""Navies are blues no lighter than this, and more than a bluish black."""
TINT_SHARE: Final = 0.15
"""A print counts as red or navy if so much of it is."""

_DEFER: Final = (
    "Your own test, and what the maker of the cloth or the dye says, go before this."
)


class Caution(msgspec.Struct, frozen=True):
    """One thing to mind.

    Attributes
    ----------
    kind
        Which rule.
    fabrics
        The fabrics it is about, in the order of the shelf.
    sentence
        What it is, and what to do.
    """

    kind: CautionKind
    fabrics: tuple[FabricId, ...]
    sentence: str


def find_cautions(
    board: Board,
    fabrics: Sequence[Fabric],
    steps: Mapping[FabricId, Step],
    ground_value: float,
) -> tuple[Caution, ...]:
    """Find what to mind before a board is sewn: one sentence of each kind, or none.

    Parameters
    ----------
    board
        The layout.
    fabrics
        The shelf, with the state of each cloth.
    steps
        Each fabric's value step.
    ground_value
        L* of the ground.
    """
    wedges = {cell for block in board.blocks for cell in block.cells if cell is not None}
    parts = _parts(board)
    used = [fabric for fabric in fabrics if fabric.id in wedges or fabric.id in parts]
    found = (_of_washing(used), _of_dye(board, used, wedges, steps, ground_value))
    return tuple(caution for caution in found if caution is not None)


def may_bleed(fabric: Fabric) -> bool:
    """Tell whether a cloth is a red or a navy, or printed with one: dyes that run most."""
    tints = () if fabric.reading.print is None else fabric.reading.print.tints
    labs = [fabric.reading.lab, *(tint.lab for tint in tints if tint.share >= TINT_SHARE)]
    return any(_is_red_or_navy(lab) for lab in labs)


def _is_red_or_navy(lab: Lab) -> bool:
    value, a, b = lab
    chroma, hue_deg = math.hypot(a, b), math.degrees(math.atan2(b, a))
    red = (
        RED_HUES_DEG[0] <= hue_deg <= RED_HUES_DEG[1]
        and chroma >= RED_CHROMA
        and value <= RED_VALUE
    )
    navy = (
        NAVY_HUES_DEG[0] <= hue_deg % 360 <= NAVY_HUES_DEG[1]
        and chroma >= NAVY_CHROMA
        and value <= NAVY_VALUE
    )
    return red or navy


def _parts(board: Board) -> set[str]:
    """Give what covers the parts that are no wedges, those that this board has."""
    parts = {board.ground, board.centre}
    if board.border:
        parts.add(board.frame)
    if board.sash and len(board.blocks) > 1:
        parts.add(board.sashing)
        if min(board.across, board.down) > 1:
            parts.add(board.cornerstone)
    return parts


def _of_washing(used: Iterable[Fabric]) -> Caution | None:
    told = [fabric for fabric in used if fabric.care.washing is not None]
    washed = [fabric for fabric in told if fabric.care.washing == "washed"]
    unwashed = [fabric for fabric in told if fabric.care.washing != "washed"]
    if not washed or not unwashed:
        return None
    are = "is" if len(washed) == 1 else "are"
    are_not = "is not" if len(unwashed) == 1 else "are not"
    precut = any(fabric.care.washing == "precut" for fabric in unwashed)
    kept = " Precut pieces are left unwashed: lay them with unwashed cloth." if precut else ""
    sentence = (
        f"Washed and unwashed cloth meet: {_listed(washed)} {are} washed, {_listed(unwashed)} "
        f"{are_not}. Unwashed cotton shrinks by up to {SHRINKS_BY} in its first wash and "
        f"puckers what it is sewn to: wash all of it before you cut, or none.{kept} {_DEFER}"
    )
    return Caution("washing", tuple(fabric.id for fabric in told), sentence)


def _of_dye(
    board: Board,
    used: Sequence[Fabric],
    wedges: set[FabricId],
    steps: Mapping[FabricId, Step],
    ground_value: float,
) -> Caution | None:
    risky = [f for f in used if not f.care.dye_tested and may_bleed(f)]
    on_ground = ground_value >= LIGHT_VALUE
    if risky and not on_ground:
        light = {fabric.id for fabric in used if _is_light(fabric, steps)}
        beside = _beside_light(board, {fabric.id for fabric in risky}, light)
        if wedges & light:
            # The ground and the centres lie along every wedge.
            beside |= {board.ground, board.centre}
        risky = [fabric for fabric in risky if fabric.id in beside]
    if not risky:
        return None
    where = "on a light ground" if on_ground else "beside light cloth"
    if len(risky) == 1:
        said = f"{risky[0].name}’s dye is not tested and it lies {where}"
    else:
        said = f"The dyes of {_listed(risky)} are not tested and they lie {where}"
    each = "it" if len(risky) == 1 else "each"
    sentence = (
        f"{said}: press a damp white cloth on {each} for 30\u00a0s, and soak a scrap warm for "
        f"30\u00a0minutes, before you sew. {_DEFER}"
    )
    return Caution("dye", tuple(fabric.id for fabric in risky), sentence)


def _is_light(fabric: Fabric, steps: Mapping[FabricId, Step]) -> bool:
    return fabric.value >= LIGHT_VALUE or steps.get(fabric.id) in LIGHT_STEPS


def _beside_light(board: Board, risky: set[FabricId], light: set[FabricId]) -> set[str]:
    """Give the risky fabrics that lie beside a light wedge somewhere on the board."""
    pairs = graph_of_shape(board.wedge.n, 1, 1).pairs
    touching = {
        pair
        for cells in {block.cells for block in board.blocks}
        for first, second in pairs
        for pair in ((cells[first], cells[second]), (cells[second], cells[first]))
    }
    return {fabric for fabric, other in touching if fabric in risky and other in light}


def _listed(fabrics: Sequence[Fabric]) -> str:
    """Name fabrics, the first few of many."""
    names = [fabric.name for fabric in fabrics[:MOST_NAMED]]
    if len(fabrics) > MOST_NAMED:
        names.append(f"{len(fabrics) - MOST_NAMED} more")
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
