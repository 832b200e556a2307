"""Edits of the shelf: fabrics that come, change and go."""

from __future__ import annotations

import msgspec

from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.project.project import Project
from quiltboard.project.rules import require_fabric, require_shelf
from quiltboard.quilt.board import Block


class AddFabrics(msgspec.Struct, frozen=True, tag=True):
    """Put fabrics on the shelf."""

    fabrics: tuple[Fabric, ...]

    def apply(self, project: Project) -> Project:
        """Give the project with the fabrics added.

        Raises
        ------
        InvalidEditError
            If a name or id is there already, or the shelf is full.
        """
        fabrics = project.fabrics + self.fabrics
        require_shelf(fabrics)
        return msgspec.structs.replace(project, fabrics=fabrics)


class ChangeFabric(msgspec.Struct, frozen=True, tag=True):
    """Change what is known of a fabric: its name, corners, amounts, step, note."""

    fabric: Fabric

    def apply(self, project: Project) -> Project:
        """Give the project with the fabric changed.

        Raises
        ------
        InvalidEditError
            If there is no such fabric, or another has that name.
        """
        require_fabric(project, self.fabric.id)
        fabrics = tuple(
            self.fabric if fabric.id == self.fabric.id else fabric for fabric in project.fabrics
        )
        require_shelf(fabrics)
        return msgspec.structs.replace(project, fabrics=fabrics)


class RemoveFabric(msgspec.Struct, frozen=True, tag=True):
    """Take a fabric off the shelf and off the board, pins and all."""

    fabric: FabricId

    def apply(self, project: Project) -> Project:
        """Give the project without the fabric; parts cut from it turn to its plain colour.

        Raises
        ------
        InvalidEditError
            If there is no such fabric.
        """
        require_fabric(project, self.fabric)
        gone = project.fabric(self.fabric)
        board = project.board
        blocks = tuple(
            Block(
                cells=tuple(None if f == gone.id else f for f in block.cells),
                pins=tuple(w for w in block.pins if block.cells[w] != gone.id),
            )
            for block in board.blocks
        )
        covers = {
            part: gone.colour
            for part in ("ground", "sashing", "cornerstone", "frame", "centre")
            if getattr(board, part) == gone.id
        }
        return msgspec.structs.replace(
            project,
            board=msgspec.structs.replace(board, blocks=blocks, **covers),
            fabrics=tuple(fabric for fabric in project.fabrics if fabric.id != gone.id),
        )
