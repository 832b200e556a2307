"""A photo is read as it was seen, or refused with a sentence that says how to mend it."""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFile, PngImagePlugin

from quiltboard.photos import decode
from quiltboard.photos.decode import (
    EXIF_IGNORED,
    REDUCED,
    SEE_THROUGH,
    SEVERAL,
    PhotoError,
    Picture,
    read_photo,
)
from tests.helpers import pictures
from tests.helpers.pictures import cloth, encoded, exif, moving, stored_turned
from tests.photos.test_opening import HEAD_OF_HEIC


def refusal(data: bytes, name: str = "kale.jpg") -> str:
    with pytest.raises(PhotoError) as caught:
        read_photo(data, name)
    message = str(caught.value)
    assert message.startswith(f"{name}: ")
    assert "\n" not in message
    return message


def difference(picture: Picture, expected: pictures.Pixels) -> float:
    assert picture.pixels.shape == expected.shape
    assert picture.pixels.dtype == np.uint8
    return float(np.abs(picture.pixels.astype(int) - expected.astype(int)).mean())


@pytest.mark.parametrize(
    ("kind", "options"), [("PNG", {}), ("WEBP", {"lossless": True}), ("JPEG", {"quality": 95})]
)
def test_reads_every_kind(kind: str, options: dict[str, object]) -> None:
    picture = read_photo(encoded(cloth(), kind, **options), "a")
    assert difference(picture, cloth()) < (0.01 if kind != "JPEG" else 5)
    assert (picture.notes, picture.mask, picture.name) == ((), None, "a")


def test_reads_avif() -> None:
    assert difference(read_photo(encoded(cloth(), "AVIF", quality=95)), cloth()) < 5


def test_a_file_goes_by_its_name_and_its_content(tmp_path: Path) -> None:
    path = tmp_path / "not really.JPG"
    path.write_bytes(encoded(cloth()))
    picture = read_photo(path)
    assert picture.name == "not really.JPG"
    assert difference(picture, cloth()) == 0


def test_a_phones_several_pictures_in_one_are_read_as_the_first() -> None:
    first, second = cloth(1), cloth(2)
    data = encoded(
        Image.fromarray(first), "MPO", save_all=True, append_images=[Image.fromarray(second)]
    )
    assert difference(read_photo(data), first) < 8


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF"])
def test_all_eight_turns(kind: str, orientation: int) -> None:
    stored = stored_turned(cloth(), orientation)
    data = encoded(stored, kind, exif=exif(Orientation=orientation), quality=90)
    picture = read_photo(data)
    assert difference(picture, cloth()) < 8
    assert picture.notes == ()


def test_a_turn_that_is_none_is_left_alone() -> None:
    assert difference(read_photo(encoded(cloth(), exif=exif(Orientation=42))), cloth()) == 0


@pytest.mark.parametrize(
    "notes",
    [
        b"Exif\0\0II*\0\xff\xff\xff\xff",
        b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + b"\x01\x12" * 40,
        b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x02\0\xff\xff\xff\x7f\x08\0\0\0",
        b"Exif\0\0garbage",
        # Camera notes whose next page is themselves.
        b"Exif\0\0II*\0\x08\0\0\0\x01\0\x69\x87\x04\0\x01\0\0\0\x08\0\0\0\x08\0\0\0",
    ],
)
def test_broken_camera_notes_do_not_lose_the_picture(notes: bytes) -> None:
    picture = read_photo(encoded(cloth(), "JPEG", exif=notes, quality=95))
    assert difference(picture, cloth()) < 5


def test_camera_notes_that_cannot_be_parsed_are_told_of() -> None:
    picture = read_photo(encoded(cloth(), "JPEG", exif=b"Exif\0\0garbage", quality=95))
    assert picture.notes == (EXIF_IGNORED,)


@pytest.mark.parametrize("kind", ["WEBP", "PNG", "AVIF"])
def test_of_a_moving_picture_the_first_is_taken(kind: str) -> None:
    first, second = cloth(1), pictures.plain((9, 9, 9))
    picture = read_photo(moving([first, second], kind))
    assert difference(picture, first) < 6
    assert picture.notes == (SEVERAL,)


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "AVIF"])
def test_see_through_parts_are_no_cloth(kind: str) -> None:
    alpha = np.full((240, 320), 255, dtype=np.uint8)
    alpha[:, :100] = 0
    alpha[:, 100:110] = 127
    alpha[:, 110:120] = 128
    clear = Image.fromarray(np.dstack([cloth(), alpha]))
    options: dict[str, object] = {} if kind == "PNG" else {"quality": 100, "lossless": True}
    if kind == "AVIF":
        options = {"quality": 100}
    picture = read_photo(encoded(clear, kind, **options))
    assert picture.mask is not None
    assert picture.mask[:, 112:].all()
    assert not picture.mask[:, :108].any()
    assert picture.notes == (SEE_THROUGH,)


def test_nothing_but_see_through_is_refused() -> None:
    clear = Image.new("RGBA", (50, 50), (200, 0, 0, 40))
    assert "see-through all over" in refusal(encoded(clear))


def test_wholly_opaque_needs_no_mask() -> None:
    picture = read_photo(encoded(Image.new("RGBA", (50, 50), (200, 0, 0, 255))))
    assert (picture.mask, picture.notes) == (None, ())


def test_empty_and_kinds_not_read() -> None:
    assert "nothing in it" in refusal(b"")
    assert "a GIF picture" in refusal(encoded(cloth(), "GIF"))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF"])
@pytest.mark.parametrize("part", [0.02, 0.5, 0.9])
def test_cut_short_is_refused(kind: str, part: float) -> None:
    data = encoded(cloth(), kind)
    assert "damaged or not all there" in refusal(data[: max(24, int(len(data) * part))])


def test_bomb_is_refused_by_what_it_claims() -> None:
    message = refusal(pictures.bomb_png(), "bomb.png")
    assert "30000 × 30000 pixels are more than the 100 million" in message


def test_size_limit_of_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decode, "LARGEST_FILE_MB", 0)
    assert "holds more than 0 MB" in refusal(encoded(cloth()))


def test_a_jpeg_past_pillows_own_limit_is_read_smaller() -> None:
    before = Image.MAX_IMAGE_PIXELS
    picture = read_photo(encoded(Image.new("L", (19_000, 9_500), 118), "JPEG"))
    assert picture.pixels.shape == (4750, 9500, 3)
    assert picture.notes == (REDUCED,)
    assert (picture.pixels[::500, ::500] == 118).all()
    assert before == Image.MAX_IMAGE_PIXELS


def test_too_large_for_a_jpeg(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(decode.LARGEST_MEGAPIXELS, "JPEG", 0)
    assert "320 × 240 pixels are more than the 0 million" in refusal(encoded(cloth(), "JPEG"))


def test_out_of_memory_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(PngImagePlugin.PngImageFile, "load", fail)
    assert "too large for this computer's memory" in refusal(encoded(cloth()))


def test_heic_without_its_part_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    assert 'pip install "quiltboard[heic]"' in refusal(HEAD_OF_HEIC, "IMG_1.heic")


def test_heic_is_opened_by_the_part_that_reads_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def opener(stream: BytesIO) -> ImageFile.ImageFile:
        assert stream.read() == HEAD_OF_HEIC
        return PngImagePlugin.PngImageFile(BytesIO(encoded(cloth())))

    part = SimpleNamespace(HeifImageFile=opener)
    monkeypatch.setitem(sys.modules, "pillow_heif", part)
    assert difference(read_photo(HEAD_OF_HEIC), cloth()) == 0


SOUND = [
    encoded(cloth(3, 24, 32), "JPEG", exif=exif(Orientation=6, Make="x"), icc_profile=b"junk"),
    encoded(cloth(3, 24, 32), "PNG", exif=exif(Orientation=3), icc_profile=b"x" * 200),
    encoded(cloth(3, 24, 32), "WEBP", exif=exif(Orientation=8)),
    encoded(cloth(3, 24, 32), "AVIF", exif=exif(Orientation=5)),
    moving([cloth(3, 24, 32), cloth(4, 24, 32)], "PNG"),
]


@settings(max_examples=150)
@given(
    data=st.sampled_from(SOUND),
    hits=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), max_size=6),
    kept=st.floats(0.2, 1),
)
def test_no_broken_file_does_anything_but_be_read_or_refused(
    data: bytes, hits: list[tuple[float, int]], kept: float
) -> None:
    broken = bytearray(data[: int(len(data) * kept)])
    for place, value in hits:
        broken[int(place * (len(broken) - 1))] = value
    said = "a.jpg: "
    try:
        assert read_photo(bytes(broken), "a.jpg").pixels.shape[2] == 3
    except PhotoError as error:
        said = str(error)
    assert said.startswith("a.jpg: ")
