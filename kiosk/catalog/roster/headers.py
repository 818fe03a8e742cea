"""Roster headings: which column holds which field, by the spellings customers use."""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import yaml

from kiosk.catalog.base.fields import LEFT_OUT, Field, FieldTable
from kiosk.catalog.base.files import write_whole
from kiosk.catalog.base.notes import Notes, Unsound, listed, nearest_word, say
from kiosk.catalog.base.spots import Spot
from kiosk.catalog.base.tree import values_by_path, with_entry
from kiosk.catalog.base.values import list_of, word
from kiosk.catalog.model.orders import RosterColumn
from kiosk.catalog.roster.kinds import swapped_fields
from kiosk.catalog.roster.tables import TableRow, plain_header

COLUMNS = ("line", "size", "name", "number", "set", "quantity")
# `#`, `no`, `nº` are left out: they may count the rows or be the player's number: `assign_doubtful`
SPELLINGS = {
    "line": ("line", "lineno", "linenumber", "lineid", "row", "item", "línea", "linea", "fila"),
    "size": (
        "size", "sizes", "sz", "shirtsize", "tshirtsize", "jerseysize", "garmentsize", "playersize",
        "topsize", "talla", "talle", "tallacamiseta", "tamaño",
    ),
    "name": (
        "name", "names", "playername", "player", "lastname", "familyname", "surname", "nameonback",
        "backname", "nameonshirt", "shirtname", "jerseyname", "nameonjersey", "backprint",
        "nombre", "nombredorsal", "nombreespalda", "nombreenlaespalda", "nombrecamiseta",
        "apellido", "apellidos", "jugador", "jugadora",
    ),
    "number": (
        "number", "numbers", "num", "nr", "playernumber", "playerno", "jersey", "jerseynumber",
        "jerseyno", "jerseynum", "shirtnumber", "shirtno", "backnumber", "uniformnumber",
        "uniformno", "numberonback", "squadnumber", "squadno",
        "número", "numero", "núm", "dorsal", "númerodorsal", "númerocamiseta", "númerodecamiseta",
        "númcamiseta", "númdecamiseta",
    ),
    "set": (
        "set", "kit", "strip", "uniform", "homeaway", "home/away", "homeoraway", "jerseyset",
        "equipación", "equipacion", "conjunto",
    ),
    "quantity": (
        "quantity", "qty", "qnty", "pieces", "pcs", "howmany", "cantidad", "cant", "piezas",
        "unidades", "uds",
    ),
}  # fmt: skip
BY_SPELLING = {word: column for column, words in SPELLINGS.items() for word in words}
# Headings of remarks beside a garment: not read as a field, and not asked about.
REMARKS = frozenset({
    "remark", "remarks", "note", "notes", "comment", "comments", "observación", "observacion",
    "observaciones", "obs", "nota", "notas", "comentario", "comentarios", "instructions",
    "specialinstructions", "specialrequests", "instrucciones", "indicaciones",
})  # fmt: skip
DOUBTFUL = {"": "number", "no": "number", "n": "number"}  # `plain_header` of `#` is empty
NONE_GIVEN: Mapping[str, str] = {}


def assign_doubtful(rows: Sequence[TableRow], given: Mapping[str, str]) -> Mapping[str, str]:
    """Return `given` (headers by field) with `#` or `No.` assigned by the cells below it.

    A column that counts from 1 is the line id if another column has the numbers; one that does
    not is the number if no other column has it. Otherwise it stays in doubt. Two headings over
    each other's cells are assigned NO_HEADING, so that they are asked about.
    """
    header, found = rows[0].cells, dict(given)
    fields = {column.field for column in read_header(header, given)} | given.keys()
    doubtful = [n for n, cell in enumerate(header) if cell and plain_header(cell) in DOUBTFUL]
    unassigned = [n for n in doubtful if header[n] not in given.values()]
    numbers = [n for n in unassigned if not _counts_up(rows[1:], n)]
    if "number" not in fields and len(numbers) == 1:
        found["number"] = header[numbers[0]]
        fields.add("number")
    counting = [n for n in unassigned if n not in numbers]
    if "line" not in fields and "number" in fields and len(counting) == 1:
        found["line"] = header[counting[0]]
    return found | dict.fromkeys(_swapped_fields(rows, found), NO_HEADING)


NO_HEADING = "\0"  # never in a file: marks a field whose heading is not trusted


def _swapped_fields(rows: Sequence[TableRow], given: Mapping[str, str]) -> frozenset[str]:
    """Return the fields of two swapped headings that no person has settled."""
    places = {c.field: n for n, c in enumerate(read_header(rows[0].cells, given)) if c.field}
    return swapped_fields(rows, {field: n for field, n in places.items() if field not in given})


def _counts_up(rows: Sequence[TableRow], place: int) -> bool:
    """Return whether a column counts 1, 2, 3 …"""
    cells = [row.cells[place] if place < len(row.cells) else "" for row in rows]
    return cells == [str(n) for n in range(1, len(rows) + 1)]


def read_header(
    header: Sequence[str],
    given: Mapping[str, str] = NONE_GIVEN,
    unused: frozenset[str] = frozenset(),
) -> tuple[RosterColumn, ...]:
    """Return each header cell with its field, empty for none.

    `given` are headers by field that a person has settled; they win over the spellings, as do
    the headers in `unused`. If different headings could be the same field, none of them gets it.
    """
    columns = _by_spelling(header, given, unused)
    headers: dict[str, set[str]] = {}
    for column in columns:
        headers.setdefault(column.field, set()).add(column.header.casefold())
    return tuple(
        RosterColumn(each.header, "") if len(headers[each.field]) > 1 else each for each in columns
    )


def _by_spelling(
    header: Sequence[str], given: Mapping[str, str], unused: frozenset[str]
) -> tuple[RosterColumn, ...]:
    by_header = {text.casefold(): field for field, text in given.items()}

    def field(cell: str) -> str:
        if cell in unused:
            return ""
        known = by_header.get(cell.casefold())
        guess = BY_SPELLING.get(plain_header(cell), "")
        return known or ("" if guess in given else guess)

    return tuple(RosterColumn(cell, field(cell)) for cell in header)


_MADE = re.compile(r"\[[A-Z]{1,2}\]")


def is_made(header: str) -> bool:
    """Return whether a heading is a column letter such as `[B]`, added by `with_headings`."""
    return _MADE.fullmatch(header) is not None


def is_remark(header: str) -> bool:
    """Return whether a column is known to hold remarks, which are never pressed."""
    return plain_header(header) in REMARKS


def fields_in(cells: Sequence[str], given: Mapping[str, str] = NONE_GIVEN) -> tuple[str, ...]:
    """Return the field that each cell would mean as a heading; empty for none."""
    return tuple(column.field for column in _by_spelling(cells, given, frozenset()))


def way_out(field: str, header: str) -> str:
    """Return the text for `columns` in job.yaml that makes `header` the column of `field`."""
    quoted = json.dumps(header, ensure_ascii=False)
    return f"{{{field}: {quoted}}}"


def columns(
    rows: Sequence[TableRow],
    needed: frozenset[str],
    given: Mapping[str, str],
    notes: Notes,
    unused: frozenset[str] = frozenset(),
) -> dict[str, int]:
    """Return the place of each known column by field; the header is the first of `rows`.

    Notes doubled and unknown columns and those of `needed` that are missing; raises Unsound if
    one of `needed` is missing.
    """
    header, places = rows[0], dict[str, int]()
    for place, column in enumerate(read_header(header.cells, given, unused)):
        if not column.field:
            if column.header not in unused and not is_remark(column.header):
                _unknown(rows, place, notes, given)
        elif column.field in places:
            notes.add(
                say("catalog.roster.doubled"),
                line=header.line, key=column.field, found=column.header,
            )  # fmt: skip
        else:
            places[column.field] = place
    for field in sorted(needed - places.keys()):
        notes.add(
            say("catalog.roster.no_column", example=way_out(field, "HEADING")),
            line=header.line,
            key=field,
            allowed=listed(COLUMNS),
        )
    if not needed <= places.keys():
        raise Unsound
    return places


def ask_all(rows: Sequence[TableRow], notes: Notes) -> None:
    """Ask about every column of rows whose header has no known column."""
    for place in range(len(rows[0].cells)):
        _unknown(rows, place, notes)


def _unknown(
    rows: Sequence[TableRow], place: int, notes: Notes, given: Mapping[str, str] = NONE_GIVEN
) -> None:
    """Ask about an unknown column, unless it is entirely empty."""
    if not any(place < len(row.cells) and row.cells[place] for row in rows):
        return
    cell = rows[0].cells[place]
    plain = plain_header(cell)
    nearest = DOUBTFUL.get(plain, "") if cell else ""
    exact = BY_SPELLING.get(plain, "")
    unlike = exact if given.get(exact) == NO_HEADING else ""
    near = nearest or BY_SPELLING.get(nearest_word(plain, BY_SPELLING), "")
    example = way_out(near or "number", cell or "HEADING")
    notes.add(
        say("catalog.roster.unknown_column", example=example, place=place + 1, unlike=unlike),
        line=rows[0].line,
        found=cell,
        allowed=listed(COLUMNS),
        nearest=near,
        question=True,
    )


UNUSED = "unused"
HEADINGS = "headings.yaml"
_HEAD = (
    "# What headings of customers' files mean, as somebody of this shop answered.\n"
    "# A heading that is taken out is asked about again.\n"
)


def headings(spot: Spot) -> dict[str, str]:
    """Return the field of each heading known to this shop (`unused` for none), by heading."""
    by_field = _HEADINGS_BY_FIELD(spot)
    return {each.casefold(): field for field, headers in by_field.items() for each in headers}


def _words(spot: Spot) -> tuple[str, ...]:
    """Return a list of words; an emptied key has none."""
    node = spot.node
    empty = spot.is_null or (isinstance(node, yaml.SequenceNode) and not node.value)
    return () if empty else list_of(word)(spot)


_HEADINGS_BY_FIELD = FieldTable(
    dict[str, tuple[str, ...]], tuple(Field(name, _words, LEFT_OUT) for name in (*COLUMNS, UNUSED))
)


def note_headings(path: Path, pairs: Iterable[tuple[str, str]], known: Mapping[str, str]) -> None:
    """Add to the shop's file the (field, heading) pairs that SPELLINGS does not give.

    `known` is the file's content so far. Raises OSError, or KeyError if the file is not a map.
    """
    news = [
        (field, header)
        for field, header in pairs
        if plain_header(header)
        and not is_made(header)
        and BY_SPELLING.get(plain_header(header)) != field
        and known.get(header.casefold()) != field
    ]
    if news:
        text = path.read_text("utf-8") if path.exists() else ""
        for field, header in news:
            text = _with_heading(text, field, header)
        write_whole(path, text.encode())


def _with_heading(text: str, field: str, header: str) -> str:
    """Return the shop's file with a heading under `field` and under no other."""
    before = values_by_path(text)
    by_field: dict[str, list[str]] = {place[0]: [] for place in before}
    for place, value in before.items():
        if value.casefold() != header.casefold():
            by_field[place[0]].append(value)
    by_field.setdefault(field, []).append(header)
    if not before:
        if any(line.strip() and not line.lstrip().startswith("#") for line in text.splitlines()):
            raise KeyError(field)  # not understood, so it is left alone
        head = f"{text.rstrip()}\n" if text.strip() else _HEAD
        return f"{head}{field}: {_flow(by_field[field])}\n"
    for key, headers in by_field.items():
        text = with_entry(text, (), key, _flow(headers))
    return text


def _flow(words: Sequence[str]) -> str:
    """Return a list as YAML on one line."""
    dumped: str = yaml.safe_dump(
        list(words), default_flow_style=True, default_style='"', allow_unicode=True, width=100_000
    )
    return dumped.strip()
