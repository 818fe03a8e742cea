"""Which column of a roster is which, by the spellings that spreadsheets send."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Notes, Unsound, listed, nearest_word
from kiosk.catalog.model.sheets import RosterColumn
from kiosk.catalog.roster.tables import HEADER_ROWS, Row, plain_header

COLUMNS = ("line", "size", "name", "number", "set")
# `#`, `no`, `nº` are left out: they may count the rows or be the player's number (`settled`).
SPELLINGS = {
    "line": ("line", "lineno", "linenumber", "lineid", "row", "item", "línea", "linea", "fila"),
    "size": (
        "size", "sizes", "sz", "shirtsize", "jerseysize", "garmentsize", "playersize", "topsize",
        "talla", "talle", "tallacamiseta", "tamaño",
    ),
    "name": (
        "name", "names", "playername", "player", "lastname", "familyname", "surname", "nameonback",
        "backname", "nameonshirt", "shirtname", "jerseyname", "nameonjersey", "backprint",
        "nombre", "nombredorsal", "apellido", "apellidos", "jugador", "jugadora",
    ),
    "number": (
        "number", "numbers", "num", "nr", "playernumber", "playerno", "jersey", "jerseynumber",
        "jerseyno", "jerseynum", "shirtnumber", "shirtno", "backnumber", "uniformnumber",
        "numberonback", "squadnumber", "squadno",
        "número", "numero", "dorsal", "númerodorsal",
    ),
    "set": (
        "set", "kit", "strip", "uniform", "homeaway", "home/away", "homeoraway", "jerseyset",
        "equipación", "equipacion", "conjunto",
    ),
}  # fmt: skip
BY_SPELLING = {word: column for column, words in SPELLINGS.items() for word in words}
DOUBTFUL = {"": "number", "no": "number", "n": "number"}  # of `#`, all marks, nothing is left
NONE_GIVEN: Mapping[str, str] = {}


def settled(rows: Sequence[Row], given: Mapping[str, str]) -> Mapping[str, str]:
    """Return `given` (headers by field) and what `#` or `No.` must be by what stands below it.

    What counts the lines from 1 is their id where another column has the numbers; what does not
    count them is the number where no other column has it. Otherwise it stays in doubt.
    """
    header, found = rows[0].cells, dict(given)
    fields = {column.field for column in recognised(header, given)} | given.keys()
    doubtful = [n for n, cell in enumerate(header) if cell and plain_header(cell) in DOUBTFUL]
    open_ = [n for n in doubtful if header[n] not in given.values()]
    numbers = [n for n in open_ if not _counts(rows[1:], n)]
    if "number" not in fields and len(numbers) == 1:
        found["number"] = header[numbers[0]]
        fields.add("number")
    counting = [n for n in open_ if n not in numbers]
    if "line" not in fields and "number" in fields and len(counting) == 1:
        found["line"] = header[counting[0]]
    return found


def _counts(rows: Sequence[Row], place: int) -> bool:
    """Whether a column has nothing but 1, 2, 3 … in it."""
    cells = [row.cells[place] if place < len(row.cells) else "" for row in rows]
    return cells == [str(n) for n in range(1, len(rows) + 1)]


def recognised(
    header: Sequence[str], given: Mapping[str, str] = NONE_GIVEN
) -> tuple[RosterColumn, ...]:
    """Return each header cell with the field it is taken for, empty where none.

    `given` are headers by field that a person has settled; they win over the spellings.
    """
    by_header = {text.casefold(): field for field, text in given.items()}

    def field(cell: str) -> str:
        known = by_header.get(cell.casefold())
        guess = BY_SPELLING.get(plain_header(cell), "")
        return known or ("" if guess in given else guess)

    return tuple(RosterColumn(cell, field(cell)) for cell in header)


def header_place(rows: Sequence[Row], given: Mapping[str, str], notes: Notes) -> int:
    """Return which row is the header: the first of the first rows with a known column.

    Notes a question where a title stands above it; raises Unsound where no row is one: then
    the first may hold a player's name, and none of it is told.
    """
    for place, row in enumerate(rows[:HEADER_ROWS]):
        if any(column.field for column in recognised(row.cells, given)):
            if place:
                notes.add(say("catalog.roster.title"), line=rows[0].line, question=True)
            return place
    if any(plain_header(cell) in DOUBTFUL for cell in rows[0].cells if cell):
        return 0
    problem = say("catalog.roster.no_header", example=way_out("size", "HEADING"))
    raise notes.add(problem, line=rows[0].line, allowed=listed(COLUMNS))


def way_out(field: str, header: str) -> str:
    """Return what a job.yaml says under `columns` where `header` names the column of `field`."""
    quoted = json.dumps(header, ensure_ascii=False)
    return f"{{{field}: {quoted}}}"


def columns(
    rows: Sequence[Row], wanted: frozenset[str], given: Mapping[str, str], notes: Notes
) -> dict[str, int]:
    """Return the place of each known column of the header, the first of `rows`.

    Notes doubled, unknown and missing ones (`wanted` are those that must be there); raises
    Unsound where no reading of the rows makes sense.
    """
    header, places = rows[0], dict[str, int]()
    for place, column in enumerate(recognised(header.cells, given)):
        if not column.field:
            _unknown(rows, place, notes)
        elif column.field in places:
            notes.add(
                say("catalog.roster.doubled"),
                line=header.line, key=column.field, found=column.header,
            )  # fmt: skip
        else:
            places[column.field] = place
    for field in sorted(wanted - places.keys()):
        notes.add(
            say("catalog.roster.no_column", example=way_out(field, "HEADING")),
            line=header.line,
            key=field,
            allowed=listed(COLUMNS),
        )
    if not wanted <= places.keys():
        raise Unsound
    return places


def _unknown(rows: Sequence[Row], place: int, notes: Notes) -> None:
    """Ask about a column that is not known, unless it is empty from top to bottom."""
    if not any(place < len(row.cells) and row.cells[place] for row in rows):
        return
    cell = rows[0].cells[place]
    plain = plain_header(cell)
    nearest = DOUBTFUL.get(plain, "") if cell else ""
    near = nearest or BY_SPELLING.get(nearest_word(plain, BY_SPELLING), "")
    notes.add(
        say("catalog.roster.unknown_column", example=way_out(near or "number", cell or "HEADING")),
        line=rows[0].line,
        found=cell,
        allowed=listed(COLUMNS),
        nearest=near,
        question=True,
    )
