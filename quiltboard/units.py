"""Exact lengths, and the marks of a shop ruler they are read on.

A length is a whole number of 1/320 mm. An inch is 8128 of them, 1/64 in is 127 and 0.1 mm is
32, so inches and millimetres are both exact and may be mixed. Geometry that is drawn (angles,
arcs) is plain float millimetres; it becomes a length once, on its way to the cutting table.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Final, Literal, NewType

Length = NewType("Length", int)
"""A length in units of 1/320 mm."""

Unit = Literal["in", "cm"]
Rounding = Literal["nearest", "up", "down"]

PER_MM: Final = 320
PER_INCH: Final = 8128
FRACTION_SLASH: Final = "\u2044"

_VULGAR: Final = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_SIZES: Final = {
    "in": Fraction(PER_INCH), "inch": Fraction(PER_INCH), "inches": Fraction(PER_INCH),
    '"': Fraction(PER_INCH), "″": Fraction(PER_INCH),
    "ft": Fraction(PER_INCH * 12), "foot": Fraction(PER_INCH * 12),
    "feet": Fraction(PER_INCH * 12),
    "yd": Fraction(PER_INCH * 36), "yds": Fraction(PER_INCH * 36),
    "yard": Fraction(PER_INCH * 36), "yards": Fraction(PER_INCH * 36),
    "mm": Fraction(PER_MM), "cm": Fraction(PER_MM * 10), "m": Fraction(PER_MM * 1000),
}  # fmt: skip
_LENGTH = re.compile(
    r"(?:(?P<whole>\d+(?:[.,]\d+)?)(?![\d/]))?\s*[- ]?\s*(?:(?P<top>\d+)/(?P<bottom>\d+))?"
    r"\s*(?P<unit>[a-z\"″]*)\.?"
)
_LONGEST: Final = Fraction(PER_INCH * 36 * 1000)


class InvalidLengthError(ValueError):
    """A text that is no length; its message says what would be one."""


def inches(value: int | str | Fraction) -> Length:
    """Give so many inches as an exact length.

    Parameters
    ----------
    value
        Inches, as a whole number, a fraction or a text such as ``"19/4"``.

    Raises
    ------
    InvalidLengthError
        If the value is not a whole number of 1/320 mm (a third of an inch, say).

    Examples
    --------
    >>> inches("19/4")
    38608
    """
    return _exact(Fraction(value) * PER_INCH, f"{value} in")


def millimetres(value: int | str | Fraction) -> Length:
    """Give so many millimetres as an exact length.

    Raises
    ------
    InvalidLengthError
        If the value is not a whole number of 1/320 mm.
    """
    return _exact(Fraction(value) * PER_MM, f"{value} mm")


def _exact(parts: Fraction, said: str) -> Length:
    if parts.denominator != 1:
        raise InvalidLengthError(
            f"{said} does not fall on a 64th of an inch or a tenth of a mm"
        )
    return Length(parts.numerator)


def length_from_mm(mm: float, rounding: Rounding = "nearest") -> Length:
    """Turn drafted millimetres into an exact length, rounding one way.

    A whisker of float noise (a billionth of the unit) never pushes a length up or down.

    Parameters
    ----------
    mm
        Millimetres, as drafted.
    rounding
        "up" where a piece must not come out short, "down" for cloth that is there.
    """
    return Length(_round(Fraction(round(mm * PER_MM, 6)).limit_denominator(10**6), rounding))


def to_mm(length: Length) -> float:
    """Give a length in millimetres."""
    return length / PER_MM


def to_inches(length: Length) -> float:
    """Give a length in inches."""
    return length / PER_INCH


def parse_length(text: str, unit: Unit | Literal["yd"] = "in") -> Length:
    """Read a length as a maker writes it: ``½ yd``, ``60 cm``, ``18 in``, ``4 3/4``.

    Parameters
    ----------
    text
        What was written. A decimal comma is read as a point.
    unit
        The unit meant where none is written.

    Returns
    -------
    Length
        The nearest whole 1/320 mm (exact for eighths, 64ths and tenths of a millimetre).

    Raises
    ------
    InvalidLengthError
        If the text is no length, not above zero, or longer than a thousand yards.

    Examples
    --------
    >>> parse_length("1/2 yd") == inches(18)
    True
    >>> parse_length("4¾") == inches("19/4")
    True
    """
    plain = text.strip().lower().replace(FRACTION_SLASH, "/")
    for sign, spelled in _VULGAR.items():
        plain = plain.replace(sign, f" {spelled}")
    found = _LENGTH.fullmatch(" ".join(plain.split()))
    amount = Fraction(0)
    if found and (found["whole"] or found["top"]):
        if found["whole"]:
            amount += Fraction(found["whole"].replace(",", "."))
        if found["top"]:
            if not int(found["bottom"]):
                raise InvalidLengthError(f"“{text}” divides by nothing")
            amount += Fraction(int(found["top"]), int(found["bottom"]))
    size = _SIZES.get((found["unit"] if found else "") or unit)
    if not found or size is None or amount <= 0:
        raise InvalidLengthError(
            f"“{text.strip()}” is no length: write it as 18 in, 1/2 yd or 60 cm"
        )
    parts = amount * size
    if parts > _LONGEST:
        raise InvalidLengthError(f"“{text.strip()}” is longer than any bolt of cloth")
    return Length(_round(parts, "nearest"))


def round_length(length: Length, step: Length, rounding: Rounding) -> Length:
    """Round a length to whole steps of a ruler.

    Raises
    ------
    ValueError
        If the step is not above zero.
    """
    if step <= 0:
        raise ValueError("a ruler's step is above zero")
    return Length(_round(Fraction(length, step), rounding) * step)


def format_length(
    length: Length,
    unit: Unit = "in",
    *,
    finest: int = 8,
    rounding: Rounding = "nearest",
    with_unit: bool = True,
) -> str:
    """Write a length on shop marks: ``4 3⁄4 in`` or ``12.1 cm``.

    The fraction carries U+2044, which screens and sheets draw as one small fraction.

    Parameters
    ----------
    length
        What to write.
    unit
        Inches to a fraction, or centimetres to the millimetre.
    finest
        The finest fraction of an inch, 8 or 16.
    rounding
        Which way; "up" for what is cut.
    with_unit
        Whether the unit stands behind it.

    Examples
    --------
    >>> format_length(inches("19/4"))
    '4 3⁄4 in'
    >>> format_length(inches(2), "cm")
    '5.1 cm'
    """
    behind = f" {unit}" if with_unit else ""
    if unit == "cm":
        whole_mm = _round(Fraction(length, PER_MM), rounding)
        return f"{whole_mm / 10:g}{behind}"
    parts = _round(Fraction(length * finest, PER_INCH), rounding)
    whole, rest = divmod(abs(parts), finest)
    sign = "−" if parts < 0 else ""
    if not rest:
        return f"{sign}{whole}{behind}"
    part = Fraction(rest, finest)
    written = f"{part.numerator}{FRACTION_SLASH}{part.denominator}"
    return f"{sign}{whole} {written}{behind}" if whole else f"{sign}{written}{behind}"


def plain_fractions(text: str) -> str:
    """Spell fractions with the slash of a keyboard, for terminals and tables."""
    return text.replace(FRACTION_SLASH, "/")


def _round(parts: Fraction, rounding: Rounding) -> int:
    if rounding == "up":
        return math.ceil(parts)
    if rounding == "down":
        return math.floor(parts)
    return math.floor(parts + Fraction(1, 2))
