"""Rows that are probably not a garment, and rows that are several."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kiosk.catalog.base import Message, Notes, say
from kiosk.catalog.model import RosterLine, size_named
from kiosk.catalog.roster.header_row import heads_garments
from kiosk.catalog.roster.headers import fields_in
from kiosk.catalog.roster.odd_lines import holds_rows
from kiosk.catalog.roster.rows_alike import row_ranges
from kiosk.catalog.roster.settling import Edits
from kiosk.catalog.roster.suggestions import counted_size
from kiosk.catalog.roster.tables import SEPARATORS, TableRow, plain_header

Placed = tuple[TableRow, RosterLine]

_SEVERAL = re.compile(r"x? *0*([0-9]{1,2})([.,]0+)? *(x|[^\W\d_]+\.?)?", re.I)  # 2, x2, 2 pcs


def _count_of(text: str) -> int:
    """Return the count in a quantity cell, or in a size cell with a count; 0 if unknown."""
    match = _SEVERAL.fullmatch(text)
    return int(match[1]) if match else counted_size(text)[1]


def _cell(row: TableRow, place: int | None) -> str:
    return row.cells[place] if place is not None and place < len(row.cells) else ""


def copies_of(
    rows: Sequence[TableRow], places: Mapping[str, int], edits: Edits, notes: Notes
) -> Mapping[int, int]:
    """Return the answered number of garments by row.

    Asks about rows with a quantity other than one, which may be in the size cell too: `L x2`.
    """
    counts = dict[int, int]()
    for row in rows:
        text = _cell(row, places.get("quantity"))
        size = _cell(row, places.get("size"))
        text = text or (size if counted_size(size)[1] else "")
        edited = edits.cells.get((row.line, "quantity"), "")
        if edited.isdigit():
            counts[row.line] = int(edited)
        elif text and (count := _count_of(text)) != 1:
            choices = (str(count),) if count else ()
            problem = say("catalog.roster.quantity")
            notes.add(problem, line=row.line, key="quantity", found=text, question=True,
                      could_be=choices)  # fmt: skip
    return counts


TOTAL = re.compile(r"(grand |sub)?total(s|es)?(\W.*)?|sum|suma|gesamt|summe", re.I)


def rows_not_garments(
    table: Sequence[TableRow], places: Mapping[str, int], edits: Edits, notes: Notes
) -> frozenset[int]:
    """Return the rows that are probably not garments, and ask about each only whether it is.

    Raises Unsound if a row begins another list with other columns, or has further rows in a
    cell: a quotation mark in the file was left open.
    """
    found, counts, bare = set[int](), list[int](), _bare_rows(table, places, edits)
    for row in table[1:]:
        if _begins_another_list(row, places):
            raise notes.add(say("catalog.roster.headings_differ"), line=row.line)
        if not row.typed and _has_swallowed(row, places):
            raise notes.add(say("catalog.roster.swallowed"), line=row.line)
        if row.line in edits.rows | edits.garments:
            continue
        filled = [(n, cell) for n, cell in enumerate(row.cells) if cell.strip()]
        if _is_count(filled, places):
            counts.append(row.line)
            continue
        if row.line in bare:
            continue
        problem = _row_question(row, filled, table[0], places)
        if problem is not None:
            only_name = [n for n, _ in filled] == [places.get("name")]  # may be a person's name
            quoted = "" if only_name else filled[0][1]
            notes.add(problem, line=row.line, found=quoted, question=True)
            found.add(row.line)
    for id_, rows in (("catalog.roster.counts", counts), ("catalog.roster.bare_rows", bare)):
        if rows:
            problem = say(id_, rows=tuple(rows), told=row_ranges(rows), count=len(rows))
            notes.add(problem, line=rows[0], question=True)
    return frozenset((*found, *counts, *bare))


def _bare_rows(table: Sequence[TableRow], places: Mapping[str, int], edits: Edits) -> list[int]:
    """Return the rows of a form with only preprinted cells: a row number, a set, a quantity.

    A row of totals without the word looks the same. A single such row with one cell is not
    counted.
    """
    pressed = {places[field] for field in ("size", "name", "number") if field in places}
    sets = Counter(_cell(row, places.get("set")) for row in table)
    bare = dict[int, int]()
    for row in table[1:]:
        filled = {n: cell for n, cell in enumerate(row.cells) if cell}
        preprinted = (cell.isdecimal() or (n == places.get("set") and sets[cell] > 1)
                 for n, cell in filled.items())  # fmt: skip
        if filled and pressed.isdisjoint({*row.slips, *filled}) and all(preprinted):
            bare[row.line] = len(filled)
    remaining = [line for line in bare if line not in edits.rows | edits.garments]
    return remaining if sum(bare.values()) > 1 else []


def _row_question(
    row: TableRow, filled: Sequence[tuple[int, str]], header: TableRow, places: Mapping[str, int]
) -> Message | None:
    """Return the question about a row that is probably not a garment, or None.

    It is a total, the headings repeated, or a single cell that is not a size.
    """
    place, first = filled[0] if filled else (0, "")
    if TOTAL.fullmatch(first.strip(" :.=")):
        return say("catalog.roster.total")
    if _repeats(filled, header, places):
        return say("catalog.roster.heading_again")
    is_size = place == places.get("size") and size_named(first) is not None
    if len(filled) == 1 and len(places) > 1 and not is_size and _is_alone(row, first):
        return say("catalog.roster.lone")
    return None


_ROWS_IN_IT = re.compile(r"[,;\t|].*[\r\n]|[\r\n].*[,;\t|]", re.DOTALL)


def _has_swallowed(row: TableRow, places: Mapping[str, int]) -> bool:
    """Return whether a cell of a row holds further rows, even in a column that is not used."""
    size = places.get("size", 0)
    return any(_ROWS_IN_IT.search(row.cells[n]) for n in _pressed_places(row, places)) or any(
        holds_rows(cell, size, SEPARATORS) for cell in row.cells
    )


def _pressed_places(row: TableRow, places: Mapping[str, int]) -> Iterator[int]:
    """Yield the places of size, name and number, as far as the row reaches."""
    return (n for f, n in places.items() if f in {"size", "name", "number"} and n < len(row.cells))


def _is_count(filled: Sequence[tuple[int, str]], places: Mapping[str, int]) -> bool:
    """Return whether a row has only a size and its count, as in a summary below a list."""
    if len(filled) != 2 or places.get("size") in dict(filled):
        return False
    sizes = [cell for _, cell in filled if size_named(cell) is not None]
    return len(sizes) == 1 and all(cell.isdecimal() for _, cell in filled if cell not in sizes)


def _repeats(
    filled: Sequence[tuple[int, str]], header: TableRow, places: Mapping[str, int]
) -> bool:
    """Return whether a row repeats the headings, in whatever language.

    All filled cells do, or at least those of size and of name or number.
    """
    fields = {place: field for field, place in places.items()}
    repeated = [
        n
        for n, cell in filled
        if plain_header(cell) == plain_header(header.cells[n] if n < len(header.cells) else "")
        or fields_in([cell])[0] == fields.get(n, "none")
    ]
    sure = heads_garments(fields.get(n, "") for n in repeated)  # whatever is in the other cells
    return len(filled) > 1 and (sure or len(repeated) == len(filled))


def _begins_another_list(row: TableRow, places: Mapping[str, int]) -> bool:
    """Return whether a row is known headings in an order other than that of the header."""
    known = [(n, field) for n, field in enumerate(fields_in(row.cells)) if field]
    sure = heads_garments(field for _, field in known)
    return sure and any(places.get(field) != n for n, field in known)


BOTH = {
    "both": ("home", "away"), "all": ("home", "away"), "h&a": ("home", "away"),
    "ambas": ("local", "visitante"), "ambos": ("local", "visitante"),
}  # fmt: skip
"""Words for both sets, and the sets they mean if no other row names any: common practice,
no source."""
_SETS = frozenset({"h", "a", *(word for words in BOTH.values() for word in words)})
_JOINS = re.compile(r"\s*(?:[&+/,;]|\b(?:and|y|e|und)\b)\s*", re.IGNORECASE)


def split_by_set(placed: Sequence[Placed], notes: Notes) -> Iterator[Placed]:
    """Yield the garments, one per set if a row is for several; ask about each such row.

    Also ask about a set of one or two letters that begins another set's name.
    """
    written = {line.set.casefold(): line.set for _, line in placed if line.set}
    single = {
        key: each
        for key, each in written.items()
        if not _sets_in(key, {}) and not any(_abbreviates(key, other) for other in written)
    }
    for row, line in placed:
        sets = _sets_in(line.set, single)
        like = [each for key, each in single.items() if _abbreviates(line.set.casefold(), key)]
        if sets:
            problem = say("catalog.roster.both_sets", sets=sets, count=len(sets))
            _ask_set(row, line, problem, sets, notes)
        elif len(like) == 1:
            problem = say("catalog.roster.set_alike", other=like[0])
            _ask_set(row, line, problem, (like[0],), notes)
        for nth, own in enumerate(sets or (line.set,), 1):
            key = f"{line.line}-{own}" if line.line and nth > 1 else line.line
            yield row, replace(line, set=own, line=key)


def _abbreviates(short: str, other: str) -> bool:
    return short.isalpha() and len(short) < min(len(other), 3) and other.startswith(short)


def _sets_in(text: str, known: Mapping[str, str]) -> tuple[str, ...]:
    """Return the sets that a cell names if several; `known` are those of other rows."""
    usual = BOTH.get(text.casefold(), ())
    if usual:
        return tuple(known.values()) if len(known) > 1 else _as_known(usual, known)
    parts = tuple(dict.fromkeys(filter(None, _JOINS.split(text))))
    all_known = all(part.casefold() in _SETS or part.casefold() in known for part in parts)
    return _as_known(parts, known) if all_known and len(parts) > 1 else ()


def _as_known(sets: Sequence[str], known: Mapping[str, str]) -> tuple[str, ...]:
    """Return sets as other rows write them, so that each set has one name."""
    return tuple(known.get(each.casefold(), each) for each in sets)


def _ask_set(
    row: TableRow, line: RosterLine, problem: Message, could_be: tuple[str, ...], notes: Notes
) -> None:
    notes.add(problem, line=row.line, key="set", found=line.set, could_be=could_be, question=True)


def _is_alone(row: TableRow, text: str) -> bool:
    """Return whether a row holds nothing but a text, which may be merged over several cells."""
    return all(slip.could_be == (text,) for slip in row.slips.values())


def ask_repeated(placed: Sequence[Placed], notes: Notes) -> list[Placed]:
    """Ask about each row that repeats an earlier one; return the rows without those."""
    first, distinct = dict[tuple[str, ...], int](), list[Placed]()
    for row, line in placed:
        content = (line.set.casefold(), line.size, line.name, line.number)
        if any(content[2:]) and first.get(content, row.line) != row.line:
            problem = say("catalog.roster.row_twice", first=first[content])
            notes.add(problem, line=row.line, question=True)
        else:
            distinct.append((row, line))
        first.setdefault(content, row.line)
    return distinct


def with_copies(placed: Sequence[Placed], copies: Mapping[int, int]) -> Iterator[Placed]:
    """Yield each garment as often as `copies` says; further ones have ids of their own: 3-2."""
    for row, line in placed:
        for nth in range(1, copies.get(row.line, 1) + 1):
            own = f"{line.line}-{nth}" if line.line and nth > 1 else line.line
            yield row, replace(line, line=own)
