"""The demo: an invented throw, its prints, its dealt board and the copy with planted faults."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import msgspec

from quiltboard.project.edits import change_top
from quiltboard.project.project import Project
from quiltboard.resources import shipped
from quiltboard.store.board_file import Opened, open_board
from quiltboard.units import inches

ACROSS: Final = 4
DOWN: Final = 5


def sample_list() -> Path:
    """Find the demo's fabric list, with the photos beside it."""
    return shipped("sample_swatches", "fabrics.csv")


def sample_board() -> Path:
    """Find the demo's dealt board."""
    return shipped("sample_swatches", "allotment-supper.quiltboard")


def sample_before() -> Path:
    """Find the copy of the demo's board with its planted faults."""
    return shipped("sample_swatches", "allotment-supper-before.quiltboard")


def dress_sample(project: Project) -> Project:
    """Give the demo its title, its sashing and border, and its centres from their own cloth."""
    centre = next(f.id for f in project.fabrics if f.name == "Beetroot Rings")
    top = change_top(
        project.board,
        sash=inches(2),
        border=inches("7/2"),
        ground="#f4f0e6",
        sashing="#6f8478",
        cornerstone="#c27a4a",
        frame="#4f665c",
        centre=centre,
    )
    return msgspec.structs.replace(top.apply(project), title="Allotment Supper")


def open_sample() -> Opened:
    """Open the demo's dealt board.

    Raises
    ------
    StoreError
        If the installation is not whole.
    """
    return open_board(sample_board())
