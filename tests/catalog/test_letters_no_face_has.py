"""Names with letters that the face lacks are asked about; another face supplies the widths."""

from __future__ import annotations

from pathlib import Path

from catalog_folders import ids, read_roster
from roster_trials import HEADER, one_question, sound
from workbooks_made import doubt

from kiosk.words import Words, fault_text


def test_a_letter_of_unknown_width_is_asked_about_in_its_row(tmp_path: Path) -> None:
    job, fault = one_question(tmp_path, HEADER + "1,AL,FENN,1\n2,AL,山田,2\n")
    found = doubt(fault)
    assert (found.row, found.column, found.written, found.read_as) == (3, "name", "山田", "山田")
    assert found.cause.id == "catalog.roster.no_glyph"
    assert found.cause.values["letters"] == ("山", "田")
    assert "the face lacks 山, 田: width not known" in fault_text(fault, Words("en"))
    assert job.roster[1].name == "山田"


def test_an_accent_on_a_letter_the_face_lacks_is_asked_about(tmp_path: Path) -> None:
    fault = one_question(tmp_path, HEADER + "1,AL,X\u030cAN,1\n")[1]
    assert fault.problem.values["letters"] == ("X\u030c",)


def test_letters_from_another_face_are_one_question_per_order(tmp_path: Path) -> None:
    text = HEADER + "1,AL,ŁUCZAK,1\n2,AL,ČERNÝ,2\n3,AL,ŁĘCKI,3\n4,AL,FENN,4\n"
    fault = one_question(tmp_path, text)[1]
    assert (fault.line, fault.problem.id) == (0, "catalog.roster.other_face")
    assert fault.problem.values["letters"] == ("Ł", "Č", "Ę")
    sentence = fault_text(fault, Words("en"))
    assert (
        "B612 Bold lacks Ł, Č, Ę: their widths are taken from DejaVu Sans Condensed Bold"
        in sentence
    )


def test_a_cyrillic_name_is_measured_and_asked_about_once(tmp_path: Path) -> None:
    _, faults = read_roster(tmp_path, HEADER + "1,AL,ИВАНОВ,1\n2,AL,ПЕТРОВ,2\n")
    assert ids(faults) == ["name: roster.other_face"]


def test_letters_in_the_face_are_not_asked_about(tmp_path: Path) -> None:
    assert sound(tmp_path, HEADER + "1,AL,MUÑERA,1\n2,AL,ΝΙΚΟΣ,2\n3,AL,ŠØRENß,3\n")
