"""Three invented customer files, and a person's answers about each.

Answers are by row, column and cause, in the words of a file of answers: a text, keep, leave-out.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl

Asked = tuple[int, str, str]
Answered = Mapping[Asked, str]

CSV = (
    "Vessmark Divers, summer;;;\n"
    "Rückennummer;Spielername;Größe;Bemerkung\n"
    "7;TJELD;L;\n"
    "10;Mara Sköld;YM;pays later\n"
    "7;BRANDVIK;Medium;\n"
    ";OSK;YL;\n"
    "12;TJELD;2XL;\n"
    "Summe;;;5\n"
)
CSV_ANSWERS: Answered = {
    (1, "", "title"): "keep",
    (2, "", "unknown_column:Rückennummer"): '"number"',
    (2, "", "unknown_column:Spielername"): '"name"',
    (2, "", "unknown_column:Größe"): '"size"',
    (2, "", "unknown_column:Bemerkung"): "leave-out",
    (3, "size", "bare_size"): '"AL"',
    (4, "name", "small_letters"): '"MARA SKÖLD"',
    (5, "number", "number_twice"): '"17"',
    (5, "size", "bare_size"): '"YM"',
    (6, "number", "no_number"): '"00"',
    (7, "name", "name_twice"): "keep",
    (8, "", "total"): "leave-out",
}
CSV_LINES = [
    ("AL", "TJELD", "7"),
    ("YM", "MARA SKÖLD", "10"),
    ("YM", "BRANDVIK", "17"),
    ("YL", "OSK", "00"),
    ("A2X", "TJELD", "12"),
]

BOOK_ANSWERS: Answered = {
    (0, "", "sheets"): "keep",
    (1, "", "title"): "keep",
    (4, "size", "date"): '"YM"',
    (5, "name", "truth"): "keep",
    (5, "number", "zero"): '"00"',
    (6, "number", "decimals"): '"7"',
    (6, "name", "mixed"): '"КАВА"',
    (7, "name", "full_width"): '"ENN"',
    (7, "number", "no_value"): '"14"',
    (8, "number", "zeros"): "keep",
    (9, "size", "merged"): '"AL"',
    (0, "name", "other_face"): "keep",
}
BOOK_LINES = [
    ("YM", "LOM", "10"),
    ("AL", "TRUE", "00"),
    ("YL", "КАВА", "7"),
    ("AS", "ENN", "14"),
    ("AL", "VIK", "07"),
    ("AL", "SUND", "3"),
]

PASTE = (
    "Hello, here are the shirts, as I said:\r\n"
    "\r\n"
    "Nr.\tPlayer\tSize\r\n"
    "\r\n"
    "1\tO’TARN\tAL\r\n"
    "2\tD'ALBE\tAM\r\n"
    "\r\n"
    "3\tL’ISK\tAL\r\n"
    "4\t李\tAM\r\n"
    "5\tSKOV\tHuge\r\n"
    "Thanks, Mara\r\n"
)
PASTE_ANSWERS: Answered = {
    (1, "", "title"): "keep",
    (6, "name", "marks"): '"D’ALBE"',
    (9, "name", "no_glyph"): "keep",
    (10, "size", "size"): '"A4X"',
    (11, "", "lone"): "leave-out",
}
PASTE_LINES = [
    ("AL", "O’TARN", "1"),
    ("AM", "D’ALBE", "2"),
    ("AL", "L’ISK", "3"),
    ("AM", "李", "4"),
    ("A4X", "SKOV", "5"),
]


def workbook() -> bytes:
    """Return a workbook: merged title, headings in two rows, spreadsheet slips, two sheets."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Order"
    rows: list[list[Any]] = [
        ["Fjellborg night swim, order of May", None, None],
        ["Shirt", None, "Person"],
        ["Size", "Number", "Name"],
        [date(2026, 10, 12), 10, "LOM"],
        ["AL", 0, True],
        ["YL", "7.0", "КAВА"],  # the second letter is Latin
        ["AS", "=B4+4", "ＥＮＮ"],
        ["AL", "07", "VIK"],
        [None, 3, "SUND"],
    ]
    for row in rows:
        sheet.append(row)
    sheet.merge_cells("A1:C1")
    sheet.merge_cells("A2:B2")
    sheet.merge_cells("A8:A9")
    notes = book.create_sheet("Prices")
    notes.append(["Shirt", 31.5])
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def write_all(folder: Path) -> tuple[Path, Path, Path]:
    """Write the three files into a folder and return them."""
    folder.mkdir(parents=True, exist_ok=True)
    csv, book, paste = (folder / name for name in ("divers.csv", "swim.xlsx", "mail.txt"))
    csv.write_bytes(CSV.encode("cp1252"))
    book.write_bytes(workbook())
    paste.write_bytes(PASTE.encode())
    return csv, book, paste
