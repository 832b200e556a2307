"""One frame of the board: ground, shadow, cloth and marks, or the squint in their place."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from quiltboard.balance.flags import Flag
from quiltboard.drawing.display import GROUND
from quiltboard.drawing.seeing import Seeing
from quiltboard.errands.judge import Judgement
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.project import Project
from quiltboard.quilt.layout import Layout, Rect
from quiltboard.window.canvas.notes import REACH_PX, Notes
from quiltboard.window.canvas.picture import TopPicture
from quiltboard.window.canvas.squint import SquintPicture
from quiltboard.window.canvas.tiles import Budget, TileLayer
from quiltboard.window.canvas.view import View

CLOTH_MS: Final = 3.0
MARKS_MS: Final = 1.0
SHADOW_PX: Final = ((1, 10), (2, 9), (4, 8), (6, 7), (9, 6), (12, 5))
"""Coats of the shadow of the whole top: how far it falls and spreads, and its alpha of 255."""
DIMMED: Final = 0.35
"""How strongly the other marks show while one flag is pointed at."""


class Frame:
    """Holds the pictures that a frame is put together from.

    Parameters
    ----------
    cloths
        The textures, shared with the rest of the window.
    """

    def __init__(self, cloths: ClothBook) -> None:
        self.top = TopPicture(cloths)
        self.notes = Notes(cloths)
        self.cloth = TileLayer(self._paint_cloth, opaque=True)
        self.marks = TileLayer(self.notes.paint, opaque=False)
        self.squint = SquintPicture(cloths)
        self._project: Project | None = None
        self._layout: Layout | None = None
        self._seeing: Seeing = "colour"
        self._waiting: list[int] = []
        self._changed = 0

    @property
    def layout(self) -> Layout:
        """Where everything lies."""
        return self.top.layout

    def take(self, project: Project, judgement: Judgement, seeing: Seeing) -> bool:
        """Take up the board as it is now; True if it is laid out differently.

        Plates with other cloth on them show it once they are let settle.
        """
        self._project, self._seeing = project, seeing
        steps = judgement.shelf.steps
        if seeing == "squint":
            self.squint.take(project, steps)
        shown: Seeing = "colour" if seeing == "squint" else seeing
        changed = self.top.take(project, shown, steps, judgement.piece_steps)
        layout = self.top.layout
        moved = layout != self._layout
        if moved or changed is None:
            self._waiting.clear()
        if moved:
            self._layout = layout
            self.cloth.resize(layout.width, layout.height)
            self.marks.resize(layout.width, layout.height)
        elif changed is None:
            self.cloth.spoil_all()
        elif changed:
            self._waiting = sorted({*self._waiting, *changed})
            self._changed = len(self._waiting)
        return moved

    @property
    def waiting(self) -> int:
        """How many plates have not yet settled."""
        return len(self._waiting)

    def settle(self, share: float) -> None:
        """Let a share, 0 to 1, of the plates that changed show what lies there now."""
        left = self._changed - round(share * self._changed)
        while len(self._waiting) > left:
            self.cloth.spoil(_rect(self.layout.blocks[self._waiting.pop(0)]))

    def mark(self, flags: Iterable[Flag], ratio: float) -> None:
        """Show these flags' marks, and the board's pins and numbers."""
        if self._project is None:
            return
        if ratio != self.notes.ratio:
            self.notes.ratio = ratio
            for layer in (self.cloth, self.marks):
                layer.resize(self.layout.width, self.layout.height)
        for block in self.notes.take(self._project.board, self.layout, flags):
            self.marks.spoil(_rect(self.layout.blocks[block]), REACH_PX * ratio)

    def paint(
        self,
        painter: QPainter,
        view: View,
        area: QRect,
        ratio: float,
        *,
        moving: bool,
        marks: float,
        under: Callable[[QPainter], None],
    ) -> bool:
        """Paint one frame.

        Parameters
        ----------
        painter
            In logical pixels.
        view
            How the top lies.
        area
            What is to be painted, in logical pixels.
        ratio
            Device pixels to a logical one.
        moving
            Whether the view is on the move.
        marks
            How strongly marks show, 0 to 1.
        under
            Paints what lies on the cloth, under the marks.

        Returns
        -------
        bool
            False if there is more to be done in another frame.
        """
        if self._layout is None:
            painter.fillRect(area, QColor(GROUND))
            return True
        self.top.begin_frame()
        shape = view.rect_px(Rect(0, 0, self._layout.width, self._layout.height))
        done = True
        squinting = self._seeing == "squint"
        if squinting:
            done = self.squint.advance(Budget(CLOTH_MS))
        if squinting and self.squint.image is not None:
            painter.fillRect(area, QColor(GROUND))
            painter.save()
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(_shown(view, self.squint.shown_mm), self.squint.image)
            painter.restore()
        else:
            self._paint_ground(painter, shape, area)
            budget = Budget(CLOTH_MS)
            done &= self._show(
                self.cloth, painter, view, shape, area, ratio, budget, moving=moving
            )
        if marks < 1 and squinting:
            return done
        under(painter)
        painter.setOpacity(marks)
        budget = Budget(MARKS_MS)
        done &= self._show(self.marks, painter, view, None, area, ratio, budget, moving=moving)
        painter.setOpacity(1.0)
        return done

    def _paint_cloth(
        self, painter: QPainter, part: QRectF, scale: float, *, smooth: bool
    ) -> bool:
        final = self.top.paint(painter, part, scale, smooth=smooth)
        self.notes.paint_numbers(painter, part, scale)
        return final

    def _show(
        self,
        layer: TileLayer,
        painter: QPainter,
        view: View,
        shape: QRectF | None,
        area: QRect,
        ratio: float,
        budget: Budget,
        *,
        moving: bool,
    ) -> bool:
        """Show a layer on device pixels, whatever the screen's ratio."""
        painter.save()
        painter.setTransform(QTransform.fromScale(1 / ratio, 1 / ratio), True)
        if shape is not None:
            # A clip on whole pixels costs nothing; tiles at the top's edge are larger than it.
            sharp = QRectF(shape.topLeft() * ratio, shape.size() * ratio)
            painter.setClipRect(sharp.toAlignedRect())
        pixels = QRectF(area)
        pixels = QRectF(pixels.topLeft() * ratio, pixels.size() * ratio)
        seen = pixels.toAlignedRect()
        done = layer.show(painter, view, seen, ratio, budget, moving=moving)
        painter.restore()
        return done

    def _paint_ground(self, painter: QPainter, shape: QRectF, area: QRect) -> None:
        """Paint the ground round the top, and the top's shadow on it."""
        top = shape.toAlignedRect().adjusted(1, 1, -1, -1)
        for strip in _around(top, area):
            painter.fillRect(strip, QColor(GROUND))
        if top.contains(area):
            return
        for spread, dark in SHADOW_PX:
            coat = shape.adjusted(-spread / 2, 0, spread / 2, spread).toAlignedRect()
            for strip in _around(top, coat.intersected(area)):
                painter.fillRect(strip, QColor(0, 0, 0, 2 * dark))


def _around(hole: QRect, area: QRect) -> list[QRect]:
    """Part what of an area lies round a hole into upright rectangles."""
    inner = hole.intersected(area)
    if inner.isEmpty():
        return [area]
    left, top, right, low = area.left(), area.top(), area.right(), area.bottom()
    strips = (
        QRect(left, top, area.width(), inner.top() - top),
        QRect(left, inner.bottom() + 1, area.width(), low - inner.bottom()),
        QRect(left, inner.top(), inner.left() - left, inner.height()),
        QRect(inner.right() + 1, inner.top(), right - inner.right(), inner.height()),
    )
    return [strip for strip in strips if not strip.isEmpty()]


def _rect(rect: Rect) -> QRectF:
    return QRectF(rect.x, rect.y, rect.width, rect.height)


def _shown(view: View, part: QRectF) -> QRectF:
    start = view.to_px(part.x(), part.y())
    return QRectF(start, start + QPointF(part.width(), part.height()) * view.scale)
