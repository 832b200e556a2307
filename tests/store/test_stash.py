"""The stash: what is put in comes out again, is found, compared and told of."""

from __future__ import annotations

import math
import sqlite3
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest

from quiltboard.fabrics.fabric import ByHand, Cloth, CutWedges, FabricId, Swatch
from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.store.board_file import open_board, save_board
from quiltboard.store.safe_write import StoreError
from quiltboard.store.settings import folders
from quiltboard.store.stash import Stash, StashChangedError
from quiltboard.store.stash_entry import Price, StashEntry
from quiltboard.store.stash_search import HUES, Query, hue_of
from quiltboard.units import inches
from tests.helpers.boards import encoded, full_project, pictured
from tests.helpers.stash import coloured, pooled, printed


@pytest.fixture
def stash(tmp_path: Path) -> Stash:
    """Give an empty stash."""
    return Stash(tmp_path / "stash.sqlite")


def names(stash: Stash, query: Query | None = None) -> list[str]:
    """Give the names that a search finds."""
    return [row.name for row in stash.search(query)]


def full_entry() -> StashEntry:
    """Give an entry with everything that the stash holds."""
    return StashEntry(
        printed("dot", "Harbour Dot"),
        scraps="a bag of scraps, the longest 9 in",
        price=Price(Decimal("12.50"), "yd", "kr"),
        shop="from the swap\nmore to be had",
        tags=("Sea", "for Ida's quilt"),
    )


def test_what_is_put_in_comes_out_whole(stash: Stash) -> None:
    put = stash.put(full_entry())
    assert put.revision == 1
    assert put.updated.endswith("+00:00")
    assert stash.get(FabricId("dot")) == put
    assert msgspec.structs.replace(put, revision=0, updated="") == full_entry()


def test_a_pool_keeps_all_its_pictures(stash: Stash) -> None:
    put = stash.put(StashEntry(pooled("pool", "Blue mediums")))
    assert stash.get(FabricId("pool")) == put


def test_without_a_path_it_lies_in_the_data_folder() -> None:
    assert Stash().path == folders().data / "stash.sqlite"


def test_a_price_is_exact(stash: Stash) -> None:
    entry = msgspec.structs.replace(full_entry(), price=Price(Decimal("0.1000"), "m"))
    stash.put(entry)
    again = stash.get(FabricId("dot"))
    assert again is not None
    assert again.price is not None
    assert str(again.price.amount) == "0.1000"


def test_what_is_not_there_is_none(stash: Stash) -> None:
    assert stash.get(FabricId("nothing")) is None
    assert stash.remove(FabricId("nothing")) is None
    assert stash.count() == 0
    assert stash.search() == ()


def test_what_was_taken_out_can_be_put_back(stash: Stash) -> None:
    put = stash.put(full_entry())
    gone = stash.remove(FabricId("dot"))
    assert gone is not None
    assert stash.search() == ()
    back = stash.put(gone)
    assert back.fabric == put.fabric
    assert back.tags == put.tags


def test_keeping_a_boards_fabric_leaves_what_only_the_stash_knows(stash: Stash) -> None:
    first = stash.keep(printed("dot", "Harbour Dot"))
    assert first.tags == ()
    stash.put(msgspec.structs.replace(first, tags=("Sea",)))
    changed = msgspec.structs.replace(first.fabric, amounts=(CutWedges(3),), name="Dot")
    kept = stash.keep(changed)
    assert kept.tags == ("Sea",)
    assert kept.fabric == changed
    assert kept.revision == 3


def test_a_change_in_another_window_is_not_written_over(stash: Stash) -> None:
    mine = stash.put(full_entry())
    theirs = stash.put(msgspec.structs.replace(mine, shop="theirs"))
    with pytest.raises(
        StashChangedError, match="Harbour Dot was changed in another window"
    ) as e:
        stash.put(msgspec.structs.replace(mine, shop="mine"))
    assert e.value.latest == theirs
    assert stash.get(FabricId("dot")) == theirs


def test_what_another_window_took_out_does_not_come_back_by_itself(stash: Stash) -> None:
    mine = stash.put(full_entry())
    stash.remove(FabricId("dot"))
    with pytest.raises(StashChangedError, match="taken out") as caught:
        stash.put(mine)
    assert caught.value.latest is None
    assert stash.count() == 0


def test_putting_a_fabric_in_twice_offers_the_one_that_is_there(stash: Stash) -> None:
    there = stash.put(full_entry())
    with pytest.raises(StashChangedError, match="in the stash already, as Harbour Dot") as e:
        stash.put(StashEntry(pictured("dot", "Other")))
    assert e.value.latest == there


def test_one_photo_of_many_cloths_is_kept_once_and_goes_with_the_last(stash: Stash) -> None:
    photo = encoded("red", (64, 48), "JPEG") + bytes(300_000) + b"\xff\xd9"
    fabrics = [pictured(key, key) for key in ("one", "two", "three")]
    for fabric in fabrics:
        assert fabric.photo is not None
        told = msgspec.structs.replace(fabric.photo, jpeg=photo, width_px=64, height_px=48)
        stash.put(StashEntry(msgspec.structs.replace(fabric, photo=told)))
    assert 300_000 < stash.path.stat().st_size < 500_000
    stash.remove(FabricId("one"))
    again = stash.get(FabricId("two"))
    assert again is not None
    assert again.fabric.photo is not None
    for fabric in fabrics[1:]:
        stash.remove(fabric.id)
    size = stash.path.stat().st_size
    stash.put(StashEntry(fabrics[0]))
    assert stash.path.stat().st_size == size  # in the room that was left


def test_a_damaged_picture_is_left_out_and_the_rest_stays(stash: Stash) -> None:
    put = stash.put(full_entry())
    with sqlite3.connect(stash.path) as behind:
        behind.execute("UPDATE pictures SET data = ?", (b"nothing",))
    behind.close()
    again = stash.get(FabricId("dot"))
    assert again is not None
    assert again.fabric.swatch is None
    assert again.fabric.photo is None
    assert again.tags == put.tags
    assert stash.swatches([FabricId("dot")]) == {}


# Searching.


@pytest.fixture
def sea(stash: Stash) -> Stash:
    """Give a stash of six."""
    for entry in (
        StashEntry(coloured("salt", "Salt Flat", "#ece4d2"), tags=("plain", "sea")),
        StashEntry(coloured("foam", "Écume", "#e9e9e9", note="Bought wet")),
        StashEntry(coloured("rust", "Rust Vine", "#a4432b"), shop="Last of the BOLT"),
        StashEntry(coloured("kelp", "Kelp", "#21452f"), tags=("Sea",)),
        StashEntry(printed("dot", "Harbour Dot"), scraps="a bag of scraps"),
        StashEntry(printed("big", "Big Harbour", feature=0.75)),
    ):
        stash.put(entry)
    return stash


def test_all_are_listed_the_lightest_first(sea: Stash) -> None:
    assert names(sea) == [
        "Écume",
        "Salt Flat",
        "Big Harbour",
        "Harbour Dot",
        "Rust Vine",
        "Kelp",
    ]
    assert sea.count() == 6


@pytest.mark.parametrize(
    ("query", "found"),
    [
        (Query(text="harbour"), ["Big Harbour", "Harbour Dot"]),
        (Query(text="ecume"), ["Écume"]),
        (Query(text="ÉCUME wet"), ["Écume"]),
        (Query(text="bolt"), ["Rust Vine"]),
        (Query(text="bag harbour"), ["Harbour Dot"]),
        (Query(text="sea"), ["Salt Flat", "Kelp"]),
        (Query(text="%"), []),
        (Query(text="'; drop table fabrics; --"), []),
        (Query(value=(0, 42)), ["Rust Vine", "Kelp"]),
        (Query(value=(90, 100), text="salt"), ["Salt Flat"]),
        (Query(hue="neutral"), ["Écume"]),
        (Query(hue="violet"), []),
        (Query(hue="red"), ["Rust Vine"]),
        (Query(hue="green"), ["Kelp"]),
        (Query(print_mm=(0, 100)), ["Harbour Dot"]),
        (Query(print_mm=(57.15, 57.2)), ["Harbour Dot"]),
        (Query(print_mm=(50, 57.15)), []),
        (Query(tags=("sea",)), ["Salt Flat", "Kelp"]),
        (Query(tags=("SEA", "plain")), ["Salt Flat"]),
        (Query(tags=("se",)), []),
        (Query(limit=2), ["Écume", "Salt Flat"]),
    ],
)  # fmt: skip
def test_it_is_found_by(sea: Stash, query: Query, found: list[str]) -> None:
    assert names(sea, query) == found


def test_a_row_tells_what_a_list_shows(stash: Stash) -> None:
    stash.put(full_entry())
    (row,) = stash.search()
    assert row.value == 47.25
    assert row.amounts == (CutWedges(8), Cloth(inches(18)), Cloth(inches(9), inches(21)))
    assert row.scraps == "a bag of scraps, the longest 9 in"
    assert row.tags == ("Sea", "for Ida's quilt")
    assert row.print_mm == pytest.approx(57.15)
    assert stash.rows([FabricId("dot"), FabricId("gone")]) == {"dot": row}


def test_the_value_set_by_hand_counts_and_a_print_set_solid_has_no_size(stash: Stash) -> None:
    fabric = msgspec.structs.replace(printed("dot", "Dot"), by_hand=ByHand(12.0, solid=True))
    stash.put(StashEntry(fabric))
    (row,) = stash.search(Query(value=(12, 12)))
    assert row.print_mm is None


def test_a_print_without_scale_or_features_has_no_size(stash: Stash) -> None:
    solid = printed("solid", "Solid", feature=None)
    loose = printed("loose", "Loose")
    assert loose.swatch is not None
    loose = msgspec.structs.replace(
        loose, swatch=msgspec.structs.replace(loose.swatch, width=None)
    )
    for fabric in (solid, loose):
        stash.put(StashEntry(fabric))
    assert [row.print_mm for row in stash.search()] == [None, None]


def test_every_colour_has_a_family_and_families_follow_the_circle() -> None:
    around = [
        hue_of((50.0, 40 * math.cos(math.radians(deg)), 40 * math.sin(math.radians(deg))))
        for deg in range(360)
    ]
    turns = [hue for before, hue in pairwise(around) if hue != before]
    assert turns == ["red", "orange", "yellow", "green", "blue-green", "blue", "violet", "pink"]
    assert {*around, hue_of((50, 0, 0))} == set(HUES)


def test_swatches_come_by_themselves(stash: Stash) -> None:
    dot = printed("dot", "Dot")
    stash.put(StashEntry(dot))
    stash.put(StashEntry(coloured("salt", "Salt", "#ece4d2")))
    found = stash.swatches([FabricId("salt"), dot.id, FabricId("gone")])
    assert found == {dot.id: dot.swatch}
    assert isinstance(found[dot.id], Swatch)


# What comes nearest.


def test_the_nearest_is_measured_as_colours_look(sea: Stash) -> None:
    found = sea.nearest((50.0, -20.0, -8.0), 3)
    assert {alike.row.name for alike in found[:2]} == {"Harbour Dot", "Big Harbour"}
    assert found[0].apart == float(delta_e_2000((50.0, -20.0, -8.0), found[0].row.lab))
    assert [alike.apart for alike in found] == sorted(alike.apart for alike in found)


def test_a_fabric_is_not_its_own_alternative(sea: Stash) -> None:
    found = sea.nearest(FabricId("dot"), 99)
    assert found[0].row.name == "Big Harbour"
    assert found[0].apart == 0
    assert len(found) == 5
    assert sea.nearest(FabricId("gone")) == ()


def test_nothing_is_near_in_an_empty_stash(stash: Stash) -> None:
    assert stash.nearest((50.0, 0.0, 0.0)) == ()
    stash.put(full_entry())
    assert stash.nearest(FabricId("dot")) == ()


def test_more_than_sqlite_takes_at_once_are_found(stash: Stash) -> None:
    stash.put(full_entry())
    asked = [FabricId(f"x{k}") for k in range(1200)] + [FabricId("dot")]
    assert set(stash.rows(asked)) == {"dot"}


# Boards.


def test_boards_are_noted_and_told(stash: Stash, tmp_path: Path) -> None:
    project = full_project()
    one, two = tmp_path / "one.quiltboard", tmp_path / "two.quiltboard"
    stash.note_board(one, project)
    stash.note_board(two, msgspec.structs.replace(project, title="Two"))
    stash.note_board(one, msgspec.structs.replace(project, title="One again"))
    found = stash.boards_using(FabricId("dot"))
    assert {(use.path, use.title, use.pieces) for use in found} == {
        (one, "One again", 3),
        (two, "Two", 3),
    }
    assert found[0].path == one
    assert stash.boards_using(FabricId("salt"))[0].pieces == 4
    fewer = msgspec.structs.replace(project, fabrics=project.fabrics[1:])
    stash.note_board(one, fewer)
    assert [use.path for use in stash.boards_using(FabricId("dot"))] == [two]


def test_from_board_to_stash_to_another_board_a_fabric_is_the_same(
    stash: Stash, tmp_path: Path
) -> None:
    project = full_project()
    path = tmp_path / "one.quiltboard"
    save_board(project, path)
    for fabric in open_board(path).project.fabrics:
        stash.keep(fabric)
    again = [stash.get(fabric.id) for fabric in project.fabrics]
    assert tuple(entry.fabric for entry in again if entry) == project.fabrics


# What does not go in.


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"shop": "x" * 4001}, "out of bounds"),
        ({"scraps": "two\nlines"}, "out of bounds"),
        ({"tags": ("",)}, "out of bounds"),
        ({"tags": (" ",)}, "out of bounds"),
        ({"tags": tuple(f"t{k}" for k in range(51))}, "out of bounds"),
        ({"price": Price(Decimal("NaN"), "yd")}, "no number"),
        ({"price": Price(Decimal("Infinity"), "yd")}, "a price is from 0"),
        ({"price": Price(Decimal(-1), "yd")}, "a price is from 0"),
        ({"price": Price(Decimal("1e8"), "yd")}, "a price is from 0"),
        ({"price": Price(Decimal("1.00001"), "yd")}, "at most 4 figures"),
        ({"price": Price(Decimal(1), "yd", "doubloons")}, "out of bounds"),
        ({"shop": "half a sign \ud83d"}, "half a sign"),
    ],
)
def test_what_no_stash_holds_is_refused(
    stash: Stash, change: dict[str, object], why: str
) -> None:
    with pytest.raises(StoreError, match=rf"^Harbour Dot was not put in the stash: .*{why}"):
        stash.put(msgspec.structs.replace(full_entry(), **change))
    assert stash.count() == 0


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"name": "half a sign \udc00"}, "half a sign"),
        ({"name": "  "}, "its name is empty"),
        ({"name": "x" * 61}, "out of bounds"),
        ({"note": "x" * 4001}, "out of bounds"),
        ({"id": FabricId("a.b")}, "out of bounds"),
        ({"by_hand": ByHand(value=math.nan)}, "out of bounds"),
        ({"corners": ((math.nan, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))}, "out of bounds"),
    ],
)
def test_a_fabric_that_no_board_holds_is_refused(
    stash: Stash, change: dict[str, object], why: str
) -> None:
    fabric = msgspec.structs.replace(printed("dot", "Dot"), **change)
    with pytest.raises(StoreError, match=why):
        stash.put(StashEntry(fabric))
    assert stash.count() == 0


@pytest.mark.parametrize("where", [0, 1, 2])
def test_what_is_no_number_is_never_stored(stash: Stash, where: int) -> None:
    fabric = pictured("dot", "Dot")
    lab = [50.0, 0.0, 0.0]
    lab[where] = math.nan
    with pytest.raises(StoreError, match="was not put in the stash"):
        stash.put(
            StashEntry(
                msgspec.structs.replace(
                    fabric, reading=msgspec.structs.replace(fabric.reading, lab=tuple(lab))
                )
            )
        )


@pytest.mark.parametrize(
    "name", ["'; DROP TABLE fabrics; --", "Ünï çødé ½″", "🧵🪡", "%_\\", "x" * 60, "\u202eflip"]
)
def test_names_of_any_signs_come_back(stash: Stash, name: str) -> None:
    note = "n" * 3990 + "\n🧵"
    put = stash.put(StashEntry(msgspec.structs.replace(pictured("d", name), note=note)))
    assert stash.get(FabricId("d")) == put
    assert names(stash, Query(text=name)) == [name]
