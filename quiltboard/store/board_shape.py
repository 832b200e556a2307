"""The shape of ``board.json`` and the bounds of everything in it.

These Structs are the file format, kept apart from the project's own so that either may change
alone. Their bounds are checked while reading, and `board_schema` gives them as a JSON Schema.
"""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

import msgspec
from msgspec import Meta

from quiltboard.fabrics.steps import FEWEST_STEPS, MOST_STEPS
from quiltboard.project.edits import LONGEST_TITLE, MOST_FABRICS
from quiltboard.quilt.board import MOST_ACROSS, MOST_PLATES, Watched
from quiltboard.shapes.wedge import FEWEST_WEDGES, MOST_WEDGES
from quiltboard.store.fabric_shape import UNIT_TOLD, Entry, FabricEntry
from quiltboard.units import PER_INCH, Unit

VERSION: Final = 2

CoverText = Annotated[
    str, Meta(max_length=64, description="A fabric's id, or a plain colour as #rrggbb.")
]
Title = Annotated[
    str,
    Meta(min_length=1, max_length=LONGEST_TITLE, pattern=r"^(?![\s\S]*[\x00-\x1f\x7f])"),
]
WedgeLength = Annotated[int, Meta(ge=1, le=40 * PER_INCH, description=UNIT_TOLD)]
BlockLength = Annotated[int, Meta(ge=1, le=100 * PER_INCH, description=UNIT_TOLD)]
Width = Annotated[
    int, Meta(ge=0, le=24 * PER_INCH, description=f"{UNIT_TOLD} 0 says there is none.")
]
Cost = Annotated[float, Meta(ge=0, le=1_000_000)]
Cells = Annotated[
    tuple[str | None, ...],
    Meta(
        min_length=FEWEST_WEDGES,
        max_length=MOST_WEDGES,
        description="Fabric ids clockwise from the top; null is empty.",
    ),
]
Pins = Annotated[
    tuple[Annotated[int, Meta(ge=0, lt=MOST_WEDGES)], ...],
    Meta(max_length=MOST_WEDGES, description="The wedges that are held, counted from 0."),
]


class WedgeEntry(Entry, frozen=True):
    """How the wedge is cut: how many to a ring, length, narrow end, seam allowance."""

    n: Annotated[int, Meta(ge=FEWEST_WEDGES, le=MOST_WEDGES)]
    length: WedgeLength
    narrow: WedgeLength
    seam: WedgeLength


class TopEntry(Entry, frozen=True):
    """The plates across and down, finished widths, and what each part is cut from."""

    across: Annotated[int, Meta(ge=1, le=MOST_ACROSS)]
    down: Annotated[int, Meta(ge=1, le=MOST_ACROSS)]
    block: BlockLength
    sash: Width
    border: Width
    ground: CoverText
    sashing: CoverText
    cornerstone: CoverText
    frame: CoverText
    centre: CoverText


class BlockEntry(Entry, frozen=True):
    """One plate."""

    cells: Cells
    pins: Pins


class BalanceEntry(Entry, frozen=True):
    """What each flag costs, the value steps watched for clumps (null: the usual), how many."""

    touch: Cost
    clump: Cost
    close: Cost
    watch: Annotated[tuple[Watched, ...], Meta(max_length=3)] | None
    steps: Annotated[int, Meta(ge=FEWEST_STEPS, le=MOST_STEPS)]


class BoardFile(Entry, frozen=True):
    """A quilt top as Quiltboard keeps it: one board and the fabrics it is laid from."""

    version: Literal[2]
    title: Title
    unit: Unit
    wedge: WedgeEntry
    top: TopEntry
    balance: BalanceEntry
    blocks: Annotated[
        tuple[BlockEntry, ...],
        Meta(min_length=1, max_length=MOST_PLATES, description="Row by row."),
    ]
    fabrics: Annotated[tuple[FabricEntry, ...], Meta(max_length=MOST_FABRICS)]


def board_schema() -> dict[str, Any]:
    """Give the JSON Schema of ``board.json``, which ships in resources/schemas."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Quiltboard board, version {VERSION}",
        **msgspec.json.schema(BoardFile),
    }
