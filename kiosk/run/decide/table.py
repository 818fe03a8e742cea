"""Which command may be given while the station is in the middle of what: all of it in one table.

A command that stands here as legal can still be turned away for its content; one that does
not stand here never gets that far.
"""

from __future__ import annotations

from kiosk.catalog.base import Message, Value
from kiosk.run.facts.kind import Kind
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.event import Event
from kiosk.run.state.model import Refusal

_EVERY = frozenset(Kind)
_STARTED = _EVERY - {Kind.NEW}
_WITH_JOB = _STARTED - {Kind.IDLE}
_HANDS = frozenset({Kind.HANDS, Kind.ASK, Kind.SETTING, Kind.VERIFY, Kind.TRIAL})
_COOL = _HANDS | {Kind.DONE, Kind.LOT}
_CLOSED = frozenset({Kind.HEAT, Kind.OVER, Kind.UNASKED})

LEGAL: dict[type[c.Command], frozenset[Kind]] = {
    c.Forward: _CLOSED | {Kind.HANDS, Kind.OPEN_FIRST, Kind.HELD},
    c.Tick: _EVERY,
    c.Start: _EVERY,
    c.SignOn: _COOL | {Kind.OFF, Kind.IDLE, Kind.HELD},
    c.SignOff: _COOL | {Kind.OFF, Kind.IDLE, Kind.HELD},
    c.ChooseDisplay: _STARTED,
    c.HandOver: _COOL | {Kind.IDLE, Kind.HELD},
    c.SetCues: _STARTED,
    c.LearnKey: _COOL | {Kind.OFF, Kind.IDLE, Kind.HELD},
    c.ForgetKeys: _COOL | {Kind.OFF, Kind.IDLE, Kind.HELD},
    c.StartJob: frozenset({Kind.IDLE, Kind.DONE}),
    c.LeaveJob: _COOL,
    c.ReadSetting: _HANDS,
    c.Read: frozenset({Kind.ASK}),
    c.SayOpened: _COOL | _CLOSED | {Kind.OPEN_FIRST},
    c.SayClosed: frozenset({Kind.ASK_CLOSED}),
    s.SayNeverClosed: _COOL,
    s.SayPressed: frozenset({Kind.HANDS}),
    c.PressClosed: _STARTED,
    c.PressOpened: _STARTED,
    c.Back: _COOL,
    c.HoldOn: _HANDS | {Kind.LOT},
    c.Skip: frozenset({Kind.HANDS}),
    c.PutAside: _HANDS,
    c.Inspect: _COOL | _CLOSED | {Kind.HELD, Kind.ASK_CLOSED},
    c.RowChanged: _WITH_JOB,
    c.AllowRepress: _WITH_JOB,
    c.Rule: _WITH_JOB,
    s.VerifyPress: frozenset({Kind.VERIFY}),
    s.LetPass: frozenset({Kind.VERIFY, Kind.TRIAL, Kind.LOT}),
    s.JudgeFirst: frozenset({Kind.LOT}),
    s.BeginTrial: frozenset({Kind.TRIAL}),
    s.TryFirst: frozenset({Kind.TRIAL}),
    s.JudgeTrial: frozenset({Kind.TRIAL}),
    s.LeaveTrial: _STARTED,
    s.NoteTrial: _STARTED,
    s.TryPin: _STARTED,
    s.ChoosePin: _STARTED,
    s.NoteRecipes: _STARTED,
    s.SeeTo: _STARTED,
    s.ConfirmColumns: frozenset({Kind.IDLE, Kind.DONE}),
    s.DeleteNames: _EVERY,
    s.GiveEstimate: _WITH_JOB,
    s.SayPlace: _COOL | _CLOSED | {Kind.HELD, Kind.ASK_CLOSED},
    s.Touch: _COOL | _CLOSED | {Kind.HELD, Kind.ASK_CLOSED},
    s.Learn: _WITH_JOB,
    s.ResetLearning: _STARTED,
}


def is_legal(command: type[c.Command], kind: Kind) -> bool:
    """Return whether `command` may be given at all while the station is in the middle of `kind`."""
    return kind in LEGAL[command]


Decision = tuple[Event, ...] | Refusal
"""The events of a command, or why it is turned away."""


def refuse(why: str, **values: Value) -> Refusal:
    """Return the refusal whose sentence is `refuse.<why>`."""
    return Refusal(Message(f"refuse.{why}", values))
