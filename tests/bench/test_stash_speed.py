"""How long looking into a stash of five thousand fabrics takes, beside what it cannot spare.

The times are told, not judged.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path
from random import Random

import numpy as np

from quiltboard.fabrics.fabric import FabricId
from quiltboard.fabrics.measure import delta_e_2000
from quiltboard.store.stash import Stash
from quiltboard.store.stash_entry import StashEntry
from quiltboard.store.stash_search import Query
from tests.helpers.stash import fill_behind, printed
from tests.helpers.timing import Record, best_ms, tell

MANY = 5000


def test_five_thousand_fabrics(record_property: Record, tmp_path: Path) -> None:
    stash, draw = Stash(tmp_path / "stash.sqlite"), Random(7)
    stash.put(StashEntry(printed("dot", "Harbour Dot")))
    colours = [
        (draw.uniform(5, 95), draw.uniform(-60, 60), draw.uniform(-60, 60)) for _ in range(MANY)
    ]
    fill_behind(stash.path, "dot", colours)
    found = stash.nearest(FabricId("dot"), 8)
    own = stash.rows([FabricId("dot")])[FabricId("dot")].lab
    apart = delta_e_2000(np.array(colours), np.array([own]))
    assert [alike.apart for alike in found] == sorted(apart.tolist())[:8]

    def read() -> None:
        with sqlite3.connect(stash.path) as file:
            file.execute("SELECT id, value, a, b FROM fabrics").fetchall()
        file.close()

    parts = best_ms(read, 5) + best_ms(
        lambda: delta_e_2000(np.array(colours), np.array([own])), 5
    )
    nearest = best_ms(lambda: stash.nearest(FabricId("dot"), 8), 5)
    tell(record_property, "nearest of 5,000", nearest, "read and compare", parts)
    query = Query(text="harbour", value=(20, 60), hue="blue")
    search = best_ms(lambda: stash.search(query), 5)
    tell(record_property, "search of 5,000", search, "read and compare", parts)
    assert stash.search(query)
