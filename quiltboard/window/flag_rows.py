"""The flags as a list, and what each kind of flag means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from quiltboard.balance.flags import Flag, Kind
from quiltboard.balance.report import Report, sentence
from quiltboard.drawing.display import GROUND
from quiltboard.fabrics.fabric import Fabric
from quiltboard.project.project import Project
from quiltboard.quilt.board import Weights
from quiltboard.window.badges import draw_badge
from quiltboard.window.cloth import Cuttings
from quiltboard.window.lettering import Align, draw_line, line_px, wrap_lines
from quiltboard.window.rows import RowPainter
from quiltboard.window.theme import (
    NOTE,
    PADDING_PX,
    RADIUS_PX,
    ROW_OF_TWO_PX,
    SIDE_PX,
    TEXT,
    Theme,
)

BADGE_PX: Final = 20
BADGE_ROOM_PX: Final = 36
CHIP_PX: Final = 20
MOST_CHIPS: Final = 4
COST_EMS: Final = 2.4


@dataclass(frozen=True, slots=True)
class FlagRow:
    """One flag as it is listed."""

    flag: Flag
    headline: str
    place: str
    cloths: tuple[Fabric, ...]
    walkable: bool = True

    @property
    def key(self) -> object:
        """What the flag is about."""
        return self.flag.key

    @property
    def cost(self) -> str:
        """What it costs; a limit has no price."""
        return f"{self.flag.cost:,g}" if self.flag.cost else "–"

    @property
    def spoken(self) -> str:
        """What a screen reader says."""
        return f"{self.headline}. {self.place}. {self.cost}"


def list_flags(project: Project, report: Report) -> list[FlagRow]:
    """List a board's flags with their sentences and their cloth."""
    names, fabrics = project.names(), project.by_id()
    rows = []
    for flag in report.flags:
        headline, place = sentence(flag, names, project.board)
        key = flag.key
        laid = (
            [project.board.at(cell) for cell in key.cells]
            if key.kind == "clump"
            else list(key.fabrics)
        )
        cloths = tuple(fabrics[fabric] for fabric in laid if fabric is not None)
        rows.append(FlagRow(flag, headline, place, cloths))
    return rows


class FlagPainter(RowPainter[FlagRow]):
    """Paints a flag: badge, sentence, place, cloth, cost."""

    def __init__(self, theme: Theme, cuttings: Cuttings) -> None:
        super().__init__(theme)
        self._cuttings = cuttings

    def _view_px(self) -> float:
        parent = self.parent()
        return parent.width() if isinstance(parent, QWidget) else self.theme.wide(SIDE_PX)

    def _right(self, box: QRectF) -> float:
        """Give the right edge of what is in a row; the scroll bar stands in the padding."""
        return box.x() + self._view_px() - PADDING_PX

    def _text_px(self, row: FlagRow) -> float:
        room = self._view_px() - 2 * PADDING_PX - self.theme.px(BADGE_ROOM_PX)
        return room - self._right_px(row)

    def _right_px(self, row: FlagRow) -> float:
        chips = min(len(row.cloths), MOST_CHIPS)
        return chips * CHIP_PX + 4 + 8 + self.theme.px(TEXT) * COST_EMS

    def _lines(self, row: FlagRow) -> tuple[tuple[str, ...], tuple[str, ...]]:
        width = self._text_px(row)
        return (
            wrap_lines(row.headline, width, self.theme.px(TEXT), 400),
            wrap_lines(row.place, width, self.theme.px(NOTE), 400),
        )

    def height_px(self, row: FlagRow) -> int:
        """Tell how high a flag stands."""
        first, second = self._lines(row)
        high = len(first) * line_px(self.theme, TEXT) + len(second) * line_px(self.theme, NOTE)
        return max(ROW_OF_TWO_PX, high + 10)

    def paint_row(
        self, painter: QPainter, box: QRectF, row: FlagRow, *, chosen: bool, pointed: bool
    ) -> None:
        """Paint a flag."""
        theme = self.theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paper = theme.colour("panel")
        if chosen or pointed:
            paper = theme.colour("raised" if chosen else "bars")
            frame = QPen(theme.colour("graph"), 1.5) if chosen else QPen(Qt.PenStyle.NoPen)
            painter.setPen(frame)
            painter.setBrush(paper)
            right = min(self._right(box) + 8, box.right() - 1)
            frame_box = QRectF(
                box.x() + 7, box.y() + 1.5, right - box.x() - 7, box.height() - 3
            )
            painter.drawRoundedRect(frame_box, RADIUS_PX, RADIUS_PX)
        left = box.x() + PADDING_PX
        badge = theme.px(BADGE_PX)
        spot = QRectF(left, box.center().y() - badge / 2, badge, badge)
        draw_badge(painter, row.flag.key.kind, spot, theme.colour("text"), paper)
        text_x = left + theme.px(BADGE_ROOM_PX)
        if not chosen and not pointed:
            painter.fillRect(
                QRectF(text_x, box.bottom() - 1, self._right(box) - text_x, 1),
                theme.colour("rule"),
            )
        self._paint_text(painter, box, text_x, row)
        self._paint_cloth(painter, box, row)

    def _paint_text(self, painter: QPainter, box: QRectF, text_x: float, row: FlagRow) -> None:
        first, second = self._lines(row)
        high = len(first) * line_px(self.theme, TEXT) + len(second) * line_px(self.theme, NOTE)
        y = box.center().y() - high / 2
        for lines, size, colour in ((first, TEXT, "text"), (second, NOTE, "text_2")):
            line_high = line_px(self.theme, size)
            for line in lines:
                place = QRectF(text_x, y, self._text_px(row) + 4, line_high)
                draw_line(painter, self.theme, place, line, size=size, colour=colour)  # type: ignore[arg-type]
                y += line_high

    def _paint_cloth(self, painter: QPainter, box: QRectF, row: FlagRow) -> None:
        cost_px = self.theme.px(TEXT) * COST_EMS
        right = self._right(box)
        cost = QRectF(right - cost_px, box.y(), cost_px, box.height())
        draw_line(painter, self.theme, cost, row.cost, align=Align.AlignRight)
        cloths = row.cloths[:MOST_CHIPS]
        width = len(cloths) * CHIP_PX
        strip = QRectF(
            right - cost_px - 8 - width, box.center().y() - CHIP_PX / 2, width, CHIP_PX
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.fillRect(strip.adjusted(-2, -2, 2, 2), QColor(GROUND))
        for k, fabric in enumerate(cloths):
            chip = QRectF(strip.x() + k * CHIP_PX, strip.y(), CHIP_PX, CHIP_PX)
            chip.adjust(0.5 if k else 0, 0, -0.5, 0)
            painter.fillRect(chip, self._cuttings.brush(fabric, QPointF(chip.x(), chip.y())))


class Legend(QWidget):
    """What each flag means and costs."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._weights = Weights()
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName(self.tr("What the flags mean"))
        theme.changed.connect(self._on_theme_changed)
        self._describe()

    def meanings(self) -> tuple[tuple[Kind, str, str, str], ...]:
        """Give each flag's kind, name, meaning and cost."""
        weights = self._weights
        each = self.tr("{cost} each")
        return (
            (
                "touch",
                self.tr("Touch"),
                self.tr("one fabric side by side"),
                each.format(cost=f"{weights.touch:g}"),
            ),
            (
                "close",
                self.tr("Too close"),
                self.tr("again after a single piece"),
                each.format(cost=f"{weights.close:g}"),
            ),
            (
                "clump",
                self.tr("Clump"),
                self.tr("three or more of one value step"),
                each.format(cost=f"{weights.clump:g}"),
            ),
            (
                "short",
                self.tr("Short"),
                self.tr("more asked for than there is"),
                self.tr("a limit"),
            ),
        )

    def show_weights(self, weights: Weights) -> None:
        """Show what the flags cost on this board."""
        if weights != self._weights:
            self._weights = weights
            self._describe()
            self.update()

    def hasHeightForWidth(self) -> bool:
        """Tell Qt that meanings wrap."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Tell how high the meanings stand in a width."""
        return round(sum(self._heights(width))) + 8

    def sizeHint(self) -> QSize:
        """Give the room they ask for."""
        width = self._theme.wide(SIDE_PX)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """Give the least room: the words wrap."""
        return QSize(120, 80)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the meanings."""
        theme = self._theme
        left = PADDING_PX + theme.px(BADGE_ROOM_PX)
        y = 4.0
        with QPainter(self) as painter:
            for high, (kind, name, _, _) in zip(
                self._heights(self.width()), self.meanings(), strict=True
            ):
                badge = theme.px(BADGE_PX)
                spot = QRectF(PADDING_PX, y + (high - badge) / 2, badge, badge)
                draw_badge(painter, kind, spot, theme.colour("text"), theme.colour("panel"))
                line = line_px(theme, TEXT)
                place = QRectF(left, y + 5, self.width() - left - PADDING_PX, line)
                draw_line(painter, theme, place, name, weight=600)
                cost = self._cost_of(kind)
                draw_line(
                    painter,
                    theme,
                    place,
                    cost,
                    size=NOTE,
                    colour="text_2",
                    align=Align.AlignRight,
                )
                at = place.bottom()
                for text in self._wrapped(kind, self.width()):
                    note = line_px(theme, NOTE)
                    draw_line(
                        painter,
                        theme,
                        QRectF(left, at, self.width() - left - 4, note),
                        text,
                        size=NOTE,
                        colour="text_2",
                    )
                    at += note
                y += high
                painter.fillRect(
                    QRectF(left, y - 1, self.width() - left - PADDING_PX, 1),
                    theme.colour("rule"),
                )

    def _cost_of(self, kind: Kind) -> str:
        return next(cost for each, _, _, cost in self.meanings() if each == kind)

    def _wrapped(self, kind: Kind, width: int) -> tuple[str, ...]:
        meaning = next(text for each, _, text, _ in self.meanings() if each == kind)
        room = width - 2 * PADDING_PX - self._theme.px(BADGE_ROOM_PX)
        return wrap_lines(meaning, max(room, 60), self._theme.px(NOTE), 400)

    def _heights(self, width: int) -> list[float]:
        theme = self._theme
        return [
            max(
                ROW_OF_TWO_PX,
                line_px(theme, TEXT)
                + len(self._wrapped(kind, width)) * line_px(theme, NOTE)
                + 11,
            )
            for kind, *_ in self.meanings()
        ]

    def _describe(self) -> None:
        self.setAccessibleDescription(
            ". ".join(f"{name}: {text}, {cost}" for _, name, text, cost in self.meanings())
        )

    def _on_theme_changed(self) -> None:
        self.updateGeometry()
        self.update()
