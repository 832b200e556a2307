"""What the print on a swatch is like, all together."""

from __future__ import annotations

from quiltboard.fabrics.colours import SEEN_PX, tints_of
from quiltboard.fabrics.direction import find_direction
from quiltboard.fabrics.print_size import contrast_of, feature_of, reads_as_solid
from quiltboard.fabrics.reading import Print
from quiltboard.fabrics.relief import relief_of
from quiltboard.fabrics.repeat import find_repeat
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
    repeat = find_repeat(pixels)
    return Print(
        tints=tints_of(small),
        contrast=contrast_of(small),
        feature=feature_of(small, width),
        solid=reads_as_solid(small, width),
        repeat=repeat,
        direction=find_direction(pixels, repeat),
        relief=relief_of(light),
    )
