"""What a made-up operator finds at inspection, and what a made-up supervisor says to it."""

from __future__ import annotations

from kiosk.run import commands as c
from kiosk.run.classes import DEFECTS, causes_of
from kiosk.run.meaning import bar_meaning
from kiosk.run.model import JobRun, Now, Stage, State, Ticket
from kiosk.run.totals import broken_totals
from kiosk.train.simulated_habits import Act, Chance, Habits

SUPERVISOR = "WX"  # made-up initials


def later(now: Now, seconds: float) -> Now:
    """Return the moment `seconds` after `now`."""
    return Now(now.boot, now.clock + seconds, now.wall + seconds)


def forward(state: State, now: Now, seconds: float) -> Act:
    """Press forward in `seconds`, as the bar will then read; where it reads nothing, wait."""
    then = later(now, seconds)
    meaning = bar_meaning(state, then).meaning
    return Act(seconds, c.Tick() if meaning is None else c.Forward(meaning, then.clock))


def result(
    chance: Chance, habits: Habits, state: State, ticket: Ticket, now: Now, seconds: float
) -> Act:
    """A garment is looked at: mostly good."""
    for share, stage in (
        (habits.scrap, Stage.SCRAP),
        (habits.rework, Stage.REWORK),
        (habits.accepted, Stage.ACCEPTED),
    ):
        if chance.happens(share):
            return Act(seconds, _not_good(chance, ticket.id, stage))
    if ticket.stage is Stage.COOLING and ticket.id != _next_of_rack(state, now, seconds):
        return Act(seconds, c.Inspect(ticket.id, Stage.GOOD))  # its chip is touched
    if ticket.stage is Stage.AT_PRESS and bar_meaning(state, later(now, seconds)).meaning is None:
        return Act(seconds, c.Inspect(ticket.id, Stage.GOOD))  # its hot peel was late: asked
    return forward(state, now, seconds)


def of_unknown(chance: Chance, state: State, ticket: Ticket, now: Now) -> Act:
    """A garment whose heat nobody saw the end of."""
    seconds = chance.between(5.0, 15.0)
    if bar_meaning(state, later(now, seconds)).meaning is not None:
        return forward(state, now, seconds)
    if chance.happens(0.3):
        return Act(seconds, _not_good(chance, ticket.id, Stage.SCRAP))
    return Act(seconds, c.Inspect(ticket.id, Stage.GOOD))


def of_supervisor(chance: Chance, job: JobRun) -> Act:
    """The supervisor comes to what waits aside: stopped, unknown, rework."""
    ticket = job.tickets[job.aside[0]]
    return Act(chance.between(20.0, 90.0), _word(chance, job, ticket))


def _word(chance: Chance, job: JobRun, ticket: Ticket) -> c.Command:
    if ticket.finals <= ticket.represses:
        return c.Rule(ticket.id, Stage.WAITING, SUPERVISOR, "was not pressed")
    again = ticket.stage is Stage.REWORK and chance.happens(0.5)
    if again and not broken_totals(job, ticket):
        return c.AllowRepress(ticket.id, SUPERVISOR, "edge lifted")
    stage = Stage.SCRAP if chance.happens(0.2) else Stage.ACCEPTED
    return c.Rule(ticket.id, stage, SUPERVISOR, "looked at")


def _not_good(chance: Chance, ticket: str, stage: Stage) -> c.Inspect:
    defect = chance.pick(DEFECTS).id
    return c.Inspect(ticket, stage, defect, chance.likeliest(causes_of(defect)))


def _next_of_rack(state: State, now: Now, seconds: float) -> str:
    meaning = bar_meaning(state, later(now, seconds)).meaning
    return "" if meaning is None else meaning.ticket
