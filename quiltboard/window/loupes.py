"""The loupes: four small lenses that show the chosen ring each way of seeing."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from typing import Final, get_args

import msgspec
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import (
    QColor,
    QImage,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractButton, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.drawing.board import draw_board
from quiltboard.drawing.display import GROUND
from quiltboard.drawing.seeing import Seeing, squint
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import FabricId, Step
from quiltboard.paint.cloth_book import ClothBook, image_of, pixels_of
from quiltboard.paint.painter import paint_items
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.units import Length
from quiltboard.window.actions import Actions
from quiltboard.window.lettering import Align, draw_line, line_px, width_px
from quiltboard.window.theme import NOTE, Theme

LENS_PX: Final = 37
FRAME_PX: Final = 3.0
SETTLE_MS: Final = 60
GAP_PX: Final = 10
TURN_S: Final = 0.006
TURN_MS: Final = 4
WAYS: Final[tuple[Seeing, ...]] = get_args(Seeing)


class Loupe(QAbstractButton):
    """One lens with its name."""

    def __init__(self, way: Seeing, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.way = way
        self.picture: QImage | None = None
        self.beside = False
        self._theme = theme
        self.setCheckable(True)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def needed_px(self, *, beside: bool) -> int:
        """Tell how wide it stands with its name below, or beside."""
        name = width_px(self._theme, self.text(), NOTE, 600)
        return LENS_PX + 12 + name if beside else max(LENS_PX + 10, name)

    def sizeHint(self) -> QSize:
        """Give the loupe's room."""
        return QSize(self.needed_px(beside=self.beside), LENS_PX + 26)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the lens and its name."""
        theme = self._theme
        line = line_px(theme, NOTE)
        if self.beside:
            middle = QPointF(LENS_PX / 2 + 4, self.height() / 2)
            name = QRectF(LENS_PX + 12, 0, self.width() - LENS_PX - 12, self.height())
        else:
            middle = QPointF(
                self.width() / 2, max(LENS_PX / 2 + 4, (self.height() - line) / 2 - 1)
            )
            name = QRectF(0, middle.y() + LENS_PX / 2 + 3, self.width(), line)
        radius = LENS_PX / 2
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            lens = QPainterPath()
            lens.addEllipse(middle, radius, radius)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.colour("well"))
            painter.drawPath(lens)
            if self.picture is not None:
                painter.save()
                painter.setClipPath(lens)
                painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
                box = QRectF(middle.x() - radius, middle.y() - radius, LENS_PX, LENS_PX)
                painter.drawImage(box, self.picture)
                painter.restore()
            painter.setBrush(Qt.BrushStyle.NoBrush)
            if self.isChecked():
                painter.setPen(QPen(theme.colour("text"), FRAME_PX))
                painter.drawEllipse(middle, radius + 1.5, radius + 1.5)
            else:
                painter.setPen(QPen(theme.colour("text_2" if self.underMouse() else "edge"), 1))
                painter.drawEllipse(middle, radius, radius)
            draw_line(
                painter,
                theme,
                name,
                self.text(),
                size=NOTE,
                weight=600 if self.isChecked() else 400,
                colour="text" if self.isChecked() else "text_2",
                align=Align.AlignLeft if self.beside else Align.AlignHCenter,
            )


class Loupes(QWidget):
    """The four ways of seeing; the chosen ring is looked at through each."""

    def __init__(
        self,
        document: Document,
        desk: Desk,
        book: ClothBook,
        actions: Actions,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._desk = desk
        self._book = book
        self._theme = theme
        self._stacked = False
        self._shown: object = None
        self.setAccessibleName(self.tr("Ways of seeing"))
        self.buttons: dict[Seeing, Loupe] = {}
        for way in WAYS:
            loupe = Loupe(way, theme, self)
            loupe.setText(actions[f"see.{way}"].text())
            loupe.setAccessibleName(loupe.text())
            keys = actions[f"see.{way}"].shortcut().toString()
            loupe.setToolTip(f"{loupe.text()} ({keys})")
            loupe.clicked.connect(actions[f"see.{way}"].trigger)
            self.buttons[way] = loupe
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._on_settled)
        self._sketches: Iterator[tuple[Seeing, QImage] | None] = iter(())
        self._draw = QTimer(self)
        self._draw.setInterval(TURN_MS)
        self._draw.timeout.connect(self._on_draw)
        document.judged.connect(self._on_judged)
        desk.block_chosen.connect(self._on_block_chosen)
        desk.seeing_changed.connect(self._on_seeing_changed)
        theme.changed.connect(self._lay_out)
        self._on_seeing_changed(desk.seeing)
        self._settle.start()

    def needed_px(self, *, stacked: bool) -> int:
        """Tell how wide the loupes stand, in one row or in two."""
        if stacked:
            widest = max(b.needed_px(beside=True) for b in self.buttons.values())
            return 2 * (widest + GAP_PX) + GAP_PX
        return sum(b.needed_px(beside=False) + GAP_PX for b in self.buttons.values()) + GAP_PX

    def stack(self, stacked: bool) -> None:
        """Stand them in two rows with their names beside, or in one with names below."""
        self._stacked = stacked
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay them out."""
        super().resizeEvent(event)
        self._lay_out()

    def _lay_out(self) -> None:
        loupes = list(self.buttons.values())
        if self._stacked:
            wide, high = (self.width() - GAP_PX) // 2, self.height() // 2
            for k, loupe in enumerate(loupes):
                loupe.beside = True
                place = (GAP_PX + k % 2 * wide, k // 2 * high)
                loupe.setGeometry(*place, wide - GAP_PX, high)
            return
        needed = self.needed_px(stacked=False)
        spare = max(0, self.width() - needed) / len(loupes)
        x = GAP_PX + spare / 2
        for loupe in loupes:
            loupe.beside = False
            wide = loupe.needed_px(beside=False)
            loupe.setGeometry(round(x), 4, wide, self.height() - 6)
            x += wide + GAP_PX + spare
        self.update()

    def _on_judged(self, _judgement: Judgement) -> None:
        self._settle.start()

    def _on_block_chosen(self, _block: object) -> None:
        self._settle.start()

    def _on_seeing_changed(self, seeing: Seeing) -> None:
        for way, loupe in self.buttons.items():
            loupe.setChecked(way == seeing)

    def _on_settled(self) -> None:
        project = self._document.project
        block = self._desk.block
        if block is None or block >= len(project.board.blocks):
            block = 0
        judgement = self._document.judgement
        steps, plate = judgement.shelf.steps, one_plate(project, block)
        piece_steps = {
            Cell(0, cell.wedge): step
            for cell, step in judgement.piece_steps.items()
            if cell.block == block
        }
        key = (plate, steps, piece_steps)
        if key == self._shown:
            return
        self._shown = key
        bare = all(fabric is None for fabric in plate.board.blocks[0].cells)
        ratio = max(self.devicePixelRatioF(), 1.0) * 2
        if bare:
            self._sketches = iter(())
            for loupe in self.buttons.values():
                loupe.picture = None
                loupe.update()
            return
        self._sketches = sketch_ways(plate, steps, piece_steps, self._book, ratio)
        self._draw.start()

    def _on_draw(self) -> None:
        """Go on with the pictures for a moment; the window has its turn in between."""
        if not self._book.rested:
            return
        until = time.perf_counter() + TURN_S
        for done in self._sketches:
            if done is not None:
                way, picture = done
                self.buttons[way].picture = picture
                self.buttons[way].update()
            if time.perf_counter() > until or not self._book.rested:
                return
        self._draw.stop()


def one_plate(project: Project, block: int) -> Project:
    """Give a project that holds one plate of another, without sash and border."""
    board = msgspec.structs.replace(
        project.board,
        across=1,
        down=1,
        blocks=(project.board.blocks[block],),
        sash=Length(0),
        border=Length(0),
    )
    return msgspec.structs.replace(project, board=board)


def sketch_ways(
    plate: Project,
    steps: Mapping[FabricId, Step],
    piece_steps: Mapping[Cell, Step],
    book: ClothBook,
    ratio: float,
) -> Iterator[tuple[Seeing, QImage] | None]:
    """Paint a plate as large as a lens, each way of seeing, an item at a time.

    Yields
    ------
    tuple of (way, QImage) or None
        A finished picture, or None after each item on the way to it.
    """
    side = round(LENS_PX * ratio)
    for way in WAYS:
        drawing = draw_board(plate, way, steps, piece_steps, numbers=False)
        book.open(drawing.cloths)
        image = QImage(side, side, QImage.Format.Format_RGB32)
        image.fill(QColor(GROUND))
        # The plate fills the lens; the corners of its square are cut off by the rim.
        scale = side / (drawing.width_mm * 0.96)
        for item in drawing.items:
            with QPainter(image) as painter:
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
                painter.translate(-0.02 * side, -0.02 * side)
                painter.scale(scale, scale)
                paint_items((item,), painter, book, scale)
            yield None
        if drawing.blur_mm:
            image = image_of(squint(pixels_of(image), drawing.blur_mm * scale))
        yield way, image
