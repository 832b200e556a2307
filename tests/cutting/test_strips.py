"""Which strips to cut."""

from __future__ import annotations

import msgspec
import pytest

from quiltboard.cutting.strips import StripCut, strips_for
from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges, Fabric, FabricId, Pool, Reading
from quiltboard.shapes.wedge import usual_wedge
from quiltboard.units import inches

WEDGE = usual_wedge(12)


def fabric(*amounts: Amount, name: str = "Kelp") -> Fabric:
    reading = Reading((50.0, 0.0, 0.0), 45.0, 55.0)
    return Fabric(FabricId(name), name, reading, "#777777", amounts=amounts)


def test_as_much_as_needed_is_cut_from_the_usual_width() -> None:
    note = strips_for(fabric(), 17, WEDGE)
    assert note.cuts == (StripCut(2, inches(40), 16, folded=True),)
    assert (note.strips, note.per_strip, note.missing) == (2, 16, 0)
    assert note.strip_width == inches("19/4")


def test_no_strip_is_cut_for_nothing() -> None:
    assert strips_for(fabric(), 16, WEDGE).strips == 1
    assert strips_for(fabric(), 0, WEDGE).strips == 0
    assert strips_for(fabric(), 0, WEDGE).per_strip == 0


def test_wedges_cut_already_come_first() -> None:
    note = strips_for(fabric(CutWedges(5), Cloth(inches(9), inches(21))), 6, WEDGE)
    assert (note.ready, note.strips, note.missing) == (5, 1, 0)
    assert strips_for(fabric(CutWedges(5)), 4, WEDGE).ready == 4


def test_cloths_are_used_up_in_order() -> None:
    kelp = fabric(Cloth(inches(9), inches(21)), Cloth(inches(2)), Cloth(inches(10)))
    note = strips_for(kelp, 20, WEDGE)
    assert note.cuts == (
        StripCut(1, inches(21), 8, folded=False),
        StripCut(1, inches(40), 16, folded=True),
    )
    assert note.per_strip == 8


def test_what_the_cloth_does_not_give_is_missing() -> None:
    note = strips_for(fabric(Cloth(inches(9), inches(21))), 10, WEDGE)
    assert (note.strips, note.missing) == (1, 2)
    assert strips_for(fabric(Cloth(inches(9), inches(3))), 10, WEDGE).missing == 10


def test_fewer_than_no_pieces_are_refused() -> None:
    with pytest.raises(ValueError, match="not fewer"):
        strips_for(fabric(), -1, WEDGE)


def test_a_pool_is_cut_one_to_a_cloth_and_not_in_strips() -> None:
    blues = msgspec.structs.replace(fabric(), pool=Pool(38))
    note = strips_for(blues, 40, WEDGE)
    assert (note.one_each, note.missing, note.cuts, note.ready) == (38, 2, (), 0)
    assert strips_for(blues, 12, WEDGE).one_each == 12


def test_a_pool_whose_amounts_are_told_is_cut_from_them() -> None:
    blues = msgspec.structs.replace(fabric(Cloth(inches(18))), pool=Pool(38))
    note = strips_for(blues, 17, WEDGE)
    assert (note.one_each, note.strips) == (0, 2)
