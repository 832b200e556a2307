"""Everything of a board that goes into a folder: pictures, sheets, tables."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

from quiltboard.cutting.strips import strips_for
from quiltboard.drawing.board import Seeing, draw_board
from quiltboard.drawing.svg import write_svg
from quiltboard.errands.judge import Judgement, judge
from quiltboard.paint.cloth_book import ClothBook
from quiltboard.paint.offscreen import ensure_gui
from quiltboard.paint.painter import squinted
from quiltboard.paint.pdf import write_pdf
from quiltboard.paint.png import write_png
from quiltboard.paint.preview import preview_image, preview_png
from quiltboard.project.project import Project
from quiltboard.sheets.board_sheets import board_sheets
from quiltboard.sheets.paper import Page, Paper
from quiltboard.sheets.tables import pieces_table
from quiltboard.store.board_file import PREVIEW, SUFFIX, save_board
from quiltboard.store.safe_write import StoreError, reason, write_safely

LONGEST_STEM: Final = 50
"""So many letters of any alphabet, and an ending, make no name too long for a disk."""


def file_stem(title: str) -> str:
    """Make a file's name of a quilt's title.

    Examples
    --------
    >>> file_stem("Allotment Supper")
    'allotment-supper'
    """
    return re.sub(r"[^\w]+", "-", title.casefold()).strip("-_")[:LONGEST_STEM] or "quilt"


def pages_of(project: Project, paper: Paper, judgement: Judgement | None = None) -> list[Page]:
    """Lay out all sheets of a board."""
    known = judgement or judge(project)
    by_id, wedge = project.by_id(), project.board.wedge
    notes = {
        count.fabric: strips_for(by_id[count.fabric], count.placed, wedge)
        for count in known.counts
    }
    return board_sheets(project, known.counts, notes, known.shelf.steps, paper)


def write_picture(
    project: Project, path: Path, seeing: Seeing = "colour", cloths: ClothBook | None = None
) -> None:
    """Write the board as a picture; the file's ending, png or svg, says which kind.

    Raises
    ------
    StoreError
        If it cannot be written.
    """
    judgement = judge(project)
    drawing = draw_board(project, seeing, judgement.shelf.steps, judgement.piece_steps)
    if path.suffix.lower() == ".svg":
        ensure_gui()
        flat = squinted(drawing, cloths) if seeing == "squint" else drawing
        write_safely(path, write_svg(flat, project.title).encode())
    else:
        write_png(drawing, path, cloths=cloths)


def write_sheets(project: Project, out: Path, stem: str, paper: Paper = "a4") -> list[Path]:
    """Write all sheets, pictures and tables of a board into a folder, made if need be.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    StoreError
        If the folder or a file cannot be written.
    """
    _make_folder(out)
    judgement, book = judge(project), ClothBook()
    sheets = out / f"{stem}-sheets.pdf"
    write_pdf(pages_of(project, paper, judgement), sheets, project.title, book)
    pictures: list[tuple[Path, Seeing]] = [
        (out / f"{stem}.png", "colour"),
        (out / f"{stem}-grey.png", "grey"),
        (out / f"{stem}.svg", "colour"),
    ]
    for path, seeing in pictures:
        write_picture(project, path, seeing, book)
    table = out / f"{stem}-pieces.csv"
    write_safely(table, pieces_table(project, judgement.counts, judgement.shelf.steps).encode())
    return [sheets, *(path for path, _ in pictures), table]


def write_board_and_sheets(
    project: Project, out: Path, paper: Paper = "a4"
) -> tuple[Path, list[Path]]:
    """Write a board file and everything that `write_sheets` writes.

    Returns
    -------
    Path, list of Path
        The board, and all that was written, the board first.

    Raises
    ------
    StoreError
        If the folder or a file cannot be written.
    """
    _make_folder(out)
    stem = file_stem(project.title)
    board = out / f"{stem}{SUFFIX}"
    save_board(project, board, {PREVIEW: preview_png(preview_image(project))})
    return board, [board, *write_sheets(project, out, stem, paper)]


def _make_folder(out: Path) -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"The folder {out} cannot be made: {reason(error)}") from error
