"""May this be done now, and what happens then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kiosk.run.apply.fold import replay
from kiosk.run.decide import checks, closing, cooling, job, result, session
from kiosk.run.decide.bar import meaning_of
from kiosk.run.decide.clock import settle
from kiosk.run.decide.forward import forward
from kiosk.run.decide.table import Decision, is_legal, refuse
from kiosk.run.facts.kind import kind_of
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events_station import WallClockMoved
from kiosk.run.state.model import Refusal, State

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
    s.SayNeverClosed: closing.say_never_closed,
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
    s.DeleteNames: session.delete_names,
    s.GiveEstimate: cooling.give_estimate,
    s.SayPlace: cooling.say_place,
    s.Touch: cooling.touch,
    s.Learn: cooling.learn,
    s.ResetLearning: cooling.reset_learning,
}


def decide(state: State, command: c.Command, now: Now) -> Decision:
    """Return the events that `command` makes at `now`, or a refusal, which changes nothing.

    What was due before the command (an end of time) and what follows from it (the next
    ticket, the job's end) stand in the same tuple, in order.
    """
    before = _wall_clock(state, now)
    if not isinstance(command, c.Start):
        before += settle(state, now)
    state = replay(before, state)
    kind = kind_of(state, now)
    if not is_legal(type(command), kind):
        return refuse(f"while.{kind.name.lower()}")
    if isinstance(command, c.Forward):
        decided = forward(state, command, now, meaning_of(state, kind, now))
    else:
        decided = _DECIDE[type(command)](state, command, now)
    if isinstance(decided, Refusal):
        return decided
    state = replay(decided, state)
    return before + decided + settle(state, now)


def _wall_clock(state: State, now: Now) -> tuple[Event, ...]:
    last = state.last
    if last is None or state.boot != now.boot or last.boot != now.boot:
        return ()
    jump = (now.wall - now.clock) - (last.wall - last.clock)
    return (WallClockMoved(now, jump),) if abs(jump) > WALL_JUMP_SECONDS else ()
