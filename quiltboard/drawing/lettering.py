"""Letters: how wide a text is, where its small fractions stand, where its lines break.

The bundled font lacks the eighths, so every fraction is built alike: figures of 66 %, the upper
one hung from the capitals' height, and a drawn slash. All backends take the runs from here, so
screen, PNG, PDF and SVG agree to a hair.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from PIL import ImageFont

from quiltboard.drawing.display import Text, Weight
from quiltboard.resources import shipped
from quiltboard.shapes.wedge import Point
from quiltboard.units import FRACTION_SLASH

FAMILY: Final = "Atkinson Hyperlegible Next"
FONT_FILES: Final[dict[Weight, str]] = {
    400: "AtkinsonHyperlegibleNext-Regular.ttf",
    600: "AtkinsonHyperlegibleNext-SemiBold.ttf",
}
FIGURE: Final = 0.66
"""Size of a fraction's figures against the letters beside it."""
CAPITAL: Final = 0.668
"""Height of the font's capitals, in ems."""
SLASH_RUN: Final = 0.27
"""How far a fraction's slash leans to the right, in ems."""
SLASH_WIDTH: Final[dict[Weight, float]] = {400: 0.068, 600: 0.095}
TABULAR_FIGURE: Final = 0.632
"""Width of each of the font's figures for columns (``tnum``), in ems, in both weights.

Pillow reaches them only where a text-shaping library is installed beside it.
"""
ELLIPSIS: Final = "…"

_FRACTION = re.compile(rf"[ \u00a0]?(\d+){FRACTION_SLASH}(\d+)")
_DRAFT_PX: Final = 1000
_FIGURES = re.compile(r"[0-9]+")


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text set in one go, at ``x`` right of the start and ``y`` below the line."""

    x: float
    y: float
    text: str
    size_mm: float


@dataclass(frozen=True, slots=True)
class Lettered:
    """A text laid out from its own start on the baseline, all in mm.

    Attributes
    ----------
    runs
        What to set, from left to right.
    slashes
        The fractions' slashes, each from its lower to its upper end.
    slash_width
        How thick they are.
    width
        The whole text's advance.
    """

    runs: tuple[Run, ...]
    slashes: tuple[tuple[Point, Point], ...]
    slash_width: float
    width: float


@lru_cache(maxsize=4)
def _font(weight: Weight) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(shipped("resources", "fonts", FONT_FILES[weight]), _DRAFT_PX)


@lru_cache(maxsize=4096)
def _advance(text: str, weight: Weight, tabular: bool) -> float:
    figures = _FIGURES.findall(text) if tabular else ()
    letters = _FIGURES.split(text) if tabular else (text,)
    length_px = sum(_font(weight).getlength(part) for part in letters)
    return float(length_px / _DRAFT_PX + TABULAR_FIGURE * sum(map(len, figures)))


def lay_text(
    text: str, size_mm: float, weight: Weight = 400, *, tabular: bool = True
) -> Lettered:
    """Lay out one line of text, its fractions built small.

    Parameters
    ----------
    text
        One line; ``4 3⁄4 in`` with U+2044 becomes a built fraction close behind its whole.
    size_mm
        The size of the letters (one em).
    weight
        400 or 600.
    tabular
        Whether all figures are equally wide, for columns.
    """
    runs: list[Run] = []
    slashes: list[tuple[Point, Point]] = []
    x = 0.0
    thick = SLASH_WIDTH[weight] * size_mm
    small = FIGURE * size_mm
    lift = CAPITAL * (size_mm - small)
    lean = SLASH_RUN * size_mm
    done = 0
    for found in _FRACTION.finditer(text):
        before = text[done : found.start()]
        done = found.end()
        if before:
            runs.append(Run(x, 0.0, before, size_mm))
            x += _advance(before, weight, tabular) * size_mm
            x += 0.06 * size_mm if before[-1].isdigit() else 0.28 * size_mm
        over, under = found.groups()
        runs.append(Run(x, -lift, over, small))
        x += _advance(over, weight, tabular) * small - 0.04 * size_mm
        slashes.append(((x, 0.02 * size_mm), (x + lean, -(CAPITAL + 0.02) * size_mm)))
        x += 0.60 * lean
        runs.append(Run(x, 0.0, under, small))
        x += _advance(under, weight, tabular) * small
    rest = text[done:]
    if rest or not runs:
        runs.append(Run(x, 0.0, rest, size_mm))
        x += _advance(rest, weight, tabular) * size_mm
    return Lettered(tuple(runs), tuple(slashes), thick, x)


def text_width(text: str, size_mm: float, weight: Weight = 400) -> float:
    """Tell how wide a line of text stands, in mm."""
    return lay_text(text, size_mm, weight).width


def anchored(item: Text) -> tuple[Lettered, float]:
    """Lay out a text item; the second figure is how far left of its point it begins."""
    lettered = lay_text(item.text, item.size_mm, item.weight, tabular=item.tabular)
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor]
    return lettered, lettered.width * share


def elide(text: str, width_mm: float, size_mm: float, weight: Weight = 400) -> str:
    """Shorten a text with an ellipsis until it fits; a text that fits is left alone."""
    if text_width(text, size_mm, weight) <= width_mm:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        tried = text[:middle].rstrip() + ELLIPSIS
        if text_width(tried, size_mm, weight) <= width_mm:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + ELLIPSIS


def wrap(text: str, width_mm: float, size_mm: float, weight: Weight = 400) -> tuple[str, ...]:
    """Break a text into lines at its spaces; a word wider than the line is broken inside.

    A space before a fraction or a unit (``4 3⁄4 in``) never ends a line.
    """
    glued = re.sub(rf"(\d) (?=\d+{FRACTION_SLASH}\d)", "\\1\u00a0", text)
    glued = re.sub(r"(\d) (?=(in|cm|mm)\b)", "\\1\u00a0", glued)
    lines: list[str] = []
    current = ""
    for word in glued.split(" "):
        tried = f"{current} {word}" if current else word
        if text_width(tried, size_mm, weight) <= width_mm:
            current = tried
            continue
        if current:
            lines.append(current)
        current = word
        while len(current) > 1 and text_width(current, size_mm, weight) > width_mm:
            cut = _longest_start(current, width_mm, size_mm, weight)
            lines.append(current[:cut])
            current = current[cut:]
    lines.append(current)
    return tuple(lines)


def _longest_start(word: str, width_mm: float, size_mm: float, weight: Weight) -> int:
    for end in range(len(word) - 1, 1, -1):
        if text_width(word[:end], size_mm, weight) <= width_mm:
            return end
    return 1
