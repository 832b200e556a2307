"""The Fabrics step: what the photo tells can be set right, by mouse and by keyboard."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from quiltboard.fabrics import photo_work
from quiltboard.fabrics.fabric import (
    WHOLE_PHOTO,
    ByHand,
    Care,
    Cloth,
    CutWedges,
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
    table_photo,
)
from tests.window.steps.conftest import PATIENCE_MS, Step

pytestmark = pytest.mark.qt

TRUE_WIDTH_IN = (DOTS[1][0] - DOTS[0][0]) * WIDTH / INCH_PX


def undone(step: Step) -> Fabric:
    """Undo one step, and give the fabric as it then is."""
    step.document.undo_stack.undo()
    return step.fabric


def act(step: Step, text: str) -> QPushButton:
    return next(b for b in step.panel.acts.findChildren(QPushButton) if b.text() == text)


def marked(step: Step) -> bool:
    """Tell whether the light is marked as not sure."""
    return step.panel.light.heading.unsure


# The label.


def test_name_amounts_and_note_are_written(step: Step) -> None:
    step.write("Name", "  Curly   Dot ")
    assert step.fabric.name == "Curly Dot"
    step.write("Name", "Lantern")
    assert step.fabric.name == "Curly Dot"
    assert "share a name" in step.said
    step.write("Name", "")
    assert step.field("Name").text() == "Curly Dot"
    assert "has a name" in step.said
    step.write("There is", "3 wedges + fat eighth")
    assert step.fabric.amounts == (CutWedges(3), Cloth(inches(9), inches(21)))
    step.write("There is", "a bit")
    assert "says no amount" in step.said
    assert len(step.fabric.amounts) == 2
    step.write("Note", "from the top drawer")
    assert step.fabric.note == "from the top drawer"
    assert step.said == ""


def test_escape_gives_up_what_was_typed(step: Step) -> None:
    line = step.field("Name")
    line.setFocus()
    QTest.keyClicks(line, "x")
    QTest.keyClick(line, Qt.Key.Key_Escape)
    assert line.text() == "Harbour Dot"
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert step.fabric.name == "Harbour Dot"


def test_what_is_half_typed_is_for_no_other_fabric(step: Step, dots: Fabric) -> None:
    line = step.field("Name")
    line.setFocus()
    QTest.keyClicks(line, "half")
    step.desk.choose_fabric(FabricId("f4"))
    assert line.text() == "Lantern"
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert step.fabric.name == "Lantern"
    assert step.document.project.fabric(dots.id).name == dots.name


# What the photo tells, and what the maker says instead.


def test_a_value_set_by_hand_goes_back_to_the_measured_one(step: Step) -> None:
    measured = step.fabric.reading.value
    assert step.field("Value, L*").placeholderText() == f"as measured: {measured:.0f}"
    step.write("Value, L*", "47,5")
    assert step.fabric.value == 47.5
    for nonsense in ("120", "-3", "nan", "dark"):
        step.write("Value, L*", nonsense)
        assert step.fabric.value == 47.5
        assert "0 (black) to 100 (white)" in step.said
        assert step.field("Value, L*").text() == "47.5"
    step.write("Value, L*", "")
    assert step.fabric.by_hand.value is None
    assert step.fabric.value == measured


def test_each_measure_is_set_by_hand_and_back(step: Step) -> None:
    measures = step.panel.measures
    step.choose(measures.step, "light")
    assert step.document.judgement.shelf.steps[step.fabric.id] == "light"
    step.choose(measures.step, "as measured")
    assert step.fabric.step is None
    step.choose(measures.print_size, "large")
    assert step.fabric.by_hand.size == "large"
    step.choose(measures.solid, "as a plain cloth")
    assert step.fabric.by_hand.solid is True
    step.choose(measures.way, "two-way")
    assert step.fabric.by_hand.way == "two-way"
    step.write("Repeat", "4 in x 6 in")
    assert step.fabric.by_hand.repeat == (inches(4), inches(6))
    assert step.field("Repeat").text() == "4 in x 6 in"
    for nonsense in ("wide", "0", "4 in x tall"):
        step.write("Repeat", nonsense)
        assert "no length" in step.said
        assert step.fabric.by_hand.repeat == (inches(4), inches(6))
    step.write("Repeat", "")
    for box in (measures.print_size, measures.solid, measures.way):
        step.choose(box, "as measured")
    assert step.fabric.by_hand == ByHand()


def test_the_step_choice_follows_the_number_of_steps(step: Step) -> None:
    box = step.panel.measures.step

    def offered() -> list[str]:
        return [box.itemText(at) for at in range(1, box.count())]

    assert offered() == ["light", "medium", "dark", "mixed"]
    step.desk.choose_fabric(None)
    section = step.panel.set_section
    assert section.isVisible()
    line = section.count.lineEdit()
    for count in (2, 7):
        line.selectAll()
        QTest.keyClicks(line, str(count))
        QTest.keyClick(line, Qt.Key.Key_Return)
        assert step.document.project.board.step_count == count
    QTest.keyClick(section.count, Qt.Key.Key_Up)
    assert step.document.project.board.step_count == 7
    step.desk.choose_fabric(FabricId("dots"))
    assert offered()[0] == "lightest"
    assert len(offered()) == 8
    step.choose(box, "darkest")
    step.document.undo_stack.undo()
    step.document.undo_stack.redo()
    step.desk.choose_fabric(None)
    section.count.setValue(3)
    step.desk.choose_fabric(FabricId("dots"))
    assert box.currentText() == "darkest, here dark"
    assert step.fabric.step == "darkest"


def test_the_print_is_told_against_the_wedge(step: Step) -> None:
    box = step.panel.measures.print_size
    assert box.itemText(0) == "as measured: no scale yet"
    assert "% of the swatch" in step.panel.measures.print_told.text()
    step.open(step.panel.scale)
    for width, size in (("4 in", "small"), ("12 in", "medium"), ("40 in", "large")):
        step.write("Photo shows", width)
        step.rest()
        assert box.itemText(0) == f"as measured: {size}"
    assert "in" in step.panel.measures.print_told.text().split()


def test_a_plain_colour_has_no_photo_to_tell_of(step: Step) -> None:
    step.desk.choose_fabric(FabricId("plain"))
    panel = step.panel
    for hidden in (panel.light, panel.scale, panel.cloths, panel.measures.print_size):
        assert not hidden.isVisible()
    assert panel.measures.value.isVisible()
    assert panel.measures.heading.text() == "A plain colour"
    step.open(panel.state)
    assert not panel.state.more.isEnabled()


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


# The cloth itself.


def test_the_state_of_the_cloth_is_told(step: Step) -> None:
    state = step.panel.state
    step.open(state)
    step.choose(state.washing, "washed")
    QTest.keyClick(state.starched, Qt.Key.Key_Space)
    QTest.keyClick(state.dye_tested, Qt.Key.Key_Space)
    assert step.fabric.care == Care("washed", starched=True, dye_tested=True)
    assert state.told.text() == "Washed; starched; dye tested."
    step.choose(state.washing, "not told")
    assert step.fabric.care.washing is None


def test_a_pool_takes_photos_and_never_has_fewer_cloths_than_are_shown(
    step: Step, tmp_path: Path
) -> None:
    state = step.panel.state
    step.open(state)
    with step.qtbot.waitSignal(step.panel.pool_photos_asked):
        step.click(state.more)
    photo, broken = tmp_path / "more.jpg", tmp_path / "broken.jpg"
    photo.write_bytes(table_photo())
    broken.write_bytes(table_photo()[:900])
    step.panel.add_pool_photos([photo])
    step.rest()
    pool = step.fabric.pool
    assert pool is not None
    shown = 1 + len(pool.more)
    assert pool.cloths == shown >= 2
    line = state.cloths.lineEdit()
    line.selectAll()
    QTest.keyClicks(line, "38")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert step.fabric.pool is not None
    assert step.fabric.pool.cloths == 38
    assert "38 cloths" in state.told.text()
    line.selectAll()
    QTest.keyClicks(line, "1")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert "of its cloths are shown" in step.said
    assert step.fabric.pool.cloths == 38
    assert state.cloths.value() == 38
    step.panel.add_pool_photos([broken])
    step.rest()
    assert "broken.jpg" in step.said
    assert step.fabric.pool.cloths == 38


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


# The panel itself.


def test_sections_open_and_close_by_keyboard(step: Step) -> None:
    for section in (
        step.panel.light, step.panel.scale, step.panel.cloths, step.panel.state,
    ):  # fmt: skip
        heading = section.heading
        assert not section.fields.isVisible()
        assert section.told.isVisible() or section is step.panel.cloths
        heading.setFocus()
        QTest.keyClick(heading, Qt.Key.Key_Space)
        assert section.fields.isVisible()
        assert heading.accessibleDescription() == "open"
        QTest.keyClick(heading, Qt.Key.Key_Return)
        assert not section.fields.isVisible()


def test_the_wheel_scrolls_and_changes_nothing(step: Step) -> None:
    before = step.fabric
    step.open(step.panel.state)
    for field in (step.panel.measures.step, step.panel.measures.way, step.panel.state.cloths):
        middle = QPointF(field.rect().center())
        event = QWheelEvent(
            middle,
            QPointF(field.mapToGlobal(middle)),
            QPoint(0, -120),
            QPoint(0, -120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(field, event)
    assert step.fabric == before


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_nothing_is_wider_than_the_part(step: Step, percent: int) -> None:
    step.write("Name", "A Very Long Name Of A Cloth That Was Bought On A Journey Long Ago")
    step.panel.theme.scale_text(percent)
    step.panel.setFixedWidth(step.panel.theme.wide(356))
    for section in (
        step.panel.light, step.panel.scale, step.panel.cloths, step.panel.state,
    ):  # fmt: skip
        step.open(section)
    inside = step.panel.widget()
    assert inside is not None
    step.qtbot.waitUntil(
        lambda: inside.width() <= step.panel.viewport().width(), timeout=PATIENCE_MS
    )
    step.desk.choose_fabric(None)
    assert inside.minimumSizeHint().width() <= step.panel.viewport().width()


def test_acts_ask_for_what_they_say(step: Step) -> None:
    with step.qtbot.waitSignal(step.panel.keep_asked):
        step.click(act(step, "Keep in the stash"))
    with step.qtbot.waitSignal(step.panel.remove_asked):
        step.click(act(step, "Take off the shelf"))
    step.click(act(step, "See the whole set"))
    assert step.desk.fabric is None
    assert step.panel.centre.currentWidget() is step.panel.set_view
    assert step.panel.title.text() == "The whole set"
    assert not step.panel.measures.isVisible()
