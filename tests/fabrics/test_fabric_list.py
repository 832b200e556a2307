"""A table of fabrics: a bad row loses only itself, and nothing is lost unsaid."""

from __future__ import annotations

from pathlib import Path

import pytest

from quiltboard.fabrics import fabric_list
from quiltboard.fabrics.fabric import Cloth, CutWedges
from quiltboard.fabrics.fabric_list import (
    FabricList,
    ListedFabric,
    parse_fabric_list,
    read_fabric_list,
)
from quiltboard.units import Unit, inches, millimetres

FOLDER = Path("shelf")
HEAD = "name,photo,colour,pieces,length,width,note\n"


def parsed(text: str | bytes, unit: Unit = "in") -> FabricList:
    return parse_fabric_list(
        text.encode() if isinstance(text, str) else text, FOLDER, unit=unit
    )


def only_problem(text: str | bytes) -> str:
    fabrics, problems = parsed(text)
    assert fabrics == ()
    (problem,) = problems
    return problem


def row(cells: str) -> str:
    return only_problem(HEAD + cells + "\n")


def test_a_whole_row() -> None:
    assert parsed(HEAD + "Kale Frill,photos/kale.jpg,#21452F,,0.25 yd,18 in,leafy\n") == (
        (
            ListedFabric(
                "Kale Frill",
                FOLDER / "photos/kale.jpg",
                "#21452f",
                (Cloth(inches(9), inches(18)),),
                "leafy",
            ),
        ),
        (),
    )


def test_rows_of_one_name_add_up() -> None:
    fabrics, problems = parsed(
        HEAD
        + 'Kale,k.jpg,,12,,,cut\nLeek,,#22343A,,,,\n kale ,,,,"0,5 m",,new\nKALE,,,,,,cut\n'
    )
    assert problems == ()
    kale, leek = fabrics
    assert kale == ListedFabric(
        "Kale", FOLDER / "k.jpg", None, (CutWedges(12), Cloth(millimetres(500))), "cut; new"
    )
    assert leek == ListedFabric("Leek", None, "#22343a")


def test_no_pieces_is_none_at_all_and_nothing_written_is_as_much_as_needed() -> None:
    fabrics, problems = parsed(HEAD + "A,,#000000,0,,,\nB,,#000000,,,,\n")
    assert problems == ()
    assert [one.amounts for one in fabrics] == [(CutWedges(0),), ()]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_delimiters_capitals_and_order(delimiter: str) -> None:
    text = "Colour,PIECES, Name\r\n#ff0000,4,Tomato\r\n\r\n#00ff00,5,Pea\r\n"
    fabrics, problems = parsed(text.replace(",", delimiter))
    assert problems == ()
    assert [(one.name, one.colour, one.amounts) for one in fabrics] == [
        ("Tomato", "#ff0000", (CutWedges(4),)),
        ("Pea", "#00ff00", (CutWedges(5),)),
    ]


def test_decimal_commas_between_semicolons() -> None:
    fabrics, problems = parsed("name;colour;length;width\nA;#000000;0,5 m;110 cm\n")
    assert problems == ()
    assert fabrics[0].amounts == (Cloth(millimetres(500), millimetres(1100)),)


def test_a_length_without_a_unit_is_in_the_makers_unit() -> None:
    text = HEAD + "A,,#000000,,10,,\n"
    assert parsed(text).fabrics[0].amounts == (Cloth(inches(10)),)
    assert parsed(text, "cm").fabrics[0].amounts == (Cloth(millimetres(100)),)


def test_a_spreadsheets_own_line_and_american_spelling() -> None:
    fabrics, problems = parsed("sep=;\r\nname;color\r\nA;#000000\r\n")
    assert (fabrics, problems) == ((ListedFabric("A", None, "#000000"),), ())


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_encodings_that_name_themselves(encoding: str) -> None:
    fabrics, problems = parsed((HEAD + "Étoffe,,#000000,,,,½ price\n").encode(encoding))
    assert problems == ()
    assert (fabrics[0].name, fabrics[0].note) == ("Étoffe", "½ price")


def test_western_european_is_read_with_a_note() -> None:
    fabrics, problems = parsed((HEAD + "Étoffe,,#000000,,,,\n").encode("cp1252"))
    assert fabrics[0].name == "Étoffe"
    (problem,) = problems
    assert problem.startswith("fabrics.csv: it is not UTF-8 and was read as Western European")


def test_an_empty_cell_too_many_does_no_harm() -> None:
    assert parsed(HEAD + "A,,#000000,3,,,,,\n").problems == ()


def test_columns_without_a_name_are_passed_over() -> None:
    assert parsed("name,colour,,\nA,#000000,,\n") == ((ListedFabric("A", None, "#000000"),), ())


def test_extra_columns_are_told_of() -> None:
    fabrics, problems = parsed("name,shop,colour,price\nA,Corner,#000000,4\n")
    assert fabrics == (ListedFabric("A", None, "#000000"),)
    assert problems == ("fabrics.csv: columns that mean nothing here: “shop”, “price”",)


def test_a_photo_names_its_fabric() -> None:
    fabrics, _ = parsed("photo\nphotos\\kale-frill.jpg\n/else/where.png\n")
    assert [(one.name, one.photo) for one in fabrics] == [
        ("Kale frill", FOLDER / "photos/kale-frill.jpg"),
        ("Where", Path("/else/where.png")),
    ]


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (",,#000000,,,,", "it has no name"),
        ("A,,,4,,,", "“A” has neither a photo nor a colour"),
        ("A,,red,,,,", "“red” is no colour; write it as #rrggbb"),
        ("A,,#000000,four,,,", "“four” is no number of pieces"),
        ("A,,#000000,-1,,,", "“-1” is no number of pieces"),
        ("A,,#000000,1.5,,,", "“1.5” is no number of pieces"),
        ("A,,#000000,nan,,,", "“nan” is no number of pieces"),
        ("A,,#000000,inf,,,", "“inf” is no number of pieces"),
        ("A,,#000000,1000000,,,", "“1000000” is no number of pieces"),
        ("A,,#000000,,long,,", "“long” is no length"),
        ("A,,#000000,,0 in,,", "“0 in” is no length"),
        ("A,,#000000,,18 in,wide,", "“wide” is no length"),
        ("A,,#000000,,,18 in,", "a width without a length"),
        ("A,,#000000,3,18 in,,", "both pieces and a length"),
        ("A,,#000000,,1,5 yd,,", "more cells than the first row"),
        ("A,,#000000,,,,leafy,green", "more cells than the first row"),
        ("A,a\x1bb.jpg,,,,,", "signs that no path has"),
    ],
)
def test_a_bad_row_says_where_and_what(cells: str, said: str) -> None:
    problem = row(cells)
    assert problem.startswith("fabrics.csv row 2: ")
    assert said in problem


def test_only_the_bad_row_is_lost_and_rows_are_counted_as_in_a_table() -> None:
    fabrics, problems = parsed(
        HEAD
        + "A,,#000000,1,,,\n\nA,,#000000,x,,,\nB,,#ffffff,2,,,\nA,,#000001,3,,,\nA,,,4,,,\n"
    )
    assert [(one.name, one.amounts) for one in fabrics] == [
        ("A", (CutWedges(1), CutWedges(4))),
        ("B", (CutWedges(2),)),
    ]
    assert [line.partition(": ")[0] for line in problems] == [
        "fabrics.csv row 4",
        "fabrics.csv row 6",
    ]
    assert "“A” has another colour already" in problems[1]


def test_a_row_that_is_refused_leaves_nothing_behind() -> None:
    fabrics, problems = parsed(HEAD + "A,a.jpg,,x,,,\nA,b.jpg,,,,,\n")
    assert [one.photo for one in fabrics] == [FOLDER / "b.jpg"]
    assert len(problems) == 1


def test_an_open_quotation_mark_does_not_swallow_rows_unsaid() -> None:
    fabrics, problems = parsed(HEAD + 'A,,#000000,,,,"new\nB,,#ffffff,2,,,\nC,,#ffffff,2,,,\n')
    assert fabrics == ()
    (problem,) = problems
    assert problem.startswith("fabrics.csv row 2: its quotation marks do not close")
    fabrics, problems = parsed(HEAD + 'A,,#000000,,,,"first line\nsecond, line"\n')
    assert fabrics[0].note == "first line second, line"
    assert problems == ()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "it is empty"),
        (b"name,photo\n\n , \n", "it names no fabric; write one in each row below the first"),
        (b"\xef\xbb\xbf", "it is empty"),
        (b"Kale,kale.jpg\n", "its first row has to name the columns: name,photo,colour"),
        (b"colour,pieces\n#000000,1\n", "its first row has to name the columns"),
        (b"name,Name\nA,B\n", "two columns are called “name”"),
        (b"PK\x03\x04xl/worksheets", "this is no table of text; save it as CSV"),
        (b"name,photo\nA,\0\n", "this is no table of text"),
        (b"name\n" + b"A\n" * 2001, "more than 2000 rows"),
        (b"name\n" + b"A" * 200_000, "its quotation marks do not close"),
        (b"name\n" + b"A\n" * 2_500_001, "more than 5 MB"),
    ],
)
def test_lists_that_are_refused_whole(data: bytes, said: str) -> None:
    problem = only_problem(data)
    assert problem.startswith("fabrics.csv: ")
    assert said in problem


def test_reading_from_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "my fabrics.csv"
    path.write_text("name,photo,pieces\nKale,kale.jpg,x\nLeek,leek.jpg,2\n", encoding="utf-8")
    fabrics, problems = read_fabric_list(path)
    assert fabrics == (ListedFabric("Leek", tmp_path / "leek.jpg", None, (CutWedges(2),)),)
    assert problems[0].startswith("my fabrics.csv row 2: “x” is no number of pieces")
    assert (
        read_fabric_list(tmp_path / "gone.csv").problems[0].startswith("gone.csv: there is no")
    )
    monkeypatch.setattr(fabric_list, "LARGEST_LIST_MB", 0)
    assert (
        read_fabric_list(path).problems[0].startswith("my fabrics.csv: it holds more than 0 MB")
    )
