"""A lock on a file for as long as the program that holds it lives, however it ends."""

from __future__ import annotations

import os
import sys
from typing import Final, Literal

Hold = Literal["held", "busy", "unknown"]

_FAR: Final = 0x7FFF_FFF0
"""Where the locked byte lies: beyond what a journal may hold, so it never hinders reading."""

if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int) -> None:
        before = os.lseek(handle, 0, os.SEEK_CUR)
        os.lseek(handle, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        finally:
            os.lseek(handle, before, os.SEEK_SET)

    _BUSY: type[OSError] = PermissionError

else:
    import fcntl

    def _lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)

    _BUSY: type[OSError] = BlockingIOError


def take_lock(handle: int) -> Hold:
    """Lock an open file, unless another open file holds the lock already.

    Parameters
    ----------
    handle
        An open file descriptor; closing it gives the lock back.

    Returns
    -------
    str
        "held" now by this file, "busy", or "unknown" where the disk keeps no locks.
    """
    try:
        _lock(handle)
    except _BUSY:
        return "busy"
    except OSError:
        return "unknown"
    return "held"


def is_alive(process: int) -> bool:
    """Tell whether a process runs, for disks that keep no locks; if in doubt, it does."""
    if sys.platform == "win32" or process <= 0:
        # Signalling a process would end it there.
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
