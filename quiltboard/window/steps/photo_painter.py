"""How the photo table is painted: the photo, what is cut from it, tools and rulers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from quiltboard.window.lettering import Align, draw_line, line_px, width_px, wrap_lines
from quiltboard.window.steps.photo_tools import Tool
from quiltboard.window.theme import NOTE, RADIUS_PX, TEXT, Theme

HANDLE_PX: Final = 9
_CROSS_PX: Final = 16
_CROSS_GAP_PX: Final = 5
_TICK_PX: Final = 6
_SLIP_PX: Final = (12, 8)
_EDGE_PX: Final = 8
_AWAY_PX: Final = 64
_LEAST_LABEL_PX: Final = 72
_VEIL: Final = 0.72


def on_photo(photo: QRectF, x: float, y: float) -> QPointF:
    """Give the place on the widget of a place in the photo."""
    return QPointF(photo.x() + x * photo.width(), photo.y() + y * photo.height())


def paint_outline(
    painter: QPainter,
    theme: Theme,
    photo: QRectF,
    corners: Sequence[QPointF],
    *,
    held: int | None,
    keyed: int | None,
) -> None:
    """Veil what is left out, and draw the outline with its four handles."""
    places = [on_photo(photo, corner.x(), corner.y()) for corner in corners]
    outline = QPolygonF(places)
    painter.setPen(Qt.PenStyle.NoPen)
    ground = QColor(theme.colour("ground"))
    ground.setAlphaF(_VEIL)
    painter.setBrush(ground)
    painter.drawPolygon(QPolygonF(photo).subtracted(outline))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    halo, ink = theme.colour("halo"), theme.colour("ink")
    painter.setPen(QPen(halo, 5.5))
    painter.drawPolygon(outline)
    dashes = QPen(ink, 2.0)
    dashes.setDashPattern([8.0, 6.0])
    painter.setPen(dashes)
    painter.drawPolygon(outline)
    for index, place in enumerate(places):
        radius = HANDLE_PX + (3 if index in {held, keyed} else 0)
        painter.setPen(QPen(halo, 2))
        painter.setBrush(ink)
        painter.drawEllipse(place, radius, radius)
        if index == keyed:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(place, radius - 5, radius - 5)


def paint_sibling(
    painter: QPainter, theme: Theme, photo: QRectF, corners: Sequence[QPointF], name: str
) -> None:
    """Draw another cloth of the same photo: a plain outline with its name."""
    outline = QPolygonF([on_photo(photo, corner.x(), corner.y()) for corner in corners])
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((theme.colour("halo"), 4.0), (theme.colour("ink"), 1.25)):
        painter.setPen(QPen(colour, width))
        painter.drawPolygon(outline)
    frame = outline.boundingRect()
    most = max(frame.width() - 2 * _EDGE_PX, _LEAST_LABEL_PX)
    paint_label(painter, theme, frame.center(), name, photo, most)


def paint_ruler(
    painter: QPainter, theme: Theme, photo: QRectF, start: QPointF, end: QPointF, text: str
) -> None:
    """Draw a ruler between two places: a line with a tick at each end, and how long it is."""
    first, last = (on_photo(photo, point.x(), point.y()) for point in (start, end))
    along = last - first
    length = max(1.0, (along.x() ** 2 + along.y() ** 2) ** 0.5)
    tick = QPointF(-along.y(), along.x()) * (_TICK_PX / length)
    for colour, width in ((theme.colour("halo"), 5.0), (theme.colour("ink"), 1.75)):
        painter.setPen(QPen(colour, width))
        painter.drawLine(first, last)
        for place in (first, last):
            painter.drawLine(place - tick, place + tick)
    if text:
        paint_label(painter, theme, (first + last) / 2 + tick * 3, text, photo)


def paint_spot(painter: QPainter, theme: Theme, place: QPointF) -> None:
    """Draw where white was set by: a small ring."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((theme.colour("halo"), 5.0), (theme.colour("ink"), 1.75)):
        painter.setPen(QPen(colour, width))
        painter.drawEllipse(place, 7.0, 7.0)


def paint_tool(painter: QPainter, theme: Theme, photo: QRectF, tool: Tool) -> None:
    """Draw the cross that points, and the ruler begun."""
    if tool.start is not None:
        paint_ruler(painter, theme, photo, tool.start, tool.at, "")
    at = on_photo(photo, tool.at.x(), tool.at.y())
    for colour, width in ((theme.colour("halo"), 5.0), (theme.colour("ink"), 1.75)):
        painter.setPen(QPen(colour, width))
        for step in (QPointF(1, 0), QPointF(-1, 0), QPointF(0, 1), QPointF(0, -1)):
            painter.drawLine(at + step * _CROSS_GAP_PX, at + step * _CROSS_PX)


def paint_caption(
    painter: QPainter, theme: Theme, room: QRectF, text: str, away_from: QPointF | None = None
) -> None:
    """Write a sentence on a slip along the top of the table, or along its foot.

    Parameters
    ----------
    painter, theme
        What it is written with.
    room
        The whole table.
    text
        The sentence; it wraps.
    away_from
        What is pointed at: the slip gives way to the foot where that is near the top.
    """
    aside, above = _SLIP_PX
    most = max(room.width() - 2 * (_EDGE_PX + aside), 40.0)
    lines = wrap_lines(text, most, theme.px(TEXT), 600)
    wide = max(width_px(theme, line, TEXT, 600) for line in lines)
    line_high = line_px(theme, TEXT)
    slip = QRectF(0, 0, wide + 2 * aside, line_high * len(lines) + 2 * above)
    slip.moveCenter(room.center())
    slip.moveTop(room.top() + _EDGE_PX)
    if away_from is not None and away_from.y() < slip.bottom() + _AWAY_PX:
        slip.moveBottom(room.bottom() - _EDGE_PX)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("halo"))
    painter.drawRoundedRect(slip, RADIUS_PX, RADIUS_PX)
    for number, line in enumerate(lines):
        box = QRectF(slip.x(), slip.y() + above + number * line_high, slip.width(), line_high)
        draw_line(
            painter,
            theme,
            box,
            line,
            size=TEXT,
            weight=600,
            colour="ink",
            align=Align.AlignHCenter,
        )


def paint_label(
    painter: QPainter,
    theme: Theme,
    middle: QPointF,
    text: str,
    photo: QRectF,
    most_px: float = math.inf,
) -> None:
    """Write a few words on a slip, held inside the photo and shortened where it is narrow."""
    wide = min(width_px(theme, text, NOTE) + 12.0, photo.width(), most_px)
    slip = QRectF(0, 0, wide, line_px(theme, NOTE) + 6)
    slip.moveCenter(middle)
    slip.moveLeft(min(max(slip.left(), photo.left()), photo.right() - slip.width()))
    slip.moveTop(min(max(slip.top(), photo.top()), photo.bottom() - slip.height()))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("halo"))
    painter.drawRoundedRect(slip, 3, 3)
    draw_line(
        painter,
        theme,
        slip.adjusted(5, 0, -5, 0),
        text,
        size=NOTE,
        colour="ink",
        align=Align.AlignHCenter,
    )
