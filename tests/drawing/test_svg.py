"""SVG: well formed, true to size, each cloth once, everything escaped."""

from __future__ import annotations

import base64
import xml.etree.ElementTree as ET

import pytest

from quiltboard.drawing.board import draw_board
from quiltboard.drawing.display import (
    Circle,
    Clipped,
    ClothFill,
    Drawing,
    Picture,
    Polyline,
    Stroke,
    Text,
)
from quiltboard.drawing.lettering import FAMILY
from quiltboard.drawing.seeing import grey_of, read_pixels
from quiltboard.drawing.svg import write_svg
from tests.helpers.projects import pool_project, sample_project, sample_steps

SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
STEPS = sample_steps()


def parsed(drawing: Drawing, title: str = "") -> ET.Element:
    return ET.fromstring(write_svg(drawing, title).encode())  # noqa: S314


def picture_of(element: ET.Element) -> bytes:
    return base64.b64decode(element.attrib[HREF].removeprefix("data:image/png;base64,"))


def test_it_has_its_true_size_in_millimetres() -> None:
    drawing = draw_board(sample_project(), "colour", STEPS)
    root = parsed(drawing)
    assert root.tag == f"{SVG}svg"
    assert float(root.attrib["width"].removesuffix("mm")) == pytest.approx(723.9)
    assert root.attrib["viewBox"] == "0 0 723.9 723.9"


def test_every_cloth_is_embedded_once_as_it_is_kept() -> None:
    project = sample_project()
    root = parsed(draw_board(project, "colour", STEPS))
    pictures = [picture_of(image) for image in root.iter(f"{SVG}image")]
    used = {fabric for _, fabric in project.board.cells()}
    assert len(pictures) == len(set(pictures)) == len(used)
    assert set(pictures) <= {f.swatch.png for f in project.fabrics if f.swatch}


def test_grey_embeds_greyed_cloth() -> None:
    project = sample_project()
    root = parsed(draw_board(project, "grey", STEPS))
    known = {grey_of(read_pixels(f.swatch.png)).tobytes() for f in project.fabrics if f.swatch}
    for image in root.iter(f"{SVG}image"):
        assert read_pixels(picture_of(image)).tobytes() in known


def test_every_reference_leads_somewhere() -> None:
    root = parsed(draw_board(sample_project(), "colour", STEPS))
    names = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    assert len(names) == len(set(names))
    for element in root.iter():
        fill = element.attrib.get("fill", "")
        if fill.startswith("url(#"):
            assert fill[5:-1] in names
        href = element.attrib.get(HREF, "#" + names[0])
        assert href.startswith("data:") or href[1:] in names


def test_names_and_texts_are_escaped() -> None:
    hostile = "a<b>&\"'\x00\x07]]>"
    drawing = Drawing(
        10,
        10,
        (Text(1, 1, hostile, 3), Circle(5, 5, 1, "#000000", name=hostile)),
    )
    root = parsed(drawing, hostile)
    clean = "a<b>&\"']]>"
    assert [element.text for element in root.iter(f"{SVG}title")] == [clean, clean]
    assert "".join(span.text or "" for span in root.iter(f"{SVG}tspan")) == clean


def test_text_is_text_in_the_bundled_font_with_built_fractions() -> None:
    root = parsed(Drawing(50, 10, (Text(25, 5, "4 3⁄4 in", 3, 600, "middle", angle_deg=-90),)))
    (text,) = root.iter(f"{SVG}text")
    assert text.attrib["font-family"].startswith(f"'{FAMILY}',")
    assert text.attrib["font-weight"] == "600"
    spans = list(text)
    assert [span.text for span in spans] == ["4", "3", "4", " in"]
    sizes = [float(span.attrib["font-size"]) for span in spans]
    assert sizes == [3, pytest.approx(1.98), pytest.approx(1.98), 3]
    assert float(spans[0].attrib["x"]) < 0
    assert len(list(root.iter(f"{SVG}path"))) == 1
    assert "style" not in text.attrib
    (even,) = parsed(Drawing(9, 9, (Text(1, 5, "11", 3, tabular=True),))).iter(f"{SVG}text")
    assert even.attrib["style"] == "font-variant-numeric:tabular-nums"


def test_strokes_clips_and_pictures_are_written() -> None:
    png = sample_project().fabrics[0].swatch
    assert png is not None
    drawing = Drawing(
        10,
        10,
        (
            Clipped(1, 1, 4, 4, (Polyline(((0, 0), (9, 9)), Stroke("#112233", 0.5, (1, 2))),)),
            Picture(0, 0, 10, 10, png.png),
        ),
    )
    root = parsed(drawing)
    (path,) = root.iter(f"{SVG}polyline")
    assert path.attrib["stroke-dasharray"] == "1 2"
    (group,) = root.iter(f"{SVG}g")
    (clip,) = root.iter(f"{SVG}clipPath")
    assert group.attrib["clip-path"] == f"url(#{clip.attrib['id']})"
    (image,) = root.iter(f"{SVG}image")
    assert picture_of(image) == png.png


def test_a_drawing_to_be_blurred_is_refused() -> None:
    with pytest.raises(ValueError, match="one picture"):
        write_svg(draw_board(sample_project(), "squint", STEPS))


def test_a_cloth_laid_plainly_and_mirrored_is_still_embedded_once() -> None:
    fabric = sample_project().fabrics[0]
    assert fabric.swatch is not None
    lies = [ClothFill(fabric.id, (1, 2), 30, 0.5, mirrored=m) for m in (False, True, False)]
    stroke = Stroke("#191919", 1, cap="round")
    drawing = Drawing(
        9,
        9,
        (*(Circle(4, 4, 3, fill) for fill in lies), Polyline(((0, 0), (1, 1)), stroke)),
        {fabric.id: fabric.swatch},
    )
    root = parsed(drawing)
    assert len(list(root.iter(f"{SVG}image"))) == 1
    plain, mirrored = root.iter(f"{SVG}pattern")
    assert (len(list(plain)), len(list(mirrored))) == (1, 4)
    assert int(mirrored.attrib["width"]) == 2 * int(plain.attrib["width"])
    (path,) = root.iter(f"{SVG}polyline")
    assert path.attrib["stroke-linecap"] == "round"


def test_the_cloths_of_a_pool_are_embedded_once_each() -> None:
    drawing = draw_board(pool_project(), "colour", {})
    pictures = [picture_of(image) for image in parsed(drawing).iter(f"{SVG}image")]
    assert len(pictures) == len(set(pictures)) == 14
    assert set(pictures) == {swatch.png for swatch in drawing.cloths.values()}
