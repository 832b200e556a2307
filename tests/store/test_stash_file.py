"""The stash's file: brought up, backed up, shared by windows, never thrown away."""

from __future__ import annotations

import multiprocessing
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest

from quiltboard.fabrics.fabric import ByHand, FabricId
from quiltboard.store import stash_file
from quiltboard.store.safe_write import StoreError
from quiltboard.store.stash import Stash
from quiltboard.store.stash_entry import StashEntry
from quiltboard.store.stash_file import StashDamagedError
from quiltboard.store.stash_schema import MIGRATIONS, VERSION
from quiltboard.store.stash_search import Query
from tests.helpers.boards import pictured
from tests.helpers.stash import (
    coloured,
    count_in_second_window,
    die_while_writing,
    open_in_second_window,
    printed,
    write_version_1,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give a place for a stash, in a folder that is not there yet."""
    return tmp_path / "data" / "stash.sqlite"


@pytest.fixture
def stash(path: Path) -> Stash:
    """Give a stash of two."""
    made = Stash(path, wait_s=0.05)
    made.put(StashEntry(printed("dot", "Harbour Dot")))
    made.put(StashEntry(coloured("salt", "Salt Flat", "#ece4d2")))
    return made


def behind(path: Path, *statements: str) -> None:
    """Change a stash behind its back."""
    with sqlite3.connect(path) as file:
        for statement in statements:
            file.execute(statement)
    file.close()


def told(path: Path) -> list[str]:
    """Tell all that a stash holds."""
    with sqlite3.connect(path) as file:
        said = [str(file.execute("PRAGMA user_version").fetchone()), *file.iterdump()]
    file.close()
    return said


def beside(path: Path) -> list[str]:
    """List what lies in the stash's folder, the stash left out."""
    return sorted(other.name for other in path.parent.iterdir() if other != path)


# Versions.


def test_a_stash_of_version_1_is_brought_up_and_backed_up(path: Path) -> None:
    path.parent.mkdir()
    solid = msgspec.structs.replace(printed("plain", "Plain"), by_hand=ByHand(solid=True))
    write_version_1(
        path,
        StashEntry(printed("dot", "Harbour Dot"), shop="from the swap"),
        StashEntry(coloured("salt", "Salt Flat", "#ece4d2")),
        StashEntry(solid),
    )
    before = told(path)
    stash = Stash(path)
    sizes = {row.id: row.print_mm for row in stash.search()}
    assert sizes == {"dot": pytest.approx(57.15), "salt": None, "plain": None}
    entry = stash.get(FabricId("dot"))
    assert entry is not None
    assert entry.fabric == printed("dot", "Harbour Dot")
    assert (entry.shop, entry.tags, entry.revision) == ("from the swap", (), 1)
    stash.put(msgspec.structs.replace(entry, tags=("Sea",)))
    assert [row.id for row in stash.search(Query(tags=("sea",)))] == ["dot"]
    (backup,) = beside(path)
    assert backup.startswith("stash-v1-")
    assert backup.endswith(".backup.sqlite")
    assert told(path.with_name(backup)) == before


def test_a_page_that_cannot_be_read_does_not_stop_an_update(path: Path) -> None:
    path.parent.mkdir()
    write_version_1(path, StashEntry(printed("dot", "Harbour Dot")))
    behind(path, "UPDATE fabrics SET fabric = 'no page', kept = 'no page'")
    stash = Stash(path)
    (row,) = stash.search()
    assert (row.name, row.print_mm, row.amounts, row.tags) == ("Harbour Dot", None, (), ())
    with pytest.raises(StoreError, match="cannot be read by this Quiltboard"):
        stash.get(FabricId("dot"))
    assert stash.swatches([FabricId("dot")]) == {}


def test_a_fabric_written_like_an_older_boards_is_brought_up(stash: Stash) -> None:
    entry = stash.put(StashEntry(pictured("old", "Old")))
    with sqlite3.connect(stash.path) as file:
        (page,) = file.execute("SELECT fabric FROM fabrics WHERE id = 'old'").fetchone()
        told = msgspec.json.decode(page)
        for later in ("print", "by_hand", "care", "pool", "lighting", "ruler"):
            del told[later]
        file.execute(
            "UPDATE fabrics SET fabric = ?, shape = 1 WHERE id = 'old'",
            (msgspec.json.encode(told),),
        )
    file.close()
    assert stash.get(FabricId("old")) == entry


def test_every_version_leads_to_the_next(path: Path) -> None:
    assert Stash(path).put(StashEntry(coloured("salt", "Salt", "#ece4d2")))
    with sqlite3.connect(path) as file:
        assert file.execute("PRAGMA user_version").fetchone() == (VERSION,)
    file.close()
    assert len(MIGRATIONS) == VERSION == 2
    assert beside(path) == []  # a new stash has nothing to back up


def test_a_newer_stash_is_left_untouched(stash: Stash) -> None:
    behind(stash.path, f"PRAGMA user_version = {VERSION + 1}")
    before = stash.path.read_bytes()
    for use in (stash.count, lambda: stash.remove(FabricId("dot"))):
        with pytest.raises(
            StoreError, match=r"newer Quiltboard \(version 3\) .*update to open"
        ):
            use()
    assert stash.path.read_bytes() == before
    assert beside(stash.path) == []


def test_the_newest_five_backups_stay(path: Path) -> None:
    path.parent.mkdir()
    write_version_1(path, StashEntry(printed("dot", "Harbour Dot")))
    for day in range(1, 9):
        version = day % 3 + 8  # the newest by their time, whatever their version
        path.with_name(f"stash-v{version}-2020010{day}-120000.backup.sqlite").touch()
    Stash(path).count()
    kept = beside(path)
    assert len(kept) == 5
    days = {name.rpartition("-v")[2].partition("-")[2][:8] for name in kept}
    assert {day for day in days if day.startswith("2020")} == {
        f"2020010{day}" for day in (5, 6, 7, 8)
    }


def test_without_a_backup_nothing_is_brought_up(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path.parent.mkdir()
    write_version_1(path, StashEntry(printed("dot", "Harbour Dot")))
    before = path.read_bytes()
    nowhere = path.with_name("gone") / "stash-v1.backup.sqlite"
    monkeypatch.setattr(stash_file.StashFile, "_beside", lambda *_: nowhere)
    with pytest.raises(StoreError, match="The stash was not reached: it cannot be opened"):
        Stash(path).count()
    assert path.read_bytes() == before


def test_a_step_that_fails_changes_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path.parent.mkdir()
    write_version_1(path, StashEntry(printed("dot", "Harbour Dot")))
    before = path.read_bytes()

    def half(stash: sqlite3.Connection) -> None:
        MIGRATIONS[1](stash)
        stash.execute("no such statement")

    monkeypatch.setattr(stash_file, "MIGRATIONS", (MIGRATIONS[0], half))
    with pytest.raises(StoreError, match="The stash was not reached: the disk said"):
        Stash(path).count()
    assert path.read_bytes() == before


# Damage.


@pytest.mark.parametrize(
    "spoil",
    [
        lambda path: path.write_bytes(b"nothing like a stash " * 400),
        lambda path: path.write_bytes(path.read_bytes()[:5000]),
        lambda path: path.write_bytes(
            path.read_bytes()[:4096] + bytes(path.stat().st_size - 4096)
        ),
        lambda path: behind(path, "DROP TABLE boards"),
        lambda path: behind(path, "PRAGMA user_version = -1"),
        lambda path: behind(path, "PRAGMA user_version = 0"),
    ],
    ids=[
        "no database",
        "cut short",
        "blank pages",
        "a table gone",
        "odd version",
        "no version",
    ],
)
def test_a_damaged_stash_is_set_aside_and_a_new_one_begun(
    stash: Stash, spoil: Callable[[Path], object]
) -> None:
    path = stash.path
    spoil(path)
    damaged = path.read_bytes()
    journal = path.with_name("stash.sqlite-journal")
    journal.write_bytes(b"")
    with pytest.raises(
        StashDamagedError, match=r"kept as stash-damaged-.* a new one was begun"
    ):
        stash.search()
    aside = [name for name in beside(path) if name.endswith(".sqlite")]
    assert len(aside) == 1
    assert path.with_name(aside[0]).read_bytes() == damaged
    assert stash.search() == ()
    stash.put(StashEntry(coloured("salt", "Salt Flat", "#ece4d2")))
    # A second one, within the same second or not, does not push out the first.
    path.write_bytes(b"again nothing like a stash " * 400)
    with pytest.raises(StashDamagedError):
        stash.count()
    assert len([name for name in beside(path) if name.endswith(".sqlite")]) == 2


def test_damage_that_another_window_mended_is_not_mended_twice(
    stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    sound = stash.path.read_bytes()
    stash.path.write_bytes(b"nothing like a stash " * 400)
    look = stash_file.StashFile._is_sound

    def mended(file: stash_file.StashFile) -> bool:
        file.path.write_bytes(sound)
        return look(file)

    monkeypatch.setattr(stash_file.StashFile, "_is_sound", mended)
    with pytest.raises(StashDamagedError, match="another window has set it aside: try again"):
        stash.count()
    assert stash.count() == 2


def test_one_that_is_held_counts_as_sound(stash: Stash) -> None:
    with sqlite3.connect(stash.path, isolation_level=None) as other:
        other.execute("BEGIN EXCLUSIVE")
        assert stash_file.StashFile(stash.path, 0)._is_sound()
        other.execute("ROLLBACK")
    other.close()


def test_damage_that_cannot_be_moved_is_said(
    stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    stash.path.write_bytes(b"nothing like a stash " * 400)

    def held(_path: Path, _target: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", held)
    with pytest.raises(StoreError, match="damaged and cannot be moved out of the way: that f"):
        stash.count()
    assert stash.path.read_bytes().startswith(b"nothing")


# Disks.


def test_another_window_that_writes_too_long_is_said(stash: Stash) -> None:
    with sqlite3.connect(stash.path, isolation_level=None) as other:
        other.execute("BEGIN EXCLUSIVE")
        for use in (stash.count, lambda: stash.remove(FabricId("dot"))):
            with pytest.raises(StoreError, match="another window is writing in it: wait a mom"):
                use()
        other.execute("ROLLBACK")
    other.close()
    assert stash.count() == 2


def test_one_may_read_while_another_begins_to_write(stash: Stash) -> None:
    with sqlite3.connect(stash.path, isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("DELETE FROM fabrics")
        assert stash.count() == 2
        other.execute("ROLLBACK")
    other.close()


def test_a_full_disk_is_said_and_nothing_changes(
    stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    connect = stash_file.StashFile._connect

    def cramped(file: stash_file.StashFile) -> sqlite3.Connection:
        made = connect(file)
        (pages,) = made.execute("PRAGMA page_count").fetchone()
        made.execute(f"PRAGMA max_page_count = {pages}")
        return made

    before = stash.search()
    monkeypatch.setattr(stash_file.StashFile, "_connect", cramped)
    fabric = coloured("big", "Big", "#222222", note="n" * 4000)

    def fill() -> None:
        for k in range(20):
            stash.put(StashEntry(msgspec.structs.replace(fabric, id=FabricId(f"b{k}"))))

    with pytest.raises(StoreError, match="no room left on that disk: free some and try again"):
        fill()
    assert [row for row in stash.search() if not row.id.startswith("b")] == list(before)


def test_a_stash_that_may_only_be_read_is_read(
    stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Open it read-only, as a disk that may only be read makes SQLite do."""

    def reading_only(file: stash_file.StashFile) -> sqlite3.Connection:
        return sqlite3.connect(
            f"{file.path.as_uri()}?mode=ro", uri=True, timeout=0, isolation_level=None
        )

    monkeypatch.setattr(stash_file.StashFile, "_connect", reading_only)
    assert stash.count() == 2
    with pytest.raises(StoreError, match="it may only be read: let its folder and file"):
        stash.remove(FabricId("dot"))


def test_no_folder_to_be_in_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(StoreError, match="it cannot be opened: look whether its folder"):
        Stash(tmp_path / "file" / "stash.sqlite").keep(coloured("salt", "Salt", "#ece4d2"))


def test_looking_alone_makes_no_file(path: Path) -> None:
    stash = Stash(path)
    assert stash.count() == 0
    assert stash.search() == ()
    assert stash.get(FabricId("dot")) is None
    assert not path.parent.exists()


def test_a_file_that_may_not_even_be_looked_for_is_tried(
    stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    def hidden(_path: Path) -> bool:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "exists", hidden)
    assert stash.count() == 2


def test_a_picture_too_large_for_it_is_said(
    stash: Stash, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stash_file, "_LARGEST_VALUE", 1000)
    fabric = coloured("big", "Big", "#222222", note="n" * 4000)
    with pytest.raises(StoreError, match="The stash was not reached"):
        stash.put(StashEntry(fabric))


# Two windows.


def test_two_windows_write_at_once_and_nothing_is_lost(stash: Stash) -> None:
    context = multiprocessing.get_context("spawn")
    windows = [
        context.Process(target=count_in_second_window, args=(stash.path, "dot", 40))
        for _ in range(2)
    ]
    for window in windows:
        window.start()
    for window in windows:
        window.join()
    assert [window.exitcode for window in windows] == [0, 0]
    entry = stash.get(FabricId("dot"))
    assert entry is not None
    assert (entry.shop, entry.revision) == ("80", 81)


def test_two_windows_bring_one_old_stash_up_once(path: Path) -> None:
    path.parent.mkdir()
    write_version_1(path, *(StashEntry(printed(f"f{k}", f"F{k}")) for k in range(40)))
    context = multiprocessing.get_context("spawn")
    windows = [context.Process(target=open_in_second_window, args=(path,)) for _ in range(3)]
    for window in windows:
        window.start()
    for window in windows:
        window.join()
    assert [window.exitcode for window in windows] == [0, 0, 0]
    assert len(beside(path)) == 1
    assert Stash(path).count() == 40


def test_a_window_that_was_not_quick_enough_brings_nothing_up_twice(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path.parent.mkdir()
    write_version_1(path, StashEntry(printed("dot", "Harbour Dot")))
    look, looks = stash_file._version, []

    def beaten(stash: sqlite3.Connection) -> int:
        seen = look(stash)
        looks.append(seen)
        if len(looks) == 2:  # seen to be of version 1, not held yet
            Stash(path).count()
        return seen

    monkeypatch.setattr(stash_file, "_version", beaten)
    assert Stash(path).count() == 1
    assert len(beside(path)) == 1


def test_a_window_that_was_killed_while_writing_leaves_nothing_half(stash: Stash) -> None:
    for k in range(30):
        stash.put(StashEntry(pictured(f"f{k}", f"F{k}")))
    before, whole = stash.search(), stash.path.read_bytes()
    window = multiprocessing.get_context("spawn").Process(
        target=die_while_writing, args=(stash.path,)
    )
    window.start()
    window.join()
    assert window.exitcode == 9
    assert beside(stash.path) == ["stash.sqlite-journal"]
    assert stash.path.read_bytes() != whole  # it had begun
    assert stash.search() == before
    assert stash.swatches([FabricId("f3")])
    assert stash.path.read_bytes() == whole
    assert stash.remove(FabricId("f3"))


def test_a_thousand_large_fabrics_are_looked_through_without_their_pictures(
    stash: Stash, tmp_path: Path
) -> None:
    """Fill the stash with 300 KB a fabric behind its back, and look that it is all there."""
    picture = bytes(300_000)
    with sqlite3.connect(stash.path) as file:
        columns = [row[1] for row in file.execute("PRAGMA table_info(fabrics)")][1:]
        others = ", ".join(columns)
        for k in range(1000):
            file.execute(
                f"INSERT INTO fabrics (id, {others}) "  # noqa: S608 - ours
                f"SELECT ?, {others} FROM fabrics WHERE id = 'dot'",
                (f"f{k}",),
            )
            name = f"{k}".encode()
            file.execute("INSERT INTO pictures VALUES (?, ?)", (name, picture))
            file.execute(
                "INSERT INTO fabric_pictures VALUES (?, ?, ?)", (f"f{k}", "photo", name)
            )
    file.close()
    assert stash.path.stat().st_size > 300_000_000
    assert len(stash.search(Query(text="harbour", limit=2000))) == 1001
    entry = stash.get(FabricId("f7"))
    assert entry is not None
    stash.put(msgspec.structs.replace(entry, shop="changed"))
    assert stash.remove(FabricId("f8")) is not None
    assert stash.count() == 1001
    shutil.rmtree(stash.path.parent)
