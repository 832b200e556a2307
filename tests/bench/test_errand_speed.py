"""How long whole errands take, beside the sum of their parts or what they cannot do without.

The times are told, not judged: a shared machine would judge by its other work. What is judged
is what no machine changes.
"""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Literal

import pytest

from quiltboard.cutting.counts import count_pieces
from quiltboard.cutting.strips import strips_for
from quiltboard.errands.judge import judge
from quiltboard.errands.sample import open_sample, sample_board
from quiltboard.sheets.board_sheets import board_sheets
from quiltboard.store.board_file import open_board, save_board
from tests.helpers.timing import Record, best_ms, loop_ms, tell


def test_opening_and_saving_the_demo(tmp_path: Path, record_property: Record) -> None:
    kept = sample_board()
    copy = tmp_path / "copy.quiltboard"

    def unpack() -> list[bytes]:
        with zipfile.ZipFile(kept) as archive:
            return [archive.read(name) for name in archive.namelist()]

    data = kept.read_bytes()
    unpacked_ms = best_ms(unpack)
    written_ms = best_ms(lambda: (tmp_path / "floor").write_bytes(data))
    project, _ = open_board(kept)
    opened = best_ms(lambda: open_board(kept))
    saved = best_ms(lambda: save_board(project, copy))
    tell(record_property, "opening the demo", opened, "unpacking it", unpacked_ms)
    tell(record_property, "saving the demo", saved, "writing its bytes", written_ms)
    assert open_board(copy).project == project


def test_judging_the_demo(record_property: Record) -> None:
    project = open_sample().project
    spent = best_ms(lambda: judge(project))
    tell(record_property, "judging the demo", spent, "a million turns", loop_ms())


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_laying_out_the_demo_s_sheets(
    paper: Literal["a4", "letter"], record_property: Record
) -> None:
    project = open_sample().project
    wedge = project.board.wedge
    counts = count_pieces(project.board, project.fabrics)
    notes = {
        count.fabric: strips_for(project.fabric(count.fabric), count.placed, wedge)
        for count in counts
    }
    steps = judge(project).shelf.steps
    pages = board_sheets(project, counts, notes, steps, paper)
    spent = best_ms(lambda: board_sheets(project, counts, notes, steps, paper), 3)
    tell(
        record_property, f"{len(pages)} sheets on {paper}", spent, "a million turns", loop_ms()
    )
    assert len(pages) > 3


@pytest.mark.qt
def test_writing_the_demo_s_sheets(tmp_path: Path, record_property: Record) -> None:
    from quiltboard.paint.export import pages_of  # noqa: PLC0415 - the rest needs no Qt
    from quiltboard.paint.pdf import write_pdf  # noqa: PLC0415

    project = open_sample().project
    pages = pages_of(project, "a4")
    laid_out = best_ms(lambda: pages_of(project, "a4"), 3)
    sheets = tmp_path / "sheets.pdf"
    spent = best_ms(lambda: write_pdf(pages, sheets, project.title), 2)
    tell(record_property, f"{len(pages)} sheets to PDF", spent, "laying them out", laid_out)
    assert sheets.read_bytes().startswith(b"%PDF")
