"""Prices and tags as a maker writes them."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from quiltboard.store.stash_entry import (
    DEAREST,
    FINEST_PRICE,
    LONGEST_CURRENCY,
    LONGEST_TAG,
    MOST_TAGS,
    Price,
    PriceUnit,
    fold,
)

_PRICE: Final = re.compile(
    r"(?P<before>[^\d.,+−-]*)(?P<amount>\d+(?:[.,]\d+)?)(?P<after>[^\d.,+−-]*)", re.ASCII
)


class InvalidWordsError(ValueError):
    """A price or a tag that cannot be read; its message says what could."""


def parse_price(text: str, unit: PriceUnit = "yd") -> Price | None:
    """Read a price: a number, and before or behind it the currency in any words.

    Parameters
    ----------
    text
        What was written; a decimal comma is read as a point. Empty: not told.
    unit
        What it is the price of.

    Raises
    ------
    InvalidWordsError
        If it is no price.

    Examples
    --------
    >>> parse_price("12,50 kr")
    Price(amount=Decimal('12.50'), unit='yd', currency='kr')
    """
    if not text.strip():
        return None
    found = _PRICE.fullmatch(text.strip())
    before, after = (found["before"].strip(), found["after"].strip()) if found else ("", "")
    if found is None or (before and after):
        raise InvalidWordsError(f"“{text.strip()}” is no price: write 12.50 or kr 12.50.")
    amount = Decimal(found["amount"].replace(",", "."))
    behind = found["amount"].replace(",", ".").partition(".")[2]
    if amount > DEAREST or len(behind) > FINEST_PRICE:
        raise InvalidWordsError(
            f"A price is at most {DEAREST:,}, with at most {FINEST_PRICE} figures behind the "
            "point."
        )
    currency = before or after
    if len(currency) > LONGEST_CURRENCY:
        raise InvalidWordsError(
            f"“{currency}” is too long for a currency: use at most {LONGEST_CURRENCY} signs."
        )
    return Price(amount, unit, currency)


def price_text(price: Price | None) -> str:
    """Write a price so that `parse_price` reads the same."""
    return "" if price is None else f"{price.currency} {price.amount:f}".strip()


def parse_tags(text: str) -> tuple[str, ...]:
    """Read tags, between commas; the same word twice is one tag.

    Raises
    ------
    InvalidWordsError
        If one is too long, or there are too many.

    Examples
    --------
    >>> parse_tags("sea, Sea,  for the  throw")
    ('sea', 'for the throw')
    """
    tags: dict[str, str] = {}
    for part in text.split(","):
        tag = " ".join(part.split())
        if len(tag) > LONGEST_TAG:
            raise InvalidWordsError(
                f"“{tag}” is too long for a tag: use at most {LONGEST_TAG} signs."
            )
        if tag:
            tags.setdefault(fold(tag), tag)
    if len(tags) > MOST_TAGS:
        raise InvalidWordsError(f"Give a fabric at most {MOST_TAGS} tags.")
    return tuple(tags.values())


def tags_text(tags: tuple[str, ...]) -> str:
    """Write tags so that `parse_tags` reads the same."""
    return ", ".join(tags)
