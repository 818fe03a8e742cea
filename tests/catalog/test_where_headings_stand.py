"""Headings below, beside and repeated: readable sheets raise questions, others say what to do.

Sheets as customers send them: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, own_catalog, read_roster
from openpyxl import Workbook
from roster_trials import one_question, refused
from workbooks_made import read, saved

from kiosk.catalog.base import Fault
from kiosk.catalog.model import Job
from kiosk.catalog.read import read_job
from kiosk.catalog.roster import allowed, forget_names

CAUSES = "catalog.roster."
HEADS = "Name,Number,Size\n"
TEAM = "TJELD,4,AL\nOSK,10,AM\n"
TWO_TEAMS = (
    "HERONS,,,,TERNS,,\nName,No,Size,,Name,No,Size\nTJELD,4,AL,,LOM,4,AM\nOSK,10,AM,,VIK,7,AS\n"
    ",,,,SUND,9,AL\n"
)


def read_with_answers(
    tmp_path: Path, data: str | bytes, *answers: str
) -> tuple[Job | None, list[Fault]]:
    """Return the job and faults read after answering the first question each time."""
    folder = job_with(tmp_path, data, answers="answers.yaml")
    text = "# none\n"
    for answer in (*answers, ""):
        (folder / "answers.yaml").write_text(text, "utf-8")
        job, faults = read_job(folder, own_catalog())
        if answer:
            text += f"{faults[0].id}: {answer}\n"
    return job, list(faults)


def test_headings_below_the_rows_are_reported_with_their_row(tmp_path: Path) -> None:
    """A sheet sorted with its headings: no row above them is dropped as a title."""
    fault = refused(tmp_path, TEAM + HEADS)
    assert (fault.problem.id, fault.problem.values) == (f"{CAUSES}headings_below", {"row": 3})


def test_headings_far_below_are_reported_with_their_row_too(tmp_path: Path) -> None:
    rows = "".join(f"TERN,{n},AL\n" for n in range(20))
    fault = refused(tmp_path, rows + HEADS + TEAM)
    assert (fault.problem.id, fault.problem.values) == (f"{CAUSES}headings_below", {"row": 21})


def test_a_title_above_headings_without_rows_is_not_a_garment(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, "Herons\n" + HEADS)
    assert [each.problem.id for each in faults] == [f"{CAUSES}title", f"{CAUSES}no_rows"]


def test_a_table_on_its_side_is_reported_as_such(tmp_path: Path) -> None:
    data = "Name,TJELD,OSK\nNumber,4,10\nSize,AL,AM\n"
    assert refused(tmp_path, data).problem.id == f"{CAUSES}on_its_side"


@pytest.mark.parametrize(
    "data",
    [
        "Hello!\n1. Mara Tjeld - 4 - L\n2. Ine Osk - 10 - M\nBest, M.\n",
        "Name        Number   Size\nTJELD       4        AL\n",
        "Name: TJELD\nNumber: 4\nSize: L\n",
    ],
)
def test_text_without_columns_is_reported_as_no_table(tmp_path: Path, data: str) -> None:
    assert refused(tmp_path, data).problem.id == f"{CAUSES}no_table"


def test_the_first_headings_win_over_more_complete_later_ones(tmp_path: Path) -> None:
    """Otherwise the first team would be dropped as a title."""
    fault = refused(tmp_path, f"{HEADS}{TEAM}Name,Number,Size,Set\nLOM,4,AM,away\n")
    assert (fault.line, fault.problem.id) == (4, f"{CAUSES}headings_differ")


def test_repeated_headings_in_another_order_are_refused(tmp_path: Path) -> None:
    fault = refused(tmp_path, f"{HEADS}{TEAM}Number,Name,Size\n4,LOM,AM\n")
    assert (fault.line, fault.problem.id) == (4, f"{CAUSES}headings_differ")


def test_headings_repeated_in_a_second_language_are_one_question(tmp_path: Path) -> None:
    job, fault = one_question(tmp_path, f"{HEADS}Nombre,Número,Talla\n{TEAM}")
    assert (fault.line, fault.problem.id) == (2, f"{CAUSES}heading_again")
    assert [line.name for line in job.roster] == ["TJELD", "OSK"]


def workbook_of(text: str) -> bytes:
    book = Workbook()
    for row in text.splitlines():
        assert book.active is not None
        book.active.append([int(c) if c.isdigit() else c or None for c in row.split(",")])
    return saved(book)


@pytest.mark.parametrize("form", [str, workbook_of])
def test_two_lists_side_by_side_are_asked_about_before_anything_else(
    tmp_path: Path, form: type[str]
) -> None:
    data = form(TWO_TEAMS)
    _, faults = read(tmp_path, data) if isinstance(data, bytes) else read_roster(tmp_path, data)
    (fault,) = faults
    assert (fault.line, fault.problem.id) == (0, f"{CAUSES}side_by_side")
    assert fault.doubt is not None
    assert (fault.doubt.written, allowed(fault).choices) == ("HERONS (A–C)", ("TERNS (E–G)",))


@pytest.mark.parametrize(
    ("answer", "team"),
    [
        ("keep", [("TJELD", "4", "AL"), ("OSK", "10", "AM")]),
        ('"TERNS (E–G)"', [("LOM", "4", "AM"), ("VIK", "7", "AS"), ("SUND", "9", "AL")]),
    ],
)
def test_the_chosen_list_becomes_the_order(
    tmp_path: Path, answer: str, team: list[tuple[str, str, str]]
) -> None:
    job, faults = read_with_answers(tmp_path, TWO_TEAMS, answer)
    assert faults == []
    assert job is not None
    assert [(each.name, each.number, each.size) for each in job.roster] == team


def test_a_change_beside_the_chosen_list_reopens_no_question(tmp_path: Path) -> None:
    data = TWO_TEAMS.replace("OSK,10", "OSK,#10")
    _, faults = read_with_answers(tmp_path, data, "keep", '"10"')
    assert faults == []
    folder = job_with(tmp_path, data.replace("VIK", "VIKA"), answers="answers.yaml")
    assert read_job(folder, own_catalog())[1] == ()


def test_side_by_side_lists_are_asked_about_after_the_sheet(tmp_path: Path) -> None:
    book = Workbook()
    assert book.active is not None
    book.active.append(["Prices"])
    other = book.create_sheet("Teams")
    for row in TWO_TEAMS.splitlines()[1:]:
        other.append([cell or None for cell in row.split(",")])
    folder = job_with(tmp_path, saved(book), roster="roster.xlsx", answers="answers.yaml")
    (folder / "roster.csv").rename(folder / "roster.xlsx")
    text, causes = "# none\n", []
    for answer in ("Teams", "E–G", ""):
        (folder / "answers.yaml").write_text(text, "utf-8")
        job, faults = read_job(folder, own_catalog())
        causes += [fault.cause for fault in faults if fault.question]
        text += f'{faults[0].id}: "{answer}"\n' if answer else ""
    assert causes == ["sheets", "side_by_side"]
    assert job is not None
    assert [line.name for line in job.roster] == ["LOM", "VIK", "SUND"]
    forget_names(folder)
    after, _ = read_job(folder, own_catalog())
    assert after is not None
    assert [(e.name, e.number) for e in after.roster] == [("", "4"), ("", "7"), ("", "9")]


def test_two_size_columns_are_not_two_lists(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, "Name,Size,Number,Size\nTJELD,AL,4,AM\n")
    assert ids(faults) == ["size: roster.doubled"]


def test_a_table_drawn_with_bars_is_read(tmp_path: Path) -> None:
    """As in a text mail (the table form of Markdown, CommonMark's extension for tables)."""
    data = (
        "| Name | Number | Size |\n|:-----|-----:|------|\n| TJELD | 4 | AL |\n| OSK | 10 | AM |\n"
    )
    job, faults = read_roster(tmp_path, data)
    assert faults == ()
    assert job is not None
    assert [(each.name, each.number, each.size) for each in job.roster] == [
        ("TJELD", "4", "AL"), ("OSK", "10", "AM"),
    ]  # fmt: skip


def test_rows_swallowed_by_an_open_quotation_mark_are_reported(tmp_path: Path) -> None:
    """RFC 4180: everything between two quotes is one cell, with line ends and separators."""
    fault = refused(tmp_path, f'{HEADS}"TJELD,4,AL\nOSK,10,AM\nLOM",9,AL\nVIK,7,AS\n')
    assert (fault.line, fault.problem.id) == (2, f"{CAUSES}swallowed")


@pytest.mark.parametrize("heads", ["1. Name,2. Number,3. Size", "1) Nombre,2) Dorsal,3) Talla"])
def test_numbered_headings_are_known(tmp_path: Path, heads: str) -> None:
    job, faults = read_roster(tmp_path, f"{heads}\n{TEAM}")
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["TJELD", "OSK"]


def test_a_list_quoted_in_a_mail_reply_is_read_without_the_quote_marks(tmp_path: Path) -> None:
    """RFC 3676, 4.5: each quoted line begins with one more `>`."""
    job, faults = read_roster(tmp_path, "> Name,Number,Size\n> TJELD,4,AL\n>> OSK,10,AM\n")
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["TJELD", "OSK"]
