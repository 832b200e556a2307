"""A large print on the board: each piece is seen in the value step of what it shows."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from quiltboard.drawing.seeing import step_colour
from quiltboard.errands.judge import Judgement, judge
from quiltboard.fabrics.fabric import FabricId
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.project.edits import SwapWedges
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell
from quiltboard.quilt.layout import Rect
from quiltboard.window.canvas.picture import TopPicture
from quiltboard.window.canvas.pieces import Sight
from quiltboard.window.canvas.view import fit
from tests.helpers.large_prints import large_print_project

pytestmark = pytest.mark.qt

DRIFT = FabricId("drift")


def take(picture: TopPicture, project: Project, judgement: Judgement) -> tuple[int, ...] | None:
    return picture.take(project, "steps", judgement.shelf.steps, judgement.piece_steps)


def painted(picture: TopPicture) -> dict[Cell, str]:
    """Paint the top and read the colour in the middle of each wedge."""
    layout = picture.layout
    image = QImage(round(layout.width), round(layout.height), QImage.Format.Format_RGB32)
    with QPainter(image) as painter:
        picture.paint(painter, QRectF(0, 0, layout.width, layout.height), 1.0, smooth=False)
    n = layout.drafted.n
    cells = (Cell(block, w) for block in range(len(layout.blocks)) for w in range(n))
    at = {cell: layout.to_top(cell, (0.0, 90.0)) for cell in cells}
    return {cell: image.pixelColor(round(x), round(y)).name() for cell, (x, y) in at.items()}


def test_value_steps_show_the_step_of_each_piece(qapp: QApplication) -> None:
    project = large_print_project()
    judgement, picture = judge(project), TopPicture(ClothBook())
    assert take(picture, project, judgement) is None
    shown = painted(picture)
    for cell, step in judgement.piece_steps.items():
        assert shown[cell] == step_colour(step)
    moved = SwapWedges(Cell(0, 1), Cell(0, 2)).apply(project)
    assert take(picture, moved, judge(moved)) == (0,)
    assert painted(picture)[Cell(0, 2)] == step_colour(judge(moved).piece_steps[Cell(0, 2)])


def test_plates_whose_pieces_change_step_alone_are_drawn_anew(qapp: QApplication) -> None:
    project = large_print_project()
    judgement, picture = judge(project), TopPicture(ClothBook())
    take(picture, project, judgement)
    painted(picture)
    assert take(picture, project, judgement) == ()
    cell = next(c for c, s in judgement.piece_steps.items() if c.block == 1 and s != "light")
    other = {**judgement.piece_steps, cell: "light"}
    assert picture.take(project, "steps", judgement.shelf.steps, other) == (1,)
    assert painted(picture)[cell] == step_colour("light")
    assert picture.take(project, "colour", judgement.shelf.steps, other) is None
    assert take(picture, project, judgement) is None


def test_a_piece_in_the_hand_is_in_the_step_it_would_have_there(qapp: QApplication) -> None:
    project = large_print_project()
    bare = msgspec.structs.replace(project.board, blocks=project.board.blocks[::-1])
    shelf = judge(project).shelf
    view = fit(Rect(0, 0, 600, 300), QRectF(0, 0, 600, 300), 50)
    sight = Sight(
        msgspec.structs.replace(project, board=bare), shelf, "steps", view, 1.0, ClothBook()
    )
    fills = [sight.fill(Cell(1, w), DRIFT) for w in range(12)]
    assert len(set(fills)) == 3
    assert fills == [step_colour(shelf.step_at(DRIFT, Cell(1, w))) for w in range(12)]
