"""From a photo to a fabric: measured at full size, kept small, straightened."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from quiltboard.fabrics import bring_in
from quiltboard.fabrics.bring_in import (
    CARD_LEFT_OUT,
    SCALED_BY_CARD,
    fabric_from_colour,
    fabric_from_photo,
)
from quiltboard.fabrics.fabric import WHOLE_PHOTO, Corners, FabricId
from quiltboard.photos.corners import upright_corners
from quiltboard.photos.decode import SEE_THROUGH, PhotoError
from quiltboard.photos.encode import decode_kept
from quiltboard.photos.light import mean_light
from quiltboard.photos.lightness import lab_of_light
from quiltboard.photos.ruler import ScaleError
from quiltboard.units import inches, to_mm
from tests.helpers.pictures import Pixels, check, cloth, encoded, exif, plain, stored_turned
from tests.helpers.scale_scenes import GROUNDS, LOOKS, card_scene

ID = FabricId("kale")
ASLANT: Corners = ((0.2, 0.1), (0.85, 0.2), (0.9, 0.9), (0.1, 0.75))


def value_of(picture: bytes) -> float:
    return float(lab_of_light(mean_light(decode_kept(picture)))[0])


def test_a_photo_becomes_a_fabric(tmp_path: Path) -> None:
    path = tmp_path / "IMG_1.png"
    path.write_bytes(encoded(cloth(1, 1200, 2000)))
    made = fabric_from_photo(path, " Kale \n frill ", ID, width=inches(9))
    assert (made.id, made.name, made.corners) == (ID, "Kale frill", WHOLE_PHOTO)
    assert made.photo is not None
    assert made.swatch is not None
    assert (made.photo.width_px, made.photo.height_px) == (1600, 960)
    assert (made.swatch.width_px, made.swatch.height_px) == (640, 384)
    assert made.swatch.width == inches(9)
    assert decode_kept(made.photo.jpeg).shape == (960, 1600, 3)
    assert decode_kept(made.swatch.png).shape == (384, 640, 3)
    exact = lab_of_light(mean_light(cloth(1, 1200, 2000)))
    assert made.reading.lab == pytest.approx(exact, abs=1e-3)
    assert made.reading.print is not None
    assert (made.amounts, made.note, made.step) == ((), "", None)


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_value_is_of_the_full_photo_and_the_small_ones_keep_it(kind: str) -> None:
    made = fabric_from_photo(encoded(check(2400, 2), kind, quality=95), "Check", ID)
    assert made.photo is not None
    assert made.swatch is not None
    assert made.reading.value == pytest.approx(76.07, abs=0.3)
    assert value_of(made.swatch.png) == pytest.approx(76.07, abs=0.3)
    assert value_of(made.photo.jpeg) == pytest.approx(76.07, abs=0.3)


def test_nothing_private_stays() -> None:
    notes = exif(Make="Somebody's camera", Orientation=6, ImageDescription="12 Allotment Lane")
    data = encoded(stored_turned(cloth(), 6), "JPEG", exif=notes, comment=b"at home")
    made = fabric_from_photo(data, "Kale", ID)
    assert made.photo is not None
    assert made.swatch is not None
    assert (made.photo.width_px, made.photo.height_px) == (320, 240)
    for kept in (made.photo.jpeg, made.swatch.png):
        assert b"Somebody" not in kept
        assert b"Allotment" not in kept
        assert b"at home" not in kept
        assert not Image.open(BytesIO(kept)).getexif()


def with_card() -> Pixels:
    photo = cloth(3, 700, 900)
    photo[:120, :190] = (244, 243, 240)
    return photo


def test_a_card_is_left_out_unless_the_corners_say_otherwise() -> None:
    made = fabric_from_photo(encoded(with_card()), "Kale", ID)
    assert made.reading.warnings == (CARD_LEFT_OUT,)
    top = made.corners[0][1]
    assert 0.17 < top < 0.23
    whole = fabric_from_photo(encoded(with_card()), "Kale", ID, corners=WHOLE_PHOTO)
    assert whole.corners == WHOLE_PHOTO
    assert whole.reading.value > made.reading.value


def test_only_the_cloth_between_the_corners_is_measured() -> None:
    photo = plain((60, 60, 70), 600, 800)
    photo[60:540, 80:720] = (120, 60, 30)
    inner = upright_corners(0.1, 0.1, 0.9, 0.9)
    made = fabric_from_photo(encoded(photo), "Kale", ID, corners=inner)
    assert made.colour == "#783c1e"
    assert made.swatch is not None
    assert (made.swatch.width_px, made.swatch.height_px) == (640, 480)
    aslant: Corners = ((0.15, 0.12), (0.88, 0.15), (0.85, 0.88), (0.12, 0.8))
    made = fabric_from_photo(encoded(photo), "Kale", ID, corners=aslant)
    assert made.colour == "#783c1e"
    assert made.swatch is not None
    assert (decode_kept(made.swatch.png) == (120, 60, 30)).all()


def test_see_through_parts_are_not_measured_and_filled_in_the_swatch() -> None:
    alpha = np.full((240, 320), 255, dtype=np.uint8)
    alpha[:, :160] = 0
    pixels = plain((255, 0, 255))
    pixels[:, 160:] = (120, 60, 30)
    clear = encoded(Image.fromarray(np.dstack([pixels, alpha])))
    made = fabric_from_photo(clear, "Kale", ID)
    assert made.colour == "#783c1e"
    assert made.swatch is not None
    assert made.photo is not None
    assert (decode_kept(made.swatch.png) == (120, 60, 30)).all()
    assert np.abs(decode_kept(made.photo.jpeg).astype(int) - (120, 60, 30)).max() <= 2
    assert made.reading.warnings == (SEE_THROUGH,)
    left = upright_corners(0.0, 0.0, 0.4, 1.0)
    with pytest.raises(PhotoError, match="no cloth between these corners"):
        fabric_from_photo(clear, "Kale", ID, corners=left)


def test_a_plain_colour() -> None:
    made = fabric_from_colour("Chalk", "#F4F0E6", ID)
    assert (made.name, made.colour, made.swatch, made.photo) == ("Chalk", "#f4f0e6", None, None)
    assert made.reading.value == pytest.approx(94.9, abs=0.1)
    with pytest.raises(ValueError, match="is no colour"):
        fabric_from_colour("Chalk", "chalk", ID)


def test_a_sentence_begins_with_the_files_name(tmp_path: Path) -> None:
    path = tmp_path / "IMG_9.jpg"
    path.write_bytes(encoded(cloth(), "JPEG")[:700])
    with pytest.raises(PhotoError, match=r"^IMG_9\.jpg: "):
        fabric_from_photo(path, "Kale", ID)
    with pytest.raises(PhotoError, match=r"^Kale: "):
        fabric_from_photo(path.read_bytes(), "Kale", ID)
    path.write_bytes(encoded(cloth()))
    crossed: Corners = ((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0))
    with pytest.raises(PhotoError, match=r"^IMG_9\.jpg: .*crossed"):
        fabric_from_photo(path, "Kale", ID, corners=crossed)


def test_a_card_of_known_size_tells_the_scale(monkeypatch: pytest.MonkeyPatch) -> None:
    scene = card_scene(np.random.default_rng([0, 3]), LOOKS[0], GROUNDS[0], longest_px=1200)
    photo = encoded(scene.pixels, compress_level=1)
    made = fabric_from_photo(photo, "Kale", ID, corners=scene.cloth)
    assert made.swatch is not None
    assert made.swatch.width is not None
    assert to_mm(made.swatch.width) == pytest.approx(scene.width_mm, rel=0.02)
    assert made.ruler is not None
    assert made.ruler.by == "card"
    assert SCALED_BY_CARD in made.reading.warnings
    told = fabric_from_photo(photo, "Kale", ID, corners=scene.cloth, width=inches(9))
    assert told.swatch is not None
    assert told.swatch.width == pytest.approx(inches(9), rel=1e-3)
    assert SCALED_BY_CARD not in told.reading.warnings

    def refuse(*_args: object) -> None:
        raise ScaleError("beyond the horizon")

    monkeypatch.setattr(bring_in, "swatch_width", refuse)
    beyond = fabric_from_photo(photo, "Kale", ID, corners=scene.cloth)
    assert beyond.ruler is None
    assert SCALED_BY_CARD not in beyond.reading.warnings
