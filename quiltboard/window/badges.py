"""The flags' badges on the panels: the shapes of the board, in the room's ink, without halo."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter

from quiltboard.balance.flags import Kind
from quiltboard.drawing.badges import badge
from quiltboard.drawing.display import Item
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.painter import paint_items

_NO_CLOTH: Final = ClothBook()


def draw_badge(
    painter: QPainter, kind: Kind, box: QRectF, colour: QColor, paper: QColor
) -> None:
    """Draw a badge in the middle of a box.

    Parameters
    ----------
    painter
        An open painter, in logical px.
    kind
        Which flag.
    box
        Where; the badge takes its shorter side.
    colour, paper
        What it is drawn in, and what shows through it.
    """
    side = min(box.width(), box.height())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(box.center())
    paint_items(_items(kind, side, colour.name(), paper.name()), painter, _NO_CLOTH, 1.0)
    painter.restore()


@lru_cache(maxsize=64)
def _items(kind: Kind, side: float, ink: str, light: str) -> tuple[Item, ...]:
    return badge(kind, 0, 0, side, ink=ink, light=light, halo=False)
