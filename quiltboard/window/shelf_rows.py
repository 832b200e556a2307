"""What the shelf lists: fabrics by value step, the lightest at the top."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QByteArray, QCoreApplication, QMimeData, QRectF, Qt
from PySide6.QtGui import QPainter

from quiltboard.cutting.counts import Count
from quiltboard.document.wording import counted
from quiltboard.drawing.display import Weight
from quiltboard.fabrics.fabric import STEPS, Amount, Cloth, CutWedges, Fabric, FabricId, Step
from quiltboard.units import (
    PER_INCH,
    Length,
    Unit,
    format_length,
    inches,
    plain_fractions,
)
from quiltboard.window.badges import draw_badge
from quiltboard.window.canvas import FABRIC_MIME
from quiltboard.window.cloth import Cuttings, draw_swatch
from quiltboard.window.lettering import Align, draw_line, line_px, width_px
from quiltboard.window.rows import AnyIndex, RowPainter, Rows
from quiltboard.window.theme import (
    NOTE,
    PADDING_PX,
    ROW_OF_TWO_PX,
    ROW_PX,
    ROW_WITH_CLOTH_PX,
    SHELF_CLOTH_PX,
    Colour,
    Theme,
)

GAP_PX: Final = 10
SWATCH_PX: Final = 27
BADGE_PX: Final = 15
_EIGHTH_YARD: Final = PER_INCH * 36 // 8
_PRECUT: Final = {
    Cloth(inches(18), inches(21)): "fat quarter",
    Cloth(inches(18), inches(22)): "fat quarter",
    Cloth(inches(9), inches(21)): "fat eighth",
    Cloth(inches(9), inches(22)): "fat eighth",
}


def _tr(text: str) -> str:
    return QCoreApplication.translate("Shelf", text)


@dataclass(frozen=True, slots=True)
class Heading:
    """A value step's heading."""

    step: Step
    title: str
    count: int
    values: str
    first: bool
    walkable: bool = False

    @property
    def key(self) -> object:
        """The step."""
        return self.step

    @property
    def spoken(self) -> str:
        """What a screen reader says."""
        return f"{self.title}, {self.count}, {self.values}"


@dataclass(frozen=True, slots=True)
class FabricRow:
    """A fabric on the shelf."""

    fabric: Fabric
    value: float
    step: str
    amount: str
    short: int
    walkable: bool = True

    @property
    def key(self) -> object:
        """The fabric's id."""
        return self.fabric.id

    @property
    def said_amount(self) -> str:
        """What there is, or how much is wanting."""
        return _tr("{n} short").format(n=self.short) if self.short else self.amount

    @property
    def spoken(self) -> str:
        """What a screen reader says."""
        value = (
            _tr("value {value}")
            if self.fabric.calibrated
            else _tr("value about {value}, no card in its photo")
        ).format(value=round(self.value))
        said = f"{self.fabric.name}, {self.said_amount}, {self.step}, {value}"
        return plain_fractions(said)


ShelfRow = Heading | FabricRow


def list_shelf(
    fabrics: Sequence[Fabric],
    steps: Mapping[FabricId, Step],
    values: Mapping[FabricId, float],
    counts: Sequence[Count],
    unit: Unit,
    looked_up: str = "",
) -> list[ShelfRow]:
    """List the shelf: each value step that has fabrics, its fabrics from light to dark.

    Parameters
    ----------
    fabrics
        All of them.
    steps, values
        Each one's value step and L*.
    counts
        Each one's pieces.
    unit
        What lengths are shown in.
    looked_up
        Words that a name must all hold.
    """
    short = {count.fabric: count.short for count in counts}
    words = looked_up.casefold().split()
    titles = {
        "lightest": _tr("Lightest"),
        "light": _tr("Light"),
        "light medium": _tr("Light medium"),
        "medium": _tr("Medium"),
        "dark medium": _tr("Dark medium"),
        "dark": _tr("Dark"),
        "darkest": _tr("Darkest"),
        "mixed": _tr("Mixed"),
    }
    groups: dict[Step, list[Fabric]] = {step: [] for step in STEPS}
    for fabric in fabrics:
        name = fabric.name.casefold()
        if all(word in name for word in words):
            groups[steps[fabric.id]].append(fabric)
    rows: list[ShelfRow] = []
    for step, group in groups.items():
        if not group:
            continue
        group.sort(key=lambda fabric: (-values[fabric.id], fabric.name.casefold()))
        high, low = round(values[group[0].id]), round(values[group[-1].id])
        span = f"{high}–{low}" if high != low else f"{high}"
        said = _tr("value {span}").format(span=span)
        rows.append(Heading(step, titles[step], len(group), said, first=not rows))
        rows += [
            FabricRow(
                fabric,
                values[fabric.id],
                titles[step],
                say_there(fabric, unit),
                short.get(fabric.id, 0),
            )
            for fabric in group
        ]
    return rows


def say_there(fabric: Fabric, unit: Unit) -> str:
    """Say in a few words what there is of a fabric; of a pool, how many cloths."""
    if fabric.pool is None:
        return say_amounts(fabric.amounts, unit)
    cloths = counted(fabric.pool.cloths, _tr("{n} cloth"), _tr("{n} cloths"))
    return f"{cloths}, {say_amounts(fabric.amounts, unit)}" if fabric.amounts else cloths


def say_amounts(amounts: Sequence[Amount], unit: Unit) -> str:
    """Say in a few words what there is of a fabric."""
    if not amounts:
        return _tr("as needed")
    wedges = sum(amount.count for amount in amounts if isinstance(amount, CutWedges))
    cloths = [amount for amount in amounts if isinstance(amount, Cloth)]
    if not cloths:
        return (
            counted(wedges, _tr("{n} piece"), _tr("{n} pieces")) if wedges else _tr("no wedges")
        )
    said = _say_cloth(cloths[0], unit) if len(cloths) == 1 else _say_cloths(cloths)
    return f"{said} + {wedges}" if wedges else said


def _say_cloth(cloth: Cloth, unit: Unit) -> str:
    if cloth in _PRECUT and unit == "in":
        return _tr(_PRECUT[cloth])
    if cloth.width is None:
        if unit == "in" and cloth.length % _EIGHTH_YARD == 0:
            yards = Length(cloth.length // 36)
            return format_length(yards, "in", with_unit=False) + " " + _tr("yd")
        return format_length(cloth.length, unit, rounding="down")
    length = format_length(cloth.length, unit, rounding="down", with_unit=False)
    return f"{length} × {format_length(cloth.width, unit, rounding='down')}"


def _say_cloths(cloths: Sequence[Cloth]) -> str:
    names = {_PRECUT.get(cloth, "") for cloth in cloths}
    if names == {"fat quarter"}:
        return _tr("{n} fat quarters").format(n=len(cloths))
    if names == {"fat eighth"}:
        return _tr("{n} fat eighths").format(n=len(cloths))
    return _tr("{n} cloths").format(n=len(cloths))


class ShelfRows(Rows[ShelfRow]):
    """The shelf's rows; a fabric can be dragged off as its id."""

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        """Let fabrics be dragged."""
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsDragEnabled if flags else flags

    def mimeTypes(self) -> list[str]:
        """Tell what is dragged."""
        return [FABRIC_MIME]

    def mimeData(self, indexes: Sequence[AnyIndex]) -> QMimeData:
        """Give the dragged fabric's id."""
        data = QMimeData()
        for index in indexes:
            row = index.data(Qt.ItemDataRole.UserRole)
            if isinstance(row, FabricRow):
                data.setData(FABRIC_MIME, QByteArray(row.fabric.id.encode()))
        return data

    def supportedDragActions(self) -> Qt.DropAction:
        """Copy: the fabric stays on the shelf."""
        return Qt.DropAction.CopyAction


class ShelfPainter(RowPainter[ShelfRow]):
    """Paints the shelf's rows: names on the panel, cloth on its grey."""

    def __init__(self, theme: Theme, cuttings: Cuttings) -> None:
        super().__init__(theme)
        self._cuttings = cuttings
        self.width_px = theme.wide(284)

    @property
    def names_px(self) -> int:
        """Width of the column of names."""
        return self.width_px - SHELF_CLOTH_PX

    def fits_one_line(self, row: FabricRow) -> bool:
        """Tell whether name and amount stand side by side."""
        weight: Weight = 600 if row.short else 400
        amount = width_px(self.theme, row.said_amount, NOTE, weight)
        badge = self.theme.px(BADGE_PX) + 6 if row.short else 0
        name = width_px(self.theme, row.fabric.name, weight=600)
        return name + GAP_PX + badge + amount <= self.names_px - PADDING_PX - GAP_PX

    def height_px(self, row: ShelfRow) -> int:
        """Tell how high a row stands."""
        if isinstance(row, Heading):
            return self.theme.px(ROW_PX) + 2
        one = self.fits_one_line(row)
        return self.theme.px(ROW_WITH_CLOTH_PX if one else ROW_OF_TWO_PX)

    def paint_row(
        self, painter: QPainter, box: QRectF, row: ShelfRow, *, chosen: bool, pointed: bool
    ) -> None:
        """Paint a heading or a fabric."""
        text = QRectF(
            box.x() + PADDING_PX,
            box.y(),
            self.names_px - PADDING_PX - GAP_PX,
            box.height(),
        )
        if isinstance(row, Heading):
            self._paint_heading(painter, box, text, row)
            return
        if chosen or pointed:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self.theme.colour("raised" if chosen else "bars"))
            painter.drawRect(QRectF(box.x(), box.y() + 1, self.names_px, box.height() - 2))
        self._paint_words(painter, text, row, chosen=chosen)
        high = min(SWATCH_PX, box.height() - 4)
        swatch = QRectF(
            box.x() + self.names_px + 12,
            box.center().y() - high / 2,
            SHELF_CLOTH_PX - 12 - 14,
            high,
        )
        draw_swatch(painter, swatch, row.fabric, row.value, self._cuttings)

    def _paint_heading(
        self, painter: QPainter, box: QRectF, text: QRectF, row: Heading
    ) -> None:
        theme = self.theme
        if not row.first:
            painter.fillRect(
                QRectF(text.x(), box.y(), self.names_px - PADDING_PX, 1), theme.colour("rule")
            )
        text = text.adjusted(0, 4, 0, 0)
        used = draw_line(
            painter, theme, text, row.title, size=NOTE, weight=600, colour="text_2"
        )
        rest = text.adjusted(used + 6, 0, 0, 0)
        draw_line(painter, theme, rest, str(row.count), size=NOTE, colour="text_2")
        values = rest.adjusted(width_px(theme, str(row.count), NOTE) + 6, 0, 0, 0)
        fits = width_px(theme, row.values, NOTE) <= values.width()
        draw_line(
            painter,
            theme,
            values,
            row.values if fits else row.values.split()[-1],
            size=NOTE,
            colour="text_2",
            align=Align.AlignRight,
        )

    def _paint_words(
        self, painter: QPainter, text: QRectF, row: FabricRow, *, chosen: bool
    ) -> None:
        theme = self.theme
        amount = row.said_amount
        weight: Weight = 600 if row.short else 400
        wide = width_px(theme, amount, NOTE, weight)
        badge = theme.px(BADGE_PX)
        if self.fits_one_line(row):
            name_box = text.adjusted(0, 0, -wide - GAP_PX, 0)
            amount_box = QRectF(text.right() - wide, text.y(), wide, text.height())
        else:
            line = line_px(theme, NOTE)
            middle = text.center().y()
            name_box = QRectF(text.x(), middle - line - 1, text.width(), line + 2)
            amount_box = QRectF(text.x(), middle + 1, text.width(), line)
            if row.short:
                amount_box.adjust(badge + 6, 0, 0, 0)
        draw_line(painter, theme, name_box, row.fabric.name, weight=600 if chosen else 400)
        colour: Colour = "text" if row.short else "text_2"
        draw_line(painter, theme, amount_box, amount, size=NOTE, weight=weight, colour=colour)
        if row.short:
            spot = QRectF(
                amount_box.x() - badge - 6, amount_box.y(), badge, amount_box.height()
            )
            paper = theme.colour("raised" if chosen else "panel")
            draw_badge(painter, "short", spot, theme.colour("text"), paper)
