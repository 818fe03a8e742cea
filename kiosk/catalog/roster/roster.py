"""Read a roster, CSV from a spreadsheet or a workbook, into one line per garment."""

import hashlib
import json
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.base import Message, Notes, dataclass, say
from kiosk.catalog.model import RosterColumn, RosterLine, SizeClass
from kiosk.catalog.roster import cells, headers
from kiosk.catalog.roster.cells import Cell
from kiosk.catalog.roster.header_row import header_place, with_headings
from kiosk.catalog.roster.kinds import ages_by_line, ask_bare_sizes
from kiosk.catalog.roster.remarks import ask_each, ask_remarks
from kiosk.catalog.roster.rows import (
    Placed,
    ask_repeated,
    copies_of,
    rows_not_garments,
    split_by_set,
    with_copies,
)
from kiosk.catalog.roster.settling import NO_EDITS, Edits
from kiosk.catalog.roster.side_by_side import one_list
from kiosk.catalog.roster.suggestions import says_youth
from kiosk.catalog.roster.tables import TableRow, plain_header, rows, zero_slip
from kiosk.catalog.roster.workbook import ENDING, WITHIN, workbook_rows


@dataclass(frozen=True, slots=True)
class Roster:
    """A roster as read: its columns with their fields, and each garment with its row."""

    columns: tuple[RosterColumn, ...]
    placed: tuple[Placed, ...]

    @property
    def lines(self) -> tuple[RosterLine, ...]:
        """The garments' lines, in the file's order."""
        return tuple(line for _, line in self.placed)


def read_table(
    name: str,
    data: bytes,
    given: Mapping[str, str],
    notes: Notes,
    choices: frozenset[str] = frozenset(),
) -> tuple[TableRow, ...]:
    """Return the rows of a roster file; `choices` name the sheet, the list or the letters.

    By default it is the first sheet, the first list, and the most likely letters.
    """
    if name.lower().endswith(ENDING) or WITHIN in data:
        table = workbook_rows(data, notes, choices)
    else:
        known = {plain_header(header) for header in given.values()}
        table = rows(data, frozenset(headers.BY_SPELLING) | known, notes, choices)
    return with_headings(one_list(table, given, choices, notes), given)


def roster_of(
    table: Sequence[TableRow],
    elements: frozenset[str],
    notes: Notes,
    given: Mapping[str, str] = headers.NONE_GIVEN,
    edits: Edits = NO_EDITS,
) -> Roster:
    """Return the garments of a table with `edits` applied.

    `elements` are the recipe's elements (`name`, `number`), `given` the headers by field that a
    person has settled. Every fault and question is noted; raises Unsound if there are no lines
    to return.
    """
    needed = frozenset({"size"}) | (elements & {"name", "number"})
    table = table[header_place(table, given, notes) :]
    given = headers.assign_doubtful(table, given)
    places = headers.columns(table, needed, given, notes, edits.unused)
    left_out = edits.rows | rows_not_garments(table, places, edits, notes)
    table = [table[0], *(row for row in table[1:] if row.line not in left_out)]
    settled = {*given.values(), *edits.unused}
    if not edits.each_remark:
        ask_remarks(table, settled, notes)
    if len(table) == 1:
        raise notes.add(say("catalog.roster.no_rows"), line=table[0].line)
    table = [table[0], *_with_zero_doubts(table[1:], places.get("number"))]
    for row in table[1:]:
        _check_width(row, len(table[0].cells), notes)
    copies = copies_of(table[1:], places, edits, notes)
    placed = [(row, _line(row, places, needed, notes, edits)) for row in table[1:]]
    placed = list(with_copies(placed, copies)) if copies else placed
    placed = _with_line_ids(list(split_by_set(placed, notes)), notes)
    if edits.each_remark:
        ask_each(table, settled, placed, notes)
    distinct = ask_repeated(placed, notes)
    if "number" in needed:
        _check_numbers(distinct, notes)
    youth = says_youth(table[0].cells[places["size"]])
    ask_in_order(distinct, notes, youth=youth, ages=ages_by_line(table, places))
    return Roster(headers.read_header(table[0].cells, given, edits.unused), tuple(placed))


def line_digest(line: RosterLine) -> str:
    """Return the SHA-256 (hex) of one line's content, which shows whether it has changed."""
    cells = [line.line, line.size, line.name, line.number]
    content = json.dumps(cells + [line.set] * bool(line.set), ensure_ascii=True)
    return hashlib.sha256(content.encode("ascii")).hexdigest()


def roster_digest(data: bytes) -> str:
    """Return the SHA-256 (hex) of a roster file's bytes."""
    return hashlib.sha256(data).hexdigest()


def _line(
    row: TableRow, places: dict[str, int], needed: frozenset[str], notes: Notes, edits: Edits
) -> RosterLine:
    def in_file(column: str) -> tuple[str, int]:
        place = places.get(column, len(row.cells))
        return (row.cells[place] if place < len(row.cells) else ""), place

    def cell(column: str) -> Cell:
        text, place = in_file(column)
        edited = edits.cells.get((row.line, column))
        if edited is not None:
            return Cell(notes, row.line, column, edited)
        return Cell(notes, row.line, column, text, row.slips.get(place))

    def is_needed(column: str) -> bool:
        return column in needed and edits.cells.get((row.line, column)) != ""

    values = {
        "line": cells.line_id(cell("line")),
        "size": cells.size(cell("size")),
        "name": cells.name(cell("name"), is_needed("name")),
        "number": cells.number(cell("number"), is_needed("number")),
        "set": cells.garment_set(cell("set")),
    }
    as_in_file = {column: in_file(column)[0] for column in values}
    other = tuple((column, text) for column, text in as_in_file.items() if text != values[column])
    return RosterLine(**values, written=other, row=row.line)


def _with_line_ids(placed: list[Placed], notes: Notes) -> list[Placed]:
    """Return the lines, numbered from 1 if the file has no ids; note missing and doubled ids."""
    if not any(line.line for _, line in placed):
        return [(row, replace(line, line=str(n))) for n, (row, line) in enumerate(placed, 1)]
    first: dict[str, int] = {}
    for row, line in placed:
        if not line.line:
            notes.add(say("catalog.roster.no_line"), line=row.line, key="line")
        elif first.get(line.line, row.line) != row.line:
            problem = say("catalog.roster.line_twice", first=first[line.line])
            notes.add(problem, line=row.line, key="line", found=line.line)
        first.setdefault(line.line, row.line)
    return placed


_ZEROS_KEPT = re.compile(r"0[0-9]+")


def _with_zero_doubts(rows: Sequence[TableRow], place: int | None) -> Sequence[TableRow]:
    """Return `rows` with a doubt on each 0 in text: it may have been 00.

    No doubt if a number such as 07 shows that leading zeros were kept.
    """
    if place is None or any(row.typed for row in rows):
        return rows
    numbers = [row.cells[place] if place < len(row.cells) else "" for row in rows]
    if any(_ZEROS_KEPT.fullmatch(number) for number in numbers):
        return rows
    return [
        replace(row, slips={**row.slips, place: zero_slip()}) if number == "0" else row
        for row, number in zip(rows, numbers, strict=True)
    ]


def _check_width(row: TableRow, width: int, notes: Notes) -> None:
    if any(row.cells[width:]):
        extra = next(cell for cell in row.cells[width:] if cell)
        notes.add(say("catalog.roster.more_cells"), line=row.line, found=extra, question=True)


def _check_numbers(placed: list[Placed], notes: Notes) -> None:
    """Ask about numbers that occur twice in a set, and about 7 beside 07.

    0 and 00 are both allowed here: a league's code decides on them.
    """
    first: dict[tuple[str, str], int] = {}
    written: dict[tuple[str, str], str] = {}
    for row, line in placed:
        text, own_set = line.number, line.set.casefold()
        if not (text.isascii() and text.isdigit()):
            continue
        value = text.lstrip("0")
        other = written.setdefault((own_set, value), text) if value else text
        if first.get((own_set, text), row.line) != row.line:
            problem = say("catalog.roster.number_twice", first=first[own_set, text])
            _ask(row, text, problem, notes)
        elif other != text:
            problem = say("catalog.roster.zeros", other=other, first=first[own_set, other])
            _ask(row, text, problem, notes)
        first.setdefault((own_set, text), row.line)


def _ask(row: TableRow, number: str, problem: Message, notes: Notes) -> None:
    notes.add(problem, line=row.line, key="number", found=number, question=True)


APOSTROPHES, HYPHENS = "'’ʼ", "-‐‑"


NO_AGES: Mapping[int, SizeClass] = {}


def ask_in_order(
    placed: Iterable[tuple[TableRow, RosterLine]],
    notes: Notes,
    *,
    youth: bool = False,
    ages: Mapping[int, SizeClass] = NO_AGES,
) -> None:
    """Note the questions that a row raises only in comparison with the other rows.

    `youth`: the heading of the sizes says youth; `ages`: size class by row from another column.
    """
    rows = tuple(placed)
    ask_bare_sizes(rows, notes, youth, ages)
    names = tuple((row.line, line.name) for row, line in rows if line.name)
    _ask_names_twice(rows, notes)
    _ask_case(names, notes)
    for kinds in (APOSTROPHES, HYPHENS):
        _ask_marks(names, kinds, notes)


def _ask_names_twice(rows: Sequence[tuple[TableRow, RosterLine]], notes: Notes) -> None:
    """Ask about a name that occurs twice in a set: brothers, or the same row twice."""
    first: dict[tuple[str, str], int] = {}
    for row, line in rows:
        key = (line.set.casefold(), line.name.casefold())
        if not line.name or cells.is_stand_in(line.name):
            continue
        if first.get(key, row.line) != row.line:
            problem = say("catalog.roster.name_twice", first=first[key])
            notes.add(problem, line=row.line, key="name", found=line.name, question=True)
        first.setdefault(key, row.line)


def _ask_case(names: Sequence[tuple[int, str]], notes: Notes) -> None:
    """Ask about the minority: names with small letters among capitals, or the other way round.

    Also ask about names without any capital.
    """
    cased = [(line, name) for line, name in names if name.upper() != name.lower() and len(name) > 1]
    small = [each for each in cased if not _in_capitals(each[1])]
    if 2 * len(small) <= len(cased):
        _ask_each(small, say("catalog.roster.small_letters"), (str.upper,), notes)
        return
    capitals = [each for each in cased if each not in small]
    _ask_each(capitals, say("catalog.roster.all_capitals"), (str.title,), notes)
    bare = [(line, name) for line, name in small if name == name.lower()]
    _ask_each(bare, say("catalog.roster.no_capital"), (str.title, str.upper), notes)


def _in_capitals(name: str) -> bool:
    """Return whether a name is all capitals; ß counts as one."""
    plain = name.replace("ß", "")
    return plain == plain.upper()


def _ask_each(
    names: Iterable[tuple[int, str]],
    cause: Message,
    rewrites: Sequence[Callable[[str], str]],
    notes: Notes,
) -> None:
    for line, name in names:
        others = tuple(rewrite(name) for rewrite in rewrites)
        notes.add(cause, line=line, key="name", found=name, could_be=others, question=True)


def _ask_marks(names: Sequence[tuple[int, str]], kinds: str, notes: Notes) -> None:
    """Ask about marks that mean the same as others in the order but look different when cut."""
    counts = Counter(mark for _, name in names for mark in kinds if mark in name)
    if len(counts) < 2:
        return
    usual = counts.most_common(1)[0][0]
    for line, name in names:
        others = tuple(mark for mark in kinds if mark in name and mark != usual)
        if others:
            like = name.translate({ord(mark): usual for mark in others})
            cause = say("catalog.roster.marks", here=others, usual=usual)
            notes.add(cause, line=line, key="name", found=name, could_be=(like,), question=True)
