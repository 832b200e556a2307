"""The piece count as a table for a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Final

from quiltboard.cutting.counts import Count
from quiltboard.cutting.strips import strips_for
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.project.project import Project

HEADER: Final = ("name", "value step", "placed", "there", "short", "strips")
_RISKY: Final = ("=", "+", "-", "@", "\t", "\r")


def pieces_table(
    project: Project, counts: Sequence[Count], steps: Mapping[FabricId, Step]
) -> str:
    """Write each fabric's pieces as CSV, in the order of the counts.

    Parameters
    ----------
    project
        The board and its fabrics.
    counts
        Pieces of each fabric.
    steps
        Each fabric's value step.

    Returns
    -------
    str
        CSV with a header; ``there`` is empty for as much as needed, ``strips`` is how many to
        cut for the pieces on the board. A name that a spreadsheet would take for a formula has
        an apostrophe before it.
    """
    by_id, wedge = project.by_id(), project.board.wedge
    kept = StringIO()
    table = csv.writer(kept, lineterminator="\r\n")
    table.writerow(HEADER)
    for count in counts:
        fabric = by_id[count.fabric]
        name = f"'{fabric.name}" if fabric.name.startswith(_RISKY) else fabric.name
        there = "" if count.there is None else count.there
        strips = strips_for(fabric, count.placed, wedge).strips
        step = steps.get(fabric.id, "")
        table.writerow((name, step, count.placed, there, count.short, strips))
    return kept.getvalue()
