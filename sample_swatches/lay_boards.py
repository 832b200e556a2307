"""Lay the demo's two boards from its photos: one dealt, one with every fault planted.

Run ``python sample_swatches/lay_boards.py`` after the prints were drawn anew. The faults stand
where the comments say (plate.wedge, both from 0), so that each can be seen and looked up.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

import msgspec

from quiltboard.errands.deal import deal_pieces, task_for
from quiltboard.errands.judge import judge
from quiltboard.errands.plan import Top, plan
from quiltboard.errands.sample import ACROSS, DOWN, dress_sample
from quiltboard.fabrics.fabric import CutWedges, FabricId
from quiltboard.paint.preview import preview_image, preview_png
from quiltboard.project.edits import (
    ChangeFabric,
    InvalidEditError,
    LayOut,
    PinWedges,
    PlaceFabric,
    Rename,
)
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.store.board_file import PREVIEW, save_board
from quiltboard.units import length_from_mm

HERE: Final = Path(__file__).parent
SHOWN_IN: Final = 9
"""How many inches of cloth each of the demo's photos shows across."""
SEED: Final = 20
DEALT: Final = "allotment-supper"
BEFORE: Final = "allotment-supper-before"

FORCED: Final = {Cell(19, w): "Tomato Skin" for w in (0, 2, 4, 6, 7, 9, 11)}
"""Seven of twelve, pinned: at least two must touch."""

PLANTED: Final[dict[Cell, str]] = {
    Cell(0, 2): "Pea Shoot",  # touch
    Cell(0, 3): "Pea Shoot",
    Cell(1, 5): "Runner Bean",  # look-alike
    Cell(1, 6): "Pea Shoot",
    Cell(2, 0): "Marigold",  # too close
    Cell(2, 2): "Marigold",
    Cell(5, 3): "Wet Slate",  # dark clump, heavy to the lower right
    Cell(5, 4): "Kale Frill",
    Cell(5, 5): "Midnight Leek",
    Cell(5, 6): "Aubergine Pip",
    Cell(5, 7): "Marigold",
    Cell(5, 8): "Onion Paper",
    Cell(5, 9): "Pea Shoot",
    Cell(5, 10): "Radish Confetti",
    Cell(5, 11): "Cloche Glass",
    Cell(5, 0): "Pot Stack",
    Cell(5, 1): "Lemon Verbena",
    Cell(5, 2): "Seed Packets",
    Cell(6, 8): "Onion Paper",  # lost edge
    Cell(6, 9): "Cloche Glass",
    Cell(6, 10): "Butterbean",
    Cell(8, 3): "Tomato Skin",  # across the seam
    Cell(9, 9): "Tomato Skin",
    Cell(11, 0): "Wet Slate",  # opposite knots
    Cell(11, 1): "Compost Tweed",
    Cell(11, 6): "Kale Frill",
    Cell(11, 7): "Aubergine Pip",
    Cell(9, 4): "Wet Slate",  # dark corner
    Cell(9, 5): "Kale Frill",
    Cell(10, 7): "Midnight Leek",
    Cell(10, 8): "Wet Slate",
    Cell(13, 1): "Kale Frill",
    Cell(13, 2): "Compost Tweed",
    Cell(14, 10): "Wet Slate",
    Cell(14, 11): "Kale Frill",
    Cell(16, 1): "Foxglove Row",  # twice on a plate
    Cell(16, 7): "Foxglove Row",
    Cell(12, 3): "Blue Twine",  # same neighbours
    Cell(12, 4): "Marigold",
    Cell(13, 7): "Blue Twine",
    Cell(13, 8): "Marigold",
    Cell(17, 9): "Blue Twine",
    Cell(17, 10): "Marigold",
    Cell(15, 0): "Wet Slate",  # uneven plate: seven darks
    Cell(15, 1): "Kale Frill",
    Cell(15, 3): "Midnight Leek",
    Cell(15, 4): "Wet Slate",
    Cell(15, 6): "Aubergine Pip",
    Cell(15, 8): "Compost Tweed",
    Cell(15, 10): "Kale Frill",
    **FORCED,
}
SHORT: Final = "Kale Frill"
SHORT_PLACED: Final = 17


def deal_demo() -> Project:
    """Deal the demo's board from its fabric list."""
    planned = plan([HERE / "fabrics.csv"], Top(ACROSS, DOWN), dress=dress_sample, seed=SEED)
    for problem in planned.problems:
        print(problem)
    return tell_scale(planned.project)


def tell_scale(project: Project) -> Project:
    """Tell how much cloth each swatch shows, as a ruler beside it would have told."""
    for fabric in project.fabrics:
        if fabric.swatch is None:
            continue
        (left, _), (right, _), *_ = fabric.corners
        shown = length_from_mm((right - left) * SHOWN_IN * 25.4)
        swatch = msgspec.structs.replace(fabric.swatch, width=shown)
        known = msgspec.structs.replace(fabric, swatch=swatch)
        project = ChangeFabric(known).apply(project)
    return project


def plant_faults(project: Project) -> Project:
    """Lay the planted faults and deal the rest round them, then take all but one pin out."""
    ids = {fabric.name: fabric.id for fabric in project.fabrics}
    bare = LayOut(tuple((None,) * 12 for _ in project.board.blocks)).apply(project)
    held = bare
    for cell, name in PLANTED.items():
        held = PlaceFabric((cell,), ids[name]).apply(held)
    held = PinWedges(tuple(PLANTED), pinned=True).apply(held)
    dealt = LayOut(deal_pieces(task_for(held, SEED)).cells).apply(held)
    dealt = ask_too_much(dealt, ids[SHORT])
    loose = tuple(cell for cell in PLANTED if cell not in FORCED)
    dealt = PinWedges(loose, pinned=False).apply(dealt)
    return Rename("Allotment Supper, before the deal").apply(dealt)


def ask_too_much(project: Project, fabric: FabricId) -> Project:
    """Lay one fabric once more than it is there, without any other new flag."""
    fabrics = project.by_id()
    plenty = msgspec.structs.replace(fabrics[fabric], amounts=(CutWedges(99),))
    trial = ChangeFabric(plenty).apply(project)
    cost = judge(trial).report.cost
    placed = sum(laid == fabric for _, laid in project.board.cells())
    for cell, laid in project.board.cells():
        if placed == SHORT_PLACED:
            break
        if laid == fabric or project.board.pinned(cell):
            continue
        try:
            tried = PlaceFabric((cell,), fabric).apply(trial)
        except InvalidEditError:
            continue
        if judge(tried).report.cost <= cost:
            trial = tried
            placed += 1
    return ChangeFabric(fabrics[fabric]).apply(trial)


def main() -> None:
    """Write both boards beside this file."""
    dealt = deal_demo()
    for name, project in ((DEALT, dealt), (BEFORE, plant_faults(dealt))):
        path = HERE / f"{name}.quiltboard"
        save_board(project, path, {PREVIEW: preview_png(preview_image(project))})
        report = judge(project).report
        print(f"{path.name}: cost {report.cost:g}, {report.counts}")


if __name__ == "__main__":
    main()
