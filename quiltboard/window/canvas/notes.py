"""What is written on the cloth: marks of flags, pins, numbers, as a sparse layer of tiles.

Marks keep their size on screen, so they are sewn anew for every scale; by plate, so that a
change spoils only the plates it touches.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from typing import Final

import msgspec
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from quiltboard.balance.flags import Flag
from quiltboard.drawing.display import HALO, Circle, Item, Text, Weight
from quiltboard.drawing.marks import mark_items, pin_items
from quiltboard.drawing.states import HALO_PX
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.painter import paint_items
from quiltboard.quilt.board import Board, Cell
from quiltboard.quilt.layout import Layout, Rect
from quiltboard.units import to_mm
from quiltboard.window.canvas.acts import said
from quiltboard.window.canvas.picture import blocks_meeting

REACH_PX: Final = 28.0
"""How far a mark may stand out of its plate's square on screen."""
NUMBER_PX: Final = 11.0
NUMBER_INSET_PX: Final = 9.0
NEAR_PX: Final = 380.0
"""A plate as large on screen is named in full, and its wedges are numbered."""
NEAR_TIMES: Final = 15 / 11
LEAST_FOR_NUMBER_PX: Final = 56.0
"""A plate smaller than this on screen wears no number."""


class Notes:
    """The marks and pins of a board, and its numbers.

    Parameters
    ----------
    cloths
        Only handed on to the painter.
    """

    def __init__(self, cloths: ClothBook) -> None:
        self._cloths = cloths
        self._layout: Layout | None = None
        self._flags: dict[int, tuple[Flag, ...]] = {}
        self._pins: dict[int, tuple[int, ...]] = {}
        self._numbered = False
        self._items: dict[tuple[int, float], tuple[Item, ...]] = {}
        self.ratio = 1.0
        """Device pixels to a logical one."""
        self.number_px = NUMBER_PX

    def take(self, board: Board, layout: Layout, flags: Iterable[Flag]) -> tuple[int, ...]:
        """Take up what is to be marked.

        Returns
        -------
        tuple of int
            The plates whose marks look different now.
        """
        by_block: dict[int, list[Flag]] = defaultdict(list)
        for flag in flags:
            for block, part in parts_by_block(flag):
                by_block[block].append(part)
        new_flags = {block: tuple(found) for block, found in by_block.items()}
        new_pins = {k: block.pins for k, block in enumerate(board.blocks) if block.pins}
        numbered = len(board.blocks) > 1
        if layout is not self._layout or numbered != self._numbered:
            changed = tuple(range(len(board.blocks)))
        else:
            touched = {
                block
                for old, new in ((self._flags, new_flags), (self._pins, new_pins))
                for block in old.keys() | new.keys()
                if old.get(block) != new.get(block)
            }
            changed = tuple(sorted(touched))
        self._layout, self._numbered = layout, numbered
        self._flags, self._pins = new_flags, new_pins
        for key in [key for key in self._items if key[0] in changed]:
            del self._items[key]
        return changed

    def paint(self, painter: QPainter, part: QRectF, scale: float, *, smooth: bool) -> bool:  # noqa: ARG002 - marks are always smooth
        """Paint the marks that meet a part of the top."""
        if self._layout is None:
            return True
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        px_per_mm = scale / self.ratio
        rim = REACH_PX / px_per_mm
        window = Rect(
            part.x() - rim, part.y() - rim, part.width() + 2 * rim, part.height() + 2 * rim
        )
        for block in blocks_meeting(self._layout, window):
            paint_items(self._sewn(block, px_per_mm), painter, self._cloths, scale)
        return True

    def paint_numbers(self, painter: QPainter, part: QRectF, scale: float) -> None:
        """Paint the numbers that meet a part of the top; they lie under the marks."""
        layout = self._layout
        if layout is None:
            return
        px_per_mm = scale / self.ratio
        for block in blocks_meeting(
            layout, Rect(part.x(), part.y(), part.width(), part.height())
        ):
            items = wedge_numbers(block, layout, px_per_mm, self.number_px)
            if self._numbered and layout.blocks[block].width * px_per_mm >= LEAST_FOR_NUMBER_PX:
                items += number_items(block, layout, px_per_mm, self.number_px)
            paint_items(items, painter, self._cloths, scale)

    def _sewn(self, block: int, px_per_mm: float) -> tuple[Item, ...]:
        key = (block, px_per_mm)
        layout = self._layout
        if key not in self._items and layout is not None:
            if len(self._items) > 4 * len(layout.blocks) + 64:
                self._items.clear()
            items: list[Item] = []
            for wedge in self._pins.get(block, ()):
                items += pin_items(Cell(block, wedge), layout, px_per_mm)
            for flag in self._flags.get(block, ()):
                items += mark_items(flag, layout, px_per_mm)
            self._items[key] = tuple(items)
        return self._items.get(key, ())


def parts_by_block(flag: Flag) -> list[tuple[int, Flag]]:
    """Part a flag that lies on several plates into one for each."""
    blocks = dict.fromkeys(cell.block for cell in flag.key.cells)
    if len(blocks) == 1:
        return [(flag.key.cells[0].block, flag)]
    parts = []
    for block in blocks:
        cells = tuple(cell for cell in flag.key.cells if cell.block == block)
        key = msgspec.structs.replace(flag.key, cells=cells)
        parts.append((block, msgspec.structs.replace(flag, key=key)))
    return parts


def number_items(
    block: int, layout: Layout, px_per_mm: float, size_px: float
) -> tuple[Item, ...]:
    """Write a plate's number in the corner of its square; near by, its wedges' numbers too."""
    square, px = layout.blocks[block], 1 / px_per_mm
    near = square.width * px_per_mm >= NEAR_PX
    size = size_px * (NEAR_TIMES if near else 1.0)
    inset = NUMBER_INSET_PX * (2.2 if near else 1.0)
    x = square.x + inset * px
    y = square.y + (inset + 0.7 * size) * px
    text = said("Plate {plate}").format(plate=block + 1) if near else str(block + 1)
    return _on_halo(text, x, y, size * px, px, 600 if near else 400)


def wedge_numbers(
    block: int, layout: Layout, px_per_mm: float, size_px: float
) -> tuple[Item, ...]:
    """Write the wedges' numbers round the centre of a plate that is seen near by."""
    square, px = layout.blocks[block], 1 / px_per_mm
    wedge = layout.drafted
    chip = (0.72 if wedge.n < 10 else 0.92) * size_px * px
    radius = to_mm(wedge.centre_finished) / 2 + chip + 3 * px
    pitch = 2 * radius * math.tan(wedge.half_angle)
    if square.width * px_per_mm < NEAR_PX or pitch < 2 * chip:
        return ()
    items: list[Item] = []
    for k in range(wedge.n):
        x, y = layout.to_top(Cell(block, k), (0.0, radius))
        items += [
            Circle(x, y, chip, HALO),
            Text(x, y + 0.34 * size_px * px, str(k + 1), size_px * px, 400, "middle"),
        ]
    return tuple(items)


def _on_halo(
    text: str, x: float, y: float, size: float, px: float, weight: Weight
) -> tuple[Item, ...]:
    reach = HALO_PX * px
    halo = tuple(
        Text(x + dx * reach, y + dy * reach, text, size, weight, colour=HALO)
        for dx, dy in ((-1, 0), (1, 0), (0, -1), (0, 1), (-0.7, -0.7), (0.7, 0.7))
    )
    return (*halo, Text(x, y, text, size, weight))
