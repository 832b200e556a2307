"""A folder may hold pictures of kinds that are not read: each is named, none just left out."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from quiltboard.errands.bring_in import bring_in


@pytest.mark.parametrize(("suffix", "said"), [("gif", "GIF"), ("TIF", "TIFF"), ("bmp", "BMP")])
def test_it_is_named_with_what_to_do(tmp_path: Path, suffix: str, said: str) -> None:
    cloth = Image.new("RGB", (240, 240), (90, 110, 70))
    cloth.save(tmp_path / "kale.png")
    cloth.save(tmp_path / f"leek.{suffix}")
    (tmp_path / "notes.txt").write_text("bought at the fair")
    brought = bring_in([tmp_path])
    assert [fabric.name for fabric in brought.fabrics] == ["Kale"]
    (problem,) = brought.problems
    assert problem.startswith(f"leek.{suffix}: this is a {said}")
    assert "save it as JPEG or PNG" in problem


def test_a_photo_under_a_wrong_name_is_read(tmp_path: Path) -> None:
    Image.new("RGB", (240, 240), (90, 110, 70)).save(tmp_path / "kale.bmp", "JPEG")
    brought = bring_in([tmp_path])
    assert ([fabric.name for fabric in brought.fabrics], brought.problems) == (["Kale"], ())
