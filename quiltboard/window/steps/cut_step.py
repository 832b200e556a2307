"""The Cut step: which strips to cut from each fabric, and the sheets to take to the table."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QWidget

from quiltboard.cutting.strips import CutNote, strips_for
from quiltboard.document.document import Document
from quiltboard.document.wording import counted
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import FabricId
from quiltboard.shapes.wedge import draft_wedge
from quiltboard.sheets.paper import Paper
from quiltboard.units import format_length
from quiltboard.window.lettering import Words
from quiltboard.window.steps.form import StepPanel
from quiltboard.window.theme import Theme

_PAPERS: tuple[Paper, ...] = ("a4", "letter")


class CutStep(StepPanel):
    """Lists the strips to cut, and asks for the sheets.

    Signals
    -------
    sheets_asked
        The sheets are wanted, on this paper.
    paper_chosen
        Another paper was chosen.
    """

    sheets_asked = Signal(str)
    paper_chosen = Signal(str)

    def __init__(
        self,
        document: Document,
        theme: Theme,
        paper: Paper = "a4",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(theme, "", "", parent)
        self.title.setText(self.tr("Cut"))
        self._document = document
        self._paper = QComboBox()
        self._paper.addItems([self.tr("A4"), self.tr("Letter")])
        self._paper.setCurrentIndex(_PAPERS.index(paper))
        self._paper.activated.connect(self._on_paper)
        self.add_row(self.tr("Paper"), self._paper)
        self._sheets = QPushButton(self.tr("Save the sheets as PDF…"))
        self._sheets.clicked.connect(self._on_sheets)
        self.add_wide(self._sheets)
        self.add_wide(
            self.note(
                self.tr(
                    "The board, this list, and templates at true scale. Rotary cutter: close "
                    "it after every cut, cut away from yourself, keep it from children."
                )
            )
        )
        self._wedge = self.note("")
        self.add_wide(self._wedge)
        self._rows: list[tuple[Words, Words]] = []
        document.judged.connect(self._on_judged)

    @property
    def paper(self) -> Paper:
        """The paper that sheets are laid out for."""
        return _PAPERS[self._paper.currentIndex()]

    def _on_paper(self, _index: int) -> None:
        self.paper_chosen.emit(self.paper)

    def _on_sheets(self) -> None:
        self.sheets_asked.emit(self.paper)

    def _on_judged(self, _judgement: Judgement) -> None:
        self.bring_up_to_date()

    def refresh(self) -> None:
        """List the strips anew."""
        judgement = self._document.judgement
        project = self._document.project
        board, fabrics = project.board, project.by_id()
        drafted = draft_wedge(board.wedge)
        said = [
            (fabrics[count.fabric].name, self._strips(note))
            for count in judgement.counts
            if count.placed
            for note in [strips_for(fabrics[count.fabric], count.placed, board.wedge)]
        ]
        centre = fabrics.get(FabricId(board.centre))
        if centre is not None:
            square = format_length(drafted.centre_square, board.unit, rounding="up")
            circles = counted(
                len(board.blocks), self.tr("{n} centre circle"), self.tr("{n} centre circles")
            )
            circles = self.tr("{circles} from {square} squares").format(
                circles=circles, square=square
            )
            said.append((centre.name, circles))
        self._wedge.setText(
            self.tr("Strips {width} wide; flip every second wedge end for end.").format(
                width=format_length(board.wedge.length, board.unit, rounding="up")
            )
            if said
            else self.tr("Nothing is laid yet: lay or deal the board first.")
        )
        self._fill(said)

    def _strips(self, note: CutNote) -> str:
        parts = [counted(note.pieces, self.tr("{n} wedge"), self.tr("{n} wedges"))]
        if note.ready:
            parts.append(self.tr("{n} cut already").format(n=note.ready))
        if note.strips:
            parts.append(counted(note.strips, self.tr("{n} strip"), self.tr("{n} strips")))
        if note.missing:
            parts.append(self.tr("{n} short").format(n=note.missing))
        return ", ".join(parts)

    def _fill(self, said: list[tuple[str, str]]) -> None:
        while len(self._rows) < len(said):
            pair = (
                Words(self.theme, "", weight=600, shortened=True),
                Words(self.theme, "", colour="text_2", wrapped=True),
            )
            row = self.grid.rowCount()
            for column, words in enumerate(pair):
                self.grid.addWidget(words, row, column)
            self._rows.append(pair)
        for index, (name, strips) in enumerate(self._rows):
            shown = index < len(said)
            name.setVisible(shown)
            strips.setVisible(shown)
            if shown:
                name.setText(said[index][0])
                strips.setText(said[index][1])
