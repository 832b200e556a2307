"""Value and colour against what others have published."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from quiltboard.fabrics.measure import delta_e_2000, measure_cloth, reading_of_colour
from quiltboard.photos.light import light_of, mean_light, to_encoded, to_linear
from quiltboard.photos.lightness import WHITE, lab_of_light, value_of_luminance
from tests.helpers.pictures import check, cloth, plain


@pytest.mark.parametrize(
    ("text", "value"),
    [
        # CIE e-ILV 17-23-076 on IEC 61966-2-1, worked by hand.
        ("#777777", 50.03),
        ("#767676", 49.64),
        ("#808080", 53.59),
        ("#ff0000", 53.24),
        ("#00ff00", 87.74),
        ("#0000ff", 32.30),
        ("#ffff00", 97.14),
        ("#000000", 0.0),
        ("#ffffff", 100.0),
    ],
)
def test_value_of_known_colours(text: str, value: float) -> None:
    # Published with matrices of four to seven digits, which part in the second decimal.
    assert reading_of_colour(text).value == pytest.approx(value, abs=0.01)


def test_white_is_white_to_the_last_digit() -> None:
    assert reading_of_colour("#ffffff").lab == pytest.approx((100, 0, 0), abs=1e-9)


def test_luminances_with_a_known_value() -> None:
    # The 18 % grey card; and half black, half white, which mixes to luminance 0.5.
    assert float(value_of_luminance(0.18)) == pytest.approx(49.496, abs=0.0005)
    assert measure_cloth(light_of(check(400, 5))).value == pytest.approx(76.07, abs=0.005)


def test_encoded_numbers_are_not_light() -> None:
    # A mean of encoded numbers calls a black-and-white check 128, L* 53.59, and is wrong.
    assert (
        measure_cloth(light_of(check(400, 5))).value - reading_of_colour("#808080").value > 22
    )


@pytest.mark.parametrize(("grey", "contrast"), [("#767676", 4.542), ("#777777", 4.478)])
def test_contrast_to_white(grey: str, contrast: float) -> None:
    # WCAG 2.2, relative luminance with the cutoff of IEC 61966-2-1.
    luminance = float(to_linear(int(grey[1:3], 16) / 255))
    assert 1.05 / (luminance + 0.05) == pytest.approx(contrast, abs=0.0005)


def test_the_cutoff_is_the_standards() -> None:
    # IEC 61966-2-1: 0.04045 encoded, 0.0031308 linear; the straight part holds up to there.
    assert float(to_linear(0.04045)) == 0.04045 / 12.92
    assert float(to_linear(0.0405)) == ((0.0405 + 0.055) / 1.055) ** 2.4
    assert float(to_encoded(0.0031308)) == 0.0031308 * 12.92
    # The two parts meet to within the rounding of the published numbers.
    assert float(to_linear(0.04045 + 1e-9)) == pytest.approx(0.04045 / 12.92, abs=3e-8)


PAIRS = (
    # Sharma, Wu and Dalal 2005, doi 10.1002/col.20070, table 1: all pairs but the fourteenth,
    # which lies on the seam of the hue circle and falls either way by the last bit.
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
    ((50.0, 2.8361, -74.02), (50.0, 0.0, -82.7485), 3.4412),
    ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, -1.1848, -84.8006), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, -0.9009, -85.5211), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
    ((50.0, -1.0, 2.0), (50.0, 0.0, 0.0), 2.3669),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0009), 7.1792),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.001), 7.1792),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0011), 7.2195),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0012), 7.2195),
    ((50.0, -0.001, 2.49), (50.0, 0.0009, -2.49), 4.8045),
    ((50.0, -0.001, 2.49), (50.0, 0.0011, -2.49), 4.7461),
    ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
    ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ((50.0, 2.5, 0.0), (61.0, -5.0, 29.0), 22.8977),
    ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.9030),
    ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), 19.4535),
    ((50.0, 2.5, 0.0), (50.0, 3.1736, 0.5854), 1.0000),
    ((50.0, 2.5, 0.0), (50.0, 3.2972, 0.0), 1.0000),
    ((50.0, 2.5, 0.0), (50.0, 1.8634, 0.5757), 1.0000),
    ((50.0, 2.5, 0.0), (50.0, 3.2592, 0.335), 1.0000),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.248, -4.962), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.694), (23.0331, 14.973, -42.5619), 2.0373),
    ((36.4612, 47.858, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.441), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
)


@pytest.mark.parametrize(("one", "other", "apart"), PAIRS)
def test_ciede2000(
    one: tuple[float, float, float], other: tuple[float, float, float], apart: float
) -> None:
    assert float(delta_e_2000(one, other)) == pytest.approx(apart, abs=5.1e-5)
    assert float(delta_e_2000(other, one)) == pytest.approx(apart, abs=5.1e-5)


def test_ciede2000_of_many() -> None:
    one, other, apart = (np.array(part) for part in zip(*PAIRS, strict=True))
    assert delta_e_2000(one, other) == pytest.approx(apart, abs=5.1e-5)


def test_linear_light_agrees_with_colour_science(colour: ModuleType) -> None:
    encoded = np.linspace(0, 1, 1001)
    assert to_linear(encoded) == pytest.approx(colour.models.eotf_sRGB(encoded), abs=1e-12)


@pytest.mark.parametrize("seed", range(6))
def test_value_of_a_picture_agrees_with_colour_science(colour: ModuleType, seed: int) -> None:
    rng = np.random.default_rng(seed)
    pixels = rng.integers(0, 256, (60, 80, 3), dtype=np.uint8) if seed % 2 else cloth(seed)
    mean = colour.models.eotf_sRGB(pixels / 255).mean(axis=(0, 1))
    assert mean_light(pixels) == pytest.approx(mean, abs=1e-12)
    luminance = float(mean @ colour.models.RGB_COLOURSPACE_sRGB.matrix_RGB_to_XYZ[1])
    expected = float(colour.colorimetry.lightness_CIE1976(luminance * 100, 100))
    assert measure_cloth(light_of(pixels)).value == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_quarters_agree_with_colour_science(colour: ModuleType, seed: int) -> None:
    pixels = cloth(seed)
    light = colour.models.eotf_sRGB(pixels / 255)
    luminance = light @ colour.models.RGB_COLOURSPACE_sRGB.matrix_RGB_to_XYZ[1]
    values = colour.colorimetry.lightness_CIE1976(luminance * 100, 100)
    reading = measure_cloth(light_of(pixels))
    expected = np.percentile(values, (25, 75), method="inverted_cdf")
    assert (reading.low, reading.high) == pytest.approx(expected, abs=0.03)


def test_lab_agrees_with_colour_science(colour: ModuleType) -> None:
    light = to_linear(np.random.default_rng(3).random((500, 3)))
    matrix = colour.models.RGB_COLOURSPACE_sRGB.matrix_RGB_to_XYZ
    white = colour.models.XYZ_to_xy(WHITE)
    expected = colour.models.XYZ_to_Lab(light @ matrix.T, white)
    assert lab_of_light(light) == pytest.approx(expected, abs=1e-6)
    # The white that the primaries add up to is D65 to the four digits it is published with.
    assert white == pytest.approx((0.3127, 0.3290), abs=5e-5)


@pytest.mark.parametrize("patch", ["white 9.5", "neutral 5", "black 2"])
def test_neutral_patches_keep_their_value(colour: ModuleType, patch: str) -> None:
    # The neutral row of the 24-patch chart: L* 95.19, 50.76, 20.64 as sRGB numbers are rounded.
    value = {"white 9.5": 95.19, "neutral 5": 50.76, "black 2": 20.64}[patch]
    luminance = float(colour.colorimetry.luminance_CIE1976(value, 100)) / 100
    grey = round(float(to_encoded(luminance)) * 255)
    assert measure_cloth(light_of(plain((grey, grey, grey)))).value == pytest.approx(
        value, abs=0.25
    )


@pytest.mark.parametrize(
    ("munsell", "luminance"),
    [
        # ASTM D1535, as colour-science gives it: the luminance of each value, in hundredths.
        (1, 1.1799), (2, 3.0481), (3, 6.3912), (4, 11.7008), (5, 19.2718),
        (6, 29.3012), (7, 41.9854), (8, 57.6196), (9, 76.6956), (10, 100.0),
    ],
)  # fmt: skip
def test_ten_times_a_munsell_value_is_near_our_value(
    munsell: int, luminance: float, colour: ModuleType
) -> None:
    table = float(colour.notation.munsell_value_ASTMD1535(luminance))
    assert table == pytest.approx(munsell, abs=0.001)
    assert float(value_of_luminance(luminance / 100)) == pytest.approx(10 * munsell, abs=1.5)


def test_the_neutral_row_of_the_chart(colour: ModuleType) -> None:
    # The 24-patch chart after November 2014, its six greys, CIE L* as published.
    chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"].data
    greys = [chart[name][2] for name in list(chart)[-6:]]
    values = value_of_luminance(np.array(greys, dtype=np.float64))
    assert values == pytest.approx([95.19, 81.29, 66.89, 50.76, 35.63, 20.64], abs=0.01)
