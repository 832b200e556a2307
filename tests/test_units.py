"""Lengths are exact, and read as makers write them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltboard.units import (
    PER_INCH,
    InvalidLengthError,
    Length,
    format_length,
    inches,
    length_from_mm,
    millimetres,
    parse_length,
    round_length,
    to_inches,
    to_mm,
)


def test_an_inch_is_25_4_mm() -> None:
    """International yard and pound agreement, 1959: the inch is 25.4 mm."""
    assert to_mm(inches(1)) == 25.4
    assert inches(5) == millimetres(127)


@pytest.mark.parametrize(
    ("yards", "wanted"),
    [
        ("1/8", "9/2"), ("1/4", 9), ("3/8", "27/2"), ("1/2", 18),
        ("5/8", "45/2"), ("3/4", 27), ("7/8", "63/2"), ("1", 36),
    ],
)  # fmt: skip
def test_eighths_of_a_yard(yards: str, wanted: str) -> None:
    """Yardage chart, catbirdquilts, 2014."""
    assert parse_length(f"{yards} yd") == inches(wanted)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("½ yd", inches(18)), ("0.5 yd", inches(18)), ("60 cm", millimetres(600)),
        ("18 in", inches(18)), ('18"', inches(18)), ("4 3/4", inches("19/4")),
        ("4¾", inches("19/4")), ("4 3⁄4 in", inches("19/4")), ("1-1/2 in", inches("3/2")),
        ("0,5 m", millimetres(500)), ("6 mm", millimetres(6)), ("2 ft", inches(24)),
    ],
)  # fmt: skip
def test_lengths_as_makers_write_them(text: str, wanted: Length) -> None:
    assert parse_length(text) == wanted


@pytest.mark.parametrize(
    "text",
    ["", "  ", "abc", "-3 in", "0", "1/0 in", "in", "5 parsec", "3 4 in", "1e9 yd", "nan"],
)
def test_what_is_no_length_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(InvalidLengthError, match=r"“.*”"):
        parse_length(text)


def test_a_length_beyond_any_bolt_is_refused() -> None:
    assert parse_length("1000 yd") == inches(36_000)
    with pytest.raises(InvalidLengthError, match="longer than any bolt"):
        parse_length("1000.1 yd")


def test_a_third_of_an_inch_is_on_no_ruler() -> None:
    with pytest.raises(InvalidLengthError, match="64th"):
        inches(Fraction(1, 3))


@given(st.integers(1, 10_000_000), st.sampled_from(["in", "cm"]))
def test_rounding_up_never_leaves_a_piece_short(parts: int, unit: str) -> None:
    length = Length(parts)
    shown = parse_length(format_length(length, unit, rounding="up"))  # type: ignore[arg-type]
    assert shown >= length
    assert shown - length <= PER_INCH // 8


@given(st.integers(8, 80_000))
def test_eighths_survive_being_written_and_read(eighths: int) -> None:
    length = inches(Fraction(eighths, 8))
    assert parse_length(format_length(length)) == length


@given(st.floats(0.01, 10_000))
def test_a_drafted_length_is_rounded_once_and_one_way(mm: float) -> None:
    up, down = length_from_mm(mm, "up"), length_from_mm(mm, "down")
    assert down <= up <= down + 1
    assert to_mm(down) - 1e-6 <= mm <= to_mm(up) + 1e-6


def test_float_noise_does_not_add_a_step() -> None:
    assert length_from_mm(25.4 * (1 + 1e-13), "up") == inches(1)
    assert length_from_mm(25.4 * (1 - 1e-13), "down") == inches(1)


def test_rounding_to_a_step() -> None:
    assert to_inches(round_length(inches("19/8"), inches("1/4"), "up")) == 2.5
    with pytest.raises(ValueError, match="above zero"):
        round_length(inches(1), Length(0), "up")
