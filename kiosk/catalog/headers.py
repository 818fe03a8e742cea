"""Which column of a roster is which, by the spellings that spreadsheets send."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.catalog.notes import Notes, Unsound, listed, nearest_word
from kiosk.catalog.tables import Row, plain_header

COLUMNS = ("line", "size", "name", "number")
# `#` and `no` are left out: they may count the rows or name the player's number.
SPELLINGS = {
    "line": ("line", "lineno", "linenumber", "lineid", "row", "item", "línea", "linea"),
    "size": ("size", "shirtsize", "jerseysize", "garmentsize", "talla"),
    "name": (
        "name", "playername", "player", "lastname", "surname", "nameonback", "backname",
        "nameonshirt", "nombre", "apellido",
    ),
    "number": (
        "number", "num", "nr", "playernumber", "playerno", "jersey", "jerseynumber", "jerseyno",
        "shirtnumber", "shirtno", "backnumber", "número", "numero", "dorsal",
    ),
}  # fmt: skip
BY_SPELLING = {word: column for column, words in SPELLINGS.items() for word in words}
DOUBTFUL = {"": "number", "no": "number"}  # `#` is all marks, and so nothing is left of it


def columns(rows: tuple[Row, ...], wanted: frozenset[str], notes: Notes) -> dict[str, int]:
    """Return the place of each known column of the header, the first row.

    Notes doubled, unknown and missing ones (`wanted` are those that must be there); raises
    Unsound where no reading of the rows makes sense.
    """
    header, places = rows[0], dict[str, int]()
    for place, cell in enumerate(header.cells):
        column = BY_SPELLING.get(plain_header(cell))
        if column is None:
            _unknown(rows, place, notes)
        elif column in places:
            notes.add(say("catalog.roster.doubled"), line=header.line, key=column, found=cell)
        else:
            places[column] = place
    for column in sorted(wanted - places.keys()):
        notes.add(
            say("catalog.roster.no_column"),
            line=header.line,
            key=column,
            allowed=listed(COLUMNS),
        )
    if not wanted <= places.keys():
        raise Unsound
    return places


def _unknown(rows: tuple[Row, ...], place: int, notes: Notes) -> None:
    """Ask about a column that is not known, unless it is empty from top to bottom."""
    if not any(place < len(row.cells) and row.cells[place] for row in rows):
        return
    cell = rows[0].cells[place]
    plain = plain_header(cell)
    nearest = DOUBTFUL.get(plain, "") if cell else ""
    notes.add(
        say("catalog.roster.unknown_column"),
        line=rows[0].line,
        found=cell,
        allowed=listed(COLUMNS),
        nearest=nearest or BY_SPELLING.get(nearest_word(plain, BY_SPELLING), ""),
        question=True,
    )
