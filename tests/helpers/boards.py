"""An invented board with everything on it that a board file keeps, and files made of it."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import msgspec
import pytest
from PIL import Image

from quiltboard.fabrics.fabric import (
    Cloth,
    CutWedges,
    Fabric,
    FabricId,
    Photo,
    Reading,
    Swatch,
)
from quiltboard.project.edits import AddFabrics, LayOut, PinWedges, PlaceFabric, Rename
from quiltboard.project.project import Project, new_project
from quiltboard.quilt.board import Cell
from quiltboard.store.board_file import open_board
from quiltboard.store.safe_write import StoreError
from quiltboard.units import inches


def encoded(colour: str, size_px: tuple[int, int], kind: str) -> bytes:
    """Encode a plain picture."""
    out = BytesIO()
    Image.new("RGB", size_px, colour).save(out, kind)
    return out.getvalue()


def pictured(fabric: str, name: str, colour: str = "#2b7a7f") -> Fabric:
    """Give a fabric with a swatch, a photo, amounts, and a reading of its own."""
    return Fabric(
        id=FabricId(fabric),
        name=name,
        reading=Reading((47.25, -21.5, -8.125), 40.5, 55.0, ("A little dark.",)),
        colour=colour,
        swatch=Swatch(encoded(colour, (12, 9), "PNG"), 12, 9, inches(9)),
        photo=Photo(encoded(colour, (32, 24), "JPEG"), 32, 24),
        corners=((0.1, 0.2), (0.9, 0.15), (1.0, 1.0), (0.0, 0.75)),
        amounts=(CutWedges(8), Cloth(inches(18)), Cloth(inches(9), inches(21))),
        note="from the swap\nsecond line",
        step="dark",
    )


def plain(fabric: str, name: str, colour: str = "#ece4d2") -> Fabric:
    """Give a plain colour."""
    return Fabric(FabricId(fabric), name, Reading((91, 0, 5), 91, 91), colour)


def full_project() -> Project:
    """Give a plate of twelve with pins and empty wedges, two pictured fabrics and a colour."""
    project = new_project()
    for edit in (
        Rename("Sea & <Brick>"),
        AddFabrics((pictured("dot", "Harbour Dot"), pictured("kelp", "Kelp", "#23473a"))),
        AddFabrics((plain("salt", "Salt Flat"),)),
        LayOut((tuple(FabricId(f) for f in ("dot", "kelp", "salt") * 4),)),
        PlaceFabric((Cell(0, 3), Cell(0, 7)), None),
        PinWedges((Cell(0, 0), Cell(0, 5)), pinned=True),
    ):
        project = edit.apply(project)
    return msgspec.structs.replace(
        project, board=msgspec.structs.replace(project.board, centre="kelp", watch=("dark",))
    )


def unpacked(path: Path) -> dict[str, bytes]:
    """Give what a board file holds, in its order."""
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def repacked(
    path: Path, entries: dict[str, bytes], compression: int = zipfile.ZIP_STORED
) -> None:
    """Write a board file by hand."""
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in entries.items():
            how = zipfile.ZIP_STORED if name == "mimetype" else compression
            archive.writestr(name, data, how)


def retold(path: Path, change: Callable[[dict[str, object]], None]) -> None:
    """Change the text of a board file by hand."""
    entries = unpacked(path)
    text = msgspec.json.decode(entries["board.json"])
    change(text)
    entries["board.json"] = msgspec.json.encode(text)
    repacked(path, entries)


def refusal(path: Path) -> str:
    """Open a file that must be refused, untouched; give the one sentence that says why."""
    before = path.read_bytes()
    with pytest.raises(StoreError) as caught:
        open_board(path)
    assert path.read_bytes() == before
    sentence = str(caught.value)
    assert sentence.startswith(path.name)
    assert sentence.endswith(".")
    assert "\n" not in sentence
    return sentence
