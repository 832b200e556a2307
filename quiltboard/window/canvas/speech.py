"""What a screen reader hears: every wedge in words, and what each act did.

The canvas paints itself, so it hands out one accessible element for every wedge. Where a system
reads only the widget itself (some readers on X11 do not ask for the elements of a widget that
is written in Python), the wedge at the keyboard is also the canvas's own description, and every
act is announced.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

import shiboken6
from PySide6.QtCore import QObject, QRect
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QWidget

from quiltboard.balance.flags import Flag
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import STEPS
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell, place_name
from quiltboard.window.canvas.acts import said

if TYPE_CHECKING:
    from quiltboard.window.canvas.hands import BoardHands

_SAID_STEPS: Final = {step: "light and dark" if step == "mixed" else step for step in STEPS}
_FLAGS: Final = {
    "touch": "touches itself",
    "close": "again after one piece",
    "clump": "in a clump",
    "short": "no cloth for it",
}


def wedge_text(project: Project, judgement: Judgement, cell: Cell) -> str:
    """Say all there is to a wedge: ``Plate 3, wedge 7, Kale Frill, dark, pinned``.

    Parameters
    ----------
    project, judgement
        The board, and what is known of it.
    cell
        Which wedge.
    """
    board = project.board
    place = place_name(board, cell)
    words = [place[0].upper() + place[1:]]
    fabric = board.at(cell)
    if fabric is None:
        words.append(said("empty"))
    else:
        words.append(project.fabric(fabric).name)
        words.append(said(_SAID_STEPS[judgement.shelf.step_at(fabric, cell)]))
    if board.pinned(cell):
        words.append(said("pinned"))
    words += [said(_FLAGS[kind]) for kind in kinds_on(judgement.report.flags, cell)]
    return ", ".join(words)


def kinds_on(flags: tuple[Flag, ...], cell: Cell) -> list[str]:
    """List the kinds of flag that lie on a wedge, each once."""
    return list(dict.fromkeys(flag.key.kind for flag in flags if cell in flag.key.cells))


class WedgeVoice(QAccessibleInterface):
    """One wedge, for a screen reader."""

    def __init__(self, canvas: BoardHands, parent: CanvasVoice, index: int) -> None:
        super().__init__()
        self._canvas = canvas
        self._parent = parent
        self._index = index

    @property
    def cell(self) -> Cell:
        """Which wedge."""
        return Cell(*divmod(self._index, self._canvas.document.project.board.wedge.n))

    def isValid(self) -> bool:
        """Tell whether the wedge is still there."""
        return (
            shiboken6.isValid(self._canvas)
            and self._index < self._canvas.document.project.board.places
        )

    def object(self) -> Any:  # noqa: ANN401 - Qt takes None, its stubs do not
        """Give the object behind it: none of its own."""
        return None

    def window(self) -> Any:  # noqa: ANN401 - Qt's own type cannot be named here
        """Give the window it lies in."""
        return self._canvas.window().windowHandle() if self.isValid() else None

    def parent(self) -> QAccessibleInterface:
        """Give the board."""
        return self._parent

    def childCount(self) -> int:
        """Tell that a wedge holds nothing else."""
        return 0

    def child(self, index: int) -> Any:  # noqa: ANN401, ARG002
        """Tell that a wedge holds nothing else."""
        return None

    def childAt(self, x: int, y: int) -> Any:  # noqa: ANN401, ARG002
        """Tell that a wedge holds nothing else."""
        return None

    def indexOfChild(self, child: QAccessibleInterface) -> int:  # noqa: ARG002
        """Tell that a wedge holds nothing else."""
        return -1

    def rect(self) -> QRect:
        """Give where it lies on the screen."""
        if not self.isValid():
            return QRect()
        canvas = self._canvas
        area = canvas.cell_rect(self.cell).toAlignedRect()
        return QRect(canvas.mapToGlobal(area.topLeft()), area.size())

    def role(self) -> QAccessible.Role:
        """Tell that a wedge is one item of the board."""
        return QAccessible.Role.ListItem

    def state(self) -> QAccessible.State:
        """Tell whether it is chosen and at the keyboard."""
        state = QAccessible.State()
        if self.isValid():
            state.focusable = state.selectable = True
            state.selected = self.cell in self._canvas.desk.cells
            state.focused = self._canvas.hasFocus() and self.cell == self._canvas.keyboard_cell
        return state

    def text(self, what: QAccessible.Text) -> str:
        """Say what lies there."""
        if what != QAccessible.Text.Name or not self.isValid():
            return ""
        document = self._canvas.document
        return wedge_text(document.project, document.judgement, self.cell)

    def setText(self, what: QAccessible.Text, text: str) -> None:
        """Refuse: a screen reader cannot rename a wedge."""


class CanvasVoice(QAccessibleWidget):
    """The board, for a screen reader: a list of its wedges."""

    def __init__(self, canvas: BoardHands) -> None:
        super().__init__(canvas, QAccessible.Role.List, canvas.accessibleName())
        self._canvas = canvas
        self._wedges: dict[int, WedgeVoice] = {}

    def childCount(self) -> int:
        """Tell how many wedges there are."""
        return self._canvas.document.project.board.places

    def child(self, index: int) -> Any:  # noqa: ANN401
        """Give one wedge, plate by plate, clockwise from the top."""
        if not 0 <= index < self.childCount():
            return None
        if index not in self._wedges:
            self._wedges[index] = WedgeVoice(self._canvas, self, index)
        return self._wedges[index]

    def childAt(self, x: int, y: int) -> Any:  # noqa: ANN401
        """Give the wedge under a point of the screen."""
        cell = self._canvas.cell_at_global(x, y)
        return None if cell is None else self.child(self._canvas.index_of(cell))

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """Tell which wedge it is."""
        for index, wedge in self._wedges.items():
            if wedge == child:
                return index
        return -1

    def focusChild(self) -> Any:  # noqa: ANN401
        """Give the wedge at the keyboard."""
        cell = self._canvas.keyboard_cell
        return None if cell is None else self.child(self._canvas.index_of(cell))


# Qt keeps the address of every element it has told a reader of, and never asks whether Python
# still has it: elements live as long as the program.
_VOICES: list[QAccessibleInterface] = []
_FACTORIES: list[Callable[[str, QObject], QAccessibleInterface | None]] = []


def give_voice(kind: type[QWidget]) -> None:
    """Make every canvas speak for its wedges; asking twice changes nothing."""
    if _FACTORIES:
        return

    def make(_key: str, item: QObject) -> QAccessibleInterface | None:
        if not isinstance(item, kind):
            return None
        voice = CanvasVoice(item)  # type: ignore[arg-type]  # the one kind that is registered
        _VOICES.append(voice)
        return voice

    _FACTORIES.append(make)
    QAccessible.installFactory(make)
