"""May this be done now, and what happens then; what the clock brings about by itself."""

from collections.abc import Callable
from typing import Any

from kiosk.run.apply.fold import Course
from kiosk.run.decide import checks, closing, cooling, job, result, session
from kiosk.run.decide.bar import BarMeaning, forward, meaning_of
from kiosk.run.facts.checks import lot_hold, why_lapsed
from kiosk.run.facts.hands import had_break
from kiosk.run.facts.kind import is_legal, kind_of
from kiosk.run.facts.moves import next_hot
from kiosk.run.facts.questions import number_question, questions_for
from kiosk.run.facts.tickets import is_over, next_ready, pass_of, slot_ticket
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.event import Decision, Event, Now, Refusal, refuse
from kiosk.run.state.events import JobDone, OutcomeUnknown, TicketCalled, TimeUp
from kiosk.run.state.events_shift import VerificationLapsed
from kiosk.run.state.events_station import WallClockMoved
from kiosk.run.state.model import Heat, JobRun, Stage, State
from kiosk.run.state.rules import Ask, Changed, Check

WALL_JUMP_SECONDS = 5
"""Drift of the wall clock against the steady one that is recorded as a jump."""


def _tick(state: State, command: c.Tick, now: Now) -> Decision:
    """What is due is settled before and after every command: a tick adds nothing to it."""
    return ()


# Any: each function takes the one type of command that it stands beside.
_DECIDE: dict[type[c.Command], Callable[[State, Any, Now], Decision]] = {
    c.Tick: _tick,
    c.Start: session.start,
    c.SignOn: session.sign_on,
    c.SignOff: session.sign_off,
    c.ChooseDisplay: session.choose_display,
    c.HandOver: session.hand_over,
    c.SetCues: session.set_cues,
    c.LearnKey: session.learn_key,
    c.ForgetKeys: session.forget_keys,
    c.StartJob: job.start_job,
    c.LeaveJob: job.leave_job,
    c.ReadSetting: job.read_setting,
    c.Read: job.read,
    c.SayOpened: closing.say_opened,
    c.SayClosed: closing.say_closed,
    s.SayNeverClosed: result.say_never_closed,
    s.SayPressed: closing.say_pressed,
    c.PressClosed: closing.press_closed,
    c.PressOpened: closing.press_opened,
    c.Back: result.back,
    c.HoldOn: result.hold_on,
    c.Skip: result.skip,
    c.PutAside: result.put_aside,
    c.Inspect: result.inspect,
    c.RowChanged: job.row_changed,
    c.AllowRepress: job.allow_repress,
    c.Rule: job.rule,
    s.VerifyPress: checks.verify_press,
    s.LetPass: checks.let_pass,
    s.JudgeFirst: checks.judge_first,
    s.BeginTrial: checks.begin_trial,
    s.TryFirst: checks.try_first,
    s.JudgeTrial: checks.judge_trial,
    s.LeaveTrial: checks.leave_trial,
    s.NoteTrial: checks.note_trial,
    s.TryPin: session.try_pin,
    s.ChoosePin: session.choose_pin,
    s.NoteRecipes: session.note_recipes,
    s.SeeTo: session.see_to,
    s.ConfirmColumns: session.confirm_columns,
    s.ApproveProof: session.approve_proof,
    s.DeleteNames: session.delete_names,
    s.GiveEstimate: cooling.give_estimate,
    s.SayPlace: cooling.say_place,
    s.Touch: cooling.touch,
    s.Learn: cooling.learn,
    s.ResetLearning: cooling.reset_learning,
}


def carry_out(state: State, command: c.Command, now: Now) -> Course | Refusal:
    """Return what `command` makes of `state` at `now`, or a refusal, which changes nothing.

    What was due before the command (an end of time) and what follows from it (the next
    ticket, the job's end) happen in the same course, in order.
    """
    course = Course(state).take(_wall_clock(state, now))
    if not isinstance(command, c.Start):
        _settle(course, now)
    state = course.state
    kind = kind_of(state, now)
    if not is_legal(type(command), kind):
        return refuse(f"while.{kind.name.lower()}")
    if isinstance(command, c.Forward):
        decided = forward(state, command, now, meaning_of(state, kind, now))
    else:
        decided = _DECIDE[type(command)](state, command, now)
    if isinstance(decided, Refusal):
        return decided
    _settle(course.take(decided), now)
    return course


def decide(state: State, command: c.Command, now: Now) -> Decision:
    """Return the events that `command` makes at `now`, or a refusal."""
    done = carry_out(state, command, now)
    return done if isinstance(done, Refusal) else tuple(done.events)


def _wall_clock(state: State, now: Now) -> tuple[Event, ...]:
    last = state.last
    if last is None or state.boot != now.boot or last.boot != now.boot:
        return ()
    jump = (now.wall - now.clock) - (last.wall - last.clock)
    return (WallClockMoved(now, jump),) if abs(jump) > WALL_JUMP_SECONDS else ()


def bar_meaning(state: State, now: Now) -> BarMeaning:
    """Return what forward means at `now`, deadlines that have passed counted as passed."""
    state = settled(state, now)
    return meaning_of(state, kind_of(state, now), now)


LATE_SECONDS = 5
"""An end of time that nobody noticed for longer means that the machine slept or stalled."""


def settled(state: State, now: Now) -> State:
    """Return the state with what is due at `now` counted as happened; screens draw this one."""
    course = Course(state)
    _settle(course, now)
    return course.state


def _settle(course: Course, now: Now) -> None:
    """What is due at `now` happens: ends of time, calls, questions after a break."""
    state = course.state
    if state.last is None or state.boot != now.boot:
        return
    if state.heat is not None and (ended := _end_of_time(state.heat, now)):
        course.take(ended)
    if state.check is not None and (lapsed := _lapsed(state, state.check, now)):
        course.take(lapsed)
    if next_ := _what_is_next(course.state, now):
        course.take(next_)


def _end_of_time(heat: Heat, now: Now) -> tuple[Event, ...]:
    due = heat.deadline
    if due is None or heat.rang or now.clock < due:
        return ()
    if now.clock - due > LATE_SECONDS:
        return (OutcomeUnknown(now, heat.ticket, heat.step, "slept"),)
    return (TimeUp(now, heat.ticket, heat.step, due),)


def _lapsed(state: State, check: Check, now: Now) -> tuple[Event, ...]:
    """The check of the press, where it holds no longer."""
    why = None if state.job is None else why_lapsed(state, state.job, now)
    return () if why is None else (VerificationLapsed(now, check.press, why),)


def _what_is_next(state: State, now: Now) -> tuple[Event, ...]:
    job = state.job
    if job is None or not state.operator or state.heat is not None or job.done:
        return ()
    if job.slot:
        return _asked_again(state, job, now)
    if is_over(job):
        return (JobDone(now, job.job),)
    name = next_ready(job)
    if not name or lot_hold(job) is not None:
        return ()
    return (TicketCalled(now, name, questions_for(state, job, job.tickets[name], now)),)


def _asked_again(state: State, job: JobRun, now: Now) -> tuple[Event, ...]:
    """The number of the garment at hand, read anew by other or rested hands."""
    because = Changed.OPERATOR if state.changed_operator else Changed.BREAK
    if because is Changed.BREAK and not had_break(state, now):
        return ()
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS or not ticket.garment.number:
        return ()
    hot = next_hot(pass_of(job, ticket), ticket.step, ticket.skipped)
    if hot is None or any(q.ask is Ask.NUMBER for q in job.questions):
        return ()
    asked = (*job.questions, number_question(job, ticket, because))
    return (TicketCalled(now, ticket.id, asked),)
