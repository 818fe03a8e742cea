"""What a spreadsheet makes of a cell without asking: dates, truth values, lost values."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from kiosk.catalog.message import Message, say

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
