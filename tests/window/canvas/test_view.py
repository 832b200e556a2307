"""Looking at the board: what lies under the pointer stays there, and nothing gets lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from quiltboard.balance.flags import Flag
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Rect
from quiltboard.window.canvas.header import scale_line, size_line
from quiltboard.window.canvas.view import KEPT_PX, View, fit
from tests.helpers.canvas import Hands

pytestmark = pytest.mark.qt

coordinates = st.floats(-2000, 2000)
scales = st.floats(0.05, 30)


@given(scales, coordinates, coordinates, coordinates, coordinates, st.floats(0.2, 5))
def test_zoom_keeps_the_point_under_the_pointer(
    scale: float, x: float, y: float, at_x: float, at_y: float, factor: float
) -> None:
    view, about = View(scale, x, y), QPointF(at_x, at_y)
    before = view.to_mm(about)
    after = view.zoomed(factor, about).to_px(*before)
    assert after.x() == pytest.approx(at_x, abs=1e-6)
    assert after.y() == pytest.approx(at_y, abs=1e-6)


@given(scales, coordinates, coordinates)
def test_some_of_the_top_always_stays_in_sight(scale: float, x: float, y: float) -> None:
    area, width, height = QRectF(0, 40, 900, 600), 1500.0, 1900.0
    view = View(scale, x * 10, y * 10).kept_in(area, width, height)
    seen = view.rect_px(Rect(0, 0, width, height)).intersected(area)
    assert seen.width() >= min(KEPT_PX, width * scale) - 1e-6
    assert seen.height() >= min(KEPT_PX, height * scale) - 1e-6


def test_fit_fills_one_way_and_stays_in_the_middle() -> None:
    view = fit(Rect(100, 50, 200, 100), QRectF(0, 0, 500, 500), 50)
    shown = view.rect_px(Rect(100, 50, 200, 100))
    assert (shown.width(), shown.height()) == (400, 200)
    assert shown.center() == QPointF(250, 250)


def pointed_at(hands: Hands) -> Cell | None:
    return hands.canvas.overlay.hover


def shown_flag(hands: Hands) -> Flag | None:
    return hands.canvas.overlay.flag


def wheel(hands: Hands, at: QPoint, turn: int, modifier: Qt.KeyboardModifier) -> None:
    point = QPointF(at)
    event = QWheelEvent(
        point,
        hands.canvas.mapToGlobal(point),
        QPoint(),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        modifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(hands.canvas, event)


def test_wheel_with_control_zooms_about_the_pointer_and_hits_the_same_wedge(
    hands: Hands,
) -> None:
    cell = Cell(3, 2)
    at = hands.at(cell)
    scale = hands.canvas.view.scale
    for _ in range(6):
        wheel(hands, at, 120, Qt.KeyboardModifier.ControlModifier)
    assert hands.canvas.view.scale > 2 * scale
    assert hands.canvas.cell_at(QPointF(at)) == cell
    hands.click(at)
    assert hands.desk.cells == (cell,)


def test_wheel_scrolls_and_middle_drag_pans(hands: Hands) -> None:
    hands.canvas.fit_plate(0)
    start = hands.canvas.view
    wheel(hands, QPoint(300, 300), -120, Qt.KeyboardModifier.NoModifier)
    assert hands.canvas.view.y < start.y
    assert hands.canvas.view.scale == start.scale
    held = hands.canvas.view.to_mm(QPointF(300, 300))
    hands.press(QPoint(300, 300), Qt.MouseButton.MiddleButton)
    hands.move(QPoint(340, 270), Qt.MouseButton.MiddleButton)
    hands.release(QPoint(340, 270), Qt.MouseButton.MiddleButton)
    assert hands.canvas.view.to_mm(QPointF(340, 270)) == pytest.approx(held)


def test_space_drag_pans_and_picks_nothing_up(hands: Hands) -> None:
    hands.canvas.fit_plate(0)
    before = hands.document.project
    QTest.keyPress(hands.canvas, Qt.Key.Key_Space)
    held = hands.canvas.view.to_mm(QPointF(300, 300))
    hands.press(QPoint(300, 300))
    hands.move(QPoint(380, 330))
    hands.release(QPoint(380, 330))
    QTest.keyRelease(hands.canvas, Qt.Key.Key_Space)
    assert hands.canvas.view.to_mm(QPointF(380, 330)) == pytest.approx(held)
    assert hands.canvas.gesture is None
    assert hands.document.project is before


def test_keys_zoom_and_fit_within_bounds(hands: Hands) -> None:
    whole = hands.canvas.view
    for _ in range(60):
        hands.key(Qt.Key.Key_Plus)
    assert hands.canvas.view.scale == pytest.approx(6 * hands.canvas.true_scale)
    for _ in range(60):
        hands.key(Qt.Key.Key_Minus)
    assert hands.canvas.view.scale == pytest.approx(whole.scale / 2)
    hands.key(Qt.Key.Key_0)
    assert hands.canvas.view == whole
    hands.canvas.show_true_size()
    assert hands.canvas.view.scale == pytest.approx(hands.canvas.true_scale)
    assert hands.canvas.scale_text == "True size"


def test_double_click_fits_the_plate_and_goes_back(hands: Hands) -> None:
    whole = hands.canvas.view
    at = hands.at(Cell(2, 3))
    QTest.mouseDClick(hands.canvas, Qt.MouseButton.LeftButton, pos=at)
    assert hands.canvas.scale_text.startswith("Plate 3, ")
    square = hands.canvas.view.rect_px(hands.canvas.layout_mm.blocks[2])
    assert hands.canvas.content_rect.contains(square)
    QTest.mouseDClick(hands.canvas, Qt.MouseButton.LeftButton, pos=hands.at(Cell(2, 3)))
    assert hands.canvas.view == whole
    assert hands.canvas.scale_text.startswith("Whole top, ")


def test_what_was_fitted_stays_fitted_when_the_window_grows(hands: Hands) -> None:
    hands.canvas.resize(1200, 900)
    layout = hands.canvas.layout_mm
    shown = hands.canvas.view.rect_px(Rect(0, 0, layout.width, layout.height))
    assert hands.canvas.content_rect.adjusted(-1, -1, 1, 1).contains(shown)
    assert shown.height() > 780


def test_pinch_zooms_about_the_fingers(hands: Hands) -> None:
    from PySide6.QtGui import QNativeGestureEvent, QPointingDevice  # noqa: PLC0415

    at = QPointF(hands.at(Cell(1, 7)))
    held = hands.canvas.view.to_mm(at)
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture,
        QPointingDevice.primaryPointingDevice(),
        2,
        at,
        at,
        hands.canvas.mapToGlobal(at),
        0.5,
        QPointF(),
    )
    scale = hands.canvas.view.scale
    QApplication.sendEvent(hands.canvas, event)
    assert hands.canvas.view.scale == pytest.approx(1.5 * scale)
    assert hands.canvas.view.to_mm(at) == pytest.approx(held, abs=1.0)


def test_pointed_at_flag_comes_into_sight(hands: Hands) -> None:
    hands.canvas.fit_plate(0)
    flag = next(f for f in hands.document.judgement.report.flags if f.key.cells[0].block == 3)
    hands.desk.point_at_flag(flag.key)
    assert shown_flag(hands) == flag
    for cell in flag.key.cells[-1:]:
        assert hands.canvas.content_rect.contains(hands.canvas.cell_rect(cell))
    hands.desk.point_at_flag(None)
    assert shown_flag(hands) is None


def test_line_above_the_board(hands: Hands) -> None:
    board = hands.document.project.board
    assert size_line(board) == "28 1⁄2 × 28 1⁄2 in, sashing 1 1⁄2 in"
    assert scale_line(0.13, None, whole=True) == "Whole top, 13 % of true size"
    assert scale_line(0.54, 7, whole=False) == "Plate 8, 54 % of true size"
    assert scale_line(1.0, None, whole=False) == "True size"


def test_hover_points_at_the_wedge_under_the_pointer(hands: Hands) -> None:
    hands.move(hands.at(Cell(1, 2)), Qt.MouseButton.NoButton)
    assert pointed_at(hands) == Cell(1, 2)
    QApplication.sendEvent(hands.canvas, QEvent(QEvent.Type.Leave))
    assert pointed_at(hands) is None
    event = QMouseEvent(
        QEvent.Type.MouseMove,
        QPointF(2, 300),
        QPointF(2, 300),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(hands.canvas, event)
    assert pointed_at(hands) is None
