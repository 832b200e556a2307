"""A colour chart of 24 patches and a white card, rendered from spectra and photographed.

The camera is a plain one: it integrates the light each patch gives back by the CIE 1931
standard observer (2°), writes that in linear sRGB without balancing the white, times an
exposure, cuts off what lies outside 0 to 1 (so strong colours lose what sRGB cannot show), adds
grain and rounds to 8 bits of encoded sRGB. The chart's true colours are those under D65, cut
off to sRGB alike.
"""

from __future__ import annotations

import warnings
from functools import cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from quiltboard.photos.corners import Corners, upright_corners
from quiltboard.photos.light import Pixels, to_encoded
from quiltboard.photos.lightness import XYZ_OF_LIGHT, lab_of_light

Floats = npt.NDArray[np.float64]

WIDTH, HEIGHT = 560, 400
PATCH = 64
GAP = 16
CARD_REFLECTS = 0.89
"""Not quite what the program takes a white card for, as no card is."""
GROUND_REFLECTS = 0.12
GRAIN = 1.0

CARD_AT = (526 / WIDTH, 200 / HEIGHT)


class Scene(NamedTuple):
    pixels: Pixels
    patches: tuple[Corners, ...]


@cache
def _spectra() -> tuple[Floats, Floats, dict[str, Floats]]:
    # It warns, once, that it was installed without its plotting.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour  # noqa: PLC0415
    shape = colour.SpectralShape(380, 780, 5)

    def values(spectrum: Any) -> Floats:  # noqa: ANN401
        return np.asarray(spectrum.copy().align(shape).values, dtype=np.float64)

    patches = colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()
    observer = values(colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"])
    lights = {
        name: values(colour.SDS_ILLUMINANTS[name])
        for name in ("D50", "D55", "D65", "D75", "A", "FL2", "FL11")
    }
    return np.array([values(patch) for patch in patches]), observer, lights


def light_under(illuminant: str) -> tuple[Floats, Floats]:
    """Give the linear sRGB of the 24 patches, and of a perfect white, white at luminance 1."""
    reflected, observer, lights = _spectra()
    weighed = lights[illuminant][:, np.newaxis] * observer
    weighed = weighed / weighed[:, 1].sum()
    to_light = np.linalg.inv(XYZ_OF_LIGHT).T
    return reflected @ weighed @ to_light, weighed.sum(axis=0) @ to_light


def true_colours() -> Floats:
    """Give the L*a*b* of the 24 patches in daylight (D65)."""
    patches, _ = light_under("D65")
    return lab_of_light(np.clip(patches, 0, 1))


def chart_under(illuminant: str, stops: float, seed: int = 1) -> Scene:
    """Photograph the chart.

    Parameters
    ----------
    illuminant
        A name of the CIE's.
    stops
        Exposure against one at which 1½ stops more just do not cut the white card off.
    """
    patches, white = light_under(illuminant)
    brightest = max(float(patches.max()), CARD_REFLECTS * float(white.max()))
    exposure = 0.97 / brightest * 2.0 ** (stops - 1.5)
    scene = np.tile(GROUND_REFLECTS * white, (HEIGHT, WIDTH, 1))
    placed = []
    for number, patch in enumerate(patches):
        row, column = divmod(number, 6)
        top, left = GAP + row * (PATCH + GAP) + 24, GAP + column * (PATCH + GAP)
        scene[top : top + PATCH, left : left + PATCH] = patch
        placed.append(
            upright_corners(
                (left + 4) / WIDTH,
                (top + 4) / HEIGHT,
                (left + PATCH - 4) / WIDTH,
                (top + PATCH - 4) / HEIGHT,
            )
        )
    # A card in the middle of what is left at the right.
    scene[150:250, 500:552] = CARD_REFLECTS * white
    code = to_encoded(scene * exposure) * 255
    grain = np.random.default_rng(seed).normal(0, GRAIN, scene.shape)
    return Scene(np.clip(np.rint(code + grain), 0, 255).astype(np.uint8), tuple(placed))
