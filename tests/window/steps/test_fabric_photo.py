"""What is done with a fabric's photo in the Fabrics step: corners, light, scale, cloths."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from quiltboard.fabrics import photo_work
from quiltboard.fabrics.fabric import (
    WHOLE_PHOTO,
    Fabric,
    FabricId,
)
from quiltboard.photos.cloths import FoundCloth
from quiltboard.photos.ruler import ScaleError
from quiltboard.units import inches
from quiltboard.window.shelf_rows import FabricRow
from quiltboard.window.steps import fabric_light
from tests.helpers.table_photos import (
    DOTS,
    GREY_CARD,
    INCH_PX,
    MAT,
    STRIPES,
    WHITE_CARD,
    WIDTH,
)
from tests.window.steps.conftest import PATIENCE_MS, Step

pytestmark = pytest.mark.qt

TRUE_WIDTH_IN = (DOTS[1][0] - DOTS[0][0]) * WIDTH / INCH_PX


def undone(step: Step) -> Fabric:
    """Undo one step, and give the fabric as it then is."""
    step.document.undo_stack.undo()
    return step.fabric


def marked(step: Step) -> bool:
    """Tell whether the light is marked as not sure."""
    return step.panel.light.heading.unsure


# Corners.


def test_a_corner_is_dragged_and_the_cloth_measured_anew(step: Step, dots: Fabric) -> None:
    end = step.at((0.55, 0.66))
    step.drag_photo(step.table.handle(2).toPoint(), end)
    step.rest()
    changed = step.fabric
    assert changed.corners[2] == pytest.approx((0.55, 0.66), abs=0.005)
    assert changed.swatch != dots.swatch
    assert changed.lighting.reference == "white card"
    assert undone(step) == dots
    assert step.table.corners == dots.corners


def test_corners_that_cross_are_refused_and_put_back(step: Step, dots: Fabric) -> None:
    step.drag_photo(step.table.handle(0).toPoint(), step.at((0.9, 0.95)))
    step.rest()
    assert step.said
    assert step.fabric == dots
    assert step.table.corners == dots.corners


def test_two_drags_one_after_the_other_both_count(step: Step) -> None:
    for corner, to in ((0, (0.36, 0.3)), (2, (0.58, 0.7)), (0, (0.38, 0.31))):
        step.drag_photo(step.table.handle(corner).toPoint(), step.at(to))
        assert step.table.corners[corner] == pytest.approx(to, abs=0.005)
    step.rest()
    assert step.fabric.corners[0] == pytest.approx((0.38, 0.31), abs=0.005)
    assert step.fabric.corners[2] == pytest.approx((0.58, 0.7), abs=0.005)


def test_the_whole_photo_is_taken(step: Step) -> None:
    step.press(step.panel.cloths, "Whole photo")
    step.rest()
    assert step.fabric.corners == WHOLE_PHOTO


# Light.


def test_a_grey_card_is_clicked_and_taken_back(step: Step, dots: Fabric) -> None:
    step.press(step.panel.light, "As taken")
    step.rest()
    assert not step.fabric.calibrated
    assert step.fabric.value < dots.value - 3
    assert step.panel.light.told.text().startswith("Not calibrated: no card")
    assert marked(step)
    assert step.field("Value, L*").placeholderText().startswith("as measured: about ")
    row = FabricRow(step.fabric, step.fabric.value, "Medium", "1", 0)
    assert "about" in row.spoken
    assert "no card" in row.spoken
    step.press(step.panel.light, "Grey card…")
    assert step.table.hasFocus()
    step.click_photo(GREY_CARD)
    assert step.table.tool is None
    step.rest()
    assert step.fabric.lighting.reference == "grey card"
    assert step.fabric.value == pytest.approx(dots.value, abs=1.0)
    assert not marked(step)
    assert undone(step).lighting.reference is None


def test_a_white_card_is_pointed_at_with_the_keyboard(step: Step) -> None:
    step.press(step.panel.light, "As taken")
    step.rest()
    button = step.panel.light.buttons[0]
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Space)
    assert step.table.hasFocus()
    for _ in range(18):
        QTest.keyClick(step.table, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
        QTest.keyClick(step.table, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert "Click the white card. at 14 % across, 14 % down" in (
        step.table.accessibleDescription()
    )
    QTest.keyClick(step.table, Qt.Key.Key_Return)
    assert button.hasFocus()
    step.rest()
    assert step.fabric.lighting.reference == "white card"
    assert step.fabric.lighting.at == pytest.approx(WHITE_CARD, abs=0.01)


def test_escape_puts_a_tool_off_wherever_the_keyboard_is(step: Step, dots: Fabric) -> None:
    for away in (False, True):
        step.press(step.panel.light, "White sheet…")
        assert step.table.tool is not None
        at = step.panel.measures.step if away else step.table
        at.setFocus()
        QTest.keyClick(at, Qt.Key.Key_Escape)
        assert step.table.tool is None
    step.press(step.panel.light, "White sheet…")
    step.desk.choose_fabric(FabricId("f4"))
    assert step.table.tool is None
    assert step.document.project.fabric(dots.id) == dots


def test_a_place_that_is_no_card_is_refused_in_a_sentence(step: Step, dots: Fabric) -> None:
    step.press(step.panel.light, "White card…")
    step.click_photo(MAT)
    step.rest()
    assert "no plain, even patch" in step.said
    assert step.fabric == dots
    assert step.panel.problem.isVisible()


# Scale.


def test_the_width_that_the_photo_shows_is_typed_and_forgotten(step: Step) -> None:
    step.open(step.panel.scale)
    step.write("Photo shows", "9 in")
    step.rest()
    swatch = step.fabric.swatch
    assert swatch is not None
    assert swatch.width == inches(9)
    assert "9 in of cloth" in step.panel.scale.told.text()
    for nonsense in ("0", "wide"):
        step.write("Photo shows", nonsense)
        step.rest()
        assert step.said
        assert step.fabric.swatch == swatch
        assert step.field("Photo shows").text() == "9 in"
    step.write("Photo shows", "")
    step.rest()
    assert step.fabric.ruler is None
    assert step.fabric.swatch is not None
    assert step.fabric.swatch.width is None


@pytest.mark.parametrize("by", ["drag", "clicks", "keys"])
def test_a_ruler_is_laid_between_two_points(step: Step, by: str) -> None:
    step.open(step.panel.scale)
    step.write("Known length", "4 in")
    step.press(step.panel.scale, "From point to point…")
    start, end = (0.4, 0.8), (0.4 + 4 * INCH_PX / WIDTH, 0.8)
    if by == "drag":
        step.drag_photo(step.at(start), step.at(end))
    elif by == "clicks":
        step.click_photo(start)
        assert step.table.tool is not None
        step.click_photo(end)
    else:
        table = step.table
        QTest.keyClick(table, Qt.Key.Key_Return)
        for _ in range(8):
            QTest.keyClick(table, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
        for _ in range(3):
            QTest.keyClick(table, Qt.Key.Key_Right)
        QTest.keyClick(table, Qt.Key.Key_Return)
    assert step.table.tool is None
    step.rest()
    swatch = step.fabric.swatch
    assert swatch is not None
    assert swatch.width is not None
    assert swatch.width / inches(1) == pytest.approx(TRUE_WIDTH_IN, rel=0.02)


def test_a_mat_is_pointed_at(step: Step, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def none_there(fabric: Fabric, at: tuple[float, float], spacing: int) -> Fabric:
        asked.append((at, spacing))
        raise ScaleError("No evenly spaced lines here.")

    monkeypatch.setattr(fabric_light, "set_grid", none_there)
    before = step.fabric
    step.press(step.panel.scale, "From line to line…")
    step.click_photo(MAT)
    step.rest()
    ((at, spacing),) = asked
    assert at == pytest.approx(MAT, abs=0.005)
    assert spacing == inches(1)
    assert step.said == "No evenly spaced lines here."
    assert step.fabric == before


# The cloths in the photo.


@pytest.fixture
def two_cloths(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have both cloths of the photo found where they lie."""
    found = tuple(FoundCloth(corners, corners) for corners in (DOTS, STRIPES))
    monkeypatch.setattr(photo_work, "find_cloths", lambda _pixels, _leave_out=(): found)


@pytest.mark.usefixtures("two_cloths")
def test_the_cloths_of_a_photo_are_found_in_one_step_of_undo(step: Step, dots: Fabric) -> None:
    count = len(step.document.project.fabrics)
    step.press(step.panel.cloths, "Find its cloths")
    step.press(step.panel.cloths, "Find its cloths")
    step.rest()
    stripes = step.document.project.fabrics[-1]
    assert len(step.document.project.fabrics) == count + 1
    assert stripes.corners == STRIPES
    assert stripes.name == "Harbour Dot 2"
    assert "No other cloth" in step.said
    assert step.panel.cloths.told.text().startswith("1 other fabric")
    step.click_photo((0.8, 0.5))
    assert step.desk.fabric == stripes.id
    assert step.said == ""
    QTest.keyClick(step.table, Qt.Key.Key_N)
    assert step.desk.fabric == dots.id
    step.document.undo_stack.undo()
    assert len(step.document.project.fabrics) == count


@pytest.mark.usefixtures("two_cloths")
def test_what_was_found_is_told(step: Step) -> None:
    step.press(step.panel.cloths, "Find its cloths")
    step.rest()
    assert step.said == "1 more cloth was found; it is on the shelf."


def test_another_cloth_is_cut_and_chosen(step: Step, dots: Fabric) -> None:
    step.press(step.panel.cloths, "Another cloth")
    step.rest()
    assert step.fabric.id != dots.id
    assert step.fabric.name == "Harbour Dot 2"
    assert step.fabric.photo == dots.photo
    step.document.undo_stack.undo()
    assert step.panel.fabric is None
    assert step.panel.set_section.isVisible()


def test_a_cloth_is_measured_anew_and_what_was_set_by_hand_stays(step: Step) -> None:
    step.choose(step.panel.measures.way, "two-way")
    step.press(step.panel.light, "As taken")
    step.press(step.panel.cloths, "Measure anew")
    step.rest()
    assert step.fabric.lighting.reference == "white card"
    assert step.fabric.by_hand.way == "two-way"


# What goes on meanwhile.


def test_what_is_changed_while_it_is_measured_stays(step: Step) -> None:
    step.press(step.panel.light, "As taken")
    assert step.panel.bench.busy
    step.write("Name", "Meanwhile")
    line = step.field("Note")
    line.setFocus()
    QTest.keyClicks(line, "half a no")
    step.rest()
    assert step.fabric.name == "Meanwhile"
    assert step.fabric.lighting.reference is None
    assert line.text() == "half a no"


def test_a_result_lands_on_the_fabric_it_was_made_for(step: Step, dots: Fabric) -> None:
    step.press(step.panel.light, "As taken")
    step.desk.choose_fabric(FabricId("f4"))
    before = step.fabric
    step.rest()
    assert step.document.project.fabric(dots.id).lighting.reference is None
    assert step.fabric == before


def test_a_refusal_names_the_fabric_where_another_is_chosen(step: Step, dots: Fabric) -> None:
    step.press(step.panel.light, "White card…")
    step.click_photo(MAT)
    step.desk.choose_fabric(FabricId("f4"))
    step.rest()
    assert step.said.startswith("Harbour Dot: There is no plain")
    assert step.document.project.fabric(dots.id) == dots


def test_a_fabric_taken_off_meanwhile_stays_off(step: Step, dots: Fabric) -> None:
    step.press(step.panel.light, "As taken")
    step.press(step.panel.cloths, "Whole photo")
    step.document.remove_fabric(dots.id)
    step.rest()
    assert dots.id not in step.document.project.by_id()


def test_what_is_undone_meanwhile_is_measured_from_there(
    step: Step, dots: Fabric, monkeypatch: pytest.MonkeyPatch
) -> None:
    step.drag_photo(step.table.handle(2).toPoint(), step.at((0.55, 0.66)))
    step.rest()
    begun, go_on = threading.Event(), threading.Event()
    light = photo_work.set_light

    def slowly(fabric: Fabric, *how: object) -> Fabric:
        begun.set()
        assert go_on.wait(20)
        return light(fabric, *how)  # type: ignore[arg-type]

    monkeypatch.setattr(fabric_light, "set_light", slowly)
    step.press(step.panel.light, "As taken")
    step.qtbot.waitUntil(begun.is_set, timeout=PATIENCE_MS)
    step.document.undo_stack.undo()
    go_on.set()
    step.rest()
    assert step.fabric.corners == dots.corners
    assert step.fabric.lighting.reference is None


def test_what_breaks_on_our_side_is_said_and_changes_nothing(
    step: Step, dots: Fabric, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def break_down(_fabric: Fabric, *_how: object) -> Fabric:
        raise KeyError("lamp")

    monkeypatch.setattr(fabric_light, "set_light", break_down)
    step.press(step.panel.light, "As taken")
    step.rest()
    assert step.said == "Something of ours went wrong there; nothing was changed."
    assert step.fabric == dots
    assert "KeyError" in caplog.text
    caplog.clear()
