"""The window's door: puts the document and the window together and runs them."""

from __future__ import annotations

import gc
import sys
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from quiltboard import __version__
from quiltboard.document.bringing import Bringing
from quiltboard.document.dealing import Dealing
from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.keeping import Keeping
from quiltboard.drawing.seeing import squint
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.window.main_window import MainWindow
from quiltboard.window.recovering import offer_leftovers
from quiltboard.window.stash import add_stash
from quiltboard.window.steps.add import add_step_panels
from quiltboard.window.theme import Theme


@dataclass
class Parts:
    """What a running window is made of."""

    document: Document
    desk: Desk
    theme: Theme
    keeping: Keeping
    bringing: Bringing
    dealing: Dealing
    window: MainWindow


def make_application() -> QApplication:
    """Give the Qt application under our name; a running one is taken."""
    running = QApplication.instance()
    application = running if isinstance(running, QApplication) else QApplication(sys.argv[:1])
    application.setApplicationName("Quiltboard")
    application.setApplicationVersion(__version__)
    application.setDesktopFileName("quiltboard")
    return application


def put_together() -> Parts:
    """Make a document and a window on it; nothing is shown yet."""
    application = make_application()
    document, desk, book = Document(), Desk(), ClothBook()
    keeping = Keeping(document, book)
    theme = Theme(choice=keeping.settings.theme, text_percent=keeping.settings.text_percent)
    theme.dress(application)
    bringing, dealing = Bringing(document), Dealing(document)
    window = MainWindow(document, desk, theme, book, keeping, bringing, dealing)
    parts = Parts(document, desk, theme, keeping, bringing, dealing, window)
    add_step_panels(window, document, desk, theme, keeping)
    add_stash(window, document, desk, theme, keeping)
    return parts


def open_window(file: Path | None = None, *, sample: bool = False) -> int:
    """Open the window and run it until it is closed.

    Parameters
    ----------
    file
        A board to open.
    sample
        Whether to open the demo board.

    Returns
    -------
    int
        The exit code.
    """
    parts = put_together()
    _warm_up()
    parts.window.show()
    QTimer.singleShot(0, parts.window, partial(_begin, parts, file, sample=sample))
    code = make_application().exec()
    parts.document.close()
    return code


def _warm_up() -> None:
    """Do before the first paint what would hold the window up later.

    The squint view's filter is loaded, and what was made so far is put out of the garbage
    collector's way, so that its full rounds stay short.
    """
    squint(np.zeros((8, 8, 3), np.uint8), 1.0)
    gc.collect()
    gc.freeze()


def _begin(parts: Parts, file: Path | None, *, sample: bool) -> None:
    """Take up what is to be shown first, once the window stands."""
    taken = offer_leftovers(parts.keeping, parts.theme, parts.window)
    parts.keeping.start_journal()
    if taken:
        if file is not None or sample:
            name = file.name if file is not None else "The demo"
            parts.document.told.emit(f"{name} was not opened over the work that was taken up.")
        return
    if file is not None:
        parts.keeping.open(file)
    elif sample:
        parts.keeping.open_demo()
