"""How often a made-up operator slips, and the random choices behind it."""

from collections.abc import Sequence
from random import Random
from typing import NamedTuple, TypeVar

from kiosk.catalog.base import dataclass
from kiosk.run.decide import bar_meaning
from kiosk.run.facts import PULLS, READINGS, lot_hold, required_setting, why_not_again
from kiosk.run.state import (
    DEFECTS,
    Command,
    JobRun,
    Now,
    Overruled,
    State,
    Ticket,
    TicketStage,
    TouchFeel,
    causes_of,
    elapsed,
)
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as cs

T = TypeVar("T")


class TimedCommand(NamedTuple):
    """A command, and the seconds until it is given."""

    seconds: float
    command: Command


@dataclass(frozen=True, slots=True)
class Habits:
    """Made-up probability of each slip; the pace is from `quickest` to `slowest`, 0 to 1."""

    wrong_read: float = 0.04
    too_quick: float = 0.03
    stray_tap: float = 0.05
    hold: float = 0.01
    put_aside: float = 0.01
    skip: float = 0.03
    take_back: float = 0.01
    not_closed: float = 0.01
    opened_early: float = 0.005
    stall: float = 0.003
    early_peel: float = 0.02
    accepted: float = 0.02
    rework: float = 0.03
    scrap: float = 0.015
    clock_set: float = 0.0005
    touch: float = 0.1
    quickest: float = 0.0
    slowest: float = 1.0


STEADY = Habits(*[0.0] * 16)
"""An operator who never slips."""


class Chance:
    """All randomness of a simulation: the same seed makes the same shift."""

    def __init__(self, seed: str) -> None:
        self._random = Random(seed)

    def happens(self, share: float) -> bool:
        """Return True in `share` of all cases, at random."""
        return self._random.random() < share

    def between(self, least: float, most: float) -> float:
        """Return a number from `least` to `most`."""
        return self._random.uniform(least, most)

    def pick(self, things: Sequence[T]) -> T:
        """Return one of `things` at random."""
        return self._random.choice(things)

    def likeliest(self, things: Sequence[T]) -> T:
        """Return one of `things` at random, mostly one near the front."""
        return things[min(int(self._random.expovariate(1.0)), len(things) - 1)]


SLOWER_COOLING = 1.12  # how much slower this made-up shop's garments cool than in the model


def touch_garment(chance: Chance, habits: Habits, ticket: Ticket, now: Now) -> TimedCommand | None:
    """Return a touch of a cooling garment, as it would feel in this shop; None for no touch."""
    estimate = ticket.estimate
    ready = None if estimate is None else estimate.ready(ticket.lies)
    if ready is None or ticket.opened is None or not chance.happens(habits.touch):
        return None
    seconds = chance.between(1.0, 4.0)
    waited = elapsed(ticket.opened, now)[0] + seconds
    cool = waited >= ready * SLOWER_COOLING
    return TimedCommand(
        seconds, cs.ReportTouch(ticket.id, TouchFeel.READY if cool else TouchFeel.NOT_READY)
    )


SUPERVISOR = "WX"  # made-up initials


def forward(state: State, now: Now, seconds: float) -> TimedCommand:
    """Press forward in `seconds`, with what the bar will mean then; if it means nothing, wait."""
    then = now.later(seconds)
    meaning = bar_meaning(state, then).meaning
    return TimedCommand(seconds, c.Tick() if meaning is None else c.Forward(meaning, then.clock))


def result(
    chance: Chance, habits: Habits, state: State, ticket: Ticket, now: Now, seconds: float
) -> TimedCommand:
    """Inspect a garment; it is mostly good."""
    for share, stage in (
        (habits.scrap, TicketStage.SCRAP),
        (habits.rework, TicketStage.REWORK),
        (habits.accepted, TicketStage.ACCEPTED),
    ):
        if chance.happens(share):
            return TimedCommand(seconds, _not_good(chance, ticket.id, stage))
    meaning = bar_meaning(state, now.later(seconds)).meaning
    if ticket.stage is TicketStage.COOLING and (meaning is None or ticket.id != meaning.ticket):
        return TimedCommand(seconds, c.Inspect(ticket.id, TicketStage.GOOD))  # by tapping its chip
    if ticket.stage is TicketStage.AT_PRESS and meaning is None:
        return TimedCommand(
            seconds, c.Inspect(ticket.id, TicketStage.GOOD)
        )  # asked for after a late hot peel
    return forward(state, now, seconds)


def inspect_unknown(chance: Chance, state: State, ticket: Ticket, now: Now) -> TimedCommand:
    """Inspect a garment whose closing was not seen to end."""
    seconds = chance.between(5.0, 15.0)
    if bar_meaning(state, now.later(seconds)).meaning is not None:
        return forward(state, now, seconds)
    if chance.happens(0.3):
        return TimedCommand(seconds, _not_good(chance, ticket.id, TicketStage.SCRAP))
    return TimedCommand(seconds, c.Inspect(ticket.id, TicketStage.GOOD))


def ask_supervisor(chance: Chance, job: JobRun) -> TimedCommand:
    """Let the supervisor rule on the first ticket put aside: stopped, unknown or rework."""
    ticket = job.tickets[job.aside[0]]
    return TimedCommand(chance.between(20.0, 90.0), _decision(chance, job, ticket))


def _decision(chance: Chance, job: JobRun, ticket: Ticket) -> c.Command:
    if not ticket.used_up:
        return c.RuleOnTicket(ticket.id, TicketStage.WAITING, SUPERVISOR, "other")
    repress = ticket.stage is TicketStage.REWORK and chance.happens(0.5)
    if repress and why_not_again(job, ticket) is None:
        return c.AllowRepress(ticket.id, SUPERVISOR, "relaid")
    stage = TicketStage.SCRAP if chance.happens(0.2) else TicketStage.ACCEPTED
    return c.RuleOnTicket(ticket.id, stage, SUPERVISOR, "looked_over")


def _not_good(chance: Chance, ticket: str, stage: TicketStage) -> c.Inspect:
    defect = chance.pick(DEFECTS).id
    return c.Inspect(ticket, stage, defect, chance.likeliest(causes_of(defect)))


SHARE_SLIPS = 0.03  # of the paper strips in a pressure check
SHARE_FAULTY = 0.05  # of the first garments
SPREADS = 3.0  # degrees a reading may be off


def check_press(chance: Chance, job: JobRun) -> TimedCommand:
    """Return a press check: readings near the setting, and now and then a strip that slips."""
    setting = required_setting(job) or 0
    readings = tuple(setting + round(chance.between(-SPREADS, SPREADS)) for _ in range(READINGS))
    strips_held = tuple(not chance.happens(SHARE_SLIPS) for _ in range(PULLS))
    return TimedCommand(chance.between(60.0, 180.0), cs.VerifyPress(readings, strips_held))


def judge_lot(chance: Chance, job: JobRun) -> TimedCommand:
    """Return the supervisor's decision on a held lot: approve, rule, or a reason to go on."""
    hold = lot_hold(job)
    if hold is None or hold.first is None:
        return TimedCommand(60.0, cs.LetPass(Overruled.SCRAP_LIMIT, "supervisor", "cause_removed"))
    ticket = job.tickets[hold.first.ticket]
    if ticket.stage not in (TicketStage.GOOD, TicketStage.ACCEPTED):
        return ask_supervisor(chance, job)
    faults = ("lifted_edge",) if chance.happens(SHARE_FAULTY) else ()
    across, along = (round(chance.between(-0.1, 0.1), 2) for _ in range(2))
    judgement = cs.JudgeFirst(ticket.id, not faults, "", True, across, along, faults)
    return TimedCommand(chance.between(60.0, 240.0), judgement)
