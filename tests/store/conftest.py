"""A board file and a journal to try things on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from quiltboard.project.project import new_project
from quiltboard.store.board_file import save_board
from quiltboard.store.journal import Journal
from tests.helpers.boards import encoded, full_project


@pytest.fixture
def board(tmp_path: Path) -> Path:
    """Give a board file with everything on it, and a preview."""
    path = tmp_path / "supper.quiltboard"
    save_board(full_project(), path, {"board.png": encoded("red", (40, 30), "PNG")})
    return path


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """Give a journal that has just been begun."""
    made = Journal.start(tmp_path / "journals", new_project(), None)
    yield made
    made.close()
