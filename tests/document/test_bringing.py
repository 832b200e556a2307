"""Bringing in: a lot lands as one step of undo, and nothing lands once it is closed."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image
from pytestqt.qtbot import QtBot

from quiltboard.document.bringing import Bringing
from quiltboard.document.document import Document
from quiltboard.fabrics.fabric import Fabric

pytestmark = pytest.mark.qt

PATIENCE_MS = 30_000


@pytest.fixture
def photos(tmp_path: Path) -> list[Path]:
    files = [tmp_path / f"cloth-{k}.png" for k in range(3)]
    for k, file in enumerate(files):
        Image.new("RGB", (240, 240), (60 * k, 90, 120)).save(file)
    return files


def test_a_lot_lands_as_one_step(photos: list[Path], qtbot: QtBot) -> None:
    document = Document()
    bringing = Bringing(document)
    with qtbot.waitSignal(bringing.ended, timeout=PATIENCE_MS):
        bringing.bring(photos)
    assert [fabric.name for fabric in document.project.fabrics] == [
        "Cloth 0",
        "Cloth 1",
        "Cloth 2",
    ]
    assert document.undo_stack.count() == 1
    document.close()


def test_nothing_lands_once_it_is_closed(photos: list[Path], qtbot: QtBot) -> None:
    document = Document()
    bringing = Bringing(document)
    bringing.bring(photos)
    made: list[Fabric] = []

    def close_at_the_first(item: object) -> None:
        if isinstance(item, Fabric):
            made.append(item)
            bringing.close()

    job = bringing._job
    assert job is not None
    job.item_arrived.connect(close_at_the_first)
    with qtbot.waitSignal(bringing.ended, timeout=PATIENCE_MS):
        pass
    assert made
    assert not document.project.fabrics
    assert not bringing.running
    document.close()
