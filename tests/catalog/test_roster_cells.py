"""Cells of a roster: a doubt becomes a question, never a guess."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import only, read_roster
from roster_trials import HEADER, one_question, refused, sound

from kiosk.catalog.roster.answers import allowed


def test_numbers_are_text(tmp_path: Path) -> None:
    text = HEADER + "1,AL,A,0\n2,AL,B,00\n3,AL,C,07\n4,AL,D,70\n"
    assert [line.number for line in sound(tmp_path, text)] == ["0", "00", "07", "70"]


def test_sizes_are_written_as_codes(tmp_path: Path) -> None:
    text = HEADER + "1,Adult L,A,1\n2,Youth M,B,2\n3,xxl,C,3\n4,A.S,D,4\n"
    assert [line.size for line in sound(tmp_path, text)] == ["AL", "YM", "A2X", "AS"]


@pytest.mark.parametrize(
    "name", ["MUÑERA", "O'TARRY", "O’TARRY", "HOLM-WICKE", "ÉTOURNE", "ST. ALDER", "de la Oße"]
)
def test_names_keep_accents_hyphens_and_apostrophes(tmp_path: Path, name: str) -> None:
    assert sound(tmp_path, f"{HEADER}1,AL,{name},7\n")[0].name == name


def test_a_decomposed_name_is_read_as_composed(tmp_path: Path) -> None:
    assert sound(tmp_path, f"{HEADER}1,AL,MUN\u0303ERA,7\n")[0].name == "MUÑERA"


@pytest.mark.parametrize(
    ("row", "key", "problem"),
    [
        ("1,AL,MUÑERA,7.0", "number", "decimals"),
        ("1;AL;MUÑERA;7,0", "number", "decimals"),
        ("1,AL,MUÑERA,seven", "number", "no_digits"),
        ("1,AL,MUÑERA,+7", "number", "no_digits"),
        ("1,AL,MUÑERA,-", "number", "none_yet"),
        ("1,AL,MUÑERA,'07", "number", "apostrophe"),
        ("1,AL,MUÑERA,٧", "number", "no_digits"),
        ("1,AL,MUÑERA,1E+01", "number", "decimals"),
        ("1,AL,MUÑERA,#N/A", "number", "error_value"),
        ("1,AL,MUÑERA,107", "number", "many_digits"),
        ("1,AL,MUÑERA,", "number", "no_number"),
        ("1,AL,MUÑERA", "number", "no_number"),
        ("1,AL,,7", "name", "no_name"),
        ("1,AL,-,7", "name", "stand_in"),
        ("1,AL,MU?ERA,7", "name", "letters"),
        ("1,AL,MU\ufffdERA,7", "name", "letters"),
        ("1,AL,MUÑERA 2,7", "name", "letters"),
        ("1,AL,MUÃ‘ERA,7", "name", "garbled"),
        ("1,AL,WOLVERHAMPTONIANS,7", "name", "long_name"),
        ("1,,MUÑERA,7", "size", "no_size"),
        ("1,Ladies M,MUÑERA,7", "size", "size"),
        ("1,10-12,MUÑERA,7", "size", "size"),
    ],
)
def test_a_doubtful_cell_is_asked_about_and_kept_as_written(
    tmp_path: Path, row: str, key: str, problem: str
) -> None:
    separator = ";" if ";" in row else ","
    job, fault = one_question(tmp_path, HEADER.replace(",", separator) + row + "\n")
    assert (fault.key, fault.problem.id, fault.line) == (key, f"catalog.roster.{problem}", 2)
    cells = dict(zip(("line", "size", "name", "number"), row.split(separator), strict=False))
    assert getattr(job.roster[0], key) == cells.get(key, "")


def test_an_unknown_size_is_asked_about_with_the_nearest(tmp_path: Path) -> None:
    assert one_question(tmp_path, HEADER + "1,YMM,MUÑERA,7\n")[1].nearest == "YM"


def test_a_repeated_number_is_asked_about(tmp_path: Path) -> None:
    fault = one_question(tmp_path, HEADER + "1,AL,A,7\n\n2,AL,B,8\n3,AL,C,7\n")[1]
    assert (fault.problem.id, fault.line) == ("catalog.roster.number_twice", 5)
    assert fault.problem.values["first"] == 2


def test_7_beside_07_is_asked_about(tmp_path: Path) -> None:
    fault = one_question(tmp_path, HEADER + "1,AL,A,7\n2,AL,B,07\n")[1]
    assert fault.problem.id == "catalog.roster.zeros"
    assert (fault.found, fault.problem.values["other"]) == ("07", "7")


@pytest.mark.parametrize(
    "cell", ["=1+6", '"=""07"""', "@SUM(A1)", "+A1", "-A1", "=HYPERLINK(7)", "\t=7"]
)
def test_a_formula_is_a_fault(tmp_path: Path, cell: str) -> None:
    fault = refused(tmp_path, f"{HEADER}1,AL,MUÑERA,{cell}\n")
    assert (fault.key, fault.problem.id) == ("number", "catalog.roster.formula")


@pytest.mark.parametrize("sign", ["\x07", "\x1b", "\u200b", "\u202e", "\x85"])
def test_an_unprintable_character_is_a_fault(tmp_path: Path, sign: str) -> None:
    fault = refused(tmp_path, f"{HEADER}1,AL,MUÑ{sign}ERA,7\n")
    assert (fault.key, fault.problem.id) == ("name", "catalog.roster.control")
    assert sign not in fault.found


def test_a_line_break_in_a_cell_is_a_fault_and_line_numbers_stay_right(tmp_path: Path) -> None:
    text = f'{HEADER}1,AL,"MUÑ\nERA",7\n2,AL,B,=8\n'
    job, faults = read_roster(tmp_path, text)
    assert job is None
    assert [(fault.line, fault.key) for fault in faults] == [(2, "name"), (4, "number")]


def test_the_longest_allowed_name_and_line_id_are_read(tmp_path: Path) -> None:
    (line,) = sound(tmp_path, f"{HEADER}{'i' * 20},AL,{'N' * 16},99\n")
    assert (line.line, line.name, line.number) == ("i" * 20, "N" * 16, "99")


@pytest.mark.parametrize(
    ("row", "stays"),
    [("1,QX,FENN,7", False), ("1,AL,FENN,7A", True), ("1,AL,FENN,2026-03-01", False)],
)
def test_an_invalid_size_cannot_be_kept_but_an_odd_number_can(
    tmp_path: Path, row: str, stays: bool
) -> None:
    """Any other doubtful text can be kept as written if a person confirms it."""
    _, faults = read_roster(tmp_path, f"line,size,name,number\n{row}\n")
    assert allowed(only(faults)).keep is stays
