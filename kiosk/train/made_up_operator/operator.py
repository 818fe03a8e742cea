"""A made-up operator presses a job in simulated time, with real state machine and log."""

from collections.abc import Callable
from dataclasses import replace
from itertools import count

from kiosk.catalog.base import dataclass
from kiosk.log.record import Outcome, Recorder
from kiosk.log.store import LogFault
from kiosk.plan.model import Plan
from kiosk.run.facts import ScreenKind, kind_of, same_garment
from kiosk.run.state import NO_RULES, Event, Garment, Now, Rules, State, TicketStage
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as sh
from kiosk.train.made_up_operator.habits import Chance, Habits, TimedCommand
from kiosk.train.made_up_operator.hands import SimulatedHands

MADE_UP_MORNING = 1_770_019_200.0  # 2026-02-02 08:00 UTC, a Monday
SHIFT_SECONDS = 8 * 3600.0
WORK_SECONDS = 2.25 * 3600.0  # without a pause
PAUSE_SECONDS = (900.0, 1800.0)
TICKED_SECONDS = 0.8  # the last tick before a command
PATIENCE = 100  # turns without an event before giving up
VERSION = "simulation"
_MADE = frozenset({TicketStage.GOOD, TicketStage.ACCEPTED})
_HOT = frozenset(
    {
        ScreenKind.HEAT,
        ScreenKind.ASK_CLOSED,
        ScreenKind.OVER,
        ScreenKind.UNASKED,
        ScreenKind.OPEN_FIRST,
    }
)
_COOL = frozenset(
    {
        ScreenKind.HANDS,
        ScreenKind.ASK,
        ScreenKind.SETTING,
        ScreenKind.VERIFY,
        ScreenKind.TRIAL,
        ScreenKind.LOT,
        ScreenKind.DONE,
    }
)


Follow = Callable[
    [State, tuple[Event, ...], Callable[[], State], Callable[[c.Command], object]], None
]
"""Called with the state before, the events, the current state, and a way to do more."""


def do_nothing_more(
    before: State,
    events: tuple[Event, ...],
    state: Callable[[], State],
    do: Callable[[c.Command], object],
) -> None:
    """Do nothing more."""


@dataclass(frozen=True, slots=True)
class SimulatedOrder:
    """What to press, and the shop's rules for it. Garments carry no names."""

    job: str
    plan: Plan
    plan_hash: str
    garments: tuple[Garment, ...]
    rules: Rules = NO_RULES
    due: str = ""
    lots: tuple[tuple[str, str], ...] = ()


class Stuck(Exception):
    """The made-up operator cannot go on: a fault of the simulation or the state machine."""


def simulate(
    recorder: Recorder,
    order: SimulatedOrder,
    seed: int = 1,
    garments: int | None = None,
    acks: Callable[[int], None] = lambda seq: None,
    start: float = MADE_UP_MORNING,
    habits: Habits = Habits(),  # noqa: B008 - a frozen value
    follow: Follow = do_nothing_more,
) -> int:
    """Press until `garments` more are made (None: to the job's end); return how many were.

    Continues where the log left off, later on its wall clock; a new log begins at `start`,
    seconds since 1970. A finished job is started again under a new name: `<job>-run-2`, and so
    on. `acks` gets each event's number once it is on disk. `follow` does what a station does by
    itself after each command: estimates, lessons. Raises LogFault if an event cannot be written.
    """
    return Simulation(recorder, order, seed, acks, start, habits, follow).run(garments)


def run_name(state: State, job: str) -> str:
    """Return the name under which to press `job` now: its first run that is not done."""
    names = (job if nth == 1 else f"{job}-run-{nth}" for nth in count(1))
    return next(name for name in names if not _is_done(state, name))


def _is_done(state: State, name: str) -> bool:
    job = state.jobs.get(name)
    return name in state.finished or (job is not None and job.done)


class Simulation:
    """One operator at one station; each turn is the next act and its outcome."""

    def __init__(
        self,
        recorder: Recorder,
        order: SimulatedOrder,
        seed: int,
        acks: Callable[[int], None],
        start: float,
        habits: Habits,
        follow: Follow,
    ) -> None:
        self._recorder = recorder
        self._order = order
        self._acks = acks
        self._habits = habits
        self._follow = follow
        self._chance = Chance(f"{seed}/{recorder.last}")
        self._hands = SimulatedHands(self._chance, habits)
        self._now = self._beginning(start)
        self._shift_ends = self._now.wall + SHIFT_SECONDS
        self._pause_at = self._now.wall + WORK_SECONDS
        self._made: set[tuple[str, str, int]] = set()
        self._name = run_name(self._state, order.job)
        self._idle = 0

    def run(self, garments: int | None) -> int:
        """Press until enough garments are made, then hand over; return how many were made."""
        self._do(TimedCommand(0.0, c.Start(VERSION, simulated=True)))
        while garments is None or len(self._made) < garments or self._kind in _HOT:
            if _is_done(self._state, self._name):
                if garments is None:
                    break
                self._name = run_name(self._state, self._order.job)
            self.turn()
        self._hand_over()
        return len(self._made)

    @property
    def _state(self) -> State:
        return self._recorder.state

    @property
    def _kind(self) -> ScreenKind:
        return kind_of(self._state, self._now)

    def _beginning(self, start: float) -> Now:
        """Return a moment some time after the log's last event, sometimes after a reboot."""
        last, boot = self._state.last, f"simulated-{self._recorder.last}"
        if last is None:
            return Now(boot, 30.0, start)
        pause = self._chance.between(5.0, 120.0)
        if self._chance.happens(0.3):
            return Now(boot, 30.0, last.wall + pause)
        return last.later(pause)

    def turn(self) -> None:
        """Do the next thing at the station."""
        kind, current, name = self._kind, self._state.current, self._name
        between_jobs = kind is ScreenKind.IDLE or (
            kind is ScreenKind.DONE and _is_done(self._state, current)
        )
        if kind in _COOL and self._now.wall >= self._shift_ends:
            self._hand_over()
        elif kind in _COOL and self._now.wall >= self._pause_at:
            self._pause()
        elif between_jobs:
            order = self._order
            command = c.StartJob(
                name,
                order.plan,
                order.plan_hash,
                order.garments,
                rules=order.rules,
                due=order.due,
                lots=order.lots,
            )
            self._do(TimedCommand(60.0, command))
        elif kind in _COOL and current != name:
            self._leave()
        else:
            self._do(self._hands.next(self._state, self._now))

    def _leave(self) -> None:
        """Leave another job at the press: its rack comes first, then it is put back."""
        job = self._state.job
        if self._do(TimedCommand(10.0, c.LeaveJob())).refusal is None or job is None:
            return
        free = self._kind is ScreenKind.HANDS and not (job.slot and job.tickets[job.slot].step)
        next_act = self._hands.at_the_rack if job.rack and free else self._hands.next
        self._do(next_act(self._state, self._now))

    def _hand_over(self) -> None:
        if self._kind in _COOL | {ScreenKind.IDLE}:
            self._do(TimedCommand(20.0, c.HandOver()))
        self._pause()
        self._shift_ends = self._now.wall + SHIFT_SECONDS

    def _pause(self) -> None:
        self._now = self._now.later(self._chance.between(*PAUSE_SECONDS))
        self._pause_at = self._now.wall + WORK_SECONDS

    def _do(self, act: TimedCommand) -> Outcome:
        """Carry out an act; every event is on disk when this returns."""
        if self._chance.happens(self._habits.clock_set):  # the wall clock is set
            self._now = replace(self._now, wall=self._now.wall + self._chance.pick((-3600, 3600)))
        self._now = self._now.later(act.seconds)
        before = self._recorder.last
        if act.seconds > TICKED_SECONDS:  # a station ticks constantly, recording what is due
            self._do_and_follow(c.Tick(), self._now.later(-TICKED_SECONDS))
        outcome = self._carry_out(act.command)
        for seq in range(before + 1, self._recorder.last + 1):
            self._acks(seq)
        if self._recorder.fault is not None and not outcome.recorded:
            self._cannot_record(self._recorder.fault)
        self._idle = 0 if outcome.events else self._idle + 1
        if self._idle > PATIENCE:
            raise Stuck(f"{self._kind.value}: {act.command}: {outcome.refusal}")
        for event in outcome.events:
            self._count(event)
        return outcome

    def _carry_out(self, command: c.Command) -> Outcome:
        return self._do_and_follow(command, self._now)

    def _cannot_record(self, fault: LogFault) -> None:
        raise fault

    def _do_and_follow(self, command: c.Command, now: Now) -> Outcome:
        """Carry out a command, and what the station does by itself because of it."""
        before = self._state
        outcome = self._recorder.do(command, now)
        self._follow(
            before, outcome.events, lambda: self._state, lambda more: self._recorder.do(more, now)
        )
        return outcome

    def _count(self, event: Event) -> None:
        """Count a garment once all its tickets are made; a result taken back uncounts it."""
        job = self._state.job
        if job is None or not isinstance(event, e.Finished | sh.Ruled | e.TakenBack):
            return
        ticket = job.tickets.get(event.ticket)
        if ticket is None or job.job != self._name:
            return
        key = (job.job, ticket.garment.line, ticket.copy)
        if all(each.stage in _MADE for each in same_garment(job, ticket)):
            self._made.add(key)
        else:
            self._made.discard(key)
