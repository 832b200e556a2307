"""Looking over kept pictures: sizes are read as Pillow writes them, and damage is seen."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from quiltboard.store.pictures import DamagedPictureError, jpeg_size, png_size
from tests.helpers.boards import encoded

PNG = encoded("teal", (300, 20), "PNG")
JPEG = encoded("teal", (300, 20), "JPEG")


@pytest.mark.parametrize("mode", ["RGB", "L", "P", "RGBA"])
def test_the_size_of_a_png(mode: str) -> None:
    out = BytesIO()
    Image.new(mode, (37, 500)).save(out, "PNG")
    assert png_size(out.getvalue()) == (37, 500)


@pytest.mark.parametrize("progressive", [False, True])
def test_the_size_of_a_jpeg(progressive: bool) -> None:
    out = BytesIO()
    Image.new("RGB", (37, 500)).save(out, "JPEG", progressive=progressive)
    assert jpeg_size(out.getvalue()) == (37, 500)


def test_fill_bytes_and_bare_marks_are_passed_by() -> None:
    assert jpeg_size(JPEG[:2] + b"\xff\xff\xff\x01\xff\xd0" + JPEG[2:]) == (300, 20)


def test_no_byte_of_a_png_changes_unseen() -> None:
    for at in range(len(PNG)):
        with pytest.raises(DamagedPictureError):
            png_size(PNG[:at] + bytes([PNG[at] ^ 0x10]) + PNG[at + 1 :])


def test_no_end_of_a_png_is_missed_unseen() -> None:
    for length in range(len(PNG)):
        with pytest.raises(DamagedPictureError):
            png_size(PNG[:length])


def test_a_jpeg_without_a_frame_has_no_size() -> None:
    frame = JPEG.index(b"\xff\xc0")
    with pytest.raises(DamagedPictureError):
        jpeg_size(JPEG[:frame] + b"\xff\xd9")
    with pytest.raises(DamagedPictureError):
        jpeg_size(PNG)


def test_any_spoiled_jpeg_has_a_size_or_none() -> None:
    for at in range(len(JPEG)):
        for bit in (1, 0x80, 0xFF):
            spoiled = JPEG[:at] + bytes([JPEG[at] ^ bit]) + JPEG[at + 1 :]
            try:
                width_px, height_px = jpeg_size(spoiled)
            except DamagedPictureError:
                continue
            assert 0 <= width_px < 65536
            assert 0 <= height_px < 65536
