"""Anything that would have to be inferred from a roster is asked, with its present reading.

Letters and their names: the Unicode Character Database, from Python's unicodedata.
"""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest
from catalog_folders import ids, job_with, only, own_catalog, read_roster
from roster_trials import HEADER, one_question, sound
from workbooks_made import ROWS, doubt, read, saved, workbook

from kiosk.catalog.read import read_job
from kiosk.catalog.roster.cells import _ALIKE

CAUSES = "catalog.roster."


@pytest.mark.parametrize(
    ("written", "adult", "youth"),
    [("L", "AL", "YL"), ("Medium", "AM", "YM"), ("x-small", "AXS", "YXS"), ("xl", "AXL", "YXL")],
)
def test_a_bare_size_beside_youth_sizes_is_asked_about(
    tmp_path: Path, written: str, adult: str, youth: str
) -> None:
    job, fault = one_question(
        tmp_path, f"{HEADER}1,Youth M,FENN,1\n2,{written},KOVA,2\n3,AL,HOLM,3\n"
    )
    found = doubt(fault)
    assert (found.row, found.column, found.written, found.read_as) == (3, "size", written, adult)
    assert found.could_be == (youth, adult)
    assert found.cause.id == f"{CAUSES}bare_size"
    assert (job.roster[1].size, job.roster[1].as_written("size")) == (adult, written)


def test_a_bare_size_in_an_adult_order_is_an_adult_size(tmp_path: Path) -> None:
    assert [e.size for e in sound(tmp_path, HEADER + "1,L,FENN,1\n2,Adult M,KOVA,2\n")] == [
        "AL",
        "AM",
    ]


def test_a_bare_size_that_exists_only_for_adults_is_not_asked_about(tmp_path: Path) -> None:
    assert sound(tmp_path, HEADER + "1,YM,FENN,1\n2,2XL,KOVA,2\n")[1].size == "A2X"


def test_full_width_letters_are_asked_about_with_plain_ones_offered(tmp_path: Path) -> None:
    job, fault = one_question(tmp_path, HEADER + "1,AL,ＦＥＮＮ,1\n")
    found = doubt(fault)
    assert (found.column, found.written, found.could_be) == ("name", "ＦＥＮＮ", ("FENN",))
    assert found.cause.id == f"{CAUSES}full_width"
    assert job.roster[0].name == "ＦＥＮＮ"  # as written until somebody decides


@pytest.mark.parametrize("written", ["TBD", "tba", "No name", "None", "Sin nombre", "XXX"])
def test_a_placeholder_name_is_asked_about(tmp_path: Path, written: str) -> None:
    """Common practice, no source: an order is often sent before all names are known."""
    _, fault = one_question(tmp_path, HEADER + f"1,AL,{written},1\n")
    found = doubt(fault)
    assert (found.column, found.written) == ("name", written)
    assert found.cause.id == f"{CAUSES}stand_in"


@pytest.mark.parametrize("written", ["NONES", "TBDAY", "BLANKE", "NAMEN"])
def test_a_name_starting_like_a_placeholder_is_not_asked_about(
    tmp_path: Path, written: str
) -> None:
    assert sound(tmp_path, HEADER + f"1,AL,{written},1\n")[0].name == written


@pytest.mark.parametrize("written", ["#12", "No 12", "Nr. 12", "nº12", "N°12"])
def test_a_number_with_a_number_sign_is_offered_as_its_digits(written: str, tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, HEADER + f"1,AL,FENN,{written}\n")
    assert [doubt(fault).could_be for fault in faults] == [("12",)]


def test_full_width_digits_and_sizes_are_offered_as_plain_ones(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, HEADER + "1,ＡＬ,FENN,１２\n")
    assert [doubt(fault).could_be for fault in faults] == [("AL",), ("12",)]


@pytest.mark.parametrize("blank", ["\u00a0", "\u2003", "\u2009", "\u3000", "\u202f"])
def test_spaces_of_any_kind_around_a_cell_are_ignored(tmp_path: Path, blank: str) -> None:
    """Unicode's space separators (category Zs)."""
    assert unicodedata.category(blank) == "Zs"
    (line,) = sound(tmp_path, HEADER + f"1,{blank}AL,FENN{blank},{blank}12{blank}\n")
    assert (line.size, line.name, line.number) == ("AL", "FENN", "12")


@pytest.mark.parametrize(
    ("name", "letters", "could_be"),
    [
        ("ИВAНОВ", ("A (Latin)",), ("ИВАНОВ",)),  # a Latin A in a Cyrillic name
        ("KOVАC", ("А (Cyrillic)",), ("KOVAC",)),  # a Cyrillic А in a Latin name
        ("NΙΚOS", ("Ι (Greek)", "Κ (Greek)"), ("NIKOS",)),
        ("FENNЖ", ("Ж (Cyrillic)",), ()),
    ],
)
def test_a_name_mixing_two_alphabets_is_asked_about(
    tmp_path: Path, name: str, letters: tuple[str, ...], could_be: tuple[str, ...]
) -> None:
    _, faults = read_roster(tmp_path, f"{HEADER}1,AL,{name},1\n")
    (fault,) = [each for each in faults if each.problem.id == f"{CAUSES}mixed"]
    assert fault.problem.values["letters"] == letters
    assert doubt(fault).written == name
    assert doubt(fault).could_be == could_be


def test_each_look_alike_belongs_to_the_alphabet_it_is_listed_under() -> None:
    assert len({len(letters) for letters in _ALIKE.values()}) == 1
    for script, letters in _ALIKE.items():
        for letter in letters.replace(" ", ""):
            assert unicodedata.name(letter).startswith(script), letter


@pytest.mark.parametrize("name", ["ИВАНОВ", "ΝΙΚΟΣ", "山田ひろし", "ØSTBY"])
def test_a_name_in_one_alphabet_is_not_mixed(tmp_path: Path, name: str) -> None:
    assert "name: roster.mixed" not in ids(read_roster(tmp_path, f"{HEADER}1,AL,{name},1\n")[1])


def test_small_letters_among_capitals_are_asked_about(tmp_path: Path) -> None:
    text = HEADER + "1,AL,FENN,1\n2,AL,McKay,2\n3,AL,KOVA,3\n4,AL,Ñ,4\n"
    found = doubt(one_question(tmp_path, text)[1])
    assert (found.row, found.written, found.could_be) == (3, "McKay", ("MCKAY",))
    assert (found.read_as, found.cause.id) == ("McKay", f"{CAUSES}small_letters")


def test_capitals_among_small_letters_are_asked_about(tmp_path: Path) -> None:
    found = doubt(one_question(tmp_path, HEADER + "1,AL,Fenn,1\n2,AL,McKay,2\n3,AL,KOVA,3\n")[1])
    assert (found.row, found.could_be) == (4, ("Kova",))
    assert found.cause.id == f"{CAUSES}all_capitals"


def test_names_in_a_consistent_case_are_not_asked_about(tmp_path: Path) -> None:
    assert sound(tmp_path, HEADER + "1,AL,Fenn,1\n2,AL,de la Oße,2\n")
    assert sound(tmp_path, HEADER + "1,AL,FENN,1\n2,AL,ÉTOURNE,2\n")


def test_a_name_without_a_capital_is_asked_about(tmp_path: Path) -> None:
    text = HEADER + "1,AL,Fenn,1\n2,AL,kova,2\n3,AL,de la Oße,3\n"
    found = doubt(one_question(tmp_path, text)[1])
    assert (found.row, found.could_be) == (3, ("Kova", "KOVA"))
    assert found.cause.id == f"{CAUSES}no_capital"


def test_a_list_without_capitals_is_asked_about_row_by_row(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, HEADER + "1,AL,fenn,1\n2,AL,kova,2\n3,AL,o'tarry,3\n")
    assert ids(faults) == ["name: roster.no_capital"] * 3
    assert doubt(faults[2]).could_be == ("O'Tarry", "O'TARRY")


@pytest.mark.parametrize("heading", ["Youth size", "Kids' Size", "Talla niños", "Talla (juvenil)"])
def test_a_bare_size_under_a_youth_heading_is_asked_about(tmp_path: Path, heading: str) -> None:
    folder = job_with(
        tmp_path, f"{heading},name,number\nM,FENN,4\n", columns=f"{{size: {heading!r}}}"
    )
    (fault,) = read_job(folder, own_catalog())[1]
    assert (fault.problem.id, doubt(fault).could_be) == (f"{CAUSES}bare_size", ("YM", "AM"))


@pytest.mark.parametrize(
    ("first", "second", "could_be"),
    [("O'TARRY", "O’HOLM", "O'HOLM"), ("A-B", "C‐D", "C-D"), ("O'TARRY", "OʼHOLM", "O'HOLM")],
)
def test_different_apostrophes_or_hyphens_in_one_list_are_asked_about(
    tmp_path: Path, first: str, second: str, could_be: str
) -> None:
    text = f"{HEADER}1,AL,{first},1\n2,AL,{second},2\n3,AL,{first}A,3\n"
    _, faults = read_roster(tmp_path, text)
    (found,) = [doubt(each) for each in faults if each.problem.id == f"{CAUSES}marks"]
    assert (found.row, found.written, found.could_be) == (3, second, (could_be,))


def test_different_apostrophes_in_one_name_are_asked_about(tmp_path: Path) -> None:
    fault = one_question(tmp_path, HEADER + "1,AL,D'O’HOLM,1\n")[1]
    assert fault.problem.id == f"{CAUSES}marks"


def test_a_numeric_zero_in_a_sheet_is_asked_about_as_0_or_00(tmp_path: Path) -> None:
    found = doubt(only(read(tmp_path, saved(workbook([ROWS[0], [1, "AL", "FENN", 0]])))[1]))
    assert (found.column, found.could_be) == ("number", ("0", "00"))
    assert found.cause.id == f"{CAUSES}zero"


def test_a_zero_in_text_is_asked_about_when_no_number_has_leading_zeros(tmp_path: Path) -> None:
    """A sheet that took 00 for a number saves it as 0 in a CSV (intake.md: "0 or 00")."""
    job, fault = one_question(tmp_path, HEADER + "1,AL,FENN,0\n2,AM,KOVA,10\n")
    found = doubt(fault)
    assert (found.row, found.column, found.could_be) == (2, "number", ("0", "00"))
    assert found.cause.id == f"{CAUSES}zero"
    assert job.roster[0].number == "0"


@pytest.mark.parametrize("other", ["00", "07"])
def test_a_zero_beside_a_number_with_leading_zeros_is_not_asked_about(
    tmp_path: Path, other: str
) -> None:
    assert sound(tmp_path, HEADER + f"1,AL,FENN,0\n2,AM,KOVA,{other}\n")[0].number == "0"


def test_a_zero_in_the_line_column_is_not_asked_about(tmp_path: Path) -> None:
    assert sound(tmp_path, HEADER + "0,AL,FENN,4\n1,AM,KOVA,10\n")[0].line == "0"


def test_any_letter_in_utf_8_is_read(tmp_path: Path) -> None:
    assert sound(tmp_path, HEADER + "1,AL,ÞÓRÐUR,4\n2,AM,ŠTÝNA,10\n")[0].name == "ÞÓRÐUR"


def test_the_written_text_is_kept_beside_the_reading(tmp_path: Path) -> None:
    (line,) = sound(tmp_path, HEADER + "1,adult l,DE  LA  MUN\u0303A,7\n")
    assert (line.size, line.name) == ("AL", "DE LA MUÑA")
    assert line.as_written("size") == "adult l"
    assert line.as_written("name") == "DE  LA  MUN\u0303A"
    assert line.as_written("number") == "7"


@pytest.mark.parametrize("written", ["No name", "Mara7"])
def test_a_doubtful_name_gets_only_one_question(tmp_path: Path, written: str) -> None:
    _, faults = read_roster(tmp_path, HEADER + f"1,AL,FENN,4\n2,AM,KOVA,10\n3,AM,{written},11\n")
    assert [each.line for each in faults] == [4]
