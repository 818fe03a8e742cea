"""Whether a command is allowed now, and what happens then; what the clock does by itself."""

from collections.abc import Callable

from kiosk.run.apply.fold import Course
from kiosk.run.decide import checks, closing, cooling, job, result, session
from kiosk.run.decide.bar import BarMeaning, forward, meaning_of
from kiosk.run.facts.checks import lapse_of, lot_hold
from kiosk.run.facts.hands import had_break, was_away
from kiosk.run.facts.moves import hot_ahead
from kiosk.run.facts.questions import ScreenKind, kind_of, number_question, questions_for
from kiosk.run.facts.tickets import is_over, next_ready, pass_of, slot_ticket
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.event import Decision, Event, Now, Refusal, refuse
from kiosk.run.state.events import JobDone, OutcomeUnknown, TicketCalled, TimeUp
from kiosk.run.state.events_shift import VerificationLapsed
from kiosk.run.state.events_station import WallClockMoved
from kiosk.run.state.model import Heat, JobRun, TicketStage
from kiosk.run.state.rules import LastCheck, QuestionCause, QuestionKind
from kiosk.run.state.state import State

WALL_JUMP_SECONDS = 5
"""Drift of the wall clock against the steady one that is recorded as a jump."""


def _tick(state: State, command: c.Tick, now: Now) -> Decision:
    """Settling before and after every command does all the work; a tick adds nothing."""
    return ()


_EVERY = frozenset(ScreenKind)
_STARTED = _EVERY - {ScreenKind.NEW}
_WITH_JOB = _STARTED - {ScreenKind.IDLE}
_HANDS = frozenset(
    {ScreenKind.HANDS, ScreenKind.ASK, ScreenKind.SETTING, ScreenKind.VERIFY, ScreenKind.TRIAL}
)
_COOL = _HANDS | {ScreenKind.DONE, ScreenKind.LOT}
_CLOSED = frozenset({ScreenKind.HEAT, ScreenKind.OVER, ScreenKind.UNASKED})

# Any: each function takes only the command type of its own row.
COMMANDS: dict[type[c.Command], tuple[Callable[..., Decision], frozenset[ScreenKind]]] = {
    c.Forward: (forward, _CLOSED | {ScreenKind.HANDS, ScreenKind.OPEN_FIRST, ScreenKind.HELD}),
    c.Tick: (_tick, _EVERY),
    c.Start: (session.start, _EVERY),
    c.SignOn: (session.sign_on, _COOL | {ScreenKind.OFF, ScreenKind.IDLE, ScreenKind.HELD}),
    c.GiveSignOff: (session.sign_off, _COOL | {ScreenKind.OFF, ScreenKind.IDLE, ScreenKind.HELD}),
    c.ChooseDisplay: (session.choose_display, _STARTED),
    c.HandOver: (session.hand_over, _COOL | {ScreenKind.IDLE, ScreenKind.HELD}),
    c.SetCues: (session.set_cues, _STARTED),
    c.LearnKey: (session.learn_key, _COOL | {ScreenKind.OFF, ScreenKind.IDLE, ScreenKind.HELD}),
    c.ForgetKeys: (session.forget_keys, _COOL | {ScreenKind.OFF, ScreenKind.IDLE, ScreenKind.HELD}),
    c.StartJob: (job.start_job, frozenset({ScreenKind.IDLE, ScreenKind.DONE})),
    c.LeaveJob: (job.leave_job, _COOL),
    s.UnbeginJob: (job.unbegin_job, frozenset({ScreenKind.IDLE, ScreenKind.DONE})),
    s.TakeBatch: (job.take_batch, _STARTED),
    s.EndBatches: (job.end_batches, _STARTED),
    s.MeetClaims: (job.meet_claims, _COOL | {ScreenKind.HELD, ScreenKind.OFF}),
    c.ReadSetting: (job.read_setting, _HANDS),
    c.AnswerQuestion: (job.answer_question, frozenset({ScreenKind.ASK})),
    c.SayOpened: (closing.say_opened, _COOL | _CLOSED | {ScreenKind.OPEN_FIRST}),
    c.SayClosed: (closing.say_closed, frozenset({ScreenKind.ASK_CLOSED})),
    s.SayNeverClosed: (result.say_never_closed, _COOL),
    s.SayPressed: (closing.say_pressed, frozenset({ScreenKind.HANDS})),
    c.PressClosed: (closing.press_closed, _STARTED),
    c.PressOpened: (closing.press_opened, _STARTED),
    c.Back: (result.back, _COOL),
    c.PutOnHold: (result.hold_on, _HANDS | {ScreenKind.LOT}),
    c.Skip: (result.skip, frozenset({ScreenKind.HANDS})),
    c.PutAside: (result.put_aside, _HANDS),
    c.Inspect: (result.inspect, _COOL | _CLOSED | {ScreenKind.HELD, ScreenKind.ASK_CLOSED}),
    c.RowChanged: (job.row_changed, _WITH_JOB),
    c.AllowRepress: (job.allow_repress, _WITH_JOB),
    c.RuleOnTicket: (job.rule, _WITH_JOB),
    s.VerifyPress: (checks.verify_press, frozenset({ScreenKind.VERIFY})),
    s.LetPass: (checks.let_pass, frozenset({ScreenKind.VERIFY, ScreenKind.TRIAL, ScreenKind.LOT})),
    s.JudgeFirst: (checks.judge_first, frozenset({ScreenKind.LOT})),
    s.BeginTrial: (checks.begin_trial, frozenset({ScreenKind.TRIAL})),
    s.TryFirst: (checks.try_first, frozenset({ScreenKind.TRIAL})),
    s.JudgeTrial: (checks.judge_trial, frozenset({ScreenKind.TRIAL})),
    s.LeaveTrial: (checks.leave_trial, _STARTED),
    s.NoteTrial: (checks.note_trial, _STARTED),
    s.TryPin: (session.try_pin, _STARTED),
    s.ChoosePin: (session.choose_pin, _STARTED),
    s.NoteRecipes: (session.note_recipes, _STARTED),
    s.NoteUpkeep: (session.note_upkeep, _STARTED),
    s.ConfirmColumns: (session.confirm_columns, frozenset({ScreenKind.IDLE, ScreenKind.DONE})),
    s.TakeOrder: (session.take_order, frozenset({ScreenKind.IDLE, ScreenKind.DONE})),
    s.ApproveProof: (session.approve_proof, frozenset({ScreenKind.IDLE, ScreenKind.DONE})),
    s.DeleteNames: (session.delete_names, _EVERY),
    s.GiveEstimate: (cooling.give_estimate, _WITH_JOB),
    s.SayPlace: (cooling.say_place, _COOL | _CLOSED | {ScreenKind.HELD, ScreenKind.ASK_CLOSED}),
    s.ReportTouch: (cooling.touch, _COOL | _CLOSED | {ScreenKind.HELD, ScreenKind.ASK_CLOSED}),
    s.LearnPeel: (cooling.learn, _WITH_JOB),
    s.ResetLearning: (cooling.reset_learning, _STARTED),
}
"""What decides each command, and in which kinds of state it is allowed, all in one table.

An allowed command can still be refused for its content; the others never get that far.
"""


def carry_out(state: State, command: c.Command, now: Now) -> Course | Refusal:
    """Return the course of `command` on `state` at `now`, or a refusal, which changes nothing.

    Events due before the command (an end of time) and those that follow from it (the next ticket,
    the job's end) are part of the same course, in order.
    """
    unsettled, course = state, Course(state).take(_wall_clock(state, now))
    if not isinstance(command, c.Start):
        _settle(course, now)
    state = course.state
    kind = kind_of(state, now)
    decides, kinds = COMMANDS[type(command)]
    if kind not in kinds:
        return refuse(f"while.{kind.name.lower()}")
    if isinstance(command, c.Forward):
        label = unsettled if all(isinstance(e, WallClockMoved) for e in course.events) else state
        decision = forward(state, command, now, meaning_of(label, kind, now))
    else:
        decision = decides(state, command, now)
    if isinstance(decision, Refusal):
        return decision
    _settle(course.take(decision), now)
    return course


def decide(state: State, command: c.Command, now: Now) -> Decision:
    """Return the events of `command` at `now`, or a refusal."""
    course = carry_out(state, command, now)
    return course if isinstance(course, Refusal) else tuple(course.events)


def _wall_clock(state: State, now: Now) -> tuple[Event, ...]:
    last = state.last
    if last is None or state.boot != now.boot or last.boot != now.boot:
        return ()
    jump = (now.wall - now.clock) - (last.wall - last.clock)
    return (WallClockMoved(now, jump),) if abs(jump) > WALL_JUMP_SECONDS else ()


def bar_meaning(state: State, now: Now) -> BarMeaning:
    """Return what forward means at `now`, after applying any deadline that has passed."""
    state = settled(state, now)
    return meaning_of(state, kind_of(state, now), now)


LATE_SECONDS = 5
"""An end of time unnoticed for longer means that the machine slept or stalled."""


def settled(state: State, now: Now) -> State:
    """Return the state after everything due at `now`; screens draw this one."""
    course = Course(state)
    _settle(course, now)
    return course.state


def _settle(course: Course, now: Now) -> None:
    """Apply what is due at `now`: ends of time, calls, questions after a break."""
    state = course.state
    if state.last is None or state.boot != now.boot:
        return
    if state.heat is not None and (time_up := _end_of_time(state.heat, now)):
        course.take(time_up)
    if state.check is not None and (lapse := _lapsed(state, state.check, now)):
        course.take(lapse)
    if next_ := _what_is_next(course.state, now):
        course.take(next_)


def _end_of_time(heat: Heat, now: Now) -> tuple[Event, ...]:
    due = heat.deadline
    if due is None or heat.rang or now.clock < due:
        return ()
    if now.clock - due > LATE_SECONDS:
        return (OutcomeUnknown(now, heat.ticket, heat.step, "slept"),)
    return (TimeUp(now, heat.ticket, heat.step, due),)


def _lapsed(state: State, check: LastCheck, now: Now) -> tuple[Event, ...]:
    """Return the event if the check of the press no longer holds."""
    why = None if state.job is None else lapse_of(state, state.job, now)
    return () if why is None else (VerificationLapsed(now, check.press, why),)


def _what_is_next(state: State, now: Now) -> tuple[Event, ...]:
    job = state.job
    if job is None or not state.operator or state.heat is not None or job.done:
        return ()
    if job.slot:
        return _ask_again(state, job, now)
    if is_over(job):
        return () if job.more else (JobDone(now, job.job),)
    name = next_ready(job)
    if not name or lot_hold(job) is not None:
        return ()
    return (TicketCalled(now, name, questions_for(state, job, job.tickets[name], now)),)


def _ask_again(state: State, job: JobRun, now: Now) -> tuple[Event, ...]:
    """Ask again for the number (and setting if needed) after a break or change of operator."""
    because = QuestionCause.OPERATOR if state.changed_operator else QuestionCause.BREAK
    if because is QuestionCause.BREAK and not had_break(state, now):
        return ()
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not TicketStage.AT_PRESS:
        return ()
    if hot_ahead(pass_of(job, ticket), ticket) is None:
        return ()
    questions = job.questions
    if ticket.garment.number and not any(q.ask is QuestionKind.NUMBER for q in questions):
        questions = (*questions, number_question(job, ticket, because))
    if questions == job.questions and (job.set_for is None or not was_away(state, now)):
        return ()
    return (TicketCalled(now, ticket.id, questions),)


def is_legal(command: type[c.Command], kind: ScreenKind) -> bool:
    """Return whether `command` is ever allowed while the station is in a state of `kind`."""
    return kind in COMMANDS[command][1]
