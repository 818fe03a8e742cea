"""Faults as one line of text each; every id that the room emits has its sentence."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from catalog_folders import (
    LAYERED,
    ROOT,
    faults_with,
    is_one_line,
    job_with,
    own_catalog,
    recipes_with,
)

from kiosk.catalog.base.notes import Fault, say
from kiosk.catalog.read import JobNotFoundError, find_job, read_catalog, read_job
from kiosk.words import Words, fault_text
from kiosk.words.speak import catalogue

WORDS = Words("en")


def test_a_fault_states_place_problem_value_choices_and_nearest(tmp_path: Path) -> None:
    (fault,) = faults_with(tmp_path, "materials.yaml", ("low: medium", "low: meduim"))
    assert fault_text(fault, WORDS) == (
        f"{fault.file}:{fault.line}: digits.pressure.low: unknown word; found "
        '"meduim"; allowed: light, light-medium, medium, medium-firm, firm; did you mean "medium"?'
    )


def test_missing_parts_of_a_fault_are_left_out() -> None:
    fault = Fault("shop.yaml", 0, "", say("catalog.file.missing"))
    assert fault_text(fault, WORDS) == "shop.yaml: no such file"


def test_a_question_is_labelled_as_a_question(tmp_path: Path) -> None:
    folder = job_with(tmp_path, "line,size,name,number\n1,AL,A,7.0\n")
    (fault,) = read_job(folder, own_catalog())[1]
    assert ": number: question: the number has decimals" in fault_text(fault, WORDS)


@pytest.mark.parametrize("found", ["@SUM(A1)", "{x}", "a\nb\x1b[31m", "%s", "x" * 500])
def test_control_characters_in_quoted_text_are_shown_and_not_executed(found: str) -> None:
    text = fault_text(Fault("f", 1, "k", say("catalog.order", first="a", second="b"), found), WORDS)
    assert text.startswith("f:1: k: a may not be above b; found ")
    assert is_one_line(text)


def test_a_name_starting_with_an_at_sign_is_plain_text(tmp_path: Path) -> None:
    job_with(tmp_path, "").rename(tmp_path / "@catalog.order.x")
    with pytest.raises(JobNotFoundError) as refused:
        find_job("gone", tmp_path)
    assert "@catalog.order.x" in fault_text(refused.value.fault, WORDS)


def ids_in_code() -> set[str]:
    """Return every text in the room's code that is the id of a sentence."""
    found = set()
    for path in (ROOT / "kiosk" / "catalog").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                text = node.value
                if text.startswith("catalog.") and " " not in text:
                    found.add(text)
    return found


def test_every_message_id_has_a_sentence_and_every_sentence_is_used() -> None:
    ids = {name for name in catalogue("en").forms if name.startswith("catalog.")}
    assert ids_in_code() == {name for name in ids if not name.startswith("catalog.fault.")}


def test_every_fault_of_a_broken_folder_has_a_text(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED, ("panels:", "\t:"))
    for name in ("materials.yaml", "fabrics.yaml", "shop.yaml"):
        text = (folder / name).read_text("utf-8")
        (folder / name).write_text(text.replace(" F", " s").replace(": yes", ": [yes]"), "utf-8")
    faults = read_catalog(folder)[1]
    assert len(faults) > 50
    for fault in faults:
        assert fault_text(fault, WORDS).startswith(f"{fault.file}")
