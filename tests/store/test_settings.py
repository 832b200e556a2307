"""Settings: remembered from day to day, and never in the way when they are broken."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from quiltboard.store.safe_write import StoreError
from quiltboard.store.settings import (
    MOST_RECENT,
    Settings,
    folders,
    read_settings,
    with_recent,
    without_recent,
    write_settings,
)


def test_settings_come_back_as_written(tmp_path: Path) -> None:
    path = tmp_path / "made" / "settings.json"
    settings = Settings(
        theme="dark",
        reduced_motion=True,
        paper="letter",
        unit="cm",
        recent=("/boards/sea.quiltboard",),
        board_folder="/boards",
        geometry=bytes(range(256)),
    )
    write_settings(settings, path)
    assert read_settings(path) == settings


def test_they_live_where_this_system_wants_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for kind in ("CONFIG", "DATA", "STATE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(tmp_path / kind.lower()))
    assert read_settings() == Settings()
    assert not list(tmp_path.iterdir())
    write_settings(Settings(theme="light"))
    assert read_settings() == Settings(theme="light")
    assert folders().settings.is_file()
    assert len(set(folders())) == 3
    assert folders().journals.parent == folders().state


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{",
        b"[]",
        b"\xff",
        b'{"theme": "plaid"}',
        b'{"recent": ["a", "a", "a", "a", "a", "a", "a", "a", "a", "a", "a"]}',
        b'{"geometry": "!"}',
        b'{"more": ' + b"[" * 200_000,
        b'{"more": "' + b"a" * 1_000_000 + b'"}',
    ],
    ids=range(9),
)
def test_broken_settings_are_kept_aside_and_the_usual_ones_taken(
    tmp_path: Path, data: bytes
) -> None:
    path = tmp_path / "settings.json"
    path.write_bytes(data)
    assert read_settings(path) == Settings()
    assert not path.exists()
    assert (tmp_path / "settings.json.broken").read_bytes() == data
    write_settings(Settings(), path)
    assert read_settings(path) == Settings()


def test_settings_of_a_newer_program_are_read_as_far_as_they_are_known(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_bytes(b'{"theme": "dark", "lamp": 3}')
    assert read_settings(path) == Settings(theme="dark")


def test_what_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(StoreError, match=r"settings\.json was not saved"):
        write_settings(Settings(), tmp_path / "file" / "settings.json")


def test_a_folder_in_their_place_is_no_harm(tmp_path: Path) -> None:
    assert read_settings(tmp_path) == Settings()
    assert tmp_path.is_dir()


def test_recent_boards_are_few_and_the_newest_is_first(tmp_path: Path) -> None:
    settings = Settings()
    boards = [tmp_path / f"{k}.quiltboard" for k in range(MOST_RECENT + 3)]
    for board in boards:
        settings = with_recent(settings, board)
    assert settings.recent == tuple(str(board) for board in reversed(boards[3:]))
    again = with_recent(settings, boards[5])
    assert again.recent[0] == str(boards[5])
    assert sorted(again.recent) == sorted(settings.recent)
    gone = without_recent(again, boards[5])
    assert str(boards[5]) not in gone.recent
    assert len(gone.recent) == MOST_RECENT - 1
    packed = msgspec.json.encode(settings)
    assert msgspec.json.decode(packed, type=Settings) == settings
