"""The colours of a print: which there are, how much of each, and what they are called.

References
----------
CIE 15:2018, L*a*b*, hue angle and chroma. Kelly and Judd 1976, "Color: Universal Language and
Dictionary of Names" (NBS Special Publication 440), for brown as dark or dull orange and yellow
and for pink as light red; the bounds themselves are common practice, no source.
"""

from __future__ import annotations

import math
from typing import Any, Final, Literal

import numpy as np
import numpy.typing as npt

from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.fabrics.reading import Lab, Tint
from quiltboard.photos.light import (
    LIGHT_OF,
    Mask,
    Pixels,
    averaged_light,
    encode_light,
    filled,
    fitted_size,
)
from quiltboard.photos.lightness import lab_of_light

HueFamily = Literal[
    "red", "orange", "yellow", "green", "blue-green", "blue", "purple", "pink", "brown",
    "white", "grey", "black",
]  # fmt: skip
Warmth = Literal["warm", "cool", "neutral"]

MOST_TINTS: Final = 6
LEAST_SHARE: Final = 0.02
"""A colour on less of the cloth than this is no colour of its own."""
ONE_COLOUR_WITHIN: Final = 8.0
"""CIEDE2000 within which two colours of a print are one."""
GREY_CHROMA: Final = 8.0
"""Below this chroma a colour is white, grey or black; a white may have twice that (cream)."""
LEAST_LEAN: Final = 6.0
"""How far, in CIELAB units, a colour must lean to be warm or cool."""

_HUES: Final[tuple[tuple[float, HueFamily], ...]] = (
    (45, "red"),
    (72, "orange"),
    (108, "yellow"),
    (165, "green"),
    (225, "blue-green"),
    (308, "blue"),
    (340, "purple"),
    (360, "red"),
)
"""Each family up to a CIELAB hue angle in degrees."""
_WARMEST_DEG: Final = 50.0

SEEN_PX: Final = 256
"""The size a print's colours are told at: the weave is gone, the print is all there."""
_LEVELS: Final = 32
_STARTS: Final = 14
_ROUNDS: Final = 12
_STEEP: Final = 15
_EDGE_PART: Final = 0.5
_Array = npt.NDArray[np.float64]


def tints_of(pixels: Pixels, mask: Mask | None = None) -> tuple[Tint, ...]:
    """Find the colours of a print and how much of the cloth each covers.

    The colours are clustered (weighted k-means on a coarse histogram of a picture of at most
    256 px, always from the same start), and clusters that the eye takes for one are joined.
    What lies on an edge weighs little, so that the mixtures between two colours that a photo
    shows along their border count for nothing; a cluster made of them is dropped.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8: the swatch.
    mask
        ndarray of shape (M, N), True where there is cloth; None is everywhere.

    Returns
    -------
    tuple of Tint
        One to six, the largest share first; the shares add up to 1.

    Raises
    ------
    ValueError
        If there is no cloth at all.

    References
    ----------
    Lloyd 1982, "Least squares quantization in PCM", doi 10.1109/TIT.1982.1056489.
    """
    height, width, _ = pixels.shape
    light = averaged_light(filled(pixels, mask), *fitted_size(width, height, SEEN_PX))
    tally, areas, flats = _tallied(light)
    colours = lab_of_light(tally)
    kept = _kept(_joined(*_clustered(colours, flats)), colours, areas, flats)
    shares = _shares(kept, tally, areas, flats)
    order = np.argsort(-shares, kind="stable")
    return tuple(Tint(_plain(kept[at]), float(shares[at])) for at in order)


def hue_family(lab: Lab) -> HueFamily:
    """Name a colour as a quilter would who sorts by colour.

    Parameters
    ----------
    lab
        CIE L*a*b*.

    Examples
    --------
    >>> hue_family((45.0, 10.0, -45.0)), hue_family((35.0, 22.0, 30.0))
    ('blue', 'brown')
    """
    value, strength = lab[0], chroma(lab)
    if strength < GREY_CHROMA or (value >= 85 and strength < 2 * GREY_CHROMA):
        return "white" if value >= 80 else "black" if value < 22 else "grey"
    hue_deg = math.degrees(math.atan2(lab[2], lab[1])) % 360
    family = next(name for below, name in _HUES if hue_deg <= below)
    if family == "red" and value >= (40 if hue_deg > 45 else 50 if hue_deg < 25 else 65):
        return "pink"
    if hue_deg < 95 and family in {"orange", "yellow"} and (value < 50 or strength < 30):
        return "brown"
    return family


def warmth(lab: Lab) -> Warmth:
    """Tell whether a colour is warm or cool.

    Warm are the colours round a reddish orange, cool those opposite; greys, and the greens and
    purples halfway between, are neither.

    Parameters
    ----------
    lab
        CIE L*a*b*.

    Examples
    --------
    >>> warmth((60.0, 30.0, 40.0)), warmth((60.0, -20.0, -30.0)), warmth((60.0, 1.0, 2.0))
    ('warm', 'cool', 'neutral')
    """
    toward = math.radians(_WARMEST_DEG)
    lean = lab[1] * math.cos(toward) + lab[2] * math.sin(toward)
    return "warm" if lean > LEAST_LEAN else "cool" if lean < -LEAST_LEAN else "neutral"


def chroma(lab: Lab) -> float:
    """Tell how strong a colour is: its CIELAB chroma, 0 for a grey."""
    return math.hypot(lab[1], lab[2])


def _tallied(light: npt.NDArray[np.float32]) -> tuple[_Array, _Array, _Array]:
    """Tally a picture: its coarse colours (light), the area of each, the flat part of it."""
    picture = encode_light(light)
    flat = _flatness(picture).ravel()
    coded = picture.reshape(-1, 3)
    red, green, blue = (coded.astype(np.intp) * _LEVELS // 256).T
    bins = (red * _LEVELS + green) * _LEVELS + blue
    every = _LEVELS**3
    areas = np.bincount(bins, minlength=every).astype(np.float64)
    there = areas > 0
    sums = [_summed(bins, LIGHT_OF[coded[:, c]], every)[there] for c in range(3)]
    return (
        np.stack(sums, axis=-1) / areas[there, None],
        areas[there],
        _summed(bins, flat, every)[there],
    )


def _flatness(picture: Pixels) -> npt.NDArray[np.float32]:
    """Tell how flat a picture is about each pixel: 1, towards 0 on an edge."""
    # Encoded numbers are near enough to lightness: only edges are looked for.
    padded = np.pad(picture, ((1, 1), (1, 1), (0, 0)), mode="edge").astype(np.int16)
    across = np.abs(padded[1:-1, 2:] - padded[1:-1, :-2])
    down = np.abs(padded[2:, 1:-1] - padded[:-2, 1:-1])
    steep = np.maximum(across, down).max(axis=-1).astype(np.float32) / _STEEP
    flat: npt.NDArray[np.float32] = 1 / (1 + steep**4)
    return flat


def _clustered(colours: _Array, weights: _Array) -> tuple[_Array, _Array]:
    """Cluster weighted colours; give the middles, and the weight of each."""
    # Each start is the colour that is worst served by those before it.
    far = np.full(len(colours), np.inf)
    starts = [int(weights.argmax())]
    for _ in range(_STARTS - 1):
        far = np.minimum(far, ((colours - colours[starts[-1]]) ** 2).sum(axis=1))
        starts.append(int((far * weights).argmax()))
    middles = colours[np.unique(starts)]
    for _ in range(_ROUNDS):
        of = _nearest(colours, middles)
        held = _summed(of, weights, len(middles))
        sums = [_summed(of, weights * axis, len(middles)) for axis in colours.T]
        middles = (np.stack(sums, axis=-1) / np.maximum(held, 1e-12)[:, None])[held > 0]
    return middles, held[held > 0]


def _joined(middles: _Array, held: _Array) -> _Array:
    """Join the clusters nearest to each other until none look alike."""
    apart = delta_e_2000(middles[:, None], middles[None])
    np.fill_diagonal(apart, np.inf)
    while apart.min() < ONE_COLOUR_WITHIN:
        one, other = np.unravel_index(int(apart.argmin()), apart.shape)
        both = held[one] + held[other]
        middles[one] = (held[one] * middles[one] + held[other] * middles[other]) / both
        held[one], held[other] = both, 0
        apart[one] = apart[:, one] = delta_e_2000(middles, middles[one : one + 1])
        apart[held == 0] = apart[:, held == 0] = apart[one, one] = np.inf
    return middles[held > 0]


def _kept(middles: _Array, colours: _Array, areas: _Array, flats: _Array) -> _Array:
    """Drop what is no colour of its own: too little, or the mixtures along an edge."""
    while len(middles) > 1:
        of = _nearest(colours, middles)
        area = _summed(of, areas, len(middles))
        flat = _summed(of, flats, len(middles)) / np.maximum(area, 1)
        share = area / area.sum()
        mixture = [
            flat[at] < _EDGE_PART * flat.max() and _lies_between(at, middles)
            for at in range(len(middles))
        ]
        worth = np.where(mixture, 0.0, share)
        least = int(np.lexsort((share, worth))[0])
        if worth[least] >= LEAST_SHARE and len(middles) <= MOST_TINTS:
            break
        middles = np.delete(middles, least, axis=0)
    return middles


def _lies_between(at: int, middles: _Array) -> bool:
    """Tell whether a colour could be a mixture of two others."""
    others = np.delete(middles, at, axis=0)
    first, second = np.triu_indices(len(others), k=1)
    start, way = others[first], others[second] - others[first]
    along = ((middles[at] - start) * way).sum(axis=1) / (way**2).sum(axis=1)
    nearest = start + np.clip(along, 0, 1)[:, None] * way
    away = np.linalg.norm(nearest - middles[at], axis=1)
    return bool((away[(along > 0.1) & (along < 0.9)] < 2 * ONE_COLOUR_WITHIN).any())


def _shares(kept: _Array, tally: _Array, areas: _Array, flats: _Array) -> _Array:
    """Share the cloth out: the flat to the nearest colour, edges between the two they part."""
    if len(kept) == 1:
        return np.ones(1)
    of = _nearest(lab_of_light(tally), kept)
    flat = _summed(of, flats, len(kept))
    sums = [_summed(of, flats * axis, len(kept)) for axis in tally.T]
    light = np.stack(sums, axis=-1) / flat[:, None]
    first, second = np.triu_indices(len(kept), k=1)
    way = light[second] - light[first]
    along = ((tally[:, None] - light[first]) * way).sum(axis=-1) / (way**2).sum(axis=-1)
    along = np.clip(along, 0, 1)
    mixed = light[first] + along[..., None] * way
    away = ((np.cbrt(mixed) - np.cbrt(tally)[:, None]) ** 2).sum(axis=-1)
    pair = away.argmin(axis=1)
    part = along[np.arange(len(tally)), pair]
    edge = areas - flats
    shares = flat + _summed(first[pair], edge * (1 - part), len(kept))
    shares += _summed(second[pair], edge * part, len(kept))
    total: _Array = shares / shares.sum()
    return total


def _summed(of: npt.NDArray[np.intp], weights: npt.NDArray[Any], count: int) -> _Array:
    """Add up weights by what they are of."""
    return np.bincount(of, weights, count).astype(np.float64)


def _nearest(colours: _Array, middles: _Array) -> npt.NDArray[np.intp]:
    squared: _Array = (middles**2).sum(axis=1) - 2 * colours @ middles.T
    nearest: npt.NDArray[np.intp] = squared.argmin(axis=1)
    return nearest


def _plain(lab: _Array) -> Lab:
    value, a, b = lab.tolist()
    return value, a, b
