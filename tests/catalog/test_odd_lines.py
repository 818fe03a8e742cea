"""Lists with lines that a program or a person left inconsistent: invented, no source."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, read_roster
from roster_trials import one_question, refused, sound

HEAD = "Name,Number,Size\n"
BOTH = [("KOVA", "7", "AL"), ("VIK", "3", "AM")]


def as_tuples(lines: object) -> list[tuple[str, str, str]]:
    assert isinstance(lines, tuple)
    return [(line.name, line.number, line.size) for line in lines]


@pytest.mark.parametrize(
    "text",
    [
        '"Name,Number,Size"\n"KOVA,7,AL"\n"VIK,3,AM"\n',
        '"Name;Number;Size"\r\n"KOVA;7;AL"\r\n\r\n"VIK;""3"";AM"\r\n'.replace('""', ""),
        "Name;Number;Size\nKOVA;7;AL\nVIK,3,AM\n",
        "Name,Number,Size\nKOVA;7;AL\nVIK\t3\tAM\n",
    ],
)
def test_a_row_with_another_separator_is_read(tmp_path: Path, text: str) -> None:
    assert as_tuples(sound(tmp_path, text)) == BOTH


def test_a_line_with_separators_but_no_size_is_asked_about(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, "Name;Number;Size\nKOVA;7;AL\nMara, 2 Mill Lane, Fjellborg\n")
    assert (fault.cause, fault.line) == ("lone", 3)


def test_quoted_cells_are_not_read_as_quoted_lines(tmp_path: Path) -> None:
    text = '"Name","Number","Size"\n"KOVA","7","AL"\n"VIK","3","AM"\n'
    assert as_tuples(sound(tmp_path, text)) == BOTH


@pytest.mark.parametrize(
    "rows",
    [
        'KOVA,7,AL\nVIK,3,"\nOSK,5,"\n',  # two ditto marks
        'KOVA,7,"AL\nVIK,3,AM\n"\n',
    ],
)
def test_a_row_swallowed_by_quotes_in_a_size_is_reported(tmp_path: Path, rows: str) -> None:
    fault = refused(tmp_path, HEAD + rows)
    assert ids((fault,)) == [": roster.swallowed"]


@pytest.mark.parametrize("heading", ["Notes", "Paid"])
def test_a_row_swallowed_by_quotes_in_another_column_is_reported(
    tmp_path: Path, heading: str
) -> None:
    text = f'Name,Number,Size,{heading}\nKOVA,7,AL,yes\nVIK,3,AM,"\nOSK,5,AS,"\n'
    job, faults = read_roster(tmp_path, text)
    assert job is None
    assert "roster.swallowed" in {fault.problem.id.removeprefix("catalog.") for fault in faults}


def test_a_two_line_remark_is_one_remark(tmp_path: Path) -> None:
    text = 'Name,Number,Size,Notes\nKOVA,7,AL,"late, sorry\nMara, Mill Lane"\n'
    _, fault = one_question(tmp_path, text)
    assert fault.cause == "remarks"
