"""The four ways of seeing, as pixel arithmetic: colour, grey, value steps, squint.

The eye mixes light, so whatever averages pixels here (a squint, a picture made smaller)
averages linear light, never the encoded values.

References
----------
IEC 61966-2-1 (sRGB); CIE e-ILV 17-23-076 (L*).
"""

from __future__ import annotations

from functools import lru_cache
from io import BytesIO
from typing import Any, Final, Literal

import numpy as np
import skimage
from PIL import Image

from quiltboard.fabrics.fabric import Step
from quiltboard.fabrics.steps import MOST_STEPS, USUAL_STEPS, step_names
from quiltboard.photos.light import Pixels, averaged_light, encode_light, light_of
from quiltboard.photos.lightness import XYZ_OF_LIGHT, value_of_luminance

Seeing = Literal["colour", "grey", "steps", "squint"]

SQUINT_MM: Final = 0.42 * 25.4
"""Sigma of the blur of a squint from across the room."""
STEP_VALUES: Final = {"light": 88.0, "medium": 58.0, "dark": 24.0}
"""The flat L* that each of three value steps is shown in; other numbers of steps are spread
evenly between the lightest and the darkest of them."""
_LUMINANCE: Final = XYZ_OF_LIGHT[1].astype(np.float32)


def grey_of(pixels: Pixels) -> Pixels:
    """Show only how light each pixel is: the grey of the same L*.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.

    Returns
    -------
    ndarray of shape (M, N, 3), sRGB uint8
    """
    luminance = light_of(pixels) @ _LUMINANCE
    return np.repeat(encode_light(luminance)[..., None], 3, axis=2)


@lru_cache(maxsize=512)
def grey_colour(colour: str) -> str:
    """Give the grey of a plain ``#rrggbb`` that reads as light."""
    grey = int(grey_of(np.array([[_rgb(colour)]], dtype=np.uint8))[0, 0, 0])
    return f"#{grey:02x}{grey:02x}{grey:02x}"


def lightness(colour: str) -> float:
    """Give the L* of a plain ``#rrggbb``."""
    return float(
        value_of_luminance(light_of(np.array(_rgb(colour), dtype=np.uint8)) @ _LUMINANCE)
    )


def grey_of_value(value: float) -> str:
    """Give the grey ``#rrggbb`` of an L*."""
    y = ((value + 16) / 116) ** 3 if value > 8 else value * 27 / 24389
    grey = int(encode_light(np.array(y, dtype=np.float32)))
    return f"#{grey:02x}{grey:02x}{grey:02x}"


def step_value(step: Step, count: int = USUAL_STEPS) -> float | None:
    """Give the flat L* that a value step is shown in.

    Parameters
    ----------
    step
        Which one.
    count
        How many steps the set has; a step that is none of them (a set of fewer values than
        steps has a medium) stands where it would among seven.

    Returns
    -------
    float or None
        None for a cloth that is both light and dark.

    Examples
    --------
    >>> [round(step_value(step, 4), 1) for step in ("light", "light medium", "dark medium")]
    [88.0, 66.7, 45.3]
    """
    if step == "mixed":
        return None
    names = step_names(count)
    if step not in names:
        names = step_names(MOST_STEPS)
    if len(names) == USUAL_STEPS:
        return STEP_VALUES[step]
    dark, light = STEP_VALUES["dark"], STEP_VALUES["light"]
    return dark + (light - dark) * names.index(step) / (len(names) - 1)


def step_colour(step: Step, count: int = USUAL_STEPS) -> str | None:
    """Give the flat grey of a value step; None for a cloth that is both light and dark.

    Parameters
    ----------
    step
        Which one.
    count
        How many steps the set has.
    """
    value = step_value(step, count)
    return None if value is None else grey_of_value(value)


def squint(pixels: Pixels, sigma_px: float) -> Pixels:
    """Blur a picture as squinting does, in linear light; its edge pixels run on outside.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first.
    sigma_px
        The Gaussian's sigma.

    Returns
    -------
    ndarray of shape (M, N, 3), sRGB uint8
    """
    filters: Any = skimage.filters
    blurred = filters.gaussian(
        light_of(pixels), sigma_px, mode="nearest", channel_axis=-1, preserve_range=True
    )
    return encode_light(blurred)


def smaller(pixels: Pixels, times: int) -> Pixels:
    """Make a picture so many times smaller, mixing light as the eye does from farther off."""
    if times <= 1:
        return pixels
    height, width, _ = pixels.shape
    size = (max(1, round(width / times)), max(1, round(height / times)))
    return encode_light(averaged_light(pixels, *size))


def read_pixels(picture: bytes) -> Pixels:
    """Read one of the program's own encoded swatches as sRGB uint8, rows first."""
    with Image.open(BytesIO(picture), formats=("PNG", "JPEG")) as opened:
        return np.asarray(opened.convert("RGB"), dtype=np.uint8)


def to_png(pixels: Pixels, px_per_mm: float | None = None) -> bytes:
    """Encode sRGB uint8 as PNG, quickly rather than small, with its true scale if known."""
    kept = BytesIO()
    scale = {} if px_per_mm is None else {"dpi": (px_per_mm * 25.4, px_per_mm * 25.4)}
    Image.fromarray(pixels).save(kept, "PNG", compress_level=3, **scale)
    return kept.getvalue()


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
