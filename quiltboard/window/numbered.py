"""A numbered step of the first run: a round with its figure, a heading and a line under it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from quiltboard.drawing.lettering import wrap
from quiltboard.window.lettering import Align, draw_line, line_px
from quiltboard.window.theme import NOTE, TEXT, Colour, Theme

ROUND_PX = 24


def draw_numbered(
    painter: QPainter,
    theme: Theme,
    at: QPointF,
    number: int,
    heading: str,
    note: str,
    *,
    width: float,
    on_ground: bool,
) -> float:
    """Draw a numbered step from its upper left corner, broken to a width.

    Parameters
    ----------
    painter, theme
        What to draw with.
    at
        The upper left corner.
    number
        Which step, from 1.
    heading, note
        What it says.
    width
        How wide it may be, in px.
    on_ground
        Whether it stands on the cloth's grey or on a panel.

    Returns
    -------
    float
        How high it stands, in px.
    """
    side = theme.px(ROUND_PX)
    round_box = QRectF(at.x(), at.y(), side, side)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    fill: Colour = "ink" if on_ground else "button"
    figure: Colour = "halo" if on_ground else "button_text"
    painter.setBrush(theme.colour(fill))
    painter.setPen(QPen(theme.colour("halo"), 1.5) if on_ground else Qt.PenStyle.NoPen)
    painter.drawEllipse(round_box)
    painter.restore()
    draw_line(
        painter,
        theme,
        round_box,
        str(number),
        size=TEXT,
        weight=600,
        colour=figure,
        align=Align.AlignHCenter,
    )
    left = at.x() + side + 8
    room = width - side - 8
    first: Colour = "ink" if on_ground else "text"
    second: Colour = "ink" if on_ground else "text_2"
    y = at.y() + (side - line_px(theme, TEXT)) / 2 - 2
    for text, size, weight, colour in ((heading, TEXT, 600, first), (note, NOTE, 400, second)):
        for line in wrap(text, room, theme.px(size), weight):  # type: ignore[arg-type]
            high = line_px(theme, size)
            box = QRectF(left, y, room + 2, high)
            draw_line(painter, theme, box, line, size=size, weight=weight, colour=colour)  # type: ignore[arg-type]
            y += high
    return y - at.y()
