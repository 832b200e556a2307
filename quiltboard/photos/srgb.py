"""From whatever a picture file holds to sRGB: profiles, 16 bits, grey, CMYK, see-through."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from PIL import Image, ImageCms

if TYPE_CHECKING:
    import numpy.typing as npt

    from quiltboard.photos.light import Mask, Pixels

PROFILE_IGNORED: Final = "Its colour profile is damaged or of another kind and was ignored."
CMYK_UNPROFILED: Final = (
    "It is made for printing (CMYK) and names no colour profile: its colours are a rough guess."
)

_DEEP_MODES: Final = {"I", "I;16", "I;16B", "I;16L"}
_SPACE_OF_MODE: Final = {"L": "GRAY", "RGB": "RGB ", "CMYK": "CMYK"}


def as_srgb(image: Image.Image) -> tuple[Pixels, Mask | None, tuple[str, ...]]:
    """Give a loaded picture in sRGB.

    Parameters
    ----------
    image
        A loaded picture in any of Pillow's modes, with its profile in ``info``.

    Returns
    -------
    pixels : ndarray of shape (M, N, 3), sRGB uint8
    mask : ndarray of shape (M, N), bool, or None
        Where the picture is at least half opaque; None where it is so everywhere.
    notes : tuple of str
        What was decided on the way.
    """
    profile = image.info.get("icc_profile")
    mask: npt.NDArray[np.bool_] | None
    if image.mode in _DEEP_MODES:
        plain, mask = _from_16_bits(image)
    else:
        plain, mask = _without_alpha(image)
    notes: list[str] = []
    converted = None
    if profile:
        converted = _through_profile(plain, profile)
        if converted is None:
            notes.append(PROFILE_IGNORED)
    if converted is None and plain.mode == "CMYK":
        notes.append(CMYK_UNPROFILED)
    pixels = np.asarray(converted or plain.convert("RGB"))
    return pixels, None if mask is None or mask.all() else mask, tuple(notes)


def _from_16_bits(image: Image.Image) -> tuple[Image.Image, Mask | None]:
    deep: npt.NDArray[Any] = np.asarray(image)
    clear = image.info.get("transparency")
    mask = deep != clear if isinstance(clear, int) else None
    # 65535 = 257 × 255; Pillow's own conversion would clip everything above 255.
    scaled = np.rint(np.clip(deep, 0, 65535) / 257).astype(np.uint8)
    return Image.fromarray(scaled), mask


def _without_alpha(image: Image.Image) -> tuple[Image.Image, Mask | None]:
    grey = image.mode in {"1", "L", "LA", "La"}
    if not image.has_transparency_data:
        if image.mode in _SPACE_OF_MODE:
            return image, None
        return image.convert("L" if grey else "RGB"), None
    full = image.convert("RGBA")
    mask = np.asarray(full.getchannel("A")) >= 128
    return full.getchannel("R") if grey else full.convert("RGB"), mask


def _through_profile(image: Image.Image, profile: bytes) -> Image.Image | None:
    try:
        source = ImageCms.getOpenProfile(BytesIO(profile))
        space = source.profile.xcolor_space
        if space == "RGB " and image.mode == "L":
            image = image.convert("RGB")
        if space != _SPACE_OF_MODE[image.mode]:
            return None
        return ImageCms.profileToProfile(
            image,
            source,
            ImageCms.createProfile("sRGB"),
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            outputMode="RGB",
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None
