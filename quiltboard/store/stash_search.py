"""What the stash is searched by, and the rows that come of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final, Literal, NamedTuple, get_args

import msgspec

from quiltboard.fabrics.fabric import Amount, FabricId
from quiltboard.fabrics.reading import Lab
from quiltboard.store.stash_entry import fold, fold_tags

Hue = Literal[
    "neutral", "pink", "red", "orange", "yellow", "green", "blue-green", "blue", "violet"
]
"""Families of hue; neutral is white, grey, black and what is hardly tinted."""
HUES: Final[tuple[Hue, ...]] = get_args(Hue)

NEUTRAL_CHROMA: Final = 8.0
"""Below this chroma a cloth counts as neutral."""
MOST_ROWS: Final = 500

_FROM_DEG: Final[Mapping[Hue, float]] = {
    "red": 15.0,
    "orange": 48.0,
    "yellow": 78.0,
    "green": 112.0,
    "blue-green": 178.0,
    "blue": 230.0,
    "violet": 300.0,
    "pink": 335.0,
}
"""Where each family begins on the circle of CIELAB hue; the last runs on through 0°."""


class Query(msgspec.Struct, frozen=True):
    """What to look for; a fabric is found where all of it holds.

    Attributes
    ----------
    text
        Words that all stand somewhere in its name, note, shop note, scraps or tags; capitals
        and accents do not count.
    value
        L* from and to, both counted in.
    hue
        A family of hue.
    print_mm
        How large the print is on the cloth, in mm, from and up to (not counting) the second;
        leaves out fabrics of which it is not known.
    tags
        Tags that it has all of.
    limit
        At most so many, the lightest first.
    """

    text: str = ""
    value: tuple[float, float] | None = None
    hue: Hue | None = None
    print_mm: tuple[float, float] | None = None
    tags: tuple[str, ...] = ()
    limit: int = MOST_ROWS


class StashRow(NamedTuple):
    """A fabric of the stash in one line.

    Attributes
    ----------
    colour
        sRGB ``#rrggbb``, to show until its picture is read.
    lab
        Its colour; the value as set by hand where it is.
    print_mm
        How large the print is on the cloth, in mm, where known.
    amounts, scraps
        What there is.
    """

    id: FabricId
    revision: int
    name: str
    colour: str
    lab: Lab
    print_mm: float | None
    amounts: tuple[Amount, ...]
    scraps: str
    tags: tuple[str, ...]

    @property
    def value(self) -> float:
        """How light it reads: L*."""
        return self.lab[0]


def hue_of(lab: Lab) -> Hue:
    """Tell which family a colour belongs to.

    Examples
    --------
    >>> hue_of((50.0, 60.0, 40.0))
    'red'
    >>> hue_of((80.0, 2.0, 5.0))
    'neutral'
    """
    _, a, b = lab
    if math.hypot(a, b) < NEUTRAL_CHROMA:
        return "neutral"
    angle_deg = math.degrees(math.atan2(b, a)) % 360
    found: Hue = "pink"
    for hue, from_deg in _FROM_DEG.items():
        if angle_deg >= from_deg:
            found = hue
    return found


def conditions(query: Query) -> tuple[str, list[object]]:
    """Write a query as the part of an SQL statement behind WHERE, with what it asks for.

    ``hue_of`` must be known to the connection as a function of value, a and b.
    """
    asked: list[tuple[str, tuple[object, ...]]] = [("1", ())]
    asked += [("instr(words, ?)", (word,)) for word in fold(query.text).split()]
    asked += [("instr(tags, ?)", (fold_tags((tag,)),)) for tag in query.tags]
    if query.value is not None:
        asked.append(("value BETWEEN ? AND ?", query.value))
    if query.print_mm is not None:
        asked.append(("print_mm >= ? AND print_mm < ?", query.print_mm))
    if query.hue is not None:
        asked.append(("hue_of(value, a, b) = ?", (query.hue,)))
    return " AND ".join(sql for sql, _ in asked), [told for _, more in asked for told in more]
