"""Goes through a log past unreadable events: all at once, or a few at a time."""

from collections.abc import Iterator
from pathlib import Path

from kiosk.catalog.base import Message, say
from kiosk.log.rescue.pages import rows_of_pages
from kiosk.log.store import Damaged, LogFault, LoggedEvent, Store, StoredRow, readable
from kiosk.log.store.migrations import root
from kiosk.plan.model import Phase, Plan
from kiosk.run.state import Event, Now
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as sh
from kiosk.run.state import events_station as st

TicketKey = tuple[str, str]  # job, ticket
Closing = e.Closed | e.ToldPressed | e.NotClosed | e.NeverClosed


class FinalCounter:
    """Counts the finals of every ticket.

    A final counts when it starts, unless the press turns out not to have closed. The first is due
    by the plan; each further one needs a supervisor's approval before it.
    """

    def __init__(self) -> None:
        self._plans: dict[str, Plan] = {}
        self._job = ""
        self._allowed: dict[TicketKey, int] = {}
        self._begun: dict[TicketKey, list[bool]] = {}  # for each final: is it first, or approved?

    @property
    def unasked(self) -> frozenset[TicketKey]:
        """The tickets with a further final that no supervisor approved."""
        return frozenset(key for key, finals in self._begun.items() if not all(finals))

    def note(self, event: Event) -> None:
        """Process the next event of the log."""
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
        """Whether a closing is a final. A ticket is named `<line>/<pass, from 1>/<copy>`."""
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
"""Number of bad events named individually; a broken disk would otherwise fill the screen."""


class LogWalk:
    """Counts good events; collects the last number, bad events and broken links on the way.

    `missing` has the first and last number of each range of missing events.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.events = 0
        self.last = 0
        self.finals = FinalCounter()
        self.bad: list[int] = []
        self.broken: list[int] = []
        self.missing: list[tuple[int, int]] = []
        self._before: bytes | None = None

    @property
    def holes(self) -> bool:
        """Whether any event so far was bad or missing."""
        return bool(self.bad or self.missing)

    def good(self, store: Store, first: int = 1, last: int | None = None) -> Iterator[LoggedEvent]:
        """Yield the good events from `first` to `last`. Raises Damaged if SQLite cannot read on."""
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

    def by_page(self) -> Iterator[LoggedEvent]:
        """Yield the good events after the last one read, without SQLite or checking of links."""
        for seq, (row, total) in rows_of_pages(self.path).items():
            if seq > self.last:
                event = readable(self.path, StoredRow(seq, row, total, b""))
                if event is not None:
                    self._step(seq)
                    yield self._count(event)

    def faults(self) -> list[Message]:
        """Return the problems found, naming the first bad events by number."""
        found = [say("log.rotten", path=str(self.path), seq=seq) for seq in self.bad]
        found += [say("log.fault.missing", first=a, last=b) for a, b in self.missing]
        found += [say("log.fault.chain", seq=seq) for seq in self.broken]
        more = len(found) - NAMED
        found = found[:NAMED] if more > 1 else found
        if more > 1:
            found.append(say("log.fault.more", count=more))
        return found

    def _count(self, entry: LoggedEvent) -> LoggedEvent:
        self.events += 1
        self.finals.note(entry.event)
        return entry

    def _step(self, seq: int) -> None:
        if seq != self.last + 1:
            self.missing.append((self.last + 1, seq - 1))
            self._before = None
        self.last = seq

    def _link(self, stored: StoredRow) -> None:
        if self._before is not None and stored.whole and not stored.follows(self._before):
            self.broken.append(stored.seq)
        self._before = stored.digest


A_DAY = 1_000_000
"""Maximum number of events read in a day; about a year's record."""
STEP = 50
"""Events read in one look, taking about a millisecond."""
EVERY_SECONDS = 86_400 * STEP / A_DAY
MOST_BYTES = 200_000
"""Payload, in characters, that ends a look: a start record may hold a thousand garments."""


class LogPatrol:
    """Checks a station's log over and over. `read` counts events; a `fault` ends the checking."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._next = 0
        self._due = float("-inf")
        self._found: set[int] = set()
        self.read = 0
        self.fault: LogFault | None = None

    @property
    def found(self) -> tuple[int, ...]:
        """The numbers of all bad events found so far."""
        return tuple(sorted(self._found))

    def check_some(self, now: Now) -> tuple[int, ...]:
        """Read the next events if it is time to; return the numbers of newly found bad ones."""
        if now.clock < self._due or self.fault is not None or not self._store.last:
            return ()
        self._due = now.clock + EVERY_SECONDS
        # Start at a varying event, so that a station restarted daily still covers the whole log.
        if not 0 < self._next <= self._store.last:
            self._next = 1 if self._next else int(now.wall) % self._store.last + 1
        try:
            bad = set(self._look()) - self._found
        except Damaged as fault:
            self.fault = fault
            return ()
        except LogFault:  # locked for a moment, or not at its path: try again next time
            return ()
        self._found |= bad
        return tuple(sorted(bad))

    def _look(self) -> list[int]:
        """Check with a separate connection: the station's has pages in memory that hide damage."""
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


def _holds(stored: StoredRow, before: bytes | None) -> bool:
    return stored.whole and (before is None or stored.follows(before))
