"""Many hands: in order, all of it, and a thing that breaks its hand loses only itself."""

from __future__ import annotations

import os
import signal
import time
from itertools import chain, repeat

import pytest

from quiltboard.errands import hands
from quiltboard.errands.hands import BrokenHandError, hands_here, in_order


def squared(number: int) -> int:
    return number * number


def where(_number: int) -> int:
    time.sleep(0.05)
    return os.getpid()


def slow(number: int) -> int:
    time.sleep(1.0)
    return number


def deadly(number: int) -> int:
    if number == 3:
        os.kill(os.getpid(), signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    return number


def refusing(number: int) -> int:
    raise ValueError(f"not {number}")


@pytest.mark.parametrize("number", [0, 3, 20])
@pytest.mark.parametrize("many", [1, 2])
def test_everything_comes_back_in_order(number: int, many: int) -> None:
    assert list(in_order(squared, range(number), hands=many)) == [n * n for n in range(number)]


def test_few_things_are_done_here() -> None:
    assert set(in_order(where, range(hands.FEWEST_THINGS - 1))) == {os.getpid()}


def test_many_things_are_shared_out() -> None:
    at_work = set(in_order(where, range(12), hands=2))
    assert len(at_work) == 2
    assert os.getpid() not in at_work


def test_a_broken_hand_costs_the_thing_that_broke_it_and_no_other() -> None:
    made = list(in_order(deadly, [0, 1, 3, 2, 4, 5, 6, 3, 7], hands=2))
    lost = [at for at, item in enumerate(made) if isinstance(item, BrokenHandError)]
    assert lost == [2, 7]
    assert [item for item in made if not isinstance(item, BrokenHandError)] == [
        0, 1, 2, 4, 5, 6, 7,
    ]  # fmt: skip


def test_what_the_work_raises_comes_through() -> None:
    with pytest.raises(ValueError, match="not 0"):
        list(in_order(refusing, range(8), hands=2))


@pytest.mark.parametrize("many", [1, 2])
def test_stopping_gives_no_more(many: int) -> None:
    told = chain([False] * 4, repeat(True))
    made = list(in_order(squared, range(50), hands=many, should_stop=lambda: next(told)))
    assert len(made) < 5
    assert made == [n * n for n in range(len(made))]


def test_stopping_while_one_is_waited_for() -> None:
    told = chain([False] * 2, repeat(True))
    assert list(in_order(slow, range(9), hands=2, should_stop=lambda: next(told))) == []


def test_hands_of_this_computer(monkeypatch: pytest.MonkeyPatch) -> None:
    assert 1 <= hands_here() <= hands.MOST_HANDS
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: None)
    assert hands_here() == 1
    monkeypatch.setattr(os, "cpu_count", lambda: 64)
    assert hands_here() == hands.MOST_HANDS
