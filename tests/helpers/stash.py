"""Invented fabrics for a stash, and what a second window does to it."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path

import msgspec

from quiltboard.fabrics.fabric import Fabric, FabricId, Pool
from quiltboard.fabrics.measure import reading_of_colour
from quiltboard.fabrics.reading import RELIEF_SIDE, Direction, Lab, Print, Repeat, Tint
from quiltboard.store.safe_write import StoreError
from quiltboard.store.stash import Stash, StashChangedError
from quiltboard.store.stash_entry import StashEntry, write_entry
from quiltboard.store.stash_schema import MIGRATIONS
from tests.helpers.boards import pictured


def coloured(key: str, name: str, colour: str, note: str = "") -> Fabric:
    """Give a fabric of one plain colour."""
    return Fabric(FabricId(key), name, reading_of_colour(colour), colour, note=note)


def printed(key: str, name: str, feature: float | None = 0.25) -> Fabric:
    """Give a pictured fabric (9 in of it) whose print has been measured."""
    fabric = pictured(key, name)
    measured = Print(
        tints=(Tint((40.0, 10.0, 5.0), 0.75), Tint((80.0, 0.0, 0.0), 0.25)),
        contrast=12.5,
        feature=feature,
        solid=feature is None,
        repeat=Repeat("none", (), 0.75),
        direction=Direction("not sure", 0.5),
        relief=bytes(RELIEF_SIDE**2),
    )
    return msgspec.structs.replace(
        fabric, reading=msgspec.structs.replace(fabric.reading, print=measured)
    )


def pooled(key: str, name: str) -> Fabric:
    """Give a pool of three cloths with two further swatches, both one picture."""
    fabric = pictured(key, name)
    assert fabric.swatch is not None
    return msgspec.structs.replace(fabric, pool=Pool(3, (fabric.swatch, fabric.swatch)))


def write_version_1(path: Path, *entries: StashEntry) -> None:
    """Write a stash as its first version did."""
    with sqlite3.connect(path, isolation_level=None) as stash:
        MIGRATIONS[0](stash)
        stash.execute("PRAGMA user_version = 1")
        for entry in entries:
            written = write_entry(entry)._asdict()
            pictures = written.pop("pictures")
            del written["print_mm"], written["tags"]
            kept = msgspec.json.decode(written["kept"])
            del kept["tags"]
            written |= {"kept": msgspec.json.encode(kept), "revision": 1, "updated": "then"}
            names, marks = ", ".join(written), ", ".join("?" * len(written))
            stash.execute(
                f"INSERT INTO fabrics ({names}) VALUES ({marks})",  # noqa: S608 - ours
                tuple(written.values()),
            )
            for at, (key, data) in enumerate(pictures.items()):
                name = f"{entry.fabric.id}-{at}".encode()
                stash.execute("INSERT INTO pictures VALUES (?, ?)", (name, data))
                stash.execute(
                    "INSERT INTO fabric_pictures VALUES (?, ?, ?)", (entry.fabric.id, key, name)
                )
    stash.close()


def fill_behind(path: Path, key: str, colours: Sequence[Lab]) -> None:
    """Copy one fabric's row for each colour, past all care: five thousand puts take a while."""
    with sqlite3.connect(path) as file:
        columns = [row[1] for row in file.execute("PRAGMA table_info(fabrics)")]
        others = ", ".join(c for c in columns if c not in {"id", "value", "a", "b"})
        copy = (
            f"INSERT INTO fabrics (id, value, a, b, {others}) "  # noqa: S608 - ours
            f"SELECT ?, ?, ?, ?, {others} FROM fabrics WHERE id = ?"
        )
        file.executemany(copy, [(f"f{k}", *colour, key) for k, colour in enumerate(colours)])
    file.close()


def count_in_second_window(path: Path, key: str, times: int) -> None:
    """Add one to the figure in a fabric's shop note again and again, as a window would."""
    stash = Stash(path, wait_s=60)
    done = 0
    while done < times:
        entry = stash.get(FabricId(key))
        assert entry is not None
        changed = msgspec.structs.replace(entry, shop=str(int(entry.shop or "0") + 1))
        try:
            stash.put(changed)
        except StashChangedError:
            continue  # the other window was quicker
        done += 1


def open_in_second_window(path: Path) -> None:
    """Open a stash and put nothing in; an old one is brought up."""
    try:
        Stash(path, wait_s=60).count()
    except StoreError as error:
        raise SystemExit(str(error)) from error


def die_while_writing(path: Path) -> None:
    """Begin to write, so much that it reaches the disk, and be ended in the middle."""
    stash = sqlite3.connect(path, isolation_level=None)
    stash.execute("PRAGMA cache_size = 5")
    stash.execute("BEGIN IMMEDIATE")
    stash.execute("UPDATE fabrics SET name = 'half written', folded = hex(zeroblob(2000))")
    stash.execute("DELETE FROM fabric_pictures")
    os._exit(9)
