"""Files are opened within bounds and known by what is in them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from quiltboard.photos.opening import PhotoError, kind_of_picture, plain_name, read_bytes
from tests.helpers.pictures import cloth, encoded

HEAD_OF_HEIC = b"\0\0\0\x1cftypheic\0\0\0\0mif1heicmiaf"


def refusal(path: Path, limit_mb: int = 1) -> str:
    with pytest.raises(PhotoError) as caught:
        read_bytes(path, limit_mb)
    return str(caught.value)


def test_reads_a_file_whole(tmp_path: Path) -> None:
    (tmp_path / "a.bin").write_bytes(b"cloth")
    assert read_bytes(tmp_path / "a.bin", 1) == b"cloth"


def test_limit_is_the_last_size_that_is_read(tmp_path: Path) -> None:
    path = tmp_path / "a.bin"
    path.write_bytes(bytes(1_000_000))
    assert len(read_bytes(path, 1)) == 1_000_000
    path.write_bytes(bytes(1_000_001))
    assert refusal(path) == "a.bin: it holds more than 1 MB; save a smaller copy of it"


def test_missing_folder_empty(tmp_path: Path) -> None:
    assert refusal(tmp_path / "gone.jpg").startswith("gone.jpg: there is no such file")
    assert refusal(tmp_path).startswith(f"{tmp_path.name}: this is a folder")
    (tmp_path / "nil.jpg").write_bytes(b"")
    assert refusal(tmp_path / "nil.jpg").startswith("nil.jpg: the file is empty")


def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    assert refusal(tmp_path / "pipe.jpg").startswith("pipe.jpg: this is no ordinary file")


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        (PermissionError(13, "denied"), "it may not be opened; close it in other programs"),
        (
            OSError(5, "Input/output error"),
            "it cannot be opened ([Errno 5] Input/output error)",
        ),
    ],
)
def test_locked_and_failing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: OSError, said: str
) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"x")

    def fail(*_: object) -> None:
        raise fault

    monkeypatch.setattr(Path, "open", fail)
    assert refusal(path).startswith(f"a.jpg: {said}")


def test_a_name_no_disk_has() -> None:
    assert refusal(Path("a\0b.jpg")).startswith("a b.jpg: it cannot be opened")


def test_the_name_stays_one_line(tmp_path: Path) -> None:
    assert "\n" not in refusal(tmp_path / "two\nlines\x1b[31m.jpg")
    assert plain_name("\n\t ") == "The file"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF"])
def test_known_by_content(kind: str) -> None:
    assert kind_of_picture(encoded(cloth(), kind), "x") == kind


def test_heic_by_its_brand() -> None:
    assert kind_of_picture(HEAD_OF_HEIC, "x") == "HEIC"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (encoded(cloth(), "GIF"), "a GIF picture"),
        (encoded(cloth(), "TIFF"), "a TIFF or raw camera picture"),
        (encoded(cloth(), "BMP"), "a BMP picture"),
        (b"8BPS\0\1" + bytes(20), "a layered drawing (PSD)"),
        (b"%PDF-1.7", "a PDF document"),
        (b"<?xml version='1.0'?>\n<SVG xmlns='x'/>", "an SVG drawing"),
        (b"PK\x03\x04" + bytes(20), "a ZIP or office file"),
        (b"\0\0\0\x14ftypqt  \0\0\0\0qt  ", "no picture that can be read here"),
        (b"name,photo\n", "no picture that can be read here"),
    ],
)
def test_refused_kinds_are_named_with_what_is_read(data: bytes, said: str) -> None:
    with pytest.raises(PhotoError) as caught:
        kind_of_picture(data, "kale.jpg")
    assert str(caught.value) == (
        f"kale.jpg: this is {said}; save it as JPEG or PNG"
        " (read are JPEG, PNG, WEBP, AVIF and HEIC)"
    )
