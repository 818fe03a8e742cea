"""How the station is heard and worked: cues and keys."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.run import commands as c
from kiosk.run.decision import Decision, refuse
from kiosk.run.events_cues import CuesSet, KeyLearned, KeysForgotten
from kiosk.run.model import Now, State


def set_cues(state: State, command: c.SetCues, now: Now) -> Decision:
    """Turn each of the cues on or off."""
    return (CuesSet(now, command.tones, command.voice, command.vibration),)


def learn_key(state: State, command: c.LearnKey, now: Now) -> Decision:
    """A key has one role: one that is another's already is turned away."""
    taken = dict(state.keys).get(command.scancode)
    if taken is not None and taken is not command.role:
        return refuse("key.taken", role=say(f"role.{taken.name.lower()}"))
    return (KeyLearned(now, command.role, command.scancode),)


def forget_keys(state: State, command: c.ForgetKeys, now: Now) -> Decision:
    """Go back to the keys that the program knows."""
    return (KeysForgotten(now),) if state.keys else ()
