"""Rosters in workbooks, written by openpyxl and read from disk."""

from __future__ import annotations

import io
import sys
import zipfile
from datetime import date
from pathlib import Path
from random import Random

import pytest
from catalog_folders import ids, only
from workbooks_made import ROWS, doubt, read, saved, workbook

from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.roster import allowed


def refused(tmp_path: Path, data: bytes) -> str:
    job, faults = read(tmp_path, data)
    assert job is None
    return only(faults).problem.id.removeprefix("catalog.")


def test_a_workbook_is_read_like_a_csv(tmp_path: Path) -> None:
    job, faults = read(tmp_path, saved(workbook(ROWS)))
    assert faults == ()
    assert job is not None
    assert job.roster == (
        RosterLine("1", "AL", "MUÑERA", "7"),
        RosterLine("2", "YM", "O'TARRY", "00"),
    )


def test_a_number_is_read_as_the_sheet_shows_it(tmp_path: Path) -> None:
    book = workbook([ROWS[0], [1, "AL", "FENN", 7], [2, "AL", "BRACK", 12]])
    sheet = book.worksheets[0]
    sheet["D2"].number_format = "00"
    sheet["D3"].number_format = "0"
    job, _ = read(tmp_path, saved(book))
    assert job is not None
    assert [line.number for line in job.roster] == ["07", "12"]


def test_values_changed_by_the_sheet_are_asked_about(tmp_path: Path) -> None:
    rows = [ROWS[0], [1, date(2024, 4, 3), "FENN", 7.5], [2, "AL", True, None]]
    job, faults = read(tmp_path, saved(workbook(rows)))
    assert job is not None
    assert ids(faults) == [
        "size: roster.date",
        "number: roster.decimals",
        "name: roster.truth",
        "number: roster.no_number",
    ]


def test_a_faults_line_is_its_row_in_the_sheet(tmp_path: Path) -> None:
    rows = [["Orsavel"], [], ROWS[0], [], [1, "HUGE", "FENN", 7]]
    _, faults = read(tmp_path, saved(workbook(rows)))
    assert [(f.problem.id, f.line) for f in faults] == [
        ("catalog.roster.title", 1),
        ("catalog.roster.size", 5),
    ]


def test_a_second_sheet_with_content_is_asked_about(tmp_path: Path) -> None:
    job, faults = read(tmp_path, saved(workbook(ROWS, [["AL", 3]])))
    assert job is not None
    assert ids(faults) == [": roster.sheets"]
    doubt = faults[0].doubt
    assert doubt is not None
    assert (doubt.written, doubt.could_be) == ("Sheet 0", ("Sheet 1",))


def test_empty_sheets_are_ignored_and_a_hidden_one_is_asked_about(tmp_path: Path) -> None:
    book = workbook([], ROWS, [["prices", 3]], [])
    book.worksheets[2].sheet_state = "hidden"
    book.worksheets[3].sheet_state = "hidden"
    job, faults = read(tmp_path, saved(book))
    assert ids(faults) == [": roster.hidden_sheets"]
    assert faults[0].problem.values["names"] == ("Sheet 2",)
    assert job is not None
    assert len(job.roster) == 2


def test_too_many_lines_are_refused(tmp_path: Path) -> None:
    rows = [ROWS[0], *([n, "AL", "A", n % 100] for n in range(5_001))]
    assert refused(tmp_path, saved(workbook(rows))) == "roster.many"


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"line,size,name,number\n1,AL,A,7\n", "roster.no_workbook"),
        (b"PK\x03\x04\x14\x00\x06\x00", "roster.no_workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "roster.old_workbook"),
        (saved(workbook(ROWS))[:-40], "roster.no_workbook"),
        (saved(workbook([])), "file.empty"),
    ],
)
def test_a_file_that_is_no_workbook_is_a_fault(tmp_path: Path, data: bytes, problem: str) -> None:
    assert refused(tmp_path, data) == problem


def test_a_zip_of_anything_else_is_a_fault(tmp_path: Path) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as parts:
        parts.writestr("letter.txt", "no workbook")
    assert refused(tmp_path, buffer.getvalue()) == "roster.no_workbook"


@pytest.mark.parametrize("noise", range(40))
def test_a_workbook_damaged_in_its_compressed_parts_is_a_fault_or_is_read(
    tmp_path: Path, noise: int
) -> None:
    data = bytearray(saved(workbook(ROWS)))
    dice = Random(noise)
    for _ in range(3):
        data[dice.randrange(30, len(data) * 2 // 3)] = dice.randrange(256)
    job, faults = read(tmp_path, bytes(data))
    assert (job is None) == any(not fault.question for fault in faults)


def test_a_zip_bomb_is_not_unpacked(tmp_path: Path) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/sharedStrings.xml", bytes(61_000_000))
    assert refused(tmp_path, buffer.getvalue()) == "roster.too_large"


def test_a_missing_spreadsheet_library_is_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)  # Python's mark for "cannot be imported"
    assert refused(tmp_path, saved(workbook(ROWS))) == "roster.no_library"


@pytest.mark.parametrize("number", [1, 7, 12, 59, 61, 98])
def test_a_number_formatted_as_a_date_is_offered_as_a_number(tmp_path: Path, number: int) -> None:
    """ECMA-376, 18.17.4.1: a date is a count of days from 1900; day 60 never existed."""
    book = workbook([ROWS[0], [1, "AL", "FENN", number]])
    book.worksheets[0].cell(2, 4).number_format = "dd/mm/yyyy"
    fault = only(read(tmp_path, saved(book))[1])
    assert (fault.key, doubt(fault).could_be[0]) == ("number", str(number))
    assert allowed(fault).choices == (str(number),)  # 1-7 is not offered: it is not a number


@pytest.mark.parametrize("first", [[["Orsavel"]], [["name"], ["MUÑERA"]]])
def test_a_first_sheet_that_is_no_roster_is_one_question(
    tmp_path: Path, first: list[list[str]]
) -> None:
    job, faults = read(tmp_path, saved(workbook(first, ROWS)))
    assert job is None
    assert ids(faults) == [": roster.sheets"]
    assert faults[0].question
