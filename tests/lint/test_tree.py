"""The shape of the house: what lies at the top, how long a module may be, where Qt stands."""

from __future__ import annotations

import ast
import subprocess
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "quiltboard"
AGREED = {
    "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml",
    "quiltboard", "resources", "sample_swatches", "tests",
}  # fmt: skip
ABOVE_PAINT = {"__main__", "app", "window", "document", "paint"}
LONGEST_MODULE_LINES = 500

MODULES = sorted(PACKAGE.rglob("*.py"))
PURE_MODULES = [
    path
    for path in MODULES
    if path.relative_to(PACKAGE).parts[0].split(".")[0] not in ABOVE_PAINT
]


def list_top_level() -> set[str]:
    """List what a maker sees at the top of the checkout.

    Returns
    -------
    set of str
        Names that git tracks; in an unpacked archive, those that `.gitignore` does not name.
        Dot files are left out.
    """
    if (ROOT / ".git").exists():
        tracked = subprocess.run(
            ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"],
            cwd=ROOT, check=True, capture_output=True, text=True,
        ).stdout.split("\0")  # fmt: skip
        names = {name.split("/")[0] for name in tracked if name}
    else:
        ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").split()
        names = {
            path.name
            for path in ROOT.iterdir()
            if not any(fnmatch(path.name, pattern.rstrip("/")) for pattern in ignored)
        }
    return {name for name in names if not name.startswith(".")}


def test_the_top_level_holds_what_is_agreed_and_nothing_else() -> None:
    assert list_top_level() == AGREED


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_module_is_too_long_to_read(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE_LINES


@pytest.mark.parametrize("path", PURE_MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_module_below_paint_names_qt(path: Path) -> None:
    """Import Qt nowhere below paint, not even inside a function.

    The doors may bring paint in when asked to draw; they too name Qt nowhere but in `app`.
    """
    imported = {
        name.split(".")[0]
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert not imported & {"PySide6", "shiboken6"}
