"""Swatches of the lists: a selvedge that is hatched where the value is not sure."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from quiltboard.fabrics.fabric import ByHand, Fabric, Photo
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.photos.lighting import Lighting
from quiltboard.window.cloth import SELVEDGE, Cuttings, draw_swatch
from tests.helpers.projects import sample_fabrics

pytestmark = pytest.mark.qt


def plain_share(fabric: Fabric) -> float:
    """Tell how much of a swatch's selvedge is neither hatched nor dotted."""
    picture = QImage(100, 28, QImage.Format.Format_RGB32)
    picture.fill(QColor("#919191"))
    with QPainter(picture) as painter:
        draw_swatch(painter, QRectF(0, 0, 100, 28), fabric, 50.0, Cuttings(ClothBook()))
    selvedge = [picture.pixelColor(x, y).name() for x in range(1, 20) for y in range(1, 27)]
    return selvedge.count(SELVEDGE) / len(selvedge)


def test_a_photo_without_a_card_is_marked(qapp: QApplication) -> None:
    fabric = sample_fabrics()[0]
    sure = plain_share(fabric)
    taken = msgspec.structs.replace(fabric, photo=Photo(b"", 10, 10))
    assert plain_share(taken) < sure / 2
    for mended in (
        msgspec.structs.replace(taken, lighting=Lighting("white card")),
        msgspec.structs.replace(taken, by_hand=ByHand(value=40.0)),
    ):
        assert plain_share(mended) == sure
