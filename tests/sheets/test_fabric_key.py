"""The fabric key: its rows, their order, and that none is ever parted."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.cutting.counts import count_pieces
from quiltboard.drawing.display import Text
from quiltboard.fabrics.fabric import STEPS, Cloth, CutWedges, Fabric, FabricId, Pool
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Block
from quiltboard.sheets.fabric_key import TITLE, key_sheets
from quiltboard.sheets.other_parts import other_parts
from quiltboard.units import inches
from tests.helpers.projects import sample_fabrics, sample_project
from tests.helpers.sheets import pages_of, texts


def key_texts(project: Project) -> list[list[Text]]:
    return [texts(p.drawing.items) for p in pages_of(project) if p.title == TITLE]


def row_of(project: Project, name: str) -> list[str]:
    """Give what stands beside a fabric's name, in reading order."""
    (page,) = key_texts(project)
    name_at = next(text.y for text in page if text.text == name)
    row = [text for text in page if abs(text.y - name_at) < 1 and text.text != name]
    return [text.text.replace("\u00a0", " ") for text in sorted(row, key=lambda t: t.x)]


def with_amounts(*amounts: CutWedges | Cloth) -> Project:
    project = sample_project()
    first = msgspec.structs.replace(project.fabrics[0], amounts=amounts)
    return msgspec.structs.replace(project, fabrics=(first, *project.fabrics[1:]))


def test_fabrics_run_from_light_to_dark_with_the_mixed_behind() -> None:
    (page,) = key_texts(sample_project())
    steps = [text.text for text in page if text.text in {"light", "medium", "dark", "mixed"}]
    assert steps == ["light"] * 2 + ["medium"] * 2 + ["dark"] * 3 + ["mixed"]


def test_many_steps_run_from_the_lightest_to_the_darkest() -> None:
    project = sample_project()
    steps = {f.id: step for f, step in zip(project.fabrics, reversed(STEPS), strict=True)}
    counts = count_pieces(project.board, project.fabrics)
    (sheet,) = key_sheets(project, counts, {}, steps, "a4")
    said = [text.text for text in texts(sheet.items) if text.text in STEPS]
    assert said == list(STEPS)


def test_a_row_tells_pieces_there_and_short() -> None:
    placed = sum(fabric == "f0" for _, fabric in sample_project().board.cells())
    assert row_of(with_amounts(CutWedges(placed - 2)), "Harbour Dot")[:3] == [
        str(placed),
        str(placed - 2),
        "2",
    ]
    assert row_of(with_amounts(CutWedges(placed)), "Harbour Dot")[:3] == [
        str(placed),
        str(placed),
        "–",
    ]
    assert row_of(with_amounts(), "Harbour Dot")[:3] == [str(placed), "any", "–"]


def test_a_row_says_which_strips_to_cut() -> None:
    (page,) = key_texts(with_amounts(Cloth(inches(18), inches(21))))
    said = " ".join(text.text for text in page).replace("\u00a0", " ")
    placed = sum(fabric == "f0" for _, fabric in sample_project().board.cells())
    assert 8 < placed <= 16
    assert "2 strips 4 3⁄4 in wide, open: 8 wedges each" in said


def many_fabrics(count: int) -> Project:
    first = sample_fabrics()[0]
    fabrics = tuple(
        msgspec.structs.replace(first, id=FabricId(f"x{k}"), name=f"Cloth {k:03}")
        for k in range(count)
    )
    project = sample_project(4, 5)
    cells = [fabrics[k % count].id for k in range(240)]
    blocks = tuple(Block(tuple(cells[12 * b : 12 * b + 12])) for b in range(20))
    board = msgspec.structs.replace(project.board, blocks=blocks, centre="#6e6b66")
    return msgspec.structs.replace(project, board=board, fabrics=fabrics)


@pytest.mark.parametrize("count", [13, 14, 15, 60])
def test_no_row_is_lost_or_parted(count: int) -> None:
    pages = key_texts(many_fabrics(count))
    names = [t.text for page in pages for t in page if t.text.startswith("Cloth ")]
    assert sorted(set(names)) == sorted(f"Cloth {k:03}" for k in range(count))
    assert len(pages) >= 1 + (count > 14)
    for page in pages:
        rows = [text.y for text in page if text.text.startswith("Cloth ")]
        steps = [text.y for text in page if text.text == "medium"]
        assert len(rows) == len(steps) or len(pages) == 1
        caution = min(text.y for text in page if text.text.startswith("Rotary cutter"))
        assert all(y + 5 < caution for y in rows + steps)


def test_the_other_parts_are_cut_with_their_seams() -> None:
    parts = {part.name: part.said for part in other_parts(sample_project())}
    assert {name: said.replace("\u00a0", " ") for name, said in parts.items()} == {
        "Centre circles": "4, cut 3 1⁄2 in across from 4 in squares",
        "Backgrounds": "4, cut 12 1⁄2 in square",
        "Sashes": "4, cut 2 in × 12 1⁄2 in",
        "Cornerstones": "1, cut 2 in square",
        "Border": "sides first: 2, cut 2 in × 26 in; then top and bottom: 2, cut 2 in × 29 in",
    }


def test_one_bare_plate_has_a_circle_and_a_background_only() -> None:
    assert [part.name for part in other_parts(new_project())] == ["Centre circle", "Background"]


def test_an_empty_board_says_so() -> None:
    (page,) = key_texts(new_project())
    assert any(text.text == "No fabric lies on the board yet." for text in page)


def test_empty_wedges_are_told() -> None:
    (page,) = key_texts(sample_project(empty=(1, 2)))
    assert any(text.text.startswith("2 wedges are still empty") for text in page)


def test_a_plain_colour_is_a_fabric_like_any_other() -> None:
    project = sample_project()
    plain: Fabric = msgspec.structs.replace(project.fabrics[0], swatch=None)
    fabrics = (plain, *project.fabrics[1:])
    (page,) = key_texts(msgspec.structs.replace(project, fabrics=fabrics))
    assert any(text.text == "Harbour Dot" for text in page)


@pytest.mark.parametrize(
    ("placed", "says"),
    [(1, "1 wedge, one to a cloth"), (7, "7 wedges, one to a cloth")],
)
def test_a_pool_says_that_its_cloths_are_all_different(placed: int, says: str) -> None:
    project = sample_project(1, 1, empty=tuple(range(12)))
    blues = msgspec.structs.replace(project.fabrics[0], amounts=(), pool=Pool(38))
    ring = Block((blues.id,) * placed + (None,) * (12 - placed))
    board = msgspec.structs.replace(project.board, blocks=(ring,))
    project = Project("Swap", board, (blues, *project.fabrics[1:]))
    assert row_of(project, "Harbour Dot")[:3] == [str(placed), "38", "–"]
    (page,) = key_texts(project)
    said = [text.text for text in page]
    assert said.index("38 cloths, all different") == said.index(says) - 1


def test_a_pool_that_is_cut_already_says_both() -> None:
    project = with_amounts(CutWedges(50))
    blues = msgspec.structs.replace(project.fabrics[0], pool=Pool(38))
    project = msgspec.structs.replace(project, fabrics=(blues, *project.fabrics[1:]))
    (page,) = key_texts(project)
    said = [text.text for text in page]
    after = said.index("38 cloths, all different") + 1
    assert said[after] == "all cut already"
