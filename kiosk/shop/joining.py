"""The number under which the shop has a record, and the point where two copies parted."""

from typing import NamedTuple

import psycopg

from kiosk.catalog.base import Message, say
from kiosk.log.store import Damaged, LogHead, Store
from kiosk.shop.server import Server, ShopFault, first_row, guarded

ENDS = """coalesce(e.seq, r.after), coalesce(e.digest, r.digest)
FROM shop.records AS r LEFT JOIN LATERAL (
    SELECT seq, digest FROM shop.events WHERE record = r.record ORDER BY seq DESC LIMIT 1
) AS e ON true"""
OWN = f"SELECT r.record, {ENDS} WHERE station = %s"
AFTER = "SELECT after FROM shop.records WHERE record = %s"


class UncopiedPart(NamedTuple):
    """The part of a record that no copy of it has: its events from number `since` on.

    `record` is its number at the shop, or None if it has not joined.
    """

    record: int | None = None
    since: int = 0


UNKNOWN = UncopiedPart()


class RecordsDiffer(ShopFault):
    """The shop's events differ from this record's: only a supervisor can decide how to go on.

    The last event they have in common is number `shared`.
    """

    def __init__(self, message: Message, shared: int) -> None:
        super().__init__(message)
        self.shared = shared

    @property
    def alone(self) -> UncopiedPart:
        """The part of the record that is its own."""
        return UncopiedPart(None, self.shared + 1)


class Joining:
    """Finds or creates the entry of one record at the shop."""

    def __init__(self, store: Store, server: Server) -> None:
        self._store, self._server = store, server

    def joined(self, new_generation: bool) -> int:
        """Return the number under which the shop has this record; a new record joins."""
        own = self._own()  # first, so that the record is not read as of an earlier moment
        with self._store.reading():
            found = self._found(own, new_generation)
        return found or self.joined(new_generation)

    def _found(self, own: list[tuple[LogHead, int]], new_generation: bool) -> int:
        """Find the number by where the shop's records end; 0 if it was joined twice at once."""
        store = self._store
        agreeing = [(end, record) for end, record in own if store.head_at(end.seq) == end]
        if agreeing:
            return max(agreeing)[1]
        if new_generation:
            return self._join(None, self._shared())
        if own:
            raise self.parted(max(own)[0])
        try:
            return self._join(1, LogHead(0, _digest(store, 0)))
        except ShopFault as fault:
            if isinstance(fault.__cause__, psycopg.errors.UniqueViolation):
                if self._own():
                    return 0
                shared = self._shared().seq
                raise RecordsDiffer(
                    say("shop.of_another", station=store.station), shared
                ) from fault
            if isinstance(fault.__cause__, psycopg.errors.ForeignKeyViolation):
                raise ShopFault(say("shop.no_station", name=self._server.info.user)) from fault
            raise

    def _own(self) -> list[tuple[LogHead, int]]:
        """Return the end and number of each record this role has sent for this station."""
        with guarded():
            rows = self._server.execute(OWN, [self._store.station])
            return [(LogHead(seq, digest), record) for record, seq, digest in rows]

    def _join(self, generation: int | None, shared: LogHead) -> int:
        values = (self._store.station, generation, *shared, bool(self._store.simulated))
        with guarded():
            return int(first_row(self._server, "SELECT shop.join(%s, %s, %s, %s, %s)", *values)[0])

    def parted(self, end: LogHead) -> RecordsDiffer:
        """Return the fault for a shop that has other events than this record, or more."""
        shared, last = self._shared(), self._store.last
        if shared.seq == last:
            return RecordsDiffer(say("shop.old_copy", last=last, shop=end.seq), shared.seq)
        return RecordsDiffer(
            say("shop.parted", last=last, shop=end.seq, seq=shared.seq), shared.seq
        )

    def _shared(self) -> LogHead:
        """Return the last event that the shop also has, in any generation."""
        low, high = 0, self._store.last
        with guarded():
            while low < high:
                seq = (low + high + 1) // 2
                values = (self._store.station, seq, _digest(self._store, seq))
                if first_row(self._server, "SELECT shop.has(%s, %s, %s)", *values)[0]:
                    low = seq
                else:
                    high = seq - 1
        return LogHead(low, _digest(self._store, low))

    def alone(self, record: int) -> UncopiedPart:
        """Return what no copy of record number `record` has: all of it, if it joined first."""
        with guarded():
            [after] = first_row(self._server, AFTER, record)
        return UncopiedPart(record, after + 1 if after else 0)


def _digest(store: Store, seq: int) -> bytes:
    head = store.head_at(seq)
    if head is None:
        raise Damaged(say("log.rotten", path=str(store.path), seq=seq))
    return head.digest
