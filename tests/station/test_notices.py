"""A passing notice is about the last try; a right action removes it."""

from __future__ import annotations

from pathlib import Path

from mistakes import asked, said
from mistakes import at as begun
from station_harness import Bench

from kiosk.run.state.rules import QuestionKind

WRONG = "does not match the ticket. No heat until they agree"


def test_a_right_answer_removes_the_notice_of_a_wrong_one(bench: Bench, tmp_path: Path) -> None:
    person = asked(begun(bench, tmp_path), QuestionKind.SIZE)
    job = person.station.shell.state.job
    assert job is not None
    right = job.questions[0].right
    wrong = next(choice for choice in job.questions[0].choices if choice != right)
    person.touch(wrong)
    assert f"{wrong} {WRONG}" in said(person)
    person.touch(right)
    assert person.view.ask is None
    assert WRONG not in said(person)
    person.close()


def test_typing_the_pin_again_shows_the_field_again(bench: Bench, tmp_path: Path) -> None:
    person = begun(bench, tmp_path)
    person.side(right=True)
    person.choose("Supervisor", "1", "1", "1", "1", "Enter")
    assert "Wrong PIN" in said(person)
    person.choose("2")
    assert "Wrong PIN" not in said(person)
    assert "●" in said(person)
    person.close()
