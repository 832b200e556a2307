"""The shape of a fabric in a board file, and the bounds of everything in it."""

from __future__ import annotations

from typing import Annotated, Final

import msgspec
from msgspec import Meta

from quiltboard.fabrics.fabric import PrintSize, Washing
from quiltboard.fabrics.naming import LONGEST_NAME
from quiltboard.fabrics.reading import RELIEF_SIDE, RepeatKind, Step, Way
from quiltboard.photos.lighting import Reference
from quiltboard.photos.ruler import RulerKind
from quiltboard.store.pictures import LARGEST_SIDE_PX
from quiltboard.units import PER_INCH

UNIT_TOLD: Final = "A length in whole units of 1/320 mm; an inch is 8128 of them."
END: Final = r"(?![\s\S])"
MOST_IN_POOL: Final = 200

Id = Annotated[str, Meta(pattern=rf"^[A-Za-z0-9][A-Za-z0-9_-]{{0,63}}{END}")]
Colour = Annotated[str, Meta(pattern=rf"^#[0-9a-fA-F]{{6}}{END}")]
Name = Annotated[
    str,
    Meta(min_length=1, max_length=LONGEST_NAME, pattern=r"^(?![\s\S]*[\x00-\x1f\x7f])"),
]
Prose = Annotated[str, Meta(max_length=4000, pattern=r"^(?![\s\S]*[\x00-\x08\x0b-\x1f\x7f])")]
Pixels = Annotated[int, Meta(ge=1, le=LARGEST_SIDE_PX)]
ClothLength = Annotated[int, Meta(ge=1, le=36_000 * PER_INCH, description=UNIT_TOLD)]
Lightness = Annotated[float, Meta(ge=-1, le=101)]
Chroma = Annotated[float, Meta(ge=-200, le=200)]
LabEntry = tuple[Lightness, Chroma, Chroma]
Share = Annotated[float, Meta(ge=0, le=1)]
Point = tuple[Share, Share]
Reach = Annotated[float, Meta(ge=-100, le=100)]
Gain = Annotated[float, Meta(ge=-1000, le=1000)]
Bend = Annotated[float, Meta(ge=-10, le=10)]


class Entry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A part of the file: nothing in it that is not known."""


class SwatchEntry(Entry, frozen=True):
    """The picture ``swatches/ID.png``; width is the stretch of cloth it shows, if known."""

    width_px: Pixels
    height_px: Pixels
    width: ClothLength | None


class PhotoEntry(Entry, frozen=True):
    """The picture ``photos/OF.jpg``; fabrics cut from one photo name the same."""

    width_px: Pixels
    height_px: Pixels
    of: Id


class TintEntry(Entry, frozen=True):
    """One of a print's colours, and how much of the cloth it covers."""

    lab: LabEntry
    share: Share


class RepeatEntry(Entry, frozen=True):
    """The lattice of a print; its steps are fractions of the swatch's width."""

    kind: RepeatKind
    steps: Annotated[tuple[tuple[Reach, Reach], ...], Meta(max_length=2)]
    confidence: Share


class DirectionEntry(Entry, frozen=True):
    """Whether a print has a right way up."""

    way: Way
    confidence: Share


class PrintEntry(Entry, frozen=True):
    """What a print is like; relief is 64 × 64 encoded luminances, rows first."""

    tints: Annotated[tuple[TintEntry, ...], Meta(max_length=6)]
    contrast: Annotated[float, Meta(ge=0, le=100)]
    feature: Annotated[float, Meta(ge=0, le=10)] | None
    solid: bool
    repeat: RepeatEntry
    direction: DirectionEntry
    relief: Annotated[bytes, Meta(min_length=RELIEF_SIDE**2, max_length=RELIEF_SIDE**2)]


class LightingEntry(Entry, frozen=True):
    """What the light of a photo is multiplied by, linear, and what set it."""

    reference: Reference | None
    at: Point | None
    gains: tuple[tuple[Gain, Gain, Gain], tuple[Gain, Gain, Gain], tuple[Gain, Gain, Gain]]
    fall_off: tuple[Bend, Bend, Bend, Bend, Bend] | None
    lamp: bool


class RulerEntry(Entry, frozen=True):
    """Two places in the photo and the length between them."""

    start: Point
    end: Point
    length: ClothLength
    by: RulerKind


class ByHandEntry(Entry, frozen=True):
    """What was set by hand; null where the measured one is taken."""

    value: Annotated[float, Meta(ge=0, le=100)] | None
    way: Way | None
    size: PrintSize | None
    solid: bool | None
    repeat: tuple[ClothLength, ClothLength] | None


class CareEntry(Entry, frozen=True):
    """The state the cloth is in."""

    washing: Washing | None
    starched: bool
    dye_tested: bool


class PoolEntry(Entry, frozen=True):
    """Many small cloths used as one; further swatches are ``swatches/ID.2.png`` and on."""

    cloths: Annotated[int, Meta(ge=1, le=10_000)]
    more: Annotated[tuple[SwatchEntry, ...], Meta(max_length=MOST_IN_POOL)]


class WedgesEntry(Entry, frozen=True, tag_field="kind", tag="wedges"):
    """So many wedges, cut or promised."""

    count: Annotated[int, Meta(ge=0, le=1_000_000)]


class ClothEntry(Entry, frozen=True, tag_field="kind", tag="cloth"):
    """One piece of cloth; a width of null is the usual width of fabric."""

    length: ClothLength
    width: ClothLength | None


class FabricEntry(Entry, frozen=True):
    """One fabric; lab is CIE L*a*b* (D65), low and high the quartiles of its L*."""

    id: Id
    name: Name
    colour: Colour
    lab: LabEntry
    low: Lightness
    high: Lightness
    print: PrintEntry | None
    step: Step | None
    by_hand: ByHandEntry
    amounts: Annotated[tuple[WedgesEntry | ClothEntry, ...], Meta(max_length=1000)]
    care: CareEntry
    pool: PoolEntry | None
    note: Prose
    warnings: Annotated[tuple[Prose, ...], Meta(max_length=40)]
    swatch: SwatchEntry | None
    photo: PhotoEntry | None
    corners: tuple[Point, Point, Point, Point]
    lighting: LightingEntry
    ruler: RulerEntry | None
