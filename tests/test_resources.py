"""Files that travel with the program."""

from __future__ import annotations

import pytest

from quiltboard.resources import shipped


def test_a_shipped_file_is_found() -> None:
    assert shipped("sample_swatches", "fabrics.csv").is_file()
    assert shipped("resources", "fonts").is_dir()


def test_a_file_that_is_missing_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"resources/fonts/gone\.ttf is missing"):
        shipped("resources", "fonts", "gone.ttf")
