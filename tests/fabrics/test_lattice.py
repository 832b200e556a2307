"""The shortest steps of a repeat, and what the trade calls the way they lie."""

from __future__ import annotations

import numpy as np
import pytest

from quiltboard.fabrics.lattice import MOST_TURN_DEG, name_lattice, reduce_steps
from quiltboard.fabrics.reading import RepeatKind


def _turned(steps: list[list[float]], angle_deg: float) -> np.ndarray:
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    return reduce_steps(np.array(steps) @ np.array([[c, s], [-s, c]]))


@pytest.mark.parametrize("seed", range(20))
def test_the_shortest_steps_do_not_hang_on_how_the_repeat_was_told(seed: int) -> None:
    rng = np.random.default_rng(seed)
    steps = reduce_steps(rng.normal(size=(2, 2)) + np.diag([3, 3]))
    told = np.array([[1, int(rng.integers(-6, 7))], [0, 1]]) @ steps
    told = np.array([[1, 0], [int(rng.integers(-6, 7)), 1]]) @ told
    assert reduce_steps(told) == pytest.approx(steps)
    one, other = (np.linalg.norm(step) for step in steps)
    assert one <= other <= np.linalg.norm(steps[1] - steps[0]) + 1e-9
    assert (steps[:, 0] >= 0).all()


def test_steps_straight_up_are_told_straight_down() -> None:
    assert reduce_steps(np.array([[0.0, -2.0], [-3.0, 0.0]])).tolist() == [[0, 2], [3, 0]]


NAMED: list[tuple[RepeatKind, list[list[float]]]] = [
    ("square", [[1, 0], [0, 1]]),
    ("square", [[1, 0], [0, 2.5]]),
    ("half-drop", [[1, 0.5], [0, 1]]),
    ("half-drop", [[0.7, 0.5], [0, 1]]),
    ("half-drop", [[1.5, 0.4], [0, 0.8]]),
    ("half-drop", [[1, 1], [1, -1]]),
    ("brick", [[1, 0], [0.5, 1]]),
    ("brick", [[1, 0], [0.5, 0.7]]),
    # A half-drop of narrow columns is a brick of tiles nearer to square.
    ("brick", [[0.35, 0.5], [0, 1]]),
    ("diagonal", [[1, 0], [0.3, 1]]),
    ("diagonal", [[1, 0.33], [0, 1]]),
    ("diagonal", [[1, 0.2], [0, 1.4]]),
]


@pytest.mark.parametrize(("kind", "steps"), NAMED)
@pytest.mark.parametrize("angle_deg", [-10, -3, 0, 6, 10])
def test_a_repeat_is_named_however_the_cloth_lay(
    kind: RepeatKind, steps: list[list[float]], angle_deg: float
) -> None:
    assert name_lattice(_turned(steps, angle_deg)) == kind


def test_rows_that_lean_too_far_are_no_rows() -> None:
    assert name_lattice(_turned([[1, 0], [0, 1.7]], MOST_TURN_DEG + 2)) == "diagonal"


@pytest.mark.parametrize(("kind", "turned"), [("half-drop", "brick"), ("square", "square")])
def test_a_quarter_turn_makes_rows_of_columns(kind: RepeatKind, turned: RepeatKind) -> None:
    steps = next(steps for name, steps in NAMED if name == kind)
    assert name_lattice(_turned(steps, 0)) == kind
    assert name_lattice(_turned(steps, 90)) == turned
