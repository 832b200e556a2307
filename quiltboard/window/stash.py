"""Give the window its stash: the drawer's front, the drawer, the page, and what ties them."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.keeping import Keeping
from quiltboard.document.stash import Found, Stashing
from quiltboard.fabrics.fabric import FabricId
from quiltboard.window.main_window import MainWindow
from quiltboard.window.stash_front import StashFront
from quiltboard.window.stash_page import StashPage
from quiltboard.window.stash_rows import StashCloths
from quiltboard.window.stash_view import StashDrawer
from quiltboard.window.theme import Theme


class StashRoom(QObject):
    """Opens and closes the drawer, and carries fabrics between it and the shelf."""

    def __init__(
        self,
        window: MainWindow,
        document: Document,
        desk: Desk,
        theme: Theme,
        keeping: Keeping,
        stashing: Stashing,
    ) -> None:
        super().__init__(window)
        self._window = window
        self._document = document
        self._stashing = stashing
        self.cloths = StashCloths(stashing, self)
        self.front = StashFront(theme)
        self.page = StashPage(document, stashing, theme, self.cloths)
        self.drawer = StashDrawer(document, stashing, theme, self.cloths, window.centre)
        window.shelf.add_foot(self.front)
        window.right.addWidget(self.page)
        window.stash_asked.connect(self.toggle)
        window.keep_asked.connect(self.keep)
        self.front.clicked.connect(self.toggle)
        self.drawer.closed.connect(self.close)
        desk.step_changed.connect(self._on_step_changed)
        window.centre.currentChanged.connect(self._on_centre_changed)
        stashing.found.connect(self._on_found)
        stashing.told.connect(window.reporting.tell)
        stashing.failed.connect(window.reporting.tell)
        stashing.changed.connect(self._on_changed)
        self.page.like_asked.connect(self._on_like)
        self.page.board_asked.connect(window.filing.open_path)
        keeping.saved.connect(self._on_saved)
        keeping.opened.connect(self._on_opened)
        self.drawer.look()

    @property
    def is_open(self) -> bool:
        """Whether the drawer is open."""
        return not self.drawer.isHidden()

    def toggle(self) -> None:
        """Open the drawer, or close it."""
        if self.is_open:
            self.close()
        else:
            self.open()

    def open(self) -> None:
        """Open the drawer over the board, with the page of the chosen fabric beside it."""
        self.front.setChecked(True)
        hint = self.tr(
            "A double click, or Enter, puts a fabric on the shelf with what there is of it. "
            "Delete takes it out; Esc closes the stash."
        )
        self._window.lay_over(self.page, hint)
        self.drawer.open()

    def close(self) -> None:
        """Close it; the step at hand has its side part back."""
        self.front.setChecked(False)
        if self.is_open:
            self.drawer.hide()
            self._window.show_step_parts()
            self.front.setFocus()

    def keep(self, fabric: object) -> None:
        """Put a fabric of the shelf in the stash."""
        known = self._document.project.by_id().get(FabricId(str(fabric)))
        if known is not None:
            self._stashing.keep([known])

    def _on_changed(self) -> None:
        if not self.is_open:
            self.drawer.look()

    def _on_like(self) -> None:
        row = self.page.row
        if row is not None:
            self.drawer.show_like(row)

    def _on_found(self, found: Found) -> None:
        self.front.show_total(found.total)

    def _on_step_changed(self, _step: str) -> None:
        self.close()

    def _on_centre_changed(self, _place: int) -> None:
        if self.is_open:
            self.drawer.raise_()

    def _on_saved(self, path: Path) -> None:
        self._stashing.note_board(path, self._document.project)

    def _on_opened(self, _notes: object) -> None:
        self.close()
        if self._document.path is not None:
            self._stashing.note_board(self._document.path, self._document.project)


def add_stash(
    window: MainWindow,
    document: Document,
    desk: Desk,
    theme: Theme,
    keeping: Keeping,
    stashing: Stashing | None = None,
) -> StashRoom:
    """Give a window the stash.

    Parameters
    ----------
    window, document, desk, theme, keeping
        What it stands on.
    stashing
        The stash beside the window; None for the one on this computer.
    """
    return StashRoom(
        window, document, desk, theme, keeping, stashing or Stashing(document, parent=window)
    )
