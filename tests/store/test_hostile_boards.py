"""Board files that someone or something has spoiled: refused in one sentence, untouched."""

from __future__ import annotations

import random
import struct
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest

from quiltboard.project.project import Project, new_project
from quiltboard.store.archive import MIMETYPE
from quiltboard.store.board_file import open_board, save_board
from quiltboard.store.safe_write import StoreError
from tests.helpers.boards import (
    full_project,
    pictured,
    refusal,
    repacked,
    retold,
    unpacked,
)


def test_a_newer_version_is_refused_untouched(board: Path) -> None:
    retold(board, lambda text: text.update(version=3, sashes="of a kind not known yet"))
    assert refusal(board) == (
        "supper.quiltboard was written by a newer Quiltboard (version 3) and is left "
        "untouched: update to open it."
    )


def test_a_version_that_never_was_is_refused(board: Path) -> None:
    retold(board, lambda text: text.update(version=0))
    assert "version 0" in refusal(board)


def deep(*path: str | int, value: object) -> Callable[[dict[str, Any]], None]:
    """Make a change of one place in a board's text."""

    def change(text: dict[str, Any]) -> None:
        place: Any = text
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] = value

    return change


UNSOUND = {
    "more plates than blocks": deep("top", "across", value=2),
    "too many plates": lambda text: text["top"].update(across=40, down=40),
    "no plate": deep("top", "down", value=0),
    "a block of 4 km": deep("top", "block", value=1_280_000_000),
    "a sash below nothing": deep("top", "sash", value=-1),
    "a ground of no cloth": deep("top", "ground", value="nobody"),
    "a ground of bad colour": deep("top", "ground", value="#12345"),
    "rings of 3": deep("wedge", "n", value=3),
    "rings of 41": deep("wedge", "n", value=41),
    "rings of another count": deep("wedge", "n", value=13),
    "a seam as wide as the wedge": deep("wedge", "seam", value=8128),
    "half a length": deep("wedge", "length", value=0.5),
    "a truth for a length": deep("wedge", "length", value=True),
    "a cell of no fabric": deep("blocks", 0, "cells", 0, value="nobody"),
    "a cell of a number": deep("blocks", 0, "cells", 0, value=7),
    "a ring too short": lambda text: text["blocks"][0]["cells"].pop(),
    "a pin on an empty wedge": deep("blocks", 0, "pins", value=[3]),
    "a pin off the ring": deep("blocks", 0, "pins", value=[12]),
    "a pin twice": deep("blocks", 0, "pins", value=[0, 0]),
    "pins out of order": deep("blocks", 0, "pins", value=[5, 0]),
    "a title too long": deep("title", value="a" * 81),
    "a title of nothing": deep("title", value="  "),
    "a title with a bell": deep("title", value="a\x07"),
    "a title with a line break": deep("title", value="a\n"),
    "a name too long": deep("fabrics", 0, "name", value="a" * 61),
    "a blank name": deep("fabrics", 0, "name", value=" "),
    "a name twice": deep("fabrics", 0, "name", value="KELP"),
    "an id twice": deep("fabrics", 0, "id", value="kelp"),
    "an id that climbs": deep("fabrics", 0, "id", value="../kelp"),
    "an id with a line break": deep("fabrics", 2, "id", value="salt\n"),
    "no colour": deep("fabrics", 0, "colour", value="red"),
    "a lightness of 900": deep("fabrics", 0, "lab", value=[900.0, 0.0, 0.0]),
    "a colour of two numbers": deep("fabrics", 0, "lab", value=[50.0, 0.0]),
    "a corner outside": deep("fabrics", 0, "corners", 0, value=[-0.1, 0.5]),
    "an unknown step": deep("fabrics", 0, "step", value="pitch black"),
    "wedges below nothing": deep("fabrics", 0, "amounts", 0, "count", value=-1),
    "cloth of no length": deep("fabrics", 0, "amounts", 1, "length", value=0),
    "an amount of no kind": deep("fabrics", 0, "amounts", 0, "kind", value="bolts"),
    "a thousand and one amounts": deep(
        "fabrics", 0, "amounts", value=[{"kind": "wedges", "count": 1}] * 1001
    ),
    "a swatch of 5000 px": deep("fabrics", 0, "swatch", "width_px", value=5000),
    "a photo without a size": deep("fabrics", 0, "photo", value={}),
    "a cost below nothing": deep("balance", "touch", value=-1.0),
    "a fourth value step": deep("balance", "watch", value=["dark"] * 4),
    "something unknown": lambda text: text.update(more=1),
    "a part missing": lambda text: text.pop("wedge"),
    "a fabric missing that is laid": lambda text: text["fabrics"].pop(),
    "a picture of no fabric": lambda text: text["fabrics"][0].update(photo=None),
}


@pytest.mark.parametrize("change", UNSOUND.values(), ids=UNSOUND.keys())
def test_an_unsound_board_is_refused(
    board: Path, change: Callable[[dict[str, Any]], None]
) -> None:
    retold(board, change)
    refusal(board)


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"nothing like it",
        b"\xff\xfe\x00",
        b"[]",
        b'{"version": 1}',
        b'{"version": NaN}',
        b'{"version": 1e999}',
        b'{"version": ' + b"9" * 6000 + b"}",
        b'{"version": "\\ud800"}',
        b'{"more": ' + b"[" * 1_000_000,
        b'{"version": 1, "title": ' + b'{"a":' * 500_000,
    ],
    ids=range(11),
)
def test_a_text_that_is_none_is_refused(board: Path, text: bytes) -> None:
    repacked(board, {**unpacked(board), "board.json": text})
    refusal(board)


def test_numbers_that_are_none_are_refused(board: Path) -> None:
    entries = unpacked(board)
    for number in (b"NaN", b"Infinity", b"-Infinity", b"1e400", b"null"):
        spoiled = entries["board.json"].replace(b"47.25", number)
        assert spoiled != entries["board.json"]
        repacked(board, {**entries, "board.json": spoiled})
        refusal(board)


@pytest.mark.parametrize(
    "name",
    [
        "../../evil.png",
        "/etc/evil",
        "swatches/../evil.png",
        "swatches\\evil.png",
        "swatches/.png",
        "swatches/sub/evil.png",
        "photos/evil.png",
        "C:evil.png",
        "notes.txt",
        "swatches/",
        "previews/UP.png",
    ],
)
def test_a_name_that_no_board_holds_is_refused(board: Path, name: str, tmp_path: Path) -> None:
    repacked(board, {**unpacked(board), name: b"x"})
    assert "no board holds" in refusal(board)
    assert list(tmp_path.iterdir()) == [board]


def test_a_name_that_hides_its_end_is_refused(board: Path) -> None:
    repacked(board, {**unpacked(board), "swatches/evil.png!.exe": b"x"})
    board.write_bytes(board.read_bytes().replace(b"evil.png!", b"evil.png\0"))
    assert "no board holds" in refusal(board)


def test_one_thing_twice_is_refused(board: Path) -> None:
    with (
        pytest.warns(UserWarning, match="Duplicate"),
        zipfile.ZipFile(board, "a") as archive,
    ):
        archive.writestr("board.json", b"{}")
    assert "twice" in refusal(board)


def test_another_order_or_type_is_refused(board: Path) -> None:
    entries = unpacked(board)
    repacked(board, {**entries, "mimetype": b"application/zip"})
    assert "is no Quiltboard board" in refusal(board)
    del entries["mimetype"]
    repacked(board, {**entries, "mimetype": MIMETYPE})
    assert "is no Quiltboard board" in refusal(board)


def test_what_is_no_zip_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "letter.quiltboard"
    for data in (b"", b"PK", b"Dear all,\n" * 50, b"\x89PNG\r\n\x1a\n" + bytes(100)):
        path.write_bytes(data)
        assert "is no Quiltboard board" in refusal(path)


def test_a_file_of_a_head_alone_is_cut_short(board: Path) -> None:
    board.write_bytes(board.read_bytes()[:40])
    assert "cut short" in refusal(board)


def test_a_type_that_is_packed_is_refused(board: Path) -> None:
    with zipfile.ZipFile(board, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", MIMETYPE)
    assert "is no Quiltboard board" in refusal(board)


def test_a_file_larger_than_any_board_is_not_read(board: Path) -> None:
    with board.open("r+b") as file:
        file.truncate(1_000_000_001)
    with pytest.raises(StoreError, match="larger than any board"):
        open_board(board)


def test_a_type_that_cannot_be_read_is_refused(board: Path) -> None:
    data = board.read_bytes()
    board.write_bytes(data.replace(MIMETYPE, MIMETYPE[::-1]))
    assert "does not say what it is" in refusal(board)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"gone\.quiltboard is not there any more"):
        open_board(tmp_path / "gone.quiltboard")
    with pytest.raises(StoreError, match="is no ordinary file"):
        open_board(tmp_path)
    with pytest.raises(StoreError, match="cannot be read"):
        open_board(tmp_path / "nul\0.quiltboard")


def test_other_ways_of_packing_are_refused_and_deflating_is_not(board: Path) -> None:
    entries = unpacked(board)
    repacked(board, entries, zipfile.ZIP_DEFLATED)
    assert open_board(board).project == full_project()
    for compression in (zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA):
        repacked(board, entries, compression)
        assert "packed in a way" in refusal(board)


@pytest.mark.parametrize("entry", ["board.json", "swatches/dot.png", "photos/dot.jpg"])
def test_a_bomb_is_refused_before_it_is_unpacked(board: Path, entry: str) -> None:
    repacked(board, {**unpacked(board), entry: bytes(300_000_000)}, zipfile.ZIP_DEFLATED)
    assert board.stat().st_size < 400_000
    tracemalloc.start()
    try:
        assert "unpacks to more" in refusal(board)
        assert tracemalloc.get_traced_memory()[1] < 60_000_000
    finally:
        tracemalloc.stop()


def test_many_small_bombs_are_refused_together(tmp_path: Path) -> None:
    fabrics = tuple(pictured(f"f{k}", f"Cloth {k}") for k in range(20))
    path = tmp_path / "many.quiltboard"
    save_board(msgspec.structs.replace(new_project(), fabrics=fabrics), path)
    entries = unpacked(path)
    entries |= {f"swatches/f{k}.png": bytes(15_000_000) for k in range(20)}
    repacked(path, entries, zipfile.ZIP_DEFLATED)
    tracemalloc.start()
    try:
        assert "unpacks to more" in refusal(path)
        assert tracemalloc.get_traced_memory()[1] < 60_000_000
    finally:
        tracemalloc.stop()


def test_a_lie_about_size_does_not_help_a_bomb(board: Path) -> None:
    repacked(board, {**unpacked(board), "board.json": bytes(50_000_000)}, zipfile.ZIP_DEFLATED)
    told = board.read_bytes().replace(struct.pack("<I", 50_000_000), struct.pack("<I", 100))
    board.write_bytes(told)
    refusal(board)


def test_a_directory_of_a_million_entries_is_not_read(board: Path) -> None:
    data = bytearray(board.read_bytes())
    data[-22 + 8 : -22 + 12] = struct.pack("<HH", 60000, 60000)
    board.write_bytes(data)
    assert "holds more than any board" in refusal(board)
    data[-22 + 12 : -22 + 16] = struct.pack("<I", 2_000_000_000)
    board.write_bytes(data)
    assert "holds more than any board" in refusal(board)


def test_a_directory_that_says_too_little_is_counted(board: Path) -> None:
    many = {f"previews/{chr(97 + k // 676)}{chr(97 + k // 26 % 26)}{chr(97 + k % 26)}.png": b""
            for k in range(5200)}  # fmt: skip
    repacked(board, {**unpacked(board), **many})
    data = bytearray(board.read_bytes())
    data[-22 + 8 : -22 + 12] = struct.pack("<HH", 5, 5)
    board.write_bytes(data)
    assert "holds more than any board" in refusal(board)


def test_a_large_zip_ending_is_refused(board: Path) -> None:
    data = board.read_bytes()
    board.write_bytes(data[:-22] + b"PK\x06\x07" + bytes(16) + data[-22:])
    assert "holds more than any board" in refusal(board)


# Whatever befalls a file.


def opens_or_is_refused(path: Path, data: bytes) -> bool:
    """Open what must be a sound board or be refused, and never anything else."""
    path.write_bytes(data)
    try:
        project, _ = open_board(path)
    except StoreError:
        return False
    assert isinstance(project, Project)
    save_board(project, path)
    assert open_board(path).project == project
    return True


def test_a_board_cut_short_anywhere_is_refused(board: Path, tmp_path: Path) -> None:
    data = board.read_bytes()
    path = tmp_path / "cut.quiltboard"
    assert not any(
        opens_or_is_refused(path, data[:length]) for length in range(0, len(data), 97)
    )


def test_bytes_turned_at_random_never_break_the_program(board: Path, tmp_path: Path) -> None:
    data = board.read_bytes()
    directory = data.index(b"PK\x01\x02")
    draw = random.Random(7)
    path = tmp_path / "turned.quiltboard"
    opened = 0
    for turn in range(600):
        spoiled = bytearray(data)
        first = directory if turn % 2 else 0
        for _ in range(draw.randint(1, 4)):
            spoiled[draw.randrange(first, len(data))] = draw.randrange(256)
        opened += opens_or_is_refused(path, bytes(spoiled))
    assert 0 < opened < 600


def test_a_text_turned_at_random_never_breaks_the_program(board: Path) -> None:
    """Turn bytes of the text itself, packed anew, so that no check sum stands before it."""
    entries = unpacked(board)
    draw = random.Random(11)
    for _ in range(400):
        text = bytearray(entries["board.json"])
        for _ in range(draw.randint(1, 3)):
            text[draw.randrange(len(text))] = draw.choice(b'09-.eE"[]{},:anul\\\x00\xff')
        repacked(board, {**entries, "board.json": bytes(text)})
        opens_or_is_refused(board, board.read_bytes())
