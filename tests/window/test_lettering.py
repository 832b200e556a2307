"""Letters on screen: what is measured and set, line by line."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from quiltboard.window.lettering import Words, line_px, width_px
from quiltboard.window.theme import Theme

pytestmark = pytest.mark.qt


@pytest.mark.parametrize("wrapped", [False, True])
def test_a_text_of_several_lines_asks_for_the_room_of_its_lines(
    qtbot: QtBot, qapp: QApplication, wrapped: bool
) -> None:
    theme = Theme(choice="light")
    theme.dress(qapp)
    words = Words(theme, "One line\nand a longer second one\n\nlast", wrapped=wrapped)
    qtbot.addWidget(words)
    hint = words.sizeHint()
    assert hint.width() == width_px(theme, "and a longer second one") + 1
    assert hint.height() == 4 * line_px(theme, 13)
    assert words.minimumSizeHint().height() >= line_px(theme, 13)
    words.resize(hint)
    words.show()
    ink = words.grab().toImage()
    ground = ink.pixel(ink.width() - 1, ink.height() - 1)
    inked = [
        any(ink.pixel(x, y) != ground for x in range(0, ink.width(), 1))
        for y in range(ink.height())
    ]
    line = line_px(theme, 13)
    assert [any(inked[k * line : (k + 1) * line]) for k in range(4)] == [
        True,
        True,
        False,
        True,
    ]


def test_a_width_is_that_of_the_widest_line(qapp: QApplication) -> None:
    theme = Theme(choice="light")
    assert width_px(theme, "wide line\nthin") == width_px(theme, "wide line")
    assert width_px(theme, "") == 0
