"""What the heat room has to say to an event: the station's and the simulation's one way to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kiosk.run.state import Event, State, commands_shift, events_station
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.station.peel.estimate import anew, estimate, to_estimate
from kiosk.station.peel.lessons import lesson

CHANGING = (
    events_station.PlaceSaid,
    events_station.PeelLearned,
    events_station.LearningReset,
    e.TakenBack,
)

Solve = Callable[[], commands_shift.GiveEstimate | None]


def changes_estimates(done: Iterable[Event]) -> bool:
    """Return whether after these events the estimates of what still cools may be others."""
    return any(isinstance(x, CHANGING) or (isinstance(x, e.Closed) and x.racked) for x in done)


def lessons(before: State, events: Iterable[Event]) -> tuple[commands_shift.Learn, ...]:
    """Return what `events` taught a station that was `before` them."""
    found = (lesson(before, event) for event in events)
    return tuple(each for each in found if each is not None)


def adjusted(state: State) -> tuple[commands_shift.GiveEstimate, ...]:
    """Return the estimates that changed by a word or a lesson; looked up, nothing is solved."""
    return anew(state)


def follow(
    before: State,
    done: tuple[Event, ...],
    state: Callable[[], State],
    do: Callable[[c.Command], object],
) -> None:
    """Let what `done` teaches and asks for be done at once, solving included."""
    taught = lessons(before, done)
    for learn in taught:
        do(learn)
    if taught or changes_estimates(done):
        for changed in adjusted(state()):
            do(changed)
    work = to_solve(state())
    solved = None if work is None else work()
    if solved is not None:
        do(solved)


def to_solve(state: State) -> Solve | None:
    """Return the work that a garment asks for whose last closing ended; None for none."""
    return None if to_estimate(state) is None else lambda: estimate(state)
