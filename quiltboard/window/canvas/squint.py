"""The squint: the whole top blurred in linear light, made beside the frames and shown enlarged.

A blurred picture holds no more than a few pixels to its sigma, so it is painted that small. The
plates are painted as the frames' budget allows, and the blur itself runs beside the window.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QObject, QRectF, Signal
from PySide6.QtGui import QImage, QPainter

from quiltboard.document.jobs import Errand
from quiltboard.drawing.display import GROUND
from quiltboard.drawing.seeing import SQUINT_MM, squint
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.paint.cloth_book import ClothBook, image_of, pixels_of
from quiltboard.photos.light import Pixels
from quiltboard.project.project import Project
from quiltboard.quilt.layout import Rect
from quiltboard.window.canvas.picture import TopPicture
from quiltboard.window.canvas.tiles import Budget

SIGMA_PX: Final = 2.5
"""A squint is painted so small that its blur has this sigma."""
LONGEST_PX: Final = 420
"""And never larger than this, so that the blur is quick."""
PART_PX: Final = 48
RIM_MM: Final = 3 * SQUINT_MM
"""How much of the ground round the top is blurred with it."""


class SquintPicture(QObject):
    """The top as it reads from across the room.

    Signals
    -------
    ready
        Another picture can be shown.
    """

    ready = Signal()

    def __init__(self, cloths: ClothBook, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._top = TopPicture(cloths)
        self._sharp = QImage()
        self._scale = 1.0
        self._todo: list[QRectF] = []
        self._stale = True
        self._errand: Errand | None = None
        self.image: QImage | None = None
        """The blurred picture, or None until the first one is ready."""
        self.shown_mm = QRectF()
        """What part of the top, with ground round it, the picture shows."""

    @property
    def busy(self) -> bool:
        """Whether a newer picture is on its way."""
        return self._stale or self._errand is not None

    def take(self, project: Project, steps: Mapping[FabricId, Step]) -> None:
        """Take up a project as it is now; only what changed is painted again."""
        changed = self._top.take(project, "squint", steps)
        layout = self._top.layout
        if changed is None:
            longest = max(layout.width, layout.height) + 2 * RIM_MM
            self._scale = min(SIGMA_PX / SQUINT_MM, LONGEST_PX / longest)
            width = math.ceil((layout.width + 2 * RIM_MM) * self._scale)
            height = math.ceil((layout.height + 2 * RIM_MM) * self._scale)
            self._sharp = QImage(width, height, QImage.Format.Format_RGB32)
            self._sharp.fill(GROUND)
            shown = QRectF(-RIM_MM, -RIM_MM, width / self._scale, height / self._scale)
            if shown != self.shown_mm:
                self.shown_mm, self.image = shown, None
            side = PART_PX / self._scale
            self._todo = [
                QRectF(column * side, row * side, side, side)
                for row in range(math.ceil(layout.height / side))
                for column in range(math.ceil(layout.width / side))
            ]
        else:
            self._todo += [_rect(layout.blocks[block]) for block in changed]
        self._stale = self._stale or changed != ()

    def advance(self, budget: Budget) -> bool:
        """Go on painting; False while another frame is wanted for it."""
        while self._todo:
            if not budget.allows_more():
                return False
            self._top.begin_frame()
            if self._paint(self._todo[-1]):
                self._todo.pop()
        if self._stale and self._errand is None:
            self._stale = False
            pixels, sigma = pixels_of(self._sharp), SQUINT_MM * self._scale
            self._errand = Errand(lambda: squint(pixels, sigma), self)
            self._errand.finished.connect(self._on_blurred)
            self._errand.start()
        return True

    def _on_blurred(self, pixels: Pixels) -> None:
        self._errand = None
        if pixels.shape[:2] == (self._sharp.height(), self._sharp.width()):
            self.image = image_of(pixels)
        self.ready.emit()

    def _paint(self, part: QRectF) -> bool:
        layout = self._top.layout
        shown = part.intersected(QRectF(0, 0, layout.width, layout.height))
        with QPainter(self._sharp) as painter:
            painter.scale(self._scale, self._scale)
            painter.translate(RIM_MM, RIM_MM)
            painter.setClipRect(shown)
            return self._top.paint(painter, shown, self._scale, smooth=False)


def _rect(rect: Rect) -> QRectF:
    return QRectF(rect.x, rect.y, rect.width, rect.height)
