"""Items laid elsewhere keep their shape."""

from __future__ import annotations

import pytest

from quiltboard.drawing.display import (
    Circle,
    Clipped,
    ClothFill,
    Picture,
    Polygon,
    Polyline,
    Stroke,
    Text,
    arc,
    put,
    rectangle,
)
from quiltboard.fabrics.fabric import FabricId


def test_put_scales_about_the_origin_and_then_moves() -> None:
    fill = ClothFill(FabricId("a"), (1.0, 2.0), 30.0, 0.5)
    items = (
        Polygon(((0, 0), (2, 0), (2, 1)), fill, Stroke("#191919", 1, (2, 1))),
        Polyline(((0, 0), (4, 4)), Stroke("#191919", 1)),
        Circle(1, 1, 3, "#ffffff"),
        Text(1, 1, "a", 4),
        Picture(1, 1, 2, 2, b""),
        Clipped(1, 1, 2, 2, (Circle(2, 2, 1),)),
    )
    laid = ClothFill(FabricId("a"), (12, 24), 30, 1)
    assert put(items, 10, 20, 2) == (
        Polygon(((10, 20), (14, 20), (14, 22)), laid, Stroke("#191919", 2, (4, 2))),
        Polyline(((10, 20), (18, 28)), Stroke("#191919", 2)),
        Circle(12, 22, 6, "#ffffff"),
        Text(12, 22, "a", 8),
        Picture(12, 22, 4, 4, b""),
        Clipped(12, 22, 4, 4, (Circle(14, 24, 2),)),
    )


def test_an_arc_runs_clockwise_from_the_top() -> None:
    points = arc((10, 10), 5, 0, 90)
    assert points[0] == pytest.approx((10, 5))
    assert points[-1] == pytest.approx((15, 10))


def test_a_rectangle_runs_clockwise_from_its_upper_left_corner() -> None:
    assert rectangle(1, 2, 3, 4).points == ((1, 2), (4, 2), (4, 6), (1, 6))
