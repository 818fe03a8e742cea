"""Practice with the press off: the station's own state machine, run in memory only."""

from dataclasses import replace
from enum import Enum

from kiosk.catalog.base import Message, dataclass, say
from kiosk.catalog.model import Peel
from kiosk.plan.fingerprint import fingerprint
from kiosk.plan.model import HOT_PHASES, Pass, Plan
from kiosk.run import facts
from kiosk.run.decide import bar_meaning, carry_out, settled
from kiosk.run.show import View, view
from kiosk.run.state import (
    ConfirmMode,
    Event,
    Garment,
    Now,
    QuestionKind,
    Refusal,
    Rules,
    State,
    Ticket,
    elapsed,
)
from kiosk.run.state import commands as c
from kiosk.train.practice.bench import SETTING, WorkPosition
from kiosk.train.practice.looks import SlipOutcome

JOB = "practice"
_READ_OFF = frozenset({QuestionKind.SIZE, QuestionKind.NUMBER})

Answer = tuple[tuple[Event, ...], Message | None]
"""The events of a command, and the reason if it was refused."""


class PracticePace(Enum):
    """Whether waits for the press and the rack are shortened or as long as at work."""

    SHORT = "short"
    REAL = "real"


@dataclass(frozen=True, slots=True)
class PracticeWish:
    """A trainee's choices: plan, garment, own initials, with help or alone, and pace.

    `name` is the name to press beside the number; `tolerance` is how far the press's display
    may differ from its setting, in whole degrees of the plan's unit.
    """

    plan: Plan
    garment: Garment
    operator: str
    alone: bool = False
    pace: PracticePace = PracticePace.SHORT
    reduced_motion: bool = False  # reduced motion: pieces do not appear one by one
    name: str = ""
    tolerance: int = 0


@dataclass(frozen=True, slots=True)
class CurrentWork:
    """The garment being worked on, its pass and the current move."""

    ticket: Ticket
    passage: Pass
    move: facts.Move


class Rehearsal:
    """One garment of a plan from load to its end; nothing is written to the record."""

    def __init__(
        self,
        plan: Plan,
        garment: Garment,
        operator: str,
        confirm: ConfirmMode,
        now: Now,
        tolerance: int = 0,
    ) -> None:
        self.plan = plan
        self.state = State()
        self.focus = ""
        self.do(c.Start("practice", simulated=True), now)
        self.do(c.SignOn(operator, confirm), now)
        rules = Rules(tolerance=tolerance)
        self.do(c.StartJob(JOB, plan, fingerprint(plan), (garment,), rules=rules), now)

    def do(self, command: c.Command, now: Now) -> Answer:
        """Carry out `command`; return its events, and the reason if it was refused."""
        decision = carry_out(self.state, command, now)
        if isinstance(decision, Refusal):
            return (), decision.reason
        self.state = decision.state
        return tuple(decision.events), None

    def kind(self, now: Now) -> facts.ScreenKind:
        """Return the kind of activity that the practice is in."""
        return facts.kind_of(settled(self.state, now), now)

    def view(self, now: Now) -> View:
        """Return the view for the work screen."""
        return view(self.state, now, self.focus)

    def view_with_answers(self, now: Now) -> View:
        """Return the view with what would be read off a real garment (size, number) given."""
        screen, job = self.view(now), self.state.job
        question = None if job is None else facts.question_at_hand(job)
        if screen.ask is None or question is None or question.ask not in _READ_OFF:
            return screen
        line = say(f"practice.reads.{question.ask.value}", text=question.right)
        return replace(screen, ask=replace(screen.ask, line=line), lines=(line, *screen.lines[1:]))

    def meaning(self, now: Now) -> c.Meaning | None:
        """Return the meaning of a tap on forward now, or None."""
        return bar_meaning(self.state, now).meaning

    def current_work(self, now: Now) -> CurrentWork | None:
        """Return the current garment and move, or None if no garment is at the press."""
        state = settled(self.state, now)
        job, ticket = state.job, facts.slot_ticket(state.job)
        if job is None or ticket is None:
            return None
        passage = facts.pass_of(job, ticket)
        move = facts.move_of(passage, ticket, facts.confirm_of(state, job.plan, passage))
        return None if move is None else CurrentWork(ticket, passage, move)

    def waits_until(self, now: Now) -> float | None:
        """Return the clock time until which hands can only wait, or None if there is work."""
        heat = self.state.heat
        if heat is not None:
            return None if heat.rang else heat.deadline
        job = self.state.job
        if job is None or (job.slot and not self._waits_for_peel(now)):
            return None
        name = job.slot or next(iter(job.rack), "")
        due = facts.due_clock(job, job.tickets[name], now) if name else None
        return due if due is not None and due > now.clock else None

    def _waits_for_peel(self, now: Now) -> bool:
        """Return whether the garment at the press only waits for a peel."""
        work = self.current_work(now)
        if work is None:
            return False
        if facts.waiting_carriers(work.passage, work.ticket.step):
            return work.passage.steps[self.first_of(work)].wait is not None
        return self.first_of(work) == facts.last_peel(work.passage)

    def spot(self, now: Now) -> WorkPosition | None:
        """Return the spot of the hands' work or of the setting, or None during anything else."""
        place, kind, work = self.step_place(now), self.kind(now), self.current_work(now)
        if place is None or kind not in (facts.ScreenKind.HANDS, facts.ScreenKind.SETTING):
            return None
        if kind is facts.ScreenKind.SETTING:
            return WorkPosition(place[0], SETTING, SETTING)
        if work is None:
            return WorkPosition(place[0], place[1], place[1])
        return WorkPosition(place[0], work.move.first, work.move.last, work.move.hot)

    def since_opening(self, now: Now) -> float | None:
        """Return the seconds since the press opened on the current garment, or None before."""
        job = self.state.job
        name = "" if job is None else job.slot or next(iter(job.rack), "")
        ticket = None if job is None or not name else job.tickets[name]
        if ticket is None or ticket.opened is None:
            return None
        return elapsed(ticket.opened, now)[0]

    def confirm_setting(self) -> c.Command | None:
        """Return the command that the press is set as required, or None if nothing is required."""
        needed = None if self.state.job is None else facts.required_setting(self.state.job)
        return None if needed is None else c.ReadSetting(needed)

    def next_to_play(self, now: Now) -> c.Command | None:
        """Return the command that plays a watched step, or None while it must wait."""
        kind, job = self.kind(now), self.state.job
        if kind is facts.ScreenKind.SETTING:
            return self.confirm_setting()
        if kind is facts.ScreenKind.ASK and job is not None:
            question = facts.question_at_hand(job)
            return None if question is None else c.AnswerQuestion(question.right)
        meaning = self.meaning(now)
        if meaning is None or facts.seconds_missing(self.state, now) > 0:
            return None
        if self.waits_until(now) is not None:
            return None  # the peel range has begun, but the call comes later
        return c.Forward(meaning, now.clock)

    def steps_of(self, work: CurrentWork) -> tuple[int, ...]:
        """Return the indices of the move's steps, with the hot step it closes for last."""
        hand = tuple(range(work.move.first, work.move.last + 1))
        left_out = work.ticket.skipped
        own = (n for n in hand if n not in work.ticket.without)
        steps = tuple(
            n for n in own if not (left_out and work.passage.steps[n].phase in HOT_PHASES)
        )
        return steps if work.move.hot is None else (*steps, work.move.hot)

    def first_of(self, work: CurrentWork) -> int:
        """Return the index of the first step of the current move."""
        steps = self.steps_of(work)
        return steps[0] if steps else work.move.first

    def step_place(self, now: Now) -> tuple[int, int] | None:
        """Return the indices of the pass and step on the screen, or None if there are none."""
        heat, job = self.state.heat, settled(self.state, now).job
        if job is None:
            return None
        if heat is not None and heat.ticket in job.tickets:
            return job.tickets[heat.ticket].passage, heat.step
        work = self.current_work(now)
        if work is not None:
            return work.ticket.passage, self.first_of(work)
        if not job.rack:
            return None
        ticket = job.tickets[job.rack[0]]
        return ticket.passage, ticket.step

    def passage_of(self, ticket: str) -> int:
        """Return the index of a ticket's pass in the plan."""
        job = self.state.job
        found = None if job is None else job.tickets.get(ticket)
        return 0 if found is None else found.passage

    def mistimed_peel(self, now: Now) -> SlipOutcome | None:
        """Return what peeling now leads to if too early or too late, else None."""
        job, ticket = self.state.job, self._peeling_ticket(now)
        time = None if job is None or ticket is None else facts.peel_time(job, ticket, now)
        if time is None:
            return None
        waited = round(time.waited)
        if time.from_seconds > 0:
            due = round(time.waited + time.from_seconds)
            return SlipOutcome("early", (("seconds", waited), ("early", due)))
        cold = time.basis is not None and time.basis.peel is Peel.COLD
        if cold or time.to_seconds + LOOKING_SECONDS > 0:
            return None
        latest = round(time.waited + time.to_seconds)
        return SlipOutcome("late", (("seconds", waited), ("late", latest)))

    def _peeling_ticket(self, now: Now) -> Ticket | None:
        """Return the ticket whose peel or carrier the next forward would confirm, or None."""
        work, job = self.current_work(now), self.state.job
        if work is None:
            return job.tickets[job.rack[0]] if job is not None and job.rack else None
        move, peel = work.move, facts.last_peel(work.passage)
        waits = any(step.wait for step in work.passage.steps[move.first : move.last + 1])
        last = peel is not None and move.first <= peel <= move.last
        return work.ticket if last or waits else None


LOOKING_SECONDS = 20.0
"""How long after its range a peel still counts, as the bench is looked over first. A guess."""

PRESS_SPEED = 5.0
RACK_SPEED = 20.0


def speed(hot: bool) -> float:
    """Return how much faster the clock runs while the press is hot, or else for the rack."""
    return PRESS_SPEED if hot else RACK_SPEED


@dataclass(slots=True)
class PracticeClock:
    """A clock that follows the station's, but runs faster while the trainee can only wait.

    `now` has its own boot id, so that practice times are never mistaken for the station's.
    """

    pace: PracticePace
    now: Now
    real: float

    def go_on(
        self, real: float, speed: float, until: float | None = None, paused: bool = False
    ) -> None:
        """Advance to the station's clock `real`, at SHORT pace `speed` times as fast to `until`.

        It is `paused` while practice asks a question, as there are none at work.
        """
        passed = 0.0 if paused else max(0.0, real - self.real)
        if self.pace is PracticePace.SHORT and until is not None and until > self.now.clock:
            fast = min(passed * speed, until - self.now.clock)
            passed = fast + (passed - fast / speed)
        self.real = max(real, self.real)
        self.now = Now(self.now.boot, self.now.clock + passed, self.now.wall + passed)

    def time_at(self, real: float) -> float:
        """Return the practice clock at a recent moment of the station's clock."""
        return self.now.clock - (self.real - real)


def practice_clock(pace: PracticePace, now: Now, nth: int) -> PracticeClock:
    """Return a clock for the `nth` practice, starting at `now`."""
    return PracticeClock(pace, Now(f"practice-{nth}-{now.boot}", now.clock, now.wall), now.clock)
