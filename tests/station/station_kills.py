"""Stations and simulations that are killed, and what became of their logs."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from station_driver import ROOT

from kiosk.log.recovery import recover
from kiosk.log.store import Store
from kiosk.run.apply import replay
from kiosk.run.events import Event, OutcomeUnknown, StationStarted
from kiosk.run.model import Heat, Now, Stage, State

STUCK_SECONDS = 60.0
HERE = Path(__file__).resolve().parent
ENVIRONMENT = {**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{HERE}"}


@dataclass
class Said:
    """What a killed process had said: `events` by their numbers, and its first `screen`."""

    events: dict[int, str] = field(default_factory=dict)
    screen: tuple[str, ...] = ()

    @property
    def last(self) -> int:
        """The last event that it had acknowledged."""
        return max(self.events, default=0)

    def hear(self, line: str) -> None:
        """Take a whole line."""
        first, *rest = line.split()
        if first == "screen":
            self.screen = tuple(rest)
        else:
            self.events[int(first)] = rest[0] if rest else ""


def killed(command: Sequence[str], lines: int, seconds: float) -> Said:
    """Start a process and kill it, `seconds` after it has said so many lines."""
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, cwd=ROOT, env=ENVIRONMENT
    )
    assert process.stdout is not None
    watchdog = threading.Timer(STUCK_SECONDS, process.kill)
    watchdog.start()
    heard = [process.stdout.readline() for _ in range(lines)]
    killer = threading.Timer(seconds, process.kill)
    killer.start()
    heard += process.communicate()[0].splitlines(keepends=True)
    assert watchdog.is_alive(), heard
    watchdog.cancel()
    killer.cancel()
    assert process.returncode in (0, -signal.SIGKILL), heard
    said = Said()
    for line in heard:
        if line.endswith("\n"):  # one that was cut off acknowledges nothing
            said.hear(line)
    return said


def station(place: Path, log: str, now: Now) -> list[str]:
    """The command line of a station in the window's child."""
    moment = [now.boot, str(now.clock), str(now.wall)]
    return [sys.executable, str(HERE / "station_child.py"), str(place), log, *moment]


def simulation(log: Path, seed: int) -> list[str]:
    """The command line of a made-up shift without an end."""
    asked = ["simulate", "lanterns-academy", "--acks", "--garments", "100000"]
    return [sys.executable, "-m", "kiosk", *asked, "--seed", str(seed), "--log", str(log)]


def state_in(log: Path) -> State:
    """The state that the log holds."""
    if not log.exists():
        return State()
    with Store.read_only(log) as store:
        return recover(store).state


def started_again(state: State, dice: random.Random) -> Now:
    """Some moment after the station stopped: soon or late, or after a reboot."""
    last = state.last or Now("boot 0", 100.0, 1_800_000_000.0)
    pause = dice.choice((dice.uniform(0.1, 3.0), dice.uniform(3.0, 30.0), dice.uniform(30, 900)))
    if dice.random() < 0.3:
        return Now(f"boot {dice.random()}", dice.uniform(20.0, 60.0), last.wall + pause)
    return Now(last.boot, last.clock + pause, last.wall + pause)


def wrong_start(before: State, now: Now, events: Sequence[Event], screen: Sequence[str]) -> str:
    """Return what is wrong with a start on the log of a killed station, "" where nothing is.

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
        if ticket is None or ticket.stage is not Stage.UNKNOWN:
            return f"{ticket} after {events[1]}"
    return wrong_screen(before, screen)


def wrong_screen(before: State, screen: Sequence[str]) -> str:
    """Return what is wrong with the first picture."""
    if not screen:
        return ""  # killed before it had drawn anything
    kind, ticket, opens = screen
    if before.heat is not None or before.open_first:
        asked = before.asked_closed and kind == "ASK_CLOSED"
        return "" if asked or opens == "True" else f"hot, and on the screen: {screen}"
    slot = before.job.slot if before.job is not None and before.operator else ""
    return "" if not slot or ticket == slot else f"{slot} was at the press, and then {screen}"


def is_lost(heat: Heat, now: Now) -> bool:
    """Whether nobody can know any more how long this heat was."""
    if heat.closed.boot != now.boot:
        return True
    return heat.deadline is not None and not heat.rang and now.clock >= heat.deadline
