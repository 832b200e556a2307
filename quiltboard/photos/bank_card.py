"""A card of the size of bank and library cards (ID-1) in a photo, to tell true sizes by.

Such cards lie in every purse and are alike to a tenth of a millimetre: 85.60 × 53.98 mm, their
corners rounded by 3.18 mm. A four-sided thing is taken for one only where its sides stand to
each other as a card's do, as far as perspective allows, and its corners are round as a card's.

References
----------
ISO/IEC 7810:2019, clause 5, identification card of size ID-1.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from quiltboard.photos.corners import Corners
from quiltboard.photos.light import LIGHT_OF
from quiltboard.photos.ruler import Ruler, seen_proportion
from quiltboard.photos.straight_edges import BINS, Sides, bins_apart, find_edges, straight_parts
from quiltboard.photos.straighten import Quad, homography
from quiltboard.units import millimetres

if TYPE_CHECKING:
    from quiltboard.photos.light import Pixels

LONG_MM: Final = 85.60
SHORT_MM: Final = 53.98
ROUND_MM: Final = 3.18

Floats = npt.NDArray[np.floating[Any]]

_LEAST_SIDE_PX: Final = 100
_LOOKED_AT_PX: Final = 560
_SQUARENESS: Final = 0.5
_MOST_OVERRUN_PX: Final = 3.5
_LEAST_LONG: Final = 0.09
_MOST_SHORT: Final = 0.6
_MOST_ASKEW: Final = 0.35
_LEAST_SHOWN: Final = 0.5
_SAME_PX: Final = 2.0
_MOST_JUDGED: Final = 14
_MOST_COMPARED: Final = 120

_LENSES: Final = (0.62, 0.75, 0.95)
_PROPORTION_SLACK: Final = 0.02
_ROUGH_SLACK: Final = 0.2

_SAMPLES: Final = 48
_REACH_PX: Final = 2.2
_LEAST_SUPPORT: Final = 0.6
_RADII_MM: Final = np.arange(0.0, 7.01, 0.25)
_ROUND_BETWEEN_MM: Final = (2.2, 4.4)
_HARDLY_ROUND_MM: Final = 1.4
_HALF_EDGE_MM: Final = 0.5
_PLACES: Final = 40


class _Judged(NamedTuple):
    support: float
    quad: Quad


def card_ruler(corners: Corners) -> Ruler:
    """Give the ruler that a card in the photo is.

    It runs from the middle of one short side to the middle of the other, which is 85.60 mm.

    Parameters
    ----------
    corners
        The card's corners as fractions of the photo, in turn, from one end of a long side to
        the other end of it, as `find_id1_card` gives them.
    """
    square = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=np.float64)
    to_photo = homography(square, np.array(corners, dtype=np.float64))
    ends = np.array([(0, 0.5, 1), (1, 0.5, 1)]) @ to_photo.T
    (a, b), (c, d) = (ends[:, :2] / ends[:, 2:]).tolist()
    return Ruler((a, b), (c, d), millimetres("85.60"), "card")


def find_id1_card(pixels: Pixels) -> Corners | None:
    """Find a card of size ID-1 in a photo, if there is no doubt.

    It may be light, dark or printed, lie anywhere and be seen aslant, but must stand out from
    what it lies on along all four sides. Where two things could be one there is none.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first; a photo of about 1600 px.

    Returns
    -------
    tuple of four (x, y), or None
        Fractions of the photo, clockwise, from one end of a long side to its other end.
    """
    height, width, _ = pixels.shape
    if min(height, width) < _LEAST_SIDE_PX:
        return None
    times = max(1, math.ceil(max(height, width) / _LOOKED_AT_PX))
    edges = find_edges(np.asarray(Image.fromarray(pixels).reduce(times)))
    rough = _four_sided(straight_parts(edges), edges) * times
    found: list[_Judged] = []
    for quad in rough[:_MOST_JUDGED]:
        judged = _judged(pixels, quad, times)
        if judged is not None:
            found.append(judged)
    if not found:
        return None
    best = max(found, key=lambda one: one.support)
    middle = best.quad.mean(axis=0)
    reach = np.linalg.norm(best.quad - middle, axis=1).min()
    if any(np.linalg.norm(one.quad.mean(axis=0) - middle) > reach / 3 for one in found):
        return None
    a, b, c, d = ((x, y) for x, y in (best.quad / (width, height)).tolist())
    return a, b, c, d


# --- four of them round a card ----------------------------------------------------------------


def _four_sided(sides: Sides, edges: Floats) -> Floats:
    """Give quadrilaterals of about a card's proportions, those with the clearest sides first.

    Returns
    -------
    ndarray of shape (Q, 4, 2)
        Clockwise, a long side first.
    """
    rings = _rings(sides, _LEAST_LONG * max(edges.shape))
    quads = _crossings(sides.start[rings], sides.along[rings])
    spans = _spans(quads)
    proportion = (spans[:, 0] + spans[:, 2]) / (spans[:, 1] + spans[:, 3])
    quads = quads[np.abs(np.log(proportion * SHORT_MM / LONG_MM)) < _ROUGH_SLACK]
    shown = _shown(edges, quads)
    clear = shown.min(axis=1) >= _LEAST_SHOWN
    quads, merit = quads[clear], shown[clear].mean(axis=1)
    kept: list[Floats] = []
    for quad in quads[np.argsort(-merit)[:_MOST_COMPARED]]:
        turned = np.roll(quad, 2, axis=0)
        if not any(
            min(np.abs(quad - one).max(), np.abs(turned - one).max()) < _SAME_PX for one in kept
        ):
            kept.append(quad)
    return np.array(kept).reshape(-1, 4, 2)


def _shown(edges: Floats, quads: Floats) -> Floats:
    """Tell how much of each side of each quadrilateral runs along an edge.

    Returns
    -------
    ndarray of shape (Q, 4)
        0 to 1.
    """
    ahead = np.roll(quads, -1, axis=1) - quads
    out = np.stack([ahead[..., 1], -ahead[..., 0]], axis=-1)
    turns = np.arctan2(out[..., 1], out[..., 0]) * (BINS / np.pi)
    shares = np.linspace(0.08, 0.92, 32)[:, np.newaxis]
    places = quads[:, :, np.newaxis] + ahead[:, :, np.newaxis] * shares
    aside = out / _spans(quads)[..., np.newaxis]
    height, width = edges.shape
    hit = np.zeros(places.shape[:3], dtype=np.bool_)
    for off in (-1, 0, 1):
        x, y = np.moveaxis(places + off * aside[:, :, np.newaxis], -1, 0)
        column, row = (
            np.clip(x, 0, width - 1).astype(int),
            np.clip(y, 0, height - 1).astype(int),
        )
        hit |= bins_apart(edges[row, column], turns[..., np.newaxis]) <= 1
    shown: Floats = hit.mean(axis=2)
    return shown


def _rings(sides: Sides, least: float) -> npt.NDArray[np.intp]:
    """Find four edges that meet end to end: a long one, then clockwise.

    Returns
    -------
    ndarray of shape (Q, 4)
        The numbers of the edges.
    """
    origin, along, lengths = sides.start, sides.along, sides.lengths
    cross = along[:, 0, np.newaxis] * along[:, 1] - along[:, 1, np.newaxis] * along[:, 0]
    apart = origin[np.newaxis] - origin[:, np.newaxis]
    askew = np.abs(cross) >= _SQUARENESS
    # Where along edge i the line of edge j crosses it, and how far beyond either end that is.
    at = (apart[..., 0] * along[:, 1] - apart[..., 1] * along[:, 0]) / np.where(askew, cross, 1)
    gaps = np.stack([-at, at - lengths[:, np.newaxis]])
    slack = np.maximum(4.0, _MOST_SHORT * lengths)[:, np.newaxis]
    meets = (gaps >= -_MOST_OVERRUN_PX) & (gaps <= slack) & askew
    long_enough = lengths > 0.4 * least
    # joined[e, f, i, j]: end e of edge i meets end f of edge j.
    joined = meets[:, np.newaxis] & meets.transpose(0, 2, 1)[np.newaxis] & long_enough
    # Going along i with the card to the right, the next side turns right, the last came so.
    rings = []
    for i in np.flatnonzero(lengths > 0.6 * least).tolist():
        for e in (0, 1):
            way = 1 if e else -1
            nexts = [
                (j, f)
                for f in (0, 1)
                for j in np.flatnonzero(
                    joined[e, f, i]
                    & (way * (1 - 2 * f) * cross[i] > 0)
                    & (lengths < 1.1 * lengths[i])
                ).tolist()
            ]
            lasts = [
                (k, g)
                for g in (0, 1)
                for k in np.flatnonzero(
                    joined[1 - e, g, i]
                    & (way * (1 - 2 * g) * cross[i] > 0)
                    & (lengths < 1.1 * lengths[i])
                ).tolist()
            ]
            if not nexts or not lasts:
                continue
            j, f = np.array(nexts).T
            k, g = np.array(lasts).T
            from_j, from_k = joined[1 - f, :, j], joined[1 - g, ::-1, k]
            closing = (from_j[:, np.newaxis] & from_k).any(axis=2)
            closing &= (np.abs(cross[j][:, k]) < _MOST_ASKEW)[..., np.newaxis]
            one, other, across = np.nonzero(closing)
            rings.append(np.column_stack([np.full(len(across), i), j[one], across, k[other]]))
    return np.concatenate(rings) if rings else np.zeros((0, 4), dtype=np.intp)


def _spans(quads: Floats) -> Floats:
    spans: Floats = np.linalg.norm(np.roll(quads, -1, axis=-2) - quads, axis=-1)
    return spans


def _crossings(origin: Floats, along: Floats) -> Floats:
    """Give the corners of sides that follow each other: from the last with the first on."""
    before, way = np.roll(origin, 1, axis=-2), np.roll(along, 1, axis=-2)
    apart = origin - before
    at = (apart[..., 0] * along[..., 1] - apart[..., 1] * along[..., 0]) / (
        way[..., 0] * along[..., 1] - way[..., 1] * along[..., 0]
    )
    return before + way * at[..., np.newaxis]


# --- looked at closely ------------------------------------------------------------------------


def _judged(pixels: Pixels, rough: Quad, times: int) -> _Judged | None:
    """Fit the sides to the full photo, and tell whether this is a card."""
    quad = rough
    support = 1.0
    for reach in (_REACH_PX * times, _REACH_PX * 1.5):
        lines = []
        for side in range(4):
            *line, shown = _fitted(pixels, quad, side, reach)
            if shown < _LEAST_SUPPORT:
                return None
            lines.append(line)
            support = min(support, shown)
        origin, along = np.array(lines).transpose(1, 0, 2)
        quad = _crossings(origin, along).astype(np.float64)
    height, width, _ = pixels.shape
    inside = ((quad >= 0) & (quad <= (width, height))).all()
    strayed = np.abs(quad - rough).max() > _spans(rough).min() / 4
    return _Judged(support, quad) if inside and not strayed and _is_id1(pixels, quad) else None


def _is_id1(pixels: Pixels, quad: Quad) -> bool:
    height, width, _ = pixels.shape
    a, b, c, d = ((x, y) for x, y in (quad / (width, height)).tolist())
    seen = [1 / seen_proportion((a, b, c, d), (width, height), lens) for lens in _LENSES]
    low, high = min(seen) * (1 - _PROPORTION_SLACK), max(seen) * (1 + _PROPORTION_SLACK)
    return low <= LONG_MM / SHORT_MM <= high and _is_round(pixels, quad)


def _fitted(
    pixels: Pixels, quad: Quad, side: int, reach_px: float
) -> tuple[Floats, Floats, float]:
    """Fit a line to one side: a point of it, its direction, and how much of it is there."""
    start, end = quad[side], quad[(side + 1) % 4]
    along = (end - start) / np.linalg.norm(end - start)
    out = np.array([along[1], -along[0]])
    shares = np.linspace(0.1, 0.9, _SAMPLES)
    steps = np.arange(-reach_px - 1.5, reach_px + 1.51, 0.5)
    places = (
        start + (end - start) * shares[:, np.newaxis, np.newaxis] + out * steps[:, np.newaxis]
    )
    light = ndimage.uniform_filter1d(_sampled(pixels, places), 3, axis=0)
    rise = light[:, 4:] - light[:, :-4]
    edge = np.linalg.norm(rise, axis=-1)
    offs = steps[2:-2]
    # The straight line along which most of the side shows a step, however strong here or there.
    clipped = np.minimum(edge, 1.5 * np.median(edge.max(axis=1)))
    tilts = np.linspace(-1, 1, 17) * min(reach_px, 4.0)
    ways = shares * 2 - 1
    columns = np.arange(len(offs))
    shifted = np.rint(tilts[:, np.newaxis] * ways / 0.5).astype(int)
    at = columns[np.newaxis, np.newaxis] + shifted[..., np.newaxis]
    inside = (at >= 0) & (at < len(offs))
    rows = np.arange(_SAMPLES)[np.newaxis, :, np.newaxis]
    sums = np.where(inside, clipped[rows, np.clip(at, 0, len(offs) - 1)], 0).sum(axis=1)
    tilt, column = np.unravel_index(int(sums.argmax()), sums.shape)
    guess = offs[column] + tilts[tilt] * ways
    near = np.abs(offs - guess[:, np.newaxis]) <= 1.5
    local = np.where(near, edge, 0)
    strongest = local.max(axis=1)
    shown = strongest >= 0.4 * np.median(strongest)
    clear = strongest >= 1.6 * np.median(edge, axis=1)
    weights = local**2
    spots = (weights * offs).sum(axis=1) / np.maximum(weights.sum(axis=1), 1e-12)
    good = shown & clear
    support = float(good.mean())
    if support < _LEAST_SUPPORT:
        return start, along, support
    for _ in range(2):
        fit = np.polynomial.polynomial.polyfit(ways[good], spots[good], 1)
        left = spots - np.polynomial.polynomial.polyval(ways, fit)
        spread = max(0.3, 2 * float(np.median(np.abs(left[good]))))
        good &= np.abs(left) <= spread
    support = min(support, float((np.abs(left) <= 1.0).mean()))
    low, high = np.polynomial.polynomial.polyval(np.array([-1.0, 1.0]), fit)
    a = start + (end - start) * 0.1 + out * low
    b = start + (end - start) * 0.9 + out * high
    return a, (b - a) / np.linalg.norm(b - a), support


def _is_round(pixels: Pixels, quad: Quad) -> bool:
    """Tell whether the corners are rounded as a card's are."""
    flat = np.array([(0, 0), (LONG_MM, 0), (LONG_MM, SHORT_MM), (0, SHORT_MM)])
    scores = _round_scores(pixels, homography(flat, quad), flat)
    each = _RADII_MM[scores.argmax(axis=1)]
    together = _RADII_MM[int(scores.sum(axis=0).argmax())]
    low, high = _ROUND_BETWEEN_MM
    return bool(low <= together <= high) and int((each >= _HARDLY_ROUND_MM).sum()) >= 3


def _round_scores(pixels: Pixels, to_photo: Floats, flat: Floats) -> Floats:
    """Tell how clear an edge runs round each corner for each radius it may be rounded by.

    Returns
    -------
    ndarray of shape (4, R)
        1 for the clearest of each corner.
    """
    ahead = np.roll(flat, -1, axis=0) - flat
    ahead = ahead / np.linalg.norm(ahead, axis=1, keepdims=True)
    # Rows: towards the corner before, towards the next.
    ways = np.stack([-np.roll(ahead, 1, axis=0), ahead], axis=1)
    middle = flat[:, np.newaxis, np.newaxis] + np.einsum("rnw,cwx->crnx", _ROUND_IT, ways)
    normal = np.einsum("rnw,cwx->crnx", _OUT_OF_IT, ways) * _HALF_EDGE_MM
    outer = _sampled(pixels, _through(to_photo, middle + normal))
    rise = _sampled(pixels, _through(to_photo, middle - normal)) - outer
    own = np.median(rise[:, :, [0, 1, 2, 3, -4, -3, -2, -1]], axis=(1, 2))
    own = own / np.maximum(np.linalg.norm(own, axis=1, keepdims=True), 1e-9)
    scores: Floats = np.einsum("crnl,cl->cr", rise, own)
    scores /= np.maximum(np.abs(scores).max(axis=1, keepdims=True), 1e-9)
    return scores


def _ways_round() -> tuple[Floats, Floats]:
    """Give places along the way round a corner for each radius, and what points out there.

    Returns
    -------
    places, normals : ndarray of shape (R, N, 2)
        Millimetres from the sharp corner along its one side and its other.
    """
    reach = float(_RADII_MM[-1])
    shares = (np.arange(_PLACES) + 0.5) / _PLACES
    places, normals = [], []
    for radius in _RADII_MM.tolist():
        straight, bend = reach - radius, radius * np.pi / 2
        on = shares * (2 * straight + bend)
        turn = np.clip((on - straight) / max(radius, 1e-9), 0, np.pi / 2)
        u = np.maximum(reach - on, radius) - radius * np.sin(turn)
        v = np.maximum(on - straight - bend, 0) + radius * (1 - np.cos(turn))
        places.append(np.column_stack([u, v]))
        normals.append(np.column_stack([-np.sin(turn), -np.cos(turn)]))
    return np.array(places), np.array(normals)


_ROUND_IT, _OUT_OF_IT = _ways_round()


def _through(map_: Floats, places: Floats) -> Floats:
    there = places @ map_[:, :2].T + map_[:, 2]
    return there[..., :2] / there[..., 2:]


def _sampled(pixels: Pixels, places: Floats) -> Floats:
    """Give the light at places between pixels."""
    height, width, _ = pixels.shape
    x = np.clip(places[..., 0] - 0.5, 0, width - 1.001)
    y = np.clip(places[..., 1] - 0.5, 0, height - 1.001)
    column, row = x.astype(np.intp), y.astype(np.intp)
    u, v = (x - column)[..., np.newaxis], (y - row)[..., np.newaxis]
    a, b = LIGHT_OF[pixels[row, column]], LIGHT_OF[pixels[row, column + 1]]
    c, d = LIGHT_OF[pixels[row + 1, column]], LIGHT_OF[pixels[row + 1, column + 1]]
    light: Floats = (a * (1 - u) + b * u) * (1 - v) + (c * (1 - u) + d * u) * v
    return light
