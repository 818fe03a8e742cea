"""One cell of a workbook: what the sheet shows of it, and what the sheet made of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from kiosk.catalog.message import say
from kiosk.catalog.slips import Slip, dated, truth

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
        return _dated(value)
    if isinstance(value, time | timedelta):
        return Shown(str(value), Slip(say("catalog.roster.time")))
    if cell.data_type == "e":
        return Shown(str(value), Slip(say("catalog.roster.error_value"), written=formula))
    if isinstance(value, int):
        return _whole(value, cell.number_format or "")
    return Shown(str(value))


def _dated(value: datetime | date) -> Shown:
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
