"""What there is of a fabric, as it is written and read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quiltboard.fabrics.amounts import (
    MOST_AMOUNTS,
    MOST_WEDGES,
    InvalidAmountError,
    amounts_text,
    parse_amounts,
)
from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges
from quiltboard.units import Length, inches, millimetres

QUARTER = Cloth(inches(18), inches(21))


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("", ()),
        ("  + ", ()),
        ("8", (CutWedges(8),)),
        ("8 wedges", (CutWedges(8),)),
        ("1 Blade + 2 pcs + 3 pieces", (CutWedges(1), CutWedges(2), CutWedges(3))),
        ("0", (CutWedges(0),)),
        ("1/2 yd", (Cloth(inches(18)),)),
        ("½ yd", (Cloth(inches(18)),)),
        ("18 in x 21 in", (QUARTER,)),
        ("18 × 21", (QUARTER,)),
        ("18 by 21", (QUARTER,)),
        ("60 cm x 1.1 m", (Cloth(millimetres(600), millimetres(1100)),)),
        ("fat quarter", (QUARTER,)),
        ("2 Fat  Quarters", (QUARTER, QUARTER)),
        ("fat eighth + 5", (Cloth(inches(9), inches(21)), CutWedges(5))),
    ],
)
def test_amounts_as_makers_write_them(text: str, amounts: tuple[Amount, ...]) -> None:
    assert parse_amounts(text) == amounts


def test_a_side_without_a_unit_is_in_the_board_s() -> None:
    assert parse_amounts("60 x 110.0", "cm") == (Cloth(millimetres(600), millimetres(1100)),)


@pytest.mark.parametrize(
    "text", ["a bit", "1/0 yd", "8 + lots", "-3 in", "2 in x", "x 3", "x", "0 fat quarters"]
)
def test_what_is_no_amount_is_named(text: str) -> None:
    part = text.rsplit("+", maxsplit=1)[-1].strip()
    with pytest.raises(InvalidAmountError, match=rf"^“{part}” says no amount: write 8 wedges"):
        parse_amounts(text)


def test_there_is_an_end_to_counting() -> None:
    assert parse_amounts(f"{MOST_WEDGES}") == (CutWedges(MOST_WEDGES),)
    with pytest.raises(InvalidAmountError, match="100,001 wedges of one fabric are too many"):
        parse_amounts(f"{MOST_WEDGES + 1}")
    with pytest.raises(InvalidAmountError, match="too many"):
        parse_amounts("9" * 5000)
    assert len(parse_amounts("50 fat quarters")) == MOST_AMOUNTS
    with pytest.raises(InvalidAmountError, match="at most 50 pieces"):
        parse_amounts("50 fat quarters + 1")


# Sixteenths of an inch, and whole millimetres, are what is written out in full.
SIDES = {
    "in": st.integers(1, 16 * 3000).map(lambda k: Length(inches(1) * k // 16)),
    "cm": st.integers(1, 90_000).map(millimetres),
}


@given(st.data(), st.sampled_from(["in", "cm"]))
def test_what_is_written_reads_the_same(data: st.DataObject, unit: str) -> None:
    side = SIDES[unit]
    amounts: tuple[Amount, ...] = tuple(
        data.draw(
            st.lists(
                st.builds(CutWedges, st.integers(0, MOST_WEDGES))
                | st.builds(Cloth, side, st.none() | side),
                max_size=5,
            )
        )
    )
    written = amounts_text(amounts, unit)  # type: ignore[arg-type]
    assert parse_amounts(written, unit) == amounts  # type: ignore[arg-type]


def test_what_is_written_is_plain() -> None:
    amounts = (CutWedges(1), CutWedges(2), Cloth(inches("19/4")), QUARTER)
    assert amounts_text(amounts) == "1 wedge + 2 wedges + 4 3/4 in + 18 in x 21 in"
