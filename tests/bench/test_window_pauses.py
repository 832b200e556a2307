"""How long the window is held up by what a maker does, beside an idle window's own beat.

Run by hand: ``pytest -m soak tests/bench/test_window_pauses.py -s``. It prints, for each act,
the longest and the second longest pause of the event loop and how often it was over 50 ms;
nothing timed decides it.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from pytestqt.qtbot import QtBot

from quiltboard.app import Parts, put_together
from quiltboard.errands.sample import sample_before, sample_list
from quiltboard.quilt.board import Cell

pytestmark = [pytest.mark.qt, pytest.mark.soak]

PATIENCE_MS = 60_000
REST_MS = 1500


class Beat:
    """A timer that notes how long it was kept waiting."""

    def __init__(self) -> None:
        self._timer = QTimer()
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(2)
        self._timer.timeout.connect(self._on_beat)
        self._last = time.perf_counter()
        self.pauses_ms: list[float] = []
        self._timer.start()

    def _on_beat(self) -> None:
        now = time.perf_counter()
        self.pauses_ms.append(1000 * (now - self._last))
        self._last = now

    def take(self) -> list[float]:
        """Give the pauses since last asked, the longest first."""
        taken, self.pauses_ms = sorted(self.pauses_ms, reverse=True), []
        return taken


def acts(parts: Parts, folder: Path, qtbot: QtBot) -> dict[str, Callable[[], None]]:
    """Name what a maker does in a sitting, each with the waiting that belongs to it."""
    document, desk, keeping = parts.document, parts.desk, parts.keeping

    def waiting(signal: object, act: Callable[[], object]) -> Callable[[], None]:
        def run() -> None:
            with qtbot.waitSignal(signal, timeout=PATIENCE_MS):
                act()

        return run

    def look(seeing: str) -> Callable[[], None]:
        return lambda: desk.look(seeing)  # type: ignore[arg-type]

    def step(name: str) -> Callable[[], None]:
        return lambda: desk.go_to_step(name)

    def swap() -> None:
        document.swap_wedges(Cell(0, 1), Cell(3, 4))

    return {
        "open the demo": waiting(keeping.opened, keeping.open_demo),
        "choose a plate": lambda: desk.choose_block(5),
        "deal": waiting(parts.dealing.ended, parts.dealing.deal),
        "swap": swap,
        "undo": document.undo_stack.undo,
        "save": waiting(keeping.saved, lambda: keeping.save(folder / "a.quiltboard")),
        "see grey": look("grey"),
        "see value steps": look("steps"),
        "see squint": look("squint"),
        "see colour": look("colour"),
        "step fabrics": step("fabrics"),
        "step top": step("top"),
        "step wedge": step("wedge"),
        "step cut": step("cut"),
        "step arrange": step("arrange"),
        "dark room": lambda: parts.theme.choose_room("dark"),
        "new quilt": waiting(keeping.opened, keeping.new),
        "bring 24 photos in": waiting(
            parts.bringing.ended, lambda: parts.bringing.bring([sample_list()])
        ),
        "write the sheets": waiting(
            parts.window.exporting.ended,
            lambda: parts.window.exporting.write_sheets(
                document.project, folder / "a.pdf", "a4"
            ),
        ),
        "open another board": waiting(keeping.opened, lambda: keeping.open(sample_before())),
    }


def test_pauses_of_the_window(qtbot: QtBot, tmp_path: Path) -> None:
    parts = put_together()
    qtbot.addWidget(
        parts.window, before_close_func=lambda _w: parts.document.undo_stack.setClean()
    )
    parts.window.resize(1600, 1000)
    parts.window.show()
    qtbot.waitExposed(parts.window)
    qtbot.wait(REST_MS)
    beat = Beat()
    qtbot.wait(REST_MS)
    idle = beat.take()
    told = [f"\n{'':22}{'longest':>9}{'second':>9}  over 50 ms  longest, idle = 1"]
    told.append(f"{'idle':22}{idle[0]:9.1f}{idle[1]:9.1f}{sum(p > 50 for p in idle):12}")
    for name, act in acts(parts, tmp_path, qtbot).items():
        act()
        qtbot.wait(REST_MS)
        pauses = beat.take()
        over = sum(pause > 50 for pause in pauses)
        times = pauses[0] / idle[0]
        told.append(f"{name:22}{pauses[0]:9.1f}{pauses[1]:9.1f}{over:12}{times:19.1f}")
        assert pauses
    print("\n".join(told))  # noqa: T201 - what this is run for
    parts.document.close()
