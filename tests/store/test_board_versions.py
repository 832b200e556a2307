"""Boards of older versions, photos that fabrics share, and what a photo told of a cloth."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import msgspec
import pytest

from quiltboard.fabrics.fabric import ByHand, Care, Fabric, FabricId, Pool, Reading, Swatch
from quiltboard.fabrics.reading import RELIEF_SIDE, Direction, Print, Repeat, Tint
from quiltboard.photos.lighting import AS_TAKEN, Lighting
from quiltboard.photos.ruler import Ruler
from quiltboard.project.edits import AddFabrics, ChangeSteps
from quiltboard.project.project import new_project
from quiltboard.resources import shipped
from quiltboard.store.board_file import open_board, save_board
from quiltboard.store.safe_write import StoreError
from quiltboard.units import inches
from tests.helpers.boards import encoded, full_project, pictured, repacked, unpacked

PRINT = Print(
    tints=(Tint((47.0, -21.5, -8.0), 0.75), Tint((91.0, 0.0, 5.0), 0.25)),
    contrast=12.5,
    feature=0.125,
    solid=False,
    repeat=Repeat("half-drop", ((0.25, 0.0), (0.125, 0.3)), 0.9),
    direction=Direction("one-way", 0.8),
    relief=bytes(range(256)) * (RELIEF_SIDE**2 // 256),
)


def known(fabric: str, name: str) -> Fabric:
    """Give a pool of which all that can be known is known."""
    first = pictured(fabric, name)
    more = tuple(Swatch(encoded(c, (8, 8), "PNG"), 8, 8, inches(5)) for c in ("navy", "blue"))
    return msgspec.structs.replace(
        first,
        reading=Reading((47.25, -21.5, -8.125), 40.5, 55.0, (), PRINT),
        lighting=Lighting(
            "white card",
            (0.1, 0.9),
            ((1.5, 0.0, 0.25), (0.0, 1.25, 0.0), (0.0, 0.0, 2.0)),
            (0.5, 0.25, 0.0, -0.125, 0.0),
            lamp=True,
        ),
        ruler=Ruler((0.1, 0.2), (0.5, 0.2), inches(6), "card"),
        by_hand=ByHand(48.5, "two-way", "large", solid=False, repeat=(inches(4), inches(8))),
        care=Care("washed", starched=True, dye_tested=True),
        pool=Pool(38, more),
        step="dark medium",
    )


def changed(board: Path, **parts: Any) -> Path:  # noqa: ANN401 - JSON is made of anything
    """Write parts of a board's text anew."""
    entries = unpacked(board)
    text = {**json.loads(entries["board.json"]), **parts}
    repacked(board, {**entries, "board.json": json.dumps(text).encode()})
    return board


def as_version_1(board: Path) -> dict[str, Any]:
    """Give a board's text as version 1 would have written it."""
    text = json.loads(unpacked(board)["board.json"])
    del text["balance"]["steps"]
    for fabric in text["fabrics"]:
        for part in ("print", "by_hand", "care", "pool", "lighting", "ruler"):
            del fabric[part]
        if fabric["photo"]:
            del fabric["photo"]["of"]
    return {**text, "version": 1}


def test_all_that_is_known_of_a_fabric_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "known.quiltboard"
    project = AddFabrics((known("blues", "Blue Mediums"),)).apply(new_project())
    project = ChangeSteps(5).apply(project)
    save_board(project, path)
    assert open_board(path).project == project
    assert {"swatches/blues.png", "swatches/blues.2.png", "swatches/blues.3.png"} < set(
        unpacked(path)
    )


def test_a_board_of_version_1_is_opened_as_it_was(board: Path) -> None:
    old = as_version_1(board)
    schema = json.loads(
        shipped("resources", "schemas", "board-1.json").read_text(encoding="utf-8")
    )
    jsonschema.Draft202012Validator(schema).validate(old)
    repacked(board, {**unpacked(board), "board.json": json.dumps(old).encode()})
    opened = open_board(board)
    assert opened.project == full_project()
    assert opened.project.fabrics[0].lighting == AS_TAKEN


@pytest.mark.parametrize(
    "part", [{"balance": 3}, {"fabrics": {}}, {"fabrics": [7]}, {"fabrics": [{"photo": 1}]}]
)
def test_an_unsound_board_of_version_1_is_refused(board: Path, part: dict[str, Any]) -> None:
    old = as_version_1(board) | part
    repacked(board, {**unpacked(board), "board.json": json.dumps(old).encode()})
    with pytest.raises(StoreError, match="damaged, or was changed by hand"):
        open_board(board)


def test_fabrics_cut_from_one_photo_keep_it_once(tmp_path: Path) -> None:
    first = pictured("dot", "Harbour Dot")
    second = msgspec.structs.replace(first, id=FabricId("kelp"), name="Kelp")
    other = pictured("salt", "Salt Flat", "#ece4d2")
    project = AddFabrics((first, second, other)).apply(new_project())
    path = tmp_path / "stack.quiltboard"
    save_board(project, path)
    photos = [name for name in unpacked(path) if name.startswith("photos/")]
    assert photos == ["photos/dot.jpg", "photos/salt.jpg"]
    opened = open_board(path).project
    assert opened == project
    assert opened.fabrics[0].photo
    assert opened.fabrics[1].photo
    assert opened.fabrics[1].photo.jpeg is opened.fabrics[0].photo.jpeg


def test_a_photo_of_no_fabric_is_refused(board: Path) -> None:
    text = json.loads(unpacked(board)["board.json"])
    text["fabrics"][0]["photo"]["of"] = "nobody"
    with pytest.raises(StoreError, match="photo of a fabric that is not on its shelf"):
        open_board(changed(board, fabrics=text["fabrics"]))


def test_damaged_pictures_of_a_pool_leave_the_others(tmp_path: Path) -> None:
    path = tmp_path / "pool.quiltboard"
    save_board(AddFabrics((known("blues", "Blue Mediums"),)).apply(new_project()), path)
    repacked(path, {**unpacked(path), "swatches/blues.3.png": b"no picture"})
    opened = open_board(path)
    pool = opened.project.fabrics[0].pool
    assert pool
    assert len(pool.more) == 1
    assert opened.notes == (
        "Some pictures of Blue Mediums are damaged in this file: the others stay.",
    )


def test_what_is_out_of_bounds_is_not_saved(tmp_path: Path) -> None:
    fabric = known("blues", "Blue Mediums")
    wild = msgspec.structs.replace(fabric, by_hand=ByHand(value=float("inf")))
    project = AddFabrics((wild,)).apply(new_project())
    with pytest.raises(StoreError, match="has an unsound fabric"):
        save_board(project, tmp_path / "wild.quiltboard")
