"""Bringing fabrics in: what is found, in which order, and what a bad one costs."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from quiltboard.errands import bring_in as errand
from quiltboard.errands.bring_in import DEEPEST_FOLDER, Progress, bring_in, stream_in
from quiltboard.errands.hands import BrokenHandError
from quiltboard.errands.plan import numbered_ids
from quiltboard.fabrics.fabric import Cloth, CutWedges, Fabric
from quiltboard.project.edits import MOST_FABRICS
from quiltboard.units import inches
from tests.helpers.pictures import encoded, plain
from tests.helpers.table_scenes import table_scene

BLUE = encoded(plain((40, 80, 140), 24, 32))
RED = encoded(plain((150, 40, 50), 24, 32))
TORN = BLUE[:60]


def put(path: Path, data: bytes = BLUE) -> Path:
    """Write a file, and the folders it lies in."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def names(fabrics: tuple[Fabric, ...]) -> list[str]:
    return [fabric.name for fabric in fabrics]


def test_photos_come_in_as_they_are_named(tmp_path: Path) -> None:
    first, second = put(tmp_path / "sea-glass.png"), put(tmp_path / "brick_dust.png", RED)
    brought = bring_in([first, second], new_id=numbered_ids())
    assert names(brought.fabrics) == ["Sea glass", "Brick dust"]
    assert [fabric.id for fabric in brought.fabrics] == ["f001", "f002"]
    assert brought.sources == (first, second)
    assert brought.problems == ()
    assert brought.fabrics[0].colour == "#28508c"


def test_a_folder_gives_its_photos_by_name_and_passes_the_rest_by(tmp_path: Path) -> None:
    for name in (
        "b.png",
        "a.PNG",
        "sub/c.png",
        "sub/notes.txt",
        ".hidden.png",
        ".thumbs/d.png",
    ):
        put(tmp_path / name)
    brought = bring_in([tmp_path])
    assert names(brought.fabrics) == ["A", "B", "C"]
    assert brought.problems == ()


def test_a_folder_without_photos_is_told(tmp_path: Path) -> None:
    put(tmp_path / "cloths" / "notes.txt")
    brought = bring_in([tmp_path / "cloths"])
    assert brought.fabrics == ()
    assert brought.problems == ("cloths holds no photos.",)


def test_folders_are_followed_so_deep_and_no_deeper(tmp_path: Path) -> None:
    inside = tmp_path
    for depth in range(DEEPEST_FOLDER + 2):
        put(inside / f"at-{depth}.png")
        inside /= "in"
    brought = bring_in([tmp_path])
    assert names(brought.fabrics) == [f"At {depth}" for depth in range(DEEPEST_FOLDER + 1)]


def test_a_folder_of_too_many_photos_gives_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(errand, "MOST_FILES", 2)
    for name in ("cloths/a.png", "cloths/b.png", "cloths/c.png", "cloths/more/d.png"):
        put(tmp_path / name)
    brought = bring_in([tmp_path / "cloths"])
    assert names(brought.fabrics) == ["A", "B"]
    assert brought.problems == ("cloths holds more than 2 photos: the rest is left.",)


def test_a_folder_that_cannot_be_opened_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path / "open.png")
    put(tmp_path / "shut" / "a.png")
    look: Callable[[str], Iterator[os.DirEntry[str]]] = os.scandir

    def refuse(folder: str) -> Iterator[os.DirEntry[str]]:
        if Path(folder).name == "shut":
            raise PermissionError(13, "Permission denied", folder)
        return look(folder)

    monkeypatch.setattr(os, "scandir", refuse)
    brought = bring_in([tmp_path])
    assert names(brought.fabrics) == ["Open"]
    assert brought.problems == ("shut cannot be opened: Permission denied.",)


def test_a_list_brings_colours_photos_amounts_and_notes(tmp_path: Path) -> None:
    photo = put(tmp_path / "dot.png")
    put(
        tmp_path / "cloths.csv",
        b"name,photo,colour,pieces,length,width,note\n"
        b"Harbour Dot,dot.png,,8,,,from the swap\n"
        b"Salt Flat,,#ece4d2,,1/2 yd,,\n"
        b"Nothing,,,,,,\n",
    )
    brought = bring_in([tmp_path / "cloths.csv"])
    dot, salt = brought.fabrics
    assert (dot.name, dot.amounts, dot.note) == (
        "Harbour Dot", (CutWedges(8),), "from the swap",
    )  # fmt: skip
    assert dot.swatch is not None
    assert (salt.name, salt.amounts, salt.colour) == (
        "Salt Flat", (Cloth(inches(18)),), "#ece4d2",
    )  # fmt: skip
    assert salt.swatch is None
    assert brought.sources == (photo, None)
    (problem,) = brought.problems
    assert "“Nothing” has neither a photo nor a colour" in problem


def test_pasted_pictures_are_numbered() -> None:
    brought = bring_in([BLUE, RED], taken=["pasted cloth"])
    assert names(brought.fabrics) == ["Pasted cloth 2", "Pasted cloth 3"]
    assert brought.sources == (None, None)


def test_a_bad_photo_loses_only_itself_and_leaves_its_name(tmp_path: Path) -> None:
    torn = put(tmp_path / "one" / "kelp.png", TORN)
    whole = put(tmp_path / "two" / "kelp.png")
    missing = tmp_path / "gone.png"
    brought = bring_in([torn, missing, whole])
    assert names(brought.fabrics) == ["Kelp"]
    assert brought.sources == (whole,)
    assert [problem.split(" ")[0].rstrip(":") for problem in brought.problems] == [
        "kelp.png",
        "gone.png",
    ]


def test_progress_is_told_before_each_and_each_is_sent_when_it_is_made(tmp_path: Path) -> None:
    torn = put(tmp_path / "torn.png", TORN)
    heard: list[object] = []
    brought = bring_in([BLUE, torn, RED], send=heard.append)
    assert heard == [
        Progress(0, 3, "Pasted cloth"),
        brought.fabrics[0],
        Progress(1, 3, "Torn"),
        Progress(2, 3, "Pasted cloth"),
        brought.fabrics[1],
    ]


def test_stopping_hands_over_what_is_made() -> None:
    made: list[object] = []
    brought = bring_in([BLUE] * 4, send=made.append, should_stop=lambda: len(made) >= 4)
    assert len(brought.fabrics) == 2
    assert brought.problems == ("Stopped: 2 were not brought in.",)


def test_a_full_shelf_takes_no_more() -> None:
    taken = [f"Print {k}" for k in range(MOST_FABRICS - 1)]
    brought = bring_in([BLUE, RED, BLUE], taken)
    assert len(brought.fabrics) == 1
    assert brought.problems == (
        f"A shelf holds at most {MOST_FABRICS} fabrics: 2 were not brought in.",
    )


def test_streaming_in_holds_on_to_nothing_and_tells_the_same(tmp_path: Path) -> None:
    torn = put(tmp_path / "torn.png", TORN)
    came: list[object] = []
    problems = stream_in([BLUE, torn, RED], send=came.append, should_stop=lambda: False)
    assert [item.name for item in came if isinstance(item, Fabric)] == [
        "Pasted cloth",
        "Pasted cloth 2",
    ]
    assert len(problems) == 1


def test_a_photo_that_breaks_its_reader_loses_only_itself(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def breaking(
        work: Callable[[object], object], things: Sequence[object], **_options: object
    ) -> Iterator[object]:
        yield BrokenHandError("the process ended")
        yield from map(work, things[1:])

    monkeypatch.setattr(errand, "in_order", breaking)
    brought = bring_in([BLUE, RED])
    assert names(brought.fabrics) == ["Pasted cloth"]
    (problem,) = brought.problems
    assert "more memory than there is" in problem


def test_several_cloths_in_one_photo_are_cut_apart(tmp_path: Path) -> None:
    scene = table_scene(511, "wood", "grid")
    table = put(tmp_path / "table-top.png", encoded(scene.pixels, compress_level=1))
    brought = bring_in([table])
    count = len(brought.fabrics)
    assert count == len(scene.cloths) > 1
    assert names(brought.fabrics) == [f"Table top {n}" for n in range(1, count + 1)]
    assert len({fabric.id for fabric in brought.fabrics}) == count
    assert len({id(fabric.photo) for fabric in brought.fabrics}) == 1
    (told,) = brought.problems
    assert told.startswith(f"Table top: {count} cloths were found in one photo and cut apart.")

    taken = [f"Print {k}" for k in range(MOST_FABRICS - 2)]
    full = bring_in([table], taken)
    assert len(full.fabrics) == 2
    assert full.problems[1].startswith("A shelf holds at most")
    assert full.problems[1].endswith(f"{count - 2} of Table top were not brought in.")

    (tmp_path / "set.csv").write_text("name,photo,pieces\nTop,table-top.png,12\n")
    (one,) = bring_in([tmp_path / "set.csv"]).fabrics
    assert (one.name, one.amounts) == ("Top", (CutWedges(12),))
