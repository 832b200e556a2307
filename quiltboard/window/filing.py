"""The board's file: new, open, save, the question before work is lost, pictures, sheets."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import msgspec
from PySide6.QtCore import QLocale, QObject
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.document.keeping import Keeping
from quiltboard.paint.export import file_stem
from quiltboard.store.board_file import SUFFIX
from quiltboard.window.dialogs import Message, NameQuestion, UnsavedQuestion
from quiltboard.window.exporting import Exporting, PaperName
from quiltboard.window.theme import Theme

_LETTER_COUNTRIES = {
    QLocale.Country.UnitedStates,
    QLocale.Country.Canada,
    QLocale.Country.Mexico,
    QLocale.Country.Philippines,
}


class Filing(QObject):
    """Asks where, asks before anything is lost, and lets keeping do the rest."""

    def __init__(
        self,
        window: QWidget,
        document: Document,
        desk: Desk,
        theme: Theme,
        keeping: Keeping,
        exporting: Exporting,
    ) -> None:
        super().__init__(window)
        self._window = window
        self._document = document
        self._desk = desk
        self._theme = theme
        self._keeping = keeping
        self._exporting = exporting
        self._after_save: Callable[[], None] | None = None
        keeping.saved.connect(self._on_saved)
        keeping.failed.connect(self._on_failed)

    def new(self) -> None:
        """Take up an empty board."""
        self.leave_then(self._keeping.new)

    def open(self) -> None:
        """Let the maker choose a board."""
        name, _ = QFileDialog.getOpenFileName(
            self._window,
            self.tr("Open a board"),
            self._folder(),
            self.tr("Boards (*{suffix})").format(suffix=SUFFIX),
        )
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path) -> None:
        """Open a board, once the present one may be left."""
        self.leave_then(partial(self._keeping.open, path))

    def open_demo(self) -> None:
        """Open the demo board, once the present one may be left."""
        self.leave_then(self._keeping.open_demo)

    def save(self) -> None:
        """Save where the board lives; ask where that is if it lives nowhere yet."""
        if self._document.path is None:
            self.save_as()
        else:
            self._keeping.save(self._document.path)

    def save_as(self) -> None:
        """Ask where to save, and save there."""
        stem = file_stem(self._document.project.title)
        name, _ = QFileDialog.getSaveFileName(
            self._window,
            self.tr("Save the board"),
            str(Path(self._folder(), stem + SUFFIX)),
            self.tr("Boards (*{suffix})").format(suffix=SUFFIX),
        )
        if not name:
            self._after_save = None
            return
        path = Path(name)
        self._remember(board_folder=str(path.parent))
        self._keeping.save(path)

    def rename(self) -> None:
        """Ask what the quilt is called."""
        question = NameQuestion(self._theme, self._document.project.title, self._window)
        if question.exec():
            self._document.rename(question.field.text())

    def export_png(self) -> None:
        """Write the board as it is seen now as PNG."""
        self._export("png")

    def export_svg(self) -> None:
        """Write the board as it is seen now as SVG."""
        self._export("svg")

    def sheets(self) -> None:
        """Write the sheets as one PDF."""
        path = self._ask_where(self.tr("Save the sheets"), "-sheets", "pdf")
        if path is not None:
            self._exporting.write_sheets(self._document.project, path, self.paper())

    def leave_then(self, then: Callable[[], None]) -> None:
        """Do what leaves the present board, once nothing of it would be lost unasked."""
        if not self._document.modified:
            then()
            return
        question = UnsavedQuestion(self._theme, self._document.project.title, self._window)
        answer = question.ask()
        if answer == "discard":
            then()
        elif answer == "save":
            self._after_save = then
            self.save()

    def fill_recent(self, menu: QMenu) -> None:
        """List the boards last opened."""
        menu.clear()
        for k, text in enumerate(self._keeping.settings.recent, 1):
            path = Path(text)
            action = menu.addAction(f"&{k % 10}  {path.stem}")
            action.setToolTip(text)
            action.triggered.connect(partial(self._on_recent, path))
        menu.setEnabled(bool(self._keeping.settings.recent))

    def _export(self, ending: str) -> None:
        path = self._ask_where(self.tr("Save a picture of the board"), "", ending)
        if path is not None:
            self._exporting.write_picture(self._document.project, path, self._desk.seeing)

    def _ask_where(self, title: str, behind: str, ending: str) -> Path | None:
        stem = file_stem(self._document.project.title) + behind
        folder = self._keeping.settings.sheet_folder or self._folder()
        name, _ = QFileDialog.getSaveFileName(
            self._window,
            title,
            str(Path(folder, f"{stem}.{ending}")),
            f"{ending.upper()} (*.{ending})",
        )
        if not name:
            return None
        path = Path(name)
        self._remember(sheet_folder=str(path.parent))
        return path if path.suffix.lower() == f".{ending}" else Path(f"{path}.{ending}")

    def paper(self) -> PaperName:
        """Tell what sheets are printed on: as chosen, or as usual in this country."""
        chosen = self._keeping.settings.paper
        if chosen is not None:
            return chosen
        return "letter" if QLocale.system().territory() in _LETTER_COUNTRIES else "a4"

    def _folder(self) -> str:
        if self._document.path is not None:
            return str(self._document.path.parent)
        return self._keeping.settings.board_folder or str(Path.home())

    def _remember(self, **changed: str) -> None:
        self._keeping.remember(msgspec.structs.replace(self._keeping.settings, **changed))

    def _on_recent(self, path: Path) -> None:
        self.open_path(path)

    def _on_saved(self, _path: object) -> None:
        then, self._after_save = self._after_save, None
        if then is not None and not self._document.modified:
            then()

    def _on_failed(self, sentence: str) -> None:
        self._after_save = None
        Message(self._theme, self.tr("That did not work"), sentence, self._window).exec()
