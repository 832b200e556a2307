"""From a photo or a colour to a fabric."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import msgspec

from quiltboard.fabrics.fabric import (
    WHOLE_PHOTO,
    Corners,
    Fabric,
    FabricId,
    Photo,
    Reading,
    Swatch,
)
from quiltboard.fabrics.measure import (
    MEASURING_WARNINGS,
    mean_colour_hex,
    measure_cloth,
    reading_of_colour,
)
from quiltboard.fabrics.naming import (
    name_from_path,
    new_fabric_id,
    tidy_name,
    unique_name,
)
from quiltboard.photos.card import corners_clear_of_card
from quiltboard.photos.decode import read_photo
from quiltboard.photos.encode import decode_kept, encode_jpeg, encode_png
from quiltboard.photos.light import Mask, Pixels, filled, smaller
from quiltboard.photos.straighten import cut_out, straighten
from quiltboard.units import Length

__all__ = [
    "CARD_LEFT_OUT",
    "fabric_from_colour",
    "fabric_from_photo",
    "name_from_path",
    "new_fabric_id",
    "recrop",
    "unique_name",
]

CARD_LEFT_OUT: Final = "A white card in the corner was left out."

LONGEST_KEPT_PX: Final = 1600
LONGEST_SWATCH_PX: Final = 640
KEPT_QUALITY: Final = 88


def fabric_from_photo(
    source: Path | bytes,
    name: str,
    fabric_id: FabricId,
    *,
    corners: Corners | None = None,
    width: Length | None = None,
) -> Fabric:
    """Make a fabric of a photo: measured at full size, kept small, straightened.

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
    picture = read_photo(source, "" if isinstance(source, Path) else name)
    whole = filled(picture.pixels, picture.mask)
    kept = smaller(whole, LONGEST_KEPT_PX)
    notes = picture.notes
    if corners is None:
        clear = corners_clear_of_card(kept)
        corners = clear or WHOLE_PHOTO
        if clear is not None:
            notes = (*notes, CARD_LEFT_OUT)
    cloth, mask = cut_out(picture.pixels, picture.mask, corners, name=picture.name)
    return Fabric(
        id=fabric_id,
        name=tidy_name(name),
        reading=_reading(cloth, mask, notes),
        colour=mean_colour_hex(cloth, mask),
        swatch=_swatch(whole, corners, width, picture.name),
        photo=Photo(encode_jpeg(kept, KEPT_QUALITY), kept.shape[1], kept.shape[0]),
        corners=corners,
    )


def recrop(fabric: Fabric, corners: Corners, width: Length | None = None) -> Fabric:
    """Take the swatch from another part of the photo the board keeps.

    What was noted when the photo was read stays noted; what was noted of the old part goes.

    Parameters
    ----------
    fabric
        A fabric with a photo.
    corners
        Where the cloth lies, as fractions of the photo, clockwise from the top left.
    width
        How wide a stretch of cloth the new swatch shows, if that is known.

    Raises
    ------
    PhotoError
        If the corners hold no cloth, or the kept photo is damaged.
    ValueError
        If the fabric is a plain colour.
    """
    if fabric.photo is None:
        raise ValueError(f"{fabric.name} is a plain colour and has no photo to crop")
    kept = decode_kept(fabric.photo.jpeg, fabric.name)
    cloth, mask = cut_out(kept, None, corners, name=fabric.name)
    gone = {*MEASURING_WARNINGS, CARD_LEFT_OUT}
    notes = tuple(line for line in fabric.reading.warnings if line not in gone)
    return msgspec.structs.replace(
        fabric,
        reading=_reading(cloth, mask, notes),
        colour=mean_colour_hex(cloth, mask),
        swatch=_swatch(kept, corners, width, fabric.name),
        corners=corners,
    )


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


def _reading(cloth: Pixels, mask: Mask | None, notes: tuple[str, ...]) -> Reading:
    reading = measure_cloth(cloth, mask)
    return msgspec.structs.replace(reading, warnings=(*notes, *reading.warnings))


def _swatch(pixels: Pixels, corners: Corners, width: Length | None, name: str) -> Swatch:
    straight = straighten(pixels, corners, LONGEST_SWATCH_PX, name=name)
    return Swatch(encode_png(straight), straight.shape[1], straight.shape[0], width)
