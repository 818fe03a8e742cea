"""May this be done now, and what happens then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kiosk.run.apply.fold import replay
from kiosk.run.decide.clock import settle
from kiosk.run.decide.closing import press_closed, press_opened, say_closed, say_opened
from kiosk.run.decide.cooling import give_estimate, learn, reset_learning, say_place, touch
from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.decide.detour import back, hold_on, put_aside, skip
from kiosk.run.decide.forward import forward
from kiosk.run.decide.job import leave_job, read, read_setting, start_job
from kiosk.run.decide.result import inspect
from kiosk.run.decide.session import (
    choose_display,
    forget_keys,
    hand_over,
    learn_key,
    set_cues,
    sign_on,
    start,
)
from kiosk.run.decide.shift import (
    choose_pin,
    confirm_columns,
    delete_names,
    judge_first,
    let_pass,
    note_recipes,
    see_to,
    try_pin,
    verify_press,
)
from kiosk.run.decide.supervisor import allow_repress, row_changed, rule, sign_off
from kiosk.run.decide.table import is_legal
from kiosk.run.decide.told import say_never_closed, say_pressed
from kiosk.run.decide.trial import (
    begin_trial,
    judge_trial,
    leave_trial,
    note_trial,
    try_first,
)
from kiosk.run.facts.kind import kind_of
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state import commands_trial as t
from kiosk.run.state.events import Event, WallClockMoved
from kiosk.run.state.model import Now, Refusal, State

WALL_JUMP_SECONDS = 5
"""Drift of the wall clock against the steady one that is recorded as a jump."""


def _tick(state: State, command: c.Tick, now: Now) -> Decision:
    """What is due is settled before and after every command: a tick adds nothing to it."""
    return ()


# Any: each function takes the one type of command that it stands beside.
_DECIDE: dict[type[c.Command], Callable[[State, Any, Now], Decision]] = {
    c.Forward: forward,
    c.Tick: _tick,
    c.Start: start,
    c.SignOn: sign_on,
    c.SignOff: sign_off,
    c.ChooseDisplay: choose_display,
    c.HandOver: hand_over,
    c.SetCues: set_cues,
    c.LearnKey: learn_key,
    c.ForgetKeys: forget_keys,
    c.StartJob: start_job,
    c.LeaveJob: leave_job,
    c.ReadSetting: read_setting,
    c.Read: read,
    c.SayOpened: say_opened,
    c.SayClosed: say_closed,
    c.SayNeverClosed: say_never_closed,
    c.SayPressed: say_pressed,
    c.PressClosed: press_closed,
    c.PressOpened: press_opened,
    c.Back: back,
    c.HoldOn: hold_on,
    c.Skip: skip,
    c.PutAside: put_aside,
    c.Inspect: inspect,
    c.RowChanged: row_changed,
    c.AllowRepress: allow_repress,
    c.Rule: rule,
    s.VerifyPress: verify_press,
    s.LetPass: let_pass,
    s.JudgeFirst: judge_first,
    t.BeginTrial: begin_trial,
    t.TryFirst: try_first,
    t.JudgeTrial: judge_trial,
    t.LeaveTrial: leave_trial,
    t.NoteTrial: note_trial,
    s.TryPin: try_pin,
    s.ChoosePin: choose_pin,
    s.NoteRecipes: note_recipes,
    s.SeeTo: see_to,
    s.ConfirmColumns: confirm_columns,
    s.DeleteNames: delete_names,
    c.GiveEstimate: give_estimate,
    c.SayPlace: say_place,
    c.Touch: touch,
    c.Learn: learn,
    c.ResetLearning: reset_learning,
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
