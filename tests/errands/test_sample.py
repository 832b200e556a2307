"""The demo that travels with the program."""

from __future__ import annotations

from quiltboard.errands.bring_in import bring_in
from quiltboard.errands.judge import judge
from quiltboard.errands.sample import (
    ACROSS,
    DOWN,
    open_sample,
    sample_before,
    sample_list,
)
from quiltboard.fabrics.fabric_list import read_fabric_list
from quiltboard.store.board_file import open_board


def test_the_demo_opens_clean_and_as_large_as_it_is_planned() -> None:
    project, notes = open_sample()
    assert not notes
    assert project.title == "Allotment Supper"
    assert (project.board.across, project.board.down) == (ACROSS, DOWN)
    assert judge(project).report.flags == ()


def test_the_copy_with_faults_has_them() -> None:
    before = open_board(sample_before()).project
    assert before.fabrics == open_sample().project.fabrics
    assert all(judge(before).report.counts.values())


def test_the_list_names_the_prints_of_the_board_and_photos_that_are_there() -> None:
    listed, problems = read_fabric_list(sample_list())
    assert problems == ()
    assert [one.name for one in listed] == [f.name for f in open_sample().project.fabrics]
    assert all(one.photo is not None and one.photo.is_file() for one in listed)


def test_the_first_photo_of_the_list_reads_as_the_board_keeps_it() -> None:
    listed, _ = read_fabric_list(sample_list())
    assert listed[0].photo is not None
    (made,) = bring_in([listed[0].photo]).fabrics
    assert made.reading == open_sample().project.fabrics[0].reading
