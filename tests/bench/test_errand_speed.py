"""How long whole errands take, beside the sum of their parts or what they cannot do without.

The times are told, not judged: a shared machine would judge by its other work. What is judged
is what no machine changes.
"""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

from quiltboard.cutting.counts import count_pieces
from quiltboard.cutting.strips import strips_for
from quiltboard.errands.judge import judge
from quiltboard.errands.sample import open_sample, sample_board
from quiltboard.fabrics.bring_in import (
    KEPT_QUALITY,
    LONGEST_KEPT_PX,
    LONGEST_SWATCH_PX,
    fabric_from_photo,
)
from quiltboard.fabrics.fabric import WHOLE_PHOTO, FabricId
from quiltboard.fabrics.measure import mean_colour_hex, measure_cloth
from quiltboard.photos.card import corners_clear_of_card
from quiltboard.photos.decode import read_photo
from quiltboard.photos.encode import encode_jpeg, encode_png
from quiltboard.photos.light import smaller
from quiltboard.photos.straighten import straighten
from quiltboard.sheets.board_sheets import board_sheets
from quiltboard.store.board_file import open_board, save_board
from tests.helpers.pictures import cloth, encoded
from tests.helpers.timing import Record, best_ms, loop_ms, tell


def test_a_photo_of_twelve_megapixels(record_property: Record) -> None:
    piece = cloth(1, 600, 800)
    photo = encoded(np.tile(piece, (5, 5, 1)), "JPEG", quality=90)
    parts: dict[str, float] = {}
    parts["decode"] = best_ms(lambda: read_photo(photo, "a photo"), 2)
    pixels = read_photo(photo, "a photo").pixels
    assert pixels.shape == (3000, 4000, 3)
    parts["make smaller"] = best_ms(lambda: smaller(pixels, LONGEST_KEPT_PX), 2)
    kept = smaller(pixels, LONGEST_KEPT_PX)
    parts["look for a card"] = best_ms(lambda: corners_clear_of_card(kept), 2)
    parts["measure"] = best_ms(lambda: measure_cloth(pixels), 2)
    parts["mix to a colour"] = best_ms(lambda: mean_colour_hex(pixels), 2)
    parts["straighten"] = best_ms(
        lambda: straighten(pixels, WHOLE_PHOTO, LONGEST_SWATCH_PX, name=""), 2
    )
    straight = straighten(pixels, WHOLE_PHOTO, LONGEST_SWATCH_PX, name="")
    parts["encode swatch"] = best_ms(lambda: encode_png(straight), 2)
    parts["encode photo"] = best_ms(lambda: encode_jpeg(kept, KEPT_QUALITY), 2)
    whole = best_ms(lambda: fabric_from_photo(photo, "a photo", FabricId("f")), 2)
    total = sum(parts.values())
    for part, spent in parts.items():
        tell(record_property, f"12 MP, {part}", spent, "all parts", total)
    tell(record_property, "12 MP JPEG to fabric", whole, "all parts", total)
    made = fabric_from_photo(photo, "a photo", FabricId("f"))
    assert made.reading == measure_cloth(pixels)


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
