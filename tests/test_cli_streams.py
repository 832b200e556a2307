"""The command line where names, screens and pipes are not what one would wish."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from quiltboard.cli import _say_json, run

# A terminal's own settings must not colour the outcome.
PLAIN = {
    name: text for name, text in os.environ.items() if not name.startswith(("LC_", "LANG"))
}


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "Grünkohl 🧵.png"
    Image.new("RGB", (64, 64), (90, 110, 70)).save(path)
    return path


def ask(*arguments: object, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "quiltboard", *map(str, arguments)],
        env={**PLAIN, **environment},
        capture_output=True,
        check=False,
    )


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_json_is_utf8_whatever_the_screen_speaks(photo: Path, encoding: str) -> None:
    done = ask("measure", "--json", photo, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout.decode("utf-8"))[0]["file"] == str(photo)


def test_a_screen_without_the_signs_of_a_name_shows_them_as_escapes(photo: Path) -> None:
    done = ask("measure", photo, PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, b"")
    assert rb"Gr\xfcnkohl \U0001f9f5.png: Gr\xfcnkohl" in done.stdout


def test_a_name_that_is_no_text_can_be_had_again_from_the_json(
    capsys: pytest.CaptureFixture[str],
) -> None:
    odd = "kale\udcff.png"
    _say_json({"file": odd})
    assert json.loads(capsys.readouterr().out)["file"] == odd


def test_a_reader_that_has_had_enough_is_no_error(photo: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-m", "quiltboard", "measure", str(photo)],
        stdout=write,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_line_break_in_a_name_breaks_no_line(
    photo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    odd = photo.rename(photo.with_name("two\nlines.png"))
    assert run(["measure", str(odd)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].endswith("two lines.png: Two lines")
    assert lines[1].startswith("    L* ")
    assert not any(line.startswith("lines.png") for line in lines)


def test_too_few_pieces_also_names_the_photos_that_were_left_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], stand_in: Callable[..., None]
) -> None:
    stand_in("paint.export", write_board_and_sheets=None)
    table = tmp_path / "few.csv"
    table.write_text("name,photo,colour,pieces\nA,,#aa3344,5\nB,gone.jpg,,50\n")
    out = tmp_path / "out"
    assert run(["plan", str(table), "--plates", "1x1", "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "takes 12 wedges and there are only 5" in said
    assert "gone.jpg: there is no such file" in said
    assert not out.exists()


def test_nothing_readable_names_every_photo(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], stand_in: Callable[..., None]
) -> None:
    stand_in("paint.export", write_board_and_sheets=None)
    torn = [tmp_path / f"torn-{k}.jpg" for k in range(5)]
    for path in torn:
        path.write_bytes(b"torn")
    assert run(["plan", *map(str, torn), "--plates", "1x1"]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert all(path.name in said for path in torn)
