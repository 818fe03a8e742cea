"""Rosters as spreadsheets save them, in all equivalent shapes, and files that are not rosters."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, only, own_catalog, read_roster
from roster_trials import HEADER, one_question, refused, sound

from kiosk.catalog.model.orders import RosterColumn, RosterLine
from kiosk.catalog.read import line_digest, read_job
from kiosk.catalog.roster import allowed

TWO = HEADER + "1,AL,MUÑERA,7\n2,YM,O'TARRY,00\n"
LINES = (RosterLine("1", "AL", "MUÑERA", "7"), RosterLine("2", "YM", "O'TARRY", "00"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_every_usual_encoding_gives_the_same_lines(tmp_path: Path, encoding: str) -> None:
    assert sound(tmp_path, TWO.encode(encoding)) == LINES


def test_big_endian_utf_16_without_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    assert sound(tmp_path, TWO.encode("utf-16-be")) == LINES


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_every_usual_separator_and_line_ending_is_read(
    tmp_path: Path, separator: str, ending: str
) -> None:
    assert sound(tmp_path, TWO.replace(",", separator).replace("\n", ending)) == LINES


def test_blank_lines_and_columns_are_ignored(tmp_path: Path) -> None:
    text = "\n,,,,\n" + TWO.replace("\n", ",\n\n").replace("MUÑERA", "  MUÑERA ") + ",,,,\n"
    assert sound(tmp_path, text) == LINES


def test_quoted_cells_are_read_without_their_quotes(tmp_path: Path) -> None:
    text = '"line";"size";"name";"number"\n"1";"AL";"MUÑERA";"7"\n'
    assert sound(tmp_path, text) == LINES[:1]


def test_a_line_naming_the_separator_is_obeyed(tmp_path: Path) -> None:
    assert sound(tmp_path, "sep=;\r\n" + TWO.replace(",", ";")) == LINES


@pytest.mark.parametrize(
    "header",
    [
        "LINE,Size,Name,NUMBER",
        " line , size,name , number ",
        "Line No.,Jersey Size,Player Name,Jersey #",
        "row,shirt size,last name,player no.",
        "Línea,Talla,Apellido,Número",
        "Fila,Talla,Nombre en la espalda,Núm.",
        "Fila,Talla,Nombre camiseta,Núm. de camiseta",
        '"line","size","name","number"',
    ],
)
def test_header_spellings_and_case_do_not_matter(tmp_path: Path, header: str) -> None:
    assert sound(tmp_path, TWO.replace("line,size,name,number", header)) == LINES


def test_columns_may_be_in_any_order(tmp_path: Path) -> None:
    text = "number,name,line,size\n7,MUÑERA,1,AL\n00,O'TARRY,2,YM\n"
    assert sound(tmp_path, text) == LINES


@pytest.mark.parametrize("text", [
    "size,name,number\nAL,MUÑERA,7\nYM,O'TARRY,00\n",
    "line,size,name,number\n,AL,MUÑERA,7\n\n,YM,O'TARRY,00\n",
])  # fmt: skip
def test_lines_without_ids_are_numbered(tmp_path: Path, text: str) -> None:
    assert sound(tmp_path, text) == LINES


def test_an_unknown_column_is_asked_about(tmp_path: Path) -> None:
    text = "line,size,name,number,sleeve\n1,AL,MUÑERA,7,left\n"
    fault = one_question(tmp_path, text)[1]
    assert (fault.problem.id, fault.found) == ("catalog.roster.unknown_column", "sleeve")
    assert fault.line == 1


@pytest.mark.parametrize(
    "heading", ["Remarks", "Notes", "Comments", "Observaciones", "Nota", "Comentarios"]
)
def test_a_remarks_column_is_known_and_only_its_text_is_asked_about(
    tmp_path: Path, heading: str
) -> None:
    text = f"line,size,name,number,{heading}\n1,AL,MUÑERA,7,for the coach\n"
    job, fault = one_question(tmp_path, text)
    assert fault.problem.id == "catalog.roster.remarks"
    assert job.columns[-1].field == ""


@pytest.mark.parametrize("heading", ["Qty", "Quantity", "Cantidad", "Cant."])
def test_any_quantity_other_than_one_is_asked_about(tmp_path: Path, heading: str) -> None:
    text = f"line,size,name,number,{heading}\n1,AL,MUÑERA,7,1\n2,YM,O'TARRY,00,\n3,AL,FENN,8,"
    job, faults = read_roster(tmp_path, f"{text}3\n")
    assert job is not None
    (fault,) = faults
    assert (fault.problem.id, fault.line, fault.key, fault.found) == (
        "catalog.roster.quantity", 4, "quantity", "3",
    )  # fmt: skip
    assert fault.question
    assert allowed(fault).keep
    assert allowed(fault).leave_out
    assert read_roster(tmp_path, f"{text}1.0\n")[1] == ()


def test_a_number_sign_over_a_plain_count_is_asked_about(tmp_path: Path) -> None:
    """1 to 3 may be the team's numbers."""
    text = "#,size,name\n1,AL,MUÑERA\n2,AL,FENN\n3,AL,BRACK\n"
    job, faults = read_roster(tmp_path, text)
    assert job is None
    assert ids(faults) == [": roster.unknown_column", "number: roster.no_column"]
    assert faults[0].nearest == "number"


@pytest.mark.parametrize("header", ["#", "No.", "no", " # ", "Nº", "N°", "n.º"])
def test_a_number_sign_over_the_only_numbers_is_the_number_column(
    tmp_path: Path, header: str
) -> None:
    text = f"{header},size,name\n07,AL,MUÑERA\n31,AL,FENN\n"
    job, faults = read_roster(tmp_path, text)
    assert faults == ()
    assert job is not None
    assert [(line.line, line.number) for line in job.roster] == [("1", "07"), ("2", "31")]
    assert job.columns[0] == RosterColumn(header.strip(), "number")  # shown to be confirmed


def test_a_number_sign_beside_a_number_column_is_asked_about(tmp_path: Path) -> None:
    """Whatever `No.` counts here (boxes, shelves), the numbers have their own heading."""
    job, faults = read_roster(
        tmp_path, "line,size,name,number,No.\n1,AL,FENN,31,12\n2,AL,KOVA,07,4\n"
    )
    assert job is not None
    assert [line.number for line in job.roster] == ["31", "07"]
    assert ids(faults) == [": roster.unknown_column"]
    assert only(faults).question


def test_a_counting_number_sign_beside_another_is_the_line_column(tmp_path: Path) -> None:
    text = "#,No.,size,name\n1,31,AL,MUÑERA\n2,07,AL,FENN\n"
    job, faults = read_roster(tmp_path, text)
    assert faults == ()
    assert job is not None
    assert [(line.line, line.number) for line in job.roster] == [("1", "31"), ("2", "07")]


def test_two_number_signs_over_numbers_are_asked_about(tmp_path: Path) -> None:
    job, faults = read_roster(tmp_path, "#,No.,size,name\n12,31,AL,MUÑERA\n4,07,AL,FENN\n")
    assert job is None
    assert ids(faults).count(": roster.unknown_column") == 2


@pytest.mark.parametrize("field", ["line", "size", "name", "number"])
def test_a_leading_apostrophe_is_asked_about_and_kept_meanwhile(tmp_path: Path, field: str) -> None:
    cells = {"line": "8", "size": "AL", "name": "MUÑERA", "number": "07"}
    marked = {**cells, field: f"'{cells[field]}"}
    job, faults = read_roster(tmp_path, f"line,size,name,number\n{','.join(marked.values())}\n")
    (fault,) = faults
    assert fault.question
    assert (fault.key, fault.problem.id) == (field, "catalog.roster.apostrophe")
    assert job is not None
    assert getattr(job.roster[0], field) == f"'{cells[field]}"  # as written until it is decided


def test_two_headings_with_one_meaning_are_asked_about(tmp_path: Path) -> None:
    job, faults = read_roster(tmp_path, "Nombre;Apellido;Talla;Dorsal\nMIRA;BELTRO;AM;7\n")
    assert job is None
    assert [(each.found, each.nearest) for each in faults if each.question] == [
        ("Nombre", "name"),
        ("Apellido", "name"),
    ]
    (fault,) = [each for each in faults if not each.question]
    assert (fault.key, fault.problem.id) == ("name", "catalog.roster.no_column")


def test_headings_are_found_even_if_two_mean_the_same(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, "Order of ours\nNombre;Apellido\nMIRA;BELTRO\n")
    asked_for = [each.found for each in faults if each.problem.id.endswith("unknown_column")]
    assert asked_for == ["Nombre", "Apellido"]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("line,size,name,number,Number\n1,AL,A,7,7\n", "roster.doubled"),
        ("line,size,name\n1,AL,A\n", "roster.no_column"),
        ("line,size,number\n1,AL,7\n", "roster.no_column"),
        ("line,name,number\n1,A,7\n", "roster.no_column"),
        (HEADER, "roster.no_rows"),
        (HEADER + "1,AL,A,7\n1,AL,B,8\n", "roster.line_twice"),
        (HEADER + "1,AL,A,7\n,AL,B,8\n", "roster.no_line"),
        (HEADER + "x" * 21 + ",AL,A,7\n", "roster.long_line"),
        (HEADER + '1,AL,"A,7\n2,AL,B,8\n', "roster.quote"),
        (HEADER + '1,AL,"A"B,7\n', "roster.quote"),
        (HEADER + "1,AL," + "x" * 200_000 + ",7\n", "roster.broken"),
        (HEADER + "1,AL,A,7\n" * 5_001, "roster.many"),
        ("a," * 60 + "\n1\n", "roster.wide"),
        ("", "file.empty"),
        (",,,\n", "file.empty"),
        ("\ufeff", "file.empty"),
    ],
)
def test_an_unusable_roster_is_a_fault(tmp_path: Path, text: str, problem: str) -> None:
    assert refused(tmp_path, text).problem.id == f"catalog.{problem}"


@pytest.mark.parametrize(
    "data",
    [
        b"PK\x03\x04\x14\x00\x06\x00",  # a spreadsheet's own file
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
        b"line,size\0,name,number\n",
        b"line,size,name,number\n1,AL,\x81\xad,7\n",  # neither UTF-8 nor letters in a code page
        b"\xff\xfe\x00",
    ],
)
def test_a_file_that_is_not_text_is_a_fault(tmp_path: Path, data: bytes) -> None:
    assert refused(tmp_path, data).problem.id == "catalog.roster.no_text"


@pytest.mark.parametrize("last", ["Total,,,18", "TOTAL:,18,,", "Summe;;;5".replace(";", ",")])
def test_a_total_line_is_asked_about_only_as_a_total(tmp_path: Path, last: str) -> None:
    job, fault = one_question(tmp_path, HEADER + f"1,AL,TOTALLY,7\n{last}\n")
    assert (fault.line, fault.problem.id) == (3, "catalog.roster.total")
    assert [line.name for line in job.roster] == ["TOTALLY"]


def test_a_cell_beyond_the_last_column_is_asked_about_and_left_out(tmp_path: Path) -> None:
    job, fault = one_question(tmp_path, HEADER + "1,AL,A,7,surplus\n")
    assert (fault.line, fault.found) == (2, "surplus")
    assert fault.problem.id == "catalog.roster.more_cells"
    assert job.roster[0].name == "A"


def test_5000_lines_are_read(tmp_path: Path) -> None:
    job, _ = read_roster(tmp_path, HEADER + "".join(f"{n},AL,A,7\n" for n in range(5_000)))
    assert job is not None
    assert len(job.roster) == 5_000


def test_faults_and_questions_are_reported_at_once(tmp_path: Path) -> None:
    text = HEADER + "1,AL,A,7\n2,HUGE,,7\n2,AL,C,=8\n4,AL,D4,\n"
    job, faults = read_roster(tmp_path, text)
    assert job is None
    assert ids(faults) == [
        "size: roster.size",
        "name: roster.no_name",
        "number: roster.number_twice",
        "number: roster.formula",
        "line: roster.line_twice",
        "name: roster.letters",
        "number: roster.no_number",
    ]
    assert [fault.question for fault in faults] == [True, True, True, False, False, True, True]


def test_a_recipe_without_names_needs_no_name_column(tmp_path: Path) -> None:
    folder = job_with(tmp_path, "size,number\nAL,7\n", recipe="number-only")
    catalog = own_catalog()
    layered = catalog.recipes["two-sides"]
    recipes = {**catalog.recipes, "number-only": layered}
    assert layered.panels[1].elements[0].name == "number"
    only_number = type(layered)("number-only", "Number only", layered.panels[1:])
    recipes["number-only"] = only_number
    own = type(catalog)(
        catalog.materials,
        catalog.fabrics,
        catalog.presses,
        catalog.policy,
        catalog.station,
        recipes,
    )
    job, faults = read_job(folder, own)
    assert not faults
    assert job is not None
    assert job.roster == (RosterLine("1", "AL", "", "7"),)


def test_a_changed_line_has_a_different_digest() -> None:
    line = RosterLine("1", "AL", "MUÑERA", "7")
    others = [
        RosterLine("2", "AL", "MUÑERA", "7"), RosterLine("1", "AM", "MUÑERA", "7"),
        RosterLine("1", "AL", "MUNERA", "7"), RosterLine("1", "AL", "MUÑERA", "07"),
        RosterLine("1A", "L", "MUÑERA", "7"),
    ]  # fmt: skip
    assert line_digest(line) == line_digest(RosterLine("1", "AL", "MUÑERA", "7"))
    assert len({line_digest(each) for each in (line, *others)}) == 6
