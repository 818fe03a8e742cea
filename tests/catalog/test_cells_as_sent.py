"""Cells as customers and their spreadsheets send them: invented; common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, own_catalog, read_roster
from roster_trials import HEADER, one_question, sound
from workbooks_made import ROWS, read, saved, workbook

from kiosk.catalog.read import read_job
from kiosk.catalog.roster.answers import allowed
from kiosk.catalog.roster.rows_alike import question_groups

SIZES = "Name,Number,Size\n"


@pytest.mark.parametrize("written", ["-", "n/a", "None", "TBD", "?", "sin número", "X", "—"])
def test_a_placeholder_number_can_be_removed_but_not_kept(tmp_path: Path, written: str) -> None:
    _, fault = one_question(tmp_path, f"{HEADER}1,AL,MARA,{written}\n")
    assert (fault.key, fault.cause) == ("number", "none_yet")
    may = allowed(fault)
    assert may.choices == ("",)
    assert not may.keep  # it cannot be pressed


@pytest.mark.parametrize("cell", ["TBD,{}", "N{},-"])
def test_the_same_placeholder_in_every_row_is_one_question(tmp_path: Path, cell: str) -> None:
    rows = "".join(f"{cell.format(chr(64 + n) if cell[0] == 'N' else n)},AM\n" for n in range(2, 8))
    _, faults = read_roster(tmp_path, SIZES + rows)
    ((_, group),) = question_groups(faults).items()
    assert len(group) == len(faults) == 6, ids(faults)


@pytest.mark.parametrize(
    ("written", "likely"),
    [
        ("OSK❤\ufe0f", "OSK"),  # U+FE0F: shown in colour
        ("OSK\ufe0f", "OSK"),
        ("O\u034fSK", "OSK"),  # U+034F: an invisible joiner
        ("OSK\u3164", "OSK"),  # U+3164: an invisible filler letter
        ("SMITH–JONES", "SMITH-JONES"),  # a hyphen autocorrected to a dash
        ("SMITH—JONES", "SMITH-JONES"),
        ("LOM – captain", "LOM"),
        ("D′ALBE", "D'ALBE"),  # U+2032: the prime, for feet and minutes
        ("O‛HARA", "O'HARA"),
    ],
)  # the signs' names: Unicode 15
def test_an_odd_sign_in_a_name_is_asked_about_with_the_likely_name(
    tmp_path: Path, written: str, likely: str
) -> None:
    _, faults = read_roster(tmp_path, f"{HEADER}1,AL,{written},7\n")
    (fault,) = faults
    assert (fault.key, fault.nearest) == ("name", likely)


@pytest.mark.parametrize(
    ("number", "choices"),
    [("7.0", ("7",)), ("12.5", ()), ("7.00E+00", ("7",)), ("1E+01", ("10",)), ("1.5E+02", ())],
)
def test_a_number_with_decimals_is_offered_only_as_a_whole_number(
    tmp_path: Path, number: str, choices: tuple[str, ...]
) -> None:
    _, fault = one_question(tmp_path, f"{HEADER}1,AL,MARA,{number}\n")
    assert (fault.cause, allowed(fault).choices) == ("decimals", choices)


@pytest.mark.parametrize(
    ("value", "shown_as", "number"),
    [
        (5, "00;-00", "05"),
        (7, "0_);(0)", "7"),  # space for a bracket
        (7, "[$-409]0", "7"),  # the language of the sheet
        (7, "[Red]General", "7"),
        (5, "[Blue]00", "05"),
        (0, "00;-00", "00"),
    ],
)  # what the parts of a format mean: ECMA-376 part 1, 18.8.31
def test_a_number_with_a_multi_part_format_is_read_as_shown(
    tmp_path: Path, value: int, shown_as: str, number: str
) -> None:
    book = workbook([ROWS[0], [1, "AL", "FENN", value]])
    book.worksheets[0]["D2"].number_format = shown_as
    job, faults = read(tmp_path, saved(book))
    assert (job and job.roster[0].number, ids(faults)) == (number, [])


@pytest.mark.parametrize(("shown_as", "cause"), [("0;-0;;@", "number_format"), ("0", "zero")])
def test_a_hidden_zero_or_a_possible_00_is_asked_about(
    tmp_path: Path, shown_as: str, cause: str
) -> None:
    book = workbook([ROWS[0], [1, "AL", "FENN", 0]])
    book.worksheets[0]["D2"].number_format = shown_as
    _, (fault,) = read(tmp_path, saved(book))
    assert fault.cause == cause


def test_numbers_in_two_formats_are_separate_questions(tmp_path: Path) -> None:
    rows = [[n, "AL", f"FENN{chr(64 + n)}", n] for n in range(1, 7)]
    book = workbook([ROWS[0], *rows])
    for n in range(2, 8):
        book.worksheets[0][f"D{n}"].number_format = '"#"0' if n < 5 else "0.0"
    _, faults = read(tmp_path, saved(book))
    assert sorted(len(group) for group in question_groups(faults).values()) == [3, 3]


@pytest.mark.parametrize(
    ("number", "choices"),
    [
        ("7-Jan", ("7",)),  # the number 7 in a cell formatted for dates
        ("1/7/1900", ("7",)),
        ("1900-01-07", ("7",)),
        ("1/2/1900", ("2", "32")),  # the month first, or the day
        ("1-Mar", ("61",)),  # sheets count 29 February 1900 too
        ("1/7/2026", ()),
        ("12-Oct", ()),
    ],
)  # how sheets count days: ECMA-376 part 1, 18.17.4.1
def test_a_date_in_text_is_offered_as_the_number_behind_it(
    tmp_path: Path, number: str, choices: tuple[str, ...]
) -> None:
    _, fault = one_question(tmp_path, f"{HEADER}1,AL,MARA,{number}\n")
    assert (fault.cause, allowed(fault).choices) == ("date", choices)


@pytest.mark.parametrize("quantity", ["x1", "1x", "1 pc", "01", "1.0"])
def test_a_quantity_of_one_in_any_spelling_is_not_asked_about(
    tmp_path: Path, quantity: str
) -> None:
    sound(tmp_path, f"Name,Number,Size,Qty\nKOVA,7,AL,{quantity}\n")


def test_a_quantity_in_words_can_be_answered_in_digits(tmp_path: Path) -> None:
    rows = "Name,Number,Size,Qty\nKOVA,7,AL,two\n"
    _, fault = one_question(tmp_path, rows)
    assert allowed(fault).writes == "quantity"
    folder = job_with(tmp_path, rows, answers="answers.yaml")
    (folder / "answers.yaml").write_text(f'{fault.id}: "many"\n', "utf-8")
    assert ids(read_job(folder, own_catalog())[1]) == ["quantity: roster.quantity"]
    (folder / "answers.yaml").write_text(f'{fault.id}: "2"\n', "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["KOVA", "KOVA"]


def test_repeated_headings_with_a_new_one_are_one_question(tmp_path: Path) -> None:
    text = f"{SIZES}KOVA,7,AL\nVIK,3,AM\nName,Role,Size\nBOSS,8,AXL\n"
    _, fault = one_question(tmp_path, text)
    assert (fault.cause, fault.line) == ("heading_again", 4)


def test_extra_cells_beside_every_row_are_one_question(tmp_path: Path) -> None:
    rows = "KOVA,7,AL,,BOSS\nVIK,3,AM,,HELP\nOSK,5,AS,,MEND\n"
    _, faults = read_roster(tmp_path, SIZES + rows)
    ((_, group),) = question_groups(faults).items()
    assert [fault.cause for fault in group] == ["more_cells"] * 3
    assert len(faults) == 3


FORM = "No.,Set,Name,Number,Size\n1,Home,KOVA,7,AL\n2,Home,VIK,3,AM\n"


@pytest.mark.parametrize(
    "unfilled",
    [
        "3,,,,\n4,,,,\n5,,,,\n",  # preprinted line numbers
        "3,Home,,,\n4,Home,,,\n",
        "3,Home,,,\n",
    ],
)
def test_unfilled_rows_of_a_form_are_one_question(tmp_path: Path, unfilled: str) -> None:
    _, fault = one_question(tmp_path, FORM + unfilled)
    assert (fault.cause, fault.line) == ("bare_rows", 4)
    assert fault.problem.values["rows"] == tuple(range(4, 4 + unfilled.count("\n")))
    assert allowed(fault).leave_out


def test_a_row_with_only_a_name_is_not_an_unfilled_row(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, f"{FORM}3,,OSK,,\n4,,LOM,,\n")
    assert "bare_rows" not in {fault.cause for fault in faults}


def test_an_unlabelled_total_row_is_one_question(tmp_path: Path) -> None:
    rows = "line,Set,Name,Number,Size,Qty\n1,Home,KOVA,7,AL,1\n4,,,,,3\n"
    _, fault = one_question(tmp_path, rows)
    assert (fault.cause, fault.line) == ("bare_rows", 3)


@pytest.mark.parametrize(
    ("written", "count", "size"), [("L x2", "2", "AL"), ("3 x M", "3", "AM"), ("S (2)", "2", "AS")]
)
def test_a_size_with_a_count_also_asks_for_the_quantity(
    tmp_path: Path, written: str, count: str, size: str
) -> None:
    _, faults = read_roster(tmp_path, f"{SIZES}KOVA,7,{written}\n")
    assert [(fault.cause, allowed(fault).choices[0]) for fault in faults] == [
        ("quantity", count), ("size", size),
    ]  # fmt: skip


@pytest.mark.parametrize("written", ["2 XL", "2XL", "AL"])
def test_a_size_starting_with_a_digit_is_not_read_as_a_count(tmp_path: Path, written: str) -> None:
    sound(tmp_path, f"{SIZES}KOVA,7,{written}\n")


@pytest.mark.parametrize("written", ["SPARE", "Extra", "repuesto"])
def test_a_spare_garment_is_offered_an_empty_name(tmp_path: Path, written: str) -> None:
    _, fault = one_question(tmp_path, f"{SIZES}{written},7,AL\n")
    assert (fault.cause, allowed(fault).choices) == ("stand_in", ("",))


def test_circled_letters_are_asked_about_with_the_plain_ones(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, f"{SIZES}ⓋⒾⓀ,7,AL\n")
    assert (fault.cause, allowed(fault).choices) == ("full_width", ("VIK",))


def test_curly_quotes_around_every_cell_are_quotation_marks(tmp_path: Path) -> None:
    lines = sound(tmp_path, "“Name”,“Number”,“Size”\n“KOVA”,“7”,“AL”\n")
    assert [(line.name, line.number, line.size) for line in lines] == [("KOVA", "7", "AL")]
