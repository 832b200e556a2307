"""How many wedges come out of strips and cloths."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.cutting.yields import (
    StripYield,
    available,
    pieces_from_strip,
    wedges_across,
    wedges_from_cloth,
    wedges_from_strip,
)
from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges, Fabric, FabricId, Pool, Reading
from quiltboard.shapes.wedge import Wedge, usual_wedge
from quiltboard.units import Length, inches

FIVE_INCH = {n: Wedge(n, inches(5), inches(1)) for n in (12, 16, 18, 20)}


def fabric(name: str, *amounts: Amount) -> Fabric:
    reading = Reading((50.0, 0.0, 0.0), 45.0, 55.0)
    return Fabric(FabricId(name), name, reading, "#777777", amounts=amounts)


@pytest.mark.parametrize(
    ("cloth", "wedges"),
    [
        (Cloth(inches(18), inches(21)), 24),
        (Cloth(inches(9), inches(21)), 8),
        (Cloth(inches(9)), 16),
        (Cloth(inches("19/4")), 16),
        (Cloth(Length(inches("19/4") - 1)), 0),
        (Cloth(inches(18), inches(3)), 0),
    ],
)
def test_a_cloth_gives_whole_strips_of_whole_wedges(cloth: Cloth, wedges: int) -> None:
    assert wedges_from_cloth(cloth, usual_wedge(12)) == wedges


@pytest.mark.parametrize(
    ("n", "opened", "folded"), [(12, 16, 14), (16, 19, 18), (18, 20, 20), (20, 21, 20)]
)
def test_a_fold_costs_each_half_its_own_ends(n: int, opened: int, folded: int) -> None:
    wedge = FIVE_INCH[n]
    assert wedges_from_strip(inches(40), wedge) == opened
    assert wedges_across(inches(40), wedge) == StripYield(folded, folded=True)


def test_cloth_up_to_thirty_inches_is_cut_open() -> None:
    wedge = FIVE_INCH[12]
    assert wedges_across(inches(30), wedge) == StripYield(12, folded=False)


def test_cloth_just_over_thirty_inches_is_cut_open_where_that_gives_more() -> None:
    wedge = FIVE_INCH[12]
    assert 2 * wedges_from_strip(Length(inches(31) // 2), wedge) == 12
    assert 2 * wedges_from_strip(Length(inches("241/8") // 2), wedge) == 10
    assert wedges_across(inches("241/8"), wedge) == StripYield(12, folded=False)


def test_a_piece_that_just_fits_is_counted() -> None:
    narrow, wide = inches(2), inches(4)
    assert pieces_from_strip(inches(13), narrow, wide) == 4
    assert pieces_from_strip(Length(inches(13) - 1), narrow, wide) == 3
    assert pieces_from_strip(inches(4), narrow, wide) == 1
    assert pieces_from_strip(Length(inches(4) - 1), narrow, wide) == 0


def test_a_piece_kept_upright_takes_its_wide_end_each_time() -> None:
    assert pieces_from_strip(inches(13), inches(2), inches(4), flip=False) == 3


def test_ends_that_make_no_piece_are_refused() -> None:
    with pytest.raises(ValueError, match="narrow end above zero"):
        pieces_from_strip(inches(13), inches(4), inches(2))


def test_what_there_is_adds_up() -> None:
    fabrics = (
        fabric("Gull Stripe"),
        fabric("Kelp", CutWedges(5), Cloth(inches(9), inches(21)), Cloth(inches(9))),
        fabric("Lantern", CutWedges(0)),
    )
    assert available(fabrics, usual_wedge(12)) == {
        "Gull Stripe": None,
        "Kelp": 5 + 8 + 16,
        "Lantern": 0,
    }


def test_the_usual_width_can_be_set() -> None:
    kelp = fabric("Kelp", Cloth(inches(9)))
    assert available((kelp,), usual_wedge(12), usual_width=inches(44)) == {"Kelp": 18}


def test_a_pool_gives_a_wedge_from_each_cloth_unless_amounts_are_told() -> None:
    blues = msgspec.structs.replace(fabric("Blues"), pool=Pool(38))
    cut = msgspec.structs.replace(fabric("Cut Blues", CutWedges(50)), pool=Pool(38))
    assert available((blues, cut), usual_wedge(12)) == {"Blues": 38, "Cut Blues": 50}
