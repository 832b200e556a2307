"""Small invented projects for tests: prints made of arithmetic, boards made of them."""

from __future__ import annotations

from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from quiltboard.fabrics.fabric import (
    CutWedges,
    Fabric,
    FabricId,
    Pool,
    Reading,
    Step,
    Swatch,
)
from quiltboard.project.project import Project
from quiltboard.quilt.board import Block, Board
from quiltboard.shapes.wedge import usual_wedge
from quiltboard.units import Length, inches

Pixels = NDArray[np.uint8]

PRINTS: dict[str, tuple[str, str, str, Step]] = {
    # name: print, ground, figure, value step
    "Harbour Dot": ("dots", "#2b7a7f", "#f3ead8", "dark"),
    "Night Ferry": ("dots", "#14223f", "#d98a5f", "dark"),
    "Gull Stripe": ("stripes", "#efe9dc", "#5a7fa0", "light"),
    "Buoy Check": ("checks", "#f2d9cf", "#cf6552", "medium"),
    "Lantern": ("plain", "#d59a33", "#d59a33", "medium"),
    "Salt Flat": ("plain", "#ece4d2", "#ece4d2", "light"),
    "Kelp": ("stripes", "#23473a", "#6f9a7a", "dark"),
    "Newsprint": ("checks", "#111111", "#f4f4f4", "mixed"),
}


def printed(kind: str, ground: str, figure: str, size_px: int = 270) -> Pixels:
    """Print one cloth."""
    rows, columns = np.mgrid[0:size_px, 0:size_px]
    if kind == "dots":
        near = (rows % 36 - 18) ** 2 + (columns % 36 - 18 + 9 * (rows // 36 % 2)) ** 2
        on = near < 49
    elif kind == "stripes":
        on = columns % 18 < 6
    elif kind == "checks":
        on = (rows % 30 < 15) ^ (columns % 30 < 15)
    else:
        on = np.zeros((size_px, size_px), dtype=bool)
    return np.where(on[..., None], rgb(figure), rgb(ground)).astype(np.uint8)


def rgb(colour: str) -> NDArray[np.uint8]:
    """Read ``#rrggbb``."""
    return np.frombuffer(bytes.fromhex(colour[1:]), dtype=np.uint8)


def swatch_of(pixels: Pixels, width: Length | None = None) -> Swatch:
    """Encode a swatch."""
    kept = BytesIO()
    Image.fromarray(pixels).save(kept, "PNG")
    return Swatch(kept.getvalue(), pixels.shape[1], pixels.shape[0], width)


def sample_fabrics() -> tuple[Fabric, ...]:
    """Give eight invented fabrics; every second one's scale is not known."""
    made = []
    for k, (name, (kind, ground, figure, _)) in enumerate(PRINTS.items()):
        swatch = swatch_of(printed(kind, ground, figure), inches(9) if k % 2 else None)
        made.append(
            Fabric(
                id=FabricId(f"f{k}"),
                name=name,
                reading=Reading((50.0, 0.0, 0.0), 40.0, 60.0),
                colour=ground,
                swatch=swatch,
                amounts=(CutWedges(8),),
            )
        )
    return tuple(made)


def sample_steps() -> dict[FabricId, Step]:
    """Give the value steps of the sample's fabrics."""
    return {FabricId(f"f{k}"): step for k, (*_, step) in enumerate(PRINTS.values())}


def sample_project(
    across: int = 2, down: int = 2, n: int = 12, *, empty: tuple[int, ...] = ()
) -> Project:
    """Lay the sample's fabrics in turn on a board of plates with sashes and a border.

    ``empty`` names wedges of the first plate that hold nothing.
    """
    fabrics = sample_fabrics()
    blocks = []
    for b in range(across * down):
        cells = tuple(
            None
            if b == 0 and w in empty
            else fabrics[(3 * w + 5 * b + w // 4) % len(fabrics)].id
            for w in range(n)
        )
        blocks.append(Block(cells))
    board = Board(
        usual_wedge(n),
        across,
        down,
        tuple(blocks),
        sash=inches("3/2"),
        border=inches("3/2"),
        sashing="#4b6b76",
        frame="#4b6b76",
        cornerstone="#a5482f",
        centre=fabrics[4].id,
    )
    return Project("Sea & <Brick>", board, fabrics)


POOL_COLOURS = tuple(
    f"#{40 + 15 * k:02x}{220 - 12 * k:02x}{(90 + 37 * k) % 256:02x}" for k in range(14)
)
"""The plain colours of the pool's cloths, no two alike."""


def pool_project(across: int = 2, down: int = 1) -> Project:
    """Lay a pool of 38 cloths, fourteen of them pictured, on every wedge of every plate."""
    first, *more = (swatch_of(printed("plain", c, c, 40), inches(9)) for c in POOL_COLOURS)
    pool = Fabric(
        id=FabricId("swap"),
        name="Blue Swap",
        reading=Reading((50.0, 0.0, 0.0), 40.0, 60.0),
        colour="#777777",
        swatch=first,
        pool=Pool(38, tuple(more)),
    )
    ring = Block((pool.id,) * 12)
    board = Board(usual_wedge(12), across, down, (ring,) * (across * down))
    return Project("Swap", board, (pool,))
