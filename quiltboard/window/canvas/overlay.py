"""What lies over the tiles and changes from moment to moment.

The pointer's wedge, what is chosen, the cord, ghosts, the piece in the hand and its tag.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from quiltboard.balance.flags import Flag
from quiltboard.drawing.display import Item
from quiltboard.drawing.marks import mark_items
from quiltboard.drawing.states import outline_keyboard, outline_selected, plate_corners
from quiltboard.fabrics.fabric import FabricId
from quiltboard.quilt.board import Cell
from quiltboard.shapes.wedge import Point
from quiltboard.window.canvas.acts import Act
from quiltboard.window.canvas.motion import Motion
from quiltboard.window.canvas.notes import NUMBER_PX, parts_by_block, wedge_numbers
from quiltboard.window.canvas.pieces import Sight, ghost_items, paint_grip, paint_piece
from quiltboard.window.lettering import draw_line, width_px
from quiltboard.window.theme import NOTE, RADIUS_PX, TEXT, Theme

LIFT_PX: Final = 3.0
TAG_AWAY_PX: Final = QPointF(22.0, 26.0)
TAG_SHADOW: Final = ((1, 26), (3, 14), (6, 8))
KEYBOARD_LIFT_PX: Final = QPointF(9.0, -12.0)
"""How far from its wedge a piece is held that the keyboard has picked up."""


Centre = Callable[[int], tuple[Item, ...]]


@dataclass(slots=True)
class Hand:
    """What is in the hand.

    Attributes
    ----------
    fabric
        Its cloth.
    source
        The wedge it was lifted from; None if it comes from the shelf.
    at
        Where on screen it is held.
    grip
        The point of the piece it is held at, in mm of the top as if it lay on its wedge.
    target
        The wedge it is over.
    act
        What letting go would do.
    note
        What that would change.
    turn_deg
        How far the piece is turned, clockwise.
    """

    fabric: FabricId
    source: Cell | None
    at: QPointF
    grip: Point
    act: Act
    target: Cell | None = None
    note: str = ""
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Flight:
    """A piece on its way to its wedge: from where its middle was, in mm of the top."""

    cell: Cell
    fabric: FabricId
    start: Point
    turn_deg: float = 0.0


@dataclass(slots=True)
class Overlay:
    """All that the overlay shows."""

    theme: Theme
    motion: Motion
    hover: Cell | None = None
    cord: Cell | None = None
    chosen: tuple[Cell, ...] = ()
    block: int | None = None
    hand: Hand | None = None
    flag: Flag | None = None
    coming: tuple[Flag, ...] = ()
    going: tuple[Flag, ...] = ()
    flights: list[Flight] = field(default_factory=list)

    def paint_under(self, painter: QPainter, sight: Sight, centre: Centre) -> None:
        """Paint what lies on the cloth but under its marks.

        ``centre`` gives a plate's centre circle, which lies on the narrow ends again.
        """
        plates: set[int] = set()
        if self.hand is not None:
            ghosts: list[tuple[Cell, FabricId | None]] = list(self.hand.act.ghosts)
            if not ghosts and self.hand.source is not None:
                ghosts = [(self.hand.source, None)]
            for cell, fabric in ghosts:
                sight.paint(painter, ghost_items(sight, cell, fabric))
                plates.add(cell.block)
        if self.hover is not None and self.hand is None:
            self._paint_hover(painter, sight, self.hover)
            plates.add(self.hover.block)
        for block in plates:
            sight.paint(painter, centre(block))
            number_px = self.theme.px(NUMBER_PX)
            sight.paint(
                painter, wedge_numbers(block, sight.layout, sight.view.scale, number_px)
            )
        self._paint_flights(painter, sight)

    def paint_over(self, painter: QPainter, sight: Sight, area: QRectF) -> None:
        """Paint what lies over the marks; ``area`` is what is in sight."""
        scale, layout = sight.view.scale, sight.layout
        if self.block is not None and self.block < len(layout.blocks):
            square = layout.blocks[self.block]
            if len(layout.blocks) > 1:
                corners = plate_corners(square.x, square.y, square.width, square.height, scale)
                sight.paint(painter, tuple(corners))
        for cell in self._in_sight(self.chosen, sight, area):
            sight.paint(painter, outline_selected(layout.outline(cell), scale))
        for flags, opacity in (
            (self.coming, self.motion.share("flags")),
            (self.going, 1 - self.motion.share("flags")),
        ):
            if self.motion.runs("flags"):
                self._paint_flags(painter, sight, flags, opacity)
        if self.flag is not None:
            self._paint_flags(painter, sight, (self.flag,), 1.0)
        if self.cord is not None and sight.project.board.holds(self.cord):
            sight.paint(painter, outline_keyboard(layout.outline(self.cord), scale))

    def paint_hand(self, painter: QPainter, sight: Sight, area: QRectF) -> None:
        """Paint what is in the hand, over everything else, and its tag."""
        if self.hand is not None:
            self._paint_hand(painter, sight, self.hand, area)

    def _in_sight(self, cells: Iterable[Cell], sight: Sight, area: QRectF) -> Iterable[Cell]:
        board, layout = sight.project.board, sight.layout
        for cell in cells:
            if board.holds(cell) and sight.view.rect_px(layout.blocks[cell.block]).intersects(
                area
            ):
                yield cell

    def _paint_hover(self, painter: QPainter, sight: Sight, cell: Cell) -> None:
        board = sight.project.board
        fabric = board.at(cell) if board.holds(cell) else None
        if fabric is None or board.pinned(cell):
            return
        share = self.motion.share("lift")
        middle = sight.middle(cell)
        at = sight.view.to_px(*middle) - QPointF(0, LIFT_PX * share)
        paint_piece(painter, sight, cell, fabric, at, middle, height=0.5 * share)

    def _paint_flights(self, painter: QPainter, sight: Sight) -> None:
        if not self.motion.runs("land"):
            self.flights.clear()
        share = self.motion.share("land")
        for flight in self.flights:
            if not sight.project.board.holds(flight.cell):
                continue
            end = sight.middle(flight.cell)
            x = flight.start[0] + (end[0] - flight.start[0]) * share
            y = flight.start[1] + (end[1] - flight.start[1]) * share
            paint_piece(
                painter,
                sight,
                flight.cell,
                flight.fabric,
                sight.view.to_px(x, y),
                end,
                turn_deg=flight.turn_deg * (1 - share),
                height=1 - share,
                outlined=False,
            )

    def _paint_flags(
        self, painter: QPainter, sight: Sight, flags: Iterable[Flag], opacity: float
    ) -> None:
        for flag in flags:
            for _, part in parts_by_block(flag):
                if all(sight.project.board.holds(cell) for cell in part.key.cells):
                    items = mark_items(part, sight.layout, sight.view.scale)
                    sight.paint(painter, items, opacity)

    def _paint_hand(self, painter: QPainter, sight: Sight, hand: Hand, area: QRectF) -> None:
        if hand.source is not None:
            paint_piece(
                painter,
                sight,
                hand.source,
                hand.fabric,
                hand.at,
                hand.grip,
                turn_deg=hand.turn_deg,
                height=self.motion.share("lift"),
            )
            wedge = sight.layout.drafted
            paint_grip(painter, hand.at, (wedge.tip - wedge.opening) * sight.view.scale)
        paint_tag(painter, self.theme, hand, area)


def tag_rect(theme: Theme, title: str, note: str, at: QPointF, area: QRectF) -> QRectF:
    """Place a tag below right of the pointer, or where it fits."""
    width = max(width_px(theme, title, TEXT, 600), width_px(theme, note, NOTE)) + 25
    width = min(width, max(80, int(area.width()) - 16))
    height = theme.px(18) + (theme.px(18) if note else 0) + 14
    spot = at + TAG_AWAY_PX
    if spot.x() + width > area.right() - 8:
        spot.setX(max(area.left() + 8, at.x() - TAG_AWAY_PX.x() - width))
    if spot.y() + height > area.bottom() - 8:
        spot.setY(max(area.top() + 8, at.y() - TAG_AWAY_PX.y() - height))
    return QRectF(round(spot.x()), round(spot.y()), width, height)


def paint_tag(painter: QPainter, theme: Theme, hand: Hand, area: QRectF) -> None:
    """Paint the tag that says what letting go would do, and what that would change."""
    title, note = hand.act.title, hand.note
    box = tag_rect(theme, title, note, hand.at, area)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    for down, dark in TAG_SHADOW:
        painter.setBrush(QColor(0, 0, 0, dark))
        painter.drawRoundedRect(box.adjusted(-1, down - 1, 1, down + 1), RADIUS_PX, RADIUS_PX)
    painter.setBrush(theme.colour("raised"))
    painter.setPen(theme.colour("edge"))
    painter.drawRoundedRect(box.adjusted(0.5, 0.5, -0.5, -0.5), RADIUS_PX, RADIUS_PX)
    row = theme.px(18)
    inner = box.adjusted(12, 7, -12, 0)
    draw_line(
        painter, theme, QRectF(inner.x(), inner.y(), inner.width(), row), title, weight=600
    )
    if note:
        draw_line(
            painter,
            theme,
            QRectF(inner.x(), inner.y() + row, inner.width(), row),
            note,
            size=NOTE,
            colour="text_2",
        )
    painter.restore()
