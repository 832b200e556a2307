"""Writing a file so that a crash, a full disk or a pulled plug leaves the old one whole."""

from __future__ import annotations

import errno
import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path
from typing import Final

from quiltboard.photos.opening import plain_name

_WHY: Final = {
    errno.ENOSPC: "there is no room left on that disk: free some and try again",
    errno.EDQUOT: "there is no room left for you on that disk: free some and try again",
    errno.EROFS: "that disk may only be read: choose another folder",
    errno.EACCES: "that folder may not be written in: choose another one",
    errno.EPERM: "that folder may not be written in: choose another one",
    errno.ENOENT: "its folder is not there: choose another one",
    errno.ENOTDIR: "its folder is not there: choose another one",
    errno.ENAMETOOLONG: "that name is too long: choose a shorter one",
}


class StoreError(ValueError):
    """A file that cannot be read or written; its message says which, why and how to mend it."""


def reason(error: OSError) -> str:
    """Say in a few words why the disk refused to write, and what would help."""
    plain = plain_name(error.strerror or str(error))
    return _WHY.get(error.errno or 0, f"the disk said “{plain}”: try another folder")


def write_safely(path: Path, data: bytes) -> None:
    """Write a file whole or not at all.

    The bytes go to a temporary file beside it, are synced, and take its place in one move. The
    permissions of a file that was there are kept, and a symbolic link is written through.

    Parameters
    ----------
    path
        The file, whether it is there already or not; its folder must be there.
    data
        All that it shall hold.

    Raises
    ------
    StoreError
        If it cannot be written; what was there before is untouched.
    """
    name = plain_name(path.name)
    try:
        target = Path(os.path.realpath(path))
        mode = _mode_of(target, name)
        temporary = target.with_name(f".quiltboard-{secrets.token_hex(8)}.part")
        _replace(target, temporary, data, mode)
    except (OSError, ValueError) as error:
        if isinstance(error, StoreError):
            raise
        why = reason(error) if isinstance(error, OSError) else "that is no name for a file"
        raise StoreError(f"{name} was not saved: {why}.") from error
    _sync_folder(target.parent)


def set_aside(path: Path) -> Path | None:
    """Keep a file that cannot be read under the ending ``.broken``, so that nothing is lost.

    Returns
    -------
    Path or None
        Where it is now; None if it cannot be moved.
    """
    aside = path.with_name(f"{path.name}.broken")
    try:
        path.replace(aside)
    except OSError:
        return None
    return aside


def _mode_of(target: Path, name: str) -> int | None:
    """Give the permissions of the file to be replaced; None if there is none yet."""
    try:
        found = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise StoreError(f"{name} was not saved: a folder has that name, so choose another.")
    if not stat.S_ISREG(found.st_mode):
        raise StoreError(f"{name} was not saved: that is no ordinary file, so choose another.")
    mode = stat.S_IMODE(found.st_mode)
    # A rename would replace a file that was locked on purpose.
    if not mode & 0o222 or not os.access(target, os.W_OK):
        raise StoreError(f"{name} was not saved: it may only be read, so choose another name.")
    return mode


def _replace(target: Path, temporary: Path, data: bytes, mode: int | None) -> None:
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if mode is not None:
            temporary.chmod(mode)
        os.replace(temporary, target)  # noqa: PTH105 - beside os.fsync it reads as one act
    except BaseException:
        with suppress(OSError):
            temporary.unlink()
        raise


def _sync_folder(folder: Path) -> None:
    """Make the rename itself last; some systems do not let a folder be synced."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
