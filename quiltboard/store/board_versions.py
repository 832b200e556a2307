"""Older board files, brought up to the present version as they are read.

Each step takes the plain JSON of one version to the next, adding what that one did not know. It
checks nothing: the present version's bounds are checked once the last step is done.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from quiltboard.store.board_shape import VERSION

Json = dict[str, Any]


def brought_up(board: Json, version: int) -> Json:
    """Bring a board of an older version up to the present one.

    Parameters
    ----------
    board
        The decoded text of a board file; it is left as it is.
    version
        What it says it is, 1 or more.
    """
    for older in range(version, VERSION):
        board = {**_STEPS[older](board), "version": older + 1}
    return board


def _measured_by_light(board: Json) -> Json:
    """From 1 to 2: prints, light, scale, care and pools; photos that fabrics may share."""
    balance, fabrics = board.get("balance"), board.get("fabrics")
    if isinstance(balance, dict):
        balance = {"steps": 3, **balance}
    if isinstance(fabrics, list):
        fabrics = [
            _fabric_2(fabric) if isinstance(fabric, dict) else fabric for fabric in fabrics
        ]
    return {**board, "balance": balance, "fabrics": fabrics}


def _fabric_2(fabric: Json) -> Json:
    photo = fabric.get("photo")
    if isinstance(photo, dict):
        photo = {**photo, "of": fabric.get("id")}
    unmoved = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    return {
        "print": None,
        "by_hand": dict.fromkeys(("value", "way", "size", "solid", "repeat")),
        "care": {"washing": None, "starched": False, "dye_tested": False},
        "pool": None,
        "lighting": {
            "reference": None, "at": None, "gains": unmoved, "fall_off": None, "lamp": False,
        },
        "ruler": None,
        **fabric,
        "photo": photo,
    }  # fmt: skip


_STEPS: Final[dict[int, Callable[[Json], Json]]] = {1: _measured_by_light}
