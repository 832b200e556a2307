"""Writing safely: whatever goes wrong, the old file is whole and nothing lies about."""

from __future__ import annotations

import errno
import os
import sys
from pathlib import Path

import pytest

from quiltboard.store.safe_write import StoreError, set_aside, write_safely


@pytest.fixture
def old(tmp_path: Path) -> Path:
    path = tmp_path / "old.quiltboard"
    path.write_bytes(b"old")
    return path


def test_a_file_is_written_and_replaced(tmp_path: Path) -> None:
    path = tmp_path / "new"
    write_safely(path, b"first")
    write_safely(path, b"second")
    assert path.read_bytes() == b"second"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("failing", ["replace", "fsync", "open"])
@pytest.mark.parametrize(
    ("code", "said"),
    [
        (errno.ENOSPC, "there is no room left on that disk"),
        (errno.EROFS, "that disk may only be read"),
        (errno.EACCES, "may not be written in"),
        (errno.EIO, "the disk said"),
    ],
)
def test_a_failing_disk_leaves_the_old_file_whole(
    old: Path, monkeypatch: pytest.MonkeyPatch, failing: str, code: int, said: str
) -> None:
    def fail(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, failing, fail)
    with pytest.raises(StoreError) as caught:
        write_safely(old, b"new")
    monkeypatch.undo()
    assert str(caught.value).startswith("old.quiltboard was not saved: ")
    assert said in str(caught.value)
    assert old.read_bytes() == b"old"
    assert list(old.parent.iterdir()) == [old]


def test_a_crash_before_the_move_leaves_the_old_file_whole(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[bytes] = []

    def crash(temporary: Path, target: Path) -> None:
        seen.append(temporary.read_bytes())
        assert target.read_bytes() == b"old"
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", crash)
    with pytest.raises(KeyboardInterrupt):
        write_safely(old, b"new")
    assert seen == [b"new"]
    assert old.read_bytes() == b"old"
    assert list(old.parent.iterdir()) == [old]


def test_the_bytes_are_synced_before_the_move_and_the_folder_after(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    acts: list[str] = []
    fsync, replace = os.fsync, os.replace

    def note_fsync(handle: int) -> None:
        acts.append("sync")
        fsync(handle)

    def note_replace(source: Path, target: Path) -> None:
        acts.append("move")
        replace(source, target)

    monkeypatch.setattr(os, "fsync", note_fsync)
    monkeypatch.setattr(os, "replace", note_replace)
    write_safely(old, b"new")
    expected = ["sync", "move"] if sys.platform == "win32" else ["sync", "move", "sync"]
    assert acts == expected


def test_a_folder_in_its_place_is_refused(tmp_path: Path) -> None:
    place = tmp_path / "taken"
    place.mkdir()
    (place / "inside").write_bytes(b"kept")
    with pytest.raises(StoreError, match="a folder has that name"):
        write_safely(place, b"new")
    assert (place / "inside").read_bytes() == b"kept"
    assert list(tmp_path.iterdir()) == [place]


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="its folder is not there"):
        write_safely(tmp_path / "gone" / "new", b"new")
    (tmp_path / "file").write_bytes(b"kept")
    with pytest.raises(StoreError, match="new was not saved"):
        write_safely(tmp_path / "file" / "new", b"new")
    assert (tmp_path / "file").read_bytes() == b"kept"


def test_names_that_are_none_are_refused(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="was not saved"):
        write_safely(tmp_path / "nul\0byte", b"new")
    with pytest.raises(StoreError, match="too long"):
        write_safely(tmp_path / ("n" * 300), b"new")
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_may_only_be_read_is_left_alone(old: Path) -> None:
    old.chmod(0o444)
    with pytest.raises(StoreError, match="it may only be read"):
        write_safely(old, b"new")
    assert old.read_bytes() == b"old"


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_permissions_are_kept(old: Path, mode: int) -> None:
    old.chmod(mode)
    kept = old.stat().st_mode
    write_safely(old, b"new")
    assert old.stat().st_mode == kept


def test_a_link_is_written_through(old: Path) -> None:
    link = old.with_name("link")
    link.symlink_to(old.name)
    write_safely(link, b"new")
    assert link.is_symlink()
    assert old.read_bytes() == b"new"


def test_a_device_is_no_place_for_a_board() -> None:
    with pytest.raises(StoreError, match="no ordinary file"):
        write_safely(Path(os.devnull), b"new")


def test_a_broken_file_is_set_aside(old: Path) -> None:
    aside = set_aside(old)
    assert aside == old.with_name("old.quiltboard.broken")
    assert aside.read_bytes() == b"old"
    assert not old.exists()
    assert set_aside(old) is None
