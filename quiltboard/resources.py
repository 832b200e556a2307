"""Where the files that travel with the program are: fonts, icons, schemas, the demo."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Literal

Part = Literal["resources", "sample_swatches"]


def shipped(part: Part, *names: str) -> Path:
    """Find a shipped file, installed or in a checkout.

    Parameters
    ----------
    part
        Which of the two folders that travel with the program.
    names
        The path inside it.

    Raises
    ------
    FileNotFoundError
        If the installation is not whole.
    """
    package = Path(str(files("quiltboard")))
    for root in (package / "_shipped", package.parent):
        path = root.joinpath(part, *names)
        if path.exists():
            return path
    raise FileNotFoundError(f"{part}/{'/'.join(names)} is missing from this installation")
