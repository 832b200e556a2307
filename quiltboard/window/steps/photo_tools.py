"""What the photo table is worked with: a cross to point with, a ruler to lay.

A tool lives while it is in the hand. It works in fractions of the photo, by mouse and keyboard,
and tells when it has what it came for.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, Qt

Point = tuple[float, float]

NUDGE: Final = 0.0025
NUDGE_FAR: Final = 0.02
ARROWS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_LEAST_RULER: Final = 0.01


def within(x: float, y: float) -> QPointF:
    """Give a place held inside the photo."""
    return QPointF(min(max(x, 0.0), 1.0), min(max(y, 0.0), 1.0))


class PointTool:
    """Point at one place in the photo.

    Attributes
    ----------
    caption
        What the maker is asked to point at.
    at
        Where the cross stands.
    """

    def __init__(self, caption: str, done: Callable[[Point], None]) -> None:
        self.caption = caption
        self.at = QPointF(0.5, 0.5)
        self._done = done

    @property
    def start(self) -> QPointF | None:
        """Where a ruler begins: nowhere."""
        return None

    def move(self, to: QPointF) -> None:
        """Take the cross along."""
        self.at = within(to.x(), to.y())

    def press(self, to: QPointF) -> None:
        """Take the cross to where the mouse went down."""
        self.move(to)

    def release(self, to: QPointF) -> bool:
        """Point at where the mouse was let go; True when it is done."""
        self.move(to)
        return self.set()

    def set(self) -> bool:
        """Point at where the cross stands; True when it is done."""
        self._done((self.at.x(), self.at.y()))
        return True


class RulerTool:
    """Lay a ruler from one place in the photo to another: by a drag, or by two clicks.

    Attributes
    ----------
    caption
        What the maker is asked to do.
    at
        Where the cross stands.
    start
        Where the ruler begins, once that is set.
    """

    def __init__(self, caption: str, done: Callable[[Point, Point], None]) -> None:
        self.caption = caption
        self.at = QPointF(0.5, 0.5)
        self.start: QPointF | None = None
        self._done = done

    def move(self, to: QPointF) -> None:
        """Take the cross along."""
        self.at = within(to.x(), to.y())

    def press(self, to: QPointF) -> None:
        """Begin the ruler where the mouse went down, unless it is begun."""
        self.move(to)
        if self.start is None:
            self.start = self.at

    def release(self, to: QPointF) -> bool:
        """End the ruler where the mouse was let go, unless that is where it began."""
        self.move(to)
        return self._long_enough() and self.set()

    def set(self) -> bool:
        """Begin or end the ruler where the cross stands; True when it is done."""
        if self.start is None:
            self.start = self.at
            return False
        if not self._long_enough():
            return False
        self._done((self.start.x(), self.start.y()), (self.at.x(), self.at.y()))
        return True

    def _long_enough(self) -> bool:
        start = self.start
        return start is not None and (self.at - start).manhattanLength() >= _LEAST_RULER


Tool = PointTool | RulerTool
