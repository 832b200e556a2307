"""How the light of a photo is set right: white, exposure, and slow fall-off.

Everything here is linear light in the primaries of sRGB, and places are fractions of the
photo's width and height, so that what was found on a small copy holds for the whole.
"""

from __future__ import annotations

from typing import Final, Literal

import msgspec

Reference = Literal["white card", "grey card", "white sheet"]
"""What in the photo its white and exposure were set by."""

Gains = tuple[
    tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]
]

NO_GAIN: Final[Gains] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class Lighting(msgspec.Struct, frozen=True):
    """What a photo's light is multiplied by, so that it compares with other photos.

    Attributes
    ----------
    reference
        What set white and exposure; None for a photo that is not calibrated.
    at
        Where that lay in the photo, as fractions of its width and height.
    gains
        The 3 × 3 matrix that linear light is multiplied by (light as a column: red, green,
        blue).
    fall_off
        The slow fall-off of light over the cloth: natural logarithm of the light as a
        polynomial in x, y, x², xy, y², with x and y from -1 to 1 across and down the photo;
        it is divided out. Empty: none was found.
    lamp
        Whether it was lamp light, whose colours no correction brings back whole.
    """

    reference: Reference | None = None
    at: tuple[float, float] | None = None
    gains: Gains = NO_GAIN
    fall_off: tuple[float, float, float, float, float] | None = None
    lamp: bool = False

    @property
    def calibrated(self) -> bool:
        """Whether the photo can be compared with others."""
        return self.reference is not None


AS_TAKEN: Final = Lighting()
