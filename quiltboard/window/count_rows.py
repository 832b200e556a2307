"""The piece count's rows: a strip of each cloth, cut pieces ticked, beside its figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

from quiltboard.cutting.counts import Count
from quiltboard.drawing.display import GROUND, HALO, INK
from quiltboard.fabrics.fabric import Fabric
from quiltboard.project.project import Project
from quiltboard.window.badges import draw_badge
from quiltboard.window.cloth import Cuttings, draw_basted
from quiltboard.window.lettering import Align, draw_line, line_px, width_px, wrap_lines
from quiltboard.window.rows import RowPainter
from quiltboard.window.theme import (
    NOTE,
    PADDING_PX,
    ROW_PX,
    SIDE_PX,
    SPARE_OPACITY,
    TEXT,
    Theme,
)

STRIP_PX: Final = 84
STRIP_HIGH_PX: Final = 15
MOST_PX_A_PIECE: Final = 5.0
TICK_PX: Final = 3.0
FIGURE_GAP_PX: Final = 8
STACKED_FROM: Final = 150
"""From this size of letters on, the figures stand below the name."""


@dataclass(frozen=True, slots=True)
class CountRow:
    """How one fabric stands."""

    fabric: Fabric
    count: Count
    most: int
    walkable: bool = True

    @property
    def key(self) -> object:
        """The fabric's id."""
        return self.fabric.id

    @property
    def figures(self) -> tuple[str, str, str, str]:
        """What the columns say: on the board, for all plates, there, short."""
        count = self.count
        there = _tr("any") if count.there is None else f"{count.there}"
        return (
            f"{count.placed}",
            f"{count.needed}",
            there,
            f"{count.short}" if count.short else "–",
        )

    @property
    def beyond(self) -> int:
        """How many pieces all plates would ask for beyond what there is."""
        there = self.count.there
        return 0 if there is None else max(0, self.count.needed - there)

    @property
    def spoken(self) -> str:
        """What a screen reader says."""
        placed, needed, there, _ = self.figures
        said = _tr("{name}: {placed} on the board, {needed} for all plates, {there} there")
        text = said.format(name=self.fabric.name, placed=placed, needed=needed, there=there)
        short = self.count.short
        if short:
            return f"{text}, " + _tr("{short} short").format(short=short)
        if self.beyond:
            return f"{text}, " + _tr("{n} too few for all").format(n=self.beyond)
        return text


def _tr(text: str) -> str:
    return QCoreApplication.translate("PieceCount", text)


def column_names() -> tuple[str, str, str, str]:
    """Give the columns' names."""
    return _tr("on board"), _tr("for all"), _tr("there"), _tr("short")


def list_counts(project: Project, counts: Sequence[Count]) -> list[CountRow]:
    """List the fabrics that lie on the board, the tightest first."""
    fabrics = project.by_id()
    asked = [count for count in counts if count.placed]
    most = max((max(c.placed, c.needed, c.there or 0) for c in asked), default=1)
    return [CountRow(fabrics[count.fabric], count, most) for count in asked]


class CountPainter(RowPainter[CountRow]):
    """Paints the piece count."""

    def __init__(self, theme: Theme, cuttings: Cuttings) -> None:
        super().__init__(theme)
        self._cuttings = cuttings
        self.full = False
        """Whether every plate is full, so that "for all" would say nothing new."""

    @property
    def columns(self) -> tuple[int, ...]:
        """Tell which of the four columns are shown."""
        return (0, 2, 3) if self.full else (0, 1, 2, 3)

    @property
    def stacked(self) -> bool:
        """Whether figures stand below the name, for want of room beside it."""
        return self.theme.text_percent >= STACKED_FROM

    def view_px(self) -> int:
        """Give the width there is."""
        parent = self.parent()
        return parent.width() if isinstance(parent, QWidget) else self.theme.wide(SIDE_PX)

    def columns_px(self) -> tuple[int, ...]:
        """Give the columns' widths: where figures stand alone they share the row."""
        names, count = column_names(), len(self.columns)
        if self.stacked:
            return ((self.view_px() - 2 * PADDING_PX) // count,) * count
        widest = width_px(self.theme, "000")
        return tuple(
            max(widest, width_px(self.theme, names[k], NOTE)) + FIGURE_GAP_PX
            for k in self.columns
        )

    def _name_px(self) -> float:
        room = self.view_px() - 2 * PADDING_PX
        if self.stacked:
            return room - STRIP_PX - 8
        return room - STRIP_PX - 6 - sum(self.columns_px())

    def _name_lines(self, row: CountRow) -> tuple[str, ...]:
        return wrap_lines(row.fabric.name, self._name_px(), self.theme.px(TEXT), 400)

    def height_px(self, row: CountRow) -> int:
        """Tell how high a row stands."""
        high = len(self._name_lines(row)) * line_px(self.theme, TEXT) + 6
        if self.stacked:
            high = max(high, STRIP_HIGH_PX + 8) + line_px(self.theme, TEXT)
        return max(ROW_PX, high)

    def paint_row(
        self, painter: QPainter, box: QRectF, row: CountRow, *, chosen: bool, pointed: bool
    ) -> None:
        """Paint a row."""
        theme = self.theme
        left = box.x() + PADDING_PX
        # The scroll bar stands in the padding.
        right = box.x() + self.view_px() - PADDING_PX
        if chosen or pointed:
            painter.fillRect(
                QRectF(box.x(), box.y(), box.width(), box.height() - 1),
                theme.colour("raised" if chosen else "bars"),
            )
        figures_high = line_px(theme, TEXT) if self.stacked else 0
        upper = QRectF(left, box.y(), right - left, box.height() - figures_high)
        lines = self._name_lines(row)
        y = upper.center().y() - len(lines) * line_px(theme, TEXT) / 2
        for line in lines:
            place = QRectF(left, y, self._name_px() + 2, line_px(theme, TEXT))
            draw_line(painter, theme, place, line, weight=600 if chosen else 400)
            y += line_px(theme, TEXT)
        strip_x = right - STRIP_PX if self.stacked else left + self._name_px() + 2
        ground = QRectF(strip_x, box.y(), STRIP_PX, upper.height())
        painter.fillRect(ground, QColor(GROUND))
        self._paint_strip(painter, ground, row)
        painter.fillRect(QRectF(left, box.bottom() - 1, right - left, 1), theme.colour("rule"))
        if not self.stacked:
            painter.fillRect(QRectF(strip_x, box.bottom() - 1, STRIP_PX, 1), QColor(GROUND))
        lower = (
            QRectF(left, upper.bottom(), right - left, figures_high) if self.stacked else upper
        )
        self._paint_figures(painter, lower, row)

    def _paint_figures(self, painter: QPainter, box: QRectF, row: CountRow) -> None:
        theme = self.theme
        x = box.right()
        columns = list(zip(self.columns, self.columns_px(), strict=True))
        for k, wide in reversed(columns):
            figure = row.figures[k]
            place = QRectF(x - wide, box.y(), wide, box.height())
            short = k == 3 and row.count.short
            beyond = k == 1 and row.beyond
            used = draw_line(
                painter,
                theme,
                place,
                figure,
                weight=600 if short or beyond else 400,
                colour="text_2" if figure in {"–", _tr("any")} else "text",
                align=Align.AlignRight,
            )
            if short or beyond:
                side = theme.px(14)
                spot = QRectF(place.right() - used - side - 3, place.y(), side, place.height())
                draw_badge(painter, "short", spot, theme.colour("text"), theme.colour("panel"))
            x -= wide

    def _paint_strip(self, painter: QPainter, ground: QRectF, row: CountRow) -> None:
        """Lay the cloth: pieces on the board ticked, the rest faint, what is missing basted."""
        count = row.count
        room = ground.width() - 10
        each = min(MOST_PX_A_PIECE, room / max(row.most, 1))
        high = min(STRIP_HIGH_PX, ground.height() - 4)
        strip = QRectF(ground.x() + 5, ground.center().y() - high / 2, room, high)
        cut = count.placed - count.short
        there = row.most if count.there is None else count.there
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        brush = self._cuttings.brush(row.fabric, QPointF(strip.x(), strip.y()))
        whole = QRectF(strip.x(), strip.y(), there * each, high)
        laid = QRectF(strip.x(), strip.y(), cut * each, high)
        if there > cut:
            painter.setOpacity(SPARE_OPACITY)
            painter.fillRect(whole, brush)
            painter.setOpacity(1.0)
        painter.fillRect(laid, brush)
        edge = QPen(QColor(INK), 1)
        edge.setCosmetic(True)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if there > cut and count.there is not None:
            painter.setOpacity(0.4)
            painter.setPen(edge)
            painter.drawRect(whole)
            painter.setOpacity(1.0)
        if cut:
            painter.setPen(edge)
            painter.drawRect(laid)
            self._tick(painter, laid, cut, each)
        if count.short:
            path = QPainterPath()
            missing = max(count.short * each, 8.0)
            x = min(laid.right() + 4, ground.right() - missing - 4)
            path.addRect(QRectF(x, strip.y() + 0.5, missing, high - 1))
            draw_basted(painter, path)
        painter.restore()

    @staticmethod
    def _tick(painter: QPainter, laid: QRectF, pieces: int, each: float) -> None:
        """Chalk a tick where each piece is cut; where they crowd, every fifth."""
        every = 1 if each >= 3 else 5
        painter.setPen(QPen(QColor(HALO), 1))
        for k in range(every, pieces, every):
            x = laid.x() + k * each
            painter.drawLine(QPointF(x, laid.y() + 1), QPointF(x, laid.y() + TICK_PX))
            painter.drawLine(QPointF(x, laid.bottom() - 1), QPointF(x, laid.bottom() - TICK_PX))
