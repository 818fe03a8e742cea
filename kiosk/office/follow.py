"""The source of a board, one record or the shop's server, and how it is followed."""

import re
import time
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from datetime import date
from math import inf
from pathlib import Path
from threading import Event, Lock
from traceback import print_exc
from typing import Protocol

from kiosk.catalog.base import Message, say
from kiosk.log.facts import FactSource, JobStart, cycles_of, job_start, ready
from kiosk.log.record import HOLDS, Follower, StationLook
from kiosk.log.store import MOVED, CannotRecord, LogFault, Store, inode
from kiosk.office.job_output import jobs_made, pooled
from kiosk.office.pages import LEFT, SILENT_SECONDS, StationReading, Tile, Wall, jobs_below, tile
from kiosk.plan.model import Phase
from kiosk.run.facts import ScreenKind

LOOK_SECONDS = 0.1  # how often a file is looked at
AGAIN_SECONDS = 2.0  # before an unreadable place is tried again
LONGEST_WAIT = 5.0
PLANS_SECONDS = 4.0  # longest age of the list of orders with several plans
TWICE_SECONDS = 600.0  # two tablets under one name: heard in turns within this time
STUCK_SECONDS = 30.0  # without a look at the records: the wall says so
BEGUN = "SELECT seq FROM job WHERE job = ?"
KINDS = {each.value for each in ScreenKind}
PHASES = {"", *HOLDS, *(each.value for each in Phase)}


class StationWatch(Protocol):
    """Notices which stations have something new."""

    def looks(self, changed: Collection[str] | None) -> AbstractContextManager[list[StationLook]]:
        """Give the stations with these keys (None: all), read at one moment."""

    def apart(self) -> Mapping[str, tuple[Message, ...]]:
        """Return, by job name, what to say of each order that is pressed by several plans."""

    def wait(self, seconds: float) -> set[str]:
        """Return the keys of stations with news, after at most `seconds`."""


class BoardSource(Protocol):
    """What a board reads; `faults` are the exceptions reading can raise, each with a `message`."""

    @property
    def faults(self) -> tuple[type[Exception], ...]: ...  # noqa: D102 - the class says it

    def records(self) -> AbstractContextManager[list[FactSource]]:
        """Give every record, read at one moment, as reports use them."""

    def watched(self) -> AbstractContextManager[StationWatch]:
        """Give a watch on the stations."""


class OneLog:
    """A single record; its station may still be running."""

    faults: tuple[type[Exception], ...] = (LogFault,)

    def __init__(self, log: Path, clock: Callable[[], float] = time.time) -> None:
        self._log, self._clock = log, clock

    @contextmanager
    def records(self) -> Iterator[list[FactSource]]:
        """Give the record, read at one moment. Raises LogFault."""
        with Store.read_only(self._log) as store, store.reading():
            ready(store)
            yield [store]

    @contextmanager
    def watched(self) -> Iterator[StationWatch]:
        """Give a watch on the record. Raises LogFault."""
        with Store.read_only(self._log) as store:
            yield _LogWatch(self._log, store, self._clock)


class _LogWatch:
    """Polls whether another connection has written to the file."""

    def __init__(self, log: Path, store: Store, clock: Callable[[], float]) -> None:
        self._log, self._store, self._file, self._clock = log, store, inode(log), clock
        self._follower = Follower(store)
        self._moved = next(store.rows(MOVED))

    @contextmanager
    def looks(self, _: Collection[str] | None) -> Iterator[list[StationLook]]:
        """Give the record's station, or nothing if it has no events yet."""
        with self._store.reading():
            ready(self._store)
            activity = self._follower.activity()
            name = self._store.name
            yield (
                []
                if activity is None
                else [
                    StationLook(
                        name, name, self._store, activity, max(0.0, self._clock() - activity.wall)
                    )
                ]
            )

    def apart(self) -> Mapping[str, tuple[Message, ...]]:
        """Return nothing: one station has one plan per job."""
        return {}

    def wait(self, seconds: float) -> set[str]:
        """Return the record's key once written to. Raises LogFault if the file was replaced."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            time.sleep(min(left, LOOK_SECONDS))
            if inode(self._log) != self._file:
                raise CannotRecord(say("log.displaced", path=str(self._log)))
            if (moved := next(self._store.rows(MOVED))) != self._moved:
                self._moved = moved
                return {self._store.name}
        return set()


def _by_number(station: StationReading) -> list[tuple[int, str]]:
    """Sort key that puts press-2 before press-10."""
    return [(int(each), "") if each.isdecimal() else (-1, each)
            for each in re.split(r"(\d+)", station.name)]  # fmt: skip


def _tile(station: StationReading, now: float, wall: float) -> Tile:
    """Return a station's tile; if its program is newer than the board's, a tile saying so."""
    if station.activity.kind in KINDS and station.activity.phase in PHASES:
        return tile(station, now, wall)
    return Tile(
        station.name, "quiet", say("wall.newer"), "", 0.0, "", station.title, 0, 0, None, (), 0,
        None,
    )  # fmt: skip


def _takes_turns(when: Sequence[float], now: float) -> bool:
    """Whether two records alternated lately under one name; a new tablet is one change."""
    return len(when) > 1 and now - when[-2] < TWICE_SECONDS


Tell = Callable[[], None]


class Board:
    """The stations as last read, and what the wall shows of them.

    `clock` gives steady seconds.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._lock, self._clock = Lock(), clock
        self._looked = clock()
        self._stations: dict[str, StationReading] = {}
        self._records: dict[str, str] = {}  # name: key of the record last read
        self._changes: dict[str, list[float]] = {}  # name: times at which the record changed
        self._fault: Message | None = None
        self.apart: Mapping[str, tuple[Message, ...]] = {}  # orders with several plans
        self._apart_read = -inf
        self._begun: dict[str, tuple[tuple[object, ...], JobStart | None]] = {}
        self._cycles: dict[str, tuple[int, Mapping[str, tuple[float, ...]]]] = {}

    def store(self, look: StationLook) -> None:
        """Store a station that was just read."""
        read, activity, source = self._clock(), look.activity, look.source
        begun_at = activity.job, *next(source.rows(BEGUN, activity.job), ())
        if self._begun.get(look.key, (None,))[0] != begun_at:
            self._begun[look.key] = (
                begun_at,
                job_start(source, activity.job) if activity.job else None,
            )
        if self._cycles.get(look.key, (-1, {}))[0] != activity.shift:
            self._cycles[look.key] = activity.shift, cycles_of(source)
        of_job = self._begun[look.key][1]
        reading = StationReading(
            look.name, activity, look.passed, read, "" if of_job is None else of_job.plan.title,
            dict(source.rows(LEFT, activity.job)), of_job, self._cycles[look.key][1],
            jobs_made(source), isinstance(source, Store) and bool(source.simulated),
        )  # fmt: skip  # the shop leaves simulations out
        with self._lock:
            self._stations[look.name] = reading
            before, self._records[look.name] = self._records.get(look.name, look.key), look.key
            if before != look.key:
                self._changes[look.name] = [*self._changes.get(look.name, ())[-1:], read]

    def set_fault(self, fault: Message | None) -> bool:
        """Store why nothing new can be read (None if it can); return whether that changed."""
        with self._lock:
            news, self._fault = fault != self._fault, fault
        return news

    def wall(self) -> Wall:
        """Return what the wall shows now."""
        now, wall = self._clock(), time.time()
        with self._lock:
            stations, fault = list(self._stations.values()), self._fault
            if fault is None and now - self._looked > STUCK_SECONDS:
                fault = say("wall.stuck")
            twice = [name for name, when in self._changes.items() if _takes_turns(when, now)]
        old = fault is not None
        if twice and not old:
            fault = say("wall.twice", names=tuple(sorted(twice)))
        elif not old and any(station.simulated for station in stations):
            fault = say("wall.simulated")
        tiles = tuple(_tile(station, now, wall) for station in sorted(stations, key=_by_number))
        apart = self.apart
        outputs = (output for station in stations for output in station.made)
        jobs = sorted(pooled(outputs), key=lambda output: output.job not in apart)
        today = date.fromtimestamp(wall).isoformat()
        shown = jobs_below(tiles)
        more = max(0, len(jobs) - shown)
        return Wall(tiles, tuple(jobs[:shown]), more, apart, today, fault, old)

    def seconds_until_change(self) -> float:
        """Return the seconds until the wall changes by itself, at most LONGEST_WAIT."""
        now, soonest = self._clock(), inf
        with self._lock:
            stations = list(self._stations.values())
        for station in stations:
            clock = station.activity.wall + station.silent_for(now)
            moments = [station.activity.wall + SILENT_SECONDS + 0.5]
            moments += [
                m for c in station.activity.rack for m in (c.begins, c.late) if m is not None
            ]
            soonest = min([soonest, *(m - clock for m in moments if m > clock)])
        return min(LONGEST_WAIT, soonest + 0.05)

    def follow(self, place: BoardSource, on_change: Tell, stop: Event) -> None:
        """Follow a place's stations until `stop`; `on_change` is called for each change."""
        while not stop.is_set():
            try:
                self._follow(place, on_change, stop)
            except place.faults as fault:
                self._show_fault(fault.message, on_change, stop)  # type: ignore[attr-defined]  # has one
            except Exception as error:  # a wall that stops without saying so is worse
                print_exc()
                why = f"{type(error).__name__}: {error}"
                self._show_fault(say("wall.failed", why=why), on_change, stop)

    def _show_fault(self, fault: Message, on_change: Tell, stop: Event) -> None:
        if self.set_fault(fault):
            on_change()
        stop.wait(AGAIN_SECONDS)

    def _follow(self, place: BoardSource, on_change: Tell, stop: Event) -> None:
        with place.watched() as watch:
            changed: set[str] | None = None
            while not stop.is_set():
                if changed is None or changed:
                    with watch.looks(changed) as looks:
                        for look in looks:
                            self.store(look)
                    self.set_fault(None)
                self._looked = self._clock()
                if self._looked - self._apart_read > PLANS_SECONDS:
                    self.apart, self._apart_read = watch.apart(), self._looked
                on_change()
                changed = watch.wait(self.seconds_until_change())
