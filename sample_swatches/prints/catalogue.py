"""The twenty-four prints by name, with the colour each reads as from across the room."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from . import florals, geometrics, pictures, tonals
from .cloth import Cloth, Picture, dyed
from .photograph import WIDTH_PX, Sitting, photograph

PPI: Final = 150
"""Pixels an inch of cloth before it is photographed; a photo shows some 133 of them."""


@dataclass(frozen=True)
class Print:
    """One print.

    Attributes
    ----------
    name
        What the demo board calls it.
    colour
        Its mean colour in linear light, ``#rrggbb``.
    draw
        Lays its inks on a cloth.
    sitting
        How it is photographed.
    """

    name: str
    colour: str
    draw: Callable[[Cloth, np.random.Generator], None]
    sitting: Sitting = field(default_factory=Sitting)

    @property
    def file_name(self) -> str:
        """The name of its photo."""
        return self.name.lower().replace(" ", "_") + ".jpg"

    def cloth(self, ppi: int = PPI, fineness: int = 3) -> Picture:
        """Print, weave and dye a length of it.

        Returns
        -------
        ndarray of shape (M, N, 3), linear-light sRGB
        """
        cloth = Cloth(ppi, fineness)
        self.draw(cloth, self._seeded("inks"))
        return dyed(cloth.woven(self._seeded("weave")), self.colour)

    def photo(
        self, width_px: int = WIDTH_PX, fineness: int = 3
    ) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
        """Photograph a length of it.

        Returns
        -------
        photo
            ndarray of shape (M, N, 3), sRGB uint8.
        card
            ndarray of shape (M, N), true where the white card lies.
        """
        return self.photo_of(self.cloth(PPI * width_px // WIDTH_PX, fineness), width_px)

    def photo_of(
        self, cloth: Picture, width_px: int
    ) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
        """Photograph a length of it that is drawn already."""
        return photograph(cloth, self.colour, self.sitting, self._seeded("photo"), width_px)

    def _seeded(self, part: str) -> np.random.Generator:
        """Start the dice of one part of the work, the same every time."""
        return np.random.default_rng(zlib.crc32(f"{self.name}: {part}".encode()))


PRINTS: Final = (
    Print("Wet Slate", "#39434D", tonals.wet_slate),
    Print("Compost Tweed", "#3B2F2A", tonals.compost_tweed),
    Print("Aubergine Pip", "#3F2549", tonals.aubergine_pip),
    Print("Kale Frill", "#21452F", florals.kale_frill),
    Print("Midnight Leek", "#22343A", geometrics.midnight_leek),
    Print("Beetroot Rings", "#6A1736", pictures.beetroot_rings),
    Print("Tomato Skin", "#C23A2B", tonals.tomato_skin),
    Print("Brick Path", "#A4553C", geometrics.brick_path),
    Print("Runner Bean", "#528C40", florals.runner_bean),
    Print("Pea Shoot", "#5A9144", florals.pea_shoot),
    Print("Rain Butt", "#3F7F93", tonals.rain_butt),
    Print("Blue Twine", "#4A74A8", geometrics.blue_twine),
    Print("Foxglove Row", "#B2578C", florals.foxglove_row),
    Print("Marigold", "#E08A1E", florals.marigold),
    Print("Pot Stack", "#C9764C", pictures.pot_stack),
    Print("Fork Handle", "#8F7A5A", geometrics.fork_handle),
    Print("Seed Packets", "#A99A72", pictures.seed_packets, Sitting(card=False)),
    Print("Gate Border", "#7C6F9B", geometrics.gate_border),
    Print("Onion Paper", "#EADFC6", tonals.onion_paper),
    Print("Radish Confetti", "#F0D3D6", florals.radish_confetti),
    Print("Cloche Glass", "#D5E6E4", tonals.cloche_glass),
    Print("Lemon Verbena", "#F0E27A", florals.lemon_verbena),
    # White cloth leaves no room above it: under a strong light the whites would burn out, and
    # beside a card they would pass for one.
    Print("Newsprint Check", "#BCBCBC", geometrics.newsprint_check, Sitting(0.02, card=False)),
    Print("Butterbean", "#EFE6CF", tonals.butterbean),
)


def jpeg_of(photo: NDArray[np.uint8]) -> bytes:
    """Encode a photo as the camera would, with no word of where it was taken."""
    encoded = BytesIO()
    Image.fromarray(photo).save(encoded, "JPEG", quality=88, optimize=True)
    return encoded.getvalue()
