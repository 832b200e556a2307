"""The Fabrics step on an invented shelf, for the tests of its parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import msgspec
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QHBoxLayout, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.fabrics.bring_in import fabric_from_colour
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.window.cloth import Cuttings
from quiltboard.window.set_view import SetView
from quiltboard.window.steps.fabric_section import FabricSection
from quiltboard.window.steps.fabric_step import FabricStep
from quiltboard.window.steps.photo_table import PhotoTable
from quiltboard.window.theme import Theme
from tests.helpers.projects import sample_project
from tests.helpers.table_photos import table_fabric

PATIENCE_MS = 30_000


@dataclass
class Step:
    """The step's panel beside its centre, and what they stand on."""

    document: Document
    desk: Desk
    panel: FabricStep
    qtbot: QtBot

    @property
    def table(self) -> PhotoTable:
        """The photo."""
        return self.panel.photo_table

    @property
    def fabric(self) -> Fabric:
        """The chosen fabric as it is now."""
        fabric = self.panel.fabric
        assert fabric is not None
        return fabric

    @property
    def said(self) -> str:
        """What must be put right."""
        return self.panel.problem.text()

    def field(self, name: str) -> QLineEdit:
        """Find a field by its label."""
        return next(f for f in self.panel.findChildren(QLineEdit) if f.accessibleName() == name)

    def write(self, name: str, text: str) -> None:
        """Write into a field as a maker does."""
        line = self.field(name)
        line.setFocus()
        line.selectAll()
        if text:
            QTest.keyClicks(line, text)
        else:
            QTest.keyClick(line, Qt.Key.Key_Delete)
        QTest.keyClick(line, Qt.Key.Key_Return)

    def choose(self, box: QComboBox, text: str) -> None:
        """Choose by the keyboard the choice that begins with some words."""
        texts = [box.itemText(at) for at in range(box.count())]
        wanted = next(at for at, shown in enumerate(texts) if shown.startswith(text))
        box.setFocus()
        while box.currentIndex() != wanted:
            down = wanted > box.currentIndex()
            QTest.keyClick(box, Qt.Key.Key_Down if down else Qt.Key.Key_Up)

    def open(self, section: FabricSection) -> None:
        """Open a section by a click on its heading."""
        if not section.fields.isVisible():
            self.click(section.heading)
        assert section.fields.isVisible()

    def click(self, widget: QWidget) -> None:
        """Click a widget in its middle."""
        assert widget.isVisible()
        assert widget.isEnabled()
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton)

    def press(self, section: FabricSection, text: str) -> None:
        """Press a button of a section."""
        self.open(section)
        self.click(next(b for b in section.buttons if b.text() == text))  # type: ignore[attr-defined]

    def at(self, place: tuple[float, float]) -> QPoint:
        """Tell where on the table a place of the photo is."""
        photo = self.table.photo_rect()
        x, y = place
        return QPointF(photo.x() + x * photo.width(), photo.y() + y * photo.height()).toPoint()

    def click_photo(self, place: tuple[float, float]) -> None:
        """Click a place of the photo."""
        QTest.mouseMove(self.table, self.at(place))
        QTest.mouseClick(self.table, Qt.MouseButton.LeftButton, pos=self.at(place))

    def drag_photo(self, start: QPoint, end: QPoint) -> None:
        """Drag over the photo."""
        QTest.mousePress(self.table, Qt.MouseButton.LeftButton, pos=start)
        QTest.mouseMove(self.table, (start + end) / 2)
        QTest.mouseMove(self.table, end)
        QTest.mouseRelease(self.table, Qt.MouseButton.LeftButton, pos=end)

    def rest(self) -> None:
        """Wait until nothing is being measured any more."""
        self.qtbot.waitUntil(lambda: not self.panel.bench.busy, timeout=PATIENCE_MS)


@pytest.fixture(scope="session")
def dots() -> Fabric:
    """Give a fabric whose photo shows another cloth, cards and a mat beside it."""
    return table_fabric()


@pytest.fixture
def step(qtbot: QtBot, qapp: QApplication, dots: Fabric) -> Iterator[Step]:
    """Show the step on a shelf with that fabric, chosen."""
    document, desk, theme = Document(), Desk(), Theme(choice="light")
    theme.dress(qapp)
    project = sample_project()
    plain = fabric_from_colour("Plain Salt", "#ece4d2", FabricId("plain"))
    others = tuple(fabric for fabric in project.fabrics if fabric.name != dots.name)
    shelf = (*others, dots, plain)
    board = msgspec.structs.replace(
        project.board,
        blocks=tuple(
            msgspec.structs.replace(block, cells=(None,) * 12) for block in project.board.blocks
        ),
    )
    document.begin(msgspec.structs.replace(project, fabrics=shelf, board=board))
    room = QWidget()
    cuttings = Cuttings(ClothBook(), room)
    panel = FabricStep(document, desk, theme, SetView(document, desk, theme, cuttings))
    side_by_side = QHBoxLayout(room)
    side_by_side.addWidget(panel.centre, 1)
    side_by_side.addWidget(panel)
    panel.setFixedWidth(356)
    room.resize(1200, 900)
    qtbot.addWidget(room)
    desk.choose_fabric(dots.id)
    with qtbot.waitExposed(room):
        room.show()
    made = Step(document, desk, panel, qtbot)
    yield made
    made.rest()
    theme.scale_text(100)
    document.close()
