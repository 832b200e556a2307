"""Picture files made for tests: turned, profiled, deep, see-through, broken."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence
from io import BytesIO

import numpy as np
import numpy.typing as npt
from PIL import ExifTags, Image

Pixels = npt.NDArray[np.uint8]

PRIMARIES = {
    "srgb": ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)),
    # SMPTE EG 432-1, with the white of a display.
    "display p3": ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)),
    "wide": ((0.64, 0.33), (0.21, 0.71), (0.15, 0.06)),
}
WHITE_D65 = (0.3127, 0.3290)
D50 = (0.9642, 1.0, 0.8249)


def cloth(seed: int = 1, height: int = 240, width: int = 320) -> Pixels:
    """Weave a cloth that is unlike itself in every corner."""
    rng = np.random.default_rng(seed)
    down, across = np.mgrid[0:height, 0:width]
    base = np.stack([40 + across % 160, 60 + down % 120, 90 + (across + down) % 80], axis=-1)
    base[: height // 3, : width // 4] = (200, 40, 60)
    return np.clip(base + rng.integers(-6, 7, base.shape), 0, 255).astype(np.uint8)


def check(size: int, cell: int, light: int = 255, dark: int = 0) -> Pixels:
    """Print a check of two greys, as many cells of one as of the other."""
    down, across = np.mgrid[0:size, 0:size]
    cells = (down // cell + across // cell) % 2 == 0
    return np.repeat(np.where(cells, light, dark).astype(np.uint8)[..., np.newaxis], 3, axis=2)


def plain(colour: tuple[int, int, int], height: int = 240, width: int = 320) -> Pixels:
    return np.full((height, width, 3), colour, dtype=np.uint8)


def encoded(picture: Pixels | Image.Image, kind: str = "PNG", **options: object) -> bytes:
    image = picture if isinstance(picture, Image.Image) else Image.fromarray(picture)
    out = BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def moving(frames: Sequence[Pixels], kind: str) -> bytes:
    first, *rest = (Image.fromarray(frame) for frame in frames)
    options: dict[str, object] = {"lossless": True} if kind == "WEBP" else {}
    return encoded(first, kind, save_all=True, append_images=rest, duration=100, **options)


def exif(**notes: object) -> Image.Exif:
    """Write camera notes; names are those of EXIF."""
    block = Image.Exif()
    for name, note in notes.items():
        block[ExifTags.Base[name]] = note
    return block


def stored_turned(upright: Pixels, orientation: int) -> Pixels:
    """Lay a picture down as a camera stores it that notes this EXIF orientation.

    EXIF 2.3 tells where the stored first row and first column belong: 6, say, is "row 0 is the
    right-hand side, column 0 the top".
    """
    across, down = upright.swapaxes(0, 1), upright
    return np.ascontiguousarray(
        {
            1: down,
            2: down[:, ::-1],
            3: down[::-1, ::-1],
            4: down[::-1],
            5: across,
            6: across[::-1],
            7: across[::-1, ::-1],
            8: across[:, ::-1],
        }[orientation]
    )


def png_chunk(kind: bytes, body: bytes) -> bytes:
    return (
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
    )


def png_of(header: bytes, *chunks: bytes) -> bytes:
    return b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header) + b"".join(chunks)


def deep_png(samples: npt.NDArray[np.uint16], *extra: bytes) -> bytes:
    """Write a PNG of 16 bits a sample: grey, RGB or RGBA by its last axis."""
    height, width = samples.shape[:2]
    channels = 1 if samples.ndim == 2 else samples.shape[2]
    kind = {1: 0, 3: 2, 4: 6}[channels]
    rows = samples.astype(">u2").reshape(height, -1)
    data = b"".join(b"\0" + row.tobytes() for row in rows)
    return png_of(
        struct.pack(">IIBBBBB", width, height, 16, kind, 0, 0, 0),
        *extra,
        png_chunk(b"IDAT", zlib.compress(data)),
        png_chunk(b"IEND", b""),
    )


def bomb_png(width: int = 30_000, height: int = 30_000) -> bytes:
    """Write a PNG that claims to be huge and is a few bytes long."""
    return png_of(
        struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0),
        png_chunk(b"IDAT", zlib.compress(bytes(1000))),
        png_chunk(b"IEND", b""),
    )


def xyz_of_primaries(name: str) -> npt.NDArray[np.float64]:
    """Give the matrix from linear light in some primaries to XYZ, D65."""
    corners = np.array([(x / y, 1.0, (1 - x - y) / y) for x, y in PRIMARIES[name]]).T
    x, y = WHITE_D65
    white = np.array([x / y, 1.0, (1 - x - y) / y])
    return corners * np.linalg.solve(corners, white)


def _to_d50(matrix: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    # Bradford, as ICC.1:2022 annex E has it.
    cone = np.array(
        [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
    )
    scale = (cone @ np.array(D50)) / (cone @ matrix.sum(axis=1))
    return np.asarray(np.linalg.inv(cone) @ np.diag(scale) @ cone @ matrix)


def linear_srgb_of_lab(lab: tuple[float, float, float]) -> npt.NDArray[np.float64]:
    """Give the linear light of a colour that a printing profile states (L*a*b*, D50)."""
    y = (lab[0] + 16) / 116
    roots = np.array([y + lab[1] / 500, y, y - lab[2] / 200])
    xyz = np.where(roots > 6 / 29, roots**3, (roots - 4 / 29) * 108 / 841) * D50
    return np.asarray(np.linalg.solve(_to_d50(xyz_of_primaries("srgb")), xyz), np.float64)


def _fixed(*numbers: float) -> bytes:
    return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)


def _xyz(values: Sequence[float]) -> bytes:
    return b"XYZ \0\0\0\0" + _fixed(*values)


def _gamma(gamma: float) -> bytes:
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256)) + b"\0\0"


def _profile(space: bytes, pcs: bytes, tags: dict[bytes, bytes]) -> bytes:
    said = b"a test\0"
    tags = {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(said)) + said + bytes(78 + 1),
        b"cprt": b"text\0\0\0\0nobody's\0\0\0\0",
        b"wtpt": _xyz(D50),
        **tags,
    }
    at = 128 + 4 + 12 * len(tags)
    table, bodies = struct.pack(">I", len(tags)), b""
    for name, body in tags.items():
        padded = body + bytes(-len(body) % 4)
        table += name + struct.pack(">II", at + len(bodies), len(body))
        bodies += padded
    size = at + len(bodies)
    kind = b"prtr" if space == b"CMYK" else b"mntr"
    head = struct.pack(">I4sI", size, bytes(4), 0x02400000) + kind + space + pcs
    head += struct.pack(">6H", 2020, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + _fixed(*D50)
    return head.ljust(128, b"\0") + table + bodies


def rgb_profile(primaries: str, gamma: float = 563 / 256) -> bytes:
    """Write a colour profile of three primaries and a plain gamma curve."""
    columns = _to_d50(xyz_of_primaries(primaries)).T
    tags = {
        name: _xyz(column)
        for name, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), columns, strict=True)
    }
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), _gamma(gamma))
    return _profile(b"RGB ", b"XYZ ", tags)


def grey_profile(gamma: float) -> bytes:
    return _profile(b"GRAY", b"XYZ ", {b"kTRC": _gamma(gamma)})


def cmyk_profile(
    inks: Sequence[tuple[float, float, float]], paper: tuple[float, float, float]
) -> bytes:
    """Write a printing profile that knows the L*a*b* of paper and of each full ink.

    Every overprint is black; that is all a test needs.
    """
    nodes = []
    for node in range(16):
        on = [ink for ink in range(4) if node >> (3 - ink) & 1]
        lab = paper if not on else inks[on[0]] if len(on) == 1 else (0.0, 0.0, 0.0)
        nodes += [round(lab[0] * 2.55), round(lab[1] + 128), round(lab[2] + 128)]
    straight = bytes(range(256))
    lut = b"mft1\0\0\0\0" + bytes((4, 3, 2, 0)) + _fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    lut += straight * 4 + bytes(nodes) + straight * 3
    return _profile(b"CMYK", b"Lab ", {b"A2B0": lut, b"A2B1": lut, b"A2B2": lut})
