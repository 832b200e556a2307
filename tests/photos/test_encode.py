"""What is kept is pixels only, and reads back as it was."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from quiltboard.photos.encode import decode_kept, encode_jpeg, encode_png
from quiltboard.photos.light import mean_light
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.opening import PhotoError
from tests.helpers.pictures import cloth, plain


def test_png_is_without_loss() -> None:
    assert (decode_kept(encode_png(cloth())) == cloth()).all()


def test_a_turned_view_of_an_array_is_written_as_it_looks() -> None:
    assert (decode_kept(encode_png(cloth()[:, ::-1])) == cloth()[:, ::-1]).all()


def test_jpeg_keeps_the_value_of_a_fine_print() -> None:
    pixels = plain((250, 245, 240))
    pixels[::2, ::2] = (190, 10, 30)
    pixels[1::2, 1::2] = (190, 10, 30)
    kept = decode_kept(encode_jpeg(pixels))
    before, after = lab_of_light(mean_light(pixels)), lab_of_light(mean_light(kept))
    assert abs(before[0] - after[0]) < 0.3
    assert np.abs(before - after).max() < 1


@pytest.mark.parametrize("data", [encode_png(cloth()), encode_jpeg(cloth())])
def test_nothing_but_pixels_is_written(data: bytes) -> None:
    image = Image.open(BytesIO(data))
    assert dict(image.getexif()) == {}
    assert not {"exif", "icc_profile", "xmp", "comment", "dpi"} & set(image.info)


def test_the_same_pixels_make_the_same_bytes() -> None:
    assert encode_png(cloth()) == encode_png(cloth())
    assert encode_jpeg(cloth()) == encode_jpeg(cloth())


def test_damage_is_told() -> None:
    with pytest.raises(PhotoError, match=r"^Kale: .*damaged"):
        decode_kept(encode_jpeg(cloth())[:900], "Kale")
