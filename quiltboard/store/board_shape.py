"""The shape of ``board.json`` and the bounds of everything in it.

These Structs are the file format, kept apart from the project's own so that either may change
alone. Their bounds are checked while reading, and `board_schema` gives them as a JSON Schema.
"""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

import msgspec
from msgspec import Meta

from quiltboard.fabrics.fabric import Step
from quiltboard.fabrics.naming import LONGEST_NAME
from quiltboard.project.edits import LONGEST_TITLE, MOST_FABRICS
from quiltboard.quilt.board import MOST_ACROSS, MOST_PLATES, Watched
from quiltboard.shapes.wedge import FEWEST_WEDGES, MOST_WEDGES
from quiltboard.store.pictures import LARGEST_SIDE_PX
from quiltboard.units import PER_INCH, Unit

VERSION: Final = 1

_UNIT = "A length in whole units of 1/320 mm; an inch is 8128 of them."
_END = r"(?![\s\S])"

Id = Annotated[str, Meta(pattern=rf"^[A-Za-z0-9][A-Za-z0-9_-]{{0,63}}{_END}")]
Colour = Annotated[str, Meta(pattern=rf"^#[0-9a-fA-F]{{6}}{_END}")]
CoverText = Annotated[
    str, Meta(max_length=64, description="A fabric's id, or a plain colour as #rrggbb.")
]
Title = Annotated[
    str,
    Meta(min_length=1, max_length=LONGEST_TITLE, pattern=r"^(?![\s\S]*[\x00-\x1f\x7f])"),
]
Name = Annotated[
    str,
    Meta(min_length=1, max_length=LONGEST_NAME, pattern=r"^(?![\s\S]*[\x00-\x1f\x7f])"),
]
Prose = Annotated[str, Meta(max_length=4000, pattern=r"^(?![\s\S]*[\x00-\x08\x0b-\x1f\x7f])")]
Pixels = Annotated[int, Meta(ge=1, le=LARGEST_SIDE_PX)]
ClothLength = Annotated[int, Meta(ge=1, le=36_000 * PER_INCH, description=_UNIT)]
WedgeLength = Annotated[int, Meta(ge=1, le=40 * PER_INCH, description=_UNIT)]
BlockLength = Annotated[int, Meta(ge=1, le=100 * PER_INCH, description=_UNIT)]
Width = Annotated[
    int, Meta(ge=0, le=24 * PER_INCH, description=f"{_UNIT} 0 says there is none.")
]
Cost = Annotated[float, Meta(ge=0, le=1_000_000)]
Lightness = Annotated[float, Meta(ge=-1, le=101)]
Chroma = Annotated[float, Meta(ge=-200, le=200)]
Share = Annotated[float, Meta(ge=0, le=1)]
Corner = tuple[Share, Share]
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


class _Entry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    pass


class WedgeEntry(_Entry, frozen=True):
    """How the wedge is cut: how many to a ring, length, narrow end, seam allowance."""

    n: Annotated[int, Meta(ge=FEWEST_WEDGES, le=MOST_WEDGES)]
    length: WedgeLength
    narrow: WedgeLength
    seam: WedgeLength


class TopEntry(_Entry, frozen=True):
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


class BlockEntry(_Entry, frozen=True):
    """One plate."""

    cells: Cells
    pins: Pins


class BalanceEntry(_Entry, frozen=True):
    """What each flag costs, and the value steps watched for clumps (null: the usual ones)."""

    touch: Cost
    clump: Cost
    close: Cost
    watch: Annotated[tuple[Watched, ...], Meta(max_length=3)] | None


class SwatchEntry(_Entry, frozen=True):
    """The picture ``swatches/ID.png``; width is the stretch of cloth it shows, if known."""

    width_px: Pixels
    height_px: Pixels
    width: ClothLength | None


class PhotoEntry(_Entry, frozen=True):
    """The picture ``photos/ID.jpg``."""

    width_px: Pixels
    height_px: Pixels


class WedgesEntry(_Entry, frozen=True, tag_field="kind", tag="wedges"):
    """So many wedges, cut or promised."""

    count: Annotated[int, Meta(ge=0, le=1_000_000)]


class ClothEntry(_Entry, frozen=True, tag_field="kind", tag="cloth"):
    """One piece of cloth; a width of null is the usual width of fabric."""

    length: ClothLength
    width: ClothLength | None


class FabricEntry(_Entry, frozen=True):
    """One fabric; lab is CIE L*a*b* (D65), low and high the quartiles of its L*."""

    id: Id
    name: Name
    colour: Colour
    lab: tuple[Lightness, Chroma, Chroma]
    low: Lightness
    high: Lightness
    step: Step | None
    amounts: Annotated[tuple[WedgesEntry | ClothEntry, ...], Meta(max_length=1000)]
    note: Prose
    warnings: Annotated[tuple[Prose, ...], Meta(max_length=40)]
    swatch: SwatchEntry | None
    photo: PhotoEntry | None
    corners: tuple[Corner, Corner, Corner, Corner]


class BoardFile(_Entry, frozen=True):
    """A quilt top as Quiltboard keeps it: one board and the fabrics it is laid from."""

    version: Literal[1]
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
