"""What the command line says of a board: the shapes of its JSON, and the same in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import msgspec

from quiltboard.balance.report import heavy_sentence, sentence
from quiltboard.errands.deal import Dealt
from quiltboard.errands.judge import Judgement, judge
from quiltboard.errands.plan import Planned
from quiltboard.fabrics.fabric import Step
from quiltboard.project.project import Project

_STOPPED = {
    "moves": "its budget of moves was used",
    "clock": "the time was up",
    "asked": "it was stopped",
    "bound": "nothing can be better",
}


class CellReport(msgspec.Struct, frozen=True):
    """A wedge's place: block row by row from 0, wedge clockwise from the top from 0."""

    block: int
    wedge: int


class FlagReport(msgspec.Struct, frozen=True):
    """One flag: its kind, the fabrics by name, its wedges and its sentence."""

    kind: str
    fabrics: tuple[str, ...]
    cells: tuple[CellReport, ...]
    message: str


class CautionReport(msgspec.Struct, frozen=True):
    """One thing to mind before sewing: its kind, the fabrics by name and its sentence."""

    kind: str
    fabrics: tuple[str, ...]
    message: str


class HeavyReport(msgspec.Struct, frozen=True):
    """How far a plate leans (0 to 1) and where to, clockwise from the top; null for nowhere."""

    block: int
    length: float
    direction_deg: float | None


class PiecesReport(msgspec.Struct, frozen=True):
    """How one fabric stands; ``there`` is null for as much as needed."""

    id: str
    name: str
    placed: int
    there: int | None
    short: int


class LaidReport(msgspec.Struct, frozen=True):
    """What lies on one wedge: a fabric by name, how light the piece is (L*), its value step.

    All three are null for an empty wedge.
    """

    block: int
    wedge: int
    fabric: str | None
    value: float | None
    step: Step | None


class CheckReport(msgspec.Struct, frozen=True):
    """What ``check`` prints."""

    cost: float
    flags: tuple[FlagReport, ...]
    heavy: tuple[HeavyReport, ...]
    pieces: tuple[PiecesReport, ...]
    cells: tuple[LaidReport, ...]
    cautions: tuple[CautionReport, ...]


class PlanReport(msgspec.Struct, frozen=True):
    """What ``plan`` prints."""

    board: str
    cost: float
    flags: dict[str, int]
    pieces: tuple[PiecesReport, ...]
    files: tuple[str, ...]


class DealReport(msgspec.Struct, frozen=True):
    """What ``deal`` prints; costs before and after, and what stopped it."""

    board: str
    before: float
    cost: float
    flags: dict[str, int]
    moves: int
    stopped_by: str
    seed: int


def check_report(project: Project) -> CheckReport:
    """Say everything that is known of a board."""
    judgement = judge(project)
    names, board, shelf = project.names(), project.board, judgement.shelf
    return CheckReport(
        cost=judgement.report.cost,
        flags=tuple(
            FlagReport(
                kind=flag.key.kind,
                fabrics=tuple(names[fabric] for fabric in flag.key.fabrics),
                cells=tuple(CellReport(*cell) for cell in flag.key.cells),
                message=". ".join(sentence(flag, names, board)) + ".",
            )
            for flag in judgement.report.flags
        ),
        heavy=tuple(
            HeavyReport(lean.block, lean.length, lean.direction_deg)
            for lean in judgement.report.heavy
        ),
        pieces=_pieces(project, judgement),
        cells=tuple(
            LaidReport(cell.block, cell.wedge, None, None, None)
            if fabric is None
            else LaidReport(
                cell.block,
                cell.wedge,
                names[fabric],
                shelf.value_at(fabric, cell),
                shelf.step_at(fabric, cell),
            )
            for cell, fabric in board.cells()
        ),
        cautions=tuple(
            CautionReport(
                kind=caution.kind,
                fabrics=tuple(names[fabric] for fabric in caution.fabrics),
                message=caution.sentence,
            )
            for caution in judgement.cautions
        ),
    )


def check_text(project: Project) -> Iterator[str]:
    """Say the same in words, a line at a time."""
    report = check_report(project)
    judgement = judge(project)
    many = len(report.flags)
    yield f"{project.title}: {_flags(many)}, cost {report.cost:,g}"
    for flag in report.flags:
        yield f"  {flag.kind:<6} {flag.message}"
    for caution in report.cautions:
        yield f"  mind   {caution.message}"
    if len(report.heavy) == 1:
        yield f"  {heavy_sentence(judgement.report.heavy[0])}"
    else:
        most = max(judgement.report.heavy, key=lambda lean: lean.length)
        yield f"  Plate {most.block + 1} leans most: {heavy_sentence(most)}"
    yield from _pieces_text(report.pieces)


def plan_report(planned: Planned, board: Path, files: Sequence[Path]) -> PlanReport:
    """Say what a plan came to and what was written."""
    judgement = judge(planned.project)
    return PlanReport(
        board=str(board),
        cost=judgement.report.cost,
        flags={str(kind): count for kind, count in judgement.report.counts.items()},
        pieces=_pieces(planned.project, judgement),
        files=tuple(str(file) for file in files),
    )


def plan_text(planned: Planned, report: PlanReport) -> Iterator[str]:
    """Say the same in words."""
    board = planned.project.board
    yield (
        f"{planned.project.title}: {board.across} × {board.down} plates of {board.wedge.n}, "
        f"{_flags(sum(report.flags.values()))}, cost {report.cost:,g} "
        f"({_STOPPED[planned.result.stopped_by]})"
    )
    yield from _pieces_text(report.pieces)
    yield "Written:"
    for file in report.files:
        yield f"  {file}"


def deal_report(dealt: Dealt, board: Path) -> DealReport:
    """Say what a deal came to."""
    report = judge(dealt.after).report
    return DealReport(
        board=str(board),
        before=judge(dealt.before).report.cost,
        cost=report.cost,
        flags={str(kind): count for kind, count in report.counts.items()},
        moves=dealt.result.moves,
        stopped_by=dealt.result.stopped_by,
        seed=dealt.result.seed,
    )


def deal_text(report: DealReport) -> Iterator[str]:
    """Say the same in words."""
    yield (
        f"Cost {report.before:,g} before, {report.cost:,g} now; "
        f"{_flags(sum(report.flags.values()))} "
        f"({report.moves:,} moves with seed {report.seed}: {_STOPPED[report.stopped_by]})"
    )
    yield f"Written: {report.board}"


def _flags(count: int) -> str:
    return {0: "nothing flagged", 1: "1 flag"}.get(count, f"{count} flags")


def _pieces(project: Project, judgement: Judgement) -> tuple[PiecesReport, ...]:
    names = project.names()
    return tuple(
        PiecesReport(count.fabric, names[count.fabric], count.placed, count.there, count.short)
        for count in judgement.counts
    )


def _pieces_text(pieces: Sequence[PiecesReport]) -> Iterator[str]:
    if not pieces:
        return
    width = max(len(piece.name) for piece in pieces)
    yield f"  {'':<{width}}  placed  there  short"
    for piece in pieces:
        there = "any" if piece.there is None else str(piece.there)
        short = str(piece.short) if piece.short else "-"
        yield f"  {piece.name:<{width}}  {piece.placed:>6}  {there:>5}  {short:>5}"
