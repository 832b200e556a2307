"""Motion on the board: short, eased out, never looping; reduced motion is none at all."""

from __future__ import annotations

import time
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

LIFT_MS: Final = 90
LAND_MS: Final = 160
SETTLE_MS: Final = 480
"""How long a deal takes to settle, plate by plate; painting the last plates comes on top."""
FRAME_MS: Final = 16


class Motion(QObject):
    """Runs the motions that are under way.

    Signals
    -------
    ticked
        Something has moved: paint again.
    """

    ticked = Signal()

    def __init__(self, parent: QObject | None = None, *, reduced: bool = False) -> None:
        super().__init__(parent)
        self.reduced = reduced
        self._ends: dict[object, tuple[float, float]] = {}
        self._timer = QTimer(self)
        self._timer.setInterval(FRAME_MS)
        self._timer.timeout.connect(self._on_tick)

    def start(self, what: object, ms: int) -> None:
        """Begin a motion; with reduced motion it is over at once."""
        if self.reduced:
            return
        now = time.perf_counter()
        self._ends[what] = (now, now + ms / 1000)
        self._timer.start()

    def share(self, what: object) -> float:
        """Tell how much of a motion is done, eased out; 1 once it is over."""
        if what not in self._ends:
            return 1.0
        begin, end = self._ends[what]
        done = min(1.0, (time.perf_counter() - begin) / (end - begin))
        return 1 - (1 - done) ** 3

    def runs(self, what: object) -> bool:
        """Tell whether a motion is still under way."""
        return what in self._ends

    @property
    def busy(self) -> bool:
        """Whether anything is under way."""
        return bool(self._ends)

    def stop(self) -> None:
        """End every motion where it was going."""
        self._ends.clear()
        self._timer.stop()

    def _on_tick(self) -> None:
        now = time.perf_counter()
        self._ends = {what: span for what, span in self._ends.items() if span[1] > now}
        if not self._ends:
            self._timer.stop()
        self.ticked.emit()
