"""The truth about a shop's tables, regardless of any log, and what each station reported.

One piece of memory shared by all processes: what a process wrote stays when it is killed.
"""

from __future__ import annotations

import mmap
import struct
from collections.abc import Collection, Sequence

from kiosk.log.store.migrations import LogHead
from kiosk.run.state.model import Ticket

COPIES = 24  # maximum for one garment
PASSES = 2
_HEAD = struct.Struct("<Q32sQ")
_HAS = struct.Struct("<H")
_OF_STATION = _HEAD.size + _HAS.size
PRESSED, ALLOWED, GOOD = range(3)  # of a garment
DONE, BEGUN, DOUBTFUL = range(3)  # of an order
HEADER = 3
NOWHERE = 65_535


class Truth:
    """Per garment: finals it had, those a person ordered beyond the first, and whether it is good.

    Per station: the last event it reported on disk, the number of events, and its order.
    """

    def __init__(self, stations: int, orders: Sequence[int]) -> None:
        self._at, place = [], stations * _OF_STATION
        self.garments = tuple(orders)
        for count in orders:
            self._at.append(place)
            place += HEADER + count * PASSES * COPIES * 3
        self._bytes = mmap.mmap(-1, place)
        for station in range(stations):
            self.leaves(station)

    def close(self) -> None:
        self._bytes.close()

    def _place(self, order: int, ticket: Ticket) -> int:
        assert ticket.copy <= COPIES, "a garment scrapped without an end"
        nth = ((int(ticket.garment.line) - 1) * PASSES + ticket.passage) * COPIES
        return self._at[order] + HEADER + (nth + ticket.copy - 1) * 3

    def of(self, order: int, ticket: Ticket) -> tuple[int, int, int]:
        """Return finals had, finals allowed beyond the first, whether it is good (0 or 1)."""
        place = self._place(order, ticket)
        pressed, allowed, good = self._bytes[place : place + 3]
        return pressed, allowed, good

    def add(self, order: int, ticket: Ticket, what: int, many: int) -> None:
        place = self._place(order, ticket) + what
        self._bytes[place] = max(0, self._bytes[place] + many)

    def judge(self, order: int, ticket: Ticket, good: bool) -> None:
        self._bytes[self._place(order, ticket) + GOOD] = good

    def is_made(self, order: int, line: int, passes: Collection[int]) -> bool:
        """Whether one copy of a garment has all of these passes pressed and good."""
        first = self._at[order] + HEADER + line * PASSES * COPIES * 3
        for copy in range(COPIES):
            places = (first + (nth * COPIES + copy) * 3 for nth in passes)
            if all(self._bytes[at + PRESSED] and self._bytes[at + GOOD] for at in places):
                return True
        return False

    def judged_as_it_lies(self, order: int, line: int) -> bool:
        """Return whether a garment was pressed in any copy; pressed passes then count as good."""
        first = self._at[order] + HEADER + line * PASSES * COPIES * 3
        places = range(first, first + PASSES * COPIES * 3, 3)
        pressed = [at for at in places if self._bytes[at + PRESSED]]
        for at in pressed:
            self._bytes[at + GOOD] = 1
        return bool(pressed)

    def is_so(self, order: int, what: int) -> bool:
        """Whether an order was reported DONE by a station, is BEGUN, or DOUBTFUL.

        For a doubtful order a station may not know all that was pressed: its log was set back, its
        disk full, or the order came from another station.
        """
        return self._bytes[self._at[order] + what] == 1

    def say(self, order: int, what: int) -> None:
        self._bytes[self._at[order] + what] = 1

    def told(self, station: int) -> LogHead:
        """Return the last event that a station reported on disk."""
        seq, digest, _ = _HEAD.unpack_from(self._bytes, station * _OF_STATION)
        return LogHead(seq, digest)

    def tell(self, station: int, head: LogHead, events: int = 0) -> None:
        many = self.events(station) + events
        _HEAD.pack_into(self._bytes, station * _OF_STATION, head.seq, head.digest, many)

    def events(self, station: int) -> int:
        """Return how many events a station reported in all."""
        many: int = _HEAD.unpack_from(self._bytes, station * _OF_STATION)[2]
        return many

    def takes(self, station: int, order: int) -> None:
        _HAS.pack_into(self._bytes, station * _OF_STATION + _HEAD.size, order)

    def leaves(self, station: int) -> None:
        self.takes(station, NOWHERE)

    def who_has(self, order: int, stations: int) -> tuple[int, ...]:
        """Return the stations that have an order at their press."""
        places = (nth * _OF_STATION + _HEAD.size for nth in range(stations))
        at = (_HAS.unpack_from(self._bytes, place)[0] for place in places)
        return tuple(nth for nth, has in enumerate(at) if has == order)
