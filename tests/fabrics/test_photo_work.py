"""What is done anew with a photo goes by the same card and ruler; what is set by hand stays."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from quiltboard.fabrics.bring_in import CARD_LEFT_OUT, fabric_from_colour, fabric_from_photo
from quiltboard.fabrics.fabric import WHOLE_PHOTO, ByHand, Corners, Fabric, FabricId, Pool
from quiltboard.fabrics.measure import SMALL
from quiltboard.fabrics.photo_work import (
    MOST_IN_POOL,
    add_to_pool,
    another_from,
    find_more,
    measure_anew,
    recrop,
    set_grid,
    set_light,
    set_ruler,
)
from quiltboard.photos.corners import upright_corners
from quiltboard.photos.decode import PhotoError
from quiltboard.photos.reference_card import LightError
from quiltboard.photos.ruler import Ruler, ScaleError
from quiltboard.photos.srgb import PROFILE_IGNORED
from quiltboard.units import inches
from tests.helpers.pictures import Pixels, cloth, encoded, plain
from tests.helpers.table_photos import DOTS, table_fabric

ID = FabricId("kale")
ASLANT: Corners = ((0.2, 0.1), (0.85, 0.2), (0.9, 0.9), (0.1, 0.75))


def with_card() -> Pixels:
    photo = cloth(3, 700, 900)
    photo[:120, :190] = (244, 243, 240)
    return photo


@pytest.fixture
def fabric() -> Fabric:
    return fabric_from_photo(encoded(with_card(), "PNG", icc_profile=b"junk"), "Kale", ID)


@pytest.fixture
def colour() -> Fabric:
    return fabric_from_colour("Chalk", "#f4f0e6", ID)


def test_recrop_measures_the_new_part_of_the_kept_photo(fabric: Fabric) -> None:
    assert fabric.reading.warnings == (PROFILE_IGNORED, CARD_LEFT_OUT)
    again = recrop(fabric, ASLANT)
    assert again.photo is fabric.photo
    assert (again.id, again.name, again.corners) == (ID, "Kale", ASLANT)
    assert again.reading.warnings == (PROFILE_IGNORED,)
    assert again.lighting.reference == fabric.lighting.reference == "white card"
    from_photo = fabric_from_photo(encoded(with_card()), "Kale", ID, corners=ASLANT)
    assert again.reading.value == pytest.approx(from_photo.reading.value, abs=0.3)
    small = recrop(again, upright_corners(0.4, 0.4, 0.6, 0.6))
    assert small.reading.warnings == (PROFILE_IGNORED, SMALL)
    assert recrop(small, ASLANT).reading.warnings == (PROFILE_IGNORED,)


def test_what_is_set_by_hand_stays_through_every_measuring(fabric: Fabric) -> None:
    by_hand = ByHand(value=33, way="one-way", size="large")
    told = msgspec.structs.replace(fabric, by_hand=by_hand, step="dark", note="from the swap")
    for anew in (measure_anew(told), recrop(told, ASLANT), set_light(told, None)):
        assert (anew.by_hand, anew.step, anew.note) == (by_hand, "dark", "from the swap")
        assert anew.value == 33


def test_a_ruler_in_the_photo_follows_the_corners(fabric: Fabric) -> None:
    across = Ruler((0.1, 0.5), (0.6, 0.5), inches(5))
    scaled = set_ruler(recrop(fabric, WHOLE_PHOTO), across)
    assert scaled.swatch
    assert scaled.swatch.width == pytest.approx(inches(10), rel=1e-3)
    half = recrop(scaled, upright_corners(0.0, 0.0, 0.5, 1.0))
    assert half.swatch
    assert half.swatch.width == pytest.approx(inches(5), rel=1e-3)
    bare = set_ruler(half, None)
    assert bare.swatch
    assert (bare.swatch.width, bare.ruler) == (None, None)
    with pytest.raises(ScaleError):
        set_ruler(half, Ruler((0.5, 0.5), (0.5, 0.5), inches(5)))


def test_a_width_whose_source_is_not_known_is_kept_through_every_measuring(
    fabric: Fabric,
) -> None:
    whole = recrop(fabric, WHOLE_PHOTO)
    assert whole.swatch
    swatch = msgspec.structs.replace(whole.swatch, width=inches(10))
    older = msgspec.structs.replace(whole, swatch=swatch)
    half = upright_corners(0.0, 0.0, 0.5, 1.0)
    for anew, width in (
        (measure_anew(older), 10),
        (set_light(older, None), 10),
        (recrop(older, half), 5),
        (another_from(older, half, "Other", FabricId("other")), 5),
    ):
        assert anew.swatch
        assert anew.swatch.width == pytest.approx(inches(width), rel=1e-3)


def test_light_is_set_by_what_is_pointed_at(fabric: Fabric) -> None:
    as_taken = set_light(fabric, None)
    assert not as_taken.lighting.calibrated
    lit = set_light(as_taken, "white card", (0.08, 0.07))
    assert lit.lighting.reference == "white card"
    assert lit.reading.value == pytest.approx(fabric.reading.value, abs=0.3)
    with pytest.raises(LightError):
        set_light(fabric, "white card", (0.6, 0.6))


def test_light_as_taken_stays_so_between_other_corners(fabric: Fabric) -> None:
    assert recrop(set_light(fabric, None), ASLANT).lighting.reference is None


def test_a_cloth_on_a_table_with_cards_is_found() -> None:
    found = find_more(table_fabric())
    nearest = min(found, key=lambda corners: abs(corners[0][0] - DOTS[0][0]))
    for corner, true in zip(nearest, DOTS, strict=True):
        assert corner == pytest.approx(true, abs=0.01)


def test_the_lines_of_a_mat_tell_the_scale() -> None:
    photo = plain((60, 90, 80), 600, 800)
    photo[:, ::50] = photo[::50] = (200, 210, 205)
    mat = fabric_from_photo(encoded(photo), "Mat", ID, corners=WHOLE_PHOTO)
    scaled = set_grid(mat, (0.5, 0.5), inches(1))
    assert scaled.swatch
    assert scaled.swatch.width == pytest.approx(inches(16), rel=0.01)
    assert scaled.ruler
    assert scaled.ruler.by == "grid"
    bare = fabric_from_photo(encoded(plain((60, 90, 80), 600, 800)), "Bare", ID)
    with pytest.raises(ScaleError):
        set_grid(bare, (0.5, 0.5), inches(1))


def test_another_cloth_of_the_same_photo(fabric: Fabric) -> None:
    made = another_from(fabric, ASLANT, " Second \n cut ", FabricId("second"))
    assert (made.id, made.name, made.corners) == ("second", "Second cut", ASLANT)
    assert made.photo is fabric.photo
    assert (made.note, made.amounts, made.by_hand) == ("", (), ByHand())


def test_a_pool_reads_as_all_its_cloths(tmp_path: Path) -> None:
    dark = fabric_from_photo(encoded(plain((20, 24, 60), 300, 300)), "Blues", ID)
    light = tmp_path / "light.png"
    light.write_bytes(encoded(plain((200, 210, 240), 400, 260)))
    pool = add_to_pool(dark, [light, encoded(plain((20, 24, 60), 300, 300))])
    assert pool.pool
    assert (pool.pool.cloths, len(pool.pool.more)) == (3, 2)
    assert dark.value < pool.value < 70
    assert pool.reading.low == pytest.approx(dark.value, abs=0.5)
    assert measure_anew(pool).reading.lab == pytest.approx(pool.reading.lab, abs=0.5)
    more = add_to_pool(
        msgspec.structs.replace(pool, pool=Pool(38, pool.pool.more)), [light.read_bytes()]
    )
    assert more.pool
    assert (more.pool.cloths, len(more.pool.more)) == (38, 3)
    with pytest.raises(PhotoError, match="torn"):
        add_to_pool(pool, [Path("torn.png")])
    full = msgspec.structs.replace(pool, pool=Pool(400, pool.pool.more[:1] * MOST_IN_POOL))
    with pytest.raises(ValueError, match="shows at most"):
        add_to_pool(full, [light])


def test_a_plain_colour_has_no_photo(colour: Fabric) -> None:
    with pytest.raises(ValueError, match="plain colour and has no photo"):
        recrop(colour, WHOLE_PHOTO)
    with pytest.raises(ValueError, match="plain colour and has no photo"):
        measure_anew(colour)
    with pytest.raises(ValueError, match="has no scale"):
        set_ruler(colour, None)
    with pytest.raises(ValueError, match="give it a photo first"):
        add_to_pool(colour, [])
