"""Many hands: one piece of work done on many things, on all cores, in order.

Each hand is a process of its own. A thing that breaks its hand loses only itself.
"""

from __future__ import annotations

import multiprocessing
import os
import threading
from collections import deque
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from typing import Final, TypeVar

_Thing = TypeVar("_Thing")
_Made = TypeVar("_Made")

MOST_HANDS: Final = 4
"""Each takes up to 250 MB while it has a large photo in it."""
FEWEST_THINGS: Final = 6
"""Fewer are done sooner by oneself than by hands that must be fetched first."""
_LOOK_UP_S: Final = 0.2


class BrokenHandError(RuntimeError):
    """A process ended while it worked on a thing: mostly for lack of memory."""


def hands_here() -> int:
    """Tell how many hands this computer has to lend."""
    affinity = getattr(os, "sched_getaffinity", None)
    cores = len(affinity(0)) if affinity is not None else os.cpu_count() or 1
    return min(cores, MOST_HANDS)


def in_order(
    work: Callable[[_Thing], _Made],
    things: Sequence[_Thing],
    *,
    hands: int | None = None,
    should_stop: Callable[[], bool] = lambda: False,
) -> Iterator[_Made | BrokenHandError]:
    """Do one piece of work on many things; give what comes of each in the order of the things.

    Parameters
    ----------
    work
        A module's own function.
    things
        What it is done on; few are done here and now.
    hands
        How many processes; None for as many as the computer has cores, at most four.
    should_stop
        Asked while waiting; what comes after that is not given.

    Yields
    ------
    object
        What the work returned, or a `BrokenHandError` where its process ended.
    """
    many = hands_here() if hands is None else hands
    if many < 2 or len(things) < FEWEST_THINGS:
        for thing in things:
            if should_stop():
                return
            yield work(thing)
        return
    waiting = deque(things)
    suspects = 0
    while waiting and not should_stop():
        if suspects:
            # One of these broke a hand: each alone, so that it is known which.
            yield from _work_down(work, waiting, 1, should_stop, most=1)
            suspects -= 1
        else:
            suspects = yield from _work_down(work, waiting, many, should_stop)


def _work_down(
    work: Callable[[_Thing], _Made],
    waiting: deque[_Thing],
    hands: int,
    should_stop: Callable[[], bool],
    most: int | None = None,
) -> Generator[_Made | BrokenHandError, None, int]:
    """Work down the things until all are done or a hand breaks; give how many may have."""
    pool = ProcessPoolExecutor(hands, multiprocessing.get_context("spawn"), initializer=_begin)
    # One more than there are hands, so that none waits; not all, so that memory stays bounded.
    ahead = most or hands + 1
    left = most or len(waiting)
    at_work: deque[Future[_Made]] = deque()
    try:
        while left:
            while len(at_work) < min(ahead, left):
                at_work.append(pool.submit(work, waiting[len(at_work)]))
            while not wait([at_work[0]], timeout=_LOOK_UP_S).done:
                if should_stop():
                    return 0
            if should_stop():
                return 0
            made = at_work[0].result()
            at_work.popleft()
            waiting.popleft()
            left -= 1
            yield made
    except BrokenProcessPool:
        if most is None:
            return ahead
        waiting.popleft()
        yield BrokenHandError("the process ended")
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
    return 0


def _begin() -> None:  # pragma: no cover - runs in the child
    """Let a hand take one core, and end when the one it works for is gone."""
    for library in ("OPENBLAS", "OMP", "MKL"):
        os.environ[f"{library}_NUM_THREADS"] = "1"  # before numpy is loaded with the work
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent is not None:
            parent.join()
            os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
