"""Jobs: what is sent arrives, what breaks is said, what hangs is ended."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from quiltboard.document.jobs import Errand, Job

pytestmark = pytest.mark.qt

PATIENCE_MS = 20_000


def count_up(
    to: int, *, send: Callable[[object], None], should_stop: Callable[[], bool]
) -> int:
    for number in range(to):
        if should_stop():
            return number
        send(number)
    return to


def refuse(*, send: Callable[[object], None], should_stop: Callable[[], bool]) -> None:
    raise ValueError("There is no cloth.")


def fall_over(*, send: Callable[[object], None], should_stop: Callable[[], bool]) -> None:
    import os  # noqa: PLC0415

    os._exit(3)


def hang(*, send: Callable[[object], None], should_stop: Callable[[], bool]) -> None:
    send("hanging")
    time.sleep(600)


def listen(*, send: Callable[[object], None], should_stop: Callable[[], bool]) -> str:
    send("listening")
    while not should_stop():
        time.sleep(0.01)
    return "best so far"


def test_items_arrive_in_order_and_then_the_result(qtbot: QtBot) -> None:
    job = Job(count_up, 5)
    items: list[object] = []
    results: list[object] = []
    job.item_arrived.connect(items.append)
    job.finished.connect(results.append)
    with qtbot.waitSignal(job.ended, timeout=PATIENCE_MS):
        job.start()
    assert items == [0, 1, 2, 3, 4]
    assert results == [5]
    assert not job.running


@pytest.mark.parametrize(
    ("work", "says"), [(refuse, "There is no cloth."), (fall_over, "ended before it was done")]
)
def test_a_failure_is_a_sentence(qtbot: QtBot, work: Callable[..., None], says: str) -> None:
    job = Job(work)
    sentences: list[str] = []
    job.failed.connect(sentences.append)
    with qtbot.waitSignal(job.ended, timeout=PATIENCE_MS):
        job.start()
    assert len(sentences) == 1
    assert says in sentences[0]


def test_stop_hands_over_the_best_so_far(qtbot: QtBot) -> None:
    job = Job(listen)
    results: list[object] = []
    job.finished.connect(results.append)
    with qtbot.waitSignal(job.item_arrived, timeout=PATIENCE_MS):
        job.start()
    with qtbot.waitSignal(job.ended, timeout=PATIENCE_MS):
        job.stop()
    assert results == ["best so far"]


def test_what_does_not_listen_is_ended(qtbot: QtBot) -> None:
    job = Job(hang)
    with qtbot.waitSignal(job.item_arrived, timeout=PATIENCE_MS):
        job.start()
    with qtbot.waitSignal(job.ended, timeout=PATIENCE_MS):
        job.stop()
    assert not job.running


def test_a_killed_job_sends_nothing_more(qtbot: QtBot) -> None:
    job = Job(hang)
    with qtbot.waitSignal(job.item_arrived, timeout=PATIENCE_MS):
        job.start()
    with qtbot.waitSignal(job.ended, timeout=1000):
        job.kill()


def test_an_errand_brings_its_result_or_its_exception(qtbot: QtBot) -> None:
    good = Errand(lambda: 7)
    with qtbot.waitSignal(good.finished, timeout=PATIENCE_MS) as done:
        good.start()
    assert done.args == [7]

    def broken() -> None:
        raise OSError("the disk is full")

    bad = Errand(broken)
    with qtbot.waitSignal(bad.failed, timeout=PATIENCE_MS) as failed:
        bad.start()
    assert isinstance(failed.args[0], OSError)
