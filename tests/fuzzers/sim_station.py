"""A station of the simulated shop: its people, and the checks after each event."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from random import Random
from types import SimpleNamespace
from typing import Any

from sim_inputs import BELL, STUCK, Inputs, strokes_of
from sim_truth import ALLOWED, BEGUN, DONE, DOUBTFUL, PRESSED, Truth
from sound import assert_heat_is_at_the_slot, assert_sound, assert_steps_exist

from kiosk.log.record.recorder import Outcome, Recorder
from kiosk.log.store.errors import LogFault
from kiosk.log.store.migrations import LogHead
from kiosk.plan.time import batches
from kiosk.run.apply.fold import apply
from kiosk.run.decide.decide import bar_meaning, decide
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.facts.tickets import is_over, pass_of
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as cs
from kiosk.run.state import events as e
from kiosk.run.state.event import Now
from kiosk.run.state.events_shift import Overruled
from kiosk.run.state.model import JobRun, Ticket, TicketStage
from kiosk.run.state.state import State
from kiosk.station.desk.jobs.at_server import AtServer, garments_of, row_of, wish_of  # fmt: skip
from kiosk.station.desk.jobs.claims import CannotClaim, Claimant, claim, release, take_over
from kiosk.train.made_up_operator.habits import Chance, Habits, TimedCommand
from kiosk.train.made_up_operator.hands import WAIT, SimulatedHands
from kiosk.train.made_up_operator.operator import SimulatedOrder, Simulation

PEDAL, SWITCH = 1, 2  # number of the first station with one; later ones have one too
SUPERVISOR_THERE = 0.1  # share of the time
MADE = frozenset({TicketStage.GOOD, TicketStage.ACCEPTED})
JUDGED = frozenset({TicketStage.SCRAP, TicketStage.REWORK, TicketStage.UNKNOWN})
COOL = frozenset(
    {
        ScreenKind.HANDS,
        ScreenKind.DONE,
        ScreenKind.SETTING,
        ScreenKind.ASK,
        ScreenKind.VERIFY,
        ScreenKind.LOT,
    }
)


@dataclass(frozen=True)
class Place:
    """What the stations of a shop share: folders of the orders, tables with the garments."""

    jobs: Path
    orders: tuple[SimulatedOrder, ...]
    truth: Truth
    stations: int
    habits: Habits
    shared: frozenset[int] = frozenset()  # numbers of orders


class Station(Simulation):
    """One life of a station's program, and its people, who see what is on the table."""

    def __init__(self, recorder: Recorder, place: Place, number: int, seed: int) -> None:
        self._place, self._number, self._truth = place, number, place.truth
        self._numbers = {order.job: nth for nth, order in enumerate(place.orders)}
        known = self._numbers.get(recorder.state.current, 0)
        super().__init__(
            recorder, place.orders[known], seed, lambda seq: None, 1_770_019_200.0,
            place.habits, lambda *_: None,
        )  # fmt: skip
        self.disk_is_full = self.unclean = self.stuck_next = self._may_take_over = False
        self._look_over, self._by_eyes, self._shown = True, "", recorder.last
        if recorder.state.current:
            self._truth.takes(number, known)
        else:
            self._truth.leaves(number)
        BELL.now = self._now.clock
        self._dice = Random(f"inputs/{seed}")
        self._heard: list[c.Command] = []
        self._label: c.Meaning | None = None
        self._nameless: frozenset[str] = frozenset()
        self._inputs = Inputs(self._read_bar, self._short, self._long, *self._switched())
        self._do(TimedCommand(0.0, c.Start("simulation", simulated=True)))
        self._stands()

    # -- requests ----------------------------------------------------------

    def work(self, acts: int, seed: int, supervised: bool = False) -> None:
        """Do up to `acts` things, as long as there is work."""
        self._chance = Chance(f"{seed}/{self._recorder.last}")
        self._hands = SimulatedHands(self._chance, self._habits)
        self._dice = Random(f"inputs/{seed}")
        self._may_take_over = supervised or self._dice.random() < SUPERVISOR_THERE
        for _ in range(acts):
            if not self._next():
                break

    def pass_time(self, seconds: float, wall: float = 0.0) -> None:
        """Sleep, or have the wall clock changed."""
        self._now = self._now.later(seconds)
        self._now = replace(self._now, wall=self._now.wall + wall)
        self._do(WAIT)
        self._idle = 0  # there is nothing to do

    def put_back(self) -> None:
        """Leave the job at the press open, if it can be left."""
        key = self._state.current
        if key and self._do(TimedCommand(5.0, c.LeaveJob())).refusal is None:
            self._give_up(key)

    def end(self) -> None:
        self._do(WAIT)
        self._recorder.close()

    # -- work --------------------------------------------------------------

    def _next(self) -> bool:
        """Act on what people see, or else do the next thing; return whether there is work.

        If something seen cannot be recorded, people wait until it can.
        """
        seen = self._seen()
        if seen is not None and self.disk_is_full:
            self.pass_time(60.0)
            return False
        if seen is not None:
            told = seen.command
            self._by_eyes = told.ticket if isinstance(told, c.RuleOnTicket) else self._slot
            self._do(seen)
            self._by_eyes = ""
        elif self._waits_for_others() or (self._is_between() and not self._gets_job()):
            self.pass_time(60.0)
            return False
        else:
            self.turn()
        return True

    @property
    def _slot(self) -> str:
        return "" if self._state.job is None else self._state.job.slot

    def _is_between(self) -> bool:
        job = self._state.job
        return self._kind is ScreenKind.IDLE or (
            job is not None and job.done and self._kind in COOL
        )

    def _gets_job(self) -> bool:
        """Claim the first unfinished order that nobody has."""
        for nth, order in enumerate(self._place.orders):
            ours = order.job in self._state.jobs if nth in self._place.shared else None
            if ours is False or self._truth.is_so(nth, DONE):
                continue  # the server gives it, or it is finished
            if ours or self._claims(nth, order.job):
                self._order, self._name, self._look_over = order, order.job, True
                self._truth.takes(self._number, nth)
                if self._truth.is_so(nth, BEGUN) and order.job not in self._state.jobs:
                    self._truth.say(nth, DOUBTFUL)
                self._truth.say(nth, BEGUN)
                return True
        return False

    def _claims(self, nth: int, key: str) -> bool:
        folder, station = self._place.jobs / key, self._claimant
        with suppress(CannotClaim):
            if station.owns(claim(folder, station, self._now.wall)):
                return True
            others = set(self._truth.who_has(nth, self._place.stations)) - {self._number}
            if self._may_take_over and not others:  # a supervisor knows that nobody works on it
                return station.owns(take_over(folder, station, self._now.wall))
        return False

    @property
    def _claimant(self) -> Claimant:
        return Claimant(f"station-{self._number}", self._recorder.store)

    def _give_up(self, key: str) -> None:
        release(self._place.jobs / key, self._claimant)
        self._truth.leaves(self._number)

    def _seen(self) -> TimedCommand | None:
        """Return an act on garments whose looks differ from what the log knows."""
        state, kind = self._state, self._kind
        job = state.job
        if job is None or kind not in COOL:
            return None
        if kind is ScreenKind.LOT and job.met is not None:
            return TimedCommand(60.0, cs.LetPass(Overruled.CLAIMS, "WX", "agreed"))
        if kind is ScreenKind.HANDS and job.slot and not job.questions:
            ticket = job.tickets[job.slot]
            if ticket.stage is TicketStage.AT_PRESS and self._of(job, ticket)[0] > ticket.finals:
                self._must_be_doubtful(job, ticket)
                told = cs.SayPressed(15.0)
                if isinstance(decide(state, told, self._now), tuple):
                    return TimedCommand(5.0, told)
        return self._look_over_queue(job) if self._look_over else None

    def _look_over_queue(self, job: JobRun) -> TimedCommand | None:
        """Void queued garments that others made meanwhile, or that the log forgot."""
        for name in job.queue:
            ticket = job.tickets[name]
            pressed, _, good = self._of(job, ticket)
            if good and pressed > ticket.finals:
                self._must_be_doubtful(job, ticket)
                return TimedCommand(
                    5.0, c.RuleOnTicket(name, TicketStage.VOID, "WX", "made already")
                )
        self._look_over = False
        return None

    def _must_be_doubtful(self, job: JobRun, ticket: Ticket) -> None:
        assert self._truth.is_so(self._numbers[job.job], DOUBTFUL), f"{ticket.id} is forgotten"

    def _of(self, job: JobRun, ticket: Ticket) -> tuple[int, int, int]:
        return self._truth.of(self._numbers[job.job], ticket)

    def _looked_at(self, command: c.Command) -> c.Command:
        """Change a command to state what can be seen on the garment, whatever the log has."""
        job = self._state.job
        name = command.meaning.ticket if isinstance(command, c.Forward) else getattr(
            command, "ticket", "")  # fmt: skip
        ticket = None if job is None else job.tickets.get(name)
        if job is None or ticket is None:
            return command
        pressed = self._of(job, ticket)[0]
        if isinstance(command, c.RuleOnTicket) and not self._by_eyes:
            if command.stage is TicketStage.WAITING and pressed > ticket.finals:
                return replace(command, stage=TicketStage.ACCEPTED)
            if command.stage in MADE and not pressed:
                return replace(command, stage=TicketStage.SCRAP)
        bare = c.Inspect(name, TicketStage.SCRAP, "scorch", "over_run")
        if isinstance(command, c.Inspect) and command.stage in MADE and not pressed:
            return bare
        finishes = (c.Verb.FINISH, c.Verb.PEELED)
        if isinstance(command, c.Forward) and command.meaning.verb in finishes and not pressed:
            return bare
        return command

    # -- the shop's server -------------------------------------------------

    def wish(self) -> dict[str, Any]:
        """Return this station's wish to the server; a shared order comes before any other."""
        job = self._state.job
        if job is not None and not job.done:
            return wish_of(job)
        for nth in self._place.shared:
            order = self._place.orders[nth]
            if not self._truth.is_so(nth, DONE) and order.job not in self._state.finished:
                known = self._state.jobs.get(order.job)
                return {**self._begins(order), **({} if known is None else wish_of(known))}
        return {}

    def _begins(self, order: SimulatedOrder) -> dict[str, Any]:
        cut = batches(order.garments, len(order.plan.runs))
        rows = [[row_of(garment) for garment in batch] for batch in cut]
        return {"job": order.job, "shared": True, "begins": True, "wants": True, "order": rows}

    def follow(self, answer: dict[str, Any]) -> None:
        """Do what an answer asks for, by the station's own rules."""
        job = answer["job"]
        garments = self._place.orders[self._numbers[job]].garments
        self._nameless = frozenset(g.line for g in garments if "name" in g.lacks)
        if job not in self._state.jobs and job not in self._state.finished:
            ours = [b for b in answer["batches"] if b["ours"] and not b["done"]]
            if ours and self._is_between():
                self._begin_shared(job, ours[0])
        if job in self._state.jobs:
            self._at_server.carry_out(answer)

    def _begin_shared(self, job: str, batch: dict[str, Any]) -> None:
        nth = self._numbers[job]
        order = self._order = self._place.orders[nth]
        self._name = job
        self._truth.takes(self._number, nth)
        self._do(TimedCommand(30.0, c.StartJob(
            job, order.plan, order.plan_hash,
            garments_of(batch["garments"], self._nameless), rules=order.rules,
            batch=batch["batch"], whole=len(order.garments),
        )))  # fmt: skip

    def _waits_for_others(self) -> bool:
        """Whether nothing is left here of a shared order."""
        job = self._state.job
        return job is not None and bool(job.batches) and job.more and is_over(job)

    @cached_property
    def _at_server(self) -> AtServer:
        desk: Any = SimpleNamespace(shell=self, beside=None)
        return AtServer(desk)

    @property
    def state(self) -> State:
        """As in a desk's shell."""
        return self._state

    @property
    def rosters(self) -> Any:
        """As in a desk's shell: read, with the lines without a name."""
        return SimpleNamespace(waits=False, nameless=self._nameless)

    def now(self) -> Now:
        """As in a desk's shell."""
        return self._now

    def do(self, command: c.Command) -> Outcome:
        """As in a desk's shell."""
        return self._do_and_follow(command, self._now)

    # -- carrying out ------------------------------------------------------

    def _carry_out(self, command: c.Command) -> Outcome:
        BELL.pass_to(self._now.clock)
        command = self._looked_at(command)
        if isinstance(command, c.Back):  # it was closed: nobody denies it
            command = c.Back(closing_stays=True)
        if self._number >= SWITCH and self._is_seen_by_switch(command):
            return self._by_switch(command)
        if self._number >= PEDAL and isinstance(command, c.Forward):
            return self._by_foot()
        return self._do_and_follow(command, self._now)

    def _is_seen_by_switch(self, command: c.Command) -> bool:
        if isinstance(command, c.SayOpened):
            return self._state.heat is not None
        if not isinstance(command, c.Forward):
            return False
        if command.meaning.verb is c.Verb.CLOSE:
            comes = decide(self._state, c.PressClosed(), self._now)
            return isinstance(comes, tuple) and isinstance(comes[0], e.Closed)
        return command.meaning.verb is c.Verb.OPENED

    def _by_switch(self, command: c.Command) -> Outcome:
        closes = isinstance(command, c.Forward) and command.meaning.verb is c.Verb.CLOSE
        self._heard.clear()
        self._inputs.throw(closes, strokes_of(self._dice, self.unclean))
        assert len(self._heard) == 1, f"the switch told {len(self._heard)} times"
        return self._do_and_follow(self._heard[0], self._now)

    def _by_foot(self) -> Outcome:
        stuck, self.stuck_next = self.stuck_next, False
        self._heard.clear()
        bounce = BELL.now < self._inputs.rested_at
        self._label = None
        self._inputs.tread(STUCK if stuck else strokes_of(self._dice, self.unclean))
        self._now = self._now.later(max(0.0, BELL.now - self._now.clock))
        forwards = sum(isinstance(each, c.Forward) for each in self._heard)
        due = 0 if stuck or self._label is None else 1
        assert forwards == due or (bounce and not forwards), f"trodden {forwards} times"
        if not self._heard:
            return self._do_and_follow(c.Tick(), self._now)
        for command in self._heard:
            outcome = self._do_and_follow(command, self._now)
        return outcome

    def _read_bar(self) -> None:
        self._label = bar_meaning(self._state, self._now).meaning

    def _short(self, since: float) -> None:
        if self._label is not None:
            self._heard.append(c.Forward(self._label, since))

    def _long(self) -> None:
        self._heard.append(c.SayOpened() if self._state.heat is not None else c.PutOnHold(""))

    def _switched(self) -> tuple:  # type: ignore[type-arg]  # two calls
        return (
            lambda: self._heard.append(c.PressClosed()),
            lambda: self._heard.append(c.PressOpened()),
        )

    def _cannot_record(self, fault: LogFault) -> None:
        if not self.disk_is_full:
            raise fault

    # -- checks ------------------------------------------------------------

    def _shows(self, outcome: Outcome) -> None:
        """Note what is shown as recorded: it must be on disk, and nothing else may be shown so."""
        self._shown += len(outcome.events)
        store, told = self._recorder.store, self._truth.told(self._number).seq
        if outcome.recorded and self._shown > told:
            head = store.head if store.last == self._shown else LogHead(self._shown, b"")
            self._truth.tell(self._number, head, self._shown - told)
        elif self._recorder.unrecorded and self._state.current:
            self._truth.say(self._numbers[self._state.current], DOUBTFUL)

    def _do_and_follow(self, command: c.Command, now: Now) -> Outcome:
        before = self._state
        outcome = super()._do_and_follow(command, now)
        self._shows(outcome)
        if outcome.events:
            folded = before
            for event in outcome.events:
                folded = apply(folded, event)
            assert folded == self._state, f"{command}: the fold of its events is another state"
            self._stands()
            self._put_down(before, outcome.events)
        return outcome

    def _stands(self) -> None:
        """Check that the state is legal."""
        for holds in (assert_sound, assert_steps_exist, assert_heat_is_at_the_slot):
            holds(self._state)

    def _put_down(self, before: State, events: Sequence[e.Event]) -> None:
        """Note what was done to garments, whether or not it was written."""
        named = {name for each in events for name in _tickets_of(each)}
        was, now = before.jobs, self._state.jobs
        for key in was.keys() | now.keys():
            job = now.get(key) or was[key]
            for name in named & job.tickets.keys():
                self._put_down_of(key, was.get(key), job, name)
        if self._state.job is not None and self._state.job.done:
            self._truth.say(self._numbers[self._state.current], DONE)

    def _put_down_of(self, key: str, was: JobRun | None, job: JobRun, name: str) -> None:
        order, ticket = self._numbers[key], job.tickets[name]
        old = was.tickets.get(name) if was is not None else None
        if old == ticket:
            return  # a ticket of the same name in another job
        finals, represses = (old.finals, old.represses) if old else (0, 0)
        self._truth.add(order, ticket, ALLOWED, max(0, ticket.represses - represses))
        if name != self._by_eyes:  # a report by eye is not a new pressing
            self._truth.add(order, ticket, PRESSED, ticket.finals - finals)
            if ticket.stage in MADE | JUDGED:
                self._truth.judge(order, ticket, ticket.stage in MADE)
        pressed, allowed, _ = self._truth.of(order, ticket)
        assert pressed <= 1 + allowed, f"{key} {name} was pressed {pressed} times"
        assert pass_of(job, ticket).steps


def _tickets_of(event: e.Event) -> tuple[str, ...]:
    return tuple(
        name for name in (getattr(event, "ticket", ""), getattr(event, "racked", "")) if name
    )
