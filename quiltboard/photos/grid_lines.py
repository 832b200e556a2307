"""The evenly spaced lines of a mat or a ruler in a photo, to tell true sizes by.

The maker clicks on the mat or the ruler and says how far apart its strongest lines are. Lines
are followed from there as far as they go, so that the length they give is a long one.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from quiltboard.photos.ruler import Ruler, ScaleError
from quiltboard.units import PER_INCH, PER_MM, Length

if TYPE_CHECKING:
    from quiltboard.photos.light import Pixels

OUTSIDE: Final = "Click inside the photo, on the lines of the mat or ruler."
NO_LINES: Final = (
    "No evenly spaced lines were found here: click on the mat where its lines are bare, or on"
    " the marks of the ruler, or set two points by hand."
)
NO_SPACING: Final = "Write how far apart the strongest lines are, such as 1 in or 1 cm."

Floats = npt.NDArray[np.floating[Any]]

_LEAST_SIDE_PX: Final = 64
_LOOK_ROUND: Final = 0.1
_WAYS: Final = 180
_MOST_WAYS: Final = 4
_LEAST_WAY: Final = 0.15
_SQUARE_WITHIN_DEG: Final = 20.0
_BESIDE: Final = 0.05
_BAND_PX: Final = 9
_SMOOTH_PX: Final = 0.8
_LINE_PX: Final = 9
_LEAST_STEP: Final = 4.0
_STRONG: Final = 0.55
_LEAST_LINES: Final = 5
_LEAST_PERIOD_PX: Final = 4.0
_EVEN: Final = 0.12
_OFF_LINE: Final = 0.12
_MOST_MISSING: Final = 2
_LEAST_TIMES: Final = {2: 2, 5: 3}
_MANY_TIMES: Final = 5
_LEAN_TOGETHER: Final = 21
_RUN_ON: Final = 0.4
_ABOUT_AS_MANY: Final = 0.85
_WIDE: Final = 0.02
_AIMED_DEG: Final = (-2.5, -1.2, -0.5, 0.5, 1.2, 2.5)
_HARDLY: Final = 1.05
_MOSTLY: Final = 0.8
_MARKS: Final = {2: 1.12, 5: 1.2}
_RUNNING: Final = {2: 1.35}
_TALLEST: Final = 14.0
_TALLEST_SHARE: Final = 0.05


class _Comb(NamedTuple):
    """Evenly spaced lines along a ray.

    Attributes
    ----------
    origin, ray, lines
        A place on the ray in pixels, the way it goes, and the way the lines go.
    fit
        What `_spot` tells the place of each line on the ray by.
    first, last
        The numbers of the outermost lines.
    sign
        1 where lines are lighter than what they are on, else -1.
    clear
        How much lighter or darker they are on the whole.
    """

    origin: Floats
    ray: Floats
    lines: Floats
    fit: Floats
    first: int
    last: int
    sign: int
    clear: float

    def at(self, counts: npt.NDArray[Any]) -> Floats:
        """Give where lines cross the ray, in pixels."""
        crossings: Floats = self.origin + self.ray * _spot(self.fit, counts)[:, np.newaxis]
        return crossings


def grid_ruler(pixels: Pixels, at: tuple[float, float], spacing: Length) -> Ruler:
    """Find the lines of a mat or ruler at a place that was clicked, and measure by them.

    Parameters
    ----------
    pixels
        ndarray of shape (M, N, 3), sRGB uint8, rows first; a photo of about 1600 px.
    at
        The place, as fractions of the photo's width and height.
    spacing
        How far apart the strongest lines are. Of a ruler that counts inches or centimetres by
        longer marks, a finer spacing is taken for that of its short marks.

    Returns
    -------
    Ruler
        From one line to another, as many lines apart as could be followed.

    Raises
    ------
    ScaleError
        If the place is outside the photo, the spacing is nothing, or there are no such lines.
    """
    if not (0 <= at[0] <= 1 and 0 <= at[1] <= 1):
        raise ScaleError(OUTSIDE)
    if spacing <= 0:
        raise ScaleError(NO_SPACING)
    height, width, _ = pixels.shape
    combs: list[_Comb] = []
    if min(height, width) >= _LEAST_SIDE_PX:
        value: Floats = pixels.astype(np.float32) @ np.array([0.3, 0.6, 0.1], np.float32)
        place = np.array([at[0] * width, at[1] * height])
        for lines, ray in _pairs_of_ways(value, place):
            combs += _combs(value, place, lines, ray, round(_BESIDE * max(height, width)))
    if not combs:
        raise ScaleError(NO_LINES)
    comb = _aimed(value, _best(combs))
    # What was followed may have been the gaps between the lines.
    (every, first), comb = max(
        ((_strongest(value, one), one) for one in (comb, _between(comb))),
        key=lambda found: found[0][0],
    )
    last = first + (comb.last - first) // every * every
    apart = _whole(spacing) if every > 1 else spacing
    (a, b), (c, d) = (comb.at(np.array([first, last])) / (width, height)).tolist()
    return Ruler((a, b), (c, d), Length((last - first) // every * apart), "grid")


def _whole(spacing: Length) -> Length:
    """Give what longer marks count where finer ones are that far apart."""
    of_inch = PER_INCH % spacing == 0
    return Length(max(spacing, PER_INCH if of_inch else 10 * PER_MM))


def _best(combs: list[_Comb]) -> _Comb:
    """Give the clearest of the combs that have about the most lines."""
    most = max(comb.last - comb.first for comb in combs)
    longest = [comb for comb in combs if comb.last - comb.first >= _ABOUT_AS_MANY * most]
    return max(longest, key=lambda comb: comb.clear)


def _aimed(value: Floats, comb: _Comb) -> _Comb:
    """Turn a comb's ray a little so that it follows more lines: a ruler is narrow."""
    others = [
        other
        for turn in np.radians(_AIMED_DEG).tolist()
        for other in _combs(
            value,
            comb.origin,
            comb.lines,
            comb.ray * math.cos(turn) + comb.ray[::-1] * (-math.sin(turn), math.sin(turn)),
            _BAND_PX,
        )
    ]
    return _best([comb, *others])


def _between(comb: _Comb) -> _Comb:
    """Give the comb of what lies half way between lines."""
    a, b, c = comb.fit.tolist()
    fit = np.array([a + b / 2, b, c]) / (1 + c / 2)
    return comb._replace(fit=fit, last=comb.last - 1, sign=-comb.sign)


def _strongest(value: Floats, comb: _Comb) -> tuple[int, int]:
    """Tell which of a comb's lines stand out: every how many, from which on.

    Marks are graded: every second or fifth is longer, of those again every second, and so on.
    """
    ink, run_on = _ink(value, comb, np.arange(comb.first, comb.last + 1))
    every, start = 1, 0
    while (found := _graded(ink[start::every], _RUNNING if run_on else _MARKS)) is not None:
        start += every * found[1]
        every *= found[0]
    return every, comb.first + start


def _graded(ink: Floats, by: dict[int, float]) -> tuple[int, int] | None:
    """Tell whether every second or fifth line stands out from its neighbours, and which.

    ``by`` tells how many times as strong as its neighbours it must be.
    """
    beside = (ink[:-2] + ink[2:]) / 2
    there = (ink[1:-1] > 0) & (beside > 0)
    shares = np.where(there, ink[1:-1], np.nan) / np.where(there, beside, 1)
    for every, least in by.items():
        classes = [shares[start::every] for start in range(every)]
        classes = [each[~np.isnan(each)] for each in classes]
        if min(len(each) for each in classes) < 1:
            continue
        typical = [float(np.median(each)) for each in classes]
        top = int(np.argmax(typical))
        own = classes[top]
        few = len(own) < _MANY_TIMES
        steady = float((own > _HARDLY).mean()) >= (1.0 if few else _MOSTLY)
        if len(own) >= _LEAST_TIMES[every] and steady and typical[top] > least:
            return every, (top + 1) % every
    return None


def _ink(
    value: Floats, comb: _Comb, counts: npt.NDArray[np.integer[Any]]
) -> tuple[Floats, bool]:
    """Tell how long and strong each line is on both sides of the ray, and whether they run on.

    A line is followed from the ray while it differs from what lies half way to its neighbours,
    along the way on which most is found: lines lean a little otherwise than was guessed, and
    perspective spreads them.
    """
    here, before, after = (comb.at(counts + off) for off in (0.0, -0.5, 0.5))
    period = float(np.median(np.linalg.norm(after - before, axis=1)))
    tallest = min(_TALLEST * period, _TALLEST_SHARE * max(value.shape))
    reach = np.arange(0, tallest, 2.0)[:, np.newaxis]
    leans = np.tan(np.radians(np.arange(-9, 10, 1.5))).tolist()
    ink, strength, through = (np.zeros((len(leans), len(counts))) for _ in range(3))
    for at, lean in enumerate(leans):
        for way in (1, -1):
            along = (comb.lines + lean * comb.ray) * (way * reach)
            line, left, right = (
                _at(value, spots[:, np.newaxis] + along) for spots in (here, before, after)
            )
            step = ndimage.uniform_filter1d(comb.sign * (line - (left + right) / 2), 3, axis=1)
            least = 0.4 * np.median(step[:, 0])
            followed = np.logical_and.accumulate(step > least, axis=1)
            ink[at] += np.where(followed, step, 0).sum(axis=1)
            strength[at] += np.maximum(np.median(step, axis=1), 0)
            through[at] = np.maximum(through[at], followed[:, -1])
    clear = ndimage.uniform_filter1d(ink**4, _LEAN_TOGETHER, axis=1)
    own = clear.argmax(axis=0), np.arange(len(counts))
    # Lines that run on and on, as on a mat, differ by how strong they are.
    wide = period > _WIDE * max(value.shape)
    run_on = wide or bool(through[own].mean() > _RUN_ON)
    return (strength if run_on else ink)[own], run_on


def _at(value: Floats, places: Floats) -> Floats:
    down_and_across = np.moveaxis(places - 0.5, -1, 0)[::-1]
    seen: Floats = ndimage.map_coordinates(value, down_and_across, order=1, mode="nearest")
    return seen


def _pairs_of_ways(value: Floats, place: Floats) -> list[tuple[Floats, Floats]]:
    """Find which way lines run round a place, and the way across that others run."""
    reach = round(_LOOK_ROUND * max(value.shape))
    column, row = place.astype(int).tolist()
    top, left = max(row - reach, 0), max(column - reach, 0)
    part = ndimage.gaussian_filter(
        value[top : row + reach + 1, left : column + reach + 1], _SMOOTH_PX
    )
    down, across = np.gradient(part)
    y, x = np.mgrid[: part.shape[0], : part.shape[1]]
    near = np.exp(-2 * ((x + left - column) ** 2 + (y + top - row) ** 2) / reach**2)
    strength = np.hypot(down, across)
    weights = np.where(strength > _LEAST_STEP, strength, 0) * near
    turn = (np.arctan2(down, across) + np.pi / 2) % np.pi
    bins = (turn / np.pi * _WAYS).astype(int) % _WAYS
    counted = np.bincount(bins.ravel(), weights.ravel(), _WAYS)
    smooth = ndimage.gaussian_filter1d(counted, 1.5, mode="wrap")
    crests = np.flatnonzero(
        (smooth > np.roll(smooth, 1))
        & (smooth >= np.roll(smooth, -1))
        & (smooth > _LEAST_WAY * smooth.max())
    )
    crests = crests[np.argsort(-smooth[crests])][:_MOST_WAYS]
    ways = []
    for crest in crests.tolist():
        left_, here, right = smooth[[(crest - 1) % _WAYS, crest, (crest + 1) % _WAYS]].tolist()
        off = (left_ - right) / 2 / (left_ - 2 * here + right)
        ways.append((crest + 0.5 + off) * 180 / _WAYS)
    pairs = []
    for lines in ways:
        across_ways = [way for way in ways if _off_square_deg(way, lines) < _SQUARE_WITHIN_DEG]
        pairs.append((_way(lines), _way(across_ways[0] if across_ways else lines + 90)))
    return pairs


def _off_square_deg(one: float, other: float) -> float:
    return abs((one - other) % 180 - 90)


def _way(turn_deg: float) -> Floats:
    return np.array([math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))])


def _combs(
    value: Floats, place: Floats, lines: Floats, ray: Floats, beside_px: int
) -> list[_Comb]:
    """Look along rays beside each other for evenly spaced lines that cross them."""
    height, width = value.shape
    on = np.arange(-math.hypot(width, height), math.hypot(width, height))
    along = place + ray * on[:, np.newaxis]
    inside = ((along >= 1) & (along <= (width - 2, height - 2))).all(axis=1)
    on, along = on[inside], along[inside]
    beside = np.arange(-beside_px, beside_px + 1, 2.0)
    places = along[:, np.newaxis] + lines * beside[:, np.newaxis]
    seen = _at(value, places)
    bands = ndimage.uniform_filter1d(seen, _BAND_PX, axis=1)[:, _BAND_PX // 2 :: _BAND_PX // 2]
    offs = beside[_BAND_PX // 2 :: _BAND_PX // 2]
    bands = ndimage.gaussian_filter1d(bands, _SMOOTH_PX, axis=0)
    ground = ndimage.uniform_filter1d(bands, 2 * _LINE_PX + 1, axis=0)
    combs: list[_Comb] = []
    for at, off in enumerate(offs.tolist()):
        for sign in (1, -1):
            profile = sign * (bands[:, at] - ground[:, at])
            comb = _comb(profile, on)
            if comb is not None:
                fit, first, last = comb
                crossings = _spot(fit, np.arange(first, last + 1))
                clear = float(np.interp(crossings, on, profile).mean())
                origin = place + lines * off
                combs.append(_Comb(origin, ray, lines, fit, first, last, sign, clear))
    return combs


def _comb(profile: Floats, on: Floats) -> tuple[Floats, int, int] | None:
    """Follow evenly spaced peaks outward from the middle of a profile."""
    here = profile[1:-1]
    peaks = 1 + np.flatnonzero(
        (here > profile[:-2]) & (here >= profile[2:]) & (here > _LEAST_STEP / 2)
    )
    if len(peaks) < _LEAST_LINES:
        return None
    before, top, after = profile[peaks - 1], profile[peaks], profile[peaks + 1]
    spots = on[peaks] + (before - after) / 2 / (before - 2 * top + after)
    # Strong is what is as strong as the strongest near the place; a glint may be stronger.
    near = np.argsort(np.abs(spots))[:60]
    strong = top > _STRONG * np.sort(top[near])[-min(3, len(near))]
    best: tuple[Floats, int, int] | None = None
    own = spots[strong]
    if len(own) < _LEAST_LINES:
        return None
    nearest = int(np.abs(own).argmin())
    for start in range(max(nearest - 2, 0), min(nearest + 2, len(own) - 3)):
        found = _followed(own, start)
        if found is not None and (best is None or found[2] - found[1] > best[2] - best[1]):
            best = found
    return best


def _followed(spots: Floats, start: int) -> tuple[Floats, int, int] | None:
    """Follow peaks from four of them that are evenly spaced, as perspective spaces them."""
    four = spots[start : start + 4]
    gaps = np.diff(four)
    if gaps.min() < _LEAST_PERIOD_PX or gaps.max() > gaps.min() * (1 + 2 * _EVEN):
        return None
    if abs(gaps[0] * gaps[2] / gaps[1] ** 2 - 1) > _EVEN:
        return None
    counts, places = [0, 1, 2, 3], four.tolist()
    fit = _fit(np.array(counts), four)
    due = 0.0
    for way in (1, -1):
        missing = 0
        while missing <= _MOST_MISSING:
            end = (max if way == 1 else min)(counts)
            count = end + way * (1 + missing)
            at, before = _spot(fit, np.array([count, count - way])).tolist()
            nearest = int(np.abs(spots - at).argmin())
            if abs(spots[nearest] - at) > _OFF_LINE * abs(at - before):
                missing += 1
                continue
            missing = 0
            counts.append(count)
            places.append(float(spots[nearest]))
            # What was fitted reaches a little further, so it is not fitted anew each time.
            if len(counts) >= due:
                fit = _fit(np.array(counts), np.array(places))
                due = 1 + 1.1 * len(counts)
    if len(counts) < _LEAST_LINES:
        return None
    numbers, there = np.array(counts), np.array(places)
    fit = _fit(numbers, there)
    first, last = min(counts), max(counts)
    left = np.abs(_spot(fit, numbers) - there)
    period = (there.max() - there.min()) / (last - first)
    if np.median(left) > 0.04 * period or len(counts) < 0.7 * (last - first + 1):
        return None
    return fit, first, last


def _fit(counts: npt.NDArray[np.integer[Any]], places: Floats) -> Floats:
    """Fit place = (a + b·count) / (1 + c·count), which is how perspective spaces lines."""
    if len(counts) < 2 * _LEAST_LINES:
        # So few lines tell their convergence badly.
        plain = np.column_stack([np.ones(len(counts)), counts, counts**2])
        a, b, bend = np.linalg.lstsq(plain, places, rcond=None)[0]
        return np.array([a, b - a * bend / b, -bend / b])
    equations = np.column_stack([np.ones(len(counts)), counts, -counts * places])
    solved: Floats = np.linalg.lstsq(equations, places, rcond=None)[0]
    return solved


def _spot(fit: Floats, counts: npt.NDArray[Any]) -> Floats:
    spots: Floats = (fit[0] + fit[1] * counts) / (1 + fit[2] * counts)
    return spots
