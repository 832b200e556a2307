"""The command line, on photos made here: what it prints, what it writes, what it refuses."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from quiltboard.cli import run
from quiltboard.errands.sample import sample_before, sample_board, sample_list
from quiltboard.store.board_file import open_board, save_board
from tests.helpers.projects import PRINTS, printed

Json = Any
StandIn = Callable[..., None]
NOTHING_IS_PAINTED = {"write_board_and_sheets": None, "write_sheets": None}
"""In the place of what paints: calling it would fail."""


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Eight invented prints as JPEG files, as a folder of photos."""
    folder = tmp_path_factory.mktemp("cloths")
    for name, (kind, ground, figure, _) in PRINTS.items():
        pixels = printed(kind, ground, figure, 320)
        Image.fromarray(pixels).save(
            folder / f"{name.lower().replace(' ', '-')}.jpg", quality=95
        )
    return folder


def said(capsys: pytest.CaptureFixture[str]) -> tuple[str, str]:
    captured = capsys.readouterr()
    return captured.out, captured.err


def run_json(capsys: pytest.CaptureFixture[str], *arguments: object) -> Json:
    assert run([*map(str, arguments), "--json"]) == 0
    return json.loads(said(capsys)[0])


def refusal(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    """Run something that is refused; give the one line it says."""
    assert run(list(map(str, arguments))) == 2
    out, err = said(capsys)
    assert out == ""
    assert err.count("\n") == 1
    assert err.startswith("quiltboard: ")
    return err


def independent_flags(board: Json, steps: dict[str, str], watch: set[str]) -> Counter[str]:
    """Count flags from the printed cells alone, by the rules as the README states them."""
    rings: dict[int, list[str | None]] = {}
    for cell in board["cells"]:
        rings.setdefault(cell["block"], []).append(cell["fabric"])
    found: Counter[str] = Counter()
    for ring in rings.values():
        n = len(ring)
        for w in range(n):
            a, b, c = ring[w], ring[(w + 1) % n], ring[(w + 2) % n]
            found["touch"] += a is not None and a == b
            found["close"] += a is not None and a == c and b is not None and b != a
        marks = [steps.get(f) if f else None for f in ring]
        if len(set(marks)) == 1 and marks[0] in watch:
            found["clump"] += 1
            continue
        start = next((w for w in range(n) if marks[w] != marks[w - 1]), 0)
        run_length, before = 0, None
        for w in range(n + 1):
            mark = marks[(start + w) % n] if w < n else None
            if mark == before:
                run_length += 1
                continue
            found["clump"] += before in watch and run_length >= 3
            run_length, before = 1, mark
    placed = Counter(f for ring in rings.values() for f in ring if f)
    there = {p["name"]: p["there"] for p in board["pieces"]}
    found["short"] = sum(there[f] is not None and n > there[f] for f, n in placed.items())
    return +found


MEASURED = {
    "file", "name", "lab", "value", "step", "calibrated", "lamp", "hue", "warmth", "chroma",
    "colours", "contrast", "solid", "width_mm", "feature", "repeat", "direction", "warnings",
    "told",
}  # fmt: skip


def test_measure_tells_each_photo_of_a_set(
    photos: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    files = sorted(photos.glob("*.jpg"))
    rows = run_json(capsys, "measure", *files)
    assert [row["file"] for row in rows] == [str(file) for file in files]
    assert all(set(row) == MEASURED for row in rows)
    assert all(row["calibrated"] is None for row in rows)
    assert all(row["value"] == row["lab"][0] for row in rows)
    by_name = {Path(row["file"]).stem: row for row in rows}
    assert by_name["night-ferry"]["step"] == "dark"
    assert by_name["salt-flat"]["step"] == "light"


def test_one_bad_photo_loses_only_itself(
    photos: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "torn.jpg"
    bad.write_bytes(next(photos.glob("*.jpg")).read_bytes()[:400])
    good = sorted(photos.glob("*.jpg"))[:2]
    assert run(["measure", str(good[0]), str(bad), str(good[1]), "--json"]) == 0
    out, err = said(capsys)
    assert len(json.loads(out)) == 2
    assert "torn.jpg" in err
    assert err.count("\n") == 1
    assert "torn.jpg" in refusal(capsys, "measure", bad)


@pytest.mark.qt
def test_plan_deals_a_folder_of_photos(
    photos: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    planned = run_json(
        capsys, "plan", photos, "--plates", "3x2", "--wedges", 10, "--seed", 5, "--out", out,
        "--watch", "dark,light",
    )  # fmt: skip
    assert set(planned) == {"board", "cost", "flags", "pieces", "files"}
    assert all(Path(file).stat().st_size for file in planned["files"])
    kinds = {Path(file).suffix for file in planned["files"]}
    assert kinds == {".quiltboard", ".png", ".svg", ".pdf", ".csv"}
    assert sum(piece["placed"] for piece in planned["pieces"]) == 60
    assert planned["flags"]["touch"] == 0

    checked = run_json(capsys, "check", planned["board"])
    assert checked["cost"] == planned["cost"]
    assert len(checked["cells"]) == 60
    steps = {
        row["file"]: row["step"]
        for row in run_json(capsys, "measure", *sorted(photos.glob("*.jpg")))
    }
    named = {Path(file).stem.replace("-", " ").capitalize(): s for file, s in steps.items()}
    flags = Counter(flag["kind"] for flag in checked["flags"])
    assert flags == independent_flags(checked, named, {"dark", "light"})


@pytest.mark.qt
def test_the_same_seed_plans_the_same(
    photos: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boards = []
    for k in range(2):
        run_json(capsys, "plan", photos, "--plates", "2x2", "--out", tmp_path / str(k))
        boards.append(next((tmp_path / str(k)).glob("*.quiltboard")).read_bytes())
    assert boards[0] == boards[1]


def test_the_planted_faults_are_found(capsys: pytest.CaptureFixture[str]) -> None:
    checked = run_json(capsys, "check", sample_before())

    def cells(kind: str, fabric: str | None = None) -> set[tuple[tuple[int, int], ...]]:
        return {
            tuple((cell["block"], cell["wedge"]) for cell in flag["cells"])
            for flag in checked["flags"]
            if flag["kind"] == kind and fabric in {None, *flag["fabrics"]}
        }

    assert ((0, 2), (0, 3)) in cells("touch", "Pea Shoot")
    assert ((2, 0), (2, 2)) in cells("close", "Marigold")
    assert ((5, 3), (5, 4), (5, 5), (5, 6)) in cells("clump")
    assert len(cells("short", "Kale Frill")) == 1
    kale = next(piece for piece in checked["pieces"] if piece["name"] == "Kale Frill")
    assert (kale["placed"], kale["there"], kale["short"]) == (17, 16, 1)
    assert len([c for c in cells("touch", "Tomato Skin") if c[0][0] == 19]) >= 2
    heavy = next(lean for lean in checked["heavy"] if lean["block"] == 5)
    assert heavy["length"] == max(lean["length"] for lean in checked["heavy"])
    assert 90 < heavy["direction_deg"] < 180


def test_the_demo_is_dealt_clean(capsys: pytest.CaptureFixture[str]) -> None:
    checked = run_json(capsys, "check", sample_board())
    assert checked["flags"] == []
    assert len(checked["cells"]) == 240


def test_deal_is_never_worse_and_leaves_the_file_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    board = tmp_path / "supper.quiltboard"
    board.write_bytes(sample_before().read_bytes())
    before = run_json(capsys, "check", board)
    dealt = run_json(capsys, "deal", board, "--seed", 3, "--seconds", 4)
    assert dealt["board"] == str(tmp_path / "supper-dealt.quiltboard")
    assert board.read_bytes() == sample_before().read_bytes()
    after = run_json(capsys, "check", dealt["board"])
    assert after["cost"] == dealt["cost"] <= before["cost"] == dealt["before"]
    was = open_board(board).project.board
    pinned = [(*cell, fabric) for cell, fabric in was.cells() if was.pinned(cell)]
    laid = open_board(Path(dealt["board"])).project.board
    assert pinned
    assert all(laid.blocks[b].cells[w] == fabric for b, w, fabric in pinned)


@pytest.mark.qt
def test_sheets_writes_everything(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "a" / "b"
    written = run_json(capsys, "sheets", sample_board(), "--out", out, "--paper", "letter")
    assert {Path(file).suffix for file in written["files"]} == {".png", ".svg", ".pdf", ".csv"}
    assert all(Path(file).parent == out for file in written["files"])


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["plan", "."], "--plates 4x5"),
        (["plan"], "folders"),
        (["plan", ".", "--plates", "four"], "such as 4x5"),
        (["plan", "nowhere", "--plates", "1x1"], "nowhere"),
        (["plan", ".", "--plates", "0x5"], "1 to 40"),
        (["plan", ".", "--plates", "30x30"], "at most 400"),
        (["plan", ".", "--plates", "2x2", "--wedges", "5"], "6 to 40"),
        (["plan", ".", "--plates", "2x2", "--weights", "itch=3"], "touch, clump, close"),
        (["plan", ".", "--plates", "2x2", "--weights", "touch=-3"], "from 0 up"),
        (["plan", ".", "--plates", "2x2", "--watch", "bright"], "light, medium, dark"),
        (["plan", ".", "--plates", "2x2", "--seconds", "-1"], "above 0"),
        (["check", "nowhere.quiltboard"], "nowhere.quiltboard"),
        (["deal", "nowhere.quiltboard"], "nowhere.quiltboard"),
        (["sheets", "nowhere.quiltboard", "--out", "x"], "nowhere.quiltboard"),
        (["nowhere.quiltboard"], "nowhere.quiltboard"),
    ],
)
def test_bad_arguments_get_one_line(
    arguments: list[str],
    says: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    stand_in: StandIn,
) -> None:
    stand_in("paint.export", **NOTHING_IS_PAINTED)
    monkeypatch.chdir(tmp_path)
    assert says in refusal(capsys, *arguments)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "arguments",
    [["plan", ".", "--plates"], ["plan", ".", "--style", "disco"], ["check"], ["--lunch"]],
)
def test_unknown_arguments_get_one_line_too(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as exit_:
        run(arguments)
    assert exit_.value.code == 2
    assert said(capsys)[1].count("\n") == 1


def test_too_few_pieces_is_said_before_dealing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], stand_in: StandIn
) -> None:
    stand_in("paint.export", **NOTHING_IS_PAINTED)
    (tmp_path / "few.csv").write_text(
        "name,photo,colour,pieces,length,width,note\nA,,#112233,5,,,\nB,,#eeeeee,4,,,\n"
    )
    line = refusal(capsys, "plan", tmp_path / "few.csv", "--plates", "1x1")
    assert "12" in line
    assert "9" in line


@pytest.mark.qt
def test_a_folder_that_cannot_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert "file" in refusal(capsys, "sheets", sample_board(), "--out", blocked)
    assert blocked.read_text() == "in the way"


@pytest.mark.parametrize("command", ["measure", "check", "deal"])
def test_these_commands_load_no_qt(command: str, tmp_path: Path) -> None:
    named = {
        "measure": [str(next(sample_list().parent.rglob("*.jpg")))],
        "check": [str(sample_board())],
        "deal": [str(sample_board()), "--out", str(tmp_path / "x.quiltboard")],
    }[command]
    script = (
        "import sys\nfrom quiltboard.cli import run\n"
        f"assert run({[command, *named]!r}) == 0\n"
        "loaded = {name.split('.')[0] for name in sys.modules}\n"
        "assert not loaded & {'PySide6', 'shiboken6'}\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], check=False, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def test_no_screen_is_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    assert "no screen" in refusal(capsys)


def test_a_board_saved_by_the_store_is_what_check_reads(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opened = open_board(sample_board()).project
    save_board(opened, tmp_path / "copy.quiltboard")
    assert run_json(capsys, "check", tmp_path / "copy.quiltboard") == run_json(
        capsys, "check", sample_board()
    )
