"""A person who tries a setting at the real station before its lot."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ruled_shop import at_the_setting, shop
from station_driver import Person
from station_harness import Bench

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.events_shift import TrialJudged
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.work.trial import Trial

ASKED = ("trial: no", "trial: asked")
CLEAN = ("It peeled clean", "It holds", "It springs back whole", "No marks")
PIECE = "Try a piece of the same cloth"


def before_the_trial(bench: Bench, place: Path, by: type[Person] = Person) -> Person:
    """Return a person whose job waits for a trial, with the press set."""
    shop(place, ASKED)
    person = at_the_setting(bench, place, by)
    person.enter_setting()
    assert person.view.kind is ScreenKind.TRIAL
    return person


def press_piece(
    person: Person, most: int = 80, looked_at: Callable[[], None] = lambda: None
) -> None:
    """Press the piece of cloth to its end as its screen says; call `looked_at` at each step."""
    trial = person.station.desk.of(Trial)
    for _ in range(most):
        if person.station.desk.page is not PageKind.TRYING:
            return
        looked_at()
        assert trial.rehearsal is not None
        view = trial.rehearsal.view(person.now())
        if view.kind is ScreenKind.HEAT or view.bar.meaning is None:
            person.stage.now += 4.0  # only the clock moves: the machine does not seem to sleep
            person.stage.pass_time(0.2)
        elif view.chips and view.bar.meaning.verb.value.startswith("peel"):
            person.stage.now += 60.0  # on the rack nothing happens meanwhile
            person.stage.pass_time(0.5)
            person.press()
        else:
            person.stage.pass_time(1.0)
            person.press()
    raise AssertionError("the piece never ended")


def to_the_findings(person: Person, looks: tuple[str, ...] = CLEAN) -> None:
    """Press the piece and answer every look."""
    person.choose(PIECE)
    press_piece(person)
    person.choose(*looks)


def findings(person: Person) -> list[TrialJudged]:
    """Return the trials in the record."""
    return [event for event in person.events() if isinstance(event, TrialJudged)]
