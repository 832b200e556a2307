"""The stash in the window: its drawer, its page, and the ways between it and the shelf."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.document.stash import Stashing
from quiltboard.fabrics.fabric import Cloth, CutWedges, Fabric, FabricId
from quiltboard.project.project import Project
from quiltboard.store.stash import Stash
from quiltboard.store.stash_entry import Price, StashEntry
from quiltboard.units import inches
from quiltboard.window.lettering import Words
from quiltboard.window.stash import StashRoom, add_stash
from quiltboard.window.stash_page import NoteField
from quiltboard.window.stash_rows import StashLine
from tests.helpers.projects import sample_project
from tests.helpers.stash import coloured, printed
from tests.window.conftest import MakeRoom, Room

pytestmark = pytest.mark.qt


@dataclass
class Home:
    """A window with a stash."""

    room: Room
    part: StashRoom
    stashing: Stashing
    stash: Stash
    qtbot: QtBot

    def settle(self) -> None:
        """Wait until nothing is read or written, and all cloth is there."""
        self.qtbot.waitUntil(lambda: self.stashing.idle and not self.part.cloths.waiting)

    def open(self) -> None:
        """Open the drawer."""
        self.part.open()
        self.settle()

    def is_open(self) -> bool:
        """Tell whether the drawer is open."""
        return self.part.is_open

    def names(self) -> list[str]:
        """Give the names listed."""
        return [line.row.name for line in self.part.drawer.list.lines.rows]

    def choose(self, name: str) -> None:
        """Press a line of the list."""
        at = self.names().index(name)
        view = self.part.drawer.list
        box = view.visualRect(view.lines.index(at, 0))
        QTest.mouseClick(
            view.viewport(), Qt.MouseButton.LeftButton, pos=box.topLeft() + QPoint(30, 12)
        )
        self.settle()

    def type_in(self, field: QWidget, text: str) -> None:
        """Write something else in a field of the page, and Enter."""
        field.setFocus()
        field.selectAll()  # type: ignore[attr-defined]
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)
        self.settle()

    def entry(self, key: str) -> StashEntry:
        """Give a fabric as the stash holds it."""
        entry = self.stash.get(FabricId(key))
        assert entry is not None
        return entry


MakeHome = Callable[..., Home]


@pytest.fixture
def make_home(make_room: MakeRoom, qtbot: QtBot, tmp_path: Path) -> MakeHome:
    """Make a window with a stash of some fabrics."""

    def make(*entries: StashEntry, project: Project | None = None, percent: int = 100) -> Home:
        stash = Stash(tmp_path / "stash.sqlite", wait_s=0.05)
        for entry in entries:
            stash.put(entry)
        room = make_room(project, percent=percent)
        stashing = Stashing(room.document, stash, room.window)
        part = add_stash(
            room.window, room.document, room.desk, room.theme, room.keeping, stashing
        )
        home = Home(room, part, stashing, stash, qtbot)
        home.settle()
        return home

    return make


@pytest.fixture
def home(make_home: MakeHome) -> Home:
    """Give a window with a board of eight fabrics and a stash of five others."""
    return make_home(
        StashEntry(coloured("salt", "Salt Flat Two", "#ece4d2"), tags=("plain", "sea")),
        StashEntry(printed("dot", "Harbour Dot Two"), scraps="a bag", tags=("sea",)),
        StashEntry(coloured("rust", "Rust Vine", "#a4432b"), shop="last of the bolt"),
        StashEntry(coloured("brick", "Brick Row", "#a0402c")),
        StashEntry(coloured("kelp", "Kelp Bed", "#21452f")),
        project=sample_project(),
    )


def test_the_front_tells_how_much_there_is_and_opens_the_drawer(home: Home) -> None:
    front, window = home.part.front, home.room.window
    assert front.accessibleDescription() == "5 fabrics"
    assert not home.is_open()
    before = window.right.currentWidget()
    QTest.mouseClick(front, Qt.MouseButton.LeftButton)
    home.settle()
    assert home.is_open()
    assert front.isChecked()
    assert window.right.currentWidget() is home.part.page
    assert home.names() == [
        "Salt Flat Two", "Harbour Dot Two", "Rust Vine", "Brick Row", "Kelp Bed",
    ]  # fmt: skip
    assert window.status.hint.text().startswith("A double click, or Enter")
    QTest.mouseClick(front, Qt.MouseButton.LeftButton)
    assert not home.is_open()
    assert not front.isChecked()
    assert window.right.currentWidget() is before
    assert window.status.hint.text().startswith("Drag")


def test_the_key_opens_it_and_escape_closes_it(home: Home) -> None:
    home.room.window.actions_of["stash.open"].trigger()
    home.settle()
    assert home.is_open()
    home.qtbot.waitUntil(home.part.drawer.filters.words.hasFocus)
    QTest.keyClick(home.part.drawer.filters.words, Qt.Key.Key_Escape)
    assert not home.is_open()


def test_another_step_closes_it(home: Home) -> None:
    home.open()
    home.room.desk.go_to_step("cut")
    assert not home.is_open()
    assert not home.part.front.isChecked()


def test_it_lies_over_the_board_and_follows_the_window(home: Home) -> None:
    home.open()
    drawer, centre = home.part.drawer, home.room.window.centre
    home.room.window.resize(1600, 900)
    home.qtbot.waitUntil(lambda: drawer.height() == centre.height())
    assert drawer.width() < centre.width() - 90
    home.room.window.resize(1024, 700)
    home.qtbot.waitUntil(lambda: drawer.width() == centre.width())
    assert drawer.isVisible()


def test_words_hue_and_pins_narrow_it_down(home: Home) -> None:
    home.open()
    filters = home.part.drawer.filters
    QTest.keyClicks(filters.words, "SEA")
    home.settle()
    assert home.names() == ["Salt Flat Two", "Harbour Dot Two"]
    assert home.part.drawer.how_many.text() == "2 of 5"
    filters.words.clear()
    filters.hue.setCurrentIndex(filters.hue.findData("red"))
    filters.hue.activated.emit(filters.hue.currentIndex())
    home.settle()
    assert home.names() == ["Rust Vine", "Brick Row"]
    filters.clear()
    home.settle()
    assert len(home.names()) == 5
    filters.print.setCurrentIndex(3)
    filters.print.activated.emit(3)
    home.settle()
    assert home.names() == ["Harbour Dot Two"]
    filters.words.setText("nothing like it")
    home.settle()
    assert home.names() == []


def test_the_pins_move_by_hand_and_by_keys(home: Home) -> None:
    home.open()
    strip = home.part.drawer.filters.strip
    level = strip.height() - 6.0
    for kind, x in (
        (QEvent.Type.MouseButtonPress, 8.0),
        (QEvent.Type.MouseMove, strip.width() / 2),
        (QEvent.Type.MouseButtonRelease, strip.width() / 2),
    ):
        at = QPointF(x, level)
        left = Qt.MouseButton.LeftButton
        event = QMouseEvent(
            kind, at, strip.mapToGlobal(at), left, left, Qt.KeyboardModifier.NoModifier
        )
        QApplication.sendEvent(strip, event)
    assert strip.between == (0, 50)
    strip.set_between(0, 50)
    strip.setFocus()
    QTest.keyClick(strip, Qt.Key.Key_Right)
    assert strip.between == (0, 49)
    QTest.keyClick(strip, Qt.Key.Key_Space)
    QTest.keyClick(strip, Qt.Key.Key_PageUp)
    assert strip.between == (10, 49)
    QTest.keyClick(strip, Qt.Key.Key_Home)
    assert strip.between == (49, 49)  # one pin never passes the other
    QTest.keyClick(strip, Qt.Key.Key_End)
    assert strip.between == (0, 49)
    home.settle()
    assert home.names() == ["Harbour Dot Two", "Rust Vine", "Brick Row", "Kelp Bed"]
    assert home.part.drawer.filters.said.text() == "value 0–49"
    assert "value 0 to 49" in strip.accessibleDescription()


def test_a_line_is_read_out_whole(home: Home) -> None:
    home.open()
    lines: list[StashLine] = list(home.part.drawer.list.lines.rows)
    assert lines[0].spoken == "Salt Flat Two, amount not told, value 91, tags plain, sea"
    assert lines[1].spoken == ("Harbour Dot Two, 2 cloths + 8, a bag, value 47, tags sea")


def test_cloth_lies_folded_beside_its_name(home: Home) -> None:
    home.open()
    view = home.part.drawer.list
    box = view.visualRect(view.lines.index(4, 0))
    image = view.viewport().grab().toImage()
    ratio = image.devicePixelRatio()
    cloth = view.painter_of_rows.cloth_px(view.viewport().width())
    at = QPoint(round(box.right() - cloth / 2), box.center().y() - 4)
    assert image.pixelColor(round(at.x() * ratio), round(at.y() * ratio)) == QColor("#21452f")
    beside = QPoint(round(box.right() - cloth + 5), box.center().y())
    ground = image.pixelColor(round(beside.x() * ratio), round(beside.y() * ratio))
    assert ground == QColor("#919191")


def test_the_page_shows_and_changes_what_the_stash_knows(home: Home) -> None:
    home.open()
    page = home.part.page
    assert not page.amounts.isVisible()
    home.choose("Rust Vine")
    assert page.title.text() == "Rust Vine"
    assert page.shop.toPlainText() == "last of the bolt"
    home.type_in(page.amounts, "1/2 yd + 2 fat quarters + 5 in x 9 in")
    home.type_in(page.scraps, "a bag,  the longest 9 in")
    home.type_in(page.price, "12,50 kr")
    page.per.setCurrentIndex(1)
    page.per.activated.emit(1)
    home.type_in(page.tags, "sea, Sea, throw")
    page.shop.setFocus()
    page.shop.selectAll()
    QTest.keyClicks(page.shop, "more at the market")
    page.price.setFocus()
    home.settle()
    entry = home.entry("rust")
    assert entry.fabric.amounts == (
        Cloth(inches(18)),
        Cloth(inches(18), inches(21)),
        Cloth(inches(18), inches(21)),
        Cloth(inches(5), inches(9)),
    )
    assert entry.scraps == "a bag, the longest 9 in"
    assert entry.price == Price(Decimal("12.50"), "m", "kr")
    assert entry.tags == ("sea", "throw")
    assert entry.shop == "more at the market"
    assert page.price.text() == "kr 12.50"
    assert home.part.drawer.list.lines.rows[2].spoken.startswith("Rust Vine, 4 cloths")


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("amounts", "plenty", "“plenty” says no amount"),
        ("price", "cheap", "“cheap” is no price"),
        ("tags", "x" * 41, "too long for a tag"),
    ],
)
def test_what_cannot_be_read_is_said_and_the_old_stands(
    home: Home, field: str, text: str, said: str
) -> None:
    home.open()
    home.choose("Rust Vine")
    line = getattr(home.part.page, field)
    home.type_in(line, text)
    assert said in home.part.page.problem.text()
    assert line.text() == ""
    assert home.entry("rust").revision == 1


def test_a_shop_note_too_long_is_said_and_stays_to_be_shortened(home: Home) -> None:
    home.open()
    home.choose("Rust Vine")
    page = home.part.page
    page.shop.setFocus()
    page.shop.selectAll()
    page.shop.insertPlainText("n" * 4003)
    page.price.setFocus()
    home.settle()
    assert page.problem.text() == "The shop note is 3 signs too long: shorten it."
    assert len(page.shop.toPlainText()) == 4003
    assert home.entry("rust").shop == "last of the bolt"


def test_what_is_being_typed_is_not_written_over(home: Home) -> None:
    home.open()
    home.choose("Rust Vine")
    page = home.part.page
    QTest.keyClicks(page.scraps, "half a")
    home.type_in(page.tags, "sea")
    assert page.scraps.text() == "half a"
    home.choose("Kelp Bed")
    assert page.scraps.text() == ""


@pytest.mark.parametrize(
    ("fabric", "said"),
    [
        (printed("p", "P"), "about 2 1⁄4 in"),
        (printed("p", "P", feature=None), "reads as solid"),
        (coloured("p", "P", "#808080"), "size not known"),
    ],
)
def test_the_page_tells_how_large_the_print_is(
    make_home: MakeHome, fabric: Fabric, said: str
) -> None:
    home = make_home(StashEntry(fabric))
    home.open()
    home.choose("P")
    assert said in [words.text() for words in home.part.page.findChildren(Words)]


def test_like_this_one_lists_the_nearest_and_show_all_goes_back(home: Home) -> None:
    home.open()
    home.choose("Rust Vine")
    QTest.mouseClick(home.part.page.like, Qt.MouseButton.LeftButton)
    home.settle()
    assert home.names()[:2] == ["Rust Vine", "Brick Row"]
    lines = home.part.drawer.list.lines.rows
    assert lines[0].said_apart == "this one"
    assert home.part.drawer.list.is_chosen(0)
    assert lines[1].said_apart.endswith(" apart")
    assert not home.part.drawer.filters.isVisible()
    assert home.part.drawer.like_said.text() == "Nearest to Rust Vine, in colour and value"
    QTest.mouseClick(home.part.drawer.show_all, Qt.MouseButton.LeftButton)
    home.settle()
    assert home.names()[0] == "Salt Flat Two"
    assert home.part.drawer.filters.isVisible()


def test_enter_puts_a_fabric_on_the_shelf_with_its_amounts(home: Home) -> None:
    home.open()
    home.choose("Harbour Dot Two")
    QTest.keyClick(home.part.drawer.list, Qt.Key.Key_Return)
    home.settle()
    fabric = home.room.document.project.fabric(FabricId("dot"))
    assert fabric.amounts == (CutWedges(8), Cloth(inches(18)), Cloth(inches(9), inches(21)))
    assert home.room.window.status.news.text() == "Harbour Dot Two is on the shelf now."
    QTest.mouseClick(home.part.page.on_shelf, Qt.MouseButton.LeftButton)
    home.settle()
    assert home.room.window.status.news.text() == "Harbour Dot Two is on the shelf already."


def test_taken_out_at_once_and_put_back_as_easily(home: Home) -> None:
    home.open()
    home.choose("Rust Vine")
    QTest.mouseClick(home.part.page.like, Qt.MouseButton.LeftButton)
    home.settle()
    home.choose("Rust Vine")
    QTest.keyClick(home.part.drawer.list, Qt.Key.Key_Delete)
    home.settle()
    drawer = home.part.drawer
    assert "Rust Vine" not in home.names()
    assert len(home.names()) == 4  # the rest of the stash, not what was near it
    assert home.part.front.accessibleDescription() == "4 fabrics"
    assert drawer.undo_said.text() == "Rust Vine was taken out of the stash."
    assert home.part.page.title.text() == "Nothing chosen"
    QTest.mouseClick(drawer.put_back, Qt.MouseButton.LeftButton)
    home.settle()
    assert "Rust Vine" in home.names()
    assert not drawer.put_back.isVisible()
    assert home.entry("rust").shop == "last of the bolt"


def test_the_chosen_fabric_of_the_shelf_is_kept_by_its_key(home: Home) -> None:
    keep = home.room.window.actions_of["stash.keep"]
    assert not keep.isEnabled()
    home.room.desk.choose_fabric(FabricId("f0"))
    assert keep.isEnabled()
    keep.trigger()
    home.settle()
    assert home.entry("f0").fabric == home.room.document.project.fabric(FabricId("f0"))
    assert home.room.window.status.news.text() == "Harbour Dot is in the stash now."
    assert home.part.front.accessibleDescription() == "6 fabrics"


def test_a_fabric_that_goes_out_and_back_is_the_same(home: Home) -> None:
    home.open()
    home.choose("Harbour Dot Two")
    QTest.keyClick(home.part.drawer.list, Qt.Key.Key_Return)
    home.settle()
    document = home.room.document
    fabric = document.project.fabric(FabricId("dot"))
    document.change_fabric(msgspec.structs.replace(fabric, amounts=(CutWedges(2),)))
    home.room.window.shelf.view.fabric_kept.emit(FabricId("dot"))
    home.settle()
    entry = home.entry("dot")
    assert entry.fabric.amounts == (CutWedges(2),)
    assert (entry.tags, entry.scraps) == (("sea",), "a bag")
    assert home.part.page.amounts.text() == "2 wedges"


def test_an_empty_stash_teaches_and_takes_the_whole_shelf(make_home: MakeHome) -> None:
    home = make_home(project=sample_project())
    home.open()
    drawer = home.part.drawer
    assert home.part.front.accessibleDescription() == "empty"
    assert not drawer.filters.isVisible()
    assert [heading for heading, _ in drawer.list.teaching()] == [
        "Keep a fabric here", "Say what there is", "Put it on any board's shelf",
    ]  # fmt: skip
    assert drawer.keep_shelf.isVisible()
    QTest.mouseClick(drawer.keep_shelf, Qt.MouseButton.LeftButton)
    home.settle()
    assert home.stash.count() == 8
    assert len(home.names()) == 8
    assert not drawer.keep_shelf.isVisible()
    assert drawer.filters.isVisible()


def test_with_an_empty_shelf_there_is_nothing_to_keep(make_home: MakeHome) -> None:
    home = make_home()
    home.open()
    assert not home.part.drawer.keep_shelf.isVisible()
    assert home.part.drawer.list.teaching()[0][1].startswith("once fabrics lie on the shelf")


def test_boards_with_it_are_told_and_opened(home: Home, tmp_path: Path) -> None:
    board = tmp_path / "supper.quiltboard"
    home.room.keeping.save(board)
    home.qtbot.waitUntil(lambda: bool(home.stash.boards_using(FabricId("f0"))))
    home.part.keep(FabricId("f0"))
    home.settle()
    home.open()
    home.choose("Harbour Dot")
    buttons = [
        button
        for button in home.part.page.findChildren(QPushButton)
        if button.text() == "Sea & <Brick>".replace("&", "&&")
    ]
    assert len(buttons) == 1
    assert buttons[0].accessibleName().endswith("pieces laid")
    with home.qtbot.waitSignal(home.part.page.board_asked) as asked:
        buttons[0].click()
    assert asked.args == [board]
    home.qtbot.waitUntil(lambda: not home.room.keeping.busy)


def test_a_stash_that_cannot_be_reached_is_said_and_the_board_goes_on(home: Home) -> None:
    home.open()
    home.choose("Rust Vine")
    home.stash.path.unlink()
    home.stash.path.mkdir()
    home.type_in(home.part.page.tags, "sea")
    assert "The stash was not reached" in home.part.page.problem.text()
    assert "The stash was not reached" in home.room.window.status.news.text()
    assert home.room.document.project.fabrics


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_nothing_is_cut_off_with_large_letters(make_home: MakeHome, percent: int) -> None:
    home = make_home(
        StashEntry(printed("dot", "A Harbour Dot with a name as long as names may be, nearly")),
        project=sample_project(),
        percent=percent,
    )
    home.open()
    home.choose("A Harbour Dot with a name as long as names may be, nearly")
    drawer, page = home.part.drawer, home.part.page

    inside = page.piece.parentWidget()
    assert inside is not None

    def cut_off() -> list[QWidget]:
        """Find what stands out of its part, or has less room than its letters need."""
        return [
            child
            for holder in (drawer.filters, inside)
            for child in holder.findChildren(
                QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly
            )
            if child.isVisible()
            and not isinstance(child, NoteField)
            and (
                child.x() < 0
                or child.geometry().right() > holder.width()
                or child.height() < child.minimumSizeHint().height()
            )
        ]

    home.qtbot.waitUntil(lambda: not cut_off())  # Qt lays out in its own time
    assert drawer.list.height() > home.room.theme.px(60)
