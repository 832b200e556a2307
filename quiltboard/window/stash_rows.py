"""What the stash's drawer lists: folded cloths, each in a paper band with its value."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QCoreApplication, QObject, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QGuiApplication,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
)

from quiltboard.document.stash import Found, Stashing
from quiltboard.drawing.display import GROUND, INK
from quiltboard.drawing.seeing import grey_of_value
from quiltboard.fabrics.fabric import FabricId
from quiltboard.store.stash_search import StashRow
from quiltboard.units import Unit, plain_fractions
from quiltboard.window.cloth import PX_PER_MM, SELVEDGE
from quiltboard.window.lettering import draw_line, line_px, width_px
from quiltboard.window.rows import RowPainter
from quiltboard.window.shelf_rows import say_amounts
from quiltboard.window.theme import (
    CORD_HALO_PX,
    CORD_PX,
    NOTE,
    PADDING_PX,
    RADIUS_PX,
    TEXT,
    Theme,
)

CLOTH_PX: Final = 168
"""The column that cloth lies in."""
GAP_PX: Final = 12
FOLD_PX: Final = 3.5
"""How much each further layer of a folded cloth shows."""
LAYERS: Final = 2
BAND_PX: Final = 22
BAND_AT_PX: Final = 16
PIECE_PX: Final = (384, 72)
"""How large a piece is kept of each cloth; no line and no page shows more."""
MOST_KEPT: Final = 240
"""So many cuttings are kept; those not seen longest go."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("Stash", text)


@dataclass(frozen=True, slots=True)
class StashLine:
    """A fabric of the stash, as its drawer shows it."""

    row: StashRow
    amount: str
    apart: float | None
    walkable: bool = True

    @property
    def key(self) -> object:
        """The fabric's id."""
        return self.row.id

    @property
    def said_apart(self) -> str:
        """How far it looks from the one it is compared with."""
        if self.apart is None:
            return ""
        return _tr("{n} apart").format(n=f"{self.apart:.1f}") if self.apart else _tr("this one")

    @property
    def spoken(self) -> str:
        """What a screen reader says."""
        row = self.row
        value = _tr("value {value}").format(value=round(row.value))
        tags = _tr("tags {tags}").format(tags=", ".join(row.tags)) if row.tags else ""
        parts = (row.name, self.amount, row.scraps, value, tags, self.said_apart)
        return plain_fractions(", ".join(part for part in parts if part))


def list_lines(found: Found, unit: Unit) -> list[StashLine]:
    """List what was found."""
    return [StashLine(row, say_there(row, unit), apart) for row, apart in found.lines]


def say_there(row: StashRow, unit: Unit) -> str:
    """Say what there is: pieces, or scraps, or that nobody told."""
    if row.amounts:
        return say_amounts(row.amounts, unit)
    return "" if row.scraps else _tr("amount not told")


class StashCloths(QObject):
    """A small cutting of each cloth of the stash, read a screenful at a time beside the window.

    Signals
    -------
    made
        More cuttings can be shown.
    """

    made = Signal()

    def __init__(self, stashing: Stashing, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._stashing = stashing
        self._kept: OrderedDict[FabricId, tuple[int, QPixmap | None]] = OrderedDict()
        self._wanted: dict[FabricId, int] = {}
        self._asked: dict[FabricId, int] = {}
        screen = QGuiApplication.primaryScreen()
        self._ratio = math.ceil(screen.devicePixelRatio()) if screen is not None else 1
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._on_due)
        stashing.cloths_read.connect(self._on_read)

    def brush(self, row: StashRow, at: QPointF) -> QBrush:
        """Give a brush that lays a cloth from a point on; its plain colour until it is read."""
        known = self._kept.get(row.id)
        stale = known is None or known[0] != row.revision
        if stale and self._asked.get(row.id) != row.revision:
            self._wanted[row.id] = row.revision
            self._timer.start(0)
        if known is None or known[1] is None:
            return QBrush(QColor(row.colour))
        self._kept.move_to_end(row.id)
        brush = QBrush(known[1])
        transform = brush.transform()
        transform.translate(at.x(), at.y())
        transform.scale(1 / self._ratio, 1 / self._ratio)
        brush.setTransform(transform)
        return brush

    @property
    def waiting(self) -> int:
        """How many cuttings are still to be read."""
        return len(self._wanted) + len(self._asked)

    def _on_due(self) -> None:
        wanted, self._wanted = self._wanted, {}
        self._asked |= wanted
        across, down = PIECE_PX
        self._stashing.read_cloths(
            list(wanted), (across * self._ratio, down * self._ratio), PX_PER_MM * self._ratio
        )

    def _on_read(self, read: Mapping[FabricId, QImage | None]) -> None:
        for fabric, image in read.items():
            revision = self._asked.pop(fabric, 0)
            tile = None if image is None else QPixmap.fromImage(image)
            self._kept[fabric] = (revision, tile)
            self._kept.move_to_end(fabric)
        while len(self._kept) > MOST_KEPT:
            self._kept.popitem(last=False)
        self.made.emit()


class StashPainter(RowPainter[StashLine]):
    """Paints a line: name and what there is at the left, the folded cloth at the right."""

    def __init__(
        self, theme: Theme, cloths: StashCloths, parent: QObject | None = None
    ) -> None:
        super().__init__(theme, parent)
        self._cloths = cloths

    def height_px(self, row: StashLine) -> int:
        """Give a line's height: two lines of text, and room for the keyboard's cord."""
        del row
        text = line_px(self.theme, TEXT) + line_px(self.theme, NOTE)
        return text + 2 * (CORD_PX + 2 * CORD_HALO_PX + 1)

    def cloth_px(self, width: float) -> float:
        """Give the width of the cloth's column."""
        return min(CLOTH_PX, width * 0.36)

    def paint_row(
        self, painter: QPainter, box: QRectF, row: StashLine, *, chosen: bool, pointed: bool
    ) -> None:
        """Paint one line."""
        theme = self.theme
        cloth = self.cloth_px(box.width())
        names = box.adjusted(0, 0, -cloth, 0)
        if chosen or pointed:
            paper = QRectF(names).adjusted(4, 2, 0, -2)
            painter.save()
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(theme.colour("graph"), 1) if chosen else Qt.PenStyle.NoPen)
            painter.setBrush(theme.colour("raised" if chosen else "bars"))
            painter.setClipRect(names)
            painter.drawRoundedRect(paper.adjusted(0.5, 0.5, 20, -0.5), RADIUS_PX, RADIUS_PX)
            painter.restore()
        first, second = line_px(theme, TEXT), line_px(theme, NOTE)
        top = box.center().y() - (first + second) / 2
        left, right = names.x() + PADDING_PX, names.right() - GAP_PX
        apart = row.said_apart
        wide = width_px(theme, apart, NOTE) if apart else 0
        draw_line(
            painter,
            theme,
            QRectF(left, top, right - left - (wide + GAP_PX if wide else 0), first),
            row.row.name,
            weight=600 if chosen else 400,
        )
        if apart:
            line = QRectF(right - wide - 1, top, wide + 1, first)
            draw_line(painter, theme, line, apart, size=NOTE, colour="text_2")
        self._paint_second(painter, QRectF(left, top + first, right - left, second), row)
        column = QRectF(names.right(), box.y(), cloth, box.height())
        painter.fillRect(column, QColor(GROUND))
        if chosen:
            self._paint_chosen_edge(painter, column)
        high = min(theme.px(32), box.height() - 10)
        piece = QRectF(column.x() + 14, box.center().y() - high / 2, column.width() - 28, high)
        draw_folded(painter, piece, row.row, self._cloths)

    def _paint_chosen_edge(self, painter: QPainter, column: QRectF) -> None:
        """Lead the chosen line's paper up to its cloth."""
        painter.fillRect(
            QRectF(column.x(), column.y() + 2, 4, column.height() - 4),
            self.theme.colour("raised"),
        )

    def _paint_second(self, painter: QPainter, line: QRectF, row: StashLine) -> None:
        """Paint what there is, then as many tags as have room."""
        theme, x = self.theme, line.x()
        said = " + ".join(part for part in (row.amount, row.row.scraps) if part)
        tags = row.row.tags
        # What there is may take all the room that no tag needs, and half of it at least.
        wanted = sum(self._tag_px(tag) + 6 for tag in tags)
        room = max(line.width() / 2, line.width() - wanted - 6) if tags else line.width()
        used = draw_line(
            painter,
            theme,
            QRectF(x, line.y(), room, line.height()),
            said,
            size=NOTE,
            colour="text_2",
        )
        x += used + 10
        for at, tag in enumerate(tags):
            left_over = len(tags) - at
            more = f"+{left_over}"
            keep = width_px(theme, more, NOTE) + 6 if left_over > 1 else 0
            wide = self._tag_px(tag)
            if x + wide + keep > line.right():
                box = QRectF(x, line.y(), max(line.right() - x, 0), line.height())
                if box.width() >= width_px(theme, more, NOTE):
                    draw_line(painter, theme, box, more, size=NOTE, colour="text_2")
                return
            self._paint_tag(painter, QRectF(x, line.y(), wide, line.height()), tag)
            x += wide + 6

    def _tag_px(self, tag: str) -> float:
        return width_px(self.theme, tag, NOTE) + self.theme.px(15) + 7

    def _paint_tag(self, painter: QPainter, box: QRectF, tag: str) -> None:
        """Paint a swing tag: clipped corners and a hole at its left end."""
        theme = self.theme
        card = box.adjusted(0.5, 0.5, -0.5, -0.5)
        cut = card.height() * 0.3
        path = QPainterPath(QPointF(card.x() + cut, card.y()))
        for x, y in (
            (card.right(), card.y()),
            (card.right(), card.bottom()),
            (card.x() + cut, card.bottom()),
            (card.x(), card.bottom() - cut),
            (card.x(), card.y() + cut),
        ):
            path.lineTo(x, y)
        path.closeSubpath()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colour("edge"), 1))
        painter.setBrush(theme.colour("raised"))
        painter.drawPath(path)
        painter.setPen(QPen(theme.colour("graph"), 1.2))
        painter.setBrush(theme.colour("panel"))
        hole = theme.px(2.2)
        painter.drawEllipse(QPointF(card.x() + theme.px(8), card.center().y()), hole, hole)
        painter.restore()
        draw_line(painter, theme, box.adjusted(theme.px(15), 0, -4, 0), tag, size=NOTE)


def draw_folded(painter: QPainter, box: QRectF, row: StashRow, cloths: StashCloths) -> None:
    """Draw a cloth as it lies in a stash: folded, a paper band about it with its value."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    brush = cloths.brush(row, box.topLeft())
    hairline = QColor(INK)
    hairline.setAlphaF(0.55)
    painter.setBrush(brush)
    painter.setPen(QPen(hairline, 1))
    for layer in range(LAYERS, -1, -1):
        down = layer * FOLD_PX
        high = box.height() - LAYERS * FOLD_PX
        painter.drawPath(
            fold_path(QRectF(box.x() + layer, box.y() + down, box.width() - 2 * layer, high))
        )
    band = QRectF(box.x() + BAND_AT_PX, box.y(), BAND_PX, box.height())
    painter.setPen(QPen(hairline, 1))
    painter.setBrush(QColor(SELVEDGE))
    painter.drawRect(band)
    radius = min(7.0, box.height() * 0.24)
    painter.setPen(QPen(QColor(INK), 1.0))
    painter.setBrush(QColor(grey_of_value(row.value)))
    painter.drawEllipse(band.center(), radius, radius)
    painter.restore()


def fold_path(box: QRectF) -> QPainterPath:
    """Give the outline of one layer: round where it is folded, square at its raw end."""
    radius = min(5.0, box.height() / 2)
    path = QPainterPath(QPointF(box.right(), box.y()))
    path.lineTo(box.x() + radius, box.y())
    path.quadTo(box.topLeft(), QPointF(box.x(), box.y() + radius))
    path.lineTo(box.x(), box.bottom() - radius)
    path.quadTo(box.bottomLeft(), QPointF(box.x() + radius, box.bottom()))
    path.lineTo(box.bottomRight())
    path.closeSubpath()
    return path
