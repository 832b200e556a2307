"""From the place of a cloth in its photo to its swatch and its reading."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

import msgspec

from quiltboard.fabrics.fabric import Corners, Reading, Swatch
from quiltboard.fabrics.measure import SMALL, SMALL_PX, mean_colour_hex, measure_cloth
from quiltboard.fabrics.prints import read_print
from quiltboard.photos.encode import encode_png
from quiltboard.photos.light import Light, Pixels, encode_light, light_of
from quiltboard.photos.lighting import Lighting, set_right
from quiltboard.photos.ruler import Ruler, swatch_width
from quiltboard.photos.soundness import soundness_warnings
from quiltboard.photos.straighten import size_in_photo, straight_light
from quiltboard.units import Length

LONGEST_SWATCH_PX: Final = 640


class Cut(NamedTuple):
    """A cloth cut from its photo and measured.

    Attributes
    ----------
    light
        ndarray of shape (M, N, 3), linear light, straight and set right: the swatch.
    reading
        What it measures.
    colour
        The colour it mixes to.
    width
        How wide a stretch of cloth it shows; None while its scale is not known.
    """

    light: Light
    reading: Reading
    colour: str
    width: Length | None

    def swatch(self) -> Swatch:
        """Encode it."""
        height_px, width_px, _ = self.light.shape
        return Swatch(encode_png(encode_light(self.light)), width_px, height_px, self.width)


def cut_cloth(
    pixels: Pixels,
    corners: Corners,
    lighting: Lighting,
    ruler: Ruler | None = None,
    *,
    name: str,
    in_srgb: Callable[[Pixels], Pixels] | None = None,
) -> Cut:
    """Straighten a cloth, set its light right, and measure it.

    Parameters
    ----------
    pixels
        The photo.
    corners
        Where the cloth lies in it.
    lighting
        How the photo's light is set right.
    ruler
        A known length in the photo.
    name
        What to call the photo in a sentence.
    in_srgb
        Turns pixels of the photo's own colours into sRGB; None where they are.

    Raises
    ------
    PhotoError
        If the corners hold no cloth.
    ScaleError
        If the ruler tells nothing of this cloth.
    """
    taken: Light = straight_light(pixels, corners, LONGEST_SWATCH_PX, name=name)
    if in_srgb is not None:
        taken = light_of(in_srgb(encode_light(taken)))
    right = set_right(taken, lighting, corners)
    reading = measure_cloth(taken, right)
    warnings = [*reading.warnings, *soundness_warnings(encode_light(taken))]
    if min(size_in_photo(pixels, corners)) < SMALL_PX:
        warnings.append(SMALL)
    (high, wide, _), (height_px, width_px, _) = pixels.shape, right.shape
    width = width_of(ruler, corners, (wide, high), (width_px, height_px))
    reading = msgspec.structs.replace(
        reading, warnings=tuple(warnings), print=read_print(right, width)
    )
    return Cut(right, reading, mean_colour_hex(right), width)


def width_of(
    ruler: Ruler | None,
    corners: Corners,
    photo_px: tuple[int, int],
    swatch_px: tuple[int, int],
) -> Length | None:
    """Tell how wide a stretch of cloth a swatch shows; None without a ruler.

    Raises
    ------
    ScaleError
        If the ruler tells nothing of this cloth.
    """
    return None if ruler is None else swatch_width(ruler, corners, photo_px, swatch_px)
