"""Saving and opening board files: nothing is lost, and what is damaged is said."""

from __future__ import annotations

import json
import struct
import zlib
from io import BytesIO
from pathlib import Path

import jsonschema  # type: ignore[import-untyped]
import msgspec
import pytest
from PIL import Image

from quiltboard.fabrics.fabric import FabricId, Photo, Swatch
from quiltboard.photos.decode import read_photo
from quiltboard.photos.encode import encode_jpeg, encode_png
from quiltboard.project.edits import AddFabrics
from quiltboard.project.project import Project, new_project
from quiltboard.resources import shipped
from quiltboard.store.archive import MIMETYPE
from quiltboard.store.board_file import open_board, preview, save_board
from quiltboard.store.board_shape import board_schema
from quiltboard.store.safe_write import StoreError
from tests.helpers.boards import (
    encoded,
    full_project,
    pictured,
    repacked,
    unpacked,
)

SCHEMA = shipped("resources", "schemas", "board-2.json")


def test_what_was_saved_is_opened_again(board: Path) -> None:
    opened = open_board(board)
    assert opened.project == full_project()
    assert opened.notes == ()


def test_a_bare_project_is_kept_too(tmp_path: Path) -> None:
    path = tmp_path / "bare.quiltboard"
    save_board(new_project(), path)
    assert open_board(path).project == new_project()


def test_the_same_board_is_written_alike_each_time(board: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.quiltboard"
    save_board(open_board(board).project, again, {"board.png": encoded("red", (40, 30), "PNG")})
    assert again.read_bytes() == board.read_bytes()


def test_pictures_are_kept_byte_for_byte(board: Path) -> None:
    entries = unpacked(board)
    fabric = full_project().fabric(FabricId("dot"))
    assert fabric.swatch
    assert fabric.photo
    assert entries["swatches/dot.png"] == fabric.swatch.png
    assert entries["photos/dot.jpg"] == fabric.photo.jpeg


def test_the_type_comes_first_and_stands_plain_in_the_file(board: Path) -> None:
    assert board.read_bytes()[30:].startswith(b"mimetype" + MIMETYPE)


def test_each_ring_stands_on_a_line_of_its_own(board: Path) -> None:
    lines = unpacked(board)["board.json"].decode().splitlines()
    ring = [line for line in lines if '"cells"' in line]
    laid = '"dot", "kelp", "salt", null, "kelp", "salt", "dot", null, "salt", "dot", "kelp"'
    assert ring == [f'      "cells": [{laid}, "salt"],']
    assert '  "title": "Sea & <Brick>",' in lines


def test_the_shipped_schema_is_the_one_that_is_kept_to() -> None:
    assert json.loads(SCHEMA.read_text(encoding="utf-8")) == board_schema()


def test_a_saved_board_keeps_to_the_schema(board: Path) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    check = jsonschema.Draft202012Validator(schema)
    text = json.loads(unpacked(board)["board.json"])
    check.validate(text)
    text["fabrics"][0]["colour"] = "teal"
    assert not check.is_valid(text)


def test_the_preview_is_read_by_itself(board: Path, tmp_path: Path) -> None:
    assert preview(board) == encoded("red", (40, 30), "PNG")
    repacked(board, {**unpacked(board), "board.json": b"{"})
    assert preview(board) == encoded("red", (40, 30), "PNG")
    assert preview(tmp_path / "gone.quiltboard") is None
    repacked(board, {**unpacked(board), "previews/board.png": b"not a picture"})
    assert preview(board) is None


def test_a_board_without_a_preview_has_none(tmp_path: Path) -> None:
    save_board(new_project(), tmp_path / "bare.quiltboard")
    assert preview(tmp_path / "bare.quiltboard") is None


def test_where_a_photo_was_taken_never_enters(board: Path) -> None:
    taken = BytesIO()
    notes = Image.Exif()
    notes[0x010F] = "A camera of note"
    notes.get_ifd(0x8825)[0x001D] = "2031:02:03"  # the date of a position
    Image.new("RGB", (64, 48), "teal").save(taken, "JPEG", exif=notes)
    assert b"2031:02:03" in taken.getvalue()
    pixels = read_photo(taken.getvalue(), "taken.jpg").pixels
    fabric = msgspec.structs.replace(
        pictured("dot", "Harbour Dot"),
        swatch=Swatch(encode_png(pixels), 64, 48),
        photo=Photo(encode_jpeg(pixels), 64, 48),
    )
    save_board(AddFabrics((fabric,)).apply(new_project()), board)
    kept = board.read_bytes()
    for private in (b"2031:02:03", b"A camera of note", b"Exif", b"eXIf"):
        assert private not in kept
    assert open_board(board).project.fabrics == (fabric,)


# What costs one picture.


def a_png_of(width_px: int, height_px: int) -> bytes:
    """Write the head of a PNG that says it is of a size, with check sums that hold."""

    def part(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(
            ">I", zlib.crc32(kind + data)
        )  # fmt: skip

    head = part(b"IHDR", struct.pack(">IIBBBBB", width_px, height_px, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + part(b"IDAT", b"") + part(b"IEND", b"")


PICTURE = encoded("red", (12, 9), "PNG")
SPOILED_SWATCHES = {
    "nothing": b"",
    "a photo": encoded("red", (12, 9), "JPEG"),
    "cut short": PICTURE[:-10],
    "a byte changed": PICTURE[:50] + bytes([PICTURE[50] ^ 1]) + PICTURE[51:],
    "another size": encoded("red", (9, 12), "PNG"),
    "a bomb": a_png_of(60_000, 60_000),
    "without a size": PICTURE[:8] + PICTURE[33:],
}


@pytest.mark.parametrize("data", SPOILED_SWATCHES.values(), ids=SPOILED_SWATCHES.keys())
def test_a_damaged_swatch_leaves_the_plain_colour_and_says_so(board: Path, data: bytes) -> None:
    repacked(board, {**unpacked(board), "swatches/dot.png": data})
    check_one_is_lost(board, "swatch", "The picture of Harbour Dot is damaged in this file")


@pytest.mark.parametrize(
    "data",
    [
        b"",
        PICTURE,
        encoded("red", (32, 24), "JPEG")[:-2],
        encoded("red", (24, 32), "JPEG"),
        b"\xff\xd8\xff" + bytes(500) + b"\xff\xd9",
        b"\xff\xd8\xff\xff\xff\xd0\xff\xd9",
        b"\xff\xd8\xff\xd9",
    ],
    ids=["nothing", "a PNG", "cut short", "another size", "hollow", "odd marks", "bare"],
)
def test_a_damaged_photo_loses_only_itself(board: Path, data: bytes) -> None:
    repacked(board, {**unpacked(board), "photos/dot.jpg": data})
    check_one_is_lost(board, "photo", "The photo of Harbour Dot is damaged in this file")


@pytest.mark.parametrize(
    ("entry", "part"), [("swatches/dot.png", "swatch"), ("photos/dot.jpg", "photo")]
)
def test_a_missing_picture_loses_only_itself(board: Path, entry: str, part: str) -> None:
    entries = unpacked(board)
    del entries[entry]
    repacked(board, entries)
    check_one_is_lost(board, part, "Harbour Dot is damaged in this file")


def check_one_is_lost(board: Path, part: str, said: str) -> None:
    """Check that a board opens without one picture, is otherwise whole, and can be kept."""
    project, notes = open_board(board)
    whole = full_project()
    lost = msgspec.structs.replace(whole.fabrics[0], **{part: None})
    assert project == msgspec.structs.replace(whole, fabrics=(lost, *whole.fabrics[1:]))
    (note,) = notes
    assert said in note
    save_board(project, board)
    assert open_board(board) == (project, ())


# What is not saved.


def spoiled_project(**changes: object) -> Project:
    """Give a project with one thing in its first fabric that no board file can hold."""
    whole = full_project()
    spoiled = msgspec.structs.replace(whole.fabrics[0], **changes)
    return msgspec.structs.replace(whole, fabrics=(spoiled, *whole.fabrics[1:]))


@pytest.mark.parametrize(
    "project",
    [
        spoiled_project(name="a" * 61),
        spoiled_project(note="\udce4"),
        spoiled_project(id=FabricId("a/b")),
        spoiled_project(corners=((float("nan"), 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))),
        msgspec.structs.replace(full_project(), title=""),
    ],
    ids=["a long name", "a strange sign", "an odd id", "no number", "no title"],
)
def test_what_could_not_be_opened_is_not_saved(board: Path, project: Project) -> None:
    before = board.read_bytes()
    with pytest.raises(StoreError, match=r"supper\.quiltboard was not saved: the quilt .*\.$"):
        save_board(project, board)
    assert board.read_bytes() == before


def test_a_preview_of_an_odd_name_is_not_saved(board: Path) -> None:
    before = board.read_bytes()
    with pytest.raises(StoreError, match="was not saved"):
        save_board(full_project(), board, {"../up.png": PICTURE})
    assert board.read_bytes() == before
