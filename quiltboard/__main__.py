"""The door: the window with no command, or one of the commands."""

from __future__ import annotations

import sys


def main() -> int:
    """Run Quiltboard with the arguments of the command line."""
    from quiltboard.cli import run  # noqa: PLC0415 - a job's child process must not load it

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
