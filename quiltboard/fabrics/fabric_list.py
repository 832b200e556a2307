"""Fabrics from a table: a CSV with a row for each cloth."""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, NamedTuple

from quiltboard.fabrics.amounts import MOST_WEDGES
from quiltboard.fabrics.fabric import Amount, Cloth, CutWedges, is_colour
from quiltboard.fabrics.naming import name_from_path, tidy_name
from quiltboard.photos.opening import PhotoError, plain_name, read_bytes
from quiltboard.units import InvalidLengthError, Unit, parse_length

COLUMNS: Final = ("name", "photo", "colour", "pieces", "length", "width", "note")
LIST_SUFFIXES: Final = frozenset({".csv", ".tsv"})

LARGEST_LIST_MB: Final = 5
MOST_ROWS: Final = 2000
LONGEST_NOTE: Final = 500

_DELIMITERS: Final = ",;\t"
_ALSO: Final = {"color": "colour"}
_PIECES: Final = re.compile(r"(\d{1,9})(?:[.,]0{1,2})?")


@dataclass(frozen=True)
class ListedFabric:
    """One fabric of a list, its rows put together.

    Attributes
    ----------
    name
        As it was written, tidied; without a name, the photo's.
    photo
        Where the photo should be; it goes before the colour.
    colour
        sRGB ``#rrggbb``, or None.
    amounts
        What there is, a part for each row that says so; empty means as much as is needed.
    note
        The notes of its rows.
    """

    name: str
    photo: Path | None
    colour: str | None
    amounts: tuple[Amount, ...] = ()
    note: str = ""


class FabricList(NamedTuple):
    """The fabrics of a list, in its order, and a line for all that was not taken as written."""

    fabrics: tuple[ListedFabric, ...]
    problems: tuple[str, ...]


@dataclass
class _Gathered:
    name: str
    row: int
    photo: Path | None = None
    colour: str | None = None
    amounts: list[Amount] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


class _RowError(ValueError):
    """What is wrong with one row."""


class _ListError(ValueError):
    """What is wrong with the whole list."""


def read_fabric_list(path: Path, unit: Unit = "in") -> FabricList:
    """Read a fabric list from its file.

    Parameters
    ----------
    path
        The list. Photos in it are looked for from its own folder.
    unit
        What a length without a unit is meant in.

    Returns
    -------
    FabricList
        A list that cannot be read at all has no fabrics and one problem, which says why.
    """
    try:
        data = read_bytes(path, LARGEST_LIST_MB)
    except PhotoError as error:
        return FabricList((), (str(error),))
    return parse_fabric_list(data, path.parent, plain_name(path.name), unit)


def parse_fabric_list(
    data: bytes, folder: Path, list_name: str = "fabrics.csv", unit: Unit = "in"
) -> FabricList:
    """Read a fabric list from its bytes; a bad row loses only itself.

    The first row names the columns, in any order and any capitals: ``name``, ``photo``,
    ``colour``, ``pieces``, ``length``, ``width``, ``note``; any but a name or a photo may be
    missing. Columns stand apart by commas, semicolons or tabs.

    A row says what there is either in ``pieces`` (wedges that are cut; 0 is none at all) or in
    ``length`` (with a ``width``, empty for the usual width of fabric). A row with both is not
    taken, since three pieces of 18 in and three wedges beside 18 in are different amounts of
    cloth. Rows of one name add up, and a row with neither adds nothing.

    Parameters
    ----------
    data
        The file: UTF-8, UTF-16 with its mark, or else read as Western European (cp1252).
    folder
        Where paths of photos start from.
    list_name
        What to call the list in sentences.
    unit
        What a length without a unit is meant in.
    """
    problems: list[str] = []
    try:
        table = _table(data, problems, list_name)
        columns = _columns(table[0], problems, list_name)
    except _ListError as error:
        return FabricList((), (f"{list_name}: {error}",))
    gathered: dict[str, _Gathered] = {}
    for number, cells in enumerate(table[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        try:
            _refuse_swallowed_rows(cells, len(columns))
            _take_row(_named_cells(cells, columns), number, folder, unit, gathered)
        except _RowError as error:
            problems.append(f"{list_name} row {number}: {error}")
    fabrics = []
    for one in gathered.values():
        if one.photo is None and one.colour is None:
            problems.append(
                f"{list_name} row {one.row}: “{one.name}” has neither a photo nor a colour;"
                " give it one of them"
            )
            continue
        note = "; ".join(dict.fromkeys(one.notes))[:LONGEST_NOTE]
        fabrics.append(ListedFabric(one.name, one.photo, one.colour, tuple(one.amounts), note))
    if not fabrics and not problems:
        problems.append(
            f"{list_name}: it names no fabric; write one in each row below the first"
        )
    return FabricList(tuple(fabrics), tuple(problems))


def _table(data: bytes, problems: list[str], list_name: str) -> list[list[str]]:
    if len(data) > LARGEST_LIST_MB * 1_000_000:
        raise _ListError(f"it holds more than {LARGEST_LIST_MB} MB; save only the fabrics")
    text = _decoded(data, problems, list_name)
    if "\0" in text or data.startswith(b"PK\x03\x04"):
        raise _ListError("this is no table of text; save it as CSV")
    lines = text.lstrip("\ufeff")
    # Spreadsheets may write the delimiter into a line of its own.
    first, _, rest = lines.partition("\n")
    if first.strip().lower().startswith("sep=") and len(first.strip()) == 5:
        delimiter, lines = first.strip()[4], rest
    else:
        delimiter = max(_DELIMITERS, key=first.count)
    try:
        table = list(_bounded(csv.reader(io.StringIO(lines, newline=""), delimiter=delimiter)))
    except (csv.Error, TypeError) as error:
        raise _ListError("its quotation marks do not close; save it again as CSV") from error
    if not table:
        raise _ListError("it is empty; its first row names the columns: " + ",".join(COLUMNS))
    return table


def _bounded(rows: Iterator[list[str]]) -> Iterator[list[str]]:
    for number, cells in enumerate(rows):
        if number > MOST_ROWS:
            raise _ListError(f"it has more than {MOST_ROWS} rows; part it in two")
        yield cells


def _decoded(data: bytes, problems: list[str], list_name: str) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        problems.append(
            f"{list_name}: it is not UTF-8 and was read as Western European; look over the"
            " accents in the names"
        )
        return data.decode("cp1252", errors="replace")


def _columns(header: list[str], problems: list[str], list_name: str) -> list[str | None]:
    columns: list[str | None] = []
    ignored = []
    for cell in header:
        word = cell.strip().casefold()
        word = _ALSO.get(word, word)
        if word in COLUMNS:
            if word in columns:
                raise _ListError(f"two columns are called “{word}”; take one out")
            columns.append(word)
        else:
            columns.append(None)
            if word:
                ignored.append(f"“{plain_name(cell)[:40]}”")
    if "name" not in columns and "photo" not in columns:
        raise _ListError(f"its first row has to name the columns: {','.join(COLUMNS)}")
    if ignored:
        problems.append(f"{list_name}: columns that mean nothing here: {', '.join(ignored)}")
    return columns


def _refuse_swallowed_rows(cells: list[str], columns: int) -> None:
    # An open quotation mark takes the rows below into its cell; they must not go unsaid.
    for line in (line for cell in cells for line in cell.splitlines()[1:]):
        if max(map(line.count, _DELIMITERS)) >= max(1, columns - 1):
            raise _RowError(
                "its quotation marks do not close and take in the rows below; close them"
            )


def _named_cells(cells: list[str], columns: list[str | None]) -> dict[str, str]:
    named = {
        column: cell.strip()
        for column, cell in zip(columns, cells, strict=False)
        if column is not None
    }
    beyond = cells[len(columns) :]
    # “1,5 m” between commas falls into two cells and would be one inch of cloth, five wide: the
    # cell too many gives it away, even an empty one. Elsewhere an empty one does no harm.
    if any(cell.strip() for cell in beyond) or (beyond and named.get("length")):
        raise _RowError(
            "it has more cells than the first row; put quotation marks round a text with commas"
        )
    return named


def _take_row(
    cells: Mapping[str, str],
    number: int,
    folder: Path,
    unit: Unit,
    gathered: dict[str, _Gathered],
) -> None:
    photo = _photo(cells.get("photo", ""), folder)
    written = cells.get("name", "")
    if not written and photo is None:
        raise _RowError("it has no name; write one in the column “name”")
    name = tidy_name(written) if written else name_from_path(photo or folder)
    colour = cells.get("colour", "").lower() or None
    if colour is not None and not is_colour(colour):
        raise _RowError(f"“{colour[:20]}” is no colour; write it as #rrggbb, such as #8a3324")
    amount = _amount(cells, unit)
    # Only now, when nothing can be wrong with the row any more, does it count.
    one = gathered.get(name.casefold()) or _Gathered(name, number)
    for said, known, what in ((photo, one.photo, "photo"), (colour, one.colour, "colour")):
        if said is not None and known is not None and said != known:
            raise _RowError(f"“{name}” has another {what} already, in a row above; keep one")
    gathered[name.casefold()] = one
    one.photo = one.photo or photo
    one.colour = one.colour or colour
    if amount is not None:
        one.amounts.append(amount)
    if cells.get("note"):
        one.notes.append(plain_name(cells["note"]))


def _photo(text: str, folder: Path) -> Path | None:
    if not text:
        return None
    if not text.isprintable():
        raise _RowError("the path of its photo holds signs that no path has; write it again")
    # A list may have been written where folders are parted by the other slash.
    return folder / (text if os.sep == "\\" else text.replace("\\", "/"))


def _amount(cells: Mapping[str, str], unit: Unit) -> Amount | None:
    pieces, length, width = (cells.get(column, "") for column in ("pieces", "length", "width"))
    if pieces and length:
        raise _RowError(
            "it gives both pieces and a length; give each a row of its own, under the same name"
        )
    if width and not length:
        raise _RowError("it gives a width without a length; add the length, or take it out")
    if pieces:
        return CutWedges(_count(pieces))
    if not length:
        return None
    try:
        return Cloth(parse_length(length, unit), parse_length(width, unit) if width else None)
    except InvalidLengthError as error:
        raise _RowError(str(error)) from error


def _count(text: str) -> int:
    # A spreadsheet may write 12 as 12.0 or 12,00. But 1,000 is a thousand to one maker and one
    # to another, and is not guessed at.
    found = _PIECES.fullmatch(text)
    if not found or int(found[1]) > MOST_WEDGES:
        raise _RowError(
            f"“{text[:20]}” is no number of pieces; write a whole number, 0 to {MOST_WEDGES}"
        )
    return int(found[1])
