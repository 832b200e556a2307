"""Paint a drawing with Qt: on a widget, an image or a page of a PDF alike."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QImage, QPainter, QPen, QPolygonF

from quiltboard.drawing.display import (
    Circle,
    Clipped,
    ClothFill,
    Drawing,
    Fill,
    Item,
    Picture,
    Polygon,
    Polyline,
    Stroke,
    Text,
    Weight,
)
from quiltboard.drawing.lettering import FAMILY, anchored
from quiltboard.drawing.seeing import squint, to_png
from quiltboard.paint.cloth_book import ClothBook, pixels_of
from quiltboard.quilt.layout import Rect
from quiltboard.shapes.wedge import Point

FONT_PX: Final = 64
"""The size letters are set in before they are scaled; hinting is off, so any would do."""
SQUINT_SIGMA_PX: Final = 5.0
"""A blur is painted so finely that its sigma is this many pixels, and then enlarged."""
_CAPS: Final = {"flat": Qt.PenCapStyle.FlatCap, "round": Qt.PenCapStyle.RoundCap}
_JOINS: Final = {"miter": Qt.PenJoinStyle.MiterJoin, "round": Qt.PenJoinStyle.RoundJoin}


def paint(
    drawing: Drawing,
    painter: QPainter,
    cloths: ClothBook,
    px_per_mm: float,
    clip: Rect | None = None,
    *,
    smooth: bool = True,
    cloth_px_per_mm: float | None = None,
) -> None:
    """Paint a drawing, its upper left corner at the painter's origin.

    Parameters
    ----------
    drawing
        What to paint.
    painter
        An open painter, in device pixels.
    cloths
        The textures; opened here at the drawing's swatches.
    px_per_mm
        Device pixels to a millimetre of the drawing.
    clip
        What part to paint, in mm; items that do not meet it are passed over.
    smooth
        Edges and cloth smooth, or as fast as may be.
    cloth_px_per_mm
        How finely cloth is needed where that is less than the scale, as on paper.
    """
    cloths.open(drawing.cloths)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, smooth)
    painter.scale(px_per_mm, px_per_mm)
    if clip is not None:
        painter.setClipRect(QRectF(clip.x, clip.y, clip.width, clip.height))
    fine = cloth_px_per_mm or px_per_mm
    paint_items(squinted(drawing, cloths).items, painter, cloths, fine, clip)
    painter.restore()


def paint_items(
    items: tuple[Item, ...],
    painter: QPainter,
    cloths: ClothBook,
    px_per_mm: float,
    clip: Rect | None = None,
) -> None:
    """Paint items with a painter that is already scaled to millimetres.

    ``px_per_mm`` tells how finely they will be seen, and ``clip`` which may be passed over.
    """
    brush = _Brush(painter, cloths, px_per_mm)
    for item in items:
        if clip is None or _meets(item, clip):
            brush.paint(item)


def rasterise(drawing: Drawing, px_per_mm: float, cloths: ClothBook | None = None) -> QImage:
    """Paint a drawing on white, at so many pixels to a millimetre, as an image."""
    width = max(1, round(drawing.width_mm * px_per_mm))
    height = max(1, round(drawing.height_mm * px_per_mm))
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    with QPainter(image) as painter:
        paint(drawing, painter, cloths or ClothBook(), px_per_mm)
    return image


def squinted(drawing: Drawing, cloths: ClothBook | None = None) -> Drawing:
    """Turn a drawing that is to be blurred into one blurred picture, for any backend.

    A drawing that is sharp is given back as it is.
    """
    if not drawing.blur_mm:
        return drawing
    scale = SQUINT_SIGMA_PX / drawing.blur_mm
    sharp = rasterise(replace(drawing, blur_mm=0.0), scale, cloths)
    png = to_png(squint(pixels_of(sharp), SQUINT_SIGMA_PX))
    picture = Picture(0, 0, drawing.width_mm, drawing.height_mm, png)
    return Drawing(drawing.width_mm, drawing.height_mm, (picture,))


class _Brush:
    """Paints items one by one, remembering what it set last."""

    def __init__(self, painter: QPainter, cloths: ClothBook, px_per_mm: float) -> None:
        self.painter = painter
        self.cloths = cloths
        self.px_per_mm = px_per_mm

    def paint(self, item: Item) -> None:
        """Paint one item."""
        painter = self.painter
        if isinstance(item, Text):
            self.text(item)
        elif isinstance(item, Clipped):
            painter.save()
            box = QRectF(item.x, item.y, item.width, item.height)
            painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
            for part in item.items:
                self.paint(part)
            painter.restore()
        elif isinstance(item, Picture):
            box = QRectF(item.x, item.y, item.width, item.height)
            painter.drawImage(box, QImage.fromData(item.png))
        else:
            self.shape(item)

    def shape(self, item: Polygon | Polyline | Circle) -> None:
        """Paint a shape with its fill and its stroke."""
        painter = self.painter
        painter.setOpacity(item.opacity)
        painter.setPen(_pen(item.stroke))
        if isinstance(item, Polyline):
            painter.drawPolyline(_polygon(item.points))
        else:
            painter.setBrush(self.fill(item.fill))
            if isinstance(item, Circle):
                painter.drawEllipse(QPointF(item.x, item.y), item.radius, item.radius)
            else:
                painter.drawPolygon(_polygon(item.points))
        painter.setOpacity(1.0)

    def fill(self, fill: Fill | None) -> QBrush:
        """Give the brush for a fill."""
        if fill is None:
            return QBrush(Qt.BrushStyle.NoBrush)
        if isinstance(fill, ClothFill):
            return self.cloths.brush(fill, self.px_per_mm)
        return QBrush(QColor(fill))

    def text(self, item: Text) -> None:
        """Set a line of text, its fractions built small."""
        painter = self.painter
        lettered, left = anchored(item)
        painter.save()
        painter.translate(item.x, item.y)
        painter.rotate(item.angle_deg)
        painter.translate(-left, 0)
        painter.setPen(QColor(item.colour))
        for run in lettered.runs:
            painter.save()
            painter.translate(run.x, run.y)
            painter.scale(run.size_mm / FONT_PX, run.size_mm / FONT_PX)
            painter.setFont(letter_font(item.weight, tabular=item.tabular))
            painter.drawText(QPointF(0, 0), run.text)
            painter.restore()
        painter.setPen(_pen(Stroke(item.colour, lettered.slash_width)))
        for (x0, y0), (x1, y1) in lettered.slashes:
            painter.drawLine(QPointF(x0, y0), QPointF(x1, y1))
        painter.restore()


@lru_cache(maxsize=4)
def letter_font(weight: Weight, *, tabular: bool) -> QFont:
    """Give the bundled font, unhinted, at a size to be scaled from."""
    font = QFont(FAMILY)
    font.setPixelSize(FONT_PX)
    font.setWeight(QFont.Weight.DemiBold if weight == 600 else QFont.Weight.Normal)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    if tabular:
        font.setFeature(QFont.Tag("tnum"), 1)
    return font


@lru_cache(maxsize=512)
def _pen(stroke: Stroke | None) -> QPen:
    if stroke is None:
        return QPen(Qt.PenStyle.NoPen)
    pen = QPen(QColor(stroke.colour), stroke.width_mm)
    pen.setCapStyle(_CAPS[stroke.cap])
    pen.setJoinStyle(_JOINS[stroke.join])
    if stroke.dash:
        # Qt counts dashes in widths of the pen.
        pen.setDashPattern([part / stroke.width_mm for part in stroke.dash])
    return pen


def _polygon(points: tuple[Point, ...]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def _meets(item: Item, clip: Rect) -> bool:
    """Tell whether an item may show inside a rectangle; texts and marks are not measured."""
    if isinstance(item, Polygon):
        xs = [x for x, _ in item.points]
        ys = [y for _, y in item.points]
        edge = item.stroke.width_mm if item.stroke else 0.0
        return (
            min(xs) - edge <= clip.x + clip.width
            and max(xs) + edge >= clip.x
            and min(ys) - edge <= clip.y + clip.height
            and max(ys) + edge >= clip.y
        )
    if isinstance(item, Circle):
        reach = item.radius + (item.stroke.width_mm if item.stroke else 0.0)
        return (
            clip.x - reach <= item.x <= clip.x + clip.width + reach
            and clip.y - reach <= item.y <= clip.y + clip.height + reach
        )
    return True
