"""Between a fabric and its entry in a board file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

import msgspec

from quiltboard.fabrics.fabric import (
    Amount,
    ByHand,
    Care,
    Cloth,
    Corners,
    CutWedges,
    Fabric,
    FabricId,
    Photo,
    Pool,
    Reading,
    Swatch,
)
from quiltboard.fabrics.reading import Print
from quiltboard.photos.lighting import Lighting
from quiltboard.photos.ruler import Ruler
from quiltboard.store.fabric_shape import (
    ByHandEntry,
    CareEntry,
    ClothEntry,
    FabricEntry,
    LightingEntry,
    PhotoEntry,
    PoolEntry,
    PrintEntry,
    RulerEntry,
    SwatchEntry,
    WedgesEntry,
)
from quiltboard.units import Length

_Made = TypeVar("_Made")


def photo_owners(fabrics: Sequence[Fabric]) -> dict[FabricId, FabricId]:
    """Tell whose picture each fabric's photo is kept as: the first that was cut from it."""
    owners: dict[bytes, FabricId] = {}
    return {
        fabric.id: owners.setdefault(fabric.photo.jpeg, fabric.id)
        for fabric in fabrics
        if fabric.photo is not None
    }


def fabric_entry(fabric: Fabric, photo_of: FabricId | None = None) -> FabricEntry:
    """Give what a board file says of a fabric.

    Parameters
    ----------
    fabric
        The fabric.
    photo_of
        The fabric whose photo it shares; None for its own.

    Raises
    ------
    msgspec.ValidationError
        If something in it is out of bounds.
    """
    reading, swatch, photo, pool = fabric.reading, fabric.swatch, fabric.photo, fabric.pool
    value, a, b = reading.lab
    return FabricEntry(
        id=fabric.id,
        name=fabric.name,
        colour=fabric.colour,
        lab=(float(value), float(a), float(b)),
        low=float(reading.low),
        high=float(reading.high),
        print=_alike(reading.print, PrintEntry) if reading.print else None,
        step=fabric.step,
        by_hand=_alike(fabric.by_hand, ByHandEntry),
        amounts=tuple(_amount_entry(amount) for amount in fabric.amounts),
        care=_alike(fabric.care, CareEntry),
        pool=PoolEntry(pool.cloths, tuple(map(_swatch_entry, pool.more))) if pool else None,
        note=fabric.note,
        warnings=reading.warnings,
        swatch=_swatch_entry(swatch) if swatch else None,
        photo=_photo_entry(photo, photo_of or fabric.id) if photo else None,
        corners=_floats(fabric.corners),
        lighting=_alike(fabric.lighting, LightingEntry),
        ruler=_alike(fabric.ruler, RulerEntry) if fabric.ruler else None,
    )


def fabric_from(
    entry: FabricEntry, swatches: Mapping[str, bytes], photos: Mapping[str, bytes]
) -> Fabric:
    """Make the fabric that an entry tells of.

    Parameters
    ----------
    entry
        As read from a board file.
    swatches, photos
        Encoded pictures by their names in the file; one that is not among them is gone.
    """
    photo, pool = entry.photo, entry.pool
    jpeg = photos.get(photo.of) if photo else None
    more = [
        _swatch(further, swatches.get(f"{entry.id}.{number}"))
        for number, further in enumerate(pool.more if pool else (), start=2)
    ]
    return Fabric(
        id=FabricId(entry.id),
        name=entry.name,
        reading=Reading(
            entry.lab,
            entry.low,
            entry.high,
            entry.warnings,
            _alike(entry.print, Print) if entry.print else None,
        ),
        colour=entry.colour,
        swatch=_swatch(entry.swatch, swatches.get(entry.id)),
        photo=Photo(jpeg, photo.width_px, photo.height_px) if photo and jpeg else None,
        corners=entry.corners,
        lighting=_alike(entry.lighting, Lighting),
        ruler=_alike(entry.ruler, Ruler) if entry.ruler else None,
        amounts=tuple(_amount(amount) for amount in entry.amounts),
        note=entry.note,
        step=entry.step,
        by_hand=_alike(entry.by_hand, ByHand),
        care=_alike(entry.care, Care),
        pool=Pool(pool.cloths, tuple(swatch for swatch in more if swatch)) if pool else None,
    )


def _alike(value: object, shape: type[_Made]) -> _Made:
    """Give a Struct of another type with the same fields, its bounds checked."""
    return msgspec.convert(value, shape, from_attributes=True)


def _floats(corners: Corners) -> Corners:
    """Write every corner as a decimal, so that a board is written alike each time."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    return (
        (float(ax), float(ay)),
        (float(bx), float(by)),
        (float(cx), float(cy)),
        (float(dx), float(dy)),
    )


def _photo_entry(photo: Photo, of: FabricId) -> PhotoEntry:
    return PhotoEntry(photo.width_px, photo.height_px, of)


def _swatch_entry(swatch: Swatch) -> SwatchEntry:
    return SwatchEntry(swatch.width_px, swatch.height_px, swatch.width)


def _swatch(entry: SwatchEntry | None, png: bytes | None) -> Swatch | None:
    if entry is None or png is None:
        return None
    width = None if entry.width is None else Length(entry.width)
    return Swatch(png, entry.width_px, entry.height_px, width)


def _amount_entry(amount: Amount) -> WedgesEntry | ClothEntry:
    if isinstance(amount, CutWedges):
        return WedgesEntry(amount.count)
    return ClothEntry(amount.length, amount.width)


def _amount(entry: WedgesEntry | ClothEntry) -> Amount:
    if isinstance(entry, WedgesEntry):
        return CutWedges(entry.count)
    return Cloth(Length(entry.length), None if entry.width is None else Length(entry.width))
