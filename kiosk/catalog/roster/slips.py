"""What a spreadsheet makes of a cell without asking: dates, truth values, lost values."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from kiosk.catalog.base.message import Message, say

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
class Slip:
    """Why a cell is not what was typed, and what may have been typed, most likely first.

    `written` is what stands in the sheet where its text is not that, a formula for one.
    """

    cause: Message
    could_be: tuple[str, ...] = ()
    written: str = ""


def dated(day: date) -> Slip:
    """Return the slip of a cell that a spreadsheet made `day` of: 10-12 is October 12."""
    month_first, day_first = f"{day.month}-{day.day}", f"{day.day}-{day.month}"
    typed = [month_first, day_first]
    if day.day == 1:  # `10-15` has no 15th month: a spreadsheet makes October 2015 of it
        typed.append(f"{day.month}-{day.year % 100}")
    return _dated(tuple(dict.fromkeys(typed)))


def truth(text: str) -> Slip:
    """Return the slip of a cell that holds true or false, as `text` shows it."""
    return Slip(say("catalog.roster.truth"), (text.capitalize(),))


def text_slip(text: str) -> Slip | None:
    """Return what a spreadsheet seems to have made of a text cell before it was saved as CSV."""
    if text.casefold() in TRUTHS:
        return truth(text)
    if not any(map(str.isdigit, text)):
        return None
    worded = re.fullmatch(r"(\d{1,2})(?:\. ?|[-/ ])([^\W\d]{3,5})\.?(?:[-./ ]\d{2,4})?", text)
    turned = re.fullmatch(r"([^\W\d]{3,5})\.?[-./ ](\d{1,4})", text)
    if worded and worded[2].casefold() in MONTHS:
        return _pair(MONTHS[worded[2].casefold()], int(worded[1]))
    if turned and turned[1].casefold() in MONTHS:
        return _dated((f"{MONTHS[turned[1].casefold()]}-{int(turned[2]) % 100}",))
    full = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ][\d:.]+)?", text)
    if full:
        return _pair(int(full[2]), int(full[3]))
    year_last = re.fullmatch(r"(\d{1,2})([-./])(\d{1,2})\2(?:\d{4}|\d{2})", text)
    return _pair(int(year_last[1]), int(year_last[3])) if year_last else None


def _pair(first: int, second: int) -> Slip:
    return _dated(tuple(dict.fromkeys((f"{first}-{second}", f"{second}-{first}"))))


def _dated(typed: tuple[str, ...]) -> Slip:
    return Slip(say("catalog.roster.date", typed=typed[0]), typed)


PLAIN_FORMATS = frozenset({"General", "@", "#", ""})


@dataclass(frozen=True, slots=True)
class Shown:
    """A cell's text, and the slip that it may be."""

    text: str
    slip: Slip | None = None


def shown_cell(cell: Any, formula: str) -> Shown:  # the library ships no types
    """Return what the sheet shows of a cell: 7 in the format `00` is 07.

    `formula` is the one that it was worked out by, empty for none.
    """
    value = cell.value
    if value is None:
        lost = Slip(say("catalog.roster.no_value"), written=formula) if formula else None
        return Shown("", lost)
    if isinstance(value, bool):
        text = str(value).upper()
        return Shown(text, truth(text))
    if isinstance(value, datetime | date):
        return _dated_cell(value)
    if isinstance(value, time | timedelta):
        return Shown(str(value), Slip(say("catalog.roster.time")))
    if cell.data_type == "e":
        return Shown(str(value), Slip(say("catalog.roster.error_value"), written=formula))
    if isinstance(value, int):
        return _whole(value, cell.number_format or "")
    return Shown(str(value))


def _dated_cell(value: datetime | date) -> Shown:
    day = value.date() if isinstance(value, datetime) else value
    return Shown(day.isoformat(), dated(day))


def _whole(value: int, shown_as: str) -> Shown:
    if set(shown_as) == {"0"}:
        return Shown(str(value).zfill(len(shown_as)))
    if value == 0 and shown_as in PLAIN_FORMATS:
        return Shown("0", Slip(say("catalog.roster.zero"), ("0", "00")))
    if shown_as in PLAIN_FORMATS or re.fullmatch(r"#,##0|[#0]*", shown_as):
        return Shown(str(value))
    cause = say("catalog.roster.number_format", format=shown_as)
    return Shown(str(value), Slip(cause, (str(value),)))
