"""The board as a picture: border, sashes, grounds, wedges and centres, in any way of seeing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from quiltboard.drawing.cloth import cloths_of, plain_or_cloth, wedge_or_plain
from quiltboard.drawing.display import (
    HALO,
    INK,
    Circle,
    Drawing,
    Fill,
    Item,
    Polygon,
    Stroke,
    Text,
    arc,
    rectangle,
)
from quiltboard.drawing.lettering import text_width
from quiltboard.drawing.seeing import (
    SQUINT_MM,
    STEP_VALUES,
    Seeing,
    grey_colour,
    grey_of_value,
    lightness,
    step_colour,
)
from quiltboard.drawing.states import empty_wedge
from quiltboard.fabrics.fabric import Fabric, FabricId, Step
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell, Cloth, place_name
from quiltboard.quilt.layout import Layout, Rect, lay_out
from quiltboard.shapes.wedge import Point
from quiltboard.units import to_mm

__all__ = ["Seeing", "draw_board", "draw_plate", "draw_surroundings", "silhouette"]

SEAM: Final = Stroke(INK, 0.55, join="round")
SEAM_OPACITY: Final = 0.32
"""A seam is laid once from each side of it, so that it lies deeper than an outer edge."""
SHADOW: Final = ((1.9, 0.07), (1.2, 0.09), (0.6, 0.10))
"""How far below a plate each coat of its shadow falls, in mm, and how dark it is."""
SUNK_SASH: Final = Stroke(INK, 0.5)
BARS: Final = 7
"""A mixed cloth shows so many bars along the wedge, dark at both ends."""
CHALK_PX_PER_MM: Final = 1.6
"""The scale at which an empty wedge's chalk has its usual weight on a picture of the board."""


def draw_board(
    project: Project,
    seeing: Seeing,
    steps: Mapping[FabricId, Step],
    piece_steps: Mapping[Cell, Step] | None = None,
    *,
    numbers: bool = True,
    number_mm: float | None = None,
) -> Drawing:
    """Draw the whole top.

    Parameters
    ----------
    project
        The board and its fabrics.
    seeing
        Colour; grey (only lightness, of every pixel); steps (flat value steps, no print; a
        mixed cloth is barred); squint (a drawing to be blurred, without seams or numbers).
    steps
        The value step of each fabric.
    piece_steps
        The value step of each piece that has one of its own, whatever its fabric's is.
    numbers
        Whether plates are numbered.
    number_mm
        How large the numbers are, in mm of the top, if not in proportion to the block.

    Returns
    -------
    Drawing
        In mm of the finished top, at its true size.
    """
    pen = _Pen(project, seeing, steps, piece_steps)
    items = [*pen.surroundings()]
    for block in range(len(project.board.blocks)):
        items += pen.plate(block)
    if numbers and seeing != "squint" and len(project.board.blocks) > 1:
        items += pen.numbers(number_mm)
    layout = pen.layout
    cloths = cloths_of(project.fabrics)
    blur = SQUINT_MM if seeing == "squint" else 0.0
    return Drawing(layout.width, layout.height, tuple(items), cloths, blur)


def draw_surroundings(
    project: Project, seeing: Seeing, steps: Mapping[FabricId, Step]
) -> tuple[Item, ...]:
    """Draw what lies round the plates: border, sashes, cornerstones and grounds."""
    return tuple(_Pen(project, seeing, steps).surroundings())


def draw_plate(
    project: Project,
    seeing: Seeing,
    steps: Mapping[FabricId, Step],
    block: int,
    piece_steps: Mapping[Cell, Step] | None = None,
) -> tuple[Item, ...]:
    """Draw one plate where it lies on the top, for a screen that draws only what it shows.

    Raises
    ------
    IndexError
        If there is no such plate.
    """
    return tuple(_Pen(project, seeing, steps, piece_steps).plate(block))


def silhouette(layout: Layout, block: int) -> tuple[Point, ...]:
    """Give the outline of a whole plate: tip, inside point, tip, all round."""
    corners: list[Point] = []
    for wedge in range(layout.drafted.n):
        _, right, tip, _, _ = layout.outline(Cell(block, wedge))
        corners += [tip, right]
    return tuple(corners)


class _Pen:
    """Draws one project in one way of seeing."""

    def __init__(
        self,
        project: Project,
        seeing: Seeing,
        steps: Mapping[FabricId, Step],
        piece_steps: Mapping[Cell, Step] | None = None,
    ) -> None:
        self.board = project.board
        self.layout = lay_out(project.board)
        self.fabrics = project.by_id()
        self.steps = steps
        self.piece_steps = piece_steps or {}
        self.seeing = seeing
        self.grey = seeing in {"grey", "steps"}

    def covered(self, cloth: Cloth, piece: Rect, place: int) -> Fill:
        """Lay what covers a part of the top that is no wedge."""
        if cloth.startswith("#"):
            return grey_colour(cloth) if self.grey else cloth
        return plain_or_cloth(self.fabrics[FabricId(cloth)], piece, place, grey=self.grey)

    def plain(self, cloth: Cloth) -> str:
        """Give the one colour that stands for a cloth."""
        colour = cloth if cloth.startswith("#") else self.fabrics[FabricId(cloth)].colour
        return grey_colour(colour) if self.grey else colour

    def surroundings(self) -> Iterator[Item]:
        """Draw the border, the sashes, the cornerstones and the grounds."""
        board, layout = self.board, self.layout
        edge = None if self.seeing == "squint" else SUNK_SASH
        # Under all, so that no hairline of paper shows where two pieces meet.
        under = board.frame if board.border else board.sashing if board.sash else board.ground
        yield rectangle(0, 0, layout.width, layout.height, self.plain(under))
        parts = (
            ("border", board.frame, layout.frame),
            ("sash", board.sashing, layout.sashes),
            ("cornerstone", board.cornerstone, layout.cornerstones),
            ("ground", board.ground, layout.blocks),
        )
        for what, cloth, pieces in parts:
            for k, piece in enumerate(pieces):
                fill = self.covered(cloth, piece, k)
                yield rectangle(
                    piece.x, piece.y, piece.width, piece.height, fill, name=f"{what} {k + 1}"
                )
        if edge is not None:
            for _, _, pieces in parts[1:]:
                for piece in pieces:
                    yield rectangle(
                        piece.x,
                        piece.y,
                        piece.width,
                        piece.height,
                        stroke=edge,
                        opacity=SEAM_OPACITY,
                    )

    def plate(self, block: int) -> Iterator[Item]:
        """Draw one plate: its shadow, its wedges, the seams between them, its centre."""
        cells = [Cell(block, wedge) for wedge in range(self.board.wedge.n)]
        laid = {cell: f for cell in cells if (f := self.board.at(cell)) is not None}
        outlines = {cell: self.layout.outline(cell) for cell in cells}
        flat = self.seeing in {"steps", "squint"}
        if laid and not flat:
            whole = len(laid) == len(cells)
            shapes = [silhouette(self.layout, block)] if whole else [outlines[c] for c in laid]
            for down, dark in SHADOW:
                for shape in shapes:
                    lowered = tuple((x, y + down) for x, y in shape)
                    yield Polygon(lowered, INK, opacity=dark)
        if self.seeing != "squint":
            for cell in cells:
                if cell not in laid:
                    yield from empty_wedge(outlines[cell], CHALK_PX_PER_MM)
        for cell, fabric in laid.items():
            yield from self.wedge(cell, self.fabrics[fabric], outlines[cell])
        if self.seeing != "squint":
            for cell in laid:
                yield Polygon(outlines[cell], stroke=SEAM, opacity=SEAM_OPACITY)
        yield from self.centre(block, bare=not laid)

    def wedge(self, cell: Cell, fabric: Fabric, outline: tuple[Point, ...]) -> Iterator[Item]:
        """Draw one piece of cloth where it lies."""
        name = f"{place_name(self.board, cell)}: {fabric.name}"
        if self.seeing == "steps":
            step = self.piece_steps.get(cell) or self.steps.get(fabric.id, "medium")
            flat = step_colour(step, self.board.step_count)
            yield Polygon(outline, flat or grey_of_value(STEP_VALUES["dark"]), name=name)
            if flat is None:
                light = grey_of_value(STEP_VALUES["light"])
                for bar in self.bars(cell):
                    yield Polygon(bar, light)
            return
        fill = wedge_or_plain(self.layout, cell, fabric, grey=self.grey)
        yield Polygon(outline, fill, name=name)

    def bars(self, cell: Cell) -> Iterator[tuple[Point, ...]]:
        """Give every second of the bars that a mixed cloth is parted into along its wedge."""
        wedge = self.layout.drafted
        pitch = (wedge.tip - wedge.opening) / BARS
        for k in range(1, BARS, 2):
            low = wedge.opening + k * pitch
            bar = _between(wedge.sewn_outline(), low, low + pitch)
            yield tuple(self.layout.to_top(cell, point) for point in bar)

    def centre(self, block: int, *, bare: bool) -> Iterator[Item]:
        """Draw the centre circle; on a bare plate only where it will be."""
        x, y = self.layout.middle(block)
        radius = to_mm(self.layout.drafted.centre_finished) / 2
        name = f"centre {block + 1}"
        if bare:
            if self.seeing != "squint":
                yield from empty_wedge(arc((x, y), radius, 0, 360), CHALK_PX_PER_MM)
            return
        if self.seeing in {"colour", "grey"}:
            for down, dark in SHADOW:
                yield Circle(x, y + down / 2, radius, INK, opacity=dark)
        box = Rect(x - radius, y - radius, 2 * radius, 2 * radius)
        yield Circle(x, y, radius, self.covered(self.board.centre, box, block), name=name)
        if self.seeing != "squint":
            yield Circle(x, y, radius, stroke=SEAM, opacity=SEAM_OPACITY)

    def numbers(self, size_mm: float | None) -> Iterator[Item]:
        """Write the plates' numbers in the corners of their grounds."""
        ground = self.board.ground
        plain = ground if ground.startswith("#") else None
        if plain is None and not self.fabrics[FabricId(ground)].swatches:
            plain = self.fabrics[FabricId(ground)].colour
        for k, square in enumerate(self.layout.blocks):
            size = size_mm or square.width * 0.055
            x, y = square.x + size * 0.7, square.y + size * 1.35
            number = str(k + 1)
            colour = INK
            if plain is None:
                width = text_width(number, size) + size * 0.7
                yield rectangle(x - size * 0.35, y - size, width, size * 1.35, HALO)
            elif lightness(plain) < 50:
                colour = HALO
            yield Text(x, y, number, size, colour=colour)


def _between(points: tuple[Point, ...], low: float, high: float) -> tuple[Point, ...]:
    """Cut a convex shape down to what lies between two heights."""
    for level, keep in ((low, 1.0), (high, -1.0)):
        kept: list[Point] = []
        for k, (x1, y1) in enumerate(points):
            x0, y0 = points[k - 1]
            before, here = keep * (y0 - level), keep * (y1 - level)
            if (before > 0) != (here > 0) and not math.isclose(y0, y1):
                share = (level - y0) / (y1 - y0)
                kept.append((x0 + share * (x1 - x0), level))
            if here > 0:
                kept.append((x1, y1))
        points = tuple(kept)
    return points
