"""Reading and writing the text of a board file, ``board.json``, trusting nothing in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

import msgspec

from quiltboard.fabrics.fabric import Fabric, FabricId, is_colour
from quiltboard.photos.opening import plain_name
from quiltboard.project.project import Project
from quiltboard.quilt.board import MOST_PLATES, Block, Board, Weights
from quiltboard.shapes.wedge import InvalidWedgeError, Wedge, check_fits
from quiltboard.store.board_shape import (
    VERSION,
    BalanceEntry,
    BlockEntry,
    BoardFile,
    TopEntry,
    WedgeEntry,
)
from quiltboard.store.board_versions import brought_up
from quiltboard.store.fabric_json import fabric_entry, fabric_from, photo_owners
from quiltboard.store.fabric_shape import FabricEntry
from quiltboard.units import Length

LARGEST_JSON: Final = 16_000_000
"""Bytes; the largest board of 16,000 wedges and 500 fabrics takes about 4 million."""


class UnsoundBoardError(ValueError):
    """A board that does not hold together; the message follows on the board's name."""


class _Versioned(msgspec.Struct):
    version: int


def encode_board(project: Project) -> bytes:
    """Write a project's board as text, a ring to a line.

    Raises
    ------
    UnsoundBoardError
        If the project could not be opened again.
    """
    try:
        packed = msgspec.json.encode(_to_file(project))
    except UnicodeEncodeError as error:
        raise UnsoundBoardError("has a name or note with a sign that cannot be kept") from error
    except msgspec.ValidationError as error:
        raise UnsoundBoardError(f"has an unsound fabric: {_told(error)}") from error
    decode_board(packed)
    return ("\n".join(_lines(msgspec.json.decode(packed), "", "")) + "\n").encode()


def decode_board(data: bytes) -> BoardFile:
    """Read a board's text, trusting nothing in it.

    Raises
    ------
    UnsoundBoardError
        If it is of another version, or anything in it is out of bounds or does not fit.
    """
    try:
        board = _of_this_version(data)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        raise UnsoundBoardError(
            f"is damaged, or was changed by hand: {_told(error)}"
        ) from error
    _check_board(board)
    return board


def check_fabric(fabric: Fabric) -> None:
    """Refuse a fabric that a board file could not hold.

    Raises
    ------
    UnsoundBoardError
        Naming what is out of bounds.
    """
    try:
        packed = msgspec.json.encode(fabric_entry(fabric))
        msgspec.json.decode(packed, type=FabricEntry)
    except (msgspec.MsgspecError, UnicodeEncodeError) as error:
        raise UnsoundBoardError(f"has an unsound fabric: {_told(error)}") from error


def project_from(
    board: BoardFile, swatches: Mapping[str, bytes], photos: Mapping[str, bytes]
) -> Project:
    """Make the project that a board's text and pictures tell of.

    Parameters
    ----------
    board
        As read by `decode_board`.
    swatches, photos
        Encoded pictures by their names in the file; a fabric whose picture is not among them
        goes without.
    """
    top, balance = board.top, board.balance
    return Project(
        title=board.title,
        board=Board(
            wedge=_wedge(board.wedge),
            across=top.across,
            down=top.down,
            blocks=tuple(
                Block(tuple(FabricId(c) if c is not None else None for c in b.cells), b.pins)
                for b in board.blocks
            ),
            block=Length(top.block),
            sash=Length(top.sash),
            border=Length(top.border),
            ground=top.ground,
            sashing=top.sashing,
            cornerstone=top.cornerstone,
            frame=top.frame,
            centre=top.centre,
            weights=Weights(balance.touch, balance.clump, balance.close),
            watch=balance.watch,
            step_count=balance.steps,
            unit=board.unit,
        ),
        fabrics=tuple(fabric_from(entry, swatches, photos) for entry in board.fabrics),
    )


def _of_this_version(data: bytes) -> BoardFile:
    version = msgspec.json.decode(data, type=_Versioned).version
    if version > VERSION:
        raise UnsoundBoardError(
            f"was written by a newer Quiltboard (version {version}) and is left untouched: "
            "update to open it"
        )
    if version < 1:
        raise UnsoundBoardError(f"says it is of version {version}, which there never was")
    if version == VERSION:
        return msgspec.json.decode(data, type=BoardFile)
    return msgspec.convert(brought_up(msgspec.json.decode(data), version), BoardFile)


def _told(error: Exception) -> str:
    """Put a reader's complaint, which may quote the file, into one line."""
    return plain_name(str(error))[:200]


def _check_board(board: BoardFile) -> None:
    top, n = board.top, board.wedge.n
    try:
        check_fits(_wedge(board.wedge), Length(top.block))
    except InvalidWedgeError as error:
        raise UnsoundBoardError(f"has a wedge that makes no plate. {error}"[:-1]) from error
    if top.across * top.down > MOST_PLATES:
        raise UnsoundBoardError(f"has more than {MOST_PLATES} plates")
    if len(board.blocks) != top.across * top.down:
        raise UnsoundBoardError(
            f"says {top.across} × {top.down} plates but holds {len(board.blocks)}"
        )
    ids = {fabric.id for fabric in board.fabrics}
    names = {fabric.name.casefold() for fabric in board.fabrics}
    if len(ids) < len(board.fabrics) or len(names) < len(board.fabrics):
        raise UnsoundBoardError("has two fabrics of one name or id")
    if any(not fabric.name.strip() for fabric in board.fabrics) or not board.title.strip():
        raise UnsoundBoardError("has a name that is empty")
    for cover in (top.ground, top.sashing, top.cornerstone, top.frame, top.centre):
        if not is_colour(cover) and cover not in ids:
            raise UnsoundBoardError("has a part cut from a fabric that is not on its shelf")
    own = {f.id for f in board.fabrics if f.photo and f.photo.of == f.id}
    if any(fabric.photo and fabric.photo.of not in own for fabric in board.fabrics):
        raise UnsoundBoardError("has a photo of a fabric that is not on its shelf")
    for number, block in enumerate(board.blocks, start=1):
        _check_block(block, n, ids, f"plate {number}")


def _check_block(block: BlockEntry, n: int, ids: set[str], where: str) -> None:
    if len(block.cells) != n:
        raise UnsoundBoardError(f"has {len(block.cells)} wedges on {where} instead of {n}")
    if any(cell is not None and cell not in ids for cell in block.cells):
        raise UnsoundBoardError(f"has a fabric on {where} that is not on its shelf")
    if list(block.pins) != sorted(set(block.pins)):
        raise UnsoundBoardError(f"has the pins of {where} out of order")
    if any(pin >= n or block.cells[pin] is None for pin in block.pins):
        raise UnsoundBoardError(f"has a pin on {where} that holds nothing")


def _to_file(project: Project) -> BoardFile:
    board = project.board
    wedge, weights = board.wedge, board.weights
    owners = photo_owners(project.fabrics)
    return BoardFile(
        version=VERSION,
        title=project.title,
        unit=board.unit,
        wedge=WedgeEntry(wedge.n, wedge.length, wedge.narrow, wedge.seam),
        top=TopEntry(
            across=board.across,
            down=board.down,
            block=board.block,
            sash=board.sash,
            border=board.border,
            ground=board.ground,
            sashing=board.sashing,
            cornerstone=board.cornerstone,
            frame=board.frame,
            centre=board.centre,
        ),
        balance=BalanceEntry(
            touch=float(weights.touch),
            clump=float(weights.clump),
            close=float(weights.close),
            watch=board.watch,
            steps=board.step_count,
        ),
        blocks=tuple(BlockEntry(block.cells, block.pins) for block in board.blocks),
        fabrics=tuple(
            fabric_entry(fabric, owners.get(fabric.id)) for fabric in project.fabrics
        ),
    )


def _wedge(entry: WedgeEntry) -> Wedge:
    return Wedge(entry.n, Length(entry.length), Length(entry.narrow), Length(entry.seam))


def _lines(value: Any, before: str, after: str, indent: str = "") -> Iterator[str]:  # noqa: ANN401
    """Write JSON with an indent of two, but a list of plain values on one line: a ring each."""
    deeper = indent + "  "
    items: list[tuple[str, Any]]
    if isinstance(value, dict) and value:
        opening, closing = "{}"
        items = [(f"{_text(key)}: ", part) for key, part in value.items()]
    elif isinstance(value, list) and any(isinstance(part, (dict, list)) for part in value):
        opening, closing = "[]"
        items = [("", part) for part in value]
    else:
        yield f"{indent}{before}{_text(value)}{after}"
        return
    yield f"{indent}{before}{opening}"
    for at, (key, part) in enumerate(items, start=1):
        yield from _lines(part, key, "," if at < len(items) else "", deeper)
    yield f"{indent}{closing}{after}"


def _text(value: Any) -> str:  # noqa: ANN401 - JSON is made of anything
    if isinstance(value, list):
        return f"[{', '.join(_text(part) for part in value)}]"
    return msgspec.json.encode(value).decode()
