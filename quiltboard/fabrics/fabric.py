"""A fabric: what it is called, how it looks, what it measures, how much of it there is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal, NewType

import msgspec

from quiltboard.fabrics.reading import STEPS, Reading, Step, Way
from quiltboard.photos.corners import WHOLE_PHOTO, Corners
from quiltboard.photos.lighting import AS_TAKEN, Lighting
from quiltboard.photos.ruler import Ruler
from quiltboard.units import Length

__all__ = [
    "STEPS",
    "WHOLE_PHOTO",
    "Amount",
    "ByHand",
    "Care",
    "Cloth",
    "Corners",
    "CutWedges",
    "Fabric",
    "FabricId",
    "Photo",
    "Pool",
    "Reading",
    "Step",
    "Swatch",
    "is_colour",
]

FabricId = NewType("FabricId", str)
"""Names a fabric for as long as its board lives; it never begins with ``#`` and has no dot."""

Washing = Literal["unwashed", "washed", "precut"]
PrintSize = Literal["small", "medium", "large"]

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


class Pool(msgspec.Struct, frozen=True):
    """Many small cloths that are used as one.

    Attributes
    ----------
    cloths
        How many different cloths there are.
    more
        Swatches of further ones, beside the fabric's own.
    """

    cloths: int
    more: tuple[Swatch, ...] = ()


class Care(msgspec.Struct, frozen=True):
    """The state the cloth is in.

    Attributes
    ----------
    washing
        Precuts are sold unwashed and are not washed; None is not told.
    starched
        Whether it is starched.
    dye_tested
        Whether its dye was tested and held.
    """

    washing: Washing | None = None
    starched: bool = False
    dye_tested: bool = False


class ByHand(msgspec.Struct, frozen=True):
    """What the maker has set herself because the photo tells it wrongly or not at all.

    Each is None while the measured one is taken, and stays through every new measuring.

    Attributes
    ----------
    value
        L*, 0 to 100.
    way
        Whether the print has a right way up.
    size
        How large the print is against the wedge.
    solid
        Whether it reads as a plain cloth.
    repeat
        The repeat across and along the cloth.
    """

    value: float | None = None
    way: Way | None = None
    size: PrintSize | None = None
    solid: bool | None = None
    repeat: tuple[Length, Length] | None = None


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
    lighting
        How the light of its photo was set right.
    ruler
        A known length in its photo, from which the swatch's width follows.
    amounts
        What there is; empty means as much as is needed.
    step
        A value step set by hand, or None to take the measured one.
    by_hand
        What else was set by hand.
    care
        The state the cloth is in.
    pool
        For many small cloths that are used as one; else None.
    """

    id: FabricId
    name: str
    reading: Reading
    colour: str
    swatch: Swatch | None = None
    photo: Photo | None = None
    corners: Corners = WHOLE_PHOTO
    lighting: Lighting = AS_TAKEN
    ruler: Ruler | None = None
    amounts: tuple[Amount, ...] = ()
    note: str = ""
    step: Step | None = None
    by_hand: ByHand = ByHand()
    care: Care = Care()
    pool: Pool | None = None

    @property
    def value(self) -> float:
        """How light the cloth reads from across the room: L*, as set by hand or measured."""
        measured = self.reading.value
        return measured if self.by_hand.value is None else self.by_hand.value

    @property
    def swatches(self) -> Mapping[str, Swatch]:
        """Its swatches by key: its own by its id, a pool's further ones by ``id.2`` on."""
        further = enumerate(self.pool.more if self.pool else (), start=2)
        own = {} if self.swatch is None else {str(self.id): self.swatch}
        return own | {f"{self.id}.{number}": swatch for number, swatch in further}

    @property
    def calibrated(self) -> bool:
        """Whether its value compares with others: by a card, by hand, or a plain colour."""
        told = self.by_hand.value is not None
        return self.photo is None or told or self.lighting.calibrated


def is_colour(text: str) -> bool:
    """Tell whether a text is a plain colour, ``#rrggbb``."""
    return _COLOUR.fullmatch(text) is not None
