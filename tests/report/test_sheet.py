"""A spreadsheet reads the CSV as text, never as a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_samples import garment, ticket

from kiosk.report.tables import COLUMNS, FORMULA, GarmentRow, cell, to_csv


def when(wall: float) -> str:
    return f"at {wall:.0f}"


def read(lines: Iterable[str]) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO("".join(lines), newline="")))


def test_each_garment_has_a_row_under_one_header() -> None:
    rows = read(to_csv([("north", garment(ticket("1"))), ("north", garment(ticket("2")))], when))
    assert [row["line"] for row in rows] == ["1", "2"]
    assert tuple(rows[0]) == COLUMNS
    assert (rows[0]["station"], rows[0]["ended"]) == ("north", "at 1770000000")


def test_rows_are_written_as_they_come_without_being_kept() -> None:
    read_so_far = []

    def many() -> Iterator[tuple[str, GarmentRow]]:
        for nth in range(100):
            read_so_far.append(nth)
            yield "north", garment(ticket(str(nth)))

    lines = to_csv(many(), when)
    assert [next(lines)[:7], next(lines)[:6]] == ["station", "north,"]
    assert len(read_so_far) == 1


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", '=HYPERLINK("x";"y")']
)
def test_a_cell_that_looks_like_a_formula_starts_with_an_apostrophe(text: str) -> None:
    row = garment(ticket())._replace(line=text)
    assert read(to_csv([("north", row)], when))[0]["line"] == f"'{text}"


@given(st.text(max_size=20))
def test_every_cell_is_read_back_complete_and_none_is_a_formula(text: str) -> None:
    if "\0" in text:  # csv's reader takes no NUL
        return
    ((found,),) = csv.reader(io.StringIO(cell(text) + "\r\n", newline="")) if text else [[""]]
    assert found in (text, f"'{text}")
    assert not found.lstrip(" ").startswith(FORMULA)


def test_numbers_keep_their_leading_zeros() -> None:
    row = garment(ticket(number="07"))
    assert read(to_csv([("north", row)], when))[0]["number"] == "07"
