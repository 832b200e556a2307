"""What there is of a fabric, as a maker writes it: ``8 wedges + 1/2 yd + 18 in x 21 in``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges
from quiltboard.units import (
    InvalidLengthError,
    Unit,
    format_length,
    parse_length,
    plain_fractions,
)

MOST_WEDGES: Final = 100_000
MOST_AMOUNTS: Final = 50
_WEDGES = re.compile(r"(\d+)\s*(?:wedges?|pieces?|pcs?|blades?)?")
_NAMED: Final = {
    "fat quarter": "18 in x 21 in",
    "fat eighth": "9 in x 21 in",
}
"""Precut cloths by name, at the narrower of the sizes they are sold in."""


class InvalidAmountError(ValueError):
    """A text that says no amount; its message says what would."""


def parse_amounts(text: str, unit: Unit = "in") -> tuple[Amount, ...]:
    """Read what there is of a fabric; an empty text is as much as needed.

    Parts stand between plus signs: a number of wedges (``8`` or ``8 wedges``), a length of the
    usual width (``1/2 yd``), a length by a width (``18 in x 21 in``), ``2 fat quarters``.

    Parameters
    ----------
    text
        What was written.
    unit
        The unit meant where a cloth's side has none.

    Raises
    ------
    InvalidAmountError
        Naming the part that cannot be read.

    Examples
    --------
    >>> parse_amounts("8 wedges + fat eighth")
    (CutWedges(count=8), Cloth(length=73152, width=170688))
    """
    amounts: list[Amount] = []
    for part in text.split("+"):
        words = " ".join(part.lower().split())
        if words:
            amounts.extend(_parse(words, unit))
    if len(amounts) > MOST_AMOUNTS:
        raise InvalidAmountError(f"Write at most {MOST_AMOUNTS} pieces of one fabric.")
    return tuple(amounts)


def amounts_text(amounts: Sequence[Amount], unit: Unit = "in") -> str:
    """Write what there is so that `parse_amounts` reads the same."""
    return " + ".join(_write(amount, unit) for amount in amounts)


def _parse(words: str, unit: Unit) -> list[Amount]:
    found = _WEDGES.fullmatch(words)
    if found:
        count = int(found[1][:9])
        if count > MOST_WEDGES:
            raise InvalidAmountError(f"{count:,} wedges of one fabric are too many to count.")
        return [CutWedges(count)]
    for name, size in _NAMED.items():
        several = re.fullmatch(rf"(?:([1-9]\d?)\s+)?{name}s?", words)
        if several:
            return _parse(size, unit) * int(several[1] or 1)
    length, by, width = words.replace("×", "x").replace(" by ", "x").partition("x")
    try:
        return [Cloth(parse_length(length, unit), parse_length(width, unit) if by else None)]
    except InvalidLengthError:
        raise InvalidAmountError(
            f"“{words}” says no amount: write 8 wedges, 1/2 yd, 18 in x 21 in or a fat quarter."
        ) from None


def _write(amount: Amount, unit: Unit) -> str:
    if isinstance(amount, CutWedges):
        return f"{amount.count} wedge" if amount.count == 1 else f"{amount.count} wedges"
    sides = [amount.length] + ([amount.width] if amount.width is not None else [])
    return plain_fractions(
        " x ".join(format_length(side, unit, finest=16, rounding="down") for side in sides)
    )
