"""How long the board's frames take, beside the plainest frame there is: one full blit.

A hundred plates of twenty textured wedges at 1920 × 1080. The times are printed and kept with
the test's properties, not judged: a shared machine would judge by its other work. What is
judged is what no machine changes: how much is painted in a frame.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.edits import SwapWedges
from quiltboard.quilt.board import Cell
from quiltboard.window.canvas import BoardCanvas
from quiltboard.window.theme import Theme
from tests.helpers.projects import sample_project
from tests.helpers.timing import Record, tell

pytestmark = pytest.mark.qt

FRAMES = 60


class Blit(QWidget):
    """The floor: a full window of ready pixels."""

    def __init__(self, image: QImage) -> None:
        super().__init__()
        self.image = image

    def paintEvent(self, _event: object) -> None:  # noqa: N802
        with QPainter(self) as painter:
            painter.drawImage(0, 0, self.image)


@pytest.fixture
def canvas(qtbot: QtBot) -> Iterator[BoardCanvas]:
    document, desk, theme = Document(), Desk(), Theme(choice="light")
    document.begin(sample_project(10, 10, 20))
    canvas = BoardCanvas(document, desk, theme, ClothBook(), reduced_motion=True)
    qtbot.addWidget(canvas)
    canvas.resize(1920, 1080)
    with qtbot.waitExposed(canvas):
        canvas.show()
    settle(canvas, qtbot)
    yield canvas
    document.close()


def settle(canvas: BoardCanvas, qtbot: QtBot) -> None:
    def done() -> None:
        canvas.repaint()
        assert canvas.settled

    qtbot.waitUntil(done, timeout=120_000)


def timed(widget: QWidget, act: Callable[[int], object]) -> list[float]:
    times = []
    for k in range(FRAMES):
        start = time.perf_counter()
        act(k)
        widget.repaint()
        times.append((time.perf_counter() - start) * 1000)
    return times


@pytest.fixture
def blit_ms(canvas: BoardCanvas, qtbot: QtBot) -> float:
    """Time the floor, a moment before what it is held against."""
    floor = Blit(canvas.grab().toImage())
    qtbot.addWidget(floor)
    floor.resize(canvas.size())
    with qtbot.waitExposed(floor):
        floor.show()
    return statistics.median(timed(floor, lambda _k: None))


def tell_frames(record: Record, what: str, times: list[float], blit_ms: float) -> None:
    tell(record, f"{what}, median", statistics.median(times), "a blit", blit_ms)
    tell(record, f"{what}, worst", max(times), "a blit", blit_ms)


def test_frames(
    canvas: BoardCanvas, qtbot: QtBot, blit_ms: float, record_property: Record
) -> None:
    middle = QPointF(960, 540)
    tell_frames(record_property, "at rest", timed(canvas, lambda _k: None), blit_ms)
    tell_frames(
        record_property,
        "zoom in",
        timed(canvas, lambda _k: canvas.zoom_by(1.04, middle)),
        blit_ms,
    )
    settle(canvas, qtbot)
    canvas.frame.cloth.painted.clear()
    pans = timed(canvas, lambda k: canvas.pan(-24, 12 if k % 20 < 10 else -12))
    tell_frames(record_property, "pan near by", pans, blit_ms)
    settle(canvas, qtbot)
    tell_frames(
        record_property,
        "zoom out",
        timed(canvas, lambda _k: canvas.zoom_by(1 / 1.04, middle)),
        blit_ms,
    )
    settle(canvas, qtbot)
    canvas.frame.cloth.painted.clear()
    tell_frames(record_property, "settled", timed(canvas, lambda _k: None), blit_ms)
    assert not canvas.frame.cloth.painted


def test_previews(canvas: BoardCanvas, blit_ms: float, record_property: Record) -> None:
    places = [Cell(k % 100, (7 * k) % 20) for k in range(FRAMES)]
    tried = [SwapWedges(Cell(0, 1), place) for place in places if place != Cell(0, 1)]
    times = []
    before = canvas.document.project
    for edit in tried:
        start = time.perf_counter()
        assert canvas.document.preview(edit) is not None
        times.append((time.perf_counter() - start) * 1000)
    assert canvas.document.project is before
    tell_frames(record_property, "preview", times, blit_ms)


def test_squint(
    canvas: BoardCanvas, qtbot: QtBot, blit_ms: float, record_property: Record
) -> None:
    canvas.desk.look("squint")
    times: list[float] = []
    while not canvas.settled or not times:
        QApplication.processEvents()
        start = time.perf_counter()
        canvas.repaint()
        times.append((time.perf_counter() - start) * 1000)
    tell_frames(record_property, "squint", times, blit_ms)
    assert canvas.frame.squint.image is not None
    settle(canvas, qtbot)
