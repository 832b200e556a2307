"""Settings: what the program remembers of the maker's ways from one day to the next."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Final, Literal, NamedTuple

import msgspec
from msgspec import Meta
from platformdirs import PlatformDirs

from quiltboard.store.safe_write import set_aside, write_safely
from quiltboard.units import Unit

MOST_RECENT: Final = 10
LARGEST_SETTINGS: Final = 1_000_000

PathText = Annotated[str, Meta(max_length=10_000)]


class Folders(NamedTuple):
    """Where this system wants a program's files: settings, what is kept, what is passing."""

    config: Path
    data: Path
    state: Path

    @property
    def journals(self) -> Path:
        """Where recovery journals are kept."""
        return self.state / "journals"

    @property
    def settings(self) -> Path:
        """The settings file."""
        return self.config / "settings.json"


class Settings(msgspec.Struct, frozen=True):
    """What is remembered.

    Attributes
    ----------
    theme
        The room's light; "system" follows the desktop.
    text_percent
        How large letters are, 100 to 200.
    reduced_motion
        Whether nothing moves by itself.
    paper
        What sheets are printed on; None until it is chosen or known from the desktop.
    unit
        What new boards show lengths in.
    recent
        Board files, the last opened first.
    board_folder, photo_folder, sheet_folder
        Where boards, photos and sheets were last chosen.
    geometry
        Where the window stood, as the window itself writes it.
    """

    theme: Literal["system", "light", "dark"] = "system"
    text_percent: Annotated[int, Meta(ge=100, le=200)] = 100
    reduced_motion: bool = False
    paper: Literal["a4", "letter"] | None = None
    unit: Unit = "in"
    recent: Annotated[tuple[PathText, ...], Meta(max_length=MOST_RECENT)] = ()
    board_folder: PathText | None = None
    photo_folder: PathText | None = None
    sheet_folder: PathText | None = None
    geometry: Annotated[bytes, Meta(max_length=10_000)] = b""


def folders() -> Folders:
    """Tell where this system wants the program's files; nothing is made."""
    dirs = PlatformDirs("quiltboard", appauthor=False)
    return Folders(dirs.user_config_path, dirs.user_data_path, dirs.user_state_path)


def read_settings(path: Path | None = None) -> Settings:
    """Read the settings; where there are none, or none that can be read, the usual ones.

    A file that cannot be understood is kept aside under the ending ``.broken``.

    Parameters
    ----------
    path
        The settings file; None for this system's own.
    """
    path = path or folders().settings
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_SETTINGS + 1)
    except OSError:
        return Settings()
    try:
        if len(data) > LARGEST_SETTINGS:
            raise msgspec.ValidationError("too long")
        return msgspec.json.decode(data, type=Settings)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        set_aside(path)
        return Settings()


def write_settings(settings: Settings, path: Path | None = None) -> None:
    """Write the settings, whole or not at all; their folder is made if need be.

    Raises
    ------
    StoreError
        If they cannot be written; what was remembered before is untouched.
    """
    path = path or folders().settings
    data = msgspec.json.format(msgspec.json.encode(settings), indent=2)
    with suppress(OSError):  # the write below says why
        path.parent.mkdir(parents=True, exist_ok=True)
    write_safely(path, data + b"\n")


def with_recent(settings: Settings, board: Path) -> Settings:
    """Give the settings with a board first among the recent ones."""
    text = os.path.abspath(board)  # noqa: PTH100 - a link stays the link the maker knows
    others = tuple(path for path in settings.recent if path != text)
    recent = (text, *others)[:MOST_RECENT]
    return msgspec.structs.replace(settings, recent=recent)


def without_recent(settings: Settings, board: Path) -> Settings:
    """Give the settings without a board that is gone."""
    text = os.path.abspath(board)  # noqa: PTH100
    recent = tuple(path for path in settings.recent if path != text)
    return msgspec.structs.replace(settings, recent=recent)
