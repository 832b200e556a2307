"""Bring paint in: an application to draw with, with or without a screen."""

from __future__ import annotations

import os

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFontDatabase, QGuiApplication

from quiltboard.drawing.lettering import FAMILY, FONT_FILES
from quiltboard.resources import shipped

_KEPT: list[QGuiApplication] = []
"""An application made here lives as long as the program does."""


class FontError(RuntimeError):
    """The bundled font cannot be read: the installation is not whole."""


def ensure_gui() -> QGuiApplication:
    """Make sure that pictures can be painted and set in the bundled font.

    Where no application runs yet, one is made that needs no screen. A running one, which has
    its own, is left as it is.

    Raises
    ------
    FontError
        If the bundled font does not load.
    """
    running = QGuiApplication.instance()
    if isinstance(running, QGuiApplication):
        application = running
    else:
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        application = QGuiApplication(["quiltboard"])
        _KEPT.append(application)
    _load_fonts()
    return application


def _load_fonts() -> None:
    if FAMILY in QFontDatabase.families():
        return
    for name in FONT_FILES.values():
        data = QByteArray(shipped("resources", "fonts", name).read_bytes())
        if QFontDatabase.addApplicationFontFromData(data) < 0:
            raise FontError(f"the font {name} does not load")
