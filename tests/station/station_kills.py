"""Stations and simulations that are killed, and what became of their logs."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

from station_driver import ROOT

from kiosk.log.record.recovery import recover
from kiosk.log.store.store import Store
from kiosk.run.apply.fold import replay
from kiosk.run.state.event import Event, Now
from kiosk.run.state.events import OutcomeUnknown
from kiosk.run.state.events_station import StationStarted
from kiosk.run.state.model import Heat, Stage, State

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


def station(place: Path, log: str, now: Now) -> list[str]:
    """What is asked of a station in the window's child."""
    return [str(place), log, now.boot, str(now.clock), str(now.wall)]


def simulation(log: Path, seed: int) -> list[str]:
    """What is asked of `kiosk` for a made-up shift without an end."""
    asked = ["simulate", "swim-school", "--acks", "--garments", "100000"]
    return [*asked, "--seed", str(seed), "--log", str(log)]


SERVER = """
import json, os, sys
{imports}
for line in sys.stdin:
    child = os.fork()
    if child == 0:
        print("pid", os.getpid(), flush=True)
        {call}(*json.loads(line))
        sys.stdout.flush()
        os._exit(0)
    _, status = os.waitpid(child, 0)
    print(flush=True)  # its last line may have been cut off
    print("ended", os.waitstatus_to_exitcode(status), flush=True)
"""
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


@contextmanager
def timer(seconds: float, pid: int) -> Iterator[None]:
    """Kill a process after so long, unless what is done here is done before."""

    def kill() -> None:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)

    running = threading.Timer(seconds, kill)
    running.start()
    try:
        yield
    finally:
        running.cancel()
        running.join()


class Forks:
    """Starts processes that are soon there: all they need is imported before they part."""

    def __init__(self, imports: str, call: str) -> None:
        self._server = subprocess.Popen(
            [sys.executable, "-c", SERVER.format(imports=imports, call=call)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT, env=ENVIRONMENT,
        )  # fmt: skip

    def killed(self, arguments: Sequence[object], lines: int, seconds: float) -> Said:
        """Start one and kill it, `seconds` after it has said so many lines."""
        said = Said()
        pid = self._begin(arguments)
        heard = self._heard()
        with timer(STUCK_SECONDS, pid):
            began = list(islice(heard, lines))
        assert len(began) == lines, began  # else it ended before it was killed
        with timer(seconds, pid):
            rest = list(heard)
        for line in filter(str.strip, began + rest):
            said.hear(line)
        return said

    def ended(self, arguments: Sequence[object]) -> int:
        """Start one that ends by itself; return how, as `subprocess` tells it."""
        with timer(STUCK_SECONDS, self._begin(arguments)):
            for _ in self._heard():
                pass
        return self._code

    def _begin(self, arguments: Sequence[object]) -> int:
        given, heard = self._server.stdin, self._server.stdout
        assert given is not None
        assert heard is not None
        given.write(json.dumps(arguments) + "\n")
        given.flush()
        return int(heard.readline().split()[1])

    def _heard(self) -> Iterator[str]:
        """What it says, up to its end."""
        for line in self._server.stdout or ():
            if line.startswith("ended"):
                self._code = int(line.split()[1])
                return
            yield line

    def close(self) -> None:
        """End the process that starts them."""
        self._server.communicate()


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
        heat = before.heat  # a countdown that goes on says when to open, and nothing else
        counts = heat is not None and (kind, ticket) == ("HEAT", heat.ticket)
        return "" if asked or counts or opens == "True" else f"hot, and on the screen: {screen}"
    slot = before.job.slot if before.job is not None and before.operator else ""
    rack = before.job.rack if before.job is not None else ()  # it may be due before the load
    right = not slot or ticket == slot or ticket in rack
    return "" if right else f"{slot} was at the press, and then {screen}"


def is_lost(heat: Heat, now: Now) -> bool:
    """Whether nobody can know any more how long this heat was."""
    if heat.closed.boot != now.boot:
        return True
    return heat.deadline is not None and not heat.rang and now.clock >= heat.deadline
