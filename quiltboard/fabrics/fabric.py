"""A fabric: what it is called, how it looks, what it measures, how much of it there is."""

from __future__ import annotations

import re
from typing import Final, Literal, NewType

import msgspec

from quiltboard.photos.corners import WHOLE_PHOTO, Corners
from quiltboard.units import Length

__all__ = [
    "STEPS",
    "WHOLE_PHOTO",
    "Amount",
    "Cloth",
    "Corners",
    "CutWedges",
    "Fabric",
    "FabricId",
    "Photo",
    "Reading",
    "Step",
    "Swatch",
    "is_colour",
]

FabricId = NewType("FabricId", str)
"""Names a fabric for as long as its board lives; it never begins with ``#``."""

Step = Literal["light", "medium", "dark", "mixed"]
STEPS: Final[tuple[Step, ...]] = ("light", "medium", "dark", "mixed")

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


class Photo(msgspec.Struct, frozen=True):
    """The maker's picture as the board keeps it: reduced, turned upright, sRGB, no EXIF.

    Attributes
    ----------
    jpeg
        The encoded picture; encoded once, at import.
    width_px, height_px
        Its size.
    """

    jpeg: bytes
    width_px: int
    height_px: int


class Swatch(msgspec.Struct, frozen=True):
    """The straightened picture of one fabric, upright, sRGB.

    Attributes
    ----------
    png
        The encoded picture; encoded once, whenever the corners are set.
    width_px, height_px
        Its size.
    width
        How wide a stretch of cloth it shows, or None while its scale is not known.
    """

    png: bytes
    width_px: int
    height_px: int
    width: Length | None = None


class Reading(msgspec.Struct, frozen=True):
    """What a swatch measures.

    Attributes
    ----------
    lab
        CIE L*a*b* (D65, 2°) of the mean linear-light colour.
    low, high
        L* below which a quarter, and three quarters, of the cloth lies.
    warnings
        Sentences about the photo: what was decided, and what to mind.
    """

    lab: tuple[float, float, float]
    low: float
    high: float
    warnings: tuple[str, ...] = ()

    @property
    def value(self) -> float:
        """How light the cloth reads from across the room: L*, 0 to 100."""
        return self.lab[0]


class CutWedges(msgspec.Struct, frozen=True, tag="wedges"):
    """So many wedges, cut or promised.

    Attributes
    ----------
    count
        How many; 0 says that none may be asked for.
    """

    count: int


class Cloth(msgspec.Struct, frozen=True, tag="cloth"):
    """One piece of uncut cloth.

    Attributes
    ----------
    length
        Along the selvage.
    width
        Across; None is the usual width of fabric.
    """

    length: Length
    width: Length | None = None


Amount = CutWedges | Cloth


class Fabric(msgspec.Struct, frozen=True):
    """One cloth the maker owns or may buy.

    Attributes
    ----------
    id
        Names it inside the board.
    name
        What the maker calls it; no two fabrics of a board share one.
    reading
        Measured from the swatch, or from the plain colour.
    colour
        sRGB ``#rrggbb``: the plain colour, or the mean colour of the swatch.
    swatch, photo
        None for a plain colour.
    corners
        Where in its photo the swatch was taken.
    amounts
        What there is; empty means as much as is needed.
    step
        A value step set by hand, or None to take the measured one.
    """

    id: FabricId
    name: str
    reading: Reading
    colour: str
    swatch: Swatch | None = None
    photo: Photo | None = None
    corners: Corners = WHOLE_PHOTO
    amounts: tuple[Amount, ...] = ()
    note: str = ""
    step: Step | None = None


def is_colour(text: str) -> bool:
    """Tell whether a text is a plain colour, ``#rrggbb``."""
    return _COLOUR.fullmatch(text) is not None
