"""Goes through a log past events that cannot be read: all of it at once, or a few at a time."""

from collections.abc import Iterator
from pathlib import Path

from kiosk.catalog.base import Message, say
from kiosk.log.rescue.pages import rows_of_pages
from kiosk.log.store import Damaged, LogFault, Store, Stored, Told, readable
from kiosk.log.store.migrations import root
from kiosk.plan.model import Phase, Plan
from kiosk.run.state import Event, Now
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as sh
from kiosk.run.state import events_station as st

TicketKey = tuple[str, str]  # job, ticket
Closing = e.Closed | e.ToldPressed | e.NotClosed | e.NeverClosed


class Finals:
    """The finals of every ticket as they go by.

    A final counts when it starts; one that turns out not to have been closed does not. The
    first is asked for by the job, each further one needs a supervisor's word before it.
    """

    def __init__(self) -> None:
        self._plans: dict[str, Plan] = {}
        self._job = ""
        self._allowed: dict[TicketKey, int] = {}
        self._begun: dict[TicketKey, list[bool]] = {}  # for each final: was it asked for?

    @property
    def unasked(self) -> frozenset[TicketKey]:
        """The tickets with a further final that no supervisor asked for."""
        return frozenset(key for key, finals in self._begun.items() if not all(finals))

    def note(self, event: Event) -> None:
        """Take note of the next event of the log."""
        if isinstance(event, e.JobStarted):
            self._plans.setdefault(event.job, event.plan)
        if isinstance(event, e.JobStarted | e.JobTaken):
            self._job = event.job
        elif isinstance(event, st.LogSalvaged) and event.hole:
            self._job = ""
        elif isinstance(event, sh.RepressAllowed):
            key = (self._job, event.ticket)
            self._allowed[key] = self._allowed.get(key, 0) + 1
        elif isinstance(event, Closing) and self._is_final(event):
            finals = self._begun.setdefault((self._job, event.ticket), [])
            if isinstance(event, e.NotClosed | e.NeverClosed):
                del finals[-1:]
            else:
                finals.append(len(finals) <= self._allowed.get((self._job, event.ticket), 0))

    def _is_final(self, event: Closing) -> bool:
        """A ticket is named `<line>/<pass, from 1>/<copy>`."""
        plan = self._plans.get(self._job)
        parts = event.ticket.rsplit("/", 2)
        if plan is None or len(parts) < 3 or not parts[1].isdecimal():
            return False
        passage = int(parts[1]) - 1
        if not 0 <= passage < len(plan.passes):
            return False
        steps = plan.passes[passage].steps
        return event.step < len(steps) and steps[event.step].phase is Phase.FINAL


NAMED = 20
"""So many bad events are named each by itself; a whole broken disk would fill the screen."""


class Walk:
    """What goes by: `events` good ones, the number of the last, the `bad`, the broken links.

    `missing` are the first and last numbers of events that are not there at all.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.events = 0
        self.last = 0
        self.finals = Finals()
        self.bad: list[int] = []
        self.broken: list[int] = []
        self.missing: list[tuple[int, int]] = []
        self._before: bytes | None = None

    @property
    def holes(self) -> bool:
        """Whether any event until now was not to be read."""
        return bool(self.bad or self.missing)

    def good(self, store: Store, first: int = 1, last: int | None = None) -> Iterator[Told]:
        """Yield the good events from `first` to `last`. Raises Damaged where SQLite gives up."""
        if first == 1:
            self._before = root(store.station)
        for stored in store.stored(first, last):
            self._step(stored.seq)
            self._link(stored)
            event = readable(store.path, stored)
            if event is None:
                self.bad.append(stored.seq)
            else:
                yield self._count(event)

    def by_page(self) -> Iterator[Told]:
        """Yield the good events behind the last, read without SQLite; links are not looked at."""
        for seq, (row, total) in rows_of_pages(self.path).items():
            if seq > self.last:
                event = readable(self.path, Stored(seq, row, total, b""))
                if event is not None:
                    self._step(seq)
                    yield self._count(event)

    def faults(self) -> list[Message]:
        """Return what was not as it should be, the first events by their numbers."""
        found = [say("log.rotten", path=str(self.path), seq=seq) for seq in self.bad]
        found += [say("log.fault.missing", first=a, last=b) for a, b in self.missing]
        found += [say("log.fault.chain", seq=seq) for seq in self.broken]
        more = len(found) - NAMED
        found = found[:NAMED] if more > 1 else found
        if more > 1:
            found.append(say("log.fault.more", count=more))
        return found

    def _count(self, told: Told) -> Told:
        self.events += 1
        self.finals.note(told.event)
        return told

    def _step(self, seq: int) -> None:
        if seq != self.last + 1:
            self.missing.append((self.last + 1, seq - 1))
            self._before = None
        self.last = seq

    def _link(self, stored: Stored) -> None:
        if self._before is not None and stored.whole and not stored.follows(self._before):
            self.broken.append(stored.seq)
        self._before = stored.digest


A_DAY = 1_000_000
"""Events read in a day at most: a record of a year in one."""
STEP = 50
"""Events of one look, about a millisecond."""
EVERY_SECONDS = 86_400 * STEP / A_DAY
MOST_BYTES = 200_000
"""Of one look: a start record may hold a thousand garments."""


class Patrol:
    """Goes round and round a station's log. `read` counts events, `fault` ended it."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._next = 0
        self._due = float("-inf")
        self._told: set[int] = set()
        self.read = 0
        self.fault: LogFault | None = None

    @property
    def told(self) -> tuple[int, ...]:
        """The numbers of all bad events found so far."""
        return tuple(sorted(self._told))

    def look(self, now: Now) -> tuple[int, ...]:
        """Read the next events if it is time to; return the numbers of those newly found bad."""
        if now.clock < self._due or self.fault is not None or not self._store.last:
            return ()
        self._due = now.clock + EVERY_SECONDS
        if not 0 < self._next <= self._store.last:  # begin anywhere: a start at 1 each morning
            self._next = 1 if self._next else int(now.wall) % self._store.last + 1  # saw no end
        try:
            bad = set(self._look()) - self._told
        except Damaged as fault:
            self.fault = fault
            return ()
        except LogFault:  # held for a moment, or not at its path: the next look may do
            return ()
        self._told |= bad
        return tuple(sorted(bad))

    def _look(self) -> list[int]:
        """A connection of its own: the station's keeps pages in memory, where no rot is seen."""
        with Store.unexamined(self._store.path) as reader:
            return self._check(reader)

    def _check(self, reader: Store) -> list[int]:
        before = reader.head_at(self._next - 1)
        digest, size, bad = None if before is None else before.digest, 0, []
        for stored in reader.stored(self._next, self._next + STEP - 1):
            if not _holds(stored, digest):
                bad.append(stored.seq)
            digest, self._next = stored.digest, stored.seq + 1
            self.read += 1
            size += len(stored.row.payload)
            if size >= MOST_BYTES:
                return bad
        return bad


def _holds(stored: Stored, before: bytes | None) -> bool:
    return stored.whole and (before is None or stored.follows(before))
