"""Under which number the shop has a record, and where two copies of one have parted."""

from typing import NamedTuple

import psycopg

from kiosk.catalog.base import Message, say
from kiosk.log.store import Damaged, Head, Store
from kiosk.shop.server import Server, ShopFault, guarded, one

ENDS = """coalesce(e.seq, r.after), coalesce(e.digest, r.digest)
FROM shop.records AS r LEFT JOIN LATERAL (
    SELECT seq, digest FROM shop.events WHERE record = r.record ORDER BY seq DESC LIMIT 1
) AS e ON true"""
OWN = f"SELECT r.record, {ENDS} WHERE station = %s"
AFTER = "SELECT after FROM shop.records WHERE record = %s"


class Alone(NamedTuple):
    """What of a record no copy of it has: its events from number `since` on.

    `record` is its number at the shop, None for one that has not joined.
    """

    record: int | None = None
    since: int = 0


UNKNOWN = Alone()


class Refused(ShopFault):
    """The shop has another truth than this record: only a supervisor's word goes on from here.

    What the two have in common ends at event `shared`.
    """

    def __init__(self, message: Message, shared: int) -> None:
        super().__init__(message)
        self.shared = shared

    @property
    def alone(self) -> Alone:
        """What of the record is its own."""
        return Alone(None, self.shared + 1)


class Joining:
    """How one record stands at the shop that one connection leads to."""

    def __init__(self, store: Store, server: Server) -> None:
        self._store, self._server = store, server

    def joined(self, new_generation: bool) -> int:
        """Return the number under which the shop has this record; let it join where it is new."""
        own = self._own()  # first: the record is of no earlier moment
        with self._store.reading():
            found = self._found(own, new_generation)
        return found or self.joined(new_generation)

    def _found(self, own: list[tuple[Head, int]], new_generation: bool) -> int:
        """The same by where the records end that are there; 0 where it was sent twice at once."""
        store = self._store
        agreeing = [(end, record) for end, record in own if store.head_at(end.seq) == end]
        if agreeing:
            return max(agreeing)[1]
        if new_generation:
            return self._join(None, self._shared())
        if own:
            raise self.parted(max(own)[0])
        try:
            return self._join(1, Head(0, _digest(store, 0)))
        except ShopFault as fault:
            if isinstance(fault.__cause__, psycopg.errors.UniqueViolation):
                if self._own():
                    return 0
                shared = self._shared().seq
                raise Refused(say("shop.of_another", station=store.station), shared) from fault
            if isinstance(fault.__cause__, psycopg.errors.ForeignKeyViolation):
                raise ShopFault(say("shop.no_station", name=self._server.info.user)) from fault
            raise

    def _own(self) -> list[tuple[Head, int]]:
        """Where the records end that this role has sent of this station, each with its number."""
        with guarded():
            rows = self._server.execute(OWN, [self._store.station])
            return [(Head(seq, digest), record) for record, seq, digest in rows]

    def _join(self, generation: int | None, shared: Head) -> int:
        asked = (self._store.station, generation, *shared, bool(self._store.simulated))
        with guarded():
            return int(one(self._server, "SELECT shop.join(%s, %s, %s, %s, %s)", *asked)[0])

    def parted(self, end: Head) -> Refused:
        """Say from where on the shop has other events than this record, or just more of them."""
        shared, last = self._shared(), self._store.last
        if shared.seq == last:
            return Refused(say("shop.old_copy", last=last, shop=end.seq), shared.seq)
        return Refused(say("shop.parted", last=last, shop=end.seq, seq=shared.seq), shared.seq)

    def _shared(self) -> Head:
        """The last event that the shop has too, in whatever generation."""
        low, high = 0, self._store.last
        with guarded():
            while low < high:
                seq = (low + high + 1) // 2
                asked = (self._store.station, seq, _digest(self._store, seq))
                if one(self._server, "SELECT shop.has(%s, %s, %s)", *asked)[0]:
                    low = seq
                else:
                    high = seq - 1
        return Head(low, _digest(self._store, low))

    def alone(self, record: int) -> Alone:
        """Return what of it no copy has, as number `record`: of the one that joined first, all."""
        with guarded():
            [after] = one(self._server, AFTER, record)
        return Alone(record, after + 1 if after else 0)


def _digest(store: Store, seq: int) -> bytes:
    head = store.head_at(seq)
    if head is None:
        raise Damaged(say("log.rotten", path=str(store.path), seq=seq))
    return head.digest
