"""The ground every test stands on: no screen, no user's folders, no log line left unread."""

from __future__ import annotations

import logging
import os
import re
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

import hypothesis
import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ROOT = Path(__file__).parents[1]
QT_IS_HERE = find_spec("PySide6") is not None
QT_ROOMS = "window|document|paint|app"
QT_IMPORT = re.compile(
    rf"^(?:(?:from|import) (?:PySide6|quiltboard\.(?:{QT_ROOMS}))\b"
    rf"|from quiltboard import .*\b(?:{QT_ROOMS})\b)",
    re.MULTILINE,
)

# Qt reads this when the first window system object is made, which no import does.
# QUILTBOARD_TEST_PLATFORM=xcb runs the same tests in real windows.
os.environ["QT_QPA_PLATFORM"] = os.environ.get("QUILTBOARD_TEST_PLATFORM", "offscreen")

# Two busy cores make any deadline a coin toss; the rest stays as hypothesis chose it, which
# on a build machine (CI set) is to draw the same examples every time.
hypothesis.settings.register_profile(
    "quiltboard",
    hypothesis.settings.get_profile(hypothesis.settings.get_current_profile_name()),
    deadline=None,
)
hypothesis.settings.load_profile("quiltboard")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Know pytest-qt's settings where pytest-qt, having no Qt to stand on, is left out."""
    if not QT_IS_HERE:
        for name in ("qt_api", "qt_log_level_fail", "qt_log_ignore"):
            parser.addini(name, "read by pytest-qt alone")


def pytest_configure(config: pytest.Config) -> None:
    """Give the run folders of its own, and leave out what needs Qt where there is none."""
    home = tempfile.TemporaryDirectory(prefix="quiltboard-tests-", ignore_cleanup_errors=True)
    config.add_cleanup(home.cleanup)
    for kind in ("CONFIG", "DATA", "STATE", "CACHE", "RUNTIME"):
        folder = Path(home.name, kind.lower())
        folder.mkdir(mode=0o700)
        name = "XDG_RUNTIME_DIR" if kind == "RUNTIME" else f"XDG_{kind}_HOME"
        os.environ[name] = str(folder)
    if not QT_IS_HERE:
        left_out = [str(path) for path in find_qt_modules()]
        config.option.ignore = [*(config.option.ignore or []), *left_out]


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Where PySide6 is not installed, leave out single tests that need it."""
    if QT_IS_HERE:
        return
    left_out = [item for item in items if item.get_closest_marker("qt")]
    items[:] = [item for item in items if item not in left_out]
    config.hook.pytest_deselected(items=left_out)


def find_qt_modules() -> list[Path]:
    """List the modules that cannot be imported without PySide6, of the program and the tests.

    Returns
    -------
    list of Path
        The rooms that stand on Qt, and every file that imports Qt or such a room when it is
        itself imported.
    """
    rooms = [
        room
        for top in (ROOT / "quiltboard", ROOT / "tests")
        for room in (*(top / name for name in QT_ROOMS.split("|")), top / "app.py")
        if room.exists()
    ]
    files = [
        path
        for top in (ROOT / "quiltboard", ROOT / "tests")
        for path in sorted(top.rglob("*.py"))
        if QT_IMPORT.search(path.read_text(encoding="utf-8"))
    ]
    return [*rooms, *files]


@pytest.fixture
def stand_in(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Put functions in the place of a room on Qt, to test what only hands over to it."""

    def put(room: str, **functions: object) -> None:
        module = ModuleType(f"quiltboard.{room}")
        for name, function in functions.items():
            setattr(module, name, function)
        monkeypatch.setitem(sys.modules, module.__name__, module)

    return put


@pytest.fixture(scope="session", autouse=True)
def _one_application(request: pytest.FixtureRequest) -> None:
    """Begin with an application that has widgets, whichever test or fixture comes first.

    Painting makes do with less where none runs yet, and a process can have only one.
    """
    if any(item.get_closest_marker("qt") for item in request.session.items):
        request.getfixturevalue("qapp")


@pytest.fixture(autouse=True)
def _no_unexpected_log(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail a test in which the program warns of something the test did not expect.

    A test that means to see a warning asserts on ``caplog.records`` and then calls
    ``caplog.clear()``.
    """
    yield
    unexpected = [
        f"{record.levelname} {record.name}: {record.getMessage()}"
        for when in ("setup", "call")
        for record in caplog.get_records(when)
        if record.levelno >= logging.WARNING and record.name.split(".")[0] == "quiltboard"
    ]
    if unexpected:
        pytest.fail("The program logged what no one expected:\n" + "\n".join(unexpected))
