"""From a photo or a colour to fabrics."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

import msgspec
import numpy as np

from quiltboard.fabrics.fabric import (
    WHOLE_PHOTO,
    Corners,
    Fabric,
    FabricId,
    Photo,
)
from quiltboard.fabrics.measure import reading_of_colour
from quiltboard.fabrics.naming import (
    name_from_path,
    new_fabric_id,
    tidy_name,
    unique_name,
)
from quiltboard.fabrics.swatches import cut_cloth
from quiltboard.photos.bank_card import card_ruler, find_id1_card
from quiltboard.photos.card import corners_clear_of_card
from quiltboard.photos.cloths import find_cloths
from quiltboard.photos.decode import Negative, read_negative
from quiltboard.photos.encode import encode_jpeg
from quiltboard.photos.light import Pixels, encode_light, mean_light, smaller
from quiltboard.photos.reference_card import FoundReference, find_reference, lighting_of
from quiltboard.photos.ruler import Ruler, ScaleError, ruler_across, swatch_width
from quiltboard.photos.straighten import cut_out
from quiltboard.units import Length

__all__ = [
    "CARD_LEFT_OUT",
    "fabric_from_colour",
    "fabric_from_photo",
    "fabrics_from_photo",
    "name_from_path",
    "new_fabric_id",
    "unique_name",
]

CARD_LEFT_OUT: Final = "A white card in the corner was left out."
SCALED_BY_CARD: Final = (
    "Its scale was taken from a card of 85.6 × 54 mm in the photo: see that its width is right."
)

LONGEST_KEPT_PX: Final = 1600
KEPT_QUALITY: Final = 88


class Table(NamedTuple):
    """A photo of one or more cloths, laid ready for cutting them out.

    Attributes
    ----------
    negative
        As it is measured.
    kept
        As the board keeps it: up to 1600 px, sRGB.
    photo
        That, encoded.
    reference
        What white and exposure are set by, if it is in the photo.
    ruler
        A known length in the photo, if there is one.
    cards
        Where cards lie, which are no cloth.
    """

    negative: Negative
    kept: Pixels
    photo: Photo
    reference: FoundReference | None
    ruler: Ruler | None
    cards: tuple[Corners, ...]


def fabrics_from_photo(
    source: Path | bytes,
    name: str,
    new_id: Callable[[], FabricId] = new_fabric_id,
    *,
    several: bool = True,
) -> tuple[Fabric, ...]:
    """Make a fabric of each cloth in a photo.

    Parameters
    ----------
    source
        A file, or the bytes of one.
    name
        What the maker calls the fabric; several are numbered.
    new_id
        Where ids come from.
    several
        Whether several cloths in it make several fabrics; else they are taken as one.

    Raises
    ------
    PhotoError
        If the photo cannot be read; the message begins with the file's name.
    """
    table = _lay_on_table(source, name)
    found = find_cloths(table.kept, table.cards)
    if len(found) < 2 or not several:
        corners = found[0].corners if len(found) == 1 else None
        return (_cut_from(table, name, new_id(), corners),)
    return tuple(
        _cut_from(table, f"{name} {number}", new_id(), cloth.corners)
        for number, cloth in enumerate(found, start=1)
    )


def fabric_from_photo(
    source: Path | bytes,
    name: str,
    fabric_id: FabricId,
    *,
    corners: Corners | None = None,
    width: Length | None = None,
) -> Fabric:
    """Make one fabric of a photo.

    Parameters
    ----------
    source
        A file, or the bytes of one.
    name
        What the maker calls the fabric.
    fabric_id
        What the board calls it.
    corners
        Where the cloth lies in the photo; None leaves out a white card in a corner, if there is
        one, and else takes the whole photo.
    width
        How wide a stretch of cloth the swatch shows, if that is known.

    Raises
    ------
    PhotoError
        If the photo cannot be read or the corners hold no cloth; the message begins with the
        file's name.
    """
    return _cut_from(_lay_on_table(source, name), name, fabric_id, corners, width)


def fabric_from_colour(name: str, colour: str, fabric_id: FabricId) -> Fabric:
    """Make a fabric of a plain colour.

    Parameters
    ----------
    name
        What the maker calls it.
    colour
        sRGB ``#rrggbb``.
    fabric_id
        What the board calls it.

    Raises
    ------
    ValueError
        If the text is no such colour.
    """
    return Fabric(fabric_id, tidy_name(name), reading_of_colour(colour), colour.lower())


def _lay_on_table(source: Path | bytes, name: str) -> Table:
    negative = read_negative(source, "" if isinstance(source, Path) else name)
    pixels = negative.pixels
    if negative.mask is not None:
        pixels = _filled(pixels, negative.mask, mean_light(pixels, negative.mask))
    kept = negative.in_srgb(smaller(pixels, LONGEST_KEPT_PX))
    photo = Photo(encode_jpeg(kept, KEPT_QUALITY), kept.shape[1], kept.shape[0])
    reference, card = find_reference(kept), find_id1_card(kept)
    return Table(
        negative=negative,
        kept=kept,
        photo=photo,
        reference=reference,
        ruler=None if card is None else card_ruler(card),
        cards=tuple(
            corners
            for corners in (card, None if reference is None else reference.corners)
            if corners is not None
        ),
    )


def _cut_from(
    table: Table,
    name: str,
    fabric_id: FabricId,
    corners: Corners | None,
    width: Length | None = None,
) -> Fabric:
    negative, notes, ruler = table.negative, table.negative.notes, table.ruler
    if corners is None:
        clear = corners_clear_of_card(table.kept)
        corners = clear or WHOLE_PHOTO
        if clear is not None:
            notes = (*notes, CARD_LEFT_OUT)
    if width is not None:
        ruler = ruler_across(corners, width)
    elif ruler is not None and _tells_of(ruler, corners, table.photo):
        notes = (*notes, SCALED_BY_CARD)
    else:
        ruler = None
    lighting = lighting_of(table.kept, table.reference, corners)
    cut = cut_cloth(
        _without_clear_parts(negative, corners),
        corners,
        lighting,
        ruler,
        name=negative.name,
        in_srgb=None if negative.profile is None else negative.in_srgb,
    )
    return Fabric(
        id=fabric_id,
        name=tidy_name(name),
        reading=msgspec.structs.replace(cut.reading, warnings=(*notes, *cut.reading.warnings)),
        colour=cut.colour,
        swatch=cut.swatch(),
        photo=table.photo,
        corners=corners,
        lighting=lighting,
        ruler=ruler,
    )


def _tells_of(ruler: Ruler, corners: Corners, photo: Photo) -> bool:
    """Tell whether a ruler that was found lies on one table with a cloth."""
    size_px = (photo.width_px, photo.height_px)
    try:
        swatch_width(ruler, corners, size_px, size_px)
    except ScaleError:
        return False
    return True


def _without_clear_parts(negative: Negative, corners: Corners) -> Pixels:
    """Fill what is see-through with the colour of the cloth between the corners."""
    if negative.mask is None:
        return negative.pixels
    cloth, inside = cut_out(negative.pixels, negative.mask, corners, name=negative.name)
    return _filled(negative.pixels, negative.mask, mean_light(cloth, inside))


def _filled(pixels: Pixels, mask: np.ndarray, light: np.ndarray) -> Pixels:
    return np.where(mask[..., np.newaxis], pixels, encode_light(light))
