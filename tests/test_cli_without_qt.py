"""Where PySide6 or a library under it is missing, the commands that paint say so in a line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from quiltboard.errands.sample import sample_board

# None among the loaded modules makes an import fail as if there were no such thing.
WITHOUT_QT = """
import sys
sys.modules["PySide6"] = None
from quiltboard.cli import run
sys.exit(run(sys.argv[1:]))
"""


def ask(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", WITHOUT_QT, *map(str, arguments)],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize(
    "arguments",
    [["sheets", sample_board()], ["plan", "--sample", "--seconds", "0.1"]],
    ids=["sheets", "plan"],
)
def test_sheets_are_refused_before_anything_is_written(
    arguments: list[object], tmp_path: Path
) -> None:
    done = ask(*arguments, "--out", tmp_path / "out")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("quiltboard: windows, pictures and sheets need PySide6")
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_the_window_is_refused_as_well() -> None:
    done = ask()
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "need PySide6" in done.stderr


def test_a_board_is_checked_and_dealt_all_the_same(tmp_path: Path) -> None:
    assert ask("check", sample_board()).returncode == 0
    done = ask("deal", sample_board(), "--seconds", "0.1", "--out", tmp_path / "b.quiltboard")
    assert (done.returncode, done.stderr) == (0, "")
