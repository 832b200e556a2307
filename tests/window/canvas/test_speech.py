"""What a screen reader is told of a wedge's value step."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.errands.judge import judge
from quiltboard.fabrics.fabric import STEPS, Step
from quiltboard.window.canvas.speech import wedge_text
from tests.helpers.large_prints import large_print_project
from tests.helpers.projects import sample_project

pytestmark = pytest.mark.qt


@pytest.mark.parametrize("step", STEPS)
def test_every_value_step_is_spoken(step: Step) -> None:
    project = sample_project()
    board = msgspec.structs.replace(project.board, step_count=7)
    fabrics = tuple(msgspec.structs.replace(fabric, step=step) for fabric in project.fabrics)
    shown = msgspec.structs.replace(project, fabrics=fabrics, board=board)
    cell, laid = next((cell, fabric) for cell, fabric in board.cells() if fabric is not None)
    said = wedge_text(shown, judge(shown), cell).split(", ")
    assert said[2:4] == [shown.fabric(laid).name, "light and dark" if step == "mixed" else step]


def test_of_a_large_print_the_step_of_the_piece_is_spoken() -> None:
    project = large_print_project()
    judgement = judge(project)
    said = {cell: wedge_text(project, judgement, cell) for cell in judgement.piece_steps}
    assert len(set(judgement.piece_steps.values())) == 3
    for cell, step in judgement.piece_steps.items():
        assert said[cell].split(", ")[2:4] == ["drift", step]
