"""The value of a photographed cloth against colour-science, at the photo's full resolution.

The reference decodes the file with Pillow, turns every pixel into light with colour-science's
sRGB, multiplies it by what the program says it multiplied by, place by place, and takes
colour-science's CIE L*a*b* of the mean. Whatever size the program measures at, it must agree.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from types import ModuleType
from typing import Final

import numpy as np
import pytest
from PIL import Image

from quiltboard.errands.sample import sample_list
from quiltboard.fabrics.bring_in import fabric_from_photo
from quiltboard.fabrics.fabric import Fabric, FabricId
from quiltboard.photos.corners import upright_corners
from tests.helpers.pictures import cloth, encoded, rgb_profile

WORST: Final = 0.3
PHOTOS: Final = sorted((sample_list().parent / "photos").glob("*.jpg"))
INNER: Final = upright_corners(0.25, 0.3, 0.85, 0.95)


def value_by_colour_science(colour: ModuleType, data: bytes, fabric: Fabric) -> float:
    """Give the L* of the cloth between the corners, every pixel of the file counted."""
    pixels = np.asarray(Image.open(BytesIO(data)).convert("RGB"))
    height, width, _ = pixels.shape
    (left, top), _, (right, bottom), _ = fabric.corners
    rows = slice(round(top * height), round(bottom * height))
    columns = slice(round(left * width), round(right * width))
    light = colour.cctf_decoding(pixels[rows, columns] / 255, function="sRGB")
    lighting = fabric.lighting
    if lighting.fall_off is not None:
        x = ((np.arange(width) + 0.5) / width * 2 - 1)[columns][np.newaxis, :]
        y = ((np.arange(height) + 0.5) / height * 2 - 1)[rows][:, np.newaxis]
        a, b, c, d, e = lighting.fall_off
        light = light / np.exp(a * x + b * y + c * x * x + d * x * y + e * y * y)[..., None]
    mean = np.clip(light @ np.array(lighting.gains).T, 0, 1).mean(axis=(0, 1))
    space = colour.RGB_COLOURSPACES["sRGB"]
    xyz = space.matrix_RGB_to_XYZ @ mean
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    return float(colour.XYZ_to_Lab(xyz, white)[0])


def assert_agrees(colour: ModuleType, data: bytes) -> None:
    fabric = fabric_from_photo(data, "Cloth", FabricId("cloth"), corners=INNER)
    assert fabric.reading.value == pytest.approx(
        value_by_colour_science(colour, data, fabric), abs=WORST
    )


@pytest.mark.parametrize("photo", PHOTOS[::6], ids=lambda photo: photo.stem)
def test_demo_photos(photo: Path, colour: ModuleType) -> None:
    assert_agrees(colour, photo.read_bytes())


@pytest.mark.soak
@pytest.mark.parametrize("photo", PHOTOS, ids=lambda photo: photo.stem)
def test_every_demo_photo(photo: Path, colour: ModuleType) -> None:
    assert_agrees(colour, photo.read_bytes())


@pytest.mark.parametrize("grain", [0, 12, 50])
def test_twelve_megapixels_with_grain(grain: int, colour: ModuleType) -> None:
    coarse = Image.fromarray(cloth(7, 600, 800)).resize((4000, 3000), Image.Resampling.BICUBIC)
    noise = np.random.default_rng(grain).normal(0, grain, (3000, 4000, 1))
    photo = np.clip(np.asarray(coarse) + noise, 0, 255).astype(np.uint8)
    assert_agrees(colour, encoded(photo, "JPEG", quality=92))


def test_a_photo_of_other_primaries_agrees_with_its_own_srgb(colour: ModuleType) -> None:
    data = encoded(cloth(3, 600, 800), "PNG", icc_profile=rgb_profile("display p3"))
    fabric = fabric_from_photo(data, "Cloth", FabricId("cloth"), corners=INNER)
    space = colour.RGB_COLOURSPACES["Display P3"]
    part = cloth(3, 600, 800)[round(0.3 * 600) : 570, round(0.25 * 800) : 680] / 255
    mean = (part ** (563 / 256)).mean(axis=(0, 1))
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    lab = colour.XYZ_to_Lab(space.matrix_RGB_to_XYZ @ mean, white)
    assert fabric.lighting.reference is None
    assert fabric.reading.value == pytest.approx(float(lab[0]), abs=WORST)
