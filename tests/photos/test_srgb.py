"""Whatever a file holds becomes sRGB: profiles, 16 bits, grey, palette, CMYK."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageCms

from quiltboard.photos.decode import SEE_THROUGH, read_photo
from quiltboard.photos.light import to_encoded
from quiltboard.photos.srgb import CMYK_UNPROFILED, PROFILE_IGNORED
from tests.helpers import pictures
from tests.helpers.pictures import cloth, deep_png, encoded, png_chunk

COLOURS = [(128, 128, 128), (200, 150, 120), (90, 110, 60), (255, 255, 255), (30, 40, 90)]


def shown(data: bytes) -> tuple[int, ...]:
    pixels = read_photo(data).pixels
    return tuple(pixels[len(pixels) // 2, pixels.shape[1] // 2].tolist())


def as_expected(primaries: str, gamma: float, colour: tuple[int, int, int]) -> pictures.Pixels:
    light = (np.array(colour) / 255) ** gamma
    to_xyz = pictures.xyz_of_primaries(primaries)
    srgb = np.linalg.solve(pictures.xyz_of_primaries("srgb"), to_xyz @ light)
    return np.rint(to_encoded(srgb) * 255).astype(np.uint8)


@pytest.mark.parametrize("primaries", ["display p3", "wide"])
@pytest.mark.parametrize("colour", COLOURS)
@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_wide_colours_become_srgb(
    kind: str, primaries: str, colour: tuple[int, int, int]
) -> None:
    gamma = 563 / 256
    profile = pictures.rgb_profile(primaries, gamma)
    picture = read_photo(
        encoded(pictures.plain(colour), kind, lossless=True, icc_profile=profile)
    )
    expected = as_expected(primaries, gamma, colour)
    assert np.abs(picture.pixels[5, 5].astype(int) - expected).max() <= 1
    assert picture.notes == ()


def test_a_profile_makes_a_difference_that_is_seen() -> None:
    profile = pictures.rgb_profile("display p3")
    with_it = shown(encoded(pictures.plain((200, 80, 60)), icc_profile=profile))
    assert with_it[0] > 205
    assert shown(encoded(pictures.plain((200, 80, 60)))) == (200, 80, 60)


def test_srgb_profile_changes_nothing() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    pixels = read_photo(encoded(cloth(), icc_profile=profile)).pixels
    assert np.abs(pixels.astype(int) - cloth().astype(int)).max() <= 1


def test_grey_profile_is_used() -> None:
    grey = Image.new("L", (50, 50), 128)
    expected = round(float(to_encoded((128 / 255) ** 1.0)) * 255)
    assert shown(encoded(grey, icc_profile=pictures.grey_profile(1.0)))[0] == pytest.approx(
        expected, abs=1
    )
    assert shown(encoded(grey)) == (128, 128, 128)


def test_colour_profile_on_a_grey_picture_is_used() -> None:
    data = encoded(Image.new("L", (50, 50), 128), icc_profile=pictures.rgb_profile("wide", 1.0))
    assert shown(data)[0] == pytest.approx(188, abs=1)


def test_palette_picture_goes_through_its_profile() -> None:
    palette = Image.fromarray(pictures.plain((200, 150, 120))).quantize(4)
    data = encoded(palette, icc_profile=pictures.rgb_profile("wide"))
    assert np.abs(np.array(shown(data)) - as_expected("wide", 2.2, (200, 150, 120))).max() <= 1


def test_cmyk_by_its_profile() -> None:
    inks = [(60.0, -10.0, -25.0), (50.0, 60.0, 0.0), (90.0, 0.0, 80.0), (15.0, 0.0, 0.0)]
    profile = pictures.cmyk_profile(inks, paper=(100.0, 0.0, 0.0))
    cyan = Image.new("CMYK", (50, 50), (255, 0, 0, 0))
    picture = read_photo(encoded(cyan, "JPEG", quality=100, icc_profile=profile))
    expected = to_encoded(pictures.linear_srgb_of_lab(inks[0])) * 255
    assert picture.notes == ()
    assert np.abs(picture.pixels[20, 20] - expected).max() <= 2


def test_cmyk_without_profile_is_a_guess_and_says_so() -> None:
    ink = Image.new("CMYK", (50, 50), (255, 0, 0, 0))
    picture = read_photo(encoded(ink, "JPEG", quality=100))
    assert picture.notes == (CMYK_UNPROFILED,)
    assert np.abs(picture.pixels[20, 20].astype(int) - (0, 255, 255)).max() <= 3


@pytest.mark.parametrize(
    "profile",
    [
        b"no profile at all",
        pictures.rgb_profile("wide")[:200],
        pictures.grey_profile(2.2),
        pictures.cmyk_profile([(50.0, 0.0, 0.0)] * 4, (100.0, 0.0, 0.0)),
    ],
)
@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_profile_that_does_not_fit_is_ignored_and_told_of(kind: str, profile: bytes) -> None:
    picture = read_photo(encoded(cloth(), kind, quality=95, lossless=True, icc_profile=profile))
    assert picture.notes == (PROFILE_IGNORED,)
    assert np.abs(picture.pixels.astype(int) - cloth().astype(int)).mean() < 6


@pytest.mark.parametrize("shape", [(40, 50), (40, 50, 3), (40, 50, 4)])
def test_16_bits_are_scaled_not_clipped(shape: tuple[int, ...]) -> None:
    steps = np.linspace(0, 65535, 40 * 50).round().astype(np.uint16).reshape(40, 50)
    samples = steps if len(shape) == 2 else np.repeat(steps[..., np.newaxis], shape[2], axis=2)
    if len(shape) == 3 and shape[2] == 4:
        samples[..., 3] = 65535
    pixels = read_photo(deep_png(samples)).pixels
    assert pixels.shape == (40, 50, 3)
    assert np.abs(pixels[..., 1] - steps / 257).max() <= 1
    assert pixels.min() == 0
    assert pixels.max() == 255


def test_16_bit_grey_with_a_clear_colour_and_a_profile() -> None:
    samples = np.full((40, 50), 30_000, dtype=np.uint16)
    samples[:10] = 5
    clear = png_chunk(b"tRNS", b"\0\x05")
    picture = read_photo(deep_png(samples, clear))
    assert picture.mask is not None
    assert picture.mask.sum() == 30 * 50
    assert not picture.mask[:10].any()
    assert picture.notes == (SEE_THROUGH,)


def test_grey_palette_and_one_bit() -> None:
    grey = Image.fromarray(cloth()).convert("L")
    assert (read_photo(encoded(grey)).pixels == np.asarray(grey)[..., np.newaxis]).all()
    few = Image.fromarray(cloth()).quantize(16)
    assert (read_photo(encoded(few)).pixels == np.asarray(few.convert("RGB"))).all()
    bits = Image.fromarray(cloth()).convert("1")
    assert set(np.unique(read_photo(encoded(bits)).pixels)) == {0, 255}


@pytest.mark.parametrize("mode", ["P", "L", "RGB", "LA"])
def test_see_through_in_every_mode(mode: str) -> None:
    if mode == "LA":
        image = Image.new("LA", (60, 60), (120, 255))
        image.paste((7, 0), (0, 0, 60, 20))
        data = encoded(image)
    else:
        image = Image.new("RGB", (60, 60), (120, 120, 120))
        image.paste((7, 7, 7), (0, 0, 60, 20))
        image = image.quantize(4) if mode == "P" else image.convert(mode)
        first = image.getpixel((0, 0))
        data = encoded(image, transparency=first)
    picture = read_photo(data)
    assert picture.mask is not None
    assert not picture.mask[:20].any()
    assert picture.mask[20:].all()
    assert (picture.pixels[30, 30] == 120).all()


def test_grey_with_alpha_goes_through_a_grey_profile() -> None:
    image = Image.new("LA", (50, 50), (128, 255))
    data = encoded(image, icc_profile=pictures.grey_profile(1.0))
    assert shown(data)[0] == pytest.approx(188, abs=1)
