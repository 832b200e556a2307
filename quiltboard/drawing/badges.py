"""The badges of flags: small solid shapes told apart by form, never by colour.

Each is drawn about (0, 0) in a box of ±12 and scaled to size, in ink on a halo. On a panel,
where no cloth lies behind, the halo is left out and ink and light take the panel's colours.
"""

from __future__ import annotations

from typing import Final, Literal

from quiltboard.drawing.display import (
    HALO,
    INK,
    Circle,
    Item,
    Polygon,
    Polyline,
    Stroke,
    arc,
    put,
)
from quiltboard.shapes.wedge import Point

BadgeKind = Literal["touch", "close", "clump", "short", "pin"]
Shape = tuple[Point, ...]

BOX: Final = 24.0
_RIM: Final = 3.5
_FINE: Final = 2.0

_HEADS: Final = ((0.0, -4.6), (-5.4, 4.2), (5.4, 4.2))
_SOLIDS: Final[dict[BadgeKind, tuple[Shape, ...]]] = {
    "touch": (((0, -11), (11, 0), (0, 11), (-11, 0)),),
    "close": ((*arc((0, -0.5), 9.5, -90, 90, 9), (9.5, 9.5), (-9.5, 9.5)),),
    "clump": tuple(arc(head, 5.9, 0, 354, 9) for head in _HEADS),
    "short": (
        (
            *((-9.5 + 19 * k / 8, -9.5 if k % 2 else -5.5) for k in range(9)),
            (9.5, 9.5),
            (-9.5, 9.5),
        ),
    ),
    "pin": (
        arc((5.5, -5.5), 4.6, 0, 354, 9),
        ((3.4, -1.9), (1.9, -3.4), (-9.8, 8.9), (-10.2, 10.2), (-8.9, 9.8)),
    ),
}
_DETAILS: Final[dict[BadgeKind, tuple[Shape, ...]]] = {
    "touch": tuple(
        ((k * 3.2 - 2.0, k * 3.2 + 2.0), (k * 3.2 + 2.0, k * 3.2 - 2.0)) for k in (-1, 0, 1)
    ),
    "close": ((((-4.2, 6.2)), *arc((0, 0.3), 4.2, -90, 90, 9), (4.2, 6.2)),),
    "clump": tuple(((x, y), (x, y)) for x, y in _HEADS),
    "short": (((-4.0, 3.2), (4.0, 3.2)),),
    "pin": (),
}


def badge(
    kind: BadgeKind,
    x: float,
    y: float,
    size_mm: float,
    *,
    ink: str = INK,
    light: str = HALO,
    halo: bool = True,
) -> tuple[Item, ...]:
    """Draw a flag's badge with its middle at (x, y).

    Parameters
    ----------
    kind
        Which flag, or the pin of a held piece.
    x, y
        Where, in mm.
    size_mm
        The side of its box.
    ink, light
        The shape's colour, and that of the strokes on it and of its halo.
    halo
        Whether the shape has a light rim, which it needs on cloth.
    """
    rim = Stroke(light, _RIM, join="round")
    detail = Stroke(light, _FINE, cap="round", join="round")
    items: list[Item] = []
    if halo:
        items += [Polygon(solid, light, rim) for solid in _SOLIDS[kind]]
    items += [Polygon(solid, ink) for solid in _SOLIDS[kind]]
    for mark in _DETAILS[kind]:
        if mark[0] == mark[-1]:
            items.append(Circle(*mark[0], 1.6, light))
        else:
            items.append(Polyline(mark, detail))
    return put(items, x, y, size_mm / BOX)
