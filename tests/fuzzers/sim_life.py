"""One life of a station's program, in its own process, from its start to its end."""

from __future__ import annotations

import gc
import os
import signal
import traceback
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from sim_faults import Deaths, die, full
from sim_station import Place, Station
from sim_story import Foot, FullDisk, Killed, Slept, Wall, Work

from kiosk.log.record.recorder import start
from kiosk.log.store.errors import LogFault
from kiosk.log.store.migrations import LogHead
from kiosk.run.apply.fold import replay
from kiosk.run.state.event import Now
from kiosk.run.state.state import State

MOST_ACTS = 40  # until it is killed if it did not die by itself
LONELY_SECONDS = 5.0
LATER = Now("mended", 1.0, 1_770_500_000.0)
WORKED, REFUSED, WRONG, DIED = "worked", "refused", "wrong", "died"


HOLED = "events are missing before others"


class Holed(Exception):
    """The mended log lacks events before others: people begin a new one (docs/fuzzing.md)."""


class Broken(AssertionError):
    """Something that must hold does not."""


class Life:
    """A station's process; `shadow` is the expected state of its log, if known."""

    def __init__(
        self, place: Place, number: int, log: Path, shadow: tuple[LogHead, State] | None
    ) -> None:
        self.told: Any = None  # value returned with the last answer
        self._ours, theirs = Pipe()
        self.pid = os.fork()
        if self.pid == 0:
            try:
                self._ours.close()
                gc.freeze()  # objects of the parent are neither collected nor copied
                _Child(theirs, place, number, log, shadow).serve()
            except BaseException:
                traceback.print_exc()
            finally:
                os._exit(1)
        theirs.close()

    def ask(self, what: str, *arguments: Any) -> str:
        """Send a request; return its outcome. Raises Broken if something is wrong."""
        try:
            self._ours.send((what, arguments))
            answer, told = self._ours.recv()
        except (EOFError, ConnectionError):
            answer, told = DIED, ""
        self.told = told
        if answer == WRONG:
            self.kill()
            raise Broken(told)
        if answer in (DIED, REFUSED):
            self.kill()
        return str(answer)

    def kill(self) -> None:
        if self.pid:
            os.kill(self.pid, signal.SIGKILL)
            _, status = os.waitpid(self.pid, 0)
            self._ours.close()
            self.pid = 0
            if not os.WIFSIGNALED(status):
                raise Broken(f"a process ended by itself: {status}")


class _Child:
    """Runs in the process."""

    def __init__(
        self, asked: Connection, place: Place, number: int, log: Path,
        shadow: tuple[LogHead, State] | None,
    ) -> None:  # fmt: skip
        self._asked, self._parent = asked, os.getppid()
        self._place, self._number, self._log, self._shadow = place, number, log, shadow
        self._station: Station | None = None
        self._deaths = Deaths()

    def serve(self) -> None:
        """Answer requests until the end."""
        while True:
            while not self._asked.poll(LONELY_SECONDS):
                if os.getppid() != self._parent:
                    return
            what, arguments = self._asked.recv()
            try:
                answer = WORKED, getattr(self, what)(*arguments)
            except LogFault as fault:
                answer = REFUSED, fault.message.id
            except Holed:
                answer = REFUSED, HOLED
            except BaseException:
                answer = WRONG, traceback.format_exc()
            self._asked.send(answer)

    def work(self, asked: Work) -> None:
        fault = asked.fault
        if isinstance(fault, Killed) and fault.starting:
            self._arm(fault)
        station = self._up(asked.seed)
        station.work(asked.acts, asked.seed)
        if isinstance(fault, Killed):
            if not fault.starting:
                self._arm(fault)
            station.work(MOST_ACTS, asked.seed + 1)
            die()
        if fault is not None:
            self._suffer(station, fault, asked.seed)

    def _suffer(self, station: Station, fault: object, seed: int) -> None:
        if isinstance(fault, FullDisk):
            station.disk_is_full = True
            with full(self._log, fault.room):
                station.work(fault.acts, seed + 1)
            station.pass_time(2.0)
            station.disk_is_full = False
        elif isinstance(fault, Wall):
            station.pass_time(1.0, fault.seconds)
        elif isinstance(fault, Slept):
            station.pass_time(fault.seconds)
        elif isinstance(fault, Foot):
            station.unclean, station.stuck_next = True, fault.stuck
            station.work(10, seed + 1)
            station.unclean = False

    def _arm(self, fault: Killed) -> None:
        store = None if self._station is None else self._station._recorder.store
        connection = None if store is None else store._connection
        self._deaths.arm(fault.by, fault.nth, self._log, connection)

    def finish(self, acts: int, seed: int) -> None:
        """Work like people who want to go home."""
        self._up(seed).work(acts, seed, supervised=True)

    def wish(self) -> dict[str, Any]:
        return {} if self._station is None else self._station.wish()

    def follow(self, answer: dict[str, Any]) -> None:
        if self._station is not None:
            self._station.follow(answer)

    def put_back(self) -> None:
        if self._station is not None:
            self._station.put_back()

    def stop(self) -> None:
        if self._station is not None:
            self._station.end()
            self._station = None

    def _up(self, seed: int) -> Station:
        """Return the station, started if it is down; its state must match the known one."""
        if self._station is None:
            recorder, mended = start(self._log, LATER, simulated=True)
            if self._shadow is not None and recorder.store.head == self._shadow[0]:
                assert recorder.state == self._shadow[1], "a start comes to another state"
            if mended is not None:
                if mended.behind_gap:
                    raise Holed
                found = replay([each.event for each in recorder.store.events()])
                assert recorder.state == found, "mended, and the start comes to another state"
            self._place.truth.tell(self._number, recorder.store.head)
            self._station = Station(recorder, self._place, self._number, seed)
        return self._station
