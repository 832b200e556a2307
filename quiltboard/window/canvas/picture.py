"""The top as the tiles paint it: drawn plate by plate when first seen, indexed by place.

Only the plates that a tile meets are ever drawn, and after an edit only those that changed.
Cloth that has not been decoded yet shows as its plain colour for a frame or two.
"""

from __future__ import annotations

import math
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from quiltboard.drawing.board import SHADOW, draw_plate, draw_surroundings
from quiltboard.drawing.cloth import cloths_of
from quiltboard.drawing.display import (
    GROUND,
    Circle,
    ClothFill,
    ClothKey,
    Item,
    Polygon,
    Polyline,
)
from quiltboard.drawing.seeing import Seeing, grey_colour
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.painter import paint_items
from quiltboard.project.project import Project
from quiltboard.quilt.board import Board, Cell
from quiltboard.quilt.layout import Layout, Rect, lay_out

SLOW_MS: Final = 1.5
"""Getting a texture that takes longer has decoded it; no other is decoded in that frame."""
FINEST_SEAM_PX: Final = 0.25
"""A seam thinner than this on screen is left out."""
FINEST_SHADOW_PX: Final = 0.4
"""A coat of shadow that falls less far on screen is left out."""
Key = tuple[ClothKey, bool, bool, int]


@dataclass(frozen=True, slots=True)
class Placed:
    """An item and the upright rectangle it covers, in mm."""

    item: Item
    left: float
    top: float
    right: float
    low: float

    def meets(self, part: Rect) -> bool:
        """Tell whether it may show in a part of the top."""
        return (
            self.left < part.x + part.width
            and self.right > part.x
            and self.top < part.y + part.height
            and self.low > part.y
        )


class TopPicture:
    """What the top looks like in one way of seeing.

    Parameters
    ----------
    cloths
        The textures, shared with the rest of the window.
    """

    def __init__(self, cloths: ClothBook) -> None:
        self.cloths = cloths
        self._project: Project | None = None
        self._seeing: Seeing = "colour"
        self._steps: Mapping[FabricId, Step] = {}
        self._piece_steps: Mapping[Cell, Step] = {}
        self._layout: Layout | None = None
        self._round: tuple[Placed, ...] = ()
        self._plates: dict[int, tuple[Placed, ...]] = {}
        self._colours: dict[ClothKey, str] = {}
        self._ready: set[Key] = set()
        self._slow = False

    @property
    def layout(self) -> Layout:
        """Where everything lies.

        Raises
        ------
        RuntimeError
            If no project has been shown yet.
        """
        if self._layout is None:
            raise RuntimeError("no project has been shown yet")
        return self._layout

    def take(
        self,
        project: Project,
        seeing: Seeing,
        steps: Mapping[FabricId, Step],
        piece_steps: Mapping[Cell, Step] | None = None,
    ) -> tuple[int, ...] | None:
        """Take up a project as it is now.

        Returns
        -------
        tuple of int, or None
            The plates that look different; None if everything may.
        """
        before, seen, stepped = self._project, self._seeing, self._steps
        self._project, self._seeing, self._steps = project, seeing, dict(steps)
        # Only value steps show them: a board of other looks is not drawn anew for them.
        parted = self._piece_steps
        self._piece_steps = dict(piece_steps or {}) if seeing == "steps" else {}
        same = (
            before is not None
            and seen == seeing
            and before.fabrics == project.fabrics
            and (stepped == self._steps or seeing != "steps")
            and _but_blocks(before.board) == _but_blocks(project.board)
        )
        if before is None or not same:
            self._layout = lay_out(project.board)
            self._plates.clear()
            self._round = tuple(map(place_item, draw_surroundings(project, seeing, steps)))
            self._colours = {key: f.colour for f in project.fabrics for key in f.swatches}
            if before is None or before.fabrics != project.fabrics:
                self._ready.clear()
            self.cloths.open(cloths_of(project.fabrics))
            return None
        pairs = zip(before.board.blocks, project.board.blocks, strict=True)
        stepped_anew = {cell.block for cell, _ in parted.items() ^ self._piece_steps.items()}
        changed = tuple(
            k
            for k, (old, new) in enumerate(pairs)
            if k in stepped_anew or (old is not new and old.cells != new.cells)
        )
        for block in changed:
            self._plates.pop(block, None)
        return changed

    def begin_frame(self) -> None:
        """Allow one more texture to be decoded."""
        self._slow = False

    def paint(self, painter: QPainter, part: QRectF, scale: float, *, smooth: bool) -> bool:
        """Paint what meets a part of the top; False if a cloth was not decoded yet."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, smooth)
        window = Rect(part.x(), part.y(), part.width(), part.height())
        least = FINEST_SEAM_PX / scale
        faint = {dark for down, dark in SHADOW if down * scale < FINEST_SHADOW_PX}
        final = True
        items: list[Item] = []
        for placed in self._meeting(window):
            item = placed.item
            if isinstance(item, Polygon | Circle):
                if item.fill is None and item.stroke and item.stroke.width_mm < least:
                    continue
                if item.stroke is None and item.opacity in faint:
                    continue
                if isinstance(item.fill, ClothFill) and not self._decoded(item.fill, scale):
                    colour = self._colours.get(item.fill.cloth, GROUND)
                    plain = grey_colour(colour) if item.fill.grey else colour
                    item = replace(item, fill=plain)
                    final = False
            items.append(item)
        paint_items(tuple(items), painter, self.cloths, scale)
        return final

    def centre_items(self, block: int) -> tuple[Item, ...]:
        """Give the centre circle of a plate, which lies on the narrow ends."""
        return tuple(p.item for p in self._plate(block) if isinstance(p.item, Circle))

    def _meeting(self, part: Rect) -> list[Placed]:
        layout = self.layout
        found = [placed for placed in self._round if placed.meets(part)]
        for block in blocks_meeting(layout, part):
            found += [placed for placed in self._plate(block) if placed.meets(part)]
        return found

    def _plate(self, block: int) -> tuple[Placed, ...]:
        if block not in self._plates:
            project = self._project
            if project is None:
                return ()
            drawn = draw_plate(project, self._seeing, self._steps, block, self._piece_steps)
            self._plates[block] = tuple(map(place_item, drawn))
        return self._plates[block]

    def _decoded(self, fill: ClothFill, scale: float) -> bool:
        """Tell whether a fill's texture is at hand, decoding at most one in a frame."""
        level = math.ceil(math.log2(max(fill.mm_per_px * scale, 1e-6)))
        key = (fill.cloth, fill.grey, fill.mirrored, level)
        if key in self._ready:
            return True
        if self._slow:
            return False
        start = time.perf_counter()
        self.cloths.brush(fill, scale)
        self._slow = time.perf_counter() - start > SLOW_MS / 1000
        self._ready.add(key)
        return True


def blocks_meeting(layout: Layout, part: Rect) -> list[int]:
    """List the plates whose squares meet a part of the top, row by row."""
    return [
        block
        for block, square in enumerate(layout.blocks)
        if square.x < part.x + part.width
        and square.x + square.width > part.x
        and square.y < part.y + part.height
        and square.y + square.height > part.y
    ]


def place_item(item: Item) -> Placed:
    """Find the rectangle that an item of a board's drawing covers."""
    if isinstance(item, Circle):
        reach = item.radius + (item.stroke.width_mm / 2 if item.stroke else 0.0)
        return Placed(item, item.x - reach, item.y - reach, item.x + reach, item.y + reach)
    if isinstance(item, Polygon | Polyline):
        # A mitred corner stands out farther than half the line.
        edge = 2 * item.stroke.width_mm if item.stroke else 0.0
        xs = [x for x, _ in item.points]
        ys = [y for _, y in item.points]
        return Placed(item, min(xs) - edge, min(ys) - edge, max(xs) + edge, max(ys) + edge)
    endless = math.inf
    return Placed(item, -endless, -endless, endless, endless)


def _but_blocks(board: Board) -> tuple[object, ...]:
    """Give all that decides how a board looks, but for what lies on its wedges."""
    return (
        board.wedge, board.across, board.down, board.block, board.sash, board.border,
        board.ground, board.sashing, board.cornerstone, board.frame, board.centre,
    )  # fmt: skip
