"""Give the window the parts of the steps beside Arrange."""

from __future__ import annotations

from functools import partial

import msgspec

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.keeping import Keeping
from quiltboard.sheets.paper import Paper
from quiltboard.window.main_window import MainWindow
from quiltboard.window.set_view import SetView
from quiltboard.window.steps.cut_step import CutStep
from quiltboard.window.steps.fabric_step import FabricStep
from quiltboard.window.steps.top_step import TopStep
from quiltboard.window.steps.wedge_step import WedgeStep
from quiltboard.window.theme import Theme


def add_step_panels(
    window: MainWindow, document: Document, desk: Desk, theme: Theme, keeping: Keeping
) -> None:
    """Add the Fabrics, Top, Wedge and Cut parts to a window."""
    set_view = SetView(document, desk, theme, window.cuttings)
    fabrics = FabricStep(document, desk, theme, set_view)
    fabrics.keep_asked.connect(window.actions_of["stash.keep"].trigger)
    fabrics.remove_asked.connect(window.actions_of["fabrics.remove"].trigger)
    fabrics.pool_photos_asked.connect(partial(_add_pool_photos, window, fabrics))
    cut = CutStep(document, theme, window.filing.paper())
    cut.sheets_asked.connect(window.actions_of["file.sheets"].trigger)
    cut.paper_chosen.connect(partial(_remember_paper, keeping))
    window.add_step_panel("fabrics", fabrics, fabrics.centre)
    window.add_step_panel("top", TopStep(document, theme))
    window.add_step_panel("wedge", WedgeStep(document, theme))
    window.add_step_panel("cut", cut)


def _add_pool_photos(window: MainWindow, fabrics: FabricStep) -> None:
    fabrics.add_pool_photos(window.adding.choose_photos())


def _remember_paper(keeping: Keeping, paper: Paper) -> None:
    keeping.remember(msgspec.structs.replace(keeping.settings, paper=paper))
