"""To be found by measuring; until then nothing is found."""

from __future__ import annotations

from quiltboard.fabrics.reading import Direction, Repeat
from quiltboard.photos.light import Pixels


def find_direction(pixels: Pixels, repeat: Repeat) -> Direction:
    return Direction("not sure", 0.0)
