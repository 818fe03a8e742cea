"""The number read from the garment in hand: typed by finger, chosen by pedal."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import LONG_SECONDS, PIN, Foot, Person, lay_out
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events import ReadBack
from kiosk.run.state.rules import QuestionKind
from kiosk.station.demo.hands import READS

JOB, TITLE = "raft-polo", "Orsavel raft polo"


def at_the_number(bench: Bench, place: Path, roster: str, by: type[Person] = Person) -> Person:
    """Return a person who is asked for the number of the first garment."""
    lay_out(place, JOB)
    (place / "jobs" / JOB / "roster.csv").write_text(f"line,size,name,number\n{roster}", "utf-8")
    person = by(bench, place)
    person.first_start()
    person.sign_off()
    person.begin(TITLE)
    if person.view.kind is ScreenKind.HANDS or not person.view.ask:
        person.choose(*PIN, "Enter")
    while person.view.ask is None or not person.view.ask.pad:
        person.move_on()
    return person


def reads(person: Person) -> list[tuple[str, bool]]:
    return [(e.read, e.right) for e in person.events() if isinstance(e, ReadBack)]


TWINS = "1,AS,QUILLON,6\n2,AS,MUNERA,23\n3,AS,FENN,9\n"


def test_a_finger_types_the_number_on_a_pad(bench: Bench, tmp_path: Path) -> None:
    person = at_the_number(bench, tmp_path, TWINS)
    labels = {button.label for button in person.buttons()}
    assert labels >= {*"0123456789", "erase", "enter"}
    person.touch("6", "enter")
    assert reads(person)[-1] == ("6", True)
    assert person.view.kind is ScreenKind.HANDS
    person.close()


def test_a_wrong_number_is_recorded_and_the_pad_is_empty_again(
    bench: Bench, tmp_path: Path
) -> None:
    person = at_the_number(bench, tmp_path, TWINS)
    person.touch("9", "enter")
    assert reads(person)[-1] == ("9", False)
    assert person.view.kind is ScreenKind.ASK
    assert "read it again" in person.texts()
    person.touch("6", "enter")
    assert reads(person)[-1] == ("6", True)
    person.close()


@pytest.mark.parametrize(("number", "other"), [("00", "0"), ("07", "7"), ("0", "00")])
def test_leading_zeros_are_typed_as_printed(
    number: str, other: str, bench: Bench, tmp_path: Path
) -> None:
    """A pause brings up the question even for a number without a twin."""
    person = at_the_pause(bench, tmp_path, number)
    person.touch(*other, "enter")
    assert reads(person)[-1] == (other, False)
    person.touch(*number, "enter")
    assert reads(person)[-1] == (number, True)
    person.close()


def at_the_pause(bench: Bench, place: Path, number: str) -> Person:
    lay_out(place, JOB)
    rows = "line,size,name,number\n1,AS,QUILLON," + number + "\n"
    (place / "jobs" / JOB / "roster.csv").write_text(rows, "utf-8")
    person = Person(bench, place)
    person.first_start()
    if number == "0":  # in a CSV it may have been 00: a supervisor has to confirm
        person.choose(TITLE, "Start with the supervisor's PIN", *PIN, "Enter")
    else:
        person.begin(TITLE)
    person.answer()
    person.slept += 700.0
    person.stage.pass_time(1.5)
    assert person.view.ask is not None
    assert person.view.ask.pad
    return person


def test_the_pedal_turns_the_pad_into_choices_and_steps_through_them(
    bench: Bench, tmp_path: Path
) -> None:
    foot = at_the_number(bench, tmp_path, TWINS, Foot)
    assert isinstance(foot, Foot)
    bench.pass_time(READS)
    foot.press_pedal()
    choices = {button.label for button in foot.buttons()}
    assert foot.view.ask is not None
    assert choices == set(foot.view.ask.choices)
    assert {"6", "9"} <= choices
    assert len(choices) == 6
    assert foot._marked() is None  # nothing is chosen beforehand
    bench.pass_time(READS)
    while foot._marked() != "6":
        foot.press_pedal()
    foot.press_pedal(LONG_SECONDS)
    assert reads(foot)[-1] == ("6", True)
    foot.close()


def test_the_next_number_is_asked_on_the_pad_again(bench: Bench, tmp_path: Path) -> None:
    foot = at_the_number(bench, tmp_path, TWINS, Foot)
    foot.move_on()
    while foot.view.ask is None or not foot.view.ask.pad:
        foot.move_on()
    assert {button.label for button in foot.buttons()} >= {*"0123456789"}
    question = foot.station.shell.state.job
    assert question is not None
    assert question.questions[0].ask is QuestionKind.NUMBER
    foot.close()
