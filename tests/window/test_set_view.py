"""The set read together: cloths on the tape, pins in the cushion, sentences, keyboard."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.errands.sample import open_sample
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.fabrics.measure import reading_of_colour
from quiltboard.fabrics.set_reading import Gap, Point
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.photos.lighting import Lighting
from quiltboard.project.project import Project
from quiltboard.quilt.board import empty_board
from quiltboard.window.cloth import Cuttings
from quiltboard.window.fabric_spots import FabricSpots
from quiltboard.window.hanging import CLOTHS_PX, hang, lean_apart
from quiltboard.window.hue_wheel import pin_px, rim_chroma, stand_pins
from quiltboard.window.set_view import SetView
from quiltboard.window.theme import RoomChoice, Theme

pytestmark = pytest.mark.qt

CALIBRATED = Lighting(reference="white card", at=(0.1, 0.1))


def demo(*, carded: bool = True) -> tuple[Fabric, ...]:
    """Give the demo's fabrics; Seed Packets' photo has no card in it."""
    return tuple(
        msgspec.structs.replace(
            fabric,
            lighting=CALIBRATED if carded and fabric.name != "Seed Packets" else Lighting(),
        )
        for fabric in open_sample().project.fabrics
    )


def plain(name: str, colour: str) -> Fabric:
    return Fabric(FabricId(name), name, reading_of_colour(colour), colour)


def many(count: int) -> tuple[Fabric, ...]:
    rng = np.random.default_rng(5)
    colours = rng.integers(20, 236, (count, 3))
    return tuple(
        plain(f"Cloth {k}", "#{:02x}{:02x}{:02x}".format(*row)) for k, row in enumerate(colours)
    )


def point(value: float, *, hue: float = 0.0, chroma: float = 0.0, name: str = "") -> Point:
    name = name or f"{value} {hue} {chroma}"
    return Point(FabricId(name), name, "#777777", value, hue, chroma, "medium", calibrated=True)


class Shown:
    """A view of a set, and what it stands on."""

    def __init__(self, qtbot: QtBot, qapp: QApplication) -> None:
        self.qtbot, self.qapp = qtbot, qapp
        self.document, self.desk = Document(), Desk()

    def show(
        self,
        fabrics: Sequence[Fabric],
        size: tuple[int, int] = (958, 892),
        percent: int = 100,
        choice: RoomChoice = "light",
    ) -> SetView:
        theme = Theme(choice=choice, text_percent=percent)
        theme.dress(self.qapp)
        self.document.begin(Project("A set", empty_board(), tuple(fabrics)))
        view = SetView(self.document, self.desk, theme, Cuttings(ClothBook()))
        for part in (theme, self.document, self.desk):
            part.setParent(view)
        self.qtbot.addWidget(view, before_close_func=lambda _view: self.document.close())
        view.resize(*size)
        with self.qtbot.waitExposed(view):
            view.show()
        self.qapp.processEvents()  # what was shown or hidden is laid out anew
        return view


@pytest.fixture
def shown(qtbot: QtBot, qapp: QApplication) -> Shown:
    return Shown(qtbot, qapp)


def named(view: SetView, name: str) -> Point:
    return next(point for point in view.reading.points if point.name == name)


def middle(part: FabricSpots, point: Point) -> QPoint:
    return part.box_of(point.fabric).center().toPoint()


def said(view: SetView) -> str:
    words = (view.missing, view.photos, view.more_alike, view.advice, view.whole)
    shown = [word.text() for word in words if word.isVisible()]
    return " ".join([row.words.text() for row in view.pairs if row.isVisible()] + shown)


# Where cloths hang and pins stand.


@given(
    st.lists(st.floats(0, 1000), max_size=20).map(sorted),
    st.floats(1, 50),
)
def test_cloths_lean_apart_in_their_order_and_stay_inside(
    wanted: list[float], least: float
) -> None:
    places = lean_apart(wanted, least, 0.0, 1000.0)
    assert all(b - a >= least - 1e-6 for a, b in pairwise(places))
    if not places:
        return
    assert places[0] >= -1e-6
    assert places[-1] <= max(1000.0, least * (len(places) - 1)) + 1e-6
    if all(b - a >= least for a, b in pairwise(wanted)):
        assert places == pytest.approx(wanted)


@pytest.mark.parametrize("count", [1, 2, 24, 60, 500])
@pytest.mark.parametrize("width_px", [380.0, 880.0, 1800.0])
def test_every_cloth_hangs_once_beside_the_others(count: int, width_px: float) -> None:
    rng = np.random.default_rng(count)
    values = sorted(rng.beta(2, 2, count) * 80 + 12)
    points = [point(value, name=f"{k}") for k, value in enumerate(values)]
    gaps = [Gap(None, values[0], trusted=True), Gap(30.0, 50.0, trusted=True)]
    hung = hang(points, gaps, 20.0, width_px, 200.0)
    assert [p for thread in hung.threads for p in thread.points] == points
    assert sum(not thread.points for thread in hung.threads) == 2
    xs = [thread.x for thread in hung.threads]
    assert all(b - a >= hung.wide for a, b in pairwise(xs))
    assert xs[0] >= 20.0
    assert xs[-1] <= 20.0 + width_px
    # No cloth hangs from a thread whose value is far from its own.
    spread = 160 * (hung.wide + hung.gap) / width_px
    assert all(
        abs(p.value - thread.value) <= spread for thread in hung.threads for p in thread.points
    )
    assert hung.height_px <= 200.0 or (hung.wide, hung.high) == CLOTHS_PX[-1]


def test_a_small_set_hangs_in_large_cloths() -> None:
    few = hang([point(20.0), point(80.0)], (), 0.0, 880.0, 200.0)
    assert (few.wide, few.high) == CLOTHS_PX[0]
    assert [thread.x for thread in few.threads] == pytest.approx([176.0, 704.0])


def test_a_pin_stands_at_its_hue_and_chroma() -> None:
    points = [point(50.0, hue=hue, chroma=60.0) for hue in (0.0, 90.0, 180.0, 270.0)]
    tips, heads = stand_pins(points, 126.0)
    reach = 126.0 - sum(pin_px(4))
    assert tips == pytest.approx(
        np.array([(0, -reach), (reach, 0), (0, reach), (-reach, 0)]), abs=1e-6
    )
    assert np.hypot(*heads.T) == pytest.approx(np.full(4, reach + pin_px(4)[1]), abs=0.02)


@pytest.mark.parametrize(("count", "overlapping"), [(24, 0.0), (60, 0.0), (500, 0.25)])
def test_heads_lean_apart_and_stay_on_the_cushion(count: int, overlapping: float) -> None:
    rng = np.random.default_rng(count)
    points = [
        point(50.0, hue=hue, chroma=chroma, name=f"{k}")
        for k, (hue, chroma) in enumerate(
            zip(rng.uniform(0, 360, count), rng.uniform(0, 90, count), strict=True)
        )
    ]
    _, heads = stand_pins(points, 180.0)
    radius = pin_px(count)[0]
    assert (np.hypot(*heads.T) <= 180.0 - radius + 1e-6).all()
    first, second = np.triu_indices(count, 1)
    away = np.hypot(*(heads[first] - heads[second]).T)
    buried = np.unique(np.concatenate((first[away < radius], second[away < radius])))
    assert len(buried) <= overlapping * count


def test_heads_on_one_spot_part() -> None:
    _, heads = stand_pins([point(50.0, name=name) for name in "abcd"], 180.0)
    first, second = np.triu_indices(4, 1)
    assert np.hypot(*(heads[first] - heads[second]).T).min() > pin_px(4)[0]


def test_the_rim_holds_the_most_vivid_and_keeps_a_quiet_set_near_the_middle() -> None:
    assert rim_chroma([]) == 60.0
    assert rim_chroma([point(50.0, chroma=12.0)]) == 60.0
    assert rim_chroma([point(50.0, chroma=81.0)]) == 100.0


# What the view shows and says.


def test_the_demo_is_shown_and_told(shown: Shown) -> None:
    view = shown.show(demo())
    assert len(view.strip.reading.points) == len(view.wheel.reading.points) == 24
    assert "24 fabrics" in view.title.text()
    text = said(view)
    assert "Runner Bean and Pea Shoot read as one" in text
    assert "Onion Paper and Butterbean read as one" in text
    (gap,) = view.reading.gap_sentences
    assert gap in text
    assert "1 photo has no card in it (Seed Packets)" in text
    assert "hangs by a basted thread" in text
    assert not view.whole.isVisible()


def test_a_cloth_hangs_near_its_value_and_shows_itself(shown: Shown) -> None:
    view = shown.show(demo())
    strip = view.strip
    for name, hue in (("Tomato Skin", 10), ("Wet Slate", 210), ("Lemon Verbena", 55)):
        cloth = named(view, name)
        box = strip.box_of(cloth.fabric)
        assert abs(box.center().x() - strip.x_of(cloth.value)) < 110
        shown.qtbot.waitUntil(
            lambda box=box, hue=hue: (  # type: ignore[misc]
                abs(_mean_colour(strip, box.adjusted(4, 22, -4, -8).toRect()).hue() - hue) < 25
            )
        )
    # Dark to light runs from left to right.
    xs = [strip.box_of(point.fabric).x() for point in view.reading.points]
    assert xs == sorted(xs)


def _mean_colour(part: FabricSpots, box: QRect) -> QColor:
    picture = part.grab(box).toImage()
    pixels = [
        picture.pixelColor(x, y)
        for x in range(0, picture.width(), 3)
        for y in range(0, picture.height(), 3)
    ]
    red, green, blue = (
        sum(pick) // len(pixels)
        for pick in zip(*((p.red(), p.green(), p.blue()) for p in pixels), strict=True)
    )
    return QColor(red, green, blue)


def test_an_uncalibrated_cloth_looks_otherwise(shown: Shown) -> None:
    view = shown.show((plain("Kelp", "#446644"), plain("Slate", "#888888")))
    strip, kelp = view.strip, named(view, "Kelp")
    selvedge = strip.box_of(kelp.fabric).toRect().adjusted(1, 1, -1, 0)
    selvedge.setHeight(12)
    before = _mean_colour(strip, selvedge).lightness()
    bare = msgspec.structs.replace(
        plain("Kelp", "#446644"), photo=open_sample().project.fabrics[0].photo
    )
    assert not bare.calibrated
    shown.document.change_fabric(bare)
    assert not named(view, "Kelp").calibrated
    assert _mean_colour(strip, selvedge).lightness() < before - 20
    assert "Nothing darker than L* 40, if the photos can be trusted." in said(view)
    assert "no card in its photo" not in strip.accessibleDescription()
    strip.point_at(bare.id)
    assert "no card in its photo" in strip.accessibleDescription()


@pytest.mark.parametrize("part_name", ["strip", "wheel"])
def test_a_click_chooses_a_fabric(shown: Shown, part_name: str) -> None:
    view = shown.show(demo())
    part: FabricSpots = getattr(view, part_name)
    kale = named(view, "Kale Frill")
    QTest.mouseClick(part, Qt.MouseButton.LeftButton, pos=middle(part, kale))
    assert shown.desk.fabric == kale.fabric
    shown.desk.choose_fabric(None)
    QTest.mouseClick(part, Qt.MouseButton.RightButton, pos=middle(part, kale))
    QTest.mouseClick(part, Qt.MouseButton.LeftButton, pos=QPoint(3, part.height() - 3))
    assert shown.desk.fabric is None


@pytest.mark.parametrize(("here", "there"), [("strip", "wheel"), ("wheel", "strip")])
def test_pointing_names_a_fabric_and_lets_it_stand_out_in_both(
    shown: Shown, here: str, there: str
) -> None:
    cloths = (("Slate", "#333344"), ("Blue Twine", "#4a74a8"), ("Chalk", "#f4f0e6"))
    view = shown.show([plain(*cloth) for cloth in cloths])
    part: FabricSpots = getattr(view, here)
    other: FabricSpots = getattr(view, there)
    blue = named(view, "Blue Twine")
    bare = other.grab().toImage()
    QTest.mouseMove(part, middle(part, blue))
    shown.qtbot.waitUntil(lambda: part.pointed == blue)
    assert other.pointed == blue
    assert other.grab().toImage() != bare
    assert part.accessibleDescription() == "Blue Twine, value 48, medium, 2 of 3"
    QTest.mouseMove(part, QPoint(2, part.height() - 2))
    shown.qtbot.waitUntil(lambda: other.pointed is None)
    assert other.grab().toImage() == bare


def test_the_keyboard_walks_the_strip_and_chooses(shown: Shown) -> None:
    view = shown.show(demo())
    strip = view.strip
    view.wheel.setFocus(Qt.FocusReason.OtherFocusReason)
    strip.setFocus(Qt.FocusReason.TabFocusReason)
    shown.qtbot.waitUntil(strip.hasFocus)
    assert strip.pointed == view.reading.points[0]
    seen = {strip.pointed.name}
    threads = [thread.points for thread in strip.hanging.threads if thread.points]
    for points in threads:
        for cloth in points[1:]:
            QTest.keyClick(strip, Qt.Key.Key_Down)
            assert strip.pointed == cloth
            seen.add(cloth.name)
        for _ in points[1:]:
            QTest.keyClick(strip, Qt.Key.Key_Up)
        QTest.keyClick(strip, Qt.Key.Key_Right)
        assert strip.pointed is not None
        seen.add(strip.pointed.name)
    assert len(seen) == 24
    QTest.keyClick(strip, Qt.Key.Key_Home)
    assert strip.pointed == view.reading.points[0]
    QTest.keyClick(strip, Qt.Key.Key_Left)
    assert strip.pointed == view.reading.points[0]
    QTest.keyClick(strip, Qt.Key.Key_End)
    assert strip.pointed == view.reading.points[-1]
    QTest.keyClick(strip, Qt.Key.Key_Return)
    assert shown.desk.fabric == view.reading.points[-1].fabric


def test_the_keyboard_walks_round_the_wheel(shown: Shown) -> None:
    view = shown.show(demo())
    wheel = view.wheel
    view.strip.setFocus(Qt.FocusReason.OtherFocusReason)
    wheel.setFocus(Qt.FocusReason.TabFocusReason)
    shown.qtbot.waitUntil(wheel.hasFocus)
    start = wheel.pointed
    seen = []
    for _ in range(24):
        QTest.keyClick(wheel, Qt.Key.Key_Right)
        assert wheel.pointed is not None
        seen.append(wheel.pointed)
    assert len(set(seen)) == 24
    assert seen[-1] == start
    QTest.keyClick(wheel, Qt.Key.Key_Left)
    assert wheel.pointed == seen[-2]
    QTest.keyClick(wheel, Qt.Key.Key_Home)
    hues = [point.hue_deg for point in view.reading.points]
    assert wheel.pointed.hue_deg == min(hues)
    QTest.keyClick(wheel, Qt.Key.Key_End)
    assert wheel.pointed.hue_deg == max(hues)
    QTest.keyClick(wheel, Qt.Key.Key_Space)
    assert shown.desk.fabric == wheel.pointed.fabric
    view.strip.setFocus(Qt.FocusReason.OtherFocusReason)
    assert wheel.pointed is None


def test_a_hidden_view_waits_until_it_is_seen(shown: Shown) -> None:
    view = shown.show(demo())
    view.hide()
    fabrics = shown.document.project.fabrics
    shown.document.change_fabric(msgspec.structs.replace(fabrics[0], name="Roof Slate"))
    assert not any(point.name == "Roof Slate" for point in view.reading.points)
    view.show()
    assert any(point.name == "Roof Slate" for point in view.reading.points)
    shown.document.undo_stack.undo()
    assert not any(point.name == "Roof Slate" for point in view.reading.points)


def test_a_fabric_that_goes_is_let_go(shown: Shown) -> None:
    view = shown.show(demo())
    slate = named(view, "Wet Slate")
    view.strip.point_at(slate.fabric)
    shown.document.remove_fabric(slate.fabric)
    assert view.strip.pointed is None
    assert view.wheel.pointed is None
    assert view.strip.box_of(slate.fabric).isNull()
    assert view.wheel.box_of(slate.fabric).isNull()
    assert view.strip.accessibleDescription().startswith("23 fabrics")


def test_an_empty_set_teaches_the_next_step(shown: Shown) -> None:
    view = shown.show(())
    assert view.hint.text().startswith("Drop photographs here")
    assert said(view) == ""
    assert view.strip.fabric_at(QPointF(100, 100)) is None
    assert view.wheel.fabric_at(QPointF(100, 100)) is None
    for part in (view.strip, view.wheel):
        assert part.focusPolicy() == Qt.FocusPolicy.NoFocus
        assert not part.grab().isNull()
    assert shown.desk.fabric is None


def test_a_set_with_nothing_amiss_is_told_so(shown: Shown) -> None:
    greys = [f"#{part:02x}{part:02x}{part:02x}" for part in range(50, 240, 30)]
    view = shown.show([plain(f"Grey {grey}", grey) for grey in greys])
    assert said(view).startswith("No two look alike")


def test_many_look_alikes_are_counted(shown: Shown) -> None:
    shades = [plain(f"Shade {k}", f"#80{k + 100:02x}80") for k in range(7)]
    view = shown.show(shades)
    assert sum(row.isVisible() for row in view.pairs) == 4
    assert view.more_alike.text() == "17 more pairs do."


@pytest.mark.parametrize("choice", ["light", "dark"])
@pytest.mark.parametrize(
    ("size", "percent"),
    [((638, 612), 100), ((478, 500), 200), ((958, 892), 200), ((1600, 1300), 100)],
)
@pytest.mark.parametrize("count", [0, 1, 2, 24, 500])
def test_everything_finds_room(
    shown: Shown, count: int, size: tuple[int, int], percent: int, choice: RoomChoice
) -> None:
    view = shown.show(demo() if count == 24 else many(count), size, percent, choice)
    inside = view.widget()
    assert inside is not None
    assert inside.width() == view.viewport().width()
    for part in (view.strip, view.wheel):
        assert inside.rect().contains(part.geometry())
        for cloth in view.reading.points:
            box = part.box_of(cloth.fabric)
            assert part.rect().toRectF().contains(box)
    boxes = [view.strip.box_of(cloth.fabric) for cloth in view.reading.points]
    if count <= 24:
        assert not any(a.intersects(b) for k, a in enumerate(boxes) for b in boxes[k + 1 :])
    for row in view.pairs:
        if row.isVisible():
            assert row.words.height() >= row.words.heightForWidth(row.words.width())
            assert row.cloths.geometry().right() < row.words.x()
    for words in (view.title, view.hint, view.missing, view.photos):
        if words.isVisible():
            assert words.height() >= words.heightForWidth(words.width())
    for cloth in view.reading.points[-1:]:
        view.strip.point_at(cloth.fabric)
        view.wheel.point_at(cloth.fabric)
        assert not view.grab().isNull()


def test_the_sentences_stand_beside_the_wheel_where_there_is_room(shown: Shown) -> None:
    view = shown.show(demo(), (638, 612))
    assert view.missing.x() > view.wheel.geometry().right()
    view.resize(478, 700)
    shown.qtbot.waitUntil(lambda: view.missing.y() > view.wheel.geometry().bottom())


def test_the_keyboard_keeps_its_cord_and_is_kept_in_view(shown: Shown) -> None:
    view = shown.show(demo(), (478, 300), 200)
    strip, inside = view.strip, view.widget()
    view.wheel.setFocus(Qt.FocusReason.OtherFocusReason)
    view.verticalScrollBar().setValue(0)
    strip.setFocus(Qt.FocusReason.TabFocusReason)
    for key in (Qt.Key.Key_End, Qt.Key.Key_Home, Qt.Key.Key_Down, Qt.Key.Key_Right):
        QTest.keyClick(strip, key)
        assert strip.pointed is not None
        assert inside is not None
        at = strip.mapTo(view.viewport(), middle(strip, strip.pointed))
        assert view.viewport().rect().contains(at)
    cord = strip.coats
    QTest.mouseMove(strip, QPoint(2, 2))
    shown.qtbot.waitUntil(lambda: strip.pointed is None)
    assert strip.coats != cord
