"""A picture of the top in tiles, so that panning and zooming never wait for painting.

A layer keeps sheets of tiles, one sheet to a scale. While the view moves, the sheet at hand is
shown stretched; at rest the tiles of the exact scale are painted, a few milliseconds a frame,
and coarser ones show until they are done. What changes on the top spoils only the tiles it
touches.
"""

from __future__ import annotations

import math
import time
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, Protocol

import numpy as np
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from quiltboard.drawing.display import GROUND
from quiltboard.window.canvas.view import View

TILE_PX: Final = 256
QUARTER_PX: Final = TILE_PX // 2
"""A tile is painted by quarters, so that a crowded one can be spread over several frames."""
BUDGET_MS: Final = 4.0
"""How long tiles may be painted within one frame."""
STRETCH: Final = 1.6
"""How far a sheet is stretched or shrunk while moving before another scale is begun."""
SPARSE_STRETCH: Final = 4.0
"""The same for a sparse layer: marks cost much to sew and little to stretch."""
COARSE_PX: Final = 768
"""The longer side of the coarse sheet that stands in where nothing better is done."""
MOST_SHEETS: Final = 3

Place = tuple[int, int]


class Painting(Protocol):
    """Paints a part of the top; the painter is set to millimetres."""

    def __call__(self, painter: QPainter, part: QRectF, scale: float, *, smooth: bool) -> bool:
        """Paint what meets ``part`` at ``scale`` device px a mm; False if it is not final."""


class Budget:
    """The time that one frame may still spend on painting tiles."""

    def __init__(self, limit_ms: float = BUDGET_MS) -> None:
        self._end = time.perf_counter() + limit_ms / 1000
        self._used = False

    def allows_more(self) -> bool:
        """Tell whether another tile may be painted; the first of a frame always may."""
        if not self._used:
            self._used = True
            return True
        return time.perf_counter() < self._end


@dataclass(slots=True)
class Tile:
    """One square of a sheet.

    Attributes
    ----------
    image
        Its pixels.
    todo
        What of each quarter has still to be painted, in mm.
    whole
        Whether all of it has been painted at least once.
    hasty
        Whether any of it was painted for speed, or with cloth that was not decoded.
    blank
        Whether there is nothing on it, so that it need not be laid.
    """

    image: QImage
    todo: dict[int, QRectF] = field(default_factory=dict)
    whole: bool = False
    hasty: bool = False
    blank: bool = False


@dataclass(slots=True)
class Sheet:
    """The tiles of one scale, in device px a mm, by column and row from the top's corner."""

    scale: float
    tiles: dict[Place, Tile] = field(default_factory=dict)


class TileLayer:
    """One picture of the top, kept in tiles.

    Parameters
    ----------
    painting
        Paints any part of it.
    opaque
        Whether it covers the whole top; the tiles of a sparse layer are empty where nothing is.
    """

    def __init__(self, painting: Painting, *, opaque: bool) -> None:
        self._painting = painting
        self._opaque = opaque
        self._width_mm = self._height_mm = 1.0
        self._most = 0
        self._sheets: list[Sheet] = []
        self._coarse = Sheet(1.0)
        self.painted: deque[tuple[Place, float]] = deque(maxlen=4096)
        """The tiles painted last, a quarter at a time, each with its scale."""

    def resize(self, width_mm: float, height_mm: float) -> None:
        """Take up a top of another size; nothing is painted yet."""
        self._width_mm, self._height_mm = width_mm, height_mm
        self._sheets.clear()
        self._coarse = Sheet(COARSE_PX / max(width_mm, height_mm))

    def spoil(self, part: QRectF, rim_px: float = 0.0) -> None:
        """Note that a part of the top (mm), and so many device px round it, look different."""
        for sheet in (*self._sheets, self._coarse):
            rim = rim_px / sheet.scale
            spoilt = part.adjusted(-rim, -rim, rim, rim)
            for place in self._places(spoilt, sheet.scale):
                tile = sheet.tiles.get(place)
                if tile is not None:
                    _add_work(tile, place, sheet.scale, spoilt)

    def spoil_all(self) -> None:
        """Note that everything looks different now; what there is shows until it is painted."""
        self.spoil(QRectF(0, 0, self._width_mm, self._height_mm))

    def show(
        self,
        painter: QPainter,
        view: View,
        area: QRect,
        ratio: float,
        budget: Budget,
        *,
        moving: bool,
    ) -> bool:
        """Show what is in sight, painting tiles as the budget allows.

        Parameters
        ----------
        painter
            On device pixels.
        view
            How the top lies, in logical pixels.
        area
            What is to be shown, in device pixels.
        ratio
            Device pixels to a logical one.
        budget
            Of this frame.
        moving
            Whether the view is on the move: speed before beauty.

        Returns
        -------
        bool
            Whether all that is in sight is as it should be.
        """
        exact = view.scale * ratio
        origin_x, origin_y = view.x * ratio, view.y * ratio
        sheet = self._sheet_for(exact, moving=moving)
        stretch = exact / sheet.scale
        part = QRectF(
            (area.x() - origin_x) / exact,
            (area.y() - origin_y) / exact,
            area.width() / exact,
            area.height() / exact,
        )
        places = self._places(part, sheet.scale)
        done = self._paint(sheet, places, part.center(), budget, moving=moving)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, not moving)
        if self._opaque:
            painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
        for place in places:
            tile = sheet.tiles.get(place)
            target = _target(place, stretch, origin_x, origin_y)
            if tile is None or not tile.whole:
                self._stand_in(painter, target, sheet, place, exact, origin_x, origin_y)
            elif tile.blank:
                continue
            elif stretch == 1.0:
                painter.drawImage(target.topLeft(), tile.image)
            else:
                painter.drawImage(target, tile.image)
        painter.restore()
        if done and not moving:
            done = self._finish_coarse(budget)
        self._forget(sheet, places)
        return done and (stretch == 1.0 or moving)

    def _sheet_for(self, exact: float, *, moving: bool) -> Sheet:
        """Choose the sheet to show: the exact one at rest, the one at hand while moving."""
        if self._sheets and moving:
            ratio = exact / self._sheets[0].scale
            most = STRETCH if self._opaque else SPARSE_STRETCH
            if 1 / most <= ratio <= most:
                return self._sheets[0]
        for k, sheet in enumerate(self._sheets):
            if math.isclose(sheet.scale, exact, rel_tol=1e-9):
                self._sheets.insert(0, self._sheets.pop(k))
                return sheet
        self._sheets.insert(0, Sheet(exact))
        del self._sheets[MOST_SHEETS:]
        return self._sheets[0]

    def _places(self, part: QRectF, scale: float) -> list[Place]:
        return list(_places(part, scale, self._width_mm, self._height_mm))

    def _paint(
        self,
        sheet: Sheet,
        places: list[Place],
        middle_mm: QPointF,
        budget: Budget,
        *,
        moving: bool,
    ) -> bool:
        """Paint what is spoilt, missing or hasty, from the middle of the sight outward."""
        wanting: list[tuple[int, float, Place]] = []
        middle = middle_mm * (sheet.scale / TILE_PX)
        for place in places:
            tile = sheet.tiles.get(place)
            if tile is None or not tile.whole:
                rank = 1
            elif tile.todo:
                rank = 0
            elif tile.hasty and not moving:
                rank = 2
            else:
                continue
            off = math.hypot(place[0] + 0.5 - middle.x(), place[1] + 0.5 - middle.y())
            wanting.append((rank, off, place))
        for rank, _, place in sorted(wanting):
            tile = sheet.tiles.setdefault(place, Tile(self._blank()))
            if (not tile.whole and not tile.todo) or rank == 2:
                tile.hasty = False
                _add_work(tile, place, sheet.scale, _tile_mm(place, sheet.scale))
            while tile.todo:
                if not budget.allows_more():
                    return False
                self._paint_quarter(tile, place, sheet.scale, smooth=not moving)
            tile.whole = True
            tile.blank = not self._opaque and _is_clear(tile.image)
        return moving or not any(sheet.tiles[place].hasty for _, _, place in wanting)

    def _blank(self) -> QImage:
        image = QImage(TILE_PX, TILE_PX, _OPAQUE if self._opaque else _SPARSE)
        if not self._opaque:
            image.fill(Qt.GlobalColor.transparent)
        return image

    def _paint_quarter(self, tile: Tile, place: Place, scale: float, *, smooth: bool) -> None:
        quarter, part = tile.todo.popitem()
        bounds = _quarter_px(quarter)
        left, top = place[0] * TILE_PX, place[1] * TILE_PX
        pixels = QRectF(
            part.x() * scale - left - 1,
            part.y() * scale - top - 1,
            part.width() * scale + 2,
            part.height() * scale + 2,
        )
        clip = pixels.toAlignedRect().intersected(bounds)
        if clip.isEmpty():
            return
        with QPainter(tile.image) as painter:
            painter.setClipRect(clip)
            # Where the top ends within a tile nothing else is painted.
            painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
            painter.fillRect(clip, QColor(GROUND) if self._opaque else QColor(0, 0, 0, 0))
            painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
            painter.translate(-left, -top)
            painter.scale(scale, scale)
            shown = QRectF(
                (clip.x() + left) / scale,
                (clip.y() + top) / scale,
                clip.width() / scale,
                clip.height() / scale,
            )
            final = self._painting(painter, shown, scale, smooth=smooth)
        tile.hasty = tile.hasty or not (final and smooth)
        self.painted.append((place, scale))

    def _stand_in(
        self,
        painter: QPainter,
        target: QRect,
        missing: Sheet,
        place: Place,
        exact: float,
        origin_x: float,
        origin_y: float,
    ) -> None:
        """Show a missing tile's part from the next best sheet that has it whole."""
        part = _tile_mm(place, missing.scale)
        others = [sheet for sheet in self._sheets if sheet is not missing]
        others.sort(key=lambda sheet: abs(math.log(sheet.scale / exact)))
        for sheet in (*others, self._coarse):
            places = self._places(part, sheet.scale)
            tiles = [sheet.tiles.get(other) for other in places]
            if sheet is not self._coarse and not all(tile and tile.whole for tile in tiles):
                continue
            painter.save()
            painter.setClipRect(target, Qt.ClipOperation.IntersectClip)
            if self._opaque and not all(tile and tile.whole for tile in tiles):
                painter.fillRect(target, QColor(GROUND))
            for other, tile in zip(places, tiles, strict=True):
                if tile is not None and tile.whole:
                    stretch = exact / sheet.scale
                    painter.drawImage(_target(other, stretch, origin_x, origin_y), tile.image)
            painter.restore()
            return

    def _finish_coarse(self, budget: Budget) -> bool:
        """Paint the coarse sheet when there is nothing else to do."""
        if not self._opaque:
            return True
        whole = QRectF(0, 0, self._width_mm, self._height_mm)
        places = self._places(whole, self._coarse.scale)
        return self._paint(self._coarse, places, whole.center(), budget, moving=False)

    def _forget(self, sheet: Sheet, places: list[Place]) -> None:
        """Let go of tiles far out of sight once there are many."""
        most = self._most = max(self._most, 4 * len(places) + 64)
        if len(sheet.tiles) <= most:
            return
        kept = set(places)
        for place in [place for place in sheet.tiles if place not in kept]:
            del sheet.tiles[place]
            if len(sheet.tiles) <= most // 2:
                return


_OPAQUE: Final = QImage.Format.Format_RGB32
_SPARSE: Final = QImage.Format.Format_ARGB32_Premultiplied


def _places(part: QRectF, scale: float, width_mm: float, height_mm: float) -> Iterator[Place]:
    """Give the tiles that a part of the top (mm) meets, row by row."""
    side = TILE_PX / scale
    left = max(0, math.floor(part.left() / side))
    top = max(0, math.floor(part.top() / side))
    right = min(math.ceil(width_mm / side), math.ceil(part.right() / side))
    low = min(math.ceil(height_mm / side), math.ceil(part.bottom() / side))
    for row in range(top, low):
        for column in range(left, right):
            yield column, row


def _is_clear(image: QImage) -> bool:
    return not np.frombuffer(image.constBits(), dtype=np.uint32).any()


def _tile_mm(place: Place, scale: float) -> QRectF:
    side = TILE_PX / scale
    return QRectF(place[0] * side, place[1] * side, side, side)


def _quarter_px(quarter: int) -> QRect:
    return QRect(quarter % 2 * QUARTER_PX, quarter // 2 * QUARTER_PX, QUARTER_PX, QUARTER_PX)


def _add_work(tile: Tile, place: Place, scale: float, part: QRectF) -> None:
    """Note what of a tile's quarters a part of the top (mm) spoils."""
    whole = _tile_mm(place, scale)
    half = whole.width() / 2
    # What is smoothed spreads a pixel into the next quarter.
    rim = 1 / scale
    spread = part.adjusted(-rim, -rim, rim, rim)
    for quarter in range(4):
        x, y = whole.x() + quarter % 2 * half, whole.y() + quarter // 2 * half
        met = QRectF(x, y, half, half).intersected(spread)
        if not met.isEmpty():
            tile.todo[quarter] = tile.todo.get(quarter, QRectF()).united(met)


def _target(place: Place, stretch: float, origin_x: float, origin_y: float) -> QRect:
    """Give the device pixels a tile covers; neighbours meet without a gap at any stretch."""
    column, row = place
    side = TILE_PX * stretch
    left, top = round(origin_x + column * side), round(origin_y + row * side)
    right, low = round(origin_x + (column + 1) * side), round(origin_y + (row + 1) * side)
    return QRect(QPoint(left, top), QPoint(right - 1, low - 1))
