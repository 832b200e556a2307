"""What a piece in the hand would do if it were let go here, and what would come of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QCoreApplication

from quiltboard.balance.flags import Flag, FlagKey, Kind
from quiltboard.errands.judge import Judgement
from quiltboard.fabrics.fabric import FabricId
from quiltboard.project.edits import Edit, PlaceFabric, SwapWedges
from quiltboard.project.project import Project
from quiltboard.quilt.board import Cell

ActKind = Literal["lay", "swap", "take off", "pinned", "nothing"]


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that letting go would do.

    Attributes
    ----------
    kind
        What sort; "pinned" is refused, "nothing" puts the piece back.
    title
        What the tag says first.
    note
        What it says below, where there is no edit to try; a refusal says how to mend it.
    edit
        What would be done, or None.
    ghosts
        What each wedge would hold that would hold something else.
    """

    kind: ActKind
    title: str
    note: str = ""
    edit: Edit | None = None
    ghosts: tuple[tuple[Cell, FabricId | None], ...] = ()


def said(text: str) -> str:
    """Give a sentence in the maker's language."""
    return QCoreApplication.translate("BoardCanvas", text)


def lay_act(project: Project, fabric: FabricId, cell: Cell | None) -> Act:
    """Tell what letting a fabric from the shelf go would do.

    Raises
    ------
    KeyError
        If the fabric is not on the shelf.
    """
    name = project.fabric(fabric).name
    if cell is None:
        return Act("nothing", name, said("Let go on a wedge to lay it."))
    board = project.board
    there = board.at(cell)
    if board.pinned(cell):
        return _pinned(project, cell)
    if there == fabric:
        return Act("nothing", said("{name} lies here").format(name=name))
    title = (
        said("Lay {name}").format(name=name)
        if there is None
        else said("Replace {old} with {name}").format(old=project.fabric(there).name, name=name)
    )
    return Act("lay", title, "", PlaceFabric((cell,), fabric), ((cell, fabric),))


def carry_act(project: Project, source: Cell, target: Cell | None) -> Act:
    """Tell what letting a piece of the board go would do; off the rings it comes off."""
    board = project.board
    mine = board.at(source)
    if board.pinned(source):
        return _pinned(project, source)
    name = "" if mine is None else project.fabric(mine).name
    if target is None:
        title = said("Take off {name}").format(name=name)
        return Act("take off", title, "", PlaceFabric((source,), None), ((source, None),))
    if target == source:
        return Act("nothing", name, said("Its own place."))
    if board.pinned(target):
        return _pinned(project, target)
    theirs = board.at(target)
    if theirs == mine:
        return Act("nothing", name, said("The same fabric lies here."))
    title = (
        said("Move {name} here").format(name=name)
        if theirs is None
        else said("Swap with {name}").format(name=project.fabric(theirs).name)
    )
    ghosts = ((target, mine), (source, theirs))
    return Act("swap", title, "", SwapWedges(source, target), ghosts)


def _pinned(project: Project, cell: Cell) -> Act:
    there = project.board.at(cell)
    name = said("This wedge") if there is None else project.fabric(there).name
    return Act(
        "pinned",
        said("{name} is pinned").format(name=name),
        said("Take the pin out first: press P."),
    )


_NAMES: dict[Kind, tuple[str, str]] = {
    "touch": ("touch", "touches"),
    "clump": ("clump", "clumps"),
    "close": ("pair too close", "pairs too close"),
}


def tell_change(before: Judgement, after: Judgement, names: Mapping[FabricId, str]) -> str:
    """Say what would change.

    Such as ``1 new touch. Cost 100, was 0.``
    """
    were = {count.fabric: count.short for count in before.counts}
    sentences = [
        said("{name} would be {count} short.").format(
            name=names.get(count.fabric, count.fabric), count=count.short
        )
        for count in after.counts
        if count.short > were.get(count.fabric, 0)
    ]
    sentences += [
        said("{name} would not be short any more.").format(name=names.get(count.fabric, ""))
        for count in after.counts
        if were.get(count.fabric, 0) and not count.short
    ]
    fresh, gone = _new_flags(before, after), _new_flags(after, before)
    if fresh:
        sentences.append(said("{flags}.").format(flags=_list_of(fresh, said("new"))))
    elif gone:
        sentences.append(said("{flags}.").format(flags=_list_of(gone, said("fewer"))))
    elif not sentences:
        sentences.append(said("No new flag."))
    cost, was = after.report.cost, before.report.cost
    sentences.append(
        said("Cost stays {cost}.").format(cost=write_cost(cost))
        if abs(cost - was) < 0.005
        else said("Cost {cost}, was {was}.").format(cost=write_cost(cost), was=write_cost(was))
    )
    return " ".join(sentences)


def write_cost(cost: float) -> str:
    """Write a cost: whole where it is whole, thousands parted."""
    rounded = round(cost, 2)
    return f"{rounded:,.0f}" if rounded == int(rounded) else f"{rounded:,.2f}".rstrip("0")


def _new_flags(before: Judgement, after: Judgement) -> Counter[Kind]:
    """Count the flags, short apart, that came; a clump that only grew or shrank is none."""
    old = {flag.key for flag in before.report.flags}
    kept = {flag.key for flag in after.report.flags}
    lost_runs = [set(key.cells) for key in old - kept if key.kind == "clump"]
    found: Counter[Kind] = Counter()
    for flag in after.report.flags:
        if flag.key in old or flag.key.kind == "short":
            continue
        if _is_run_of(flag, lost_runs):
            continue
        found[flag.key.kind] += 1
    return found


def _is_run_of(flag: Flag, lost_runs: list[set[Cell]]) -> bool:
    key: FlagKey = flag.key
    return key.kind == "clump" and any(run & set(key.cells) for run in lost_runs)


def _list_of(found: Counter[Kind], word: str) -> str:
    return ", ".join(
        f"{count} {word} {_NAMES[kind][count != 1]}"
        if word != said("fewer")
        else f"{count} {_NAMES[kind][count != 1]} {word}"
        for kind, count in found.items()
    )
