"""Locks: held by one, given back at the end, and done without where there are none."""

from __future__ import annotations

import errno
import multiprocessing
import os
import sys
from pathlib import Path

import pytest

from quiltboard.store.lock import is_alive, take_lock


def test_a_lock_is_held_once_and_given_back(tmp_path: Path) -> None:
    path = tmp_path / "locked"
    with path.open("w+b") as first:
        assert take_lock(first.fileno()) == "held"
        with path.open("r+b") as second:
            assert take_lock(second.fileno()) == "busy"
    with path.open("r+b") as third:
        assert take_lock(third.fileno()) == "held"


if sys.platform != "win32":

    def test_a_disk_without_locks_is_known(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def refuse(_handle: int, _how: int) -> None:
            raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

        monkeypatch.setattr("fcntl.flock", refuse)
        with (tmp_path / "locked").open("w+b") as file:
            assert take_lock(file.fileno()) == "unknown"

    def test_a_process_that_is_gone_is_known() -> None:
        gone = multiprocessing.get_context("spawn").Process(target=int)
        gone.start()
        number = gone.pid
        gone.join()
        assert number
        assert not is_alive(number)

    def test_a_process_of_someone_else_is_alive(monkeypatch: pytest.MonkeyPatch) -> None:
        def refuse(_process: int, _signal: int) -> None:
            raise PermissionError

        monkeypatch.setattr(os, "kill", refuse)
        assert is_alive(1)


def test_the_present_process_is_alive_and_in_doubt_any_is() -> None:
    assert is_alive(os.getpid())
    assert is_alive(0)
