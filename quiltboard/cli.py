"""The command line: the same errands as the window, with no screen.

Every command prints plain text, or JSON with ``--json``, and exits 0, or 2 with one line on
standard error that says what to do.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn, cast, get_args

import msgspec

from quiltboard import __version__
from quiltboard.project.project import Project
from quiltboard.quilt.board import Watched, Weights
from quiltboard.units import plain_fractions

OK, REFUSED = 0, 2
STYLES = ("scrappy",)
DEFAULT_OUT = "quiltboard-plan"
_PLATES = re.compile(r"(\d{1,4})\s*[x×*]\s*(\d{1,4})", re.IGNORECASE)


class CommandError(ValueError):
    """Arguments that make no sense together; the message says what would."""


class Parser(argparse.ArgumentParser):
    """Says in one line what is wrong with the arguments."""

    def error(self, message: str) -> NoReturn:
        """Exit 2 with one line."""
        self.exit(REFUSED, f"quiltboard: {message} (see quiltboard --help)\n")


def run(arguments: Sequence[str]) -> int:
    """Run one command.

    Parameters
    ----------
    arguments
        Without the program's own name.

    Returns
    -------
    int
        0, or 2 where something must be put right.
    """
    commands = {"measure", "plan", "check", "deal", "sheets"}
    parser = _parser() if commands & set(arguments[:1]) else _window_parser()
    _speak_any_sign()
    options = parser.parse_args(list(arguments))
    try:
        code = cast("Callable[[argparse.Namespace], int]", options.work)(options)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        # Whoever reads, such as head, has had enough; what was to be written is written.
        _stop_speaking()
        return OK
    except (ValueError, OSError) as error:
        print(f"quiltboard: {_one_line(error)}", file=sys.stderr)
        return REFUSED
    except KeyboardInterrupt:
        print("quiltboard: stopped; nothing was written", file=sys.stderr)
        return REFUSED
    return code


def _speak_any_sign() -> None:
    """Let no sign in a name that the screen's encoding lacks stop a command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _stop_speaking() -> None:
    """Send what is left to say nowhere, so that Python does not complain as it ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def _one_line(error: Exception) -> str:
    text = str(error)
    if isinstance(error, OSError) and error.strerror:
        named = f"{error.filename}: " if error.filename else ""
        text = f"{named}{error.strerror}"
    return plain_fractions(" ".join(text.split()))


def _window_parser() -> Parser:
    parser = Parser(
        prog="quiltboard",
        description="Arrange ring quilts from photographs of your own fabrics, before you cut.",
        epilog="Without a window: quiltboard measure | plan | check | deal | sheets, each with "
        "--help.",
    )
    parser.add_argument("file", nargs="?", type=Path, help="a board to open")
    parser.add_argument("--sample", action="store_true", help="open the demo board")
    parser.add_argument("--version", action="version", version=f"quiltboard {__version__}")
    parser.set_defaults(work=_window)
    return parser


def _parser() -> Parser:
    parser = Parser(prog="quiltboard")
    commands = parser.add_subparsers(dest="command", required=True, parser_class=Parser)

    def command(name: str, work: Callable[[argparse.Namespace], int], says: str) -> Parser:
        made = commands.add_parser(name, help=says, description=says)
        made.add_argument("--json", action="store_true", help="print JSON")
        made.set_defaults(work=work)
        return made

    made = command(
        "measure", _measure, "What each photo tells of its cloth, and the set together."
    )
    made.add_argument("photos", nargs="+", type=Path, metavar="PHOTO")

    made = command("plan", _plan, "Deal photos, folders or a fabric list over a board.")
    made.add_argument("sources", nargs="*", type=Path, metavar="SOURCE")
    made.add_argument("--sample", action="store_true", help="plan the demo")
    made.add_argument("--plates", metavar="ACROSSxDOWN", help="how many plates, such as 4x5")
    made.add_argument("--wedges", type=int, default=12, metavar="N", help="to a ring, 6 to 40")
    _add_dealing(made)
    made.add_argument(
        "--watch", metavar="STEPS", help="value steps whose clumps count, such as dark,light"
    )
    made.add_argument("--paper", choices=("a4", "letter"), default="a4")
    made.add_argument("--out", type=Path, default=Path(DEFAULT_OUT), metavar="DIR")

    made = command("check", _check, "Flags, figures and counts of a board.")
    made.add_argument("file", type=Path, metavar="FILE")
    made.add_argument("--weights", metavar="KIND=COST,…")
    made.add_argument("--watch", metavar="STEPS")

    made = command("deal", _deal, "Deal a board again; pinned pieces are held.")
    made.add_argument("file", type=Path, metavar="FILE")
    _add_dealing(made)
    made.add_argument("--watch", metavar="STEPS")
    made.add_argument("--out", type=Path, metavar="FILE", help="else NAME-dealt.quiltboard")

    made = command("sheets", _sheets, "All sheets, pictures and tables of a board.")
    made.add_argument("file", type=Path, metavar="FILE")
    made.add_argument("--paper", choices=("a4", "letter"), default="a4")
    made.add_argument("--out", type=Path, required=True, metavar="DIR")
    return parser


def _add_dealing(parser: Parser) -> None:
    parser.add_argument("--style", choices=STYLES, default=STYLES[0])
    parser.add_argument(
        "--weights", metavar="KIND=COST,…", help="such as touch=100,clump=30,close=20"
    )
    parser.add_argument("--seconds", type=float, metavar="T", help="a ceiling for the deal")
    parser.add_argument("--seed", type=int, default=1, metavar="K")


def read_plates(text: str) -> tuple[int, int]:
    """Read how many plates there are across and down.

    Raises
    ------
    CommandError
        If the text does not say.

    Examples
    --------
    >>> read_plates("4x5")
    (4, 5)
    """
    found = _PLATES.fullmatch(text.strip())
    if not found:
        raise CommandError(f"--plates takes across x down, such as 4x5, not “{text}”")
    return int(found[1]), int(found[2])


def read_weights(text: str | None, usual: Weights) -> Weights:
    """Read what flags cost, such as ``touch=100,close=0``; the others keep their cost.

    Raises
    ------
    CommandError
        If a kind is unknown or a cost is no number from 0 up.
    """
    costs = msgspec.structs.asdict(usual)
    for part in (text or "").split(","):
        if not part.strip():
            continue
        kind, _, cost = (piece.strip() for piece in part.partition("="))
        try:
            number = float(cost)
        except ValueError:
            number = -1.0
        if kind not in costs or not 0 <= number <= 1_000_000:
            raise CommandError(
                f"--weights takes {', '.join(costs)}, each with a cost from 0 up, such as "
                f"touch=100, not “{part.strip()}”"
            )
        costs[kind] = number
    return Weights(**costs)


def read_watch(text: str | None) -> tuple[Watched, ...] | None:
    """Read the value steps whose clumps count; None is the usual ones.

    Raises
    ------
    CommandError
        If a step is unknown.
    """
    if text is None:
        return None
    steps = get_args(Watched)
    named = tuple(
        dict.fromkeys(part.strip().lower() for part in text.split(",") if part.strip())
    )
    for step in named:
        if step not in steps:
            raise CommandError(f"--watch takes {', '.join(steps)}, not “{step}”")
    return cast("tuple[Watched, ...]", named)


def _seconds(options: argparse.Namespace) -> float | None:
    seconds = cast("float | None", options.seconds)
    if seconds is not None and not 0 < seconds <= 86_400:
        raise CommandError("--seconds takes a time above 0, such as 10")
    return seconds


def _say(*lines: str) -> None:
    for line in lines:
        print(plain_fractions(line))


def _say_json(value: object) -> None:
    # JSON is UTF-8 whatever the screen speaks. A file's name may hold bytes that are no text:
    # each stands as an escape of JSON's own, from which the name can be had again.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8", errors="backslashreplace")
    print(json.dumps(msgspec.to_builtins(value), ensure_ascii=False, indent=2, allow_nan=False))


def _warn(problems: Sequence[str]) -> None:
    for problem in problems:
        print(f"quiltboard: {plain_fractions(' '.join(problem.split()))}", file=sys.stderr)


@contextmanager
def _qt_at_hand() -> Iterator[None]:
    """Say what to do where what paints, or a system library that it needs, is missing."""
    try:
        yield
    except ImportError as error:
        raise CommandError(
            f"windows, pictures and sheets need PySide6, which cannot be loaded ({error}):"
            " install it and its system libraries as the README says under Set up"
        ) from error


def _window(options: argparse.Namespace) -> int:
    if sys.platform.startswith("linux") and not (
        os.environ.get("DISPLAY")
        or os.environ.get("WAYLAND_DISPLAY")
        or os.environ.get("QT_QPA_PLATFORM")
    ):
        raise CommandError("there is no screen to open a window on: try quiltboard plan --help")
    if options.file is not None and not options.file.is_file():
        raise CommandError(f"{options.file} is not there, or is no board")
    with _qt_at_hand():
        from quiltboard.app import open_window  # noqa: PLC0415 - the commands do without Qt

    return open_window(options.file, sample=options.sample)


def _measure(options: argparse.Namespace) -> int:
    from quiltboard.errands.measure import measure_photos  # noqa: PLC0415

    measured = measure_photos(options.photos)
    if not measured.rows:
        raise CommandError("; ".join(measured.problems))
    _warn(measured.problems)
    if options.json:
        _say_json(measured.rows)
        return OK
    for row in measured.rows:
        _, a, b = row.lab
        _say(
            f"{' '.join(row.file.split())}: {row.name}",
            f"    L* {row.value:.1f}  a* {a:.1f}  b* {b:.1f}  {row.step}",
            *(f"    {line}" for line in (*row.told, *row.warnings)),
        )
    _say(*measured.sentences)
    return OK


def _plan(options: argparse.Namespace) -> int:
    from quiltboard.errands.plan import Top, keep_bare, plan  # noqa: PLC0415
    from quiltboard.errands.report import plan_report, plan_text  # noqa: PLC0415
    from quiltboard.errands.sample import (  # noqa: PLC0415
        ACROSS,
        DOWN,
        dress_sample,
        sample_list,
    )

    if options.sample == bool(options.sources):
        raise CommandError("plan takes photos, folders or a fabric list, or --sample alone")
    if not options.plates and not options.sample:
        raise CommandError("plan needs --plates, such as --plates 4x5")
    across, down = read_plates(options.plates) if options.plates else (ACROSS, DOWN)
    with _qt_at_hand():  # Before the deal, which may take a while.
        from quiltboard.paint.export import write_board_and_sheets  # noqa: PLC0415
    planned = plan(
        [sample_list()] if options.sample else options.sources,
        Top(across, down, options.wedges),
        dress=dress_sample if options.sample else keep_bare,
        weights=read_weights(options.weights, Weights()),
        watch=read_watch(options.watch),
        seed=options.seed,
        seconds=_seconds(options),
    )
    _warn(planned.problems)
    board, files = write_board_and_sheets(planned.project, options.out, options.paper)
    report = plan_report(planned, board, files)
    if options.json:
        _say_json(report)
    else:
        _say(*plan_text(planned, report))
    return OK


def _opened(options: argparse.Namespace) -> Project:
    """Open the board that is named, with the costs and watched steps that are asked for."""
    from quiltboard.project.edits import ChangeBalance  # noqa: PLC0415
    from quiltboard.store.board_file import open_board  # noqa: PLC0415

    opened = open_board(options.file)
    _warn(opened.notes)
    board = opened.project.board
    return ChangeBalance(
        read_weights(options.weights, board.weights),
        board.watch if options.watch is None else read_watch(options.watch),
    ).apply(opened.project)


def _check(options: argparse.Namespace) -> int:
    from quiltboard.errands.report import check_report, check_text  # noqa: PLC0415

    project = _opened(options)
    if options.json:
        _say_json(check_report(project))
    else:
        _say(*check_text(project))
    return OK


def _deal(options: argparse.Namespace) -> int:
    from quiltboard.errands.deal import deal_again  # noqa: PLC0415
    from quiltboard.errands.report import deal_report, deal_text  # noqa: PLC0415
    from quiltboard.store.board_file import save_board  # noqa: PLC0415

    dealt = deal_again(_opened(options), options.seed, _seconds(options))
    out = options.out or options.file.with_name(f"{options.file.stem}-dealt.quiltboard")
    save_board(dealt.after, out)
    report = deal_report(dealt, out)
    if options.json:
        _say_json(report)
    else:
        _say(*deal_text(report))
    return OK


def _sheets(options: argparse.Namespace) -> int:
    from quiltboard.store.board_file import open_board  # noqa: PLC0415

    opened = open_board(options.file)
    _warn(opened.notes)
    with _qt_at_hand():
        from quiltboard.paint.export import write_sheets  # noqa: PLC0415

    files = write_sheets(opened.project, options.out, options.file.stem, options.paper)
    if options.json:
        _say_json({"files": [str(file) for file in files]})
    else:
        _say(*(str(file) for file in files))
    return OK
