"""The project: a board and the fabrics it is laid from."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.quilt.board import Board, empty_board

UNTITLED = "New quilt"


class Project(msgspec.Struct, frozen=True):
    """Everything the maker has decided so far.

    Attributes
    ----------
    title
        What the quilt is called.
    board
        The arranged top.
    fabrics
        In the order they came; no two share an id or a name.
    """

    title: str
    board: Board
    fabrics: tuple[Fabric, ...] = ()

    def fabric(self, fabric: FabricId) -> Fabric:
        """Find a fabric by its id.

        Raises
        ------
        KeyError
            If the project has none of that id.
        """
        return self.by_id()[fabric]

    def by_id(self) -> Mapping[FabricId, Fabric]:
        """Give the fabrics by their ids."""
        return {fabric.id: fabric for fabric in self.fabrics}

    def names(self) -> Mapping[FabricId, str]:
        """Give the fabrics' names by their ids."""
        return {fabric.id: fabric.name for fabric in self.fabrics}


def new_project() -> Project:
    """Give an empty project: one bare plate of twelve."""
    return Project(UNTITLED, empty_board())
