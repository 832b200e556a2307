"""The program as it is installed: from its wheel, in any folder, with the checkout gone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

pytestmark = pytest.mark.smoke

ROOT = Path(__file__).parents[1]

# Only what the wheel brings may be found: -S keeps the checkout that an editable install puts
# on the path away, and PYTHONPATH gives the packages the program stands on back.
OUTSIDE = [sys.executable, "-S"]


def run_outside(
    installed: Path, folder: Path, *arguments: str
) -> subprocess.CompletedProcess[str]:
    """Run Python in another folder, on the installed wheel alone.

    Parameters
    ----------
    installed
        The folder the wheel was installed into.
    folder
        Where to run; an empty folder that is no checkout.
    arguments
        What follows `python` on the command line.

    Returns
    -------
    subprocess.CompletedProcess
        With what was printed, as text.
    """
    paths = [str(installed), sysconfig.get_path("purelib"), sysconfig.get_path("platlib")]
    environment = {name: text for name, text in os.environ.items() if name != "QT_QPA_PLATFORM"}
    environment.pop("DISPLAY", None)
    environment.pop("WAYLAND_DISPLAY", None)
    environment["PYTHONPATH"] = os.pathsep.join(dict.fromkeys(paths))
    return subprocess.run(
        [*OUTSIDE, *arguments],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=240,
        check=False,
    )


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel and install it into an empty folder, asking no network.

    Returns
    -------
    Path
        The folder that holds the installed package.
    """
    dist, target = tmp_path_factory.mktemp("dist"), tmp_path_factory.mktemp("installed")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(dist)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = dist.glob("quiltboard-*.whl")
    install = [sys.executable, "-m", "pip", "install", "--no-deps", "--no-index", "--target"]
    subprocess.run([*install, str(target), str(wheel)], check=True, capture_output=True)
    return target


def list_files(folder: Path) -> set[Path]:
    """List every file in a folder and below, without what Python leaves lying about.

    Returns
    -------
    set of Path
        Relative to the folder.
    """
    return {
        path.relative_to(folder)
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_every_shipped_file_comes_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    done = run_outside(
        installed,
        tmp_path,
        "-c",
        "import json, sys, quiltboard; from quiltboard.resources import shipped; "
        "print(json.dumps([sys.path, quiltboard.__file__, "
        "str(shipped('resources')), str(shipped('sample_swatches'))]))",
    )
    assert done.returncode == 0, done.stderr
    search_path, module, *folders = json.loads(done.stdout)
    assert str(ROOT) not in search_path
    assert module == str(installed / "quiltboard" / "__init__.py")
    for part, folder in zip(("resources", "sample_swatches"), folders, strict=True):
        assert folder == str(installed / "quiltboard" / "_shipped" / part)
        assert list_files(Path(folder)) == list_files(ROOT / part) != set()


def test_a_photo_is_measured_with_the_checkout_gone(installed: Path, tmp_path: Path) -> None:
    photo = min((installed / "quiltboard" / "_shipped" / "sample_swatches").rglob("*.jpg"))
    done = run_outside(installed, tmp_path, "-m", "quiltboard", "measure", str(photo), "--json")
    assert (done.returncode, done.stderr) == (0, "")
    (reading,) = json.loads(done.stdout)
    assert Path(reading["file"]).name == photo.name
    assert 0 < reading["value"] < 100


@pytest.mark.qt
def test_the_demo_is_planned_with_the_checkout_gone(installed: Path, tmp_path: Path) -> None:
    """Plan the demo where there is no screen and nothing says so."""
    out = tmp_path / "plan"
    plan = ["plan", "--sample", "--seconds", "2", "--out", str(out), "--json"]
    done = run_outside(installed, tmp_path, "-m", "quiltboard", *plan)
    assert (done.returncode, done.stderr) == (0, "")
    answer = json.loads(done.stdout)
    files = [tmp_path / name for name in answer["files"]]
    assert {file.suffix for file in files} >= {".pdf", ".png", ".svg"}
    board = tmp_path / answer["board"]
    assert board.suffix == ".quiltboard"
    for file in (board, *files):
        assert file.is_relative_to(out)
        assert file.stat().st_size > 0
    assert answer["pieces"]
    counted = [piece for piece in answer["pieces"] if piece["there"] is not None]
    assert counted
    assert all(piece["placed"] <= piece["there"] for piece in counted)
