"""PDF measured with an independent library."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest

from quiltboard.drawing.board import draw_board
from quiltboard.drawing.display import Drawing
from quiltboard.paint.pdf import pdf_bytes, write_pdf
from quiltboard.shapes.wedge import draft_wedge
from quiltboard.sheets.paper import SIZES_MM, Page, Paper
from quiltboard.store.safe_write import StoreError
from tests.helpers.projects import sample_project, sample_steps
from tests.helpers.sheets import pages_of

pytestmark = pytest.mark.qt
MM = 72 / 25.4


@pytest.fixture(scope="module", params=["a4", "letter"])
def sheets(request: pytest.FixtureRequest) -> tuple[Paper, bytes]:
    project = sample_project(4, 5)
    return request.param, pdf_bytes(pages_of(project, request.param), project.title)


def test_the_wedge_is_the_drafted_one_on_paper(sheets: tuple[Paper, bytes]) -> None:
    drafted = draft_wedge(sample_project().board.wedge)
    with pdfplumber.open(BytesIO(sheets[1])) as pdf:
        shapes = [
            [(x / MM, y / MM) for x, y in curve["pts"]]
            for curve in (*pdf.pages[2].curves, *pdf.pages[2].lines)
        ]
    found = []
    for points in shapes:
        xs, ys = [x for x, _ in points], [y for _, y in points]
        size = (max(xs) - min(xs), max(ys) - min(ys))
        if size == pytest.approx((drafted.wide, drafted.length), abs=0.05):
            found.append(points)
    assert found
    low = max(y for _, y in found[0])
    feet = sorted({round(x, 3) for x, y in found[0] if y > low - 0.02})
    assert feet[-1] - feet[0] == pytest.approx(drafted.narrow, abs=0.05)


def test_nothing_is_within_ten_millimetres_of_an_edge(sheets: tuple[Paper, bytes]) -> None:
    paper, data = sheets
    width, height = SIZES_MM[paper]
    with pdfplumber.open(BytesIO(data)) as pdf:
        for page in pdf.pages:
            # What was painted inside the picture of the board is clipped by nothing.
            for thing in (*page.chars, *page.lines, *page.rects):
                assert thing["x0"] / MM >= 10
                assert thing["x1"] / MM <= width - 10
                assert thing["top"] / MM >= 10
                assert thing["bottom"] / MM <= height - 10


def test_letters_are_embedded_and_can_be_read(sheets: tuple[Paper, bytes]) -> None:
    with pdfplumber.open(BytesIO(sheets[1])) as pdf:
        fonts = {char["fontname"] for page in pdf.pages for char in page.chars}
        said = "\n".join(page.extract_text() for page in pdf.pages)
        assert pdf.metadata["Title"] == "Sea & <Brick>"
    assert fonts
    # A name with six letters and a plus before it is a font of which a part is embedded; Qt
    # embeds the subset under the plain name, so the file itself is asked.
    assert all("AtkinsonHyperlegible" in font for font in fonts)
    assert sheets[1].count(b"/FontFile2") == len(fonts)
    for word in ("Fabric key and cutting", "Harbour Dot", "Rotary cutter", "page 1 of 4"):
        assert word in said


def test_every_cloth_is_embedded_once() -> None:
    project = sample_project(4, 5)
    drawing = draw_board(project, "colour", sample_steps(), numbers=False)
    page = Page("a4", Drawing(210, 297, drawing.items, drawing.cloths), "Board")
    data = pdf_bytes([page, page], "Board")
    used = {fabric for _, fabric in project.board.cells()}
    assert len(re.findall(rb"/Subtype\s*/Image", data)) == len(used)


def test_a_file_is_written_whole_or_the_error_names_it(tmp_path: Path) -> None:
    pages = pages_of(sample_project())
    path = tmp_path / "sheets.pdf"
    write_pdf(pages, path, "Sheets")
    assert path.read_bytes().startswith(b"%PDF")
    assert [file.name for file in tmp_path.iterdir()] == ["sheets.pdf"]
    with pytest.raises(StoreError, match=r"lost\.pdf"):
        write_pdf(pages, tmp_path / "nowhere" / "lost.pdf", "Sheets")


def test_no_pages_make_no_file() -> None:
    with pytest.raises(ValueError, match="at least one page"):
        pdf_bytes([], "Nothing")
