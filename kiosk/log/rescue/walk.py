"""Goes through a log event by event and past those that cannot be read, which it names."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from kiosk.catalog.base import Message, say
from kiosk.log.rescue import pages
from kiosk.log.rescue.finals import Finals
from kiosk.log.store import chain, codec
from kiosk.log.store.errors import Newer
from kiosk.log.store.store import Recorded, Store, Stored

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

    def good(self, store: Store, first: int = 1, last: int | None = None) -> Iterator[Recorded]:
        """Yield the good events from `first` to `last`. Raises Damaged where SQLite gives up."""
        if first == 1:
            self._before = chain.root(store.station)
        for stored in store.stored(first, last):
            self._step(stored.seq)
            self._link(stored)
            event = readable(store.path, stored)
            if event is None:
                self.bad.append(stored.seq)
            else:
                yield self._count(event)

    def by_page(self) -> Iterator[Recorded]:
        """Yield the good events behind the last, read from the file without SQLite.

        Their links are not looked at.
        """
        for seq, (row, total) in pages.rows(self.path).items():
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

    def _count(self, recorded: Recorded) -> Recorded:
        self.events += 1
        self.finals.note(recorded.event)
        return recorded

    def _step(self, seq: int) -> None:
        if seq != self.last + 1:
            self.missing.append((self.last + 1, seq - 1))
            self._before = None
        self.last = seq

    def _link(self, stored: Stored) -> None:
        if self._before is not None and stored.whole and not stored.follows(self._before):
            self.broken.append(stored.seq)
        self._before = stored.digest


def readable(path: Path, stored: Stored) -> Recorded | None:
    """Return the event of a row, None where it cannot be read. Raises Newer."""
    if not stored.whole:
        return None
    try:
        return Recorded(stored.seq, codec.decode(stored.row))
    except codec.FromNewer as error:
        raise Newer(say("log.newer", path=str(path), found=str(error))) from error
    except codec.Unreadable:
        return None
