"""The made-up operator's choice of what to do next at the station."""

from collections.abc import Callable, Iterable
from math import inf

from kiosk.plan.model import HOT_PHASES, Phase, Step
from kiosk.plan.time import OPENING, RACKING, READING, SETTLING, HandTime, hands
from kiosk.run import facts
from kiosk.run.state import (
    ConfirmMode,
    CoolingPlace,
    Heat,
    JobRun,
    Now,
    QuestionKind,
    State,
    Ticket,
    TicketStage,
)
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events_shift as sh
from kiosk.train.made_up_operator.habits import (
    Chance,
    Habits,
    TimedCommand,
    ask_supervisor,
    check_press,
    forward,
    inspect_unknown,
    judge_lot,
    result,
    touch_garment,
)

OPERATORS = ("QV", "ZD", "MK")  # made-up initials
WAIT = TimedCommand(1.0, c.Tick())
LET_PASS = TimedCommand(10.0, s.LetPass(sh.Overruled.TRIAL, "supervisor", "known"))
LEAST_SECONDS = 1.0  # for a move without work, such as pressing a garment again
UNEVEN = 0.2  # how far one move may differ from the operator's pace


class SimulatedHands:
    """The operator's hands: choose the next act at a station that has started a job."""

    def __init__(self, chance: Chance, habits: Habits) -> None:
        self._chance = chance
        self._habits = habits
        self._pace = chance.between(habits.quickest, habits.slowest)
        self._rack_work_left = 0.0  # seconds of rack work that did not fit into a closing
        between, happens = chance.between, chance.happens
        self._acts: dict[facts.ScreenKind, Callable[[State, Now], TimedCommand]] = {
            facts.ScreenKind.HANDS: self._by_hand,
            facts.ScreenKind.HEAT: self._while_hot,
            facts.ScreenKind.ASK: self._read,
            facts.ScreenKind.SETTING: self._set_press,
            facts.ScreenKind.ASK_CLOSED: lambda state, now: TimedCommand(
                between(0.5, 1.5), c.SayClosed(happens(0.3))
            ),
            facts.ScreenKind.HELD: lambda state, now: forward(state, now, between(20.0, 900.0)),
            facts.ScreenKind.OPEN_FIRST: self._say_open,
            facts.ScreenKind.OVER: self._say_open,
            facts.ScreenKind.UNASKED: self._say_open,
            facts.ScreenKind.OFF: self._sign_on,
            facts.ScreenKind.VERIFY: lambda state, now: (
                check_press(chance, state.job) if state.job else WAIT
            ),
            facts.ScreenKind.TRIAL: lambda state, now: LET_PASS,
            facts.ScreenKind.LOT: lambda state, now: (
                judge_lot(chance, state.job) if state.job else WAIT
            ),
            facts.ScreenKind.DONE: self._rule_on_aside,
        }

    def next(self, state: State, now: Now) -> TimedCommand:
        """Return the next act for the station's state at `now`."""
        return self._acts[facts.kind_of(state, now)](state, now)

    def _seconds_for(self, span: HandTime) -> float:
        """Return the seconds that this operator takes this time."""
        pace = self._pace + self._chance.between(-UNEVEN, UNEVEN)
        return span.at(min(1.0, max(0.0, pace)))

    def _sign_on(self, state: State, now: Now) -> TimedCommand:
        operator = OPERATORS[state.shift % len(OPERATORS)]
        return TimedCommand(
            self._chance.between(5.0, 30.0), c.SignOn(operator, ConfirmMode.GROUPED)
        )

    def _say_open(self, state: State, now: Now) -> TimedCommand:
        return forward(state, now, self._seconds_for(OPENING))

    def _set_press(self, state: State, now: Now) -> TimedCommand:
        job = state.job
        required = None if job is None else facts.required_setting(job)
        if job is None or required is None:
            return WAIT
        wrong = 10 if self._chance.happens(self._habits.wrong_read) else 0
        first = job.setting is None and not job.plan.settings[0].setting_change
        return TimedCommand(
            self._seconds_for(READING if first else SETTLING), c.ReadSetting(required + wrong)
        )

    def _read(self, state: State, now: Now) -> TimedCommand:
        question = None if state.job is None else facts.question_at_hand(state.job)
        if question is None or question.ask is QuestionKind.SETTING:
            return WAIT
        misread = question.choices and self._chance.happens(self._habits.wrong_read)
        value = self._chance.pick(question.choices) if misread else question.right
        return TimedCommand(self._seconds_for(READING), c.AnswerQuestion(value))

    def _rule_on_aside(self, state: State, now: Now) -> TimedCommand:
        job = state.job
        return WAIT if job is None or not job.aside else ask_supervisor(self._chance, job)

    def _by_hand(self, state: State, now: Now) -> TimedCommand:
        job, ticket = state.job, facts.slot_ticket(state.job)
        if job is None:
            return WAIT
        if ticket is None:
            return self.at_the_rack(state, now)
        if ticket.stage is TicketStage.UNKNOWN:
            return inspect_unknown(self._chance, state, ticket, now)
        return self._slip() or self._work(state, job, ticket, now)

    def _slip(self) -> TimedCommand | None:
        habits = self._habits
        for share, command in (
            (habits.hold, c.PutOnHold()),
            (habits.put_aside, c.PutAside("later")),
            (habits.skip, c.Skip("dry")),
            (habits.take_back, c.Back()),
        ):
            if self._chance.happens(share):
                return TimedCommand(self._chance.between(1.0, 3.0), command)
        return None

    def _work(self, state: State, job: JobRun, ticket: Ticket, now: Now) -> TimedCommand:
        numbered = enumerate(facts.pass_of(job, ticket).steps)
        steps = [s for n, s in numbered if n >= ticket.step and n not in ticket.without]
        hot = next((n for n, step in enumerate(steps) if step.phase in HOT_PHASES), None)
        seconds = (
            self._seconds_before(job, ticket, now)
            + self._seconds_for_steps(steps[:hot])
            + self._rack_work_left
        )
        seconds = max(seconds, LEAST_SECONDS)
        if hot is not None and self._chance.happens(self._habits.too_quick):
            seconds = self._chance.between(0.05, 0.4)
        else:
            self._rack_work_left = 0.0
        if hot is None:
            return result(self._chance, self._habits, state, ticket, now, seconds)
        return forward(state, now, seconds)

    def _seconds_before(self, job: JobRun, ticket: Ticket, now: Now) -> float:
        """Return the seconds before a ticket's next step: opening, and racking the last garment."""
        passage = facts.pass_of(job, ticket)
        if ticket.step:
            before = passage.steps[ticket.step - 1].phase
            opening = self._seconds_for(OPENING) if before in HOT_PHASES else 0.0
            in_hand = facts.in_hand_seconds(job, ticket, now) if before is Phase.FINAL else 0.0
            return max(opening, in_hand, _until_carriers_due(job, ticket, now))
        leaving = job.tickets.get(job.leaving)
        if leaving is None:
            return 0.0
        steps = facts.pass_of(job, leaving).steps
        unfinished = steps[
            leaving.step : facts.racked_at(facts.pass_of(job, leaving), leaving.step)
            or leaving.step
        ]
        opened_after = max(self._seconds_for(OPENING), facts.seconds_before_rack(job, now))
        return opened_after + self._seconds_for_steps(unfinished) + self._seconds_for(RACKING)

    def _seconds_for_steps(self, steps: Iterable[Step]) -> float:
        return sum(self._seconds_for(hands(step)) for step in steps)

    def _peel_seconds(self, job: JobRun, ticket: Ticket) -> float:
        """Return the seconds to peel and inspect a garment from the rack."""
        return self._seconds_for_steps(facts.pass_of(job, ticket).steps[ticket.step :])

    def at_the_rack(self, state: State, now: Now) -> TimedCommand:
        """Peel what is hot at the press; else wait for the rack's next garment and inspect it."""
        job = state.job
        if job is None or not job.rack:
            return WAIT
        hot = facts.hot_at_press(job)
        if hot is not None:
            peel = facts.pass_of(job, hot).steps[hot.step : hot.step + 1]
            return forward(state, now, self._seconds_for(OPENING) + self._seconds_for_steps(peel))
        ticket = job.tickets[facts.serve_next(job, now)]
        touch = touch_garment(self._chance, self._habits, ticket, now)
        if touch is not None:
            return touch
        due = facts.due_clock(job, ticket, now) or now.clock
        if due == inf:
            return TimedCommand(
                self._chance.between(5.0, 15.0), s.SayPlace(ticket.id, CoolingPlace.LIFTED)
            )
        seconds = max(0.0, due - now.clock) + self._peel_seconds(job, ticket)
        return result(self._chance, self._habits, state, ticket, now, seconds)

    def _while_hot(self, state: State, now: Now) -> TimedCommand:
        heat, habits = state.heat, self._habits
        if heat is None or heat.deadline is None:
            return WAIT
        remaining = max(0.0, heat.deadline - now.clock)
        if now.clock < heat.starts and self._chance.happens(habits.not_closed):
            return TimedCommand(remaining * 0.5, c.SayOpened())
        if self._chance.happens(habits.opened_early):
            return TimedCommand(remaining * self._chance.between(0.5, 0.9), c.SayOpened())
        rack_act = self._act_at_rack(state, heat, remaining, now)
        if rack_act is not None:
            return rack_act
        stalls = self._chance.happens(habits.stall)
        return TimedCommand(remaining + (20.0 if stalls else 0.02), c.Tick())

    def _act_at_rack(
        self, state: State, heat: Heat, remaining: float, now: Now
    ) -> TimedCommand | None:
        """Return an act at the rack while the press is closed, None to wait for it."""
        job = state.job
        soonest = max(heat.starts + 5.6 - now.clock, 0.0)
        if job is None or soonest > remaining - 0.6:
            return None
        if not job.rack:
            stray = self._chance.happens(self._habits.stray_tap)
            meaning = c.Meaning(c.Verb.CLOSE, heat.ticket, heat.step)
            return TimedCommand(soonest, c.Forward(meaning, now.clock)) if stray else None
        ticket = job.tickets[job.rack[0]]
        peel_seconds = self._peel_seconds(job, ticket)
        longest = max(step.seconds or 0 for step in facts.pass_of(job, ticket).steps)
        if remaining < min(peel_seconds, longest):
            return None  # it fits better into a longer closing
        seconds = min(max(soonest, peel_seconds), remaining - 0.6)
        due = facts.due_clock(job, ticket, now) or now.clock
        if due > now.clock + seconds - 0.6 and not self._chance.happens(self._habits.early_peel):
            touch = touch_garment(self._chance, self._habits, ticket, now)
            return touch if touch is not None and touch.seconds < remaining - 0.5 else None
        self._rack_work_left += max(0.0, peel_seconds - seconds)
        return result(self._chance, self._habits, state, ticket, now, seconds)


def _until_carriers_due(job: JobRun, ticket: Ticket, now: Now) -> float:
    """Return the seconds until a tack's carriers are due, 0 if none waits or ever will be."""
    if not facts.waiting_carriers(facts.pass_of(job, ticket), ticket.step):
        return 0.0
    due = facts.due_clock(job, ticket, now)
    return 0.0 if due is None or due == inf else due - now.clock
