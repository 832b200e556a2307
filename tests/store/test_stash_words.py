"""Prices and tags are read as they are written."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quiltboard.store.stash_entry import Price
from quiltboard.store.stash_words import (
    InvalidWordsError,
    parse_price,
    parse_tags,
    price_text,
    tags_text,
)


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("12.50", "12.50", ""),
        (" kr 12,50 ", "12.50", "kr"),
        ("12.50 kr", "12.50", "kr"),
        ("£9", "9", "£"),
        ("0", "0", ""),
        ("pts 10000000", "10000000", "pts"),
    ],
)
def test_a_price_is_read_to_the_last_figure(text: str, amount: str, currency: str) -> None:
    price = parse_price(text, "m")
    assert price == Price(Decimal(amount), "m", currency)
    assert str(price.amount) == amount
    assert parse_price(price_text(price), "m") == price


@pytest.mark.parametrize(
    "text",
    ["free", "-3", "1.2.3", "1,250.00", "kr 3 each", "NaN", "10000001", "1.00001",
     "pistoles_ 1", "1e5", "٣"],
)  # fmt: skip
def test_what_is_no_price_is_said(text: str) -> None:
    with pytest.raises(InvalidWordsError):
        parse_price(text)


def test_no_price_is_not_told() -> None:
    assert parse_price("  ") is None
    assert price_text(None) == ""


def test_tags_stand_between_commas() -> None:
    assert parse_tags("Sea, sea,, for  the throw ,ÉCUME,ecume") == (
        "Sea",
        "for the throw",
        "ÉCUME",
    )
    assert parse_tags(tags_text(("a", "b c"))) == ("a", "b c")
    assert parse_tags("") == ()


def test_too_long_and_too_many_tags_are_said() -> None:
    with pytest.raises(InvalidWordsError, match="too long for a tag"):
        parse_tags("x" * 41)
    with pytest.raises(InvalidWordsError, match="at most 50 tags"):
        parse_tags(",".join(f"t{k}" for k in range(51)))
