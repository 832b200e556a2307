"""What a fabric is called when it comes in, and the id it keeps."""

from __future__ import annotations

import secrets
import string
import unicodedata
from collections.abc import Collection
from pathlib import Path
from typing import Final

from quiltboard.fabrics.fabric import FabricId

LONGEST_NAME: Final = 60

_UNNAMED: Final = "Fabric"
_SIGNS: Final = string.ascii_lowercase + string.digits


def new_fabric_id() -> FabricId:
    """Draw an id no other fabric has: a letter and nine letters or digits."""
    signs = [secrets.choice(string.ascii_lowercase)]
    signs += [secrets.choice(_SIGNS) for _ in range(9)]
    return FabricId("".join(signs))


def tidy_name(text: str) -> str:
    """Make a name that fits on a label: one line, no control signs, at most 60 characters."""
    shown = "".join(
        " " if sign.isspace() else sign
        for sign in unicodedata.normalize("NFC", text)
        if sign.isspace() or not unicodedata.category(sign).startswith("C")
    )
    return " ".join(shown.split())[:LONGEST_NAME].rstrip() or _UNNAMED


def name_from_path(path: Path) -> str:
    """Name a fabric after its photo.

    Examples
    --------
    >>> name_from_path(Path("kale-frill.png"))
    'Kale frill'
    >>> name_from_path(Path("IMG_1234.jpg"))
    'IMG 1234'
    """
    name = tidy_name(path.stem.replace("_", " ").replace("-", " "))
    return name[:1].upper() + name[1:]


def unique_name(name: str, taken: Collection[str]) -> str:
    """Give a name that no other fabric has, by a number behind it.

    Capitals do not tell names apart.

    Examples
    --------
    >>> unique_name("Kale frill", ["kale frill"])
    'Kale frill 2'
    """
    plain = tidy_name(name)
    known = {one.casefold() for one in taken}
    tried, number = plain, 1
    while tried.casefold() in known:
        number += 1
        behind = f" {number}"
        tried = plain[: LONGEST_NAME - len(behind)].rstrip() + behind
    return tried
