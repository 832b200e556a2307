"""The tiles: only what changed is painted again, and what is shown is what lies there."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRect, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from quiltboard.fabrics.fabric import FabricId
from quiltboard.paint.cloth_book import pixels_of
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell, Weights
from quiltboard.quilt.layout import Rect
from quiltboard.window.canvas.tiles import TILE_PX, Budget, TileLayer
from quiltboard.window.canvas.view import View
from tests.helpers.canvas import Hands
from tests.helpers.projects import sample_project

pytestmark = pytest.mark.qt


def plain(colour: str) -> Callable[..., bool]:
    def painting(painter: QPainter, part: QRectF, _scale: float, *, smooth: bool) -> bool:
        painter.fillRect(part, QColor(colour))
        return True

    return painting


def shown(layer: TileLayer, view: View, *, moving: bool = False) -> tuple[QImage, bool]:
    image = QImage(700, 500, QImage.Format.Format_RGB32)
    image.fill(QColor("#919191"))
    with QPainter(image) as painter:
        done = layer.show(
            painter, view, QRect(0, 0, 700, 500), 1.0, Budget(1000.0), moving=moving
        )
    return image, done


def test_tiles_cover_the_top_without_a_gap_at_any_stretch() -> None:
    layer = TileLayer(plain("#204060"), opaque=True)
    layer.resize(900, 800)
    assert shown(layer, View(0.61, 10, 20))[1]
    for scale in (0.61, 0.5, 0.83, 0.97):
        image, done = shown(layer, View(scale, 10, 20), moving=True)
        assert done
        top = pixels_of(image)[21 : int(800 * scale) + 18, 11 : int(900 * scale) + 8]
        assert (top == (0x20, 0x40, 0x60)).all()


def test_where_the_top_ends_within_a_pixel_nothing_but_ground_shows_through() -> None:
    def painting(painter: QPainter, part: QRectF, scale: float, *, smooth: bool) -> bool:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, 900.5, 800.5), QColor("#204060"))
        return True

    layer = TileLayer(painting, opaque=True)
    layer.resize(900.5, 800.5)
    image, done = shown(layer, View(0.5, 10, 20))
    assert done
    edge = pixels_of(image)[20:420, 10 + 450]
    assert (edge == edge[0]).all()
    assert (edge[0] > (0x20, 0x40, 0x60)).all()
    assert (edge[0] < (0x91, 0x91, 0x91)).all()


def test_only_tiles_that_a_change_touches_are_painted_again() -> None:
    layer = TileLayer(plain("#204060"), opaque=True)
    layer.resize(2000, 2000)
    view = View(0.5, 0, 0)
    shown(layer, view)
    layer.painted.clear()
    layer.spoil(QRectF(10, 10, 50, 50))
    shown(layer, view)
    fine = {place for place, scale in layer.painted if scale == 0.5}
    assert fine == {(0, 0)}


def test_an_exhausted_budget_leaves_work_for_the_next_frame() -> None:
    layer = TileLayer(plain("#204060"), opaque=True)
    layer.resize(2000, 2000)
    image = QImage(700, 500, QImage.Format.Format_RGB32)
    frames = 0
    done = False
    while not done:
        with QPainter(image) as painter:
            done = layer.show(
                painter,
                View(0.5, 0, 0),
                QRect(0, 0, 700, 500),
                1.0,
                Budget(0.0),
                moving=False,
            )
        frames += 1
        assert len(layer.painted) <= frames
    assert frames >= 24


def unmarked(project: Project) -> Project:
    """Give a project that raises no flag, so that no mark lies on its cloth."""
    fabrics = tuple(msgspec.structs.replace(f, amounts=()) for f in project.fabrics)
    board = msgspec.structs.replace(project.board, weights=Weights(0, 0, 0))
    return msgspec.structs.replace(project, fabrics=fabrics, board=board)


def wedge_colour(hands: Hands, cell: Cell) -> tuple[int, ...]:
    """Give the mean colour in the middle of a wedge as it is on screen."""
    at = hands.at(cell)
    image = hands.picture().copy(QRect(at - QPoint(6, 6), at + QPoint(6, 6)))
    mean = pixels_of(image).reshape(-1, 3).mean(axis=0)
    return tuple(round(float(part)) for part in mean)


def test_a_swap_repaints_only_the_two_plates_and_shows(
    make_hands: Callable[..., Hands],
) -> None:
    hands = make_hands(unmarked(sample_project(4, 4, 12)), 1100, 1000)
    one, other = Cell(0, 4), Cell(15, 7)
    canvas = hands.canvas
    hands.document.place_fabric((one,), FabricId("f4"))
    hands.document.place_fabric((other,), FabricId("f5"))
    hands.settle()
    colours = wedge_colour(hands, one), wedge_colour(hands, other)
    assert max(abs(a - b) for a, b in zip(*colours, strict=True)) > 60
    canvas.frame.cloth.painted.clear()
    hands.document.swap_wedges(one, other)
    hands.settle()
    assert (wedge_colour(hands, other), wedge_colour(hands, one)) == colours
    scale = canvas.view.scale * canvas.devicePixelRatioF()
    rects = [canvas.layout_mm.blocks[block] for block in (0, 15)]
    touched = {place for rect in rects for place in tiles_under(rect, scale)}
    assert {place for place, at in canvas.frame.cloth.painted if at == scale} == touched


def tiles_under(rect: Rect, scale: float) -> set[tuple[int, int]]:
    side = TILE_PX / scale
    # A pixel's rim round what changed is painted with it.
    rim = 1 / scale
    columns = range(int((rect.x - rim) // side), int((rect.x + rect.width + rim) // side) + 1)
    rows = range(int((rect.y - rim) // side), int((rect.y + rect.height + rim) // side) + 1)
    return {(column, row) for column in columns for row in rows}


def test_what_is_seen_is_the_clothes_own_colour(hands: Hands) -> None:
    hands.document.place_fabric((Cell(0, 4),), FabricId("f4"))
    hands.settle()
    # A screen of 16 bits keeps its textures to within 4 of 255.
    assert wedge_colour(hands, Cell(0, 4)) == pytest.approx((0xD5, 0x9A, 0x33), abs=4)
    hands.desk.look("grey")
    hands.settle()
    red, green, blue = wedge_colour(hands, Cell(0, 4))
    assert max(red, green, blue) - min(red, green, blue) <= 4


def test_ground_beside_the_top_is_the_look_s_grey(hands: Hands) -> None:
    image = hands.picture().copy(QRect(0, 300, 2, 2))
    assert image.pixelColor(0, 0) == QColor("#919191")


def test_squint_blurs_and_marks_step_aside_until_the_pointer_rests(hands: Hands) -> None:
    sharp = pixels_of(hands.picture()).astype(np.float64)
    hands.desk.look("squint")
    hands.settle()
    assert hands.canvas.frame.squint.image is not None
    blurred = pixels_of(hands.picture()).astype(np.float64)

    def roughness(pixels: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
        return float(np.abs(np.diff(pixels[100:600, 250:650], axis=1)).mean())

    assert roughness(blurred) < roughness(sharp) / 4
    assert hands.canvas.marks_aside
    hands.desk.look("colour")
    hands.settle()
    again = pixels_of(hands.picture()).astype(np.float64)
    assert np.abs(again - sharp).max() <= 2


def test_hand_and_preview_leave_the_tiles_of_cloth_alone(hands: Hands) -> None:
    hands.canvas.frame.cloth.painted.clear()
    hands.carry(hands.at(Cell(0, 1)), hands.at(Cell(3, 6)))
    hands.canvas.repaint()
    assert not hands.canvas.frame.cloth.painted
    assert hands.canvas.overlay.hand is not None
    hands.canvas.give_up()
