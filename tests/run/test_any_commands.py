"""Random commands in any order: nothing crashes, is lost, pressed twice or hot unnoticed.
A made-up crowd taps, types, switches and pulls the plug.
"""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from run_samples import (
    COLD,
    HOT,
    Bench,
    named,
    one_piece,
    plan_of,
    stack,
    staged,
    team,
    waiting_stack,
)
from sound import assert_heat_is_at_the_slot, assert_pressed_once, assert_sound, assert_steps_exist
from test_without import PIECES, dried, later, layered

from kiosk.catalog.model import Approver, Demand, Range
from kiosk.log.store.codec import to_json
from kiosk.plan.heat import FROM_ESTIMATE
from kiosk.plan.model import PeelPlace, PeelWait, Plan
from kiosk.run.apply.fold import apply, replay
from kiosk.run.decide.decide import COMMANDS, carry_out, decide, settled
from kiosk.run.facts.checks import lot_hold
from kiosk.run.facts.moves import required_setting, waiting_carriers
from kiosk.run.facts.questions import ScreenKind, kind_of
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as shift
from kiosk.run.state.cooling import CoolingPlace, Estimate, TouchFeel
from kiosk.run.state.event import Now, Refusal
from kiosk.run.state.events_shift import Overruled
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.run.state.rules import NO_RULES, Rules

WORK: tuple[Plan, ...] = (
    plan_of(one_piece(), job="rack"),
    plan_of(one_piece(PeelPlace.PRESS, HOT), job="press"),
    plan_of(one_piece(PeelPlace.HAND, COLD), job="hand", confirm_opening=True),
    plan_of(stack(), job="stack"),
    plan_of(waiting_stack(), job="stack that waits"),
    plan_of(staged(), job="staged"),
    plan_of(one_piece(), one_piece(degrees=270, panel="front"), job="two runs"),
    plan_of(one_piece(PeelPlace.PRESS, HOT), staged(), runs=((0, 1),), job="one run"),
    plan_of(named(), one_piece(), named(panel="back", group=1), job="names before and after"),
    plan_of(one_piece(PeelPlace.PRESS, HOT), named(), runs=((0, 1),), job="names in one run"),
    plan_of(layered(), job="a number in layers"),
    plan_of(layered(COLD, PeelPlace.RACK), named(), job="a name on the rack"),
    plan_of(dried(), later(), job="a name after the pre-press"),
)
PLANS = tuple(replace(plan, pieces=PIECES) for plan in WORK)
LACKS = (
    (),
    ("name",),
    ("number",),
    ("name", "number"),
)  # per line, in a job where some line lacks it
NUMBERS = ("6", "9", "12", "16", "91")
SECONDS = (0.0, 0.3, 0.6, 1.0, 4.0, 5.0, 15.0, 61.0, 700.0)
STAGES = (
    TicketStage.GOOD,
    TicketStage.ACCEPTED,
    TicketStage.REWORK,
    TicketStage.SCRAP,
    TicketStage.WAITING,
    TicketStage.VOID,
)


def estimated(wait: PeelWait) -> PeelWait:
    """The same wait with an estimate of the model."""
    ready = Range(wait.from_seconds, wait.from_seconds + 10, wait.from_seconds + 30)
    return PeelWait(wait.peel, wait.from_seconds, wait.to_seconds, FROM_ESTIMATE, ready)


tickets = st.builds(
    lambda line, passage, copy: f"{line}/{passage}/{copy}",
    st.integers(1, 4),
    st.integers(1, 2),
    st.integers(1, 2),
)
readings = st.sampled_from([(300,) * 5, (270,) * 5, (300, 310, 320, 300, 300)])
RULES = (
    NO_RULES,
    Rules(verify=Demand.ASKED, offset_most=5.0, spread_most=10.0, scrap_limit=2),
    Rules(Demand.REQUIRED, 5.0, 10.0, 600.0, 60.0, Demand.REQUIRED, Approver.SUPERVISOR, 1),
    Rules(first_article=Demand.ASKED, approver=Approver.ANOTHER),
)
reasons = st.sampled_from(["", "a reason"])


class Crowd(RuleBasedStateMachine):
    """A station at which every possible command is tried."""

    @initialize(
        plan=st.sampled_from(PLANS),
        count=st.integers(1, 4),
        confirm=st.sampled_from(ConfirmMode),
        rules=st.sampled_from(RULES),
        short=st.booleans(),
    )
    def begin(
        self, plan: Plan, count: int, confirm: ConfirmMode, rules: Rules, short: bool
    ) -> None:
        self.bench = Bench()
        lacks = LACKS if short else ((),) * len(LACKS)
        numbers = ("" if "number" in own else n for n, own in zip(NUMBERS, lacks, strict=False))
        garments = zip(team(*list(numbers)[:count]), lacks, strict=False)
        self.plan, self.garments = plan, tuple(replace(g, lacks=own) for g, own in garments)
        self.boots = 1
        self.give(c.Start("1.0"))
        self.give(c.SignOn("MK", confirm))
        self.give(c.StartJob(plan.job, plan, "hash", self.garments, rules=rules))

    def give(self, command: c.Command) -> None:
        """Give a command; a refusal is as good as events, and changes nothing."""
        bench = self.bench
        answer = decide(bench.state, command, bench.now)
        done = carry_out(bench.state, command, bench.now)
        if isinstance(done, Refusal):
            assert done == answer
            return
        assert tuple(done.events) == answer
        assert all(map(to_json, done.events))  # an event that cannot be written stops the station
        pressed = bench.state
        for event, after in zip(done.events, done.states, strict=True):
            bench.state = apply(bench.state, event)
            assert after == bench.state  # the resulting state equals a replay
        assert done.state == bench.state == replay(done.events, pressed)
        assert not isinstance(answer, Refusal)
        bench.events += answer
        assert settled(bench.state, bench.now) is bench.state
        if type(command) is not c.Start:
            kind = kind_of(settled(pressed, bench.now), bench.now)
            assert kind in COMMANDS[type(command)][1]

    @rule(seconds=st.sampled_from(SECONDS), steps=st.integers(1, 3))
    def work_with_the_rack(self, seconds: float, steps: int) -> None:
        self.work(steps)
        self.bench.wait(6.0)
        self.forward(seconds)

    @rule(seconds=st.sampled_from(SECONDS))
    def time_passes(self, seconds: float) -> None:
        self.bench.wait(seconds)

    @rule()
    def clock_ticks(self) -> None:
        self.give(c.Tick())

    @rule(seconds=st.sampled_from(SECONDS))
    def forward(self, seconds: float) -> None:
        self.bench.wait(seconds)
        meaning = self.bench.bar.meaning
        if meaning is not None:
            self.give(c.Forward(meaning, self.bench.clock))

    @rule(steps=st.integers(1, 8))
    def work(self, steps: int) -> None:
        """Do what the screen asks, like an operator who wants to go home."""
        for _ in range(steps):
            self.right_answers()
            heat = self.bench.state.heat
            if self.bench.bar.meaning is None and heat is not None:
                self.heat_runs_out(0.0)
            else:
                self.forward(1.0)

    @rule(verb=st.sampled_from(c.Verb), ticket=tickets, step=st.integers(-1, 12))
    def any_forward(self, verb: c.Verb, ticket: str, step: int) -> None:
        self.give(c.Forward(c.Meaning(verb, ticket, step), self.bench.clock))

    @rule()
    def right_answers(self) -> None:
        self.give(c.Tick())
        job = self.bench.state.job
        while job is not None and self.bench.is_in(ScreenKind.ASK):
            self.give(c.AnswerQuestion(job.questions[0].right))
            job = self.bench.state.job
        asked = None if job is None else required_setting(job)
        if asked is not None:
            self.give(c.ReadSetting(asked))
            self.give(shift.VerifyPress((asked,) * 5, (True,) * 4))
            if self.bench.is_in(ScreenKind.ASK):
                self.right_answers()
        hold = None if job is None else lot_hold(job)
        if hold is not None and hold.first is not None:
            self.give(shift.JudgeFirst(hold.first.ticket, True, "", supervisor=True))

    @rule(late=st.sampled_from((0.0, 0.0, 2.0, 6.0)))
    def heat_runs_out(self, late: float) -> None:
        heat = self.bench.state.heat
        if heat is not None and heat.deadline is not None and heat.closed.boot == self.bench.boot:
            self.bench.clock = max(self.bench.clock, heat.deadline + late)
        self.give(c.Tick())

    @rule(
        ticket=tickets, stage=st.sampled_from(TicketStage), defect=st.sampled_from(["", "scorch"])
    )
    def inspect(self, ticket: str, stage: TicketStage, defect: str) -> None:
        self.give(c.Inspect(ticket, stage, defect))

    @rule(stage=st.sampled_from(STAGES), which=st.integers(0, 5))
    def inspect_what_is_there(self, stage: TicketStage, which: int) -> None:
        job = self.bench.state.job
        there = (job.slot, *job.rack, *job.aside) if job else ()
        if there:
            self.give(c.Inspect(there[which % len(there)], stage, "scorch"))

    @rule(stage=st.sampled_from(STAGES), which=st.integers(0, 5))
    def supervisor_rules(self, stage: TicketStage, which: int) -> None:
        job = self.bench.state.job
        if job and job.aside:
            name = job.aside[which % len(job.aside)]
            self.give(c.RuleOnTicket(name, stage, "SV", "looked at it"))

    @rule(which=st.integers(0, 5))
    def supervisor_allows(self, which: int) -> None:
        job = self.bench.state.job
        if job and job.aside:
            self.give(c.AllowRepress(job.aside[which % len(job.aside)], "SV", "edge lifts"))

    @rule(
        command=st.one_of(
            st.builds(c.SignOn, st.sampled_from(["", "MK", "AB"]), st.sampled_from(ConfirmMode)),
            st.builds(c.ReadSetting, st.sampled_from([270, 290, 300])),
            st.builds(c.AnswerQuestion, st.sampled_from(["L", "S", *NUMBERS])),
            st.builds(c.SayClosed, st.booleans()),
            st.builds(c.PutOnHold, reasons),
            st.builds(c.Skip, reasons),
            st.builds(c.PutAside, reasons),
            st.builds(
                c.RowChanged,
                st.sampled_from("1234"),
                st.sampled_from(["", "a", "b"]),
                st.sampled_from(LACKS),
            ),
            st.builds(c.AllowRepress, tickets, st.just("SV"), reasons),
            st.builds(
                c.RuleOnTicket, tickets, st.sampled_from(TicketStage), st.just("SV"), reasons
            ),
            st.builds(shift.VerifyPress, readings, st.just((True,) * 4)),
            st.builds(shift.LetPass, st.sampled_from(Overruled), st.just("SV"), reasons),
            st.builds(
                shift.JudgeFirst,
                tickets,
                st.just(False),
                st.just("AB"),
                st.just(True),
                faults=st.just(("marks",)),
            ),
            st.builds(shift.TryPin, st.booleans()),
            st.sampled_from(
                [c.HandOver(), c.LeaveJob(), c.SayOpened(), c.PressClosed(), c.PressOpened()]
            ),
        )
    )
    def anything(self, command: c.Command) -> None:
        self.give(command)

    @rule(
        steps=st.integers(0, 8),
        which=st.integers(0, 5),
        lies=st.sampled_from(CoolingPlace),
        feels=st.sampled_from(TouchFeel),
        then=st.sampled_from((TicketStage.WAITING, TicketStage.GOOD, TicketStage.ACCEPTED)),
    )
    def cools(
        self, steps: int, which: int, lies: CoolingPlace, feels: TouchFeel, then: TicketStage
    ) -> None:
        """A garment gets its estimate: never due if it is left on the pad."""
        self.work(steps)
        job = self.bench.state.job
        there = [job.tickets[t] for t in (job.slot, *job.rack) if t] if job else []
        ticket = there[which % len(there)] if there else None
        if job is None or ticket is None or ticket.opened is None:
            return
        passage = job.plan.passes[ticket.passage]
        carriers = waiting_carriers(passage, ticket.step)
        waits = tuple(each.wait for each in carriers) or passage.stages or (passage.wait,)
        lifted = tuple(None if w is None else estimated(w) for w in waits)
        never, curve = (None,) * len(waits), ((0.0, 90.0), (600.0, 40.0))
        found = Estimate(ticket.opened, lifted, never, curve, curve, 23.0, 3.0)
        self.give(shift.GiveEstimate(ticket.id, found, None))
        self.give(shift.SayPlace(ticket.id, lies))
        self.give(shift.ReportTouch(ticket.id, feels, 40.0))
        self.give(c.Inspect(ticket.id, then, "scorch"))

    @rule()
    def back(self) -> None:
        self.give(c.Back())

    @rule()
    def it_was_never_closed(self) -> None:
        self.give(shift.SayNeverClosed())

    @rule(seconds=st.sampled_from((3.0, 15.0, 90.0)))
    def it_was_pressed_without_a_tap(self, seconds: float) -> None:
        self.give(shift.SayPressed(seconds))

    @rule(other=st.booleans())
    def start_job(self, other: bool) -> None:
        plan = PLANS[3] if other else self.plan
        self.give(c.StartJob(plan.job, plan, "hash", self.garments))

    @rule(
        seconds=st.sampled_from((-50.0, 2.0, 30.0)), same_boot=st.booleans(), luck=st.integers(0, 3)
    )
    def program_starts(self, seconds: float, same_boot: bool, luck: int) -> None:
        if luck:
            return
        if same_boot:
            self.bench.wait(abs(seconds))
        else:
            self.boots += 1
            self.bench.wall_ahead += self.bench.clock + seconds
            self.bench.boot, self.bench.clock = f"boot-{self.boots}", 0.0
        self.give(c.Start("1.0"))

    @rule(seconds=st.sampled_from((-3600.0, 3600.0)))
    def wall_clock_is_set(self, seconds: float) -> None:
        self.bench.wall_ahead += seconds
        self.work(1)

    @invariant()
    def everything_is_somewhere_and_nothing_was_pressed_twice(self) -> None:
        if not hasattr(self, "bench"):
            return
        assert_sound(self.bench.state)
        assert_pressed_once(self.bench.state)
        assert_heat_is_at_the_slot(self.bench.state)
        assert_steps_exist(self.bench.state)
        self.everything_can_be_drawn()
        bar = self.bench.bar
        assert bar.since <= self.bench.clock
        assert self.bench.now == Now(
            self.bench.boot, self.bench.clock, self.bench.clock + self.bench.wall_ahead
        )

    def everything_can_be_drawn(self) -> None:
        """Draw the current screen, and that of each garment whose chip can be touched."""
        state, now, job = self.bench.state, self.bench.now, self.bench.state.job
        nameless = frozenset(g.line for g in self.garments if "name" in g.lacks)
        for touched in ("", *(() if job is None else (*job.rack, *job.aside))):
            assert view(state, now, touched, nameless).bar.label

    def teardown(self) -> None:
        if hasattr(self, "bench"):
            assert replay(self.bench.events) == self.bench.state


TestAnyCommands = Crowd.TestCase
TestAnyCommands.settings = settings(
    max_examples=60,
    stateful_step_count=60,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
