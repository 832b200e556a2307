"""A chart of 24 patches photographed in many lights reads as it does in daylight.

Spectral reflectances of the chart: ISO 17321-1:2012, annex D; illuminants and observer: CIE
15:2018; both as published in colour-science. Differences are CIEDE2000.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.photos.light import light_of
from quiltboard.photos.lighting import gains_of_white, is_lamp_light, set_right
from quiltboard.photos.lightness import WHITE, lab_of_light
from quiltboard.photos.reference_card import lighting_of, reference_at
from quiltboard.photos.straighten import cut_out
from tests.helpers.chart_scenes import (
    CARD_AT,
    Floats,
    chart_under,
    light_under,
    true_colours,
)

DAYLIGHTS = ("D50", "D55", "D75")
LAMPS = ("A", "FL2", "FL11")
MEAN_IN_DAYLIGHT, WORST_IN_DAYLIGHT = 1.0, 3.5
MEAN_IN_LAMPLIGHT, WORST_IN_LAMPLIGHT = 3.0, 10.0


def differences(illuminant: str, stops: Sequence[float]) -> Floats:
    """Photograph the chart, click on its white card, set each patch right and measure it."""
    found = []
    for seed, exposure in enumerate(stops):
        scene = chart_under(illuminant, exposure, seed)
        card = reference_at(scene.pixels, CARD_AT, "white card")
        for patch, true in zip(scene.patches, true_colours(), strict=True):
            lighting = lighting_of(scene.pixels, card, patch)
            assert lighting.lamp == (illuminant in LAMPS)
            part, _ = cut_out(scene.pixels, None, patch)
            right = set_right(light_of(part), lighting, patch)
            mean = right.mean(axis=(0, 1), dtype=np.float64)
            found.append(delta_e_2000(true, lab_of_light(mean)))
    return np.array(found, dtype=np.float64)


def check_daylight(stops: Sequence[float]) -> None:
    for illuminant in DAYLIGHTS:
        off = differences(illuminant, stops)
        print(f"{illuminant}: mean {off.mean():.2f}, worst {off.max():.2f}")  # noqa: T201
        assert off.mean() <= MEAN_IN_DAYLIGHT, illuminant
        assert off.max() <= WORST_IN_DAYLIGHT, illuminant


def check_lamplight(stops: Sequence[float]) -> None:
    all_off = []
    for illuminant in LAMPS:
        off = differences(illuminant, stops)
        print(f"{illuminant}: mean {off.mean():.2f}, worst {off.max():.2f}")  # noqa: T201
        assert off.max() <= WORST_IN_LAMPLIGHT, illuminant
        all_off.append(off)
    assert np.mean(all_off) <= MEAN_IN_LAMPLIGHT


def test_the_chart_is_itself_in_daylight() -> None:
    check_daylight((-1.5, 1.5))


def test_the_chart_is_near_itself_in_lamplight() -> None:
    check_lamplight((-1.5, 1.5))


@pytest.mark.soak
def test_the_chart_in_every_light_at_every_exposure() -> None:
    stops = np.linspace(-1.5, 1.5, 13).tolist()
    check_daylight(stops)
    check_lamplight(stops)


def test_without_its_card_the_chart_is_not_itself() -> None:
    # Else the checks above would show nothing.
    for illuminant in (*DAYLIGHTS, *LAMPS):
        scene = chart_under(illuminant, -1.5)
        off = [
            delta_e_2000(true, lab_of_light(light_of(part).mean(axis=(0, 1))))
            for patch, true in zip(scene.patches, true_colours(), strict=True)
            for part in [cut_out(scene.pixels, None, patch)[0]]
        ]
        assert np.mean(off) > 15, illuminant


@pytest.mark.parametrize("illuminant", [*DAYLIGHTS, "D65", *LAMPS])
def test_white_becomes_white(illuminant: str) -> None:
    _, white = light_under(illuminant)
    right = gains_of_white(0.3 * white, 0.88) @ (0.3 * white)
    assert right == pytest.approx([0.88, 0.88, 0.88], abs=1e-9)
    assert is_lamp_light(white) == (illuminant in LAMPS)
    assert lab_of_light(right / 0.88) == pytest.approx([100, 0, 0], abs=1e-6)
    assert WHITE[1] == pytest.approx(1)
