"""A piece of cloth apart from its ring: lifted, in the hand, flying, or only a ghost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from quiltboard.drawing.board import SEAM, SEAM_OPACITY
from quiltboard.drawing.cloth import wedge_or_plain
from quiltboard.drawing.display import GROUND, HALO, INK, Circle, Fill, Item, Polygon, Polyline
from quiltboard.drawing.seeing import (
    STEP_VALUES,
    Seeing,
    grey_colour,
    grey_of_value,
    step_colour,
)
from quiltboard.drawing.states import coats, empty_wedge, outline_ghost
from quiltboard.errands.judge import Shelf
from quiltboard.fabrics.fabric import FabricId
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.painter import paint_items
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Layout, lay_out
from quiltboard.shapes.wedge import Point
from quiltboard.window.canvas.view import View

GHOST_OPACITY: Final = 0.5
SHADOW_PX: Final = ((9.0, 0.06), (6.0, 0.08), (3.0, 0.10), (1.5, 0.12))
"""How far below a piece in the hand each coat of its shadow falls, and how dark it is."""
GRIP_PX: Final = 7.0
LEAST_GRIP_PX: Final = 3.0
GRIP_SHARE: Final = 0.07
"""A pin's head against the length of the piece it holds."""


@dataclass(frozen=True, slots=True)
class Sight:
    """What pieces are painted from: the project as it is looked at now."""

    project: Project
    shelf: Shelf
    seeing: Seeing
    view: View
    ratio: float
    cloths: ClothBook

    @property
    def layout(self) -> Layout:
        """Where everything lies."""
        return lay_out(self.project.board)

    def fill(self, cell: Cell, fabric: FabricId) -> Fill:
        """Give what a fabric looks like on a wedge, in this way of seeing."""
        known = self.project.by_id().get(fabric)
        if known is None:
            return GROUND
        if self.seeing == "steps":
            step = self.shelf.step_at(fabric, cell)
            flat = step_colour(step, self.project.board.step_count)
            return flat or grey_of_value(STEP_VALUES["dark"])
        return wedge_or_plain(self.layout, cell, known, grey=self.seeing == "grey")

    def ground(self) -> str:
        """Give the plain colour of the background under the plates."""
        cloth = self.project.board.ground
        known = self.project.by_id().get(FabricId(cloth))
        colour = cloth if known is None else known.colour
        return grey_colour(colour) if self.seeing in {"grey", "steps"} else colour

    def middle(self, cell: Cell) -> Point:
        """Give the middle of a wedge, in mm."""
        wedge = self.layout.drafted
        return self.layout.to_top(cell, (0.0, (wedge.opening + wedge.tip) / 2))

    def paint(self, painter: QPainter, items: tuple[Item, ...], opacity: float = 1.0) -> None:
        """Paint items that are in mm of the top with a painter in logical pixels."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setTransform(self.view.transform(), True)
        if opacity < 1:
            items = tuple(_fainter(item, opacity) for item in items)
        paint_items(items, painter, self.cloths, self.view.scale * self.ratio)
        painter.restore()


def ghost_items(sight: Sight, cell: Cell, fabric: FabricId | None) -> tuple[Item, ...]:
    """Show what would lie on a wedge: its cloth at half, with a basted edge; or nothing."""
    outline = sight.layout.outline(cell)
    bare = Polygon(outline, sight.ground())
    if fabric is None:
        return (bare, *empty_wedge(outline, sight.view.scale))
    cloth = Polygon(outline, sight.fill(cell, fabric), opacity=GHOST_OPACITY)
    return (bare, cloth, *outline_ghost(outline, sight.view.scale))


def paint_piece(
    painter: QPainter,
    sight: Sight,
    cell: Cell,
    fabric: FabricId,
    at: QPointF,
    grip: Point,
    *,
    turn_deg: float = 0.0,
    height: float = 1.0,
    outlined: bool = True,
) -> None:
    """Paint a whole piece off its place.

    Parameters
    ----------
    painter
        In logical pixels.
    sight
        How the board is seen.
    cell
        The wedge whose cut of the cloth it is.
    fabric
        Its cloth.
    at, grip
        The point of the piece (mm of the top, as if it lay on ``cell``) that is held, and where
        on screen it is held.
    turn_deg
        How far it is turned about the grip, clockwise.
    height
        How far it is lifted: 0 lies flat and casts no shadow, 1 is in the hand.
    outlined
        Whether a thin line runs round it.
    """
    outline = sight.layout.outline(cell)
    scale = sight.view.scale
    for down, dark in SHADOW_PX:
        painter.save()
        painter.translate(at.x(), at.y() + down * height)
        painter.rotate(turn_deg)
        _paint_local(painter, sight, grip, (Polygon(outline, INK, opacity=dark * height),))
        painter.restore()
    items: list[Item] = [Polygon(outline, sight.fill(cell, fabric))]
    if outlined:
        items += coats(outline, scale, core_px=1.25, halo_px=1.25, closed=True)
    else:
        items.append(Polygon(outline, stroke=SEAM, opacity=SEAM_OPACITY))
    painter.save()
    painter.translate(at)
    painter.rotate(turn_deg)
    _paint_local(painter, sight, grip, tuple(items))
    painter.restore()


def paint_grip(painter: QPainter, at: QPointF, wedge_px: float) -> None:
    """Paint the head of the pin that a piece in the hand is held by.

    Parameters
    ----------
    painter
        In logical pixels.
    at
        Where the piece is held.
    wedge_px
        How long the piece is on the screen: a small one has a small pin, so that it is not
        hidden by it.
    """
    head = min(GRIP_PX, max(LEAST_GRIP_PX, GRIP_SHARE * wedge_px))
    items = (
        Circle(at.x(), at.y(), head + 1.75, HALO),
        Circle(at.x(), at.y(), head, INK),
        Circle(at.x() - head * 0.3, at.y() - head * 0.3, head * 0.25, HALO),
    )
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_items(items, painter, ClothBook(), 1.0)
    painter.restore()


def _paint_local(painter: QPainter, sight: Sight, grip: Point, items: tuple[Item, ...]) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.scale(sight.view.scale, sight.view.scale)
    painter.translate(-grip[0], -grip[1])
    paint_items(items, painter, sight.cloths, sight.view.scale * sight.ratio)


def _fainter(item: Item, opacity: float) -> Item:
    if isinstance(item, Polygon | Polyline | Circle):
        return replace(item, opacity=item.opacity * opacity)
    return item
