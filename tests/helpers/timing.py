"""Times told beside a floor that the same machine took a moment before; they decide nothing."""

from __future__ import annotations

import time
from collections.abc import Callable

Record = Callable[[str, object], None]
"""pytest's ``record_property``."""


def best_ms(job: Callable[[], object], runs: int = 5) -> float:
    """Give the best of several runs in one go, since other work may share the machine."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return 1000 * min(times)


def loop_ms() -> float:
    """Time a million turns of an empty loop: the floor of what plain Python does."""
    return best_ms(lambda: [None for _ in range(1_000_000)])


def tell(record: Record, what: str, spent_ms: float, floor: str, floor_ms: float) -> None:
    """Print how long something took and how many times its floor that is, and keep both."""
    times = spent_ms / floor_ms
    print(f"{what}: {spent_ms:.2f} ms, {times:.2f} × {floor} ({floor_ms:.2f} ms)")  # noqa: T201
    record(f"{what}: ms", round(spent_ms, 3))
    record(f"{what}: times {floor}", round(times, 3))
