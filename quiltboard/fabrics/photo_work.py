"""What can be done anew with a fabric's photo: corners, light, scale, more cloths, a pool."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import msgspec
import numpy as np

from quiltboard.fabrics.bring_in import CARD_LEFT_OUT, SCALED_BY_CARD, fabrics_from_photo
from quiltboard.fabrics.fabric import Corners, Fabric, FabricId, Pool
from quiltboard.fabrics.measure import MEASURING_WARNINGS, measure_cloth
from quiltboard.fabrics.naming import tidy_name
from quiltboard.fabrics.prints import read_print
from quiltboard.fabrics.swatches import cut_cloth, width_of
from quiltboard.photos.cloths import find_cloths
from quiltboard.photos.encode import decode_kept
from quiltboard.photos.grid_lines import grid_ruler
from quiltboard.photos.light import Light, Pixels, light_of
from quiltboard.photos.lighting import Reference
from quiltboard.photos.reference_card import (
    FoundReference,
    find_reference,
    lighting_of,
    reference_at,
)
from quiltboard.photos.ruler import Ruler, ruler_across
from quiltboard.photos.soundness import SOUNDNESS_WARNINGS
from quiltboard.units import Length

MOST_IN_POOL: Final = 200
"""So many pictures a pool has beside its own."""

_TOLD_ANEW: Final = frozenset(
    {*MEASURING_WARNINGS, *SOUNDNESS_WARNINGS, CARD_LEFT_OUT, SCALED_BY_CARD}
)
"""What was noted of the old part of the photo; what was noted while reading it stays."""


def recrop(fabric: Fabric, corners: Corners) -> Fabric:
    """Take the swatch from another part of the photo the board keeps.

    Its light is set by what set it before, its scale by the same ruler, and it is measured
    anew; what was set by hand stays.

    Parameters
    ----------
    fabric
        A fabric with a photo.
    corners
        Where the cloth lies, as fractions of the photo, clockwise from the top left.

    Raises
    ------
    PhotoError
        If the corners hold no cloth, or the kept photo is damaged.
    ScaleError
        If its ruler tells nothing of that part.
    ValueError
        If the fabric is a plain colour.
    """
    kept = _kept(fabric)
    return _taken_anew(fabric, kept, corners, _reference_of(fabric, kept))


def measure_anew(fabric: Fabric) -> Fabric:
    """Look for a card in the photo again, and measure the cloth between the same corners.

    Raises
    ------
    PhotoError, ScaleError, ValueError
        As for `recrop`.
    """
    kept = _kept(fabric)
    return _taken_anew(fabric, kept, fabric.corners, find_reference(kept))


def set_light(
    fabric: Fabric, reference: Reference | None, at: tuple[float, float] = (0.5, 0.5)
) -> Fabric:
    """Set the photo's white and exposure by what the maker points at.

    Parameters
    ----------
    fabric
        A fabric with a photo.
    reference
        What lies there; None takes the photo's light as it is.
    at
        Where it lies, as fractions of the photo.

    Raises
    ------
    LightError
        If what lies there cannot be it; the message says why.
    PhotoError, ScaleError, ValueError
        As for `recrop`.
    """
    kept = _kept(fabric)
    found = None if reference is None else reference_at(kept, at, reference)
    return _taken_anew(fabric, kept, fabric.corners, found)


def set_ruler(fabric: Fabric, ruler: Ruler | None) -> Fabric:
    """Set the swatch's scale by a known length in the photo, or forget it.

    What reads as solid from across the room hangs on the scale, so the print is read anew.

    Raises
    ------
    ScaleError
        If the ruler tells nothing of this cloth.
    PhotoError
        If the kept swatch is damaged.
    ValueError
        If the fabric is a plain colour.
    """
    swatch, photo = fabric.swatch, fabric.photo
    if swatch is None or photo is None:
        raise ValueError(f"{fabric.name} is a plain colour and has no scale")
    width = width_of(
        ruler,
        fabric.corners,
        (photo.width_px, photo.height_px),
        (swatch.width_px, swatch.height_px),
    )
    print_ = read_print(light_of(decode_kept(swatch.png, fabric.name)), width)
    return msgspec.structs.replace(
        fabric,
        ruler=ruler,
        swatch=msgspec.structs.replace(swatch, width=width),
        reading=msgspec.structs.replace(fabric.reading, print=print_),
    )


def set_grid(fabric: Fabric, at: tuple[float, float], spacing: Length) -> Fabric:
    """Set the swatch's scale by the lines of a mat or a ruler that the maker points at.

    Parameters
    ----------
    fabric
        A fabric with a photo.
    at
        A place on the mat or ruler, as fractions of the photo.
    spacing
        How far apart its lines are.

    Raises
    ------
    ScaleError
        If no evenly spaced lines are found there.
    PhotoError, ValueError
        As for `recrop`.
    """
    return set_ruler(fabric, grid_ruler(_kept(fabric), at, spacing))


def find_more(fabric: Fabric) -> tuple[Corners, ...]:
    """Find the cloths in a fabric's photo.

    Raises
    ------
    PhotoError, ValueError
        As for `recrop`.
    """
    kept = _kept(fabric)
    found = find_reference(kept)
    return tuple(cloth.corners for cloth in find_cloths(kept, [found.corners] if found else []))


def another_from(fabric: Fabric, corners: Corners, name: str, fabric_id: FabricId) -> Fabric:
    """Cut another fabric from the photo of one.

    Parameters
    ----------
    fabric
        A fabric with a photo.
    corners
        Where the other cloth lies in it.
    name, fabric_id
        What the other is called; it has no amounts and no notes yet.

    Raises
    ------
    PhotoError, ScaleError, ValueError
        As for `recrop`.
    """
    other = Fabric(
        id=fabric_id,
        name=tidy_name(name),
        reading=fabric.reading,
        colour=fabric.colour,
        swatch=fabric.swatch,
        photo=fabric.photo,
        corners=corners,
        lighting=fabric.lighting,
        ruler=_ruler_of(fabric),
    )
    return recrop(other, corners)


def _kept(fabric: Fabric) -> Pixels:
    if fabric.photo is None:
        raise ValueError(f"{fabric.name} is a plain colour and has no photo")
    return decode_kept(fabric.photo.jpeg, fabric.name)


def _reference_of(fabric: Fabric, kept: Pixels) -> FoundReference | None:
    lighting = fabric.lighting
    if lighting.reference is None or lighting.at is None:
        return None
    return reference_at(kept, lighting.at, lighting.reference)


def _ruler_of(fabric: Fabric) -> Ruler | None:
    """Give what a fabric's scale is known by: on older boards, the width of its swatch."""
    width = fabric.swatch.width if fabric.swatch else None
    if fabric.ruler is not None or width is None:
        return fabric.ruler
    return ruler_across(fabric.corners, width)


def _taken_anew(
    fabric: Fabric, kept: Pixels, corners: Corners, reference: FoundReference | None
) -> Fabric:
    lighting = lighting_of(kept, reference, corners)
    ruler = _ruler_of(fabric)
    cut = cut_cloth(kept, corners, lighting, ruler, name=fabric.name)
    notes = tuple(line for line in fabric.reading.warnings if line not in _TOLD_ANEW)
    taken = msgspec.structs.replace(
        fabric,
        reading=msgspec.structs.replace(cut.reading, warnings=notes + cut.reading.warnings),
        colour=cut.colour,
        swatch=cut.swatch(),
        corners=corners,
        lighting=lighting,
        ruler=ruler,
    )
    return _read_together(taken)


def add_to_pool(fabric: Fabric, sources: Sequence[Path | bytes]) -> Fabric:
    """Add photos to a fabric that stands for many small cloths; it then reads as all of them.

    Parameters
    ----------
    fabric
        A fabric with a swatch; where it is no pool yet it becomes one.
    sources
        Photos; every cloth found in them is one more.

    Raises
    ------
    PhotoError
        If a photo cannot be read; then none is added.
    ValueError
        If the fabric is a plain colour, or the pool would hold too many pictures.
    """
    if fabric.swatch is None:
        raise ValueError(f"{fabric.name} is a plain colour: give it a photo first")
    came = [made for source in sources for made in fabrics_from_photo(source, fabric.name)]
    more = (*(fabric.pool.more if fabric.pool else ()), *(m.swatch for m in came if m.swatch))
    if len(more) > MOST_IN_POOL:
        raise ValueError(f"a pool shows at most {MOST_IN_POOL + 1} cloths")
    cloths = max(fabric.pool.cloths if fabric.pool else 1, 1 + len(more))
    return _read_together(msgspec.structs.replace(fabric, pool=Pool(cloths, more)))


def _read_together(fabric: Fabric) -> Fabric:
    """Let a pool read as all the cloths it shows, each weighing the same."""
    if fabric.pool is None:
        return fabric
    lights = [
        light_of(decode_kept(swatch.png, fabric.name)).reshape(-1, 1, 3)
        for swatch in fabric.swatches.values()
    ]
    together = measure_cloth(_evenly(lights))
    reading = msgspec.structs.replace(
        fabric.reading, lab=together.lab, low=together.low, high=together.high
    )
    return msgspec.structs.replace(fabric, reading=reading)


def _evenly(lights: Sequence[Light]) -> Light:
    """Put cloths one under the other, each with as many pixels as the smallest has."""
    fewest = min(len(light) for light in lights)
    return np.concatenate(
        [light[np.linspace(0, len(light) - 1, fewest).astype(int)] for light in lights]
    )
