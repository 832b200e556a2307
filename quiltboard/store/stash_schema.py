"""The tables of the stash, and how an older stash becomes a newer one.

Each migration takes a stash of one version to the next, inside a transaction that the caller
holds. A migration that has shipped is never changed; what the program does today is not called
from here, since it will do something else tomorrow.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from typing import Final

TABLES: Final = frozenset({"fabrics", "pictures", "fabric_pictures", "boards"})
"""What a stash of any version holds."""

Migration = Callable[[sqlite3.Connection], None]

_PER_MM: Final = 320


def _begun(stash: sqlite3.Connection) -> None:
    """To 1: fabrics and what finds them, their pictures, and the boards that use them."""
    for statement in (
        """CREATE TABLE fabrics (
            id TEXT NOT NULL PRIMARY KEY,
            revision INTEGER NOT NULL,
            updated TEXT NOT NULL,
            name TEXT NOT NULL,
            folded TEXT NOT NULL,
            words TEXT NOT NULL,
            colour TEXT NOT NULL,
            value REAL NOT NULL,
            a REAL NOT NULL,
            b REAL NOT NULL,
            shape INTEGER NOT NULL,
            fabric BLOB NOT NULL,
            kept BLOB NOT NULL
        )""",
        # Pictures stand in a table of their own, so that searching never reads past one.
        "CREATE TABLE pictures (digest BLOB NOT NULL PRIMARY KEY, data BLOB NOT NULL)",
        """CREATE TABLE fabric_pictures (
            fabric TEXT NOT NULL,
            key TEXT NOT NULL,
            digest BLOB NOT NULL,
            PRIMARY KEY (fabric, key)
        ) WITHOUT ROWID""",
        "CREATE INDEX fabric_pictures_by_digest ON fabric_pictures (digest)",
        """CREATE TABLE boards (
            fabric TEXT NOT NULL,
            path TEXT NOT NULL,
            title TEXT NOT NULL,
            pieces INTEGER NOT NULL,
            seen TEXT NOT NULL,
            PRIMARY KEY (fabric, path)
        ) WITHOUT ROWID""",
        "CREATE INDEX boards_by_path ON boards (path)",
    ):
        stash.execute(statement)


def _by_print_and_tag(stash: sqlite3.Connection) -> None:
    """To 2: searching by the size of the print, where it is known, and by tags."""
    stash.execute("ALTER TABLE fabrics ADD COLUMN print_mm REAL")
    stash.execute("ALTER TABLE fabrics ADD COLUMN tags TEXT NOT NULL DEFAULT ''")
    sizes = [
        (_print_mm(written), row)
        for row, written in stash.execute("SELECT rowid, fabric FROM fabrics")
    ]
    stash.executemany("UPDATE fabrics SET print_mm = ? WHERE rowid = ?", sizes)
    stash.execute("CREATE INDEX fabrics_by_colour ON fabrics (value, a, b, id)")


def _print_mm(written: bytes) -> float | None:
    try:
        fabric = json.loads(written)
        solid = fabric["by_hand"]["solid"]
        return (
            None if solid else fabric["print"]["feature"] * fabric["swatch"]["width"] / _PER_MM
        )
    except (ValueError, KeyError, TypeError):  # not told, or a page that cannot be read
        return None


MIGRATIONS: Final[tuple[Migration, ...]] = (_begun, _by_print_and_tag)
"""The one at place n takes a stash of version n to n + 1; a new file is of version 0."""

VERSION: Final = len(MIGRATIONS)
