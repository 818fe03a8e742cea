"""Reads old events again, a few at a time: what rots on the disk is found within the shift.

A start reads no event before its checkpoint, and nothing else does until a report: without
this a flipped bit would lie there for weeks.
"""

from __future__ import annotations

from kiosk.log.store.errors import Damaged, LogFault
from kiosk.log.store.store import Store, Stored
from kiosk.run.state import Now

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
