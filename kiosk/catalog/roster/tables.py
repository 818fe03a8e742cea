"""CSV from spreadsheets into rows of cells, and the ways spreadsheets change a cell unasked."""

import codecs
import csv
import io
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import field
from datetime import date
from itertools import islice

from kiosk.catalog.base import Fault, Message, Notes, dataclass, is_plain, say
from kiosk.catalog.roster.letters import choose_text, readings
from kiosk.catalog.roster.odd_lines import (
    with_plain_quotes,
    with_split_cell,
    without_line_quotes,
    without_reply_marks,
)

# Months as spreadsheets shorten them in English, Spanish, German, French, Italian, Portuguese.
MONTHS = {
    word: n
    for n, words in enumerate(
        (
            "jan ene janv gen", "feb febr févr fev", "mar mär mrz mars", "apr abr avr",
            "may mai mag mayo", "jun juin giu", "jul juil lug", "aug ago août",
            "sep sept set", "oct okt ott out", "nov", "dec dic dez déc",
        ),
        start=1,
    )
    for word in words.split()
}  # fmt: skip
TRUTHS = {"true", "false", "verdadero", "falso", "verdadeiro", "wahr", "falsch", "vrai", "faux"}


@dataclass(frozen=True, slots=True)
class CellSlip:
    """Why a cell may differ from what was typed, and what that may be, most likely first.

    `written` is the sheet's own content if it is not the text, such as a formula.
    """

    cause: Message
    could_be: tuple[str, ...] = ()
    written: str = ""


MOST_COUNTED, LAST_BEFORE_LEAP = 98, 59
_FIRST_DAY = date(1899, 12, 31)  # day 0 of spreadsheets: they count 29 February 1900 too


def date_slip(day: date) -> CellSlip:
    """Return the slip of a cell that a spreadsheet turned into `day`: 10-12 into October 12.

    A number in a cell formatted for dates is a day of 1900, from which sheets count: 7.
    """
    month_first, day_first = f"{day.month}-{day.day}", f"{day.day}-{day.month}"
    typed = [month_first, day_first]
    day_number = (day - _FIRST_DAY).days
    if 0 <= day_number <= MOST_COUNTED:
        return _slip_of_date(
            (str(day_number + (day_number > LAST_BEFORE_LEAP)), *dict.fromkeys(typed))
        )
    if day.day == 1:  # there is no 15th month, so a spreadsheet reads `10-15` as October 2015
        typed.append(f"{day.month}-{day.year % 100}")
    return _slip_of_date(tuple(dict.fromkeys(typed)))


def truth_slip(text: str) -> CellSlip:
    """Return the slip of a cell that holds true or false, shown as `text`."""
    return CellSlip(say("catalog.roster.truth"), (text.capitalize(),))


# What spreadsheets write for an error, in English and Spanish (from memory).
_ERROR = re.compile(
    r"#(?:n/[ad]|[¡¿]?(?:ref|div/0|value|valor|name|nombre|num|núm|null|nulo|spill)[!?])", re.I
)


def zero_slip() -> CellSlip:
    """Return the slip of a 0 that a sheet may have stored as a number: it may have been 00."""
    return CellSlip(say("catalog.roster.zero"), ("0", "00"))


def text_slip(text: str) -> CellSlip | None:
    """Return the slip of a text cell that a spreadsheet seems to have changed, or None."""
    if text.casefold() in TRUTHS:
        return truth_slip(text)
    if _ERROR.fullmatch(text):
        return CellSlip(say("catalog.roster.error_value"))
    if not any(map(str.isdigit, text)):
        return None
    worded = re.fullmatch(r"(\d{1,2})(?:\. ?|[-/ ])([^\W\d]{3,5})\.?(?:[-./ ](\d{2,4}))?", text)
    turned = re.fullmatch(r"([^\W\d]{3,5})\.?[-./ ](\d{1,4})", text)
    if worded and worded[2].casefold() in MONTHS:
        return _pair(MONTHS[worded[2].casefold()], int(worded[1]), worded[3] or "")
    if turned and turned[1].casefold() in MONTHS:
        return _slip_of_date((f"{MONTHS[turned[1].casefold()]}-{int(turned[2]) % 100}",))
    full = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ][\d:.]+)?", text)
    if full:
        return _pair(int(full[2]), int(full[3]), full[1])
    year_last = re.fullmatch(r"(\d{1,2})([-./])(\d{1,2})\2(\d{4}|\d{2})", text)
    if year_last is None:
        return None
    return _pair(int(year_last[1]), int(year_last[3]), year_last[4], turned=True)


def _pair(first: int, second: int, year: str, *, turned: bool = False) -> CellSlip:
    """Return the slip of a date's two numbers; in 1900 or without a year it may be a number too.

    `first` is the month; if `turned`, either may be.
    """
    orders = ((first, second), (second, first))
    typed = dict.fromkeys(f"{a}-{b}" for a, b in orders)
    day_numbers = dict.fromkeys(str(n) for a, b in orders[: 1 + turned] if (n := _day_number(a, b)))
    if year in {"1900", "00"}:
        return _slip_of_date((*day_numbers, *typed))
    return _slip_of_date((*typed, *(() if year else day_numbers)))


def _day_number(month: int, day: int) -> int:
    """Return the number that a cell formatted for dates shows as this day of 1900; 0 for none."""
    with suppress(ValueError):
        number = (date(1900, month, day) - _FIRST_DAY).days
        number += number > LAST_BEFORE_LEAP
        return number if number <= MOST_COUNTED else 0
    return 0


def _slip_of_date(typed: tuple[str, ...]) -> CellSlip:
    return CellSlip(say("catalog.roster.date", typed=typed[0]), typed)


SEPARATORS = ",;\t|"
MOST_ROWS = 5_000
MOST_COLUMNS = 50
HEADER_ROWS = 10  # rows searched for the header: there may be titles above it
# All spaces of Unicode, and the line endings.
BLANKS = " \t\r\n\u00a0\u1680\u202f\u205f\u3000" + "".join(map(chr, range(0x2000, 0x200B)))


@dataclass(frozen=True, slots=True)
class TableRow:
    """The stripped cells of one row, and the line where it begins.

    A row of headings that is not in the file (`with_headings`) has line 0. `slips` holds, by
    place, the known changes that the sheet made to a cell. A workbook's cells are `typed`: it tells
    text from numbers.
    """

    line: int
    cells: tuple[str, ...]
    slips: Mapping[int, CellSlip] = field(default_factory=dict)
    typed: bool = False


def by_line(table: Iterable[TableRow]) -> dict[int, tuple[str, ...]]:
    """Return the cells of each row that is in the file, by line."""
    return {row.line: row.cells for row in table if row.line}


def rows(
    data: bytes, known: frozenset[str], notes: Notes, letters: Collection[str] = ()
) -> tuple[TableRow, ...]:
    """Return the rows of a CSV file that are not blank.

    There may be titles above the header. `known` are the header words, as `plain_header` writes
    them, by which the separator is found: comma, semicolon, tab or bar. `letters` choose the
    code page if several are possible. Raises Unsound, its fault noted, if it is not such a file.
    """
    text = without_reply_marks(_decoded(data, notes, letters))
    text, separator = _separator_line(with_plain_quotes(without_line_quotes(text)))
    return gather(_rows(text, separator or _best_separator(text, known)), notes)


def gather(rows: Iterator[TableRow], notes: Notes) -> tuple[TableRow, ...]:
    """Return all `rows` as a tuple.

    Raises Unsound, its fault noted, if there are none, too many, if they are too wide, or if
    the CSV is broken.
    """
    found: list[TableRow] = []
    try:
        for row in rows:
            found.append(row)
            if len(found) > MOST_ROWS + 1:
                raise notes.add(say("catalog.roster.many", most=MOST_ROWS), line=row.line)
    except csv.Error as error:
        line = found[-1].line + 1 if found else 1
        broken = say("catalog.roster.broken", why=str(error))
        problem = broken if "limit" in str(error) else say("catalog.roster.quote")
        raise notes.add(problem, line=line) from error
    if not found:
        raise notes.add(say("catalog.file.empty"))
    if len(found[0].cells) > MOST_COLUMNS:
        raise notes.add(say("catalog.roster.wide", most=MOST_COLUMNS), line=found[0].line)
    return tuple(found)


_NO_CSV = re.compile(rb"\s*(?:%PDF|\{\\rtf|<!doctype|<html|<\?xml)", re.IGNORECASE)


def _decoded(data: bytes, notes: Notes, letters: Collection[str]) -> str:
    """Return the text of UTF-8, UTF-16 or a code page, without a byte order mark.

    Raises Unsound, its fault noted, for anything else.
    """
    for encoding in () if _NO_CSV.match(data) else _encodings(data):
        with suppress(UnicodeDecodeError):
            text = data.decode(encoding)
            if "\0" not in text:
                return text.removeprefix("\ufeff")
    found = () if b"\0" in data or _NO_CSV.match(data) else readings(data)
    if not found:
        raise notes.add(say("catalog.roster.no_text"))
    return choose_text(found, letters, notes)


def plain_header(text: str) -> str:
    """Return a header cell without case, blanks and marks: `Player No.` is `playerno`, `Nº` `n`.

    The number of a form's question is removed too: `2. Size`.
    """
    printed = re.sub(r"^\s*\d+[.)]\s*(?=\D)", "", "".join(c for c in text if is_plain(c)))
    return re.sub(r"[\s._:#()°º'\"‘’“”«»-]+", "", printed).casefold()


def _encodings(data: bytes) -> tuple[str, ...]:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return ("utf-16",)
    if b"\0" not in data:
        return ("utf-8",)
    # No byte order mark: in Latin text nearly every other byte of UTF-16 is 0.
    shares = {"utf-16-be": data[0:400:2], "utf-16-le": data[1:400:2]}
    return tuple(code for code, half in shares.items() if half.count(0) > len(half) * 0.8)


def _separator_line(text: str) -> tuple[str, str]:
    match = re.match(r"sep=([,;\t|])\r?\n", text)
    if match is None:
        return text, ""
    return "\n" + text[match.end() :], match[1]  # a blank line keeps the line numbers right


def _best_separator(text: str, known: frozenset[str]) -> str:
    def score(separator: str) -> tuple[int, int]:
        first: list[TableRow] = []
        with suppress(csv.Error):  # reported later, for the chosen separator
            for row in islice(_rows(text, separator), HEADER_ROWS):
                first.append(row)
        words = ({plain_header(cell) for cell in row.cells} for row in first)
        width = len(first[0].cells) if first else 0
        return max((len(each & known) for each in words), default=0), width if width > 1 else 0

    return max(SEPARATORS, key=score)


_RULED = re.compile(r"([:+]?[-=_–—]{2,}[:+]?)*")  # a line drawn under headings in a mail


def _rows(text: str, separator: str) -> Iterator[TableRow]:
    if separator == "|":  # rows begin and end with one too
        text = re.sub(r"(?m)^[ \t]*\|", "", text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line, width = 1, 0
    for cells in reader:
        stripped = tuple(_stripped(cell, separator) for cell in cells)
        if any(stripped) and not all(map(_RULED.fullmatch, stripped)):
            width = width or (len(stripped) if len(stripped) > 1 else 0)
            yield TableRow(line, with_split_cell(stripped, width, SEPARATORS))
        line = reader.line_num + 1


def _stripped(cell: str, separator: str) -> str:
    """Return a stripped cell; one with separators keeps its line ends: it may hold rows."""
    return cell.strip(BLANKS if separator not in cell else BLANKS.translate({10: None, 13: None}))


def message_with_row(fault: Fault) -> Message:
    """Return a fault's message, with the row of the customer's file if it has one."""
    if not fault.line:
        return fault.problem
    return say("catalog.order.in_row", row=fault.line, problem=fault.problem)
