"""A known length in a photo: two points and how far apart they are on the cloth."""

from __future__ import annotations

from typing import Literal

import msgspec

from quiltboard.units import Length

RulerKind = Literal["points", "card", "grid"]
"""Two points and a length that was told; the long side of a card; lines of a ruler or mat."""


class Ruler(msgspec.Struct, frozen=True):
    """Two places in the photo, and the length between them on the table.

    Attributes
    ----------
    start, end
        As fractions of the photo's width and height.
    length
        How far apart they are.
    by
        How it is known.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    length: Length
    by: RulerKind = "points"
