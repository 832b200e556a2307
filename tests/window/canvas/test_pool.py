"""A pool on the board: each piece shows a cloth of its own, lying or in the hand."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from quiltboard.drawing.display import ClothFill
from quiltboard.errands.judge import judge
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Rect
from quiltboard.window.canvas.picture import TopPicture
from quiltboard.window.canvas.pieces import Sight
from quiltboard.window.canvas.view import fit
from tests.helpers.projects import POOL_COLOURS, pool_project

pytestmark = pytest.mark.qt


def test_tiles_show_each_piece_of_a_pool_with_its_own_cloth(qapp: QApplication) -> None:
    project = pool_project(1)
    picture = TopPicture(ClothBook())
    picture.take(project, "colour", {})
    layout = picture.layout
    image = QImage(round(layout.width), round(layout.height), QImage.Format.Format_RGB32)
    final = False
    while not final:
        image.fill(QColor("#ffffff"))
        picture.begin_frame()
        with QPainter(image) as painter:
            top = QRectF(0, 0, layout.width, layout.height)
            final = picture.paint(painter, top, 1.0, smooth=True)
    middles = [layout.to_top(Cell(0, w), (0.0, 90.0)) for w in range(12)]
    colours = {image.pixelColor(round(x), round(y)).name() for x, y in middles}
    assert len(colours) == 12
    assert colours <= set(POOL_COLOURS)


def test_a_piece_in_the_hand_shows_what_it_showed_lying(qapp: QApplication) -> None:
    project = pool_project(2)
    view = fit(Rect(0, 0, 600, 300), QRectF(0, 0, 600, 300), 50)
    sight = Sight(project, judge(project).shelf, "colour", view, 1.0, ClothBook())
    fills = [sight.fill(Cell(1, w), project.fabrics[0].id) for w in range(12)]
    keys = [fill.cloth for fill in fills if isinstance(fill, ClothFill)]
    assert len(set(keys)) == 12
    assert set(keys) <= project.fabrics[0].swatches.keys()
