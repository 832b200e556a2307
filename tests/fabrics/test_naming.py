"""Names come from photos, fit on a label, and are not given twice."""

from __future__ import annotations

from pathlib import Path

import pytest

from quiltboard.fabrics.fabric import FabricId
from quiltboard.fabrics.naming import (
    LONGEST_NAME,
    name_from_path,
    new_fabric_id,
    tidy_name,
    unique_name,
)


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("IMG_1234.jpg", "IMG 1234"),
        ("photos/kale-frill.png", "Kale frill"),
        ("__.jpg", "Fabric"),
        ("Gate.Border.v2.jpg", "Gate.Border.v2"),
        ("étoffe  bleue.webp", "Étoffe bleue"),
        ("rouge\u202egpj.jpg", "Rougegpj"),
        ("a\udce9b.jpg", "Ab"),
        ("x" * 90 + ".jpg", "X" + "x" * 59),
    ],
)
def test_name_from_path(path: str, name: str) -> None:
    assert name_from_path(Path(path)) == name


def test_tidy_name() -> None:
    assert tidy_name("  Kale \n\t frill\0\x7f ") == "Kale frill"
    assert tidy_name("\x00") == "Fabric"
    assert tidy_name("e\u0301toffe") == "étoffe"


def test_unique_name_counts_on() -> None:
    assert unique_name("Kale", []) == "Kale"
    assert unique_name("Kale", ["KALE", "Kale 2"]) == "Kale 3"
    assert unique_name("Kale 2", ["Kale 2"]) == "Kale 2 2"


def test_unique_name_stays_short_enough() -> None:
    long = "k" * LONGEST_NAME
    second = unique_name(long, [long])
    assert second == "k" * 58 + " 2"
    assert unique_name(long, [long, second]) == "k" * 58 + " 3"


def test_ids_are_plain_and_new() -> None:
    ids: set[FabricId] = {new_fabric_id() for _ in range(500)}
    assert len(ids) == 500
    assert all(one.isascii() and one.isalnum() and one[0].isalpha() for one in ids)
