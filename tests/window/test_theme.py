"""The look's tokens: contrast, neutrality, growth of letters, what the stylesheet names."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from quiltboard.window.stylesheet import write_stylesheet
from quiltboard.window.theme import DARK, LIGHT, Room, Theme, contrast

pytestmark = pytest.mark.qt

ROOMS = pytest.mark.parametrize("room", [LIGHT, DARK], ids=["light", "dark"])
LEAST_FOR_TEXT = 5.5
LEAST_FOR_GRAPHS = 3.0


def test_contrast_runs_from_one_to_twenty_one() -> None:
    """Agree with WCAG 2.2: black on white is 21 to 1, #767676 on white 4.54 to 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#919191", "#919191") == 1


@ROOMS
def test_letters_stand_out_from_every_surface(room: Room) -> None:
    surfaces = (room.bars, room.panel, room.raised, room.well)
    assert all(
        contrast(letters, surface) >= LEAST_FOR_TEXT
        for letters in (room.text, room.text_2)
        for surface in surfaces
    )
    assert contrast(room.button_text, room.button) >= LEAST_FOR_TEXT
    assert contrast(room.ink, room.ground) >= LEAST_FOR_TEXT
    assert contrast(room.ink, room.halo) >= LEAST_FOR_TEXT


@ROOMS
def test_graphs_are_seen_on_the_surfaces_they_lie_on(room: Room) -> None:
    assert all(
        contrast(room.graph, surface) >= LEAST_FOR_GRAPHS
        for surface in (room.panel, room.bars, room.raised)
        if (room, surface) != (DARK, DARK.raised)
    )


@ROOMS
def test_the_room_has_no_colour_of_its_own(room: Room) -> None:
    for token in dataclasses.astuple(room):
        colour = QColor(token)
        assert colour.red() == colour.green() == colour.blue(), token


def test_cloth_lies_on_one_grey_in_both_rooms() -> None:
    assert LIGHT.ground == DARK.ground
    assert LIGHT.ink == DARK.ink
    assert LIGHT.halo == DARK.halo


def test_turning_the_lights_off_dresses_the_application_again(
    qtbot: QtBot, qapp: QApplication
) -> None:
    theme = Theme(choice="light")
    theme.dress(qapp)
    with qtbot.waitSignal(theme.changed):
        theme.choose_room("dark")
    assert theme.dark
    assert qapp.palette().color(QPalette.ColorRole.Window).name() == DARK.panel
    assert DARK.panel in qapp.styleSheet()
    assert theme.colour("text").name() == DARK.text


def test_letters_grow_and_side_parts_grow_slower(qtbot: QtBot) -> None:
    theme = Theme(choice="light")
    with qtbot.waitSignal(theme.changed):
        theme.scale_text(200)
    assert theme.font(13).pixelSize() == 26
    assert theme.px(72) == 144
    assert 356 < theme.wide(356) < 1.5 * 356
    theme.scale_text(900)
    assert theme.text_percent == 200


@pytest.mark.parametrize("choice", ["light", "dark"])
def test_every_picture_the_stylesheet_names_is_there(choice: str, qapp: QApplication) -> None:
    theme = Theme(choice=choice)  # type: ignore[arg-type]
    sheet = write_stylesheet(theme)
    paths = [Path(found) for found in re.findall(r'url\("([^"]+)"\)', sheet)]
    assert len(paths) >= 6
    assert all(path.stat().st_size > 60 for path in paths)


def test_figures_are_of_one_width(qtbot: QtBot, qapp: QApplication) -> None:
    theme = Theme(choice="light")
    theme.dress(qapp)
    label = QLabel()
    qtbot.addWidget(label)
    label.setFont(theme.font())
    metrics = label.fontMetrics()
    assert metrics.horizontalAdvance("1111") == metrics.horizontalAdvance("0000")
