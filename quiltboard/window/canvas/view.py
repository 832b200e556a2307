"""The view: which part of the top is on screen, and how large.

A view is a value: zooming and panning give another one. Screen points are logical pixels from
the canvas's upper left corner, points of the top are millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QTransform

from quiltboard.quilt.layout import Rect

MOST_TIMES_TRUE: Final = 6.0
"""How far one can zoom in, against true size."""
LEAST_OF_FIT: Final = 0.5
"""How far one can zoom out, against the whole top filling the canvas."""
KEPT_PX: Final = 96.0
"""How much of the top stays in sight, whichever way it is moved."""


@dataclass(frozen=True, slots=True)
class View:
    """How the top lies on screen.

    Attributes
    ----------
    scale
        Logical pixels to a millimetre.
    x, y
        Where the top's upper left corner lies, in logical pixels.
    """

    scale: float
    x: float
    y: float

    def to_px(self, x_mm: float, y_mm: float) -> QPointF:
        """Carry a point of the top to the screen."""
        return QPointF(self.x + x_mm * self.scale, self.y + y_mm * self.scale)

    def to_mm(self, point: QPointF) -> tuple[float, float]:
        """Carry a point of the screen to the top."""
        return (point.x() - self.x) / self.scale, (point.y() - self.y) / self.scale

    def rect_px(self, rect: Rect) -> QRectF:
        """Carry an upright rectangle of the top to the screen."""
        return QRectF(
            self.to_px(rect.x, rect.y), self.to_px(rect.x + rect.width, rect.y + rect.height)
        )

    def transform(self) -> QTransform:
        """Give the transform from millimetres to logical pixels."""
        return QTransform(self.scale, 0, 0, self.scale, self.x, self.y)

    def zoomed(self, factor: float, about: QPointF) -> View:
        """Zoom so that what lies under a point of the screen stays there."""
        return View(
            self.scale * factor,
            about.x() + (self.x - about.x()) * factor,
            about.y() + (self.y - about.y()) * factor,
        )

    def moved(self, dx_px: float, dy_px: float) -> View:
        """Move the top on screen."""
        return replace(self, x=self.x + dx_px, y=self.y + dy_px)

    def kept_in(self, area: QRectF, width_mm: float, height_mm: float) -> View:
        """Move the top back where hardly any of it would be left in sight."""
        return replace(
            self,
            x=_kept(self.x, width_mm * self.scale, area.left(), area.right()),
            y=_kept(self.y, height_mm * self.scale, area.top(), area.bottom()),
        )

    def snapped(self, ratio: float) -> View:
        """Lay the top's corner on a whole device pixel, so that nothing is smeared.

        Parameters
        ----------
        ratio
            Device pixels to a logical one.
        """
        return replace(self, x=round(self.x * ratio) / ratio, y=round(self.y * ratio) / ratio)


def _kept(start: float, size: float, low: float, high: float) -> float:
    most = min(KEPT_PX, size, high - low)
    return min(max(start, low + most - size), high - most)


def fit(rect: Rect, area: QRectF, margin_px: float) -> View:
    """Show a rectangle of the top as large as an area of the screen allows, in its middle."""
    inner = area.adjusted(margin_px, margin_px, -margin_px, -margin_px)
    scale = max(
        min(inner.width() / max(rect.width, 1.0), inner.height() / max(rect.height, 1.0)), 1e-3
    )
    middle = inner.center()
    return View(
        scale,
        middle.x() - (rect.x + rect.width / 2) * scale,
        middle.y() - (rect.y + rect.height / 2) * scale,
    )
