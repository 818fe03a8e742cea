"""Starts of the program, operators signing on and off, the station's cues and keys."""

from math import ceil

from kiosk.catalog.base import Degrees, one_line, say
from kiosk.catalog.model import LANGUAGES
from kiosk.run.facts import check_holds, pin_wait
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state import events_shift as e
from kiosk.run.state.event import Decision, Event, Now, refuse
from kiosk.run.state.events import OutcomeUnknown
from kiosk.run.state.events_shift import CuesSet, DisplayChosen, KeyLearned, KeysForgotten
from kiosk.run.state.events_station import HandedOver, SignedOff, SignedOn, StationStarted
from kiosk.run.state.rules import Display
from kiosk.run.state.state import State


def start(state: State, command: c.Start, now: Now) -> Decision:
    """Start the program: heat under way either keeps counting or has an unseen outcome."""
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
    """An operator takes the station, perhaps from another one."""
    operator = command.operator.strip()
    if not operator:
        return refuse("sign_on.initials")
    return (SignedOn(now, operator, command.confirm),)


def hand_over(state: State, command: c.HandOver, now: Now) -> Decision:
    """End the shift; the handover lists everything that the next operator takes over."""
    job = state.job
    setting = None if job is None else job.setting
    return (
        HandedOver(
            now,
            state.operator,
            command.to.strip(),
            state.current,
            "" if job is None else job.slot,
            () if job is None else job.rack,
            () if job is None else job.aside,
            setting,
            job is not None and job.set_for is not None and check_holds(state, job, job.set_for),
            command.notes,
        ),
    )


def choose_display(state: State, command: c.ChooseDisplay, now: Now) -> Decision:
    """Change language, units or stillness for the operator at the station; nothing else changes."""
    for value, allowed in _choices(command.display):
        if value and value not in allowed:
            return refuse("display.unknown", found=one_line(value), allowed=allowed)
    if command.display == state.display:
        return ()
    return (DisplayChosen(now, state.operator, command.display),)


def _choices(display: Display) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return each choice with its allowed values; "" means the shop's default."""
    return (
        (display.language, LANGUAGES),
        (display.degrees, tuple(degrees.value for degrees in Degrees)),
        (display.length, ("in", "mm")),
    )


def set_cues(state: State, command: c.SetCues, now: Now) -> Decision:
    """Turn each cue on or off."""
    return (CuesSet(now, command.tones, command.voice, command.vibration),)


def learn_key(state: State, command: c.LearnKey, now: Now) -> Decision:
    """Learn a key for one role; a key that has another role is refused."""
    other_role = dict(state.keys).get(command.scancode)
    if other_role is not None and other_role is not command.role:
        return refuse("key.taken", role=say(f"role.{other_role.name.lower()}"))
    return (KeyLearned(now, command.role, command.scancode),)


def forget_keys(state: State, command: c.ForgetKeys, now: Now) -> Decision:
    """Go back to the built-in keys."""
    return (KeysForgotten(now),) if state.keys else ()


def try_pin(state: State, command: s.TryPin, now: Now) -> Decision:
    """Record an entry of the PIN, unless wrong ones require a wait."""
    wait = pin_wait(state, now)
    if wait > 0:
        return refuse("pin.wait", seconds=ceil(wait))
    return (e.PinTried(now, command.right),)


def choose_pin(state: State, command: s.ChoosePin, now: Now) -> Decision:
    """Record that somebody with access to the machine chose a PIN."""
    return (e.PinChosen(now),)


def note_recipes(state: State, command: s.NoteRecipes, now: Now) -> Decision:
    """Record the shop's files if they have changed."""
    if command.digest == state.recipes:
        return ()
    count = max(command.count, len(command.changes))
    return (e.RecipesRead(now, command.digest, command.changes, count, command.on_screen),)


def note_upkeep(state: State, command: s.NoteUpkeep, now: Now) -> Decision:
    """Record that a part of a press was serviced; its closings count from zero again."""
    closings = state.closings.get(command.press, 0)
    return (e.UpkeepDone(now, command.press, command.part, closings),)


def confirm_columns(state: State, command: s.ConfirmColumns, now: Now) -> Decision:
    """Record the confirmed columns of a job not yet begun, once."""
    if state.columns.get(command.job) == command.columns:
        return ()
    return (e.ColumnsConfirmed(now, command.job, command.columns, command.digest),)


def approve_proof(state: State, command: s.ApproveProof, now: Now) -> Decision:
    """Record that a job's proof was approved; the list of its garments is kept with the job."""
    return (e.ProofApproved(now, command.job, command.by, command.count, command.digest),)


def take_order(state: State, command: s.TakeOrder, now: Now) -> Decision:
    """Record that an order became a job."""
    job, columns, digest = command.job, command.columns, command.digest
    return (e.OrderTaken(now, job, columns, digest, command.garments, command.answers),)


def delete_names(state: State, command: s.DeleteNames, now: Now) -> Decision:
    """Record that names were deleted."""
    return (e.NamesDeleted(now, command.job, command.count),)


def sign_off(state: State, command: c.GiveSignOff, now: Now) -> Decision:
    """Allow an operator grouped moves in one family, or withdraw that."""
    if not command.operator.strip() or not command.family:
        return refuse("sign_on.initials")
    if not command.supervisor.strip():
        return refuse("supervisor")
    return (
        SignedOff(
            now,
            command.operator.strip(),
            command.family,
            command.until,
            command.supervisor.strip(),
            command.met,
        ),
    )
