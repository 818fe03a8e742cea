"""What a workbook's cell shows, and how its sheet may have changed it."""

import re
from datetime import date, datetime, time, timedelta
from typing import Any

from kiosk.catalog.base import dataclass, say
from kiosk.catalog.roster import tables


@dataclass(frozen=True, slots=True)
class ShownCell:
    """A cell's text, and its slip if the sheet may have changed it."""

    text: str
    slip: tables.CellSlip | None = None


PLAIN_FORMATS = frozenset({"General", "@", "#", "0", ""})


def shown_cell(cell: Any, formula: str) -> ShownCell:  # the library ships no types
    """Return what the sheet shows for a cell: 7 in the format `00` is 07.

    `formula` is the cell's formula, empty for none.
    """
    value = cell.value
    if value is None:
        slip = tables.CellSlip(say("catalog.roster.no_value"), written=formula) if formula else None
        return ShownCell("", slip)
    if isinstance(value, bool):
        text = str(value).upper()
        return ShownCell(text, tables.truth_slip(text))
    if isinstance(value, datetime | date):
        return _dated_cell(value)
    if isinstance(value, time | timedelta):
        return ShownCell(str(value), tables.CellSlip(say("catalog.roster.time")))
    if cell.data_type == "e":
        return ShownCell(
            str(value), tables.CellSlip(say("catalog.roster.error_value"), written=formula)
        )
    if isinstance(value, int):
        return _whole(value, cell.number_format or "")
    return ShownCell(str(value))


def _dated_cell(value: datetime | date) -> ShownCell:
    day = value.date() if isinstance(value, datetime) else value
    return ShownCell(day.isoformat(), tables.date_slip(day))


def _whole(value: int, number_format: str) -> ShownCell:
    plain = _plain_format(value, number_format)
    if set(plain) == {"0"} and len(plain) > 1:
        return ShownCell(str(value).zfill(len(plain)))
    if value == 0 and plain in PLAIN_FORMATS:
        return ShownCell("0", tables.zero_slip())
    if plain in PLAIN_FORMATS or re.fullmatch(r"#,##0|[#0]*", plain):
        return ShownCell(str(value))
    cause = say("catalog.roster.number_format", format=number_format)
    return ShownCell(str(value), tables.CellSlip(cause, (str(value),)))


def _plain_format(value: int, number_format: str) -> str:
    """Return a number format's part for `value`, without spacing, colour and language codes.

    The parts are for positive and negative numbers and for 0; a condition is left in.
    """
    parts = number_format.split(";")
    nth = 2 if value == 0 else int(value < 0)
    part = parts[nth] if nth < len(parts) else parts[0]
    bare = re.sub(r"\[(?:\$[^\]]*|[A-Za-z]+[0-9]*)\]|_.|\*.", "", part)
    return bare or number_format
