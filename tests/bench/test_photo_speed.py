"""How long a photo takes to become a measured swatch, and many of them on all cores.

The times are told beside the sum of what cannot be done without, taken in the same run.
"""

from __future__ import annotations

import os
import threading
import time
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import scipy.fft
from PIL import Image, ImageCms, JpegImagePlugin

from quiltboard.errands.bring_in import stream_in
from quiltboard.errands.hands import hands_here
from quiltboard.fabrics.bring_in import fabrics_from_photo
from quiltboard.fabrics.fabric import Corners, Fabric
from quiltboard.fabrics.likeness import WORKING_PX
from quiltboard.fabrics.swatches import LONGEST_SWATCH_PX, Cut, cut_cloth
from quiltboard.photos.decode import read_negative
from quiltboard.photos.lighting import AS_TAKEN
from quiltboard.photos.straighten import straight_light
from tests.helpers.pictures import encoded, rgb_profile
from tests.helpers.repeat_prints import lattice_print
from tests.helpers.timing import Record, best_ms, tell

ASLANT: Corners = ((0.08, 0.1), (0.9, 0.06), (0.94, 0.92), (0.05, 0.95))
MANY = 200


@pytest.fixture(scope="module")
def photo() -> bytes:
    """Give a 12-megapixel JPEG of a print, in a camera's own colours."""
    print_ = Image.fromarray(lattice_print(3, "square").pixels).resize(
        (4000, 3000), Image.Resampling.BICUBIC
    )
    grain = np.random.default_rng(5).normal(0, 3, (3000, 4000, 1))
    pixels = np.clip(np.asarray(print_) + grain, 0, 255).astype(np.uint8)
    return encoded(pixels, "JPEG", quality=90, icc_profile=rgb_profile("display p3"))


def measured(data: bytes) -> Cut:
    """Measure what lies between the corners of a photo: repeat and direction, no PNG."""
    negative = read_negative(data, "photo")
    return cut_cloth(negative.pixels, ASLANT, AS_TAKEN, name="photo", in_srgb=negative.in_srgb)


def test_a_photo_to_a_measured_swatch(photo: bytes, record_property: Record) -> None:
    def reduced() -> Image.Image:
        image = JpegImagePlugin.JpegImageFile(BytesIO(photo))
        image.draft(None, (2000, 1500))
        image.load()
        return image

    half = reduced()
    assert half.size == (2000, 1500)
    source = ImageCms.getOpenProfile(BytesIO(rgb_profile("display p3")))
    srgb = ImageCms.createProfile("sRGB")
    pixels = np.asarray(half)
    plane = np.random.default_rng(1).normal(size=(2 * WORKING_PX, 2 * WORKING_PX))
    parts = {
        "reduced decode": best_ms(reduced, 3),
        "colour profile": best_ms(
            lambda: ImageCms.profileToProfile(half, source, srgb, outputMode="RGB"), 3
        ),
        "one warp": best_ms(lambda: straight_light(pixels, ASLANT, LONGEST_SWATCH_PX), 3),
        "four Fourier transforms": best_ms(
            lambda: [scipy.fft.fft2(plane) for _ in range(4)], 3
        ),
    }
    total = sum(parts.values())
    for part, spent in parts.items():
        tell(record_property, f"12 MP, {part}", spent, "all parts", total)
    whole = best_ms(lambda: measured(photo), 3)
    tell(record_property, "12 MP JPEG to a measured swatch", whole, "all parts", total)
    imported = best_ms(lambda: fabrics_from_photo(photo, "photo"), 2)
    tell(record_property, "12 MP JPEG to fabrics on the shelf", imported, "all parts", total)
    assert measured(photo).reading.print is not None


@pytest.mark.soak
def test_many_photos_use_all_cores(
    photo: bytes, tmp_path: Path, record_property: Record
) -> None:
    files = []
    for number in range(MANY):
        files.append(tmp_path / f"cloth-{number:03}.jpg")
        files[-1].write_bytes(photo)
    few = files[: MANY // 10]

    def timed(sources: list[Path], hands: int) -> float:
        came: list[object] = []
        start = time.perf_counter()
        problems = stream_in(sources, send=came.append, should_stop=lambda: False, hands=hands)
        assert problems == ()
        assert sum(isinstance(item, Fabric) for item in came) == len(sources)
        return 1000 * (time.perf_counter() - start)

    alone = timed(few, 1) * (MANY / len(few))
    most: list[float] = []
    done = threading.Event()
    watcher = threading.Thread(target=_watch, args=(most, done))
    watcher.start()
    together = timed(files, hands_here())
    done.set()
    watcher.join()
    tell(record_property, f"{MANY} photos by one hand", alone, "all hands", together)
    print(f"{MANY} photos by {hands_here()} hands: most memory {max(most):.0f} MB")  # noqa: T201


def _watch(most: list[float], done: threading.Event) -> None:
    """Note the memory of the hands (what each has alone, and its share of the rest), in MB."""
    while not done.wait(0.2):
        children = Path(f"/proc/{os.getpid()}/task")
        pids = {
            pid
            for task in children.iterdir()
            for pid in (task / "children").read_text().split()
        }
        total = 0
        for pid in pids:
            try:
                text = Path(f"/proc/{pid}/smaps_rollup").read_text()
            except OSError:
                continue
            total += int(text.partition("Pss:")[2].split()[0])
        most.append(total / 1024)
