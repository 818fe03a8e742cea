"""Rows that are probably not a garment, rows for several garments, and remarks in a sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, only, own_catalog, read_roster
from openpyxl.comments import Comment
from openpyxl.styles import Font
from roster_trials import HEADER, one_question
from workbooks_made import ROWS, read, saved, workbook

from kiosk.catalog.base import Fault
from kiosk.catalog.model import Job
from kiosk.catalog.read import read_job
from kiosk.catalog.roster import allowed, forget_names, question_groups

TWO = HEADER + "1,AL,FENN,4\n2,AM,KOVA,10\n"
CAUSES = "catalog.roster."


def read_with_answers(
    tmp_path: Path, data: str, *answers: str
) -> tuple[Job | None, tuple[Fault, ...]]:
    """Return the job and faults read with these answers to the open questions, in order."""
    folder = job_with(tmp_path, data, answers="answers.yaml")
    (folder / "answers.yaml").write_text("# none\n", "utf-8")
    _, faults = read_job(folder, own_catalog())
    lines = (f"{fault.id}: {text}\n" for fault, text in zip(faults, answers, strict=True))
    (folder / "answers.yaml").write_text("".join(lines), "utf-8")
    return read_job(folder, own_catalog())


@pytest.mark.parametrize(
    "row", ["Please deliver by May,,,", "GOALKEEPERS,,,", ",,,Thanks!", "3,,,"]
)
def test_a_one_cell_row_is_asked_about_once_and_not_yet_a_garment(tmp_path: Path, row: str) -> None:
    job, fault = one_question(tmp_path, f"{TWO}{row}\n")
    assert (fault.line, fault.problem.id) == (4, f"{CAUSES}lone")
    assert [line.name for line in job.roster] == ["FENN", "KOVA"]


def test_a_name_alone_in_its_row_is_not_shown(tmp_path: Path) -> None:
    assert one_question(tmp_path, f"{TWO},,SMITTE,\n")[1].found == ""


def test_a_one_cell_row_kept_as_a_garment_is_asked_about_cell_by_cell(tmp_path: Path) -> None:
    _, faults = read_with_answers(tmp_path, f"{TWO}3,,,\n", "keep")
    assert ids(faults) == [
        "size: roster.no_size",
        "name: roster.no_name",
        "number: roster.no_number",
    ]


def test_a_size_alone_is_a_garment_without_name_and_number(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, "size,name,number\nAL,FENN,4\nAM,,\n")
    assert ids(faults) == ["name: roster.no_name", "number: roster.no_number"]


def test_repeated_headings_are_not_a_player_called_name(tmp_path: Path) -> None:
    """Two teams on one page."""
    _, faults = read_roster(tmp_path, f"{TWO}Herons,,,\n{HEADER}1,AM,OKORO,7\n")
    assert [fault.problem.id.removeprefix(CAUSES) for fault in faults][:2] == [
        "lone", "heading_again",
    ]  # fmt: skip
    assert {fault.line for fault in faults[:2]} == {4, 5}


def test_a_title_merged_across_its_row_is_one_question(tmp_path: Path) -> None:
    book = workbook([*ROWS, ["Field players", None, None, None], [3, "AL", "FENN", 9]])
    book.worksheets[0].merge_cells("A4:D4")
    _, faults = read(tmp_path, saved(book))
    assert [(fault.line, fault.problem.id) for fault in faults] == [(4, f"{CAUSES}lone")]


def test_a_quantity_of_two_becomes_two_garments_once_answered(tmp_path: Path) -> None:
    text = "size,name,number,qty\nAL,FENN,4,2\nAM,KOVA,10,1\n"
    _, fault = one_question(tmp_path, text)
    assert allowed(fault).choices == ("2",)
    for answer, names in (('"2"', ["FENN", "FENN", "KOVA"]), ("keep", ["FENN", "KOVA"])):
        job, faults = read_with_answers(tmp_path, text, answer)
        assert faults == ()
        assert job is not None
        assert [line.name for line in job.roster] == names
        assert len({line.line for line in job.roster}) == len(names)


def test_copies_of_a_row_get_ids_of_their_own(tmp_path: Path) -> None:
    text = "line,size,name,number,qty\n5,AL,FENN,4,3\n6,AM,KOVA,10,1\n"
    job, faults = read_with_answers(tmp_path, text, '"3"')
    assert faults == ()
    assert job is not None
    assert [line.line for line in job.roster] == ["5", "5-2", "5-3", "6"]


@pytest.mark.parametrize(
    ("size", "offered"),
    [
        ("Youth L (10-12)", ("YL",)), ("XL - mens", ("AXL", "YXL")), ("2XL/3XL", ("A2X", "A3X")),
        ("Mujer M", ("AM", "YM")), ("12/14", ()),
    ],
)  # fmt: skip
def test_a_size_in_unusual_words_is_asked_with_the_sizes_in_it(
    tmp_path: Path, size: str, offered: tuple[str, ...]
) -> None:
    _, fault = one_question(tmp_path, HEADER + f"1,{size},FENN,4\n")
    assert allowed(fault).choices == offered
    assert not allowed(fault).keep


@pytest.mark.parametrize(
    ("number", "digits"),
    [
        ("1O", "10"),
        ("l1", "11"),
        ("7?", "7"),
        ("-7", "7"),
        ("7/8", ""),
        ("7 (GK)", "7"),
        ("GK 1", "1"),
        ("10 C", "10"),
        ("12B", ""),
        ("1 2", ""),
    ],
)
def test_a_mistyped_number_is_asked_with_its_digits(
    tmp_path: Path, number: str, digits: str
) -> None:
    assert one_question(tmp_path, HEADER + f"1,AL,FENN,{number}\n")[1].nearest == digits


@pytest.mark.parametrize(
    ("name", "offered"),
    [
        ("O`NEIL", "O'NEIL"), ("“FENN”", "FENN"), ("KOVA (C)", "KOVA"), ("*ROSS", "ROSS"),
        ("DOT!", "DOT"), ("MARA 'BO' KOVA", "MARA BO KOVA"), ("‘BO’ KOVA", "BO KOVA"),
        ("KOVA - capt.", "KOVA"), ("- KOVA", "KOVA"), ("KOVA-", "KOVA"), ("KOVA'", "KOVA"),
    ],
)  # fmt: skip
def test_a_name_with_odd_signs_is_offered_without_them(
    tmp_path: Path, name: str, offered: str
) -> None:
    _, faults = read_roster(tmp_path, HEADER + f"1,AL,{name},4\n")
    assert only(faults).problem.id == f"{CAUSES}letters"
    assert allowed(faults[0]).choices == (offered,)


@pytest.mark.parametrize("name", ["N??EZ", "MU\ufffdOZ", "FENN, MARA, 7", ", MARA", "J4MES"])
def test_a_lost_letter_or_a_whole_row_in_a_name_is_not_guessed(tmp_path: Path, name: str) -> None:
    _, fault = one_question(tmp_path, HEADER + f'1,AL,"{name}",4\n')
    assert allowed(fault).choices == ()


@pytest.mark.parametrize(
    ("name", "decoded"),
    [("O&#39;NEIL", "O'NEIL"), ("MU&Ntilde;OZ", "MUÑOZ"), ("&Eacute;TO", "ÉTO")],
)
def test_a_name_with_html_entities_is_offered_decoded(
    tmp_path: Path, name: str, decoded: str
) -> None:
    """Entities from the HTML standard (13.5, named character references)."""
    _, fault = one_question(tmp_path, HEADER + f"1,AL,{name},4\n")
    assert (fault.problem.id, allowed(fault).choices) == (f"{CAUSES}garbled", (decoded,))


def test_cells_in_apostrophes_are_offered_without_them(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, "'Size','Name','Number'\n'L','FENN','4'\n")
    assert {fault.problem.id for fault in faults} == {f"{CAUSES}apostrophe"}
    assert [allowed(fault).choices for fault in faults] == [("AL",), ("FENN",), ("4",)]


def test_a_repeated_row_is_one_question(tmp_path: Path) -> None:
    text = "size,name,number\nAL,FENN,4\nAM,KOVA,10\nAL,FENN,4\n"
    _, fault = one_question(tmp_path, text)
    assert (fault.line, fault.problem.id) == (4, f"{CAUSES}row_twice")
    for answer, numbers in (("leave-out", ["4", "10"]), ("keep", ["4", "10", "4"])):
        job, faults = read_with_answers(tmp_path, text, answer)
        assert faults == ()
        assert job is not None
        assert [line.number for line in job.roster] == numbers


def test_a_nearly_repeated_row_is_asked_about_cell_by_cell(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, "size,name,number\nAL,FENN,4\nAL,Fenn,4\n")
    assert ids(faults) == ["number: roster.number_twice", "name: roster.name_twice"]


def test_an_empty_name_column_is_one_question(tmp_path: Path) -> None:
    text = "size,name,number\n" + "".join(f"AL,,{n}\n" for n in range(4, 9))
    _, faults = read_roster(tmp_path, text)
    (group,) = question_groups(faults).values()
    assert [fault.problem.id for fault in group] == [f"{CAUSES}no_name"] * 5


def test_a_surname_first_name_is_offered_alone_and_in_normal_order(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, HEADER + '1,AL,"DE LA MUN, MARA",4\n')
    assert (fault.problem.id, allowed(fault).keep) == (f"{CAUSES}two_names", True)
    assert allowed(fault).choices == ("DE LA MUN", "MARA DE LA MUN")


@pytest.mark.parametrize(
    "row", ["Total shirts,2,,", "TOTAL: 2,,,", "Total de prendas,,2,", "Totals,,,2"]
)
def test_a_total_line_in_any_wording_is_asked_about_as_a_total(tmp_path: Path, row: str) -> None:
    _, fault = one_question(tmp_path, f"size,name,number,line\nAL,FENN,4,1\nAM,KOVA,10,2\n{row}\n")
    assert (fault.line, fault.problem.id) == (4, f"{CAUSES}total")


def test_a_name_starting_like_a_total_is_not_asked_about(tmp_path: Path) -> None:
    assert read_roster(tmp_path, f"{TWO}3,AL,TOTALIN,7\n")[1] == ()


def test_a_table_of_counts_per_size_is_one_question_with_one_answer(tmp_path: Path) -> None:
    text = "name,number,size\nFENN,4,AL\nKOVA,10,AM\n,,\nAL,1,\nAM,1,\n"
    job, fault = one_question(tmp_path, text)
    assert (fault.problem.id, fault.problem.values["rows"]) == (f"{CAUSES}counts", (5, 6))
    assert len(job.roster) == 2
    without, faults = read_with_answers(tmp_path, text, "leave-out")
    assert faults == ()
    assert without is not None
    assert [line.name for line in without.roster] == ["FENN", "KOVA"]
    assert ids(read_with_answers(tmp_path, text, "keep")[1]) == ["size: roster.no_size"] * 2 + [
        "number: roster.number_twice"
    ]


@pytest.mark.parametrize("heading", ["Notes", "Remarks", "Observaciones", "Special instructions"])
def test_remarks_beside_garments_are_asked_about(tmp_path: Path, heading: str) -> None:
    text = f"size,name,number,{heading}\nAL,FENN,4,no name please\nAM,KOVA,10,\nAS,OSK,7,two R\n"
    _, fault = one_question(tmp_path, text)
    assert (fault.line, fault.problem.id) == (2, f"{CAUSES}remarks")
    assert (fault.problem.values["rows"], fault.found) == ((2, 4), "no name please · two R")
    assert read_with_answers(tmp_path, text, "keep")[1] == ()


def test_an_empty_or_unused_remarks_column_is_not_asked_about(tmp_path: Path) -> None:
    assert read_roster(tmp_path, "size,name,number,Notes\nAL,FENN,4,\n")[1] == ()
    folder = job_with(tmp_path, "size,name,number,Notes\nAL,FENN,4,paid\n", unused="[Notes]")
    assert read_job(folder, own_catalog())[1] == ()


@pytest.mark.parametrize("written", ["2 pcs", "2 uds.", "x2", "2.0", "2 x"])
def test_a_quantity_with_units_offers_its_number(tmp_path: Path, written: str) -> None:
    _, fault = one_question(tmp_path, f"size,name,number,qty\nAL,FENN,4,{written}\n")
    assert allowed(fault).choices == ("2",)


@pytest.mark.parametrize(
    ("name", "offered"),
    [("OKO\u200bRO", "OKORO"), ("\ufeffFENN", "FENN"), ("TAB\tBED", "TAB BED"), ("A\u200e", "A")],
)
def test_an_invisible_character_is_a_fault_and_the_name_is_offered_without_it(
    tmp_path: Path, name: str, offered: str
) -> None:
    _, faults = read_roster(tmp_path, HEADER + f'1,AL,"{name}",4\n')
    fault = only(faults)
    assert (fault.problem.id, fault.question) == (f"{CAUSES}control", False)
    assert allowed(fault).choices == (offered,)
    job, faults_left = read_with_answers(tmp_path, HEADER + f'1,AL,"{name}",4\n', f'"{offered}"')
    assert faults_left == ()
    assert job is not None
    assert job.roster[0].name == offered


def test_a_heading_with_an_invisible_character_is_known(tmp_path: Path) -> None:
    assert read_roster(tmp_path, "size,\u200bname,num\u00adber\nAL,FENN,4\n")[1] == ()


@pytest.mark.parametrize("written", ["-", "--", ".", "N/A", "(blank)", "no name"])
def test_a_placeholder_name_is_removed_with_one_answer(tmp_path: Path, written: str) -> None:
    text = HEADER + f"1,AL,FENN,4\n2,AL,{written},7\n"
    _, fault = one_question(tmp_path, text)
    assert fault.problem.id == f"{CAUSES}stand_in"
    assert "" in allowed(fault).choices
    job, faults = read_with_answers(tmp_path, text, '""')
    assert faults == ()
    assert job is not None
    assert job.roster[1].name == ""


@pytest.mark.parametrize("cell", ["#REF!", "#NAME?", "#DIV/0!", "#N/A", "#¡VALOR!", "#¿NOMBRE?"])
def test_a_spreadsheet_error_cannot_be_kept_as_a_name(tmp_path: Path, cell: str) -> None:
    _, fault = one_question(tmp_path, HEADER + f"1,AL,{cell},4\n")
    assert fault.problem.id == f"{CAUSES}error_value"
    assert not allowed(fault).keep


def test_crossed_out_rows_are_one_question_and_can_be_left_out(tmp_path: Path) -> None:
    book = workbook([*ROWS, [3, "AL", "FENN", 9], [4, "AL", "TERN", 10]])
    for row in (3, 4):
        book.worksheets[0].cell(row, 3).font = Font(strike=True)
    _, faults = read(tmp_path, saved(book))
    fault = only(faults)
    assert (fault.problem.id, fault.problem.values["rows"]) == (f"{CAUSES}struck_rows", (3, 4))
    folder = job_with(tmp_path, "", roster="roster.xlsx", answers="answers.yaml")
    (folder / "answers.yaml").write_text(f"{fault.id}: leave-out\n", "utf-8")
    job, faults_left = read_job(folder, own_catalog())
    assert faults_left == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["MUÑERA", "TERN"]


def test_comments_on_cells_are_asked_about(tmp_path: Path) -> None:
    book = workbook(ROWS)
    book.worksheets[0]["C3"].comment = Comment("with two R, please", "coach")
    _, faults = read(tmp_path, saved(book))
    fault = only(faults)
    assert (fault.line, fault.problem.id) == (3, f"{CAUSES}comments")
    assert fault.found == "with two R, please"


def test_a_hidden_unknown_column_is_one_question(tmp_path: Path) -> None:
    book = workbook([[*ROWS[0], "Paid"], [*ROWS[1], "yes"]])
    book.worksheets[0].column_dimensions["E"].hidden = True
    _, faults = read(tmp_path, saved(book))
    assert [fault.problem.id for fault in faults] == [f"{CAUSES}unknown_column"]


def test_a_workbook_is_read_whatever_its_file_ending(tmp_path: Path) -> None:
    job, faults = read_roster(tmp_path, saved(workbook(ROWS)))
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["MUÑERA", "O'TARRY"]


def test_a_doubt_in_a_row_of_two_garments_is_asked_about_once(tmp_path: Path) -> None:
    text = "size,name,number,qty\nM,FENN,4,2\nYM,KOVA,10,1\n"
    _, faults = read_with_answers(tmp_path, text, '"2"', "# nothing yet")
    assert ids(faults) == ["size: roster.bare_size"]


def test_a_one_cell_garment_stays_a_garment_after_names_are_deleted(tmp_path: Path) -> None:
    """It was pressed, so a report of its job counts it."""
    folder = job_with(tmp_path, f"{TWO}3,,,\n", answers="answers.yaml")
    text = "# none\n"
    for _ in range(2):  # its cells are asked about only once it is a garment
        (folder / "answers.yaml").write_text(text, "utf-8")
        _, faults = read_job(folder, own_catalog())
        answers = {"lone": "keep", "no_size": "AM", "no_name": "keep", "no_number": "keep"}
        text += "".join(f"{each.id}: {answers[each.id.split('.')[2]]}\n" for each in faults)
    (folder / "answers.yaml").write_text(text, "utf-8")
    before, faults = read_job(folder, own_catalog())
    assert faults == ()
    forget_names(folder)
    after, _ = read_job(folder, own_catalog())
    assert before is not None
    assert after is not None
    assert [line.line for line in after.roster] == [line.line for line in before.roster]
    assert len(after.roster) == 3
