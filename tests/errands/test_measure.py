"""Measuring photos as one set."""

from __future__ import annotations

from pathlib import Path

import pytest

from quiltboard.errands.measure import measure_photos
from quiltboard.fabrics.measure import SMALL, reading_of_colour
from tests.helpers.pictures import encoded, plain


def test_photos_are_measured_and_stepped_together(tmp_path: Path) -> None:
    for name, colour in {"a.png": (20, 24, 60), "b.png": (120, 120, 118)}.items():
        (tmp_path / name).write_bytes(encoded(plain(colour)))
    (tmp_path / "c.csv").write_text("name,colour\nChalk,#f4f0e6\n", encoding="utf-8")
    (tmp_path / "torn.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    files = [tmp_path / name for name in ("a.png", "b.png", "c.csv", "torn.png")]
    measured = measure_photos(files)
    assert [row.file for row in measured.rows] == [str(files[0]), str(files[1]), "Chalk"]
    assert [row.step for row in measured.rows] == ["dark", "medium", "light"]
    for row, mixed in zip(measured.rows, ("#14183c", "#787876", "#f4f0e6"), strict=True):
        assert row.lab == pytest.approx(reading_of_colour(mixed).lab, abs=1e-6)
        assert row.value == row.lab[0]
    (problem,) = measured.problems
    assert problem.startswith("torn.png")


def test_a_small_photo_says_so(tmp_path: Path) -> None:
    (tmp_path / "thumb.png").write_bytes(encoded(plain((90, 60, 60), 40, 40)))
    (row,) = measure_photos([tmp_path]).rows
    assert row.warnings == (SMALL,)
    assert row.step == "medium"
