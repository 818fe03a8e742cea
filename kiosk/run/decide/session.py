"""Starts of the program, operators coming and going, how the station is heard and worked."""

from __future__ import annotations

from kiosk.catalog.base import say
from kiosk.run.decide.decision import Decision, refuse
from kiosk.run.facts.checks import check_holds
from kiosk.run.state import commands as c
from kiosk.run.state.events import Event, HandedOver, OutcomeUnknown, SignedOn, StationStarted
from kiosk.run.state.events_shift import CuesSet, DisplayChosen, KeyLearned, KeysForgotten
from kiosk.run.state.model import Now, State


def start(state: State, command: c.Start, now: Now) -> Decision:
    """A start: what was hot either goes on counting or has an outcome that nobody saw."""
    if state.boot and command.simulated != state.simulated:
        return refuse("start.simulated" if state.simulated else "start.real")
    started: tuple[Event, ...] = (StationStarted(now, command.version, command.simulated),)
    heat = state.heat
    if heat is None:
        return started
    if heat.closed.boot != now.boot:
        return (*started, OutcomeUnknown(now, heat.ticket, heat.step, "rebooted"))
    if heat.deadline is not None and not heat.rang and now.clock >= heat.deadline:
        return (*started, OutcomeUnknown(now, heat.ticket, heat.step, "stopped"))
    return started


def sign_on(state: State, command: c.SignOn, now: Now) -> Decision:
    """An operator takes the station, also from another one."""
    operator = command.operator.strip()
    if not operator:
        return refuse("sign_on.initials")
    return (SignedOn(now, operator, command.confirm),)


def hand_over(state: State, command: c.HandOver, now: Now) -> Decision:
    """The shift ends; what cools on the rack is the next operator's, and all of it is told."""
    job = state.job
    known = None if job is None else job.setting
    return (
        HandedOver(
            now,
            state.operator,
            command.to.strip(),
            state.current,
            "" if job is None else job.slot,
            () if job is None else job.rack,
            () if job is None else job.aside,
            known,
            job is not None and job.set_for is not None and check_holds(state, job, job.set_for),
            command.notes,
        ),
    )


def choose_display(state: State, command: c.ChooseDisplay, now: Now) -> Decision:
    """The one at the station wants another language, other units; nothing else changes."""
    if command.display == state.display:
        return ()
    return (DisplayChosen(now, state.operator, command.display),)


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
