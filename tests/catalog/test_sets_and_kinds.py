"""Rows for two sets, and columns that are not what their headings say: invented, no source."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, own_catalog, read_roster
from roster_trials import one_question, sound
from test_headings_lacking import answer_columns, lines, new_draft, status_of

from kiosk.catalog.read import read_job
from kiosk.catalog.roster.answers import allowed
from kiosk.catalog.roster.rows_alike import question_groups

SETS = "Name,Number,Size,Home/Away\n"


@pytest.mark.parametrize(
    ("written", "sets"),
    [
        ("both", ["Home", "Away"]),
        ("Home + Away", ["Home", "Away"]),
        ("home and away", ["Home", "Away"]),
        ("Local y visitante", ["Local", "visitante"]),
    ],
)
def test_a_row_for_two_sets_is_read_as_two_garments_and_asked_about(
    tmp_path: Path, written: str, sets: list[str]
) -> None:
    rows = f"{SETS}KOVA,7,AL,Home\nVIK,3,AM,Away\nOSK,5,AS,{written}\n"
    job, fault = one_question(tmp_path, rows)
    assert (fault.cause, fault.line, fault.key) == ("both_sets", 4, "set")
    assert [line.set for line in job.roster if line.name == "OSK"] == sets
    assert allowed(fault).keep
    assert allowed(fault).choices == tuple(sets)
    folder = job_with(tmp_path, rows, answers="answers.yaml")
    (folder / "answers.yaml").write_text(f"{fault.id}: {sets[1]}\n", "utf-8")
    again, faults = read_job(folder, own_catalog())
    assert faults == ()
    assert again is not None
    assert [line.set for line in again.roster if line.name == "OSK"] == sets[1:]


def test_a_row_for_both_sets_uses_the_set_name_of_other_rows(tmp_path: Path) -> None:
    job, _ = one_question(tmp_path, f"{SETS}KOVA,7,AL,HOME\nOSK,5,AS,both\n")
    assert [line.set for line in job.roster] == ["HOME", "HOME", "away"]


def test_both_in_every_row_is_one_question(tmp_path: Path) -> None:
    job, faults = read_roster(tmp_path, f"{SETS}KOVA,7,AL,both\nVIK,3,AM,both\nOSK,5,AS,both\n")
    ((_, group),) = question_groups(faults).items()
    assert len(group) == len(faults) == 3, ids(faults)
    assert job is not None
    assert [line.set for line in job.roster] == ["home", "away"] * 3


def test_the_garments_of_a_row_for_two_sets_have_different_ids(tmp_path: Path) -> None:
    job, _ = read_roster(tmp_path, "line,Name,Number,Size,Set\n12,KOVA,7,AL,home & away\n")
    assert job is not None
    assert [line.line for line in job.roster] == ["12", "12-away"]


def test_a_set_abbreviating_another_is_asked_about(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, f"{SETS}KOVA,7,AL,Home\nVIK,3,AM,Away\nOSK,5,AS,H\n")
    assert (fault.cause, fault.line, allowed(fault).choices) == ("set_alike", 4, ("Home",))


@pytest.mark.parametrize("sets", [("Home", "Away"), ("H", "A"), ("U1", "U10"), ("red", "blue")])
def test_distinct_sets_are_not_asked_about(tmp_path: Path, sets: tuple[str, str]) -> None:
    sound(tmp_path, f"{SETS}KOVA,7,AL,{sets[0]}\nKOVA,7,AL,{sets[1]}\n")


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("Number,Name,Size\nKOVA,7,AL\nVIK,3,AM\nOSK,5,AS\n", ("name", "number")),
        ("Size,Number,Name\nKOVA,7,AL\nVIK,3,AM\nOSK,5,AS\n", ("name", "size")),
        ("Name,Size,Number\nKOVA,7,AL\nVIK,3,AM\nOSK,5,AS\n", ("number", "size")),
    ],
)
def test_swapped_headings_are_asked_about_once_per_column(
    tmp_path: Path, text: str, fields: tuple[str, str]
) -> None:
    draft = new_draft(tmp_path, text)
    answer_columns(draft, *fields)
    assert lines(draft) == [("KOVA", "7", "AL"), ("VIK", "3", "AM"), ("OSK", "5", "AS")]
    assert status_of(draft).open == ()


@pytest.mark.parametrize(
    "rows",
    [
        "7,8,AL\nVIK,3,AM\nOSK,5,AS\n",  # one number among the names
        "KOVA,seven,AL\nVIK,three,AM\nOSK,five,AS\n",  # no numbers anywhere
        "L,7,AL\n",  # a single row: L may be a name
    ],
)
def test_plausible_headings_are_not_asked_about(tmp_path: Path, rows: str) -> None:
    _, faults = read_roster(tmp_path, f"Name,Number,Size\n{rows}")
    assert "unknown_column" not in {fault.cause for fault in faults}


@pytest.mark.parametrize(("youth", "adult"), [("Youth", "Adult"), ("Y", "A"), ("niño", "adulto")])
def test_a_youth_mark_in_another_column_makes_a_bare_size_a_question(
    tmp_path: Path, youth: str, adult: str
) -> None:
    rows = f"KOVA,7,L,{youth}\nVIK,3,M,{adult}\nOSK,5,S,{youth}\n"
    folder = job_with(tmp_path, f"Name,Number,Size,Type\n{rows}", unused="[Type]")
    _, faults = read_job(folder, own_catalog())
    assert [(f.cause, f.line, allowed(f).choices) for f in faults] == [
        ("bare_size", 2, ("YL", "AL")),
        ("bare_size", 4, ("YS", "AS")),
    ]


@pytest.mark.parametrize("column", [("Y", "N"), ("Y", "Y"), ("adult", "adult"), ("", "")])
def test_a_column_without_ages_raises_no_question_about_sizes(
    tmp_path: Path, column: tuple[str, str]
) -> None:
    rows = f"KOVA,7,L,{column[0]}\nVIK,3,M,{column[1]}\n"
    folder = job_with(tmp_path, f"Name,Number,Size,Paid\n{rows}", unused="[Paid]")
    assert read_job(folder, own_catalog())[1] == ()


def test_a_size_marked_junior_offers_the_youth_size_first(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, "Name,Number,Size\nKOVA,7,Jr M\n")
    assert allowed(fault).choices == ("YM", "AM")
