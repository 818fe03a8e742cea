"""A file without a known encoding: one question per list, or none.

Code pages: Python's codecs.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, own_catalog, read_roster
from roster_trials import HEADER, one_question, refused, sound

from kiosk.catalog.read import read_job
from kiosk.catalog.roster.letters import readings

QUESTION = "catalog.roster.code_page"


def saved(code_page: str, *names: str) -> bytes:
    rows = (f"{n},AL,{name},{n}\n" for n, name in enumerate(names, 1))
    return (HEADER + "".join(rows)).encode(code_page)


@pytest.mark.parametrize(
    ("code_page", "name", "letters"),
    [
        ("cp1250", "DVOŘÁK", "Ř"), ("cp1250", "ŐRI", "Ő"), ("cp1250", "NĚMEC", "Ě"),
        ("cp1250", "KOŃSKI", "Ń"), ("cp1250", "ŠTĚPÁN", "Ě"), ("cp1250", "BRĂDEAN", "Ă"),
        ("cp1254", "ŞAHİN", "Ş İ"), ("cp1254", "Işık", "ş ı"), ("cp1257", "BĒRZIŅŠ", "Š Ņ Ē"),
        ("cp1251", "ИВАНОВ", "И В А Н О"), ("cp1253", "ΠΑΠΑΣ", "Π Α Σ"),
        ("mac_roman", "García", "í"), ("mac_roman", "GARCÍA", "Í"), ("mac_roman", "Raúl", "ú"),
        ("cp850", "GARCÍA", "Í"), ("cp850", "Juárez", "á"), ("cp850", "MUÑERA", "Ñ"),
    ],
)  # fmt: skip
def test_an_unclear_encoding_is_one_question_with_the_typed_letters_among_the_choices(
    tmp_path: Path, code_page: str, name: str, letters: str
) -> None:
    _, fault = one_question(tmp_path, saved(code_page, name))
    assert (fault.line, fault.problem.id) == (0, QUESTION)
    assert fault.doubt is not None
    signs = {*letters.split()}
    ways = [{*each.split()} for each in (fault.doubt.read_as, *fault.doubt.could_be)]
    assert any(signs <= way for way in ways)


@pytest.mark.parametrize(
    "names",
    [
        ("ĶĒNIŅA", "LIEPA"), ("Bērziņa", "Kļava"), ("LŪSE", "JĀNIS OZOLIŅA"), ("DANIĒLS", "KALĒJA"),
        ("Vītola-Grīva", "LŪSE"),
    ],
)  # fmt: skip
def test_a_latvian_list_without_s_caron_is_asked_about_too(
    tmp_path: Path, names: tuple[str, ...]
) -> None:
    """Latvian names from its calendar of name days and its names of trees (from memory)."""
    _, fault = one_question(tmp_path, saved("cp1257", *names))
    assert fault.problem.id == QUESTION
    assert fault.doubt is not None
    signs = {c for name in names for c in name if not c.isascii()}
    assert any(signs <= {*way.split()} for way in fault.doubt.could_be)


@pytest.mark.parametrize(
    "names",
    [
        ("GARCÍA",), ("MARÍA", "INÉS"), ("FRANÇOIS",), ("FRANÇA",), ("GONÇALVES",), ("BENOÎT",),
        ("LEMAÎTRE",), ("CHÂTEAU",), ("NICOLÒ",), ("LOÏC",), ("ÎLE",), ("GARÇON", "GÎTE"),
        ("GRÂCE", "PÂRIS"), ("CÂMARA",),
    ],
)  # fmt: skip
def test_a_western_list_is_never_read_as_latvian(tmp_path: Path, names: tuple[str, ...]) -> None:
    letters = readings(saved("cp1252", *names))
    assert not any({*each.letters} & set("ĀĒĪŪĶĻŅ") for each in letters)


def test_many_doubtful_names_still_make_one_question(tmp_path: Path) -> None:
    one_question(tmp_path, saved("cp1250", "DVOŘÁK", "ŘEZÁČ", "NĚMEC", "ŐRI", "HŮLKA"))


def test_the_list_is_read_with_the_chosen_letters(tmp_path: Path) -> None:
    data = saved("cp1250", "DVOŘÁK", "FÁN")
    _, fault = one_question(tmp_path, data)
    assert fault.doubt is not None
    (other,) = fault.doubt.could_be
    for answer, name in ((f'"{other}"', "DVOŘÁK"), ("keep", "DVOØÁK")):
        folder = job_with(tmp_path, data, answers="answers.yaml")
        (folder / "answers.yaml").write_text(f"{fault.id}: {answer}\n", "utf-8")
        job, faults = read_job(folder, own_catalog())
        assert {*ids(faults)} <= {"name: roster.other_face"}
        assert job is not None
        assert [line.name for line in job.roster] == [name, "FÁN"]


def test_an_unusual_code_page_is_asked_about_even_as_the_only_reading(tmp_path: Path) -> None:
    """The byte of É in MS-DOS has no letter in cp1252."""
    job, fault = one_question(tmp_path, saved("cp850", "ÉTOURNE", "KOVA"))
    assert fault.problem.id == QUESTION
    assert job.roster[0].name == "ÉTOURNE"


@pytest.mark.parametrize(
    "name",
    [
        "MUÑERA", "ÉTOURNE", "José", "GARCÍA", "LÓPEZ", "Núñez", "JOSÉ MARÍA", "Müller", "ŠIMEK",
        "François", "O’BRIEN", "O’Brien",
    ],
)  # fmt: skip
def test_letters_equal_in_every_likely_code_page_are_not_asked_about(
    tmp_path: Path, name: str
) -> None:
    """Ñ before a vowel: Polish has ni there instead of ń (a rule of its spelling)."""
    assert sound(tmp_path, saved("cp1252", name))[0].name == name


@pytest.mark.parametrize("heading", ["Talla;Nombre;Nº", "Size;Name;Number;Price £12"])
def test_a_non_ascii_sign_in_a_heading_is_not_asked_about(tmp_path: Path, heading: str) -> None:
    _, faults = read_roster(tmp_path, f"{heading}\nAL;KOVA;7\n".encode("cp1252"))
    assert QUESTION not in ids(faults)


def test_text_in_no_known_code_page_is_asked_about_name_by_name(tmp_path: Path) -> None:
    _, fault = one_question(tmp_path, saved("shift_jis", "田中", "KOVA"))
    assert (fault.line, fault.key, fault.problem.id) == (2, "name", "catalog.roster.letters")


def test_misread_utf_8_is_asked_about_with_the_right_text(tmp_path: Path) -> None:
    twice = "MUÑERA".encode().decode("cp1252")
    _, fault = one_question(tmp_path, saved("utf-8", twice, "KOVA"))
    assert fault.problem.id == "catalog.roster.garbled"
    assert fault.doubt is not None
    assert fault.doubt.could_be == ("MUÑERA",)


@pytest.mark.parametrize("data", [b"%PDF-1.4\n%\xe2\xe3\n1 0 obj\n", b"{\\rtf1 a}", b"<html>a"])
def test_a_web_page_or_document_named_csv_is_refused(tmp_path: Path, data: bytes) -> None:
    assert refused(tmp_path, data).problem.id == "catalog.roster.no_text"
