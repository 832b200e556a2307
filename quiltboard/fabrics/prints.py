"""What the print on a swatch is like, all together."""

from __future__ import annotations

from quiltboard.fabrics.colours import SEEN_PX, tints_of
from quiltboard.fabrics.direction import direction_of
from quiltboard.fabrics.likeness import Likeness, print_planes
from quiltboard.fabrics.print_size import contrast_of, feature_of, reads_as_solid
from quiltboard.fabrics.reading import Print
from quiltboard.fabrics.relief import relief_of
from quiltboard.fabrics.repeat import repeat_of
from quiltboard.photos.light import Light, encode_light, smaller
from quiltboard.units import Length


def read_print(light: Light, width: Length | None = None) -> Print:
    """Read a print: its colours, contrast and size, how it repeats, whether it has an up.

    Parameters
    ----------
    light
        ndarray of shape (M, N, 3), linear light of the straightened cloth, set right.
    width
        How wide a stretch of cloth it shows, if that is known: what reads as solid from across
        the room hangs on it.
    """
    pixels = encode_light(light)
    # Colours and sizes are told at a small size, which is made once.
    small = smaller(pixels, SEEN_PX)
    likeness = Likeness(print_planes(pixels))
    repeat = repeat_of(likeness)
    return Print(
        tints=tints_of(small),
        contrast=contrast_of(small),
        feature=feature_of(small, width),
        solid=reads_as_solid(small, width),
        repeat=repeat,
        direction=direction_of(likeness, repeat),
        relief=relief_of(light),
    )
