"""What else a top is cut from: circles, backgrounds, sashes, cornerstones, border."""

from __future__ import annotations

from dataclasses import dataclass

from quiltboard.project.project import Project
from quiltboard.quilt.board import Cloth
from quiltboard.quilt.layout import finished_size, lay_out
from quiltboard.units import Length, format_length


@dataclass(frozen=True, slots=True)
class OtherPart:
    """One kind of part.

    Attributes
    ----------
    name
        What it is.
    cloth
        What it is cut from.
    said
        How many, and how large they are cut.
    """

    name: str
    cloth: Cloth
    said: str


def other_parts(project: Project) -> list[OtherPart]:
    """List every part of a top that is no wedge, with its cut size, seams included.

    Raises
    ------
    InvalidWedgeError
        If the board's wedge makes no ring.
    """
    board = project.board
    layout = lay_out(board)
    drafted = layout.drafted
    seams = 2 * board.wedge.seam

    def cut(finished: int) -> str:
        return format_length(Length(finished + seams), board.unit, finest=16, rounding="up")

    def exact(length: Length) -> str:
        return format_length(length, board.unit, finest=16, rounding="up")

    plates = len(board.blocks)
    across = exact(drafted.centre_cut)
    square = exact(drafted.centre_square)
    parts = [
        OtherPart(
            "Centre circles" if plates > 1 else "Centre circle",
            board.centre,
            f"{plates}, cut {across} across from {square} squares",
        ),
        OtherPart(
            "Backgrounds" if plates > 1 else "Background",
            board.ground,
            f"{plates}, cut {cut(board.block)} square",
        ),
    ]
    if layout.sashes:
        size = f"{cut(board.sash)}\u00a0×\u00a0{cut(board.block)}"
        parts.append(OtherPart("Sashes", board.sashing, f"{len(layout.sashes)}, cut {size}"))
    if layout.cornerstones:
        said = f"{len(layout.cornerstones)}, cut {cut(board.sash)} square"
        parts.append(OtherPart("Cornerstones", board.cornerstone, said))
    if layout.frame:
        width, height = finished_size(board)
        inner = height - 2 * board.border
        said = (
            f"sides first: 2, cut {cut(board.border)}\u00a0×\u00a0{cut(inner)}; "
            f"then top and bottom: 2, cut {cut(board.border)}\u00a0×\u00a0{cut(width)}"
        )
        parts.append(OtherPart("Border", board.frame, said))
    return parts
