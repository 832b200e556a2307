"""How long finding the cloths of a photo takes, beside making that photo small."""

from __future__ import annotations

import pytest

from quiltboard.photos.cloths import LOOKED_AT_PX, find_cloths
from quiltboard.photos.light import Pixels, averaged_light, fitted_size
from tests.helpers.table_scenes import full_frame, large_floral, table_scene
from tests.helpers.timing import Record, best_ms, tell


def told(record: Record, what: str, pixels: Pixels) -> None:
    height, width, _ = pixels.shape
    size = fitted_size(width, height, LOOKED_AT_PX)
    small = best_ms(lambda: averaged_light(pixels, *size), 3)
    spent = best_ms(lambda: find_cloths(pixels), 3)
    tell(record, f"Cloths found, {what}", spent, "made small", small)


@pytest.mark.parametrize("layout", ["grid", "swatch row", "single", "stairs", "fan"])
def test_finding_cloths(layout: str, record_property: Record) -> None:
    told(record_property, layout, table_scene(3, "wood", layout).pixels)


def test_finding_none(record_property: Record) -> None:
    told(record_property, "a print that fills the photo", full_frame(3, large_floral))
