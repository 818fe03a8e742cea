"""Starts stations and simulations to be killed, and checks their logs."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path

from kiosk.log.record.recovery import recover
from kiosk.log.store.store import Store
from kiosk.run.apply.fold import replay
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import OutcomeUnknown
from kiosk.run.state.events_station import StationStarted
from kiosk.run.state.model import Heat, TicketStage
from kiosk.run.state.state import State


def station(place: Path, log: str, now: Now) -> list[str]:
    """Return the arguments of `station_child.py`."""
    return [str(place), log, now.boot, str(now.clock), str(now.wall)]


def simulation(log: Path, seed: int) -> list[str]:
    """Return the arguments of `kiosk` for a made-up shift without an end."""
    arguments = ["simulate", "swim-school", "--acks", "--garments", "100000"]
    return [*arguments, "--seed", str(seed), "--log", str(log)]


READY = "import {child}, station_window; station_window.read_all()"
STATION = (READY.format(child="station_child"), "station_child.main")
TRIAL = (READY.format(child="trial_child"), "trial_child.main")
WORKER = """
import contextlib, io, tempfile
from kiosk.__main__ import main
with tempfile.TemporaryDirectory() as place, contextlib.redirect_stdout(io.StringIO()):
    main(["simulate", "swim-school", "--garments", "1", "--log", place + "/one.sqlite3"])
"""
SIMULATE = (WORKER, "main")


def state_in(log: Path) -> State:
    """Return the state that the log holds."""
    if not log.exists():
        return State()
    with Store.read_only(log) as store:
        return recover(store).state


def started_again(state: State, dice: random.Random) -> Now:
    """Return a moment after the station stopped: soon or late, or after a reboot."""
    last = state.last or Now("boot 0", 100.0, 1_800_000_000.0)
    pause = dice.choice((dice.uniform(0.1, 3.0), dice.uniform(3.0, 30.0), dice.uniform(30, 900)))
    if dice.random() < 0.3:
        return Now(f"boot {dice.random()}", dice.uniform(20.0, 60.0), last.wall + pause)
    return Now(last.boot, last.clock + pause, last.wall + pause)


def wrong_start(before: State, now: Now, events: Sequence[Event], screen: Sequence[str]) -> str:
    """Return what is wrong with a start on the log of a killed station, "" for nothing.

    Same boot before the deadline: the countdown goes on; after it, or after a reboot: outcome
    unknown, to be inspected; hot: the screen says OPEN (design.md section 3, After a stop).
    """
    heat = before.heat
    if not events:
        return ""  # killed before it had written anything
    if not isinstance(events[0], StationStarted):
        return f"began with {events[0]}"
    lost = heat is not None and is_lost(heat, now)
    if lost != (len(events) > 1 and isinstance(events[1], OutcomeUnknown)):
        return f"{heat} at {now}: {events[1:2]}"
    if heat is not None and lost and heat.ticket:
        found = replay(events[:2], before)
        ticket = found.job.tickets[heat.ticket] if found.job else None
        if ticket is None or ticket.stage is not TicketStage.UNKNOWN:
            return f"{ticket} after {events[1]}"
    return wrong_screen(before, screen)


def wrong_screen(before: State, screen: Sequence[str]) -> str:
    """Return what is wrong with the first picture."""
    if not screen:
        return ""  # killed before it had drawn anything
    kind, ticket, opens = screen
    if before.heat is not None or before.open_first:
        asked = before.asked_closed and kind == "ASK_CLOSED"
        heat = before.heat  # a countdown that goes on says only when to open
        counts = heat is not None and (kind, ticket) == ("HEAT", heat.ticket)
        return "" if asked or counts or opens == "True" else f"hot, and on the screen: {screen}"
    slot = before.job.slot if before.job is not None and before.operator else ""
    rack = before.job.rack if before.job is not None else ()  # it may be due before the load
    right = not slot or ticket == slot or ticket in rack
    return "" if right else f"{slot} was at the press, and then {screen}"


def is_lost(heat: Heat, now: Now) -> bool:
    """Return whether the length of this heat can no longer be known."""
    if heat.closed.boot != now.boot:
        return True
    return heat.deadline is not None and not heat.rang and now.clock >= heat.deadline
