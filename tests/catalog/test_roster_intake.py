"""Rosters as people send them: titles, odd headers, two sets, and every question at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from catalog_folders import ids, job_with, only, own_catalog, read_roster, recipes_with
from roster_trials import HEADER, one_question, refused, sound

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job, RosterColumn, RosterLine
from kiosk.catalog.read import line_digest, read_catalog, read_job
from kiosk.catalog.roster.headers import read_header

SETS = "line,size,name,number,set\n"
ALL_CAPITALS = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789'")


def read(
    tmp_path: Path, rows: str, catalog: Catalog | None = None, **keys: str
) -> tuple[Job | None, tuple[Fault, ...]]:
    return read_job(job_with(tmp_path, rows, **keys), catalog or own_catalog())


def catalog_with_letters(letters: frozenset[str] | None) -> Catalog:
    own = own_catalog()
    film = replace(own.materials["stack-film"], letters=letters)
    return replace(own, materials={**own.materials, "stack-film": film})


@pytest.mark.parametrize(
    ("headers", "fields"),
    [
        ("Talla;Nombre;Dorsal;Equipación", ["size", "name", "number", "set"]),
        ("Surname;Squad No.;Sz;Home/Away", ["name", "number", "size", "set"]),
        ("Name on Back;Uniform Number;SIZES;Kit", ["name", "number", "size", "set"]),
        ("Name;Shoe size;Size;Number", ["name", "", "size", "number"]),
    ],
)
def test_each_header_is_matched_to_its_field(headers: str, fields: list[str]) -> None:
    columns = read_header(headers.split(";"))
    assert [column.field for column in columns] == fields
    assert [column.header for column in columns] == headers.split(";")


def test_a_job_lists_the_field_of_each_column(tmp_path: Path) -> None:
    job, _ = read_roster(tmp_path, "Talla,Dorsal,Apellido,Notas\nAL,7,MUÑERA,zurdo\n")
    assert job is not None
    assert job.columns == (
        RosterColumn("Talla", "size"),
        RosterColumn("Dorsal", "number"),
        RosterColumn("Apellido", "name"),
        RosterColumn("Notas", ""),
    )


def test_columns_set_in_the_job_override_their_headings(tmp_path: Path) -> None:
    rows = "#,size,who,name\n7,AL,MUÑERA,Orsavel\n"
    job, faults = read(tmp_path, rows, columns='{number: "#", name: Who}')
    assert job is not None
    assert job.roster == (RosterLine("1", "AL", "MUÑERA", "7"),)
    assert only(faults).found == "name"  # the settled heading wins over its spelling


def test_a_column_set_in_the_job_must_be_a_known_field(tmp_path: Path) -> None:
    _, faults = read(tmp_path, HEADER + "1,AL,A,7\n", columns="{nummer: No}")
    assert (only(faults).key, only(faults).nearest) == ("columns.nummer", "number")


def test_a_title_above_the_header_is_asked_about_and_left_out(tmp_path: Path) -> None:
    rows = "Orsavel away;;;\n\n" + HEADER.replace(",", ";") + "1;AL;MUÑERA;7\n"
    job, fault = one_question(tmp_path, rows)
    assert fault.problem.id == "catalog.roster.title"
    assert job.roster == (RosterLine("1", "AL", "MUÑERA", "7"),)


def test_the_fault_about_a_missing_header_shows_no_name(tmp_path: Path) -> None:
    fault = refused(tmp_path, "1,AL,MUÑERA,7\n2,AM,FENN,8\n")
    assert fault.problem.id == "catalog.roster.no_header"
    assert fault.found == ""


def test_a_number_may_repeat_in_another_set_but_not_in_the_same(tmp_path: Path) -> None:
    rows = SETS + "1,AL,FENN,7,Home\n2,AL,FENN,7,Away\n3,AL,BRACK,07,home\n"
    _, fault = one_question(tmp_path, rows)  # 07 beside 7 in the same set
    assert (fault.problem.id, fault.line) == ("catalog.roster.zeros", 4)


def test_a_repeated_number_is_asked_about_whatever_the_case_of_its_set(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, SETS + "1,AL,FENN,7,Home\n2,AL,BRACK,7,HOME\n")
    assert fault.problem.id == "catalog.roster.number_twice"


def test_a_set_changes_a_lines_digest_and_no_set_keeps_the_old_one() -> None:
    line = RosterLine("1", "AL", "FENN", "7")
    assert line_digest(replace(line, set="home")) != line_digest(replace(line, set="away"))
    # the digest of ["1", "AL", "FENN", "7"], as existing records have it
    assert line_digest(line) == "d0ea62fede255189eac256689070b3fd453e9f1f3945bede1b4ede7b3af61f44"


@pytest.mark.parametrize("cell", ["=A1", "a" * 21])
def test_an_invalid_set_is_a_fault(tmp_path: Path, cell: str) -> None:
    assert refused(tmp_path, SETS + f"1,AL,FENN,7,{cell}\n").key == "set"


def test_letters_missing_from_the_film_are_asked_about(tmp_path: Path) -> None:
    rows = HEADER + "1,AL,MUÑERA,7\n2,AL,FENN,8\n"
    _, faults = read(tmp_path, rows, catalog_with_letters(ALL_CAPITALS))
    fault = only(faults)
    assert (fault.line, fault.key, fault.question) == (2, "name", True)
    assert fault.problem.values["letters"] == ("Ñ",)


def test_small_letters_for_a_capitals_only_film_are_one_question(tmp_path: Path) -> None:
    rows = HEADER + "1,AL,Fenn,7\n2,AL,Brack,8\n3,AL,SAFFE,9\n"
    _, faults = read(tmp_path, rows, catalog_with_letters(ALL_CAPITALS))
    assert ids(faults) == ["name: roster.capitals", "name: roster.all_capitals"]
    assert faults[0].problem.values["count"] == 2
    assert all(fault.question for fault in faults)  # a person can answer them


def test_a_digit_missing_from_the_film_is_asked_about(tmp_path: Path) -> None:
    rows = HEADER + "1,AL,FENN,7\n"
    _, faults = read(tmp_path, rows, catalog_with_letters(ALL_CAPITALS - {"7"}))
    assert ids(faults) == ["number: roster.no_letter"]


def test_a_film_cut_on_demand_has_every_letter(tmp_path: Path) -> None:
    assert sound(tmp_path, HEADER + "1,AL,Šöñ,7\n")


@pytest.mark.parametrize(
    ("received", "found"),
    [
        ("{AL: 2, AM: 1}", []),
        ("{Adult L: 2, med: 1}", []),
        ("{AL: 1, AM: 1}", [("received.AL", "received.short", 1)]),
        ("{AL: 2}", [("received", "received.short", 1)]),
        ("{AL: 2, AM: 1, YS: 3}", [("received.YS", "received.over", 3)]),
    ],
)
def test_sizes_are_compared_with_the_received_garments(
    tmp_path: Path, received: str, found: list[tuple[str, str, int]]
) -> None:
    rows = HEADER + "1,AL,A,1\n2,AL,B,2\n3,AM,C,3\n"
    job, faults = read(tmp_path, rows, received=received)
    assert job is not None
    assert all(fault.question for fault in faults)
    assert [
        (f.key, f.problem.id.removeprefix("catalog."), f.problem.values["count"]) for f in faults
    ] == found


@pytest.mark.parametrize("received", ["{HUGE: 1}", "{AL: -1}", "{AL: 1, Adult L: 1}", "5"])
def test_received_garments_must_be_counted_by_size(tmp_path: Path, received: str) -> None:
    job, faults = read(tmp_path, HEADER + "1,AL,A,1\n", received=received)
    assert job is None
    assert only(faults).key.startswith("received")


def number_questions(tmp_path: Path, numbers: str, **keys: str) -> list[str]:
    """Return those of `numbers` (split at blanks) that a code asks about; `together` for a pair."""
    each = enumerate(numbers.split())
    rows = HEADER + "".join(
        f"{n},AL,A{chr(65 + n // 26)}{chr(65 + n % 26)},{text}\n" for n, text in each
    )
    _, faults = read(tmp_path, rows, None, **keys)
    assert all(fault.question for fault in faults)
    return [f.found or f.problem.id.removeprefix("catalog.code.") for f in faults]


# US college basketball until 2022-23: 0–5, 00, 10–15 … 50–55, not both 0 and 00; from 2023-24 all
# of 0 or 00 to 99 (rule read at its source; the school's rule is the older one, from memory).
OLD_37 = "0 1 2 3 4 5 " + " ".join(str(t * 10 + d) for t in range(1, 6) for d in range(6))


def test_the_season_decides_which_numbers_a_code_allows(tmp_path: Path) -> None:
    college = {"code": "basketball-college"}
    # The 0 is one of the 37, and is asked about as it may have been 00 (intake.md: "0 or 00").
    assert number_questions(tmp_path, OLD_37, season="2022-23", **college) == ["0"]
    assert number_questions(tmp_path, OLD_37[2:], season="2022-23", **college) == []
    assert number_questions(tmp_path, "6 16 55 56", season="2022-23", **college) == [
        "6", "16", "56",
    ]  # fmt: skip
    assert number_questions(tmp_path, "6 16 55 56", season="2023-24", **college) == []
    assert number_questions(tmp_path, "67", season="2019", **college) == ["67"]


def test_a_code_with_changed_rules_asks_for_the_season(tmp_path: Path) -> None:
    _, faults = read(tmp_path, HEADER + "1,AL,A,67\n", code="basketball-college")
    assert (only(faults).key, only(faults).problem.id) == ("code", "catalog.code.which_season")
    assert only(faults).allowed == "…2022-23, 2023-24…"


@pytest.mark.parametrize(
    ("code", "numbers", "found"),
    [
        ("basketball-school", "5 6 00", ["6"]),  # the older college rule; from memory
        ("basketball-school", "0 00", ["together"]),  # likewise
        # 0, 00, 1 to 99, and both 0 and 00 are allowed: from memory
        ("basketball-international", "0 00 99 07", ["07"]),
        # US school football, 1 to 99: rule read at its source; number and edition not noted
        ("football-school", "0 1 99 00 100", ["0", "00", "100", "100"]),  # 100 is also too long
        # UEFA Equipment Regulations 2024, article 10, at most 99: read; no 0: from memory
        ("football-european", "1 99 0 02", ["0", "02"]),
    ],
)
def test_each_code_allows_its_own_numbers(
    tmp_path: Path, code: str, numbers: str, found: list[str]
) -> None:
    assert number_questions(tmp_path, numbers, code=code) == found


def test_0_at_home_and_00_away_do_not_conflict(tmp_path: Path) -> None:
    rows = SETS + "1,AL,FENN,0,home\n2,AL,FENN,00,away\n"
    _, faults = read(tmp_path, rows, code="basketball-school")
    assert faults == ()


@pytest.mark.parametrize("season", ["2022-24", "22-23", "soon"])
def test_a_season_is_two_consecutive_years(tmp_path: Path, season: str) -> None:
    job, faults = read(tmp_path, HEADER + "1,AL,A,1\n", code="basketball-college", season=season)
    assert job is None
    assert only(faults).key == "season"


def test_a_season_without_a_rule_is_asked_about_with_those_that_have_one(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, "codes.yaml", ("from: 2023-24", "from: 2024-25"))
    catalog, _ = read_catalog(folder)
    place = job_with(tmp_path, HEADER + "1,AL,A,1\n", code="basketball-college", season="2023-24")
    fault = only(read_job(place, catalog)[1])
    assert (fault.key, fault.problem.id) == ("season", "catalog.code.no_season")
    assert fault.question
    assert fault.allowed == "…2022-23, 2024-25…"


def test_a_season_without_a_code_is_a_fault(tmp_path: Path) -> None:
    job, faults = read(tmp_path, HEADER + "1,AL,A,1\n", season="2022-23")
    assert job is None
    assert ids(faults) == ["season: code.no_code"]


def test_an_unknown_code_is_reported_with_the_nearest(tmp_path: Path) -> None:
    _, faults = read(tmp_path, HEADER + "1,AL,A,1\n", code="basketball-colege")
    assert (only(faults).key, only(faults).nearest) == ("code", "basketball-college")


def test_all_questions_are_asked_at_once(tmp_path: Path) -> None:
    rows = "Trial order,,,,\n" + SETS + "1,AL,MUÑERA,67,a\n2,HUGE,FENN,67,a\n"
    keys = {"code": "basketball-school", "received": "{AL: 2}"}
    _, faults = read(tmp_path, rows, catalog_with_letters(ALL_CAPITALS), **keys)
    assert sorted(ids(faults)) == [
        ": roster.title",
        "name: roster.no_letter",
        "number: code.number",
        "number: code.number",
        "number: roster.number_twice",
        "received.AL: received.over",
        "size: roster.size",
    ]
