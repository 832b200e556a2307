"""What to mind before sewing: plain sentences, in full at every size of letters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, get_args

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from quiltboard.balance.cautions import Caution, CautionKind
from quiltboard.window.lettering import Words, line_px
from quiltboard.window.theme import NOTE, PADDING_PX, Theme

ABOVE_PX: Final = 8
BETWEEN_PX: Final = 5


class Minding(QWidget):
    """The cautions of a board, one below the other; hidden where there are none."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        # There is never more than one sentence of a kind.
        self.notes = [
            Words(theme, size=NOTE, wrapped=True, parent=self) for _ in get_args(CautionKind)
        ]
        self._said: tuple[str, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(PADDING_PX, ABOVE_PX, PADDING_PX, 0)
        column.setSpacing(BETWEEN_PX)
        title = self.tr("To mind before you sew")
        column.addWidget(Words(theme, title, size=NOTE, weight=600))
        for note in self.notes:
            # The keyboard reaches it, so that a low window can be scrolled to it.
            note.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            column.addWidget(note)
        self.hide()

    def say(self, cautions: Sequence[Caution]) -> bool:
        """Say these cautions; tell whether that is anything new."""
        said = tuple(caution.sentence for caution in cautions)
        if said == self._said:
            return False
        self._said = said
        for k, note in enumerate(self.notes):
            note.setText(said[k] if k < len(said) else "")
            note.setVisible(k < len(said))
        self.setVisible(bool(said))
        return True

    def high_px(self, width_px: int) -> int:
        """Tell how high it stands in a width, nothing where it is hidden."""
        if not self._said:
            return 0
        room = width_px - 2 * PADDING_PX
        notes = self.notes[: len(self._said)]
        high = sum(BETWEEN_PX + note.heightForWidth(room) for note in notes)
        return ABOVE_PX + line_px(self._theme, NOTE) + high
