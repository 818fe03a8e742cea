"""Changes that spreadsheets make to a roster unasked, and the questions about them.

Workbooks are written by openpyxl; for things it does not write, the XML in the container is
edited (ECMA-376-1, 18.3.1: dimension, c, f, mergeCell, row).
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import pytest
from catalog_folders import ids, only, read_roster
from roster_trials import HEADER, one_question, sound
from workbooks_made import ROWS, doubt, read, saved, workbook

from kiosk.words import Words, fault_text

SHEET = "xl/worksheets/sheet1.xml"


def edited(data: bytes, change: Callable[[str], str], name: str = SHEET) -> bytes:
    """Return a workbook with the XML of one part changed."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(buffer, "w") as new:
        for part in old.infolist():
            text = old.read(part)
            if part.filename == name:
                changed = change(text.decode())
                assert changed != text.decode()
                text = changed.encode()
            new.writestr(part.filename, text)
    return buffer.getvalue()


@pytest.mark.parametrize("dimension", ["A1", "A1:D1", "A1:B2", "A1:XFD1048576", "D3"])
def test_every_row_is_read_whatever_dimension_the_sheet_declares(
    tmp_path: Path, dimension: str
) -> None:
    data = edited(
        saved(workbook(ROWS)),
        lambda xml: re.sub(r'<dimension ref="[^"]*"', f'<dimension ref="{dimension}"', xml),
    )
    job, faults = read(tmp_path, data)
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["MUÑERA", "O'TARRY"]


def test_rows_stored_in_another_order_are_all_read(tmp_path: Path) -> None:
    def turned(xml: str) -> str:
        rows = re.findall(r"<row .*?</row>", xml)
        return xml.replace("".join(rows), "".join(reversed(rows)))

    job, faults = read(tmp_path, edited(saved(workbook(ROWS)), turned))
    assert faults == ()
    assert job is not None
    assert [line.number for line in job.roster] == ["7", "00"]


def test_a_cell_in_the_last_possible_row_is_read(tmp_path: Path) -> None:
    book = workbook(ROWS)
    for column, value in enumerate((3, "AS", "FENN", 12), start=1):
        book.worksheets[0].cell(1_048_576, column, value)
    job, faults = read(tmp_path, saved(book))
    assert faults == ()
    assert job is not None
    assert job.roster[-1].name == "FENN"


def test_a_cell_far_to_the_right_is_a_fault_and_not_dropped(tmp_path: Path) -> None:
    book = workbook(ROWS)
    book.worksheets[0].cell(3, 16_384, "captain")
    job, faults = read(tmp_path, saved(book))
    assert job is None
    assert (only(faults).problem.id, faults[0].line) == ("catalog.roster.wide", 3)


def test_too_many_cells_are_refused(tmp_path: Path) -> None:
    many = "<row>" + "<c/>" * 250_001 + "</row>"
    data = edited(
        saved(workbook(ROWS)), lambda xml: xml.replace("</sheetData>", f"{many}</sheetData>")
    )
    job, faults = read(tmp_path, data)
    assert job is None
    assert only(faults).problem.id == "catalog.roster.many_cells"


@pytest.mark.parametrize(
    "part",
    [
        '<mergeCells count="1"><mergeCell ref="A5:XFD1048576"/></mergeCells>',
        '<hyperlinks><hyperlink ref="A5:XFD1048576" location="A1"/></hyperlinks>',
    ],
)
def test_a_range_as_large_as_the_sheet_is_refused(tmp_path: Path, part: str) -> None:
    data = edited(
        saved(workbook(ROWS)), lambda xml: xml.replace("</sheetData>", f"</sheetData>{part}")
    )
    job, faults = read(tmp_path, data)
    assert job is None
    assert only(faults).problem.id == "catalog.roster.many_cells"


def test_a_workbook_with_entities_is_refused(tmp_path: Path) -> None:
    data = edited(saved(workbook(ROWS)), lambda xml: '<!DOCTYPE x [<!ENTITY a "aaaa">]>' + xml)
    job, faults = read(tmp_path, data)
    assert job is None
    assert only(faults).problem.id == "catalog.roster.no_workbook"


@pytest.mark.parametrize(
    ("day", "typed"),
    [
        (datetime(2024, 10, 12), ("10-12", "12-10")),
        (date(2024, 4, 4), ("4-4",)),
        (datetime(2012, 10, 1), ("10-1", "1-10", "10-12")),  # 10-2012 became October 2012
    ],
)
def test_a_date_is_reported_as_made_by_the_sheet(
    tmp_path: Path, day: date, typed: tuple[str, ...]
) -> None:
    job, faults = read(tmp_path, saved(workbook([ROWS[0], [1, day, "FENN", 7]])))
    assert job is not None
    found = doubt(only(faults))
    iso = f"{day:%Y-%m-%d}"
    assert (found.row, found.column, found.written, found.read_as) == (2, "size", iso, iso)
    assert found.cause.id == "catalog.roster.date"
    assert found.could_be == typed
    text = fault_text(faults[0], Words("en"))
    assert f"the sheet turned this into a date: was {typed[0]} typed?" in text


def test_a_number_formatted_as_a_date_is_asked_about(tmp_path: Path) -> None:
    book = workbook([ROWS[0], [1, "AL", "FENN", 45_577]])  # 12 October 2024 as a serial number
    book.worksheets[0]["D2"].number_format = "d-mmm"
    found = doubt(only(read(tmp_path, saved(book))[1]))
    assert (found.column, found.could_be) == ("number", ("10-12", "12-10"))


def test_a_truth_value_as_a_name_is_asked_about(tmp_path: Path) -> None:
    found = doubt(only(read(tmp_path, saved(workbook([ROWS[0], [1, "AL", True, 7]])))[1]))
    assert (found.column, found.written, found.could_be) == ("name", "TRUE", ("True",))
    assert found.cause.id == "catalog.roster.truth"


def test_a_time_and_an_error_are_asked_about(tmp_path: Path) -> None:
    book = workbook([ROWS[0], [1, time(10, 12), "FENN", 7], [2, "AL", "KOVA", "#N/A"]])
    _, faults = read(tmp_path, saved(book))
    assert ids(faults) == ["size: roster.time", "number: roster.error_value"]


def test_a_formula_without_a_saved_value_is_asked_about(tmp_path: Path) -> None:
    book = workbook([ROWS[0], [1, "AL", '=UPPER("fenn")', 7]])  # openpyxl saves no value
    found = doubt(only(read(tmp_path, saved(book))[1]))
    assert (found.column, found.written, found.read_as) == ("name", '=UPPER("fenn")', "")
    assert found.cause.id == "catalog.roster.no_value"


def test_a_formula_is_read_as_its_saved_value(tmp_path: Path) -> None:
    data = edited(
        saved(workbook([ROWS[0], [1, "AL", '=UPPER("fenn")', 7]])),
        lambda xml: re.sub(r'(<c r="C2")(>.*?</f>)<v ?/>', r'\1 t="str"\2<v>FENN</v>', xml),
    )
    job, faults = read(tmp_path, data)
    assert faults == ()
    assert job is not None
    assert job.roster[0].name == "FENN"


def test_a_number_stored_with_a_decimal_is_asked_about(tmp_path: Path) -> None:
    data = edited(
        saved(workbook([ROWS[0], [1, "AL", "FENN", 7]])),
        lambda xml: xml.replace('<c r="D2" t="n"><v>7</v>', '<c r="D2"><v>7.0</v>'),
    )
    found = doubt(only(read(tmp_path, data)[1]))
    assert (found.written, found.read_as, found.could_be) == ("7.0", "7.0", ("7",))
    assert found.cause.id == "catalog.roster.decimals"


def test_a_number_shown_differently_by_its_format_is_asked_about(tmp_path: Path) -> None:
    book = workbook([ROWS[0], [1, "AL", "FENN", 7]])
    book.worksheets[0]["D2"].number_format = '"#"0'
    found = doubt(only(read(tmp_path, saved(book))[1]))
    assert found.cause.id == "catalog.roster.number_format"
    assert found.cause.values["format"] == '"#"0'


def test_merged_cells_are_asked_about_with_the_shared_value(tmp_path: Path) -> None:
    book = workbook([ROWS[0], [1, "AL", "FENN", 7], [2, None, "KOVA", 8]])
    book.worksheets[0].merge_cells("B2:B3")
    job, faults = read(tmp_path, saved(book))
    assert job is not None
    found = doubt(only(faults))
    assert (found.row, found.column, found.written, found.could_be) == (3, "size", "", ("AL",))
    assert found.cause.id == "catalog.roster.merged"


def test_hidden_rows_and_columns_are_read_and_asked_about(tmp_path: Path) -> None:
    book = workbook([*ROWS, [3, "AS", "KOVA", 12]])
    sheet = book.worksheets[0]
    sheet.row_dimensions[2].hidden = sheet.row_dimensions[4].hidden = True
    sheet.column_dimensions["C"].hidden = True
    job, faults = read(tmp_path, saved(book))
    assert job is not None
    assert len(job.roster) == 3
    by_cause = {fault.problem.id: fault for fault in faults}
    assert by_cause.keys() == {"catalog.roster.hidden_rows", "catalog.roster.hidden_column"}
    assert by_cause["catalog.roster.hidden_rows"].problem.values["rows"] == (2, 4)
    assert by_cause["catalog.roster.hidden_column"].found == "name"


@pytest.mark.parametrize(
    ("cell", "typed"),
    [
        ("12-Oct", ("10-12", "12-10")),
        ("12. Okt", ("10-12", "12-10")),
        ("Oct-12", ("10-12",)),
        ("oct-2012", ("10-12",)),
        ("10/12/2024", ("10-12", "12-10")),
        ("12.10.24", ("12-10", "10-12")),
        ("2024-10-12 00:00:00", ("10-12", "12-10")),
    ],
)
def test_a_date_in_a_csv_is_asked_about(tmp_path: Path, cell: str, typed: tuple[str, ...]) -> None:
    job, fault = one_question(tmp_path, f"{HEADER}1,{cell},FENN,7\n")
    assert fault.problem.id == "catalog.roster.date"
    assert doubt(fault).could_be == typed
    assert job.roster[0].size == cell


@pytest.mark.parametrize("cell", ["TRUE", "false", "VERDADERO", "Falsch"])
def test_a_truth_word_in_a_csv_is_asked_about(tmp_path: Path, cell: str) -> None:
    fault = one_question(tmp_path, f"{HEADER}1,AL,{cell},7\n")[1]
    assert (fault.key, fault.problem.id) == ("name", "catalog.roster.truth")


@pytest.mark.parametrize("name", ["OCTAVE", "MAY", "TRUEMAN", "DE OCT"])
def test_names_that_look_like_dates_or_truth_words_stay_names(tmp_path: Path, name: str) -> None:
    assert sound(tmp_path, f"{HEADER}1,AL,{name},7\n")[0].name == name


def test_a_line_id_may_be_a_date(tmp_path: Path) -> None:
    assert sound(tmp_path, f"{HEADER}2024-10-12,AL,FENN,7\n")[0].line == "2024-10-12"


def test_every_question_about_a_cell_is_a_doubt_with_its_cause(tmp_path: Path) -> None:
    rows: list[list[Any]] = [["1", "huge", "FENN", "7.0"], ["2", "", "", "107"]]
    text = HEADER + "".join(",".join(row) + "\n" for row in rows)
    _, faults = read_roster(tmp_path, text)
    assert len(faults) == 5
    for fault in faults:
        found = doubt(fault)
        assert (found.row, found.column, found.cause) == (fault.line, fault.key, fault.problem)
        assert found.written == fault.found
