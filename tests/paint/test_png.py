"""PNG: the right cloth in the right place, at its true size."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path

import msgspec
import numpy as np
import pytest
from PIL import Image
from PySide6.QtGui import QFontDatabase, QGuiApplication, QPainter
from PySide6.QtSvg import QSvgRenderer

from quiltboard.drawing.board import Seeing, draw_board
from quiltboard.drawing.display import (
    Clipped,
    ClothFill,
    Drawing,
    Polygon,
    Text,
    rectangle,
)
from quiltboard.drawing.lettering import FAMILY, lay_text
from quiltboard.drawing.seeing import grey_colour, lightness, step_colour
from quiltboard.drawing.svg import write_svg
from quiltboard.errands.judge import judge
from quiltboard.fabrics.fabric import FabricId, Swatch
from quiltboard.paint.cloth_book import ClothBook, image_of, pixels_of
from quiltboard.paint.export import write_picture
from quiltboard.paint.offscreen import ensure_gui
from quiltboard.paint.painter import paint, rasterise, squinted
from quiltboard.paint.png import LONGEST_PX, png_bytes, write_png
from quiltboard.photos.light import Pixels
from quiltboard.project.project import Project
from quiltboard.quilt.board import Block, Cell
from quiltboard.quilt.layout import Rect, lay_out
from quiltboard.store.safe_write import StoreError
from quiltboard.units import inches
from tests.helpers.large_prints import large_print_project
from tests.helpers.projects import (
    POOL_COLOURS,
    pool_project,
    printed,
    rgb,
    sample_project,
    sample_steps,
    swatch_of,
)

pytestmark = pytest.mark.qt
STEPS = sample_steps()
BRIGHT = ("#c23a2b", "#3f7f93", "#e08a1e", "#21452f", "#b2578c", "#efe6cf")


def plain_prints(across: int = 2) -> Project:
    """Give a board whose swatches are each of one colour, so that any pixel tells its cloth."""
    project = sample_project(across, 1)
    fabrics = tuple(
        msgspec.structs.replace(
            fabric,
            swatch=swatch_of(printed("plain", colour, colour, 60), inches(2)),
            colour=colour,
        )
        for fabric, colour in zip(project.fabrics, BRIGHT, strict=False)
    )
    cells = tuple(
        Block(tuple(fabrics[(5 * w + b) % 6].id for w in range(12))) for b in range(across)
    )
    board = msgspec.structs.replace(project.board, blocks=cells, centre=fabrics[0].id)
    return msgspec.structs.replace(project, board=board, fabrics=fabrics)


def opened(png: bytes) -> Pixels:
    with Image.open(BytesIO(png)) as picture:
        return np.asarray(picture.convert("RGB"), dtype=np.uint8)


def hex_of(pixel: Pixels) -> str:
    return "#" + "".join(f"{value:02x}" for value in pixel)


def middle_of(project: Project, cell: Cell, px_per_mm: float) -> tuple[int, int]:
    """Give the row and column of the pixel in a wedge's middle."""
    layout = lay_out(project.board)
    x, y = layout.to_top(cell, (0, (layout.drafted.opening + layout.drafted.tip) / 2))
    return int(y * px_per_mm), int(x * px_per_mm)


@pytest.mark.parametrize("px_per_mm", [0.3, 1.0, 3.0])
def test_the_middle_of_every_wedge_shows_its_fabric(px_per_mm: float) -> None:
    project = plain_prints()
    pixels = opened(png_bytes(draw_board(project, "colour", STEPS), px_per_mm=px_per_mm))
    for cell, fabric in project.board.cells():
        assert fabric is not None
        wanted = rgb(project.fabric(fabric).colour)
        shown = pixels[middle_of(project, cell, px_per_mm)]
        assert np.abs(shown.astype(int) - wanted).max() <= 2


def test_grey_shows_each_pixel_at_its_own_lightness() -> None:
    project = plain_prints()
    pixels = opened(png_bytes(draw_board(project, "grey", STEPS), px_per_mm=1))
    for cell, fabric in project.board.cells():
        assert fabric is not None
        colour = project.fabric(fabric).colour
        shown = hex_of(pixels[middle_of(project, cell, 1)])
        assert shown == grey_colour(colour)
        assert lightness(shown) == pytest.approx(lightness(colour), abs=0.3)


def test_value_steps_show_flat_greys() -> None:
    project = plain_prints()
    pixels = opened(png_bytes(draw_board(project, "steps", STEPS), px_per_mm=1))
    wanted = {"light": 88, "medium": 58, "dark": 24}
    for cell, fabric in project.board.cells():
        assert fabric is not None
        shown = lightness(hex_of(pixels[middle_of(project, cell, 1)]))
        assert shown == pytest.approx(wanted[STEPS[fabric]], abs=0.3)


def test_squint_keeps_the_boards_mean_light_and_loses_its_edges() -> None:
    project = sample_project()
    sharp = opened(png_bytes(draw_board(project, "colour", STEPS, numbers=False), px_per_mm=1))
    blurred = opened(png_bytes(draw_board(project, "squint", STEPS), px_per_mm=1))
    assert blurred.shape == sharp.shape

    def light(pixels: Pixels) -> float:
        encoded = pixels / 255
        high = ((encoded + 0.055) / 1.055) ** 2.4
        return float(np.where(encoded <= 0.04045, encoded / 12.92, high).mean())

    # Seams and shadows, which a squint has none of, take a little light away.
    assert light(blurred) == pytest.approx(light(sharp), rel=0.03)
    steps = [np.abs(np.diff(p.astype(int), axis=1)).max() for p in (sharp, blurred)]
    assert steps[0] > 150
    assert steps[1] < 40


def test_a_squinted_drawing_is_one_picture_for_any_backend() -> None:
    drawing = squinted(draw_board(sample_project(), "squint", STEPS))
    assert len(drawing.items) == 1
    assert drawing.blur_mm == 0
    assert "<image" in write_svg(drawing)
    assert squinted(drawing) is drawing


def test_a_picture_knows_its_true_size() -> None:
    drawing = draw_board(sample_project(), "colour", STEPS)
    with Image.open(BytesIO(png_bytes(drawing, long_side_px=900))) as picture:
        assert max(picture.size) == 900
        width_in = picture.size[0] / picture.info["dpi"][0]
    assert width_in == pytest.approx(28.5, abs=0.02)


def test_pictures_are_bounded() -> None:
    drawing = draw_board(sample_project(), "colour", STEPS)
    for side, scale in ((-5, None), (LONGEST_PX + 1, None), (None, 50.0), (None, 0.0)):
        with pytest.raises(ValueError, match="1 to"):
            png_bytes(drawing, long_side_px=side, px_per_mm=scale)
    with pytest.raises(ValueError, match="either"):
        png_bytes(drawing, long_side_px=100, px_per_mm=1)


def test_a_file_is_written_whole_or_the_error_names_it(tmp_path: Path) -> None:
    drawing = draw_board(sample_project(), "colour", STEPS)
    path = tmp_path / "board.png"
    write_png(drawing, path, long_side_px=200)
    assert opened(path.read_bytes()).shape[0] == 200
    assert [file.name for file in tmp_path.iterdir()] == ["board.png"]
    with pytest.raises(StoreError, match=r"lost\.png"):
        write_png(drawing, tmp_path / "nowhere" / "lost.png", long_side_px=200)


def test_a_running_application_is_left_alone() -> None:
    running = QGuiApplication.instance() or ensure_gui()
    before = os.environ.pop("QT_QPA_PLATFORM", None)
    try:
        assert ensure_gui() is running
        assert "QT_QPA_PLATFORM" not in os.environ
    finally:
        if before is not None:
            os.environ["QT_QPA_PLATFORM"] = before
    assert FAMILY in QFontDatabase.families()


def test_only_what_meets_the_clip_is_painted() -> None:
    ensure_gui()
    drawing = draw_board(plain_prints(), "colour", STEPS)
    whole = pixels_of(rasterise(drawing, 1))
    part = rasterise(Drawing(drawing.width_mm, drawing.height_mm, ()), 1)
    with QPainter(part) as painter:
        paint(drawing, painter, ClothBook(), 1, Rect(100, 50, 120, 90))
    shown = pixels_of(part)
    inside = shown[55:135, 105:215].astype(int) - whole[55:135, 105:215]
    assert np.abs(inside).max() <= 2
    assert (shown[:, :95] == 255).all()
    assert (shown[145:] == 255).all()


def test_a_mirrored_print_meets_itself_without_an_edge() -> None:
    ensure_gui()
    ramp = np.zeros((40, 40, 3), dtype=np.uint8)
    ramp[..., 0] = np.arange(40)[None] * 6
    ramp[..., 1] = np.arange(40)[:, None] * 6
    swatch = swatch_of(ramp)
    fill = ClothFill(FabricId("a"), (0, 0), 0, 1.0, mirrored=True)
    drawing = Drawing(160, 160, (rectangle(0, 0, 160, 160, fill),), {FabricId("a"): swatch})
    shown = pixels_of(rasterise(drawing, 1)).astype(int)
    assert (shown[10, :40, 0] == ramp[0, :, 0]).all()
    assert (shown[10, 40:80, 0] == ramp[0, ::-1, 0]).all()
    assert np.abs(np.diff(shown, axis=0)).max() <= 6
    assert np.abs(np.diff(shown, axis=1)).max() <= 6


def test_far_off_a_print_shows_its_mean_light_not_its_mean_number() -> None:
    """Fine black and white mixes to L* 76, where encoded numbers would mix to 53."""
    ensure_gui()
    stripes = np.zeros((256, 256, 3), dtype=np.uint8)
    stripes[:, ::2] = 255
    fill = ClothFill(FabricId("a"), (0, 0), 0, 0.1)
    drawing = Drawing(
        25.6, 25.6, (rectangle(0, 0, 25.6, 25.6, fill),), {FabricId("a"): swatch_of(stripes)}
    )
    shown = pixels_of(rasterise(drawing, 1))[12, 12]
    assert lightness(hex_of(shown)) == pytest.approx(76.07, abs=0.6)


def test_a_changed_swatch_is_read_anew_and_an_unknown_one_refused() -> None:
    ensure_gui()
    book = ClothBook()
    fabric = FabricId("a")

    def shown(swatch: Swatch) -> str:
        fill = ClothFill(fabric, (0, 0), 0, 1)
        drawing = Drawing(9, 9, (rectangle(0, 0, 9, 9, fill),), {fabric: swatch})
        return hex_of(pixels_of(rasterise(drawing, 1, book))[4, 4])

    red, blue = (swatch_of(printed("plain", c, c, 20)) for c in ("#c23a2b", "#3f7f93"))
    assert shown(red) == "#c23a2b"
    assert shown(red) == "#c23a2b"
    assert shown(blue) == "#3f7f93"
    with pytest.raises(KeyError):
        book.pixels(FabricId("b"), grey=False)


def test_pixels_survive_the_way_through_an_image() -> None:
    pixels = np.random.default_rng(1).integers(0, 256, (7, 5, 3), dtype=np.uint8)
    assert (pixels_of(image_of(pixels)) == pixels).all()


def test_text_stands_where_it_is_measured() -> None:
    ensure_gui()
    said = "Harbour 4 3⁄4 in"
    width = lay_text(said, 10, tabular=False).width
    drawing = Drawing(width + 20, 30, (Text(width + 10, 20, said, 10, anchor="end"),))
    ink = np.argwhere(pixels_of(rasterise(drawing, 8))[..., 0] < 128)
    left, right = ink[:, 1].min() / 8, ink[:, 1].max() / 8
    assert left == pytest.approx(10, abs=1.2)
    assert right == pytest.approx(width + 10, abs=1.2)


def test_clipped_items_show_only_inside() -> None:
    ensure_gui()
    disc = rectangle(0, 0, 20, 20, "#000000")
    drawing = Drawing(20, 20, (Clipped(5, 5, 5, 5, (disc,)),))
    dark = pixels_of(rasterise(drawing, 1))[..., 0] < 128
    assert dark.sum() == 25
    assert dark[5:10, 5:10].all()


@pytest.mark.parametrize("seeing", ["colour", "grey"])
def test_the_svg_shows_what_the_painter_shows(seeing: Seeing) -> None:
    ensure_gui()
    project = plain_prints()
    drawing = draw_board(project, seeing, STEPS)
    renderer = QSvgRenderer(write_svg(drawing).encode())
    assert renderer.isValid()
    image = rasterise(Drawing(drawing.width_mm, drawing.height_mm, ()), 1)
    with QPainter(image) as painter:
        renderer.render(painter)
    shown, painted = pixels_of(image), pixels_of(rasterise(drawing, 1))
    for cell, _ in project.board.cells():
        at = middle_of(project, cell, 1)
        assert np.abs(shown[at].astype(int) - painted[at]).max() <= 3


def test_a_polygon_without_coat_paints_nothing() -> None:
    ensure_gui()
    drawing = Drawing(9, 9, (Polygon(((1, 1), (8, 1), (8, 8))),))
    assert (pixels_of(rasterise(drawing, 2)) == 255).all()


def test_the_pieces_of_a_pool_are_painted_each_with_a_cloth_of_its_own() -> None:
    ensure_gui()
    project = pool_project(1)
    layout = lay_out(project.board)
    shown = pixels_of(rasterise(draw_board(project, "colour", {}), 1))
    middles = [layout.to_top(Cell(0, w), (0.0, 90.0)) for w in range(12)]
    colours = {hex_of(shown[round(y), round(x)]) for x, y in middles}
    assert len(colours) == 12
    assert colours <= set(POOL_COLOURS)


def test_a_picture_of_value_steps_shows_the_step_of_each_piece(tmp_path: Path) -> None:
    project = large_print_project()
    own, layout = judge(project).piece_steps, lay_out(project.board)
    write_picture(project, tmp_path / "steps.png", "steps")
    pixels = opened((tmp_path / "steps.png").read_bytes())
    scale = pixels.shape[1] / layout.width
    assert len(own) == 12
    for cell, step in own.items():
        x, y = layout.to_top(cell, (0.0, 90.0))
        shown = pixels[round(y * scale), round(x * scale)]
        assert f"#{bytes(shown).hex()}" == step_colour(step)
