"""Letters are measured, fractions built, lines broken."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont, features

from quiltboard.drawing.display import Text, Weight
from quiltboard.drawing.lettering import (
    CAPITAL,
    FIGURE,
    FONT_FILES,
    anchored,
    elide,
    lay_text,
    text_width,
    wrap,
)
from quiltboard.resources import shipped

WORDS = st.text("abcdefgh ilmnopqrst", min_size=1, max_size=60)


def test_a_fraction_is_built_of_small_figures_and_a_slash() -> None:
    lettered = lay_text("strip 4 3⁄4 in wide", 10)
    assert [run.text for run in lettered.runs] == ["strip 4", "3", "4", " in wide"]
    whole, over, under, behind = lettered.runs
    assert over.size_mm == under.size_mm == pytest.approx(10 * FIGURE)
    # The upper figure hangs from the capitals' height, the lower stands on the line.
    assert over.y == pytest.approx(-(10 - 6.6) * CAPITAL)
    assert under.y == behind.y == whole.y == 0
    assert over.x < under.x < behind.x
    ((foot, head),) = lettered.slashes
    assert foot[0] < head[0]
    assert head[1] < foot[1]


def test_eighths_are_built_like_all_others() -> None:
    for fraction in ("1⁄8", "7⁄8", "1⁄2", "15⁄16"):
        assert len(lay_text(fraction, 4).slashes) == 1


def test_a_built_fraction_is_narrower_than_its_figures_in_a_row() -> None:
    assert text_width("4 3⁄4", 10) < text_width("4 3/4", 10)


def test_figures_are_all_as_wide_as_each_other() -> None:
    widths = {round(text_width(str(figure) * 4, 10), 6) for figure in range(10)}
    assert len(widths) == 1


@pytest.mark.skipif(not features.check("raqm"), reason="no text shaping to compare with")
@pytest.mark.parametrize("weight", [400, 600])
def test_figures_for_columns_are_as_wide_as_the_font_says(weight: Weight) -> None:
    font = ImageFont.truetype(shipped("resources", "fonts", FONT_FILES[weight]), 1000)
    for text in ("1111", "0", "Plate 14, wedges 2 and 3", "8"):
        wanted = font.getlength(text, features=["tnum"]) / 1000
        assert text_width(text, 1.0, weight) == pytest.approx(wanted, abs=0.003)


def test_width_grows_with_size_and_weight() -> None:
    assert text_width("Harbour Dot", 8) == pytest.approx(2 * text_width("Harbour Dot", 4))
    assert text_width("Harbour Dot", 8, 600) > text_width("Harbour Dot", 8)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0), ("middle", 0.5), ("end", 1)])
def test_an_anchor_holds_its_share_of_the_text(anchor: str, share: float) -> None:
    item = Text(0, 0, "4 1⁄2 in", 5, 400, anchor)  # type: ignore[arg-type]
    lettered, left = anchored(item)
    assert left == pytest.approx(share * lettered.width)


def test_figures_keep_their_own_width_where_they_are_read_as_text() -> None:
    assert lay_text("111", 10, tabular=False).width < lay_text("000", 10, tabular=False).width
    assert lay_text("111", 10).width == pytest.approx(lay_text("000", 10).width)


def test_a_text_that_fits_is_left_alone() -> None:
    assert elide("Kelp", 100, 4) == "Kelp"


@given(WORDS, st.floats(6, 60))
def test_an_elided_text_fits(text: str, width: float) -> None:
    short = elide(text, width, 4)
    assert short == text or short.endswith("…")
    assert text_width(short, 4) <= width


@given(WORDS, st.floats(6, 60))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: float) -> None:
    lines = wrap(text, width, 4)
    assert all(text_width(line.rstrip(), 4) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_measure_is_never_parted_from_its_unit() -> None:
    for width in range(15, 60):
        for line in wrap("cut two strips 4 3⁄4 in wide, and 12 cm of edge", width, 4):
            assert not line.endswith(("4", "12"))
            assert not line.startswith(("in ", "3⁄4", "cm"))


def test_a_line_too_narrow_for_one_letter_takes_one() -> None:
    assert wrap("abc", 0.1, 4) == ("a", "b", "c")
