"""The colours of a print, each as wide as its share, on the grey that cloth lies on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget
from skimage import color

from quiltboard.fabrics.colours import hue_family
from quiltboard.fabrics.reading import Tint
from quiltboard.window.theme import Theme

_HIGH_PX: Final = 28
_INSET_PX: Final = 4


class TintStrip(QWidget):
    """Shows up to six colours with their shares."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._tints: tuple[Tint, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def show_tints(self, tints: Sequence[Tint]) -> None:
        """Show other colours."""
        self._tints = tuple(tints)
        told = ", ".join(f"{hue_family(t.lab)} {100 * t.share:.0f} %" for t in self._tints)
        self.setAccessibleDescription(told)
        self.setToolTip(told)
        self.update()

    def sizeHint(self) -> QSize:
        """Give its height."""
        return QSize(120, self._theme.px(_HIGH_PX))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Lay the colours side by side."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("ground"))
            room = QRectF(self.rect()).adjusted(_INSET_PX, _INSET_PX, -_INSET_PX, -_INSET_PX)
            total = sum(tint.share for tint in self._tints) or 1.0
            left = room.left()
            for tint in self._tints:
                width = room.width() * tint.share / total
                painter.fillRect(QRectF(left, room.top(), width, room.height()), _colour(tint))
                left += width


def _colour(tint: Tint) -> QColor:
    red, green, blue = color.lab2rgb([[tint.lab]])[0, 0].tolist()
    return QColor.fromRgbF(red, green, blue)
