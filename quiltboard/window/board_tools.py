"""What the ledge and the board's menu do, on what is chosen."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QObject

from quiltboard.document.desk import Desk
from quiltboard.document.document import Document
from quiltboard.fabrics.fabric import FabricId
from quiltboard.quilt.board import Cell
from quiltboard.window.actions import Fact


class BoardTools(QObject):
    """Asks the document for what an action means, given what is chosen."""

    def __init__(self, document: Document, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._desk = desk

    def handlers(self) -> Mapping[str, Callable[[], object]]:
        """Give what each action of the board does."""
        return {
            "board.turn_ring_right": self.turn_right,
            "board.turn_ring_left": self.turn_left,
            "board.pin": self.pin,
            "board.copy_order": self.copy_to_all,
            "board.copy_order_chosen": self.copy_to_chosen,
            "board.clear_wedge": self.take_off,
            "board.clear_plate": self.clear_plate,
            "fabrics.remove": self.remove_fabric,
        }

    def cells(self) -> tuple[Cell, ...]:
        """Give the chosen wedges that are on the board."""
        return tuple(c for c in self._desk.cells if self._document.project.board.holds(c))

    def block(self) -> int | None:
        """Give the chosen plate; the only one there is counts as chosen."""
        count = len(self._document.project.board.blocks)
        if count == 1:
            return 0
        chosen = self._desk.block
        return chosen if chosen is not None and chosen < count else None

    def filled(self) -> tuple[Cell, ...]:
        """Give the chosen wedges that hold a piece."""
        board = self._document.project.board
        return tuple(cell for cell in self.cells() if board.at(cell) is not None)

    def pinned(self) -> bool:
        """Tell whether every chosen piece is pinned."""
        board = self._document.project.board
        filled = self.filled()
        return bool(filled) and all(board.pinned(cell) for cell in filled)

    def facts(self, *, dealing: bool) -> set[Fact]:
        """Tell what is so, as the table of actions asks."""
        project, stack = self._document.project, self._document.undo_stack
        known = {fabric.id for fabric in project.fabrics}
        so: dict[Fact, bool] = {
            "undo": stack.canUndo(),
            "redo": stack.canRedo(),
            "fabrics": bool(project.fabrics),
            "fabric": self._desk.fabric in known,
            "plate": self.block() is not None,
            "cells": bool(self.cells()),
            "pieces": bool(self.filled()),
            "many": len(project.board.blocks) > 1,
            "laid": any(count.placed for count in self._document.judgement.counts),
            "idle": not dealing,
            "dealing": dealing,
        }
        return {fact for fact, holds in so.items() if holds}

    def turn_right(self) -> None:
        """Turn the chosen ring clockwise by one."""
        self._turn(1)

    def turn_left(self) -> None:
        """Turn the chosen ring back by one."""
        self._turn(-1)

    def pin(self) -> None:
        """Pin the chosen pieces, or take their pins out where all are pinned."""
        filled = self.filled()
        if filled:
            self._document.pin_wedges(filled, pinned=not self.pinned())

    def copy_to_all(self) -> None:
        """Lay every other plate in the order of the chosen one."""
        source = self.block()
        count = len(self._document.project.board.blocks)
        if source is not None:
            self._document.copy_order(source, tuple(b for b in range(count) if b != source))

    def copy_to_chosen(self) -> None:
        """Lay the other plates with chosen wedges in the order of the one first chosen."""
        blocks = list(dict.fromkeys(cell.block for cell in self.cells()))
        if len(blocks) > 1:
            self._document.copy_order(blocks[0], tuple(blocks[1:]))
        else:
            self._document.refused.emit(
                self.tr("First Ctrl and click a wedge on each plate that is to follow.")
            )

    def take_off(self) -> None:
        """Take the chosen pieces off."""
        filled = self.filled()
        if filled:
            self._document.clear_wedges(filled)

    def clear_plate(self) -> None:
        """Take every piece off the chosen plate that is not pinned."""
        block = self.block()
        if block is None:
            return
        board = self._document.project.board
        cells = (Cell(block, wedge) for wedge in range(board.wedge.n))
        loose = tuple(c for c in cells if board.at(c) is not None and not board.pinned(c))
        if loose:
            self._document.clear_wedges(loose)

    def remove_fabric(self) -> None:
        """Take the chosen fabric off the shelf and the board."""
        fabric = self._desk.fabric
        if fabric is not None:
            self._document.remove_fabric(FabricId(fabric))

    def _turn(self, by: int) -> None:
        block = self.block()
        if block is not None:
            self._document.turn_ring(block, by)
