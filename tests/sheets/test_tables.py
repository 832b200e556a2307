"""The pieces as a table."""

from __future__ import annotations

import csv
from io import StringIO

import msgspec

from quiltboard.cutting.counts import count_pieces
from quiltboard.fabrics.fabric import Cloth
from quiltboard.project.project import Project
from quiltboard.sheets.tables import pieces_table
from quiltboard.units import inches
from tests.helpers.projects import sample_project, sample_steps


def table_of(project: Project) -> list[dict[str, str]]:
    counts = count_pieces(project.board, project.fabrics)
    text = pieces_table(project, counts, sample_steps())
    return list(csv.DictReader(StringIO(text)))


def test_every_fabric_has_its_row() -> None:
    project = sample_project()
    rows = table_of(project)
    assert sorted(row["name"] for row in rows) == sorted(f.name for f in project.fabrics)
    assert sum(int(row["placed"]) for row in rows) == 48
    for row in rows:
        assert int(row["short"]) == max(0, int(row["placed"]) - int(row["there"]))
    steps = {row["name"]: row["value step"] for row in rows}
    assert steps["Newsprint"] == "mixed"


def test_as_much_as_needed_is_empty_and_strips_are_counted() -> None:
    project = sample_project()
    free = msgspec.structs.replace(project.fabrics[0], amounts=(), name='Dot, "large"')
    cloth = msgspec.structs.replace(project.fabrics[1], amounts=(Cloth(inches(36)),))
    fabrics = (free, cloth, *project.fabrics[2:])
    rows = {
        row["name"]: row for row in table_of(msgspec.structs.replace(project, fabrics=fabrics))
    }
    assert rows['Dot, "large"']["there"] == ""
    assert rows["Night Ferry"]["strips"] == "1"


def test_a_name_like_a_formula_is_written_as_text() -> None:
    project = sample_project()
    risky = msgspec.structs.replace(project.fabrics[0], name="=1+1")
    fabrics = (risky, *project.fabrics[1:])
    rows = table_of(msgspec.structs.replace(project, fabrics=fabrics))
    assert any(row["name"] == "'=1+1" for row in rows)
