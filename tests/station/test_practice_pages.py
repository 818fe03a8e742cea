"""A trainee at the real station: practice, quiz and sign-off by touches, and by one pedal alone."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest
from station_driver import PIN, Foot, Person, events_of, lay_out
from station_harness import Bench
from station_tree import walk

from kiosk.catalog.model.house import FAMILIES
from kiosk.plan.model import Phase
from kiosk.run.facts.hands import seconds_missing
from kiosk.run.facts.questions import ScreenKind, question_at_hand
from kiosk.run.show.parts import Ink
from kiosk.run.state.event import Event
from kiosk.run.state.events import JobStarted
from kiosk.run.state.events_station import (
    GarmentPractised,
    QuizAnswered,
    SignedOff,
    SignedOn,
    SignOffAsked,
    SlipShown,
)
from kiosk.station.demo.hands import READS
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.learn.quiz import Quizzes
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.side_files import practice_log
from kiosk.station.glass.apart import PracticeScreen
from kiosk.station.glass.devices import PRESS_CLOSED, PRESS_OPENED
from kiosk.station.glass.widgets.text import PracticeFrame
from kiosk.train.practice.rehearsal import RACK_SPEED
from kiosk.train.practice.session import Session

JOB, TITLE = "raft-polo", "Orsavel raft polo"
EASY = """two-layer: {clean_garments: 1, slips_caught: 1, quiz_right: 4, valid_days: 90,
    slip_kinds: 1, days: 1}
"""
OWN_PAGES = {
    PageKind.PRACTISE,
    PageKind.QUIZ,
    PageKind.PROGRESS,
    PageKind.PRACTICE,
    PageKind.PRACTICE_HOW,
}


@dataclass
class Trainee:
    """A person in practice. `framed` holds, for each picture looked at, whether it was marked."""

    person: Person
    framed: list[bool] = field(default_factory=list)

    @property
    def session(self) -> Session:
        session = self.person.station.desk.of(Practice).session
        assert session is not None
        return session

    @property
    def page(self) -> PageKind:
        return self.person.station.desk.page

    def look(self) -> None:
        """Note whether the screen is marked as practice, with the word."""
        frames = [each for each in walk(self.person.station) if isinstance(each, PracticeFrame)]
        self.framed.append(bool(frames) and "PRACTICE" in self.person.texts())

    def choose(self, *labels: str) -> None:
        for label in labels:
            self.person.choose(label)
            if self.page in OWN_PAGES:
                self.look()

    def garment(self) -> None:
        """Do what practice asks, without a mistake, until the garment ends."""
        while self.page is PageKind.PRACTISE:
            self.look()
            self.one_move()

    def one_move(self) -> None:
        asked = self.session.page
        if asked is not None:
            self.person.choose(self.person.station.words.say(asked.choices[asked.right]))
        elif self.session.spot is not None:
            self.at_bench()
        else:
            self.move_on()

    def until_a_slip(self) -> None:
        """Practise garments until a slip has been placed and found."""
        for _ in range(12):
            self.garment()
            if of_practice(self, SlipShown):
                return
            self.choose("Once more")
        raise AssertionError("no slip in twelve garments")

    def at_bench(self) -> None:
        """Touch what is wrong; otherwise go on once the hands and the peel are done."""
        spot = self.session.spot
        assert spot is not None
        wrong = self.session.run.slips_at(spot)
        if wrong:
            page = self.person.station.sheet
            assert page is not None
            assert page.bench is not None
            where = next(each for each in page.bench.targets if wrong[0].found_by(each.thing))
            if isinstance(self.person, Foot):
                self.person.choose(where.thing)
            else:
                self.person.stage.pass_time(READS)
                self.person.stage.tap(*where.box.centre)
            self.person.choose("Wrong: ")
            return
        until = self.session.press.waits_until(self.session.now)
        waits = 0.0 if until is None else (until - self.session.now.clock) / RACK_SPEED + 0.2
        self.person.stage.pass_time(max(waits, self.reading))
        if self.session.spot == spot:
            assert "or touch what is wrong" in self.person.texts()  # nothing else tells the trainee
            self.person.choose("Nothing wrong here")

    @property
    def reading(self) -> float:
        """The least seconds that a move takes."""
        return max(READS, seconds_missing(self.session.press.state, self.session.now) + 0.1)

    def move_on(self) -> None:
        view, job = self.session.view(), self.session.press.state.job
        assert job is not None
        question = question_at_hand(job)
        if view.kind is ScreenKind.ASK and question is not None:
            self.read_off(question.right)
        elif view.kind is ScreenKind.HEAT or view.bar.meaning is None or self.session.level == 0:
            self.person.stage.pass_time(0.5)
        else:
            self.person.stage.pass_time(self.reading)
            if self.session.page is None:  # a page may have come up meanwhile
                self.person.press()

    def read_off(self, value: str) -> None:
        self.person.choose(value)

    def quiz(self) -> None:
        """Answer every question correctly."""
        made = self.person.station.desk.of(Quizzes).quiz
        assert made is not None
        while made.question is not None:
            self.choose(self.person.station.words.say(made.question.right.text), "Next question")


def on_day_one(bench: Bench, place: Path, by: type[Person], inches: float = 10.1) -> Trainee:
    """Return a new person at a fresh station, about to practise; the shop asks for little."""
    lay_out(place, JOB)
    (place / "recipes" / "sign-off.yaml").write_text(EASY, "utf-8")
    person = by(bench, place, inches)
    person.choose(*PIN, "Go on with this PIN", *PIN, "Keep this PIN")
    trainee = Trainee(person)
    trainee.choose("Practice", "New here", "T", "R", "This is me")
    return trainee


def of_practice(trainee: Trainee, kind: type[Event]) -> list[Event]:
    log = practice_log(trainee.person.log)
    return [event for event in events_of(log) if isinstance(event, kind)]


def test_a_new_trainee_gets_from_practice_to_sign_off_by_touches(
    bench: Bench, tmp_path: Path
) -> None:
    trainee = on_day_one(bench, tmp_path, Person)
    work = trainee.person.events()
    trainee.choose(TITLE, "With help")
    assert "Up to 6 °F off is fine." in trainee.person.texts()  # as at work: the press's tolerance
    trainee.garment()
    trainee.choose("to the choice", "On my own")
    trainee.until_a_slip()
    assert (
        "to do: right answers of the last ten on this procedure, 0 of 4" in trainee.person.texts()
    )
    trainee.choose("to the choice", "Quiz")
    trainee.quiz()
    trainee.choose("to the choice", "back", "My progress", "two-layer", "Ask for the sign-off")
    (asked,) = of_practice(trainee, SignOffAsked)
    assert isinstance(asked, SignOffAsked)
    assert (asked.operator, asked.family) == ("TR", "two-layer")
    assert all(trainee.framed)
    assert trainee.person.events() == work  # nothing of it is in the record of work

    trainee.choose("back", "back", "leave", "Supervisor", *PIN, "Enter", "Sign-offs")
    assert "asks for sign-off: two-layer stack" in trainee.person.texts()
    trainee.choose("TR", "two-layer")
    assert "shown in practice" in trainee.person.texts()
    trainee.choose("Give the sign-off, 90 days")
    signed = next(e for e in trainee.person.events() if isinstance(e, SignedOff))
    assert (signed.operator, signed.family, signed.met) == ("TR", "two-layer", True)
    trainee.choose("two-layer", "Take it back")
    assert trainee.person.station.shell.state.sign_offs == ()


def test_practice_and_quiz_work_with_the_pedal_alone(bench: Bench, tmp_path: Path) -> None:
    trainee = on_day_one(bench, tmp_path, Foot)
    touches = bench._touches
    trainee.choose(TITLE, "On my own")
    trainee.until_a_slip()
    for made in of_practice(trainee, GarmentPractised):
        assert isinstance(made, GarmentPractised)
        assert (made.own, made.clean) == (True, True)
    trainee.choose("to the choice", "Quiz")
    trainee.quiz()
    assert len(of_practice(trainee, QuizAnswered)) == 10
    assert bench._touches == touches
    assert all(trainee.framed)


def test_practice_results_survive_a_restart(bench: Bench, tmp_path: Path) -> None:
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "Quiz")
    made = trainee.person.station.desk.of(Quizzes).quiz
    assert made is not None
    assert made.question is not None
    trainee.choose(trainee.person.station.words.say(made.question.right.text))
    trainee.choose("Next question")
    wrong = next(o for o in made.question.options if not o.right)
    trainee.choose(trainee.person.station.words.say(wrong.text))
    trainee.person.restart("another boot")
    trainee.choose("Practice", "TR", TITLE, "Quiz")
    assert "The quiz again in 10 minutes." in trainee.person.texts()
    bench.pass_time(601.0)
    trainee.choose("Quiz")
    assert trainee.page is PageKind.QUIZ
    trainee.choose("to the choice", "back", "My progress", "two-layer")
    assert (
        "to do: right answers of the last ten on this procedure, 1 of 4" in trainee.person.texts()
    )


def test_a_quiz_left_early_continues_where_it_was(bench: Bench, tmp_path: Path) -> None:
    """Otherwise unknown questions could be skipped, and ten known answers cover the family."""
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "Quiz")
    made = trainee.person.station.desk.of(Quizzes).quiz
    assert made is not None
    assert made.question is not None
    trainee.choose(trainee.person.station.words.say(made.question.right.text), "Next question")
    unknown = trainee.person.texts()
    trainee.choose("to the choice", "back", "leave", "Practice", "TR", TITLE, "Quiz")
    assert trainee.person.texts() == unknown
    trainee.choose("to the choice", "back", "leave", "Practice", "New here", "Z", "D", "This is me")
    trainee.choose(TITLE, "Quiz")
    assert "Question 1 of 10" in trainee.person.texts()  # another person has a quiz of their own


def test_a_family_without_a_job_is_practised_on_the_shops_own_recipe(
    bench: Bench, tmp_path: Path
) -> None:
    """The shop has one job, of two layers; the menu has every family, each with a quiz."""
    trainee = on_day_one(bench, tmp_path, Person)
    sheet = trainee.person.station.sheet
    assert sheet is not None
    lines = {button.label: button.line for button in sheet.sheet.choices}
    for family in FAMILIES:
        word = trainee.person.station.words(f"practice.family.{family}")
        assert [label for label, line in lines.items() if word in line], family
    title = next(t for t, line in lines.items() if "three layers" in line)
    trainee.choose(title, "On my own")
    assert max(p.layers for p in trainee.session.wish.plan.pieces) == 3
    trainee.garment()
    (made,) = of_practice(trainee, GarmentPractised)
    assert isinstance(made, GarmentPractised)
    assert "three-layer" in made.families
    trainee.choose("to the choice", "Quiz")
    assert trainee.page is PageKind.QUIZ
    quiz = trainee.person.station.desk.of(Quizzes).quiz
    assert quiz is not None
    assert len(quiz.questions) == 10


def test_a_practice_garment_left_early_leaves_no_trace(bench: Bench, tmp_path: Path) -> None:
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "On my own")
    trainee.choose("Stop practising")
    trainee.choose("leave")
    assert trainee.page is PageKind.SIGN_ON
    kinds = {type(event) for event in trainee.person.events()}
    assert not kinds & {SignedOn, JobStarted}
    assert not of_practice(trainee, GarmentPractised)


def test_a_garment_left_after_accusations_counts(bench: Bench, tmp_path: Path) -> None:
    """Otherwise everything could be touched, and the same garment begun again."""
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "On my own")
    bench.pass_time(1.0)
    lies = trainee.session.bench()
    assert lies is not None
    practice = trainee.person.station.desk.of(Practice)
    for thing in lies.things():
        practice.mark(thing)
        practice.accuse()
    bench.pass_time(1.0)
    trainee.choose("Stop practising")
    (made,) = of_practice(trainee, GarmentPractised)
    assert isinstance(made, GarmentPractised)
    assert not made.clean
    assert "Another garment comes next" in trainee.person.texts()


def test_a_restart_mid_garment_gives_no_second_look_at_its_bench(
    bench: Bench, tmp_path: Path
) -> None:
    """Otherwise the tablet could be turned off to find the same slips again."""
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "On my own")
    while not trainee.session.run.slips:
        trainee.garment()
        trainee.choose("Once more")
    before = len(of_practice(trainee, GarmentPractised))
    while not trainee.session.run.found:
        trainee.one_move()
    number = trainee.session.wish.garment.number
    trainee.person.restart("another boot")
    trainee.choose("Practice", "TR", TITLE, "On my own")
    *_, left = of_practice(trainee, GarmentPractised)
    assert isinstance(left, GarmentPractised)
    assert len(of_practice(trainee, GarmentPractised)) == before + 1
    assert not left.clean
    assert trainee.session.wish.garment.number != number
    assert "The garment before was left half done" in trainee.person.texts()
    trainee.garment()
    trainee.choose("Once more")
    assert len(of_practice(trainee, GarmentPractised)) == before + 2  # once


def test_a_press_closing_during_practice_takes_over_the_screen(
    bench: Bench, tmp_path: Path
) -> None:
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "With help")
    station = trainee.person.station
    assert isinstance(station.live, PracticeScreen)
    bench.key(PRESS_CLOSED)
    bench.pass_time(1.0)
    assert station.live is station.screen
    assert "unasked" in trainee.person.texts()
    bench.key(PRESS_CLOSED, down=False)
    bench.key(PRESS_OPENED)
    bench.pass_time(1.0)
    assert isinstance(station.live, PracticeScreen)
    trainee.look()
    assert all(trainee.framed)


@pytest.mark.parametrize("still", [False, True])
def test_layers_appear_one_by_one_unless_motion_is_off(
    bench: Bench, tmp_path: Path, still: bool
) -> None:
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE)
    station = trainee.person.station
    station.desk.of(Practice).still = still
    station.desk.of(Practice).start(station.words, alone=False)
    seen: list[int] = []
    for _ in range(400):
        trainee.session.tick(trainee.person.now())
        view = trainee.session.view()
        if view.phase is Phase.LAY and view.kind is ScreenKind.HANDS:
            seen.append(sum(piece.ink is Ink.NEXT for piece in view.pieces))
        elif seen:
            break
        bench.now += 0.25
    assert seen == sorted(seen)
    assert set(seen) == ({2} if still else {0, 1, 2})


def test_the_level_of_help_is_not_cut_off_on_the_smallest_screen(
    bench: Bench, tmp_path: Path
) -> None:
    """On 7 inches, beside the setting: a word cut off names no level (docs/practice.md)."""
    bench.resize(1024, 600)
    trainee = on_day_one(bench, tmp_path, Person, inches=7.0)
    trainee.choose(TITLE, "With help")
    told = trainee.person.texts().split("\n")
    assert [line for line in told if line.startswith("watch · ")]
    assert "garment 1 of 1" not in told  # there is only the one


def test_a_portrait_header_shows_the_whole_setting_in_practice(
    bench: Bench, tmp_path: Path
) -> None:
    """The seconds come last in it and must not be cut off; the press itself is known here."""
    bench.resize(600, 1024)
    trainee = on_day_one(bench, tmp_path, Person, inches=7.0)
    trainee.choose(TITLE, "With help")
    told = trainee.person.texts().split("\n")
    assert "312 °F light-medium to medium-firm 12 s" in told
    bench.resize(800, 1280)


def test_a_garment_only_watched_is_not_praised(bench: Bench, tmp_path: Path) -> None:
    """Nothing was done, so nothing was done right; the page says how to continue instead."""
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "With help")
    trainee.garment()
    told = trainee.person.texts()
    assert "Watched to the end. Now do it, with help." in told
    assert "No slip made" not in told
    trainee.choose("Once more")
    trainee.garment()
    assert "No slip made, none missed." in trainee.person.texts()
