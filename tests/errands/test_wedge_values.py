"""Large prints: how light each piece is, in which step, and all that hangs on it."""

from __future__ import annotations

import math
from io import BytesIO

import msgspec
import numpy as np
import pytest
from PIL import Image

from quiltboard.drawing.board import draw_board
from quiltboard.drawing.display import Circle, ClothFill, Drawing, Polygon
from quiltboard.errands.deal import deal_again, task_for
from quiltboard.errands.judge import judge, read_shelf
from quiltboard.errands.report import check_report
from quiltboard.errands.wedge_values import is_large_print, own_values
from quiltboard.fabrics.fabric import ByHand, Fabric, Pool
from quiltboard.fabrics.relief import points_in
from quiltboard.photos.light import light_of
from quiltboard.photos.lightness import XYZ_OF_LIGHT, value_of_luminance
from quiltboard.project.project import Project
from quiltboard.quilt.board import Block, Cell
from quiltboard.shapes.wedge import Wedge, usual_wedge
from quiltboard.units import Length, inches
from tests.helpers.large_prints import drifts, large_print, large_print_project, plain_cloth

WEDGE = usual_wedge(12)
DRIFT = large_print("drift", drifts(1), inches(9))


def with_drift(project: Project, drift: Fabric) -> Project:
    """Give the project with another cloth in the place of its large print."""
    _, *plains = project.fabrics
    changed = msgspec.structs.replace(drift, id=DRIFT.id)
    return msgspec.structs.replace(project, fabrics=(changed, *plains))


def changed(**by_hand: object) -> Fabric:
    return msgspec.structs.replace(DRIFT, by_hand=ByHand(**by_hand))  # type: ignore[arg-type]


def as_drawn(drawing: Drawing, item: Polygon, fabric: Fabric) -> float:
    """Measure on the drawing how light a piece is: every spot of it that is not covered."""
    fill, swatch = item.fill, fabric.swatch
    assert isinstance(fill, ClothFill)
    assert swatch is not None
    spots = points_in(item.points, 4000)
    for circle in drawing.items:
        if isinstance(circle, Circle) and circle.fill:
            away = np.hypot(*(spots - (circle.x, circle.y)).T)
            spots = spots[away > circle.radius]
    turn = math.radians(fill.angle_deg)
    x, y = (spots - fill.origin).T / fill.mm_per_px
    across = x * math.cos(turn) + y * math.sin(turn)
    down = y * math.cos(turn) - x * math.sin(turn)
    pixels = np.asarray(Image.open(BytesIO(swatch.png)))
    if fill.mirrored:
        pixels = np.concatenate([pixels, pixels[:, ::-1]], axis=1)
        pixels = np.concatenate([pixels, pixels[::-1]], axis=0)
    height, width, _ = pixels.shape
    seen = pixels[np.floor(down).astype(int) % height, np.floor(across).astype(int) % width]
    return float(value_of_luminance((light_of(seen[None]) @ XYZ_OF_LIGHT[1]).mean()))


@pytest.mark.parametrize(
    ("drift", "mirrored"),
    [
        (DRIFT, False),
        (large_print("tall", drifts(2, 150, 192), inches(8)), False),
        (large_print("small", drifts(3), inches(3), 0.6), True),
        (large_print("unscaled", drifts(4)), False),
    ],
    ids=lambda it: it.name if isinstance(it, Fabric) else None,
)
def test_each_piece_is_as_light_as_the_part_that_is_drawn(
    drift: Fabric, *, mirrored: bool
) -> None:
    project = with_drift(large_print_project(), drift)
    values = judge(project).piece_values
    drawing = draw_board(project, "colour", {}, numbers=False)
    pieces = [
        item
        for item in drawing.items
        if isinstance(item, Polygon) and isinstance(item.fill, ClothFill)
    ]
    assert len(pieces) == len(values) == 12
    assert max(values.values()) - min(values.values()) > (2 if mirrored else 10)
    for item, value in zip(pieces, values.values(), strict=True):
        assert isinstance(item.fill, ClothFill)
        assert item.fill.mirrored == mirrored
        assert value == pytest.approx(as_drawn(drawing, item, drift), abs=0.7)


@pytest.mark.parametrize(
    ("fabric", "large"),
    [
        (DRIFT, True),
        (changed(size="large"), True),
        (changed(size="medium"), False),
        (changed(solid=True), False),
        (changed(size="large", solid=True), False),
        (changed(solid=False), True),
        (large_print("fine", drifts(1), inches(9), 0.02), False),
        (large_print("near", drifts(1), inches(1), 0.4), False),
        (large_print("unscaled", drifts(1), None, 0.4), True),
        (large_print("solid", drifts(1), inches(9), None), False),
        (msgspec.structs.replace(DRIFT, pool=Pool(9)), False),
        (msgspec.structs.replace(DRIFT, swatch=None), False),
        (plain_cloth("plain", 50), False),
    ],
)
def test_what_is_a_large_print(fabric: Fabric, *, large: bool) -> None:
    assert is_large_print(fabric, WEDGE) is large
    assert (fabric.id in read_shelf((fabric,), WEDGE).prints) is large


def test_a_solid_cloth_that_the_maker_calls_a_large_print_is_one() -> None:
    solid = large_print("solid", drifts(1), inches(9), None)
    assert not is_large_print(solid, WEDGE)
    for told, large in (
        (ByHand(size="large", solid=False), True),
        (ByHand(solid=False), False),
    ):
        assert is_large_print(msgspec.structs.replace(solid, by_hand=told), WEDGE) is large


def test_a_print_is_large_against_the_wedge_it_is_cut_into() -> None:
    fabric = large_print("print", drifts(1), inches(9), 0.12)
    assert [is_large_print(fabric, usual_wedge(n)) for n in (12, 24)] == [False, True]


def test_the_step_of_a_piece_is_that_of_its_own_value() -> None:
    project = large_print_project()
    judgement = judge(project)
    shelf = judgement.shelf
    assert len({judgement.piece_steps[cell] for cell in judgement.piece_steps}) == 3
    dark, light = (
        [v for c, v in judgement.piece_values.items() if judgement.piece_steps[c] == step]
        for step in ("dark", "light")
    )
    assert max(dark) < shelf.values[DRIFT.id] < min(light)
    for cell, fabric in project.board.cells():
        assert fabric is not None
        assert (cell in judgement.piece_values) == (fabric == DRIFT.id)
        step, value = shelf.step_at(fabric, cell), shelf.value_at(fabric, cell)
        assert step == judgement.piece_steps.get(cell, shelf.steps[fabric])
        assert value == judgement.piece_values.get(cell, shelf.values[fabric])


def test_a_large_print_that_is_mixed_on_the_shelf_is_not_so_on_a_wedge() -> None:
    halves = np.zeros((120, 180, 3), dtype=np.uint8)
    halves[:, :90] = 235
    project = with_drift(large_print_project(), large_print("halves", halves, inches(18)))
    judgement = judge(project)
    assert judgement.shelf.steps[DRIFT.id] == "mixed"
    assert {"dark", "light"} <= set(judgement.piece_steps.values()) <= {
        "dark", "medium", "light",
    }  # fmt: skip


def test_a_step_set_by_hand_holds_for_every_piece() -> None:
    by_hand = msgspec.structs.replace(DRIFT, step="light")
    judgement = judge(with_drift(large_print_project(), by_hand))
    assert set(judgement.piece_steps.values()) == {"light"}
    assert len(set(judgement.piece_values.values())) > 3


def test_a_value_set_by_hand_moves_every_piece_along_but_not_beyond_black_and_white() -> None:
    project = large_print_project()
    measured = judge(project).piece_values
    for moved in (5.0, -60.0, 60.0):
        told = DRIFT.reading.value + moved
        found = judge(with_drift(project, changed(value=told))).piece_values
        assert found == pytest.approx(
            {cell: min(100, max(0, value + moved)) for cell, value in measured.items()}
        )
    assert 100 in found.values()


def test_a_piece_that_lies_wholly_under_the_centre_is_taken_whole() -> None:
    short = Wedge(6, Length(inches(3) // 4), inches(1))
    large = read_shelf((DRIFT,), short).prints[DRIFT.id]
    assert len(large.round(0).values) == 6
    assert all(0 < value < 100 for value in large.round(0).values)


def test_clumps_and_lean_are_told_by_each_piece() -> None:
    project = large_print_project(1)
    large = judge(project).shelf.prints[DRIFT.id].round(0)
    whole = msgspec.structs.replace(project.board, blocks=(Block((DRIFT.id,) * 12),))
    judgement = judge(msgspec.structs.replace(project, board=whole))
    assert judgement.ring_values(whole, 0) == large.values
    assert judgement.report.heavy[0].length > 0
    clumps = [flag for flag in judgement.report.flags if flag.key.kind == "clump"]
    assert clumps
    for flag in clumps:
        assert {large.steps[cell.wedge] for cell in flag.key.cells} == {flag.step}
    # The cloth as a whole is in one step: the ring would be one clump, or none.
    assert len(clumps[0].key.cells) < 12


def test_check_tells_the_value_and_step_of_every_piece() -> None:
    project = large_print_project(1)
    emptied = msgspec.structs.replace(
        project.board.blocks[0], cells=(None, *project.board.blocks[0].cells[1:])
    )
    board = msgspec.structs.replace(project.board, blocks=(emptied,))
    project = msgspec.structs.replace(project, board=board)
    judgement = judge(project)
    first, second, third, *_ = check_report(project).cells
    assert (first.fabric, first.value, first.step) == (None, None, None)
    own = judgement.piece_values[Cell(0, 1)]
    assert (second.fabric, second.value) == ("drift", own)
    assert second.step == judgement.piece_steps[Cell(0, 1)]
    assert (third.fabric, third.value, third.step) == ("plain 50", 50, "medium")


def test_a_deal_reckons_with_the_step_of_each_piece_where_it_lies() -> None:
    project = large_print_project(2)
    task = task_for(project, seed=3, moves=20_000)
    shelf = judge(project).shelf
    assert task.place_steps == {
        DRIFT.id: tuple(shelf.step_at(DRIFT.id, cell) for cell, _ in project.board.cells())
    }
    dealt = deal_again(project, seed=3)
    assert dealt.result.cost == judge(dealt.after).report.cost
    assert dealt.result.cost <= judge(dealt.before).report.cost


def test_a_board_without_large_prints_has_no_pieces_of_their_own() -> None:
    _, *plains = large_print_project().fabrics
    shelf = read_shelf(tuple(plains), WEDGE)
    assert shelf.prints == {}
    assert own_values(large_print_project().board, shelf.prints) == ({}, {})
