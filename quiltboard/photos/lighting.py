"""How the light of a photo is set right: white, exposure, and slow fall-off.

Everything here is linear light in the primaries of sRGB, and places are fractions of the
photo's width and height, so that what was found on a small copy holds for the whole.
"""

from __future__ import annotations

from typing import Final, Literal

import msgspec
import numpy as np
import numpy.typing as npt

from quiltboard.photos.corners import Corners
from quiltboard.photos.fall_off import FallOff, Floats, powers
from quiltboard.photos.light import Light
from quiltboard.photos.lightness import WHITE, XYZ_OF_LIGHT

Reference = Literal["white card", "grey card", "white sheet"]
"""What in the photo its white and exposure were set by."""

Gains = tuple[
    tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]
]

REFLECTED: Final[dict[Reference, float]] = {
    "white card": 0.88,
    "grey card": 0.18,
    "white sheet": 0.87,
}
"""How much light each gives back. A white card is taken for L* 95 (Munsell N 9.5, the white of
photographers' charts), writing paper for a little less; the grey card is made to 18 %."""

NO_GAIN: Final[Gains] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class Lighting(msgspec.Struct, frozen=True):
    """What a photo's light is multiplied by, so that it compares with other photos.

    Attributes
    ----------
    reference
        What set white and exposure; None for a photo that is not calibrated.
    at
        Where that lay in the photo, as fractions of its width and height.
    gains
        The 3 × 3 matrix that linear light is multiplied by (light as a column: red, green,
        blue).
    fall_off
        The slow fall-off of light over the cloth: natural logarithm of the light as a
        polynomial in x, y, x², xy, y², with x and y from -1 to 1 across and down the photo;
        it is divided out. Empty: none was found.
    lamp
        Whether it was lamp light, whose colours no correction brings back whole.
    """

    reference: Reference | None = None
    at: tuple[float, float] | None = None
    gains: Gains = NO_GAIN
    fall_off: FallOff | None = None
    lamp: bool = False

    @property
    def calibrated(self) -> bool:
        """Whether the photo can be compared with others."""
        return self.reference is not None


AS_TAKEN: Final = Lighting()

_LAMP_BELOW_K: Final = 4500.0
_TUBE_FROM_K: Final = 3500.0
_OFF_DAYLIGHT: Final = 0.012

_BRADFORD: Final = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
_BIANCO_SCHETTINI: Final = np.array(
    [[0.8752, 0.2787, -0.1539], [-0.8904, 1.8709, 0.0195], [-0.0061, 0.0162, 0.9899]]
)
_KNOTS: Final = 33


def set_right(light: Light, lighting: Lighting, corners: Corners) -> Light:
    """Give the cloth in even daylight, as bright as its white card says.

    Parameters
    ----------
    light
        ndarray of shape (m, n, 3), linear light: the rectangle the cloth was straightened to.
    lighting
        How the light of its photo is set right.
    corners
        Where the cloth lies in its photo.

    Returns
    -------
    ndarray of shape (m, n, 3)
        Linear light, 0 to 1; what would be lighter than white is white.

    References
    ----------
    Heckbert 1989, "Fundamentals of texture mapping and image warping", section 2.2.3: the
    projective map of a square to four points.
    """
    red, green, blue = np.moveaxis(light, -1, 0)
    right = np.stack([r * red + g * green + b * blue for r, g, b in lighting.gains], axis=-1)
    if lighting.fall_off is not None:
        height, width, _ = light.shape
        even = _made_even(lighting.fall_off, corners, width, height)
        right *= even[..., np.newaxis].astype(light.dtype)
    return np.clip(right, 0, 1, out=right)


def fall_off_at(fall_off: FallOff, x: Floats, y: Floats) -> Floats:
    """Give the natural logarithm of the light at places of the photo.

    Parameters
    ----------
    fall_off
        The polynomial.
    x, y
        Fractions of the photo's width and height.
    """
    at: Floats = powers(2 * x - 1, 2 * y - 1) @ np.array(fall_off)
    return at


def gains_of_white(white: npt.ArrayLike, reflected: float) -> Floats:
    """Give the matrix that brings a white to daylight, and to the brightness it ought to have.

    Parameters
    ----------
    white
        Mean linear light of the card, all three above 0.
    reflected
        How much light the card gives back, 0 to 1.

    Returns
    -------
    ndarray of shape (3, 3)
        Linear light, as a column, is multiplied by it.

    Notes
    -----
    For daylight and filaments the transform is Bradford's, for tubes and white diodes that of
    Bianco and Schettini: on a chart of 24 patches under FL2 it leaves a mean CIEDE2000 of 2.8
    where Bradford's leaves 3.1, and under A 3.6 to Bradford's 3.0.

    References
    ----------
    Lam 1985, the Bradford transform, as in ICC.1:2022 annex E. Bianco and Schettini 2010,
    doi 10.1002/col.20573, table of the transform BS.
    """
    seen = XYZ_OF_LIGHT @ np.asarray(white, dtype=np.float64)
    tube = is_lamp_light(white) and _temperature_k(seen) >= _TUBE_FROM_K
    cones = _BIANCO_SCHETTINI if tube else _BRADFORD
    scales = cones @ (WHITE * reflected) / (cones @ seen)
    to_cones = cones @ XYZ_OF_LIGHT
    gains: Floats = np.linalg.solve(to_cones, scales[:, np.newaxis] * to_cones)
    return gains


def is_lamp_light(white: npt.ArrayLike) -> bool:
    """Tell by the colour of a white card whether it lay in lamp light.

    Light is a lamp's where it is yellower than any daylight by which colours are judged (D50
    is the yellowest), or greener or pinker than daylight ever is. A camera that has already
    balanced its white hides the lamp.

    Parameters
    ----------
    white
        Mean linear light of the card.

    References
    ----------
    CIE 15:2018, the daylight locus. McCamy 1992, doi 10.1002/col.5080170211, correlated colour
    temperature.
    """
    seen = XYZ_OF_LIGHT @ np.asarray(white, dtype=np.float64)
    x, y = (seen[:2] / seen.sum()).tolist()
    of_daylight = -3.0 * x * x + 2.870 * x - 0.275
    return _temperature_k(seen) < _LAMP_BELOW_K or abs(y - of_daylight) > _OFF_DAYLIGHT


def _temperature_k(seen: Floats) -> float:
    x, y = (seen[:2] / seen.sum()).tolist()
    n = (x - 0.3320) / (0.1858 - y)
    return float(449 * n**3 + 3525 * n**2 + 6823.3 * n + 5520.33)


def _made_even(fall_off: FallOff, corners: Corners, width: int, height: int) -> Floats:
    """Give what each pixel of the rectangle is multiplied by to take the fall-off out.

    It changes so slowly that 33 places each way tell it all; between them it runs straight.
    """
    along = np.linspace(0, 1, _KNOTS)
    across, down = np.meshgrid(along, along)
    even = np.exp(-fall_off_at(fall_off, *_places(corners, across, down)))
    made: Floats = _between_knots(height) @ even @ _between_knots(width).T
    return made


def _between_knots(size: int) -> Floats:
    places = (np.arange(size) + 0.5) / size * (_KNOTS - 1)
    shares: Floats = np.maximum(0, 1 - np.abs(places[:, np.newaxis] - np.arange(_KNOTS)))
    return shares


def _places(corners: Corners, across: Floats, down: Floats) -> tuple[Floats, Floats]:
    """Tell where in the photo places of the straightened cloth lie."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    skew_x, skew_y = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    whole = (x1 - x2) * (y3 - y2) - (x3 - x2) * (y1 - y2)
    g = (skew_x * (y3 - y2) - skew_y * (x3 - x2)) / whole
    h = (skew_y * (x1 - x2) - skew_x * (y1 - y2)) / whole
    depth = 1 + g * across + h * down
    x = x0 + (x1 - x0 + g * x1) * across + (x3 - x0 + h * x3) * down
    y = y0 + (y1 - y0 + g * y1) * across + (y3 - y0 + h * y3) * down
    return x / depth, y / depth
