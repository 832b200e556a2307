"""The command line's own words: what it says when the drawing is left to stand-ins."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest

from quiltboard import __version__
from quiltboard.__main__ import main
from quiltboard.cli import OK, REFUSED, run
from quiltboard.errands.sample import sample_before, sample_board
from quiltboard.project.project import Project
from quiltboard.quilt.board import Block
from quiltboard.store.board_file import open_board, save_board
from quiltboard.units import inches
from tests.helpers.boards import full_project, repacked, unpacked
from tests.helpers.pictures import encoded, plain

Capture = pytest.CaptureFixture[str]
StandIn = Callable[..., None]


def write_board(project: Project, out: Path, paper: str) -> tuple[Path, list[Path]]:
    """Write a board file alone, with the paper in the name of what would be its sheets."""
    out.mkdir(parents=True)
    save_board(project, out / "board.quiltboard")
    return out / "board.quiltboard", [out / "board.quiltboard", out / f"sheets-{paper}.pdf"]


def says(capsys: Capture, *arguments: object, code: int = OK) -> tuple[str, str]:
    assert run(list(map(str, arguments))) == code
    captured = capsys.readouterr()
    return captured.out, captured.err


def test_measure_in_words(tmp_path: Path, capsys: Capture) -> None:
    for name, colour in {"sea.png": (40, 80, 140), "chalk.png": (244, 240, 230)}.items():
        (tmp_path / name).write_bytes(encoded(plain(colour, 100, 100)))
    sea, chalk = tmp_path / "sea.png", tmp_path / "chalk.png"
    out, err = says(capsys, "measure", sea, chalk, tmp_path / "gone.png")
    lines = out.splitlines()
    assert lines[0] == f"{sea}: Sea"
    assert lines[1] == "    L* 34.2  a* 7.2  b* -37.5  dark"
    assert lines[2].startswith("    blue, cool, chroma 38")
    assert "    reads as solid" in lines
    assert any(line.startswith("    not calibrated: no card") for line in lines)
    assert any(line.startswith("    The picture is small") for line in lines)
    assert f"{chalk}: Chalk" in lines
    assert lines[-1].startswith("2 photos have no card")
    assert err.startswith("quiltboard: gone.png")
    assert err.count("\n") == 1


def test_plan_in_words_and_as_json(tmp_path: Path, capsys: Capture, stand_in: StandIn) -> None:
    stand_in("paint.export", write_board_and_sheets=write_board)
    (tmp_path / "set.csv").write_text(
        "name,colour,size\nKelp,#23473a,1\nChalk,#f4f0e6,2\nBrick,#a5482f,3\nSea,#28508c,4\n",
        encoding="utf-8",
    )
    plan = ["plan", tmp_path / "set.csv", "--plates", "1x1", "--weights", "touch=50, ,close=0"]
    out, err = says(capsys, *plan, "--out", tmp_path / "a", "--paper", "letter")
    board = tmp_path / "a" / "board.quiltboard"
    lines = out.splitlines()
    assert lines[0] == (
        "Set: 1 × 1 plates of 12, nothing flagged, cost 0 (nothing can be better)"
    )
    assert lines[-3:] == ["Written:", f"  {board}", f"  {tmp_path / 'a' / 'sheets-letter.pdf'}"]
    assert "mean nothing here" in err
    laid = open_board(board).project.board
    assert (laid.weights.touch, laid.weights.clump, laid.weights.close) == (50, 30, 0)
    out, _ = says(capsys, *plan, "--out", tmp_path / "b", "--seconds", 60, "--json")
    said = json.loads(out)
    assert said["files"][1].endswith("sheets-a4.pdf")
    assert said["cost"] == 0
    assert (tmp_path / "b" / "board.quiltboard").read_bytes() == board.read_bytes()


def test_plan_of_the_demo_takes_its_size_and_dress(
    tmp_path: Path, capsys: Capture, stand_in: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_in("paint.export", write_board_and_sheets=write_board)
    monkeypatch.setattr(
        "quiltboard.errands.sample.sample_list", lambda: tmp_path / "fabrics.csv"
    )
    (tmp_path / "fabrics.csv").write_text(
        "name,colour\nBeetroot Rings,#8a3324\nKelp,#23473a\nChalk,#f4f0e6\nSea,#28508c\n",
        encoding="utf-8",
    )
    out, _ = says(capsys, "plan", "--sample", "--seconds", "0.01", "--out", tmp_path / "out")
    assert out.startswith("Allotment Supper: 4 × 5 plates of 12, ")
    assert open_board(tmp_path / "out" / "board.quiltboard").project.board.sash == inches(2)


def test_check_in_words_with_other_costs(tmp_path: Path, capsys: Capture) -> None:
    board = tmp_path / "supper.quiltboard"
    project = full_project()
    ring = (*project.board.blocks[0].cells[:1], *project.board.blocks[0].cells[:11])
    laid = msgspec.structs.replace(project.board, blocks=(Block(ring),), watch=("dark",))
    save_board(msgspec.structs.replace(project, board=laid), board)
    usual, _ = says(capsys, "check", board)
    assert "  touch  Harbour Dot touches itself. Wedges 1 and 2." in usual.splitlines()
    quiet, _ = says(capsys, "check", board, "--weights", "touch=0,clump=0,close=0")
    assert quiet.splitlines()[0] == "Sea & <Brick>: nothing flagged, cost 0"
    light = json.loads(says(capsys, "check", board, "--watch", "Light, light", "--json")[0])
    watched = json.loads(says(capsys, "check", board, "--json")[0])
    assert [flag["kind"] for flag in light["flags"]] != [f["kind"] for f in watched["flags"]]


def test_what_a_board_file_wants_is_told_beside_what_it_says(
    tmp_path: Path, capsys: Capture, stand_in: StandIn
) -> None:
    board = tmp_path / "supper.quiltboard"
    save_board(full_project(), board)
    entries = unpacked(board)
    del entries["photos/dot.jpg"]
    repacked(board, entries)

    def write_sheets(project: Project, out: Path, stem: str, paper: str) -> list[Path]:
        return [out / f"{stem}-{paper}-{len(project.fabrics)}.pdf"]

    stand_in("paint.export", write_sheets=write_sheets)
    for arguments in (["check", board], ["sheets", board, "--out", tmp_path / "out"]):
        out, err = says(capsys, *arguments)
        assert "Harbour Dot" in err
        assert err.startswith("quiltboard: ")
        assert out
    assert out == f"{tmp_path / 'out' / 'supper-a4-3.pdf'}\n"
    out, _ = says(capsys, "sheets", board, "--out", tmp_path / "out", "--json")
    assert json.loads(out) == {"files": [str(tmp_path / "out" / "supper-a4-3.pdf")]}


def test_deal_in_words(tmp_path: Path, capsys: Capture) -> None:
    board = tmp_path / "supper.quiltboard"
    save_board(full_project(), board)
    out, _ = says(capsys, "deal", board, "--seed", 4, "--out", tmp_path / "new.quiltboard")
    first, last = out.splitlines()
    assert first.startswith("Cost ")
    assert " moves with seed 4: " in first
    assert last == f"Written: {tmp_path / 'new.quiltboard'}"


def test_the_window_opens_on_what_is_named(
    tmp_path: Path, capsys: Capture, stand_in: StandIn
) -> None:
    opened: list[tuple[Path | None, bool]] = []

    def open_window(file: Path | None, *, sample: bool) -> int:
        opened.append((file, sample))
        return 0

    stand_in("app", open_window=open_window)
    says(capsys)
    says(capsys, "--sample")
    says(capsys, sample_board())
    assert opened == [(None, False), (None, True), (sample_board(), False)]
    _, err = says(capsys, tmp_path / "gone.quiltboard", code=REFUSED)
    assert err == f"quiltboard: {tmp_path / 'gone.quiltboard'} is not there, or is no board\n"


@pytest.mark.parametrize(
    ("error", "line"),
    [
        (PermissionError(13, "Permission denied", "supper"), "supper: Permission denied"),
        (OSError(5, "Input/output error"), "Input/output error"),
        (OSError("no\nreason"), "no reason"),
        (KeyboardInterrupt(), "stopped; nothing was written"),
    ],
)
def test_what_the_system_refuses_is_one_line(
    error: BaseException, line: str, capsys: Capture, stand_in: StandIn
) -> None:
    def open_window(_file: Path | None, *, sample: bool) -> int:
        raise error

    stand_in("app", open_window=open_window)
    assert says(capsys, code=REFUSED) == ("", f"quiltboard: {line}\n")


def test_a_cost_that_is_no_number_is_refused(capsys: Capture) -> None:
    _, err = says(capsys, "check", sample_board(), "--weights", "touch=dear", code=REFUSED)
    assert err.endswith("not “touch=dear”\n")


def test_a_reader_that_has_had_enough_is_no_mishap(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stand_in: StandIn
) -> None:
    def open_window(_file: Path | None, *, sample: bool) -> int:
        raise BrokenPipeError

    stand_in("app", open_window=open_window)
    with (tmp_path / "out").open("w") as out:
        monkeypatch.setattr(sys, "stdout", out)
        assert run([]) == OK
        print("the rest")  # noqa: T201
    assert (tmp_path / "out").read_text() == ""


def test_a_window_without_a_terminal_has_no_one_to_speak_to(
    monkeypatch: pytest.MonkeyPatch, stand_in: StandIn
) -> None:
    stand_in("app", open_window=lambda _file, **_options: 0)
    monkeypatch.setattr(sys, "stdout", None)
    assert run([]) == OK


def test_json_goes_to_whatever_listens() -> None:
    with contextlib.redirect_stdout(io.StringIO()) as heard:
        assert run(["check", str(sample_board()), "--json"]) == OK
    assert json.loads(heard.getvalue())["flags"] == []


@pytest.mark.parametrize(
    ("room", "arguments"),
    [
        ("app", []),
        ("paint.export", ["plan", "--sample"]),
        ("paint.export", ["sheets", sample_board(), "--out", "sheets"]),
    ],
)
def test_where_qt_is_missing_it_is_said_what_to_do(
    room: str, arguments: list[object], capsys: Capture, stand_in: StandIn
) -> None:
    stand_in(room)  # an empty module: what is wanted of it cannot be imported
    _, err = says(capsys, *arguments, code=REFUSED)
    assert err.startswith("quiltboard: windows, pictures and sheets need PySide6, which cannot")
    assert err.endswith("as the README says under Set up\n")


def test_the_door_hands_the_arguments_over(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.setattr(sys, "argv", ["quiltboard", "check", str(sample_before()), "--json"])
    assert main() == OK
    assert json.loads(capsys.readouterr().out)["flags"]
    monkeypatch.setattr(sys, "argv", ["quiltboard", "--version"])
    with pytest.raises(SystemExit) as exit_:
        main()
    assert exit_.value.code == OK
    assert capsys.readouterr().out == f"quiltboard {__version__}\n"
