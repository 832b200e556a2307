"""The photo table: corners, tools and the other cloths of a photo, with real events."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from quiltboard.fabrics.fabric import Corners, Fabric, FabricId
from quiltboard.photos.corners import upright_corners
from quiltboard.photos.ruler import Ruler
from quiltboard.units import inches
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.theme import Theme
from tests.helpers.table_photos import BARE_TABLE, DOTS, STRIPES, WHITE_CARD

pytestmark = pytest.mark.qt


@pytest.fixture
def table(qtbot: QtBot, qapp: QApplication, dots: Fabric) -> PhotoTable:
    theme = Theme(choice="light")
    theme.dress(qapp)
    made = PhotoTable(theme)
    qtbot.addWidget(made)
    made.resize(1040, 800)
    made.show_fabric(dots)
    with qtbot.waitExposed(made):
        made.show()
    return made


def place(table: PhotoTable, x: float, y: float) -> QPoint:
    photo = table.photo_rect()
    return QPointF(photo.x() + x * photo.width(), photo.y() + y * photo.height()).toPoint()


def another(fabric: Fabric, corners: Corners, name: str = "Other") -> Fabric:
    return msgspec.structs.replace(
        fabric, id=FabricId(name.casefold()), name=name, corners=corners
    )


def picture(table: PhotoTable) -> QImage:
    return table.grab().toImage()


def test_a_drag_tells_of_the_corners_once(table: PhotoTable) -> None:
    told: list[Corners] = []
    table.corners_set.connect(told.append)
    start, end = table.handle(1).toPoint(), place(table, 0.7, 0.2)
    QTest.mousePress(table, Qt.MouseButton.LeftButton, pos=start)
    for share in range(1, 6):
        QTest.mouseMove(table, start + (end - start) * (share / 5))
    assert told == []
    assert table.corners[1] == pytest.approx((0.7, 0.2), abs=0.005)
    QTest.mouseRelease(table, Qt.MouseButton.LeftButton, pos=end)
    assert len(told) == 1
    assert told[0][0] == DOTS[0]


def test_a_corner_stays_in_the_photo(table: PhotoTable) -> None:
    start = table.handle(0).toPoint()
    QTest.mousePress(table, Qt.MouseButton.LeftButton, pos=start)
    QTest.mouseMove(table, QPoint(1, 1))
    QTest.mouseRelease(table, Qt.MouseButton.LeftButton, pos=QPoint(1, 1))
    assert table.corners[0] == (0.0, 0.0)


def test_a_corner_put_back_where_it_was_tells_nothing(table: PhotoTable) -> None:
    told: list[Corners] = []
    table.corners_set.connect(told.append)
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_C)
    assert "upper right corner at 62 % across, 25 % down" in table.accessibleDescription()
    QTest.keyPress(table, Qt.Key.Key_Left)
    QTest.keyPress(table, Qt.Key.Key_Right)
    QTest.keyRelease(table, Qt.Key.Key_Right)
    assert table.corners[1] == pytest.approx(DOTS[1])
    QTest.keyClick(table, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert told[-1][1] == pytest.approx((0.62, 0.27))


def test_a_nudge_is_kept_while_the_fabric_is_shown_anew(
    table: PhotoTable, dots: Fabric
) -> None:
    told: list[Corners] = []
    table.corners_set.connect(told.append)
    table.setFocus()
    QTest.keyPress(table, Qt.Key.Key_Right)
    table.show_fabric(msgspec.structs.replace(dots, note="new"))
    QTest.keyRelease(table, Qt.Key.Key_Right)
    assert told[-1][0][0] > DOTS[0][0]


def test_another_fabric_takes_nothing_of_a_drag_begun(table: PhotoTable, dots: Fabric) -> None:
    told: list[Corners] = []
    table.corners_set.connect(told.append)
    start = table.handle(0).toPoint()
    QTest.mousePress(table, Qt.MouseButton.LeftButton, pos=start)
    other = another(dots, STRIPES)
    table.show_fabric(other)
    QTest.mouseRelease(table, Qt.MouseButton.LeftButton, pos=place(table, 0.1, 0.1))
    assert told == []
    assert table.corners == STRIPES


def test_the_smallest_cloth_under_a_click_is_picked(table: PhotoTable, dots: Fabric) -> None:
    picked: list[object] = []
    table.fabric_picked.connect(picked.append)
    small = another(dots, upright_corners(0.7, 0.3, 0.8, 0.4), "small")
    table.show_fabric(dots, [another(dots, STRIPES, "stripes"), small])
    QTest.mouseClick(table, Qt.MouseButton.LeftButton, pos=place(table, 0.75, 0.35))
    QTest.mouseClick(table, Qt.MouseButton.LeftButton, pos=place(table, 0.9, 0.6))
    QTest.mouseClick(table, Qt.MouseButton.LeftButton, pos=place(table, *BARE_TABLE))
    assert picked == ["small", "stripes"]
    QTest.mouseMove(table, place(table, 0.9, 0.6))
    assert table.cursor().shape() == Qt.CursorShape.PointingHandCursor
    QTest.mouseMove(table, table.handle(3).toPoint())
    assert table.cursor().shape() == Qt.CursorShape.OpenHandCursor


def test_every_cloth_of_the_photo_is_reached_by_key(table: PhotoTable, dots: Fabric) -> None:
    cloths = [dots, another(dots, STRIPES, "stripes"), another(dots, STRIPES, "aside")]
    by_id = {cloth.id: cloth for cloth in cloths}
    seen = [dots.id]

    def show(fabric_id: FabricId) -> None:
        seen.append(fabric_id)
        table.show_fabric(by_id[fabric_id], [c for c in cloths if c.id != fabric_id])

    table.fabric_picked.connect(show)
    table.show_fabric(dots, cloths[1:])
    for _ in range(3):
        QTest.keyClick(table, Qt.Key.Key_N)
    assert seen == ["dots", "stripes", "aside", "dots"]


def test_a_ruler_that_is_hardly_begun_is_not_taken(table: PhotoTable) -> None:
    laid: list[object] = []
    table.ask_ruler("Lay it.", lambda start, end: laid.append((start, end)))
    at = place(table, 0.5, 0.9)
    for _ in range(2):
        QTest.mouseClick(table, Qt.MouseButton.LeftButton, pos=at)
    assert laid == []
    assert table.tool is not None
    for _ in range(2):
        QTest.keyClick(table, Qt.Key.Key_Return)
    assert laid == []
    QTest.keyClick(table, Qt.Key.Key_Escape)
    assert table.tool is None


def test_a_tool_leaves_the_corners_alone(table: PhotoTable) -> None:
    pointed: list[object] = []
    told: list[Corners] = []
    table.corners_set.connect(told.append)
    table.ask_point("Point.", pointed.append)
    QTest.mouseClick(table, Qt.MouseButton.LeftButton, pos=table.handle(0).toPoint())
    assert pointed == [pytest.approx(DOTS[0], abs=0.005)]
    assert told == []
    assert table.corners == DOTS


def test_what_is_known_of_the_photo_is_drawn_in_it(table: PhotoTable, dots: Fabric) -> None:
    ruler = Ruler((0.4, 0.85), (0.6, 0.85), inches("9/2"))
    bare = msgspec.structs.replace(
        dots, lighting=msgspec.structs.replace(dots.lighting, at=None)
    )
    table.show_fabric(bare)
    before = picture(table)
    table.show_fabric(
        msgspec.structs.replace(bare, ruler=ruler, lighting=dots.lighting),
        [another(dots, STRIPES, "Stripes")],
    )
    after = picture(table)

    def changed(x: float, y: float, reach: int = 16) -> bool:
        middle = place(table, x, y)
        return any(
            before.pixel(middle + QPoint(dx, dy)) != after.pixel(middle + QPoint(dx, dy))
            for dx in range(-reach, reach)
            for dy in range(-reach, reach)
        )

    assert changed(0.5, 0.85)
    assert changed(0.815, 0.5)
    lit = dots.lighting.at
    assert lit is not None
    assert lit == pytest.approx(WHITE_CARD, abs=0.08)
    assert changed(*lit)
    assert not changed(*BARE_TABLE, reach=8)


def test_a_slip_is_whole_and_out_of_the_way(table: PhotoTable) -> None:
    table.ask_point("Click the mat or ruler where its lines, 1 in apart, are plain.", print)
    QTest.mouseMove(table, place(table, 0.5, 0.5))
    above = picture(table)
    halo = table._theme.colour("halo").rgb()
    middle = table.width() // 2
    slip = [y for y in range(200) if above.pixel(middle, y) == halo]
    assert slip
    assert slip[0] >= 4
    QTest.mouseMove(table, place(table, 0.5, 0.02))
    below = picture(table)
    assert below.pixel(middle, slip[1]) != halo
    assert below.pixel(middle, table.height() - slip[1] - 2) == halo
    table.put_down()
    table.show_busy("Measuring…")
    assert picture(table).pixel(middle, slip[1]) == halo
    table.show_busy("")
    assert picture(table).pixel(middle, slip[1]) != halo
