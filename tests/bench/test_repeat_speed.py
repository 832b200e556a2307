"""How long the repeat and the direction of a swatch take, beside the transforms they rest on.

The times are told, not judged: a shared machine would judge by its other work.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from PIL import Image

from quiltboard.fabrics.direction import direction_of, find_direction
from quiltboard.fabrics.likeness import Likeness, print_planes
from quiltboard.fabrics.repeat import find_repeat, repeat_of
from tests.helpers.repeat_prints import (
    Drawn,
    lattice_print,
    stripe_print,
    tossed_print,
    tossed_repeat_print,
)
from tests.helpers.timing import Record, best_ms, tell

DRAWN: dict[str, Callable[[], Drawn]] = {
    "a brick": lambda: lattice_print(3, "brick"),
    "stripes": lambda: stripe_print(3),
    "a tossed print": lambda: tossed_print(3, "two-way"),
    "a tossed repeat": lambda: tossed_repeat_print(3, "two-way"),
}


@pytest.mark.parametrize("name", DRAWN)
def test_repeat_and_direction(name: str, record_property: Record) -> None:
    pixels = np.asarray(Image.fromarray(DRAWN[name]().pixels).resize((1024, 768)))
    planes = print_planes(pixels)
    likeness = Likeness(planes)
    repeat = repeat_of(likeness)
    plane = np.zeros((768, 768), np.float32)
    four = best_ms(lambda: [np.fft.rfft2(plane) for _ in range(4)])
    for what, job in (
        ("planes", lambda: print_planes(pixels)),
        ("likeness", lambda: Likeness(planes)),
        ("repeat", lambda: repeat_of(likeness)),
        ("direction", lambda: direction_of(likeness, repeat)),
        ("find repeat", lambda: find_repeat(pixels)),
        ("find direction", lambda: find_direction(pixels, repeat)),
    ):
        tell(record_property, f"{name}, {what}", best_ms(job), "four transforms", four)
    assert find_repeat(pixels) == repeat
