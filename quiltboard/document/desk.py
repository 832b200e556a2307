"""The desk: what is chosen and how the board is looked at. None of it is saved or undone."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from quiltboard.balance.flags import FlagKey
from quiltboard.drawing.board import Seeing
from quiltboard.fabrics.fabric import FabricId
from quiltboard.quilt.board import Cell

STEPS_OF_WORK = ("fabrics", "top", "wedge", "arrange", "cut")
"""The steps of the work that can be done, in their order."""


class Desk(QObject):
    """What is chosen, pointed at and seen; the shelf, the board and the panels share it."""

    cells_chosen = Signal(tuple)
    block_chosen = Signal(object)
    fabric_chosen = Signal(object)
    flag_pointed = Signal(object)
    seeing_changed = Signal(str)
    step_changed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._cells: tuple[Cell, ...] = ()
        self._block: int | None = None
        self._fabric: FabricId | None = None
        self._flag: FlagKey | None = None
        self._seeing: Seeing = "colour"
        self._step = "arrange"

    @property
    def cells(self) -> tuple[Cell, ...]:
        """The chosen wedges, the one last chosen at the end."""
        return self._cells

    def choose_cells(self, cells: tuple[Cell, ...]) -> None:
        """Choose wedges; the last one's plate becomes the chosen plate."""
        if cells != self._cells:
            self._cells = cells
            self.cells_chosen.emit(cells)
        if cells:
            self.choose_block(cells[-1].block)

    @property
    def block(self) -> int | None:
        """The chosen plate, whose dial and loupes are shown."""
        return self._block

    def choose_block(self, block: int | None) -> None:
        """Choose a plate."""
        if block != self._block:
            self._block = block
            self.block_chosen.emit(block)

    @property
    def fabric(self) -> FabricId | None:
        """The fabric chosen on the shelf, which the keyboard lays."""
        return self._fabric

    def choose_fabric(self, fabric: FabricId | None) -> None:
        """Choose a fabric."""
        if fabric != self._fabric:
            self._fabric = fabric
            self.fabric_chosen.emit(fabric)

    @property
    def flag(self) -> FlagKey | None:
        """The flag whose row is pointed at or chosen."""
        return self._flag

    def point_at_flag(self, flag: FlagKey | None) -> None:
        """Point at a flag, so that its mark stands out on the board."""
        if flag != self._flag:
            self._flag = flag
            self.flag_pointed.emit(flag)

    @property
    def seeing(self) -> Seeing:
        """How the board is looked at."""
        return self._seeing

    def look(self, seeing: Seeing) -> None:
        """Look at the board another way."""
        if seeing != self._seeing:
            self._seeing = seeing
            self.seeing_changed.emit(seeing)

    @property
    def step(self) -> str:
        """The step of the work at hand."""
        return self._step

    def go_to_step(self, step: str) -> None:
        """Turn to a step of the work.

        Raises
        ------
        ValueError
            If there is no such step.
        """
        if step not in STEPS_OF_WORK:
            raise ValueError(f"no step {step!r}")
        if step != self._step:
            self._step = step
            self.step_changed.emit(step)
