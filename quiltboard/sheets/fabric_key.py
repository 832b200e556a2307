"""The fabric key: every fabric on the board, its pieces, and the strips they are cut from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from quiltboard.cutting.counts import Count
from quiltboard.cutting.strips import CutNote
from quiltboard.drawing.display import Item
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.project.project import Project
from quiltboard.sheets.paper import (
    Paper,
    Sheet,
)

TITLE: Final = "Fabric key and cutting"
CAUTION: Final = (
    "Rotary cutter: close the blade after every cut, cut away from yourself, and let it fall if "
    "it falls. Keep it where no child can reach it; a young cutter works with an adult beside. "
    "What comes with your cutter, and the rules where you are, go before this sheet."
)
CAUTION_MM: Final = 15.0
STRIP: Final = (34.0, 10.0)
ROW_MM: Final = 14.0
COLUMNS: Final = (("pieces", 104.0), ("there", 119.0), ("short", 132.0))
"""Right edges of the figures' columns, from the room's left."""
CUTTING_MM: Final = 138.0
"""Left edge of the last column."""
_ORDER: Final[tuple[Step, ...]] = ("light", "medium", "dark", "mixed")


@dataclass(frozen=True, slots=True)
class _Row:
    """One fabric's row, from its own upper edge, or one part's."""

    height: float
    items: tuple[Item, ...]


def key_sheets(
    project: Project,
    counts: Sequence[Count],
    notes: Mapping[FabricId, CutNote],
    steps: Mapping[FabricId, Step],
    paper: Paper,
) -> list[Sheet]:
    """List the fabrics on the board, light to dark, with what to cut; no row is ever cut."""
    raise NotImplementedError
