"""What the stash holds of a fabric, and how that is written down."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from decimal import Decimal
from hashlib import blake2b
from typing import Annotated, Final, Literal, NamedTuple

import msgspec
from msgspec import Meta

from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges, Fabric
from quiltboard.photos.opening import plain_name
from quiltboard.store.board_shape import VERSION
from quiltboard.store.board_versions import brought_up
from quiltboard.store.fabric_json import fabric_entry, fabric_from
from quiltboard.store.fabric_shape import (
    ClothEntry,
    Entry,
    FabricEntry,
    SwatchEntry,
    WedgesEntry,
)
from quiltboard.store.pictures import without_damaged
from quiltboard.store.safe_write import StoreError
from quiltboard.units import Length, to_mm

PriceUnit = Literal["yd", "m", "piece"]

MOST_TAGS: Final = 50
LONGEST_TAG: Final = 40
LONGEST_SCRAPS: Final = 400
LONGEST_SHOP_NOTE: Final = 4000
LONGEST_CURRENCY: Final = 8
DEAREST: Final = 10_000_000
FINEST_PRICE: Final = 4
"""Digits behind the point of a price."""

PHOTO_KEY: Final = "photo"
"""What a fabric's photo is called beside its swatches, whose keys are `Fabric.swatches`'."""

_LINE: Final = r"^(?![\s\S]*[\x00-\x1f\x7f])"
_LINES: Final = r"^(?![\s\S]*[\x00-\x08\x0b-\x1f\x7f])"
_Tag = Annotated[str, Meta(min_length=1, max_length=LONGEST_TAG, pattern=rf"{_LINE}[\s\S]*\S")]


class Price(msgspec.Struct, frozen=True):
    """What a fabric cost.

    Attributes
    ----------
    amount
        Exact, as it was written.
    unit
        For a yard, a metre or the piece.
    currency
        A sign or a word before the amount, as the maker writes it; may be empty.
    """

    amount: Decimal
    unit: PriceUnit
    currency: Annotated[str, Meta(max_length=LONGEST_CURRENCY, pattern=_LINE)] = ""


class StashEntry(msgspec.Struct, frozen=True):
    """A fabric as the stash holds it.

    Attributes
    ----------
    fabric
        The fabric; its amounts are the pieces in the stash.
    scraps
        What there is beside pieces with sizes: "a bag of scraps, the longest 9 in".
    price
        What it cost; None is not told.
    shop
        Where it is from, and whether there is more.
    tags
        Words to find it by, in the order they were given.
    revision
        Counts its changes; 0 is not in the stash yet.
    updated
        When it was last put, in UTC as ISO 8601 writes it; empty at first.
    """

    fabric: Fabric
    scraps: str = ""
    price: Price | None = None
    shop: str = ""
    tags: tuple[str, ...] = ()
    revision: int = 0
    updated: str = ""


class Kept(Entry, frozen=True):
    """What the stash alone knows of a fabric, as it is written."""

    scraps: Annotated[str, Meta(max_length=LONGEST_SCRAPS, pattern=_LINE)]
    price: Price | None
    shop: Annotated[str, Meta(max_length=LONGEST_SHOP_NOTE, pattern=_LINES)]
    tags: Annotated[tuple[_Tag, ...], Meta(max_length=MOST_TAGS)] = ()


class Written(NamedTuple):
    """An entry as the stash writes it down, and what it is searched by.

    Attributes
    ----------
    words
        Every word it can be found by, folded.
    value, a, b
        Its colour, CIE L*a*b*; the value as set by hand where it is.
    print_mm
        How large its print is on the cloth, in mm; None where that is not known, or it reads
        as solid.
    tags
        Folded, one a line, with a line's end before and behind each.
    shape
        The version of the board file whose fabrics `fabric` is written like.
    pictures
        Encoded pictures by their keys.
    """

    id: str
    name: str
    folded: str
    words: str
    colour: str
    value: float
    a: float
    b: float
    print_mm: float | None
    tags: str
    shape: int
    fabric: bytes
    kept: bytes
    pictures: Mapping[str, bytes]


class Glance(NamedTuple):
    """The little of a fabric's writing that a list shows.

    Attributes
    ----------
    amounts
        What there is.
    swatch_size
        Width and height in px, and how wide a stretch of cloth it shows; None without one.
    """

    amounts: tuple[Amount, ...] = ()
    swatch_size: tuple[int, int, Length | None] | None = None


class _Glanced(msgspec.Struct, frozen=True):
    amounts: tuple[WedgesEntry | ClothEntry, ...]
    swatch: SwatchEntry | None


def fold(text: str) -> str:
    """Give a text as it is compared: without capitals and accents."""
    parted = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in parted if not unicodedata.combining(sign))
    return " ".join(plain.split())


def fold_tags(tags: Iterable[str]) -> str:
    """Give tags as they are searched: each on a line of its own."""
    return "".join(f"\n{fold(tag)}\n" for tag in tags)


def digest(data: bytes) -> bytes:
    """Name a picture by what is in it, so that one photo of many cloths is kept once."""
    return blake2b(data, digest_size=16).digest()


def print_mm(fabric: Fabric) -> float | None:
    """Tell how large the print is on the cloth: its features' diameter in mm, where known."""
    measured, swatch = fabric.reading.print, fabric.swatch
    if measured is None or swatch is None or swatch.width is None or fabric.by_hand.solid:
        return None
    return None if measured.feature is None else measured.feature * to_mm(swatch.width)


def write_entry(entry: StashEntry) -> Written:
    """Write an entry down, so that the same is read again.

    Raises
    ------
    StoreError
        If something in it is out of bounds, is no number, or holds signs that no file can.
    """
    fabric = entry.fabric
    pictures = {key: swatch.png for key, swatch in fabric.swatches.items()}
    if fabric.photo is not None:
        pictures[PHOTO_KEY] = fabric.photo.jpeg
    try:
        written = msgspec.json.encode(fabric_entry(fabric))
        kept = msgspec.json.encode(Kept(entry.scraps, entry.price, entry.shop, entry.tags))
        again = read_entry(written, kept, VERSION, pictures, entry.revision, entry.updated)
    except (msgspec.MsgspecError, StoreError) as error:
        raise _refused(entry, "something in it is out of bounds") from error
    except UnicodeEncodeError as error:
        raise _refused(entry, "it holds half a sign, which no file can") from error
    if again != entry:  # what is no number does not come back
        raise _refused(entry, "a figure in it is no number, or a picture is damaged")
    _check_price(entry)
    value, a, b = fabric.value, fabric.reading.lab[1], fabric.reading.lab[2]
    if not entry.fabric.name.strip():
        raise _refused(entry, "its name is empty")
    told = (fabric.name, fabric.note, entry.shop, entry.scraps, *entry.tags)
    return Written(
        id=str(fabric.id),
        name=fabric.name,
        folded=fold(fabric.name),
        words=fold("\n".join(told)),
        colour=fabric.colour,
        value=float(value),
        a=float(a),
        b=float(b),
        print_mm=print_mm(fabric),
        tags=fold_tags(entry.tags),
        shape=VERSION,
        fabric=written,
        kept=kept,
        pictures=pictures,
    )


def read_entry(
    written: bytes,
    kept: bytes,
    shape: int,
    pictures: Mapping[str, bytes],
    revision: int,
    updated: str,
) -> StashEntry:
    """Read an entry; a picture that is gone or damaged is left out.

    Raises
    ------
    StoreError
        If what is written is out of bounds, or of a newer Quiltboard.
    """
    try:
        if shape < VERSION:
            older = {"fabrics": [msgspec.json.decode(written)]}
            entry = msgspec.convert(brought_up(older, shape)["fabrics"][0], FabricEntry)
        else:
            entry = msgspec.json.decode(written, type=FabricEntry)
        told = msgspec.json.decode(kept, type=Kept)
    except (msgspec.MsgspecError, UnicodeDecodeError, KeyError) as error:
        raise StoreError(
            "That fabric's page in the stash cannot be read by this Quiltboard: it is left "
            "as it is."
        ) from error
    photos = {entry.id: pictures[PHOTO_KEY]} if PHOTO_KEY in pictures else {}
    fabric = without_damaged(fabric_from(entry, pictures, photos))
    return StashEntry(fabric, told.scraps, told.price, told.shop, told.tags, revision, updated)


def glance(written: bytes) -> Glance:
    """Read the little that a list shows; of a page that cannot be read, nothing."""
    try:
        seen = msgspec.json.decode(written, type=_Glanced)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return Glance()
    swatch = seen.swatch
    return Glance(
        tuple(
            CutWedges(one.count)
            if isinstance(one, WedgesEntry)
            else Cloth(Length(one.length), _length(one.width))
            for one in seen.amounts
        ),
        (swatch.width_px, swatch.height_px, _length(swatch.width)) if swatch else None,
    )


def glance_kept(kept: bytes) -> Kept:
    """Read what the stash alone knows; of a page that cannot be read, nothing."""
    try:
        return msgspec.json.decode(kept, type=Kept)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return Kept("", None, "")


def _check_price(entry: StashEntry) -> None:
    price = entry.price
    if price is None:
        return
    exponent = price.amount.as_tuple().exponent
    if not 0 <= price.amount <= DEAREST or int(exponent) < -FINEST_PRICE:
        raise _refused(
            entry,
            f"a price is from 0 to {DEAREST:,}, with at most {FINEST_PRICE} figures behind "
            "the point",
        )


def _length(parts: int | None) -> Length | None:
    return None if parts is None else Length(parts)


def _refused(entry: StashEntry, why: str) -> StoreError:
    return StoreError(f"{plain_name(entry.fabric.name)} was not put in the stash: {why}.")
