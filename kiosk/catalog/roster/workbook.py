"""A workbook's sheet into rows of cells, by an optional library."""

import io
import re
import warnings
import zipfile
from collections.abc import Callable, Collection
from typing import Any

from kiosk.catalog.base import Notes, Unsound, say
from kiosk.catalog.roster import tables
from kiosk.catalog.roster.shown_cell import ShownCell, shown_cell

ENDING = ".xlsx"
WITHIN = b"xl/workbook.xml"  # in every workbook, whatever its file name


Cells = dict[tuple[int, int], ShownCell]


def workbook_rows(
    data: bytes, notes: Notes, choices: Collection[str] = ()
) -> tuple[tables.TableRow, ...]:
    """Return the filled rows of a workbook's sheet in `choices`, by default its first visible one.

    `line` is the sheet's own row. Every existing cell is read, whatever size the sheet states.
    A formula counts as the value saved with it; hidden and merged cells, comments and other
    sheets are asked about. Raises Unsound, its fault noted, if it is not a workbook or the
    library is not installed.
    """
    sheet, cells = _choose_sheet(_read(data, check_parts(data, notes), notes), choices, notes)
    _merge(sheet, cells)
    _ask_hidden(sheet, cells, notes)
    _ask_struck(sheet, cells, notes)
    _ask_comments(sheet, notes)
    return tables.gather(iter(_rows(cells, notes)), notes)


def _read(data: bytes, formulas: bool, notes: Notes) -> list[tuple[Any, Cells]]:
    """Return every sheet with its cells; raises Unsound if the library cannot read them."""
    try:
        import openpyxl  # optional, and slow to load, so only when a workbook is read
    except ImportError as error:
        raise notes.add(say("catalog.roster.no_library")) from error

    def load(values: bool) -> Any:
        return openpyxl.load_workbook(io.BytesIO(data), data_only=values, keep_links=False)

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about formatting that the library does not read
            return _sheets(load, formulas)
    except Exception as error:  # a broken workbook can raise anything
        raise notes.add(say("catalog.roster.no_workbook", why=type(error).__name__)) from error


def _choose_sheet(
    sheets: list[tuple[Any, Cells]], choices: Collection[str], notes: Notes
) -> tuple[Any, Cells]:
    """Return the sheet to read; ask about other sheets with content."""
    filled = [(sheet, cells) for sheet, cells in sheets if cells]
    visible = [each for each in filled if each[0].sheet_state == "visible"]
    titles = tuple(sheet.title for sheet, _ in visible)
    if len(visible) > 1:
        notes.add(
            say("catalog.roster.sheets", count=len(visible)),
            found=titles[0], could_be=titles[1:], question=True,
        )  # fmt: skip
    if len(filled) > len(visible):
        names = tuple(sheet.title for sheet, _ in filled if sheet.sheet_state != "visible")
        notes.add(say("catalog.roster.hidden_sheets", names=names), question=True)
    if not visible:
        raise notes.add(say("catalog.file.empty"))
    return next((each for each in visible if each[0].title in choices), visible[0])


def _sheets(load: Callable[[bool], Any], formulas: bool) -> list[tuple[Any, Cells]]:
    """Return every sheet with its cells; with `formulas` the book is loaded twice to get both."""
    book = load(True)
    formula_book = load(False) if formulas else None
    return [(s, _cells(s, formula_book and formula_book[s.title])) for s in book.worksheets]


def _cells(sheet: Any, formula_sheet: Any) -> Cells:
    """Return what each filled cell shows, by row and column from 1."""
    found = {}
    # The library's own store, since its rows would be built up to the sheet's last corner.
    for place, cell in sheet._cells.items():
        formula = _formula(formula_sheet._cells.get(place)) if formula_sheet is not None else ""
        content = shown_cell(cell, formula)
        if content.text.strip(tables.BLANKS) or content.slip is not None:
            found[place] = content
    return found


def _formula(cell: Any) -> str:
    if cell is None or cell.data_type != "f":
        return ""
    return str(getattr(cell.value, "text", cell.value))  # an array formula is an object


def _merge(sheet: Any, cells: Cells) -> None:
    """Give each empty cell of a merged range a slip with the range's text."""
    for merged in sheet.merged_cells.ranges:
        first = cells.get((merged.min_row, merged.min_col))
        if first is None:
            continue
        slip = tables.CellSlip(say("catalog.roster.merged"), (first.text,))
        for row in range(
            merged.min_row, min(merged.max_row, merged.min_row + tables.MOST_ROWS) + 1
        ):
            for column in range(merged.min_col, min(merged.max_col, tables.MOST_COLUMNS) + 1):
                cells.setdefault((row, column), ShownCell("", slip))


def _ask_hidden(sheet: Any, cells: Cells, notes: Notes) -> None:
    """Ask once about all hidden rows, and once about each hidden column."""
    rows = sorted({row for row, _ in cells if sheet.row_dimensions[row].hidden})
    if rows:
        problem = say("catalog.roster.hidden_rows", rows=tuple(rows), count=len(rows))
        notes.add(problem, line=rows[0], question=True)
    hidden = set()
    for span in sheet.column_dimensions.values():
        if span.hidden and span.min:
            hidden |= set(range(span.min, min(span.max, tables.MOST_COLUMNS) + 1))
    for column in sorted(hidden & {column for _, column in cells}):
        row = min(row for row, own in cells if own == column)
        found = cells[row, column].text
        notes.add(say("catalog.roster.hidden_column"), line=row, found=found, question=True)


def _ask_struck(sheet: Any, cells: Cells, notes: Notes) -> None:
    """Ask once about all rows with a crossed-out cell."""
    if not any(font.strike for font in sheet.parent._fonts):
        return
    rows = tuple(
        sorted({row for row, column in cells if _is_struck(sheet._cells.get((row, column)))})
    )
    if rows:
        problem = say("catalog.roster.struck_rows", rows=rows, count=len(rows))
        notes.add(problem, line=rows[0], question=True)


def _is_struck(cell: Any) -> bool:
    return cell is not None and cell.has_style and bool(cell.font.strike)


def _ask_comments(sheet: Any, notes: Notes) -> None:
    """Ask once whether the comments on cells were heeded: the kiosk does not use them."""
    comments = {place: cell.comment for place, cell in sorted(sheet._cells.items()) if cell.comment}
    if comments:
        texts = " · ".join(" ".join(str(comment.text).split()) for comment in comments.values())
        rows = tuple(sorted({row for row, _ in comments}))
        problem = say("catalog.roster.comments", rows=rows, count=len(rows))
        notes.add(problem, line=rows[0], found=texts, question=True)


def _rows(cells: Cells, notes: Notes) -> list[tables.TableRow]:
    by_row: dict[int, dict[int, ShownCell]] = {}
    for (row, column), content in sorted(cells.items()):
        if column > tables.MOST_COLUMNS:
            raise notes.add(say("catalog.roster.wide", most=tables.MOST_COLUMNS), line=row)
        by_row.setdefault(row, {})[column - 1] = content
    return [_row(line, found) for line, found in by_row.items()]


def _row(line: int, found: dict[int, ShownCell]) -> tables.TableRow:
    texts = [""] * (max(found) + 1)
    for place, content in found.items():
        texts[place] = content.text.strip(tables.BLANKS)
    slips = {n: s.slip for n, s in found.items() if s.slip is not None}
    return tables.TableRow(line, tuple(texts), slips, typed=True)


MOST_UNPACKED = 60_000_000  # bytes: a file of 2 MB may be a zip bomb
MOST_CELLS = 250_000  # in all sheets: the widest and longest roster has as many
CHUNK = 1 << 16
OVERLAP = 256  # bytes kept of a chunk, to find a tag that is cut in two
_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"  # the container of .xls and of password-locked workbooks
_CELL = re.compile(rb"<(?:\w+:)?(?:c|si)[\s/>]")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
# The library builds every cell of these ranges, filled or not.
_RANGE = re.compile(
    rb"<(?:\w+:)?(?:mergeCell|hyperlink)\s[^>]*?ref=[\"']([A-Z]+)(\d+):([A-Z]+)(\d+)[\"']"
)
_DOCTYPE = re.compile(rb"<!DOCTYPE", re.IGNORECASE)


def check_parts(data: bytes, notes: Notes) -> bool:
    """Return whether a workbook's sheets hold formulas, without building the sheets.

    The stated sizes are not trusted: cells are counted. Raises Unsound, its fault noted, if it
    is not a workbook or too large for a roster.
    """
    if data.startswith(_OLD_OR_LOCKED):
        raise notes.add(say("catalog.roster.old_workbook"))
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            size = sum(part.file_size for part in parts.infolist())
            if size > MOST_UNPACKED:
                megabytes = MOST_UNPACKED // 1_000_000
                raise notes.add(say("catalog.roster.too_large", megabytes=megabytes))
            return _look_over(parts, notes)
    except Unsound:
        raise
    except Exception as error:  # unpacking a broken container can raise anything
        raise notes.add(say("catalog.roster.no_workbook", why=type(error).__name__)) from error


def _area(found: re.Match[bytes]) -> int:
    """Return the number of cells in a range, from its corners."""
    first, top, last, bottom = found.groups()
    return (abs(_column(last) - _column(first)) + 1) * (abs(int(bottom) - int(top)) + 1)


def _column(letters: bytes) -> int:
    """Return the number of a column: A is 1, AA is 27."""
    place = 0
    for letter in letters[:4]:
        place = place * 26 + letter - ord("A") + 1
    return place


def _look_over(parts: zipfile.ZipFile, notes: Notes) -> bool:
    cells, formulas = 0, False
    for part in parts.infolist():
        if not part.filename.lower().endswith(".xml"):
            continue
        with parts.open(part) as stream:
            before = b""
            while chunk := stream.read(CHUNK):
                both = before + chunk
                if _DOCTYPE.search(both):  # no spreadsheet writes one; entities could explode
                    raise notes.add(say("catalog.roster.no_workbook", why="DOCTYPE"))
                # Matches that end in the overlap were counted with the chunk before.
                cells += sum(m.end() > len(before) for m in _CELL.finditer(both))
                cells += sum(_area(m) for m in _RANGE.finditer(both) if m.end() > len(before))
                formulas = formulas or _FORMULA.search(both) is not None
                before = both[-OVERLAP:]
                if cells > MOST_CELLS:
                    raise notes.add(say("catalog.roster.many_cells", most=MOST_CELLS))
    return formulas
