"""Long work beside the window: a process for what computes, a thread for what only waits.

A job is one function and plain values; what it sends back arrives in the window's own thread.
A process can be ended at any time, so a stuck photo or a long deal never holds the window.
"""

from __future__ import annotations

import atexit
import logging
import multiprocessing
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from multiprocessing.synchronize import Event
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

_log = logging.getLogger(__name__)

_RUNNING: Final[set[BaseProcess]] = set()
"""They may have hands of their own, which those that Python ends by itself may not."""


@atexit.register
def _end_all() -> None:
    for process in tuple(_RUNNING):
        process.kill()


_POLL_MS = 25
_GRACE_S = 3.0


Work = Callable[..., object]
"""What a process can run: a module's own function, so that a child finds it by name.

It takes ``send`` (called with what comes up on the way) and ``should_stop`` (asked now and
then) beside its own arguments, and returns what came of it.
"""


def _run(
    inbox: Connection, out: Connection, stop: Event
) -> None:  # pragma: no cover - runs in the child
    try:
        work, args = inbox.recv()
        result = work(
            *args, send=lambda item: out.send(("item", item)), should_stop=stop.is_set
        )
        out.send(("done", result))
    except ValueError as error:
        out.send(("refused", str(error)))
    except MemoryError:
        out.send(("refused", "There is not enough memory for that."))
    except Exception as error:
        out.send(("broken", f"{type(error).__name__}: {error}"))
        raise
    finally:
        out.close()


class Job(QObject):
    """One piece of work in a process of its own.

    Signals
    -------
    item_arrived
        Something sent on the way.
    finished
        What the work returned.
    failed
        A sentence for the maker; nothing was changed.
    ended
        After either, or after a kill: the job is over.
    """

    item_arrived = Signal(object)
    finished = Signal(object)
    failed = Signal(str)
    ended = Signal()

    def __init__(self, work: Work, *args: object, parent: QObject | None = None) -> None:
        super().__init__(parent)
        context = multiprocessing.get_context("spawn")
        self._stop = context.Event()
        self._in, child_end = context.Pipe(duplex=False)
        inbox, self._orders = context.Pipe(duplex=False)
        self._process = context.Process(target=_run, args=(inbox, child_end, self._stop))
        self._child_ends = (inbox, child_end)
        self._order = (work, args)
        self._asked_at: float | None = None
        self._over = False
        self._timer = QTimer(self)
        self._timer.setInterval(_POLL_MS)
        self._timer.timeout.connect(self._on_poll)

    def start(self) -> None:
        """Start the process."""
        self._process.start()
        _RUNNING.add(self._process)
        for end in self._child_ends:
            end.close()
        # Handed over beside the window: a shelf of photos is more than a pipe takes at once,
        # and the child needs a moment before it listens.
        threading.Thread(target=self._hand_over, daemon=True).start()
        self._timer.start()

    def stop(self) -> None:
        """Ask the work to stop and hand over what it has; it is ended if it does not listen."""
        self._stop.set()
        self._asked_at = self._asked_at or time.monotonic()

    def kill(self) -> None:
        """End the process at once; nothing more arrives."""
        if not self._over:
            self._end()

    @property
    def running(self) -> bool:
        """Whether the job is still at work."""
        return not self._over

    def _hand_over(self) -> None:
        with suppress(OSError, ValueError):  # it was ended before it heard
            self._orders.send(self._order)

    def _on_poll(self) -> None:
        try:
            while not self._over and self._in.poll():
                self._take(self._in.recv())
        except (EOFError, OSError):
            self._fail("The work ended before it was done.")
        if not self._over and not self._process.is_alive() and not self._in.poll():
            self._fail("The work ended before it was done.")
        late = self._asked_at is not None and time.monotonic() - self._asked_at > _GRACE_S
        if not self._over and late:
            self._end()

    def _take(self, message: tuple[str, object]) -> None:
        kind, value = message
        if kind == "item":
            self.item_arrived.emit(value)
        elif kind == "done":
            self._timer.stop()
            self.finished.emit(value)
            self._end()
        else:
            if kind == "broken":
                _log.error("a job broke: %s", value)
            self._fail(
                str(value) if kind == "refused" else "Something of ours went wrong there."
            )

    def _fail(self, sentence: str) -> None:
        if not self._over:
            self._timer.stop()
            self.failed.emit(sentence)
            self._end()

    def _end(self) -> None:
        self._over = True
        self._timer.stop()
        if self._process.is_alive():
            self._process.kill()
        _RUNNING.discard(self._process)
        self._in.close()
        self._orders.close()
        self.ended.emit()


class Errand(QObject):
    """A short piece of waiting (a file read or written) in a thread.

    Signals
    -------
    finished, failed
        What the function returned, or the exception it raised.
    """

    finished = Signal(object)
    failed = Signal(object)
    _pool = ThreadPoolExecutor(max_workers=2, thread_name_prefix="quiltboard-errand")

    def __init__(self, function: Callable[[], object], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._function = function
        self._future: Future[object] | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(10)
        self._timer.timeout.connect(self._on_poll)

    def start(self) -> None:
        """Start the function in a thread of the pool."""
        self._future = self._pool.submit(self._function)
        self._timer.start()

    def _on_poll(self) -> None:
        if self._future is None or not self._future.done():
            return
        self._timer.stop()
        error = self._future.exception()
        if error is not None:
            self.failed.emit(error)
        else:
            self.finished.emit(self._future.result())
