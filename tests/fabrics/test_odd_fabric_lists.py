"""Fabric lists that a spreadsheet or a tired maker may write."""

from __future__ import annotations

from pathlib import Path

import pytest

from quiltboard.fabrics.fabric import CutWedges
from quiltboard.fabrics.fabric_list import COLUMNS, FabricList, parse_fabric_list

HEADER = ",".join(COLUMNS) + "\n"


def read(text: str) -> FabricList:
    return parse_fabric_list(text.encode(), Path())


def test_a_list_of_no_fabrics_says_so() -> None:
    assert read(HEADER) == (
        (),
        ("fabrics.csv: it names no fabric; write one in each row below the first",),
    )
    assert read(HEADER + ",,,,,,\n").problems == read(HEADER).problems


@pytest.mark.parametrize("text", ["1.000", '"1,000"', "1_0", "1e3", "12.5", "+4", "0x10"])
def test_a_number_of_pieces_is_never_guessed_at(text: str) -> None:
    fabrics, problems = read(f"{HEADER}A,,#aa3344,{text},,,\n")
    assert fabrics == ()
    assert "is no number of pieces" in problems[0]


@pytest.mark.parametrize("text", ["12", "12.0", '"12,00"', "012"])
def test_a_whole_number_may_have_zeros_round_it(text: str) -> None:
    (fabric,), problems = read(f"{HEADER}A,,#aa3344,{text},,,\n")
    assert (fabric.amounts, problems) == ((CutWedges(12),), ())
