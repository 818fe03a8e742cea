"""Claims at the shop's server: whose a job is, and which garments of a shared one.

A station says again and again what it works on (`Wish`), and hears how that stands (`Answer`);
nothing has to be said once and in order, so it does not matter where either of them stops.
"""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple, Self

from psycopg.types.json import Jsonb

from kiosk.log.store import Head, Store
from kiosk.shop.server import Server, guarded

Row = tuple[str, ...]  # a garment: line, number, size, digest, set
Rows = tuple[Row, ...]


class Wish(NamedTuple):
    """What a station wants of its job at the press; without `job` it works on none.

    `begins`: it is not begun here, and is claimed only where it is nobody's. `stopped`: claims
    have met, and nobody has decided yet; `over` are claims that a supervisor here decided over.
    Of a shared job: `order` is how it is cut, where nobody has cut it; `held` are the batches in
    the record with garments to come, `done` those without any, and it `wants` one more.
    """

    job: str = ""
    shared: bool = False
    begins: bool = False
    stopped: bool = False
    over: tuple[int, ...] = ()
    order: tuple[Rows, ...] = ()
    held: Mapping[int, Rows] = {}
    done: tuple[int, ...] = ()
    wants: bool = False

    @classmethod
    def read(cls, told: Mapping[str, Any]) -> Self:
        """Return a wish that came as JSON."""
        held = {int(batch): _rows(rows) for batch, rows in told.get("held", {}).items()}
        order = tuple(_rows(rows) for rows in told.get("order", ()))
        over, done = (tuple(map(int, told.get(key, ()))) for key in ("over", "done"))
        changed = {"held": held, "order": order, "over": over, "done": done}
        return cls(**{**told, **changed})


class Other(NamedTuple):
    """Another station that has the job, or garments of it.

    `claim` is the number of its claim, 0 where it has none now; `lines` are the roster lines that
    it is known to have pressed (as of `sent`, seconds since 1970), or that were given to it.
    """

    name: str
    claim: int = 0
    shared: bool = False
    copy: bool = False  # it is this record's own copy
    lines: tuple[str, ...] = ()
    sent: float | None = None


class Batch(NamedTuple):
    """A batch of a shared job; `name` has taken it, "" for nobody."""

    batch: int
    garments: Rows
    name: str = ""
    ours: bool = False
    done: bool = False


class Answer(NamedTuple):
    """How a wish stands: whether the job is this record's, and what of it is elsewhere."""

    job: str = ""
    ours: bool = False
    others: tuple[Other, ...] = ()
    batches: tuple[Batch, ...] = ()

    def told(self) -> dict[str, Any]:
        """Return it as JSON has it."""
        others = [other._asdict() for other in self.others]
        return {**self._asdict(), "others": others, "batches": [b._asdict() for b in self.batches]}


def _rows(rows: Iterable[Iterable[str]]) -> Rows:
    return tuple(tuple(row) for row in rows)


class _Claim(NamedTuple):
    claim: int
    role: str
    station: str
    seq: int
    digest: bytes
    shared: bool
    ended_by: str | None


LOCK = "SELECT current_user, pg_advisory_xact_lock(hashtextextended(%s, 0))"
OWN = """SELECT claim, role::text, station, seq, digest, shared, ended_by::text FROM shop.claims
WHERE role = current_user AND ended IS NULL AND job <> %s"""
OF_JOB = """SELECT claim, role::text, station, seq, digest, shared, ended_by::text FROM shop.claims
WHERE job = %s ORDER BY claim"""
END = "UPDATE shop.claims SET ended = now(), ended_by = current_user WHERE claim = ANY (%s)"
CLAIM = """INSERT INTO shop.claims (job, station, seq, digest, shared)
VALUES (%s, %s, %s, %s, %s) RETURNING claim"""
BATCHES = """SELECT batch, garments, claim, done IS NOT NULL, kept, given_by::text
FROM shop.batches WHERE job = %s ORDER BY batch"""
CUT = "INSERT INTO shop.batches (job, batch, garments) VALUES (%s, %s, %s)"
AGAIN = """INSERT INTO shop.batches (job, batch, garments, claim, taken)
VALUES (%s, %s, %s, %s, now())"""
TAKE = "UPDATE shop.batches SET claim = %s, taken = now() WHERE job = %s AND batch = %s"
DONE = """UPDATE shop.batches SET done = now()
WHERE job = %s AND batch = ANY (%s) AND done IS NULL"""
SEEN = "UPDATE shop.claims SET seen = now() WHERE claim = %s AND seen < now() - %s::interval"
SEEN_EVERY = "20s"
UNHEARD = """SELECT count(*) FROM shop.claims WHERE job = %s AND ended IS NULL
AND seen < (SELECT max(at) FROM shop.restorings)"""
LAST_SENT = "SELECT extract(epoch FROM shop.last_sent(%s::name, %s))::float8"
PRESSED = """SELECT role::text, station, extract(epoch FROM sent)::float8, lines
FROM shop.pressed(%s, %s)"""


class Claims:
    """Claims for one record over one connection."""

    def __init__(self, server: Server, store: Store) -> None:
        self._server, self._store = server, store
        self._me = ""

    def hold(self, wish: Wish) -> Answer:
        """Claim what is wished, let go of everything else; return how it stands. Raises ShopFault.

        Asked again it changes nothing that has not changed.
        """
        with guarded(), self._store.reading(), self._server.transaction():
            [(self._me, _)] = self._server.execute(LOCK, [wish.job])
            gone = [_Claim(*row) for row in self._server.execute(OWN, [wish.job])]
            self._server.execute(END, [[each.claim for each in gone if self._is_ours(each)]])
            return self._of_job(wish) if wish.job else Answer()

    def give_back(self, job: str, batch: int, stays: Iterable[str]) -> None:
        """Give a batch of another station back, by a supervisor's word, but for what stays there.

        It changes nothing where the batch is nobody's or done by now. Raises ShopFault.
        """
        with guarded():
            self._server.execute("SELECT shop.give_back(%s, %s, %s)", [job, batch, list(stays)])

    def _of_job(self, wish: Wish) -> Answer:
        every = [_Claim(*row) for row in self._server.execute(OF_JOB, [wish.job])]
        own = [each for each in every if self._is_ours(each)]
        ours = next((c.claim for c in own if c.ended_by is None and c.shared is wish.shared), None)
        others = [c for c in every if c.ended_by is None and c not in own]
        met = [c for c in others if not (c.shared and wish.shared) and c.claim not in wish.over]
        taken_over = bool(own) and own[-1].ended_by not in (None, self._me)
        if ours is None and not (met and (wish.begins or wish.stopped or taken_over)):
            ours = self._claim(wish, own)
        self._server.execute(SEEN, [ours, SEEN_EVERY])
        for each in others:
            if each.claim in wish.over:
                self._server.execute("SELECT shop.end_claim(%s)", [each.claim])
        others = [each for each in others if each.claim not in wish.over]
        batches: list[Batch] = []
        lost: dict[str, list[str]] = {}
        if wish.shared and ours is not None:
            batches = self._batches(wish, ours, {c.claim: c for c in every}, lost)
        return Answer(wish.job, ours is not None, self._others(wish, others, lost), tuple(batches))

    def _is_ours(self, claim: _Claim) -> bool:
        """Whether this very record made it: a copy of it has gone on by itself."""
        if (claim.role, claim.station) != (self._me, self._store.station):
            return False
        return self._store.head_at(claim.seq) == Head(claim.seq, claim.digest)

    def _claim(self, wish: Wish, own: Iterable[_Claim]) -> int:
        old = [each.claim for each in own if each.ended_by is None]
        self._server.execute(END, [old])  # it was shared, or was not
        head = self._store.head
        asked = (wish.job, self._store.station, head.seq, head.digest, wish.shared)
        [(made,)] = self._server.execute(CLAIM, asked)
        return int(made)

    def _batches(
        self, wish: Wish, ours: int, claims: Mapping[int, _Claim], lost: dict[str, list[str]]
    ) -> list[Batch]:
        """Say what is held and done, take one where one is wanted; fill in what was lost."""
        rows = self._rows(wish.job)
        if not rows and wish.begins:
            for nth, garments in enumerate(wish.order, 1):
                self._server.execute(CUT, [wish.job, nth, Jsonb(garments)])
        mine = {c.claim for c in claims.values() if self._is_ours(c)} | {ours}
        for batch, garments in wish.held.items():
            self._keep(wish.job, batch, garments, rows.get(batch), ours, mine, claims, lost)
        mine_done = [b for b in wish.done if b in rows and rows[b][1] in mine]
        self._server.execute(DONE, [wish.job, mine_done])
        rows = self._rows(wish.job)
        known = {*wish.held, *wish.done}
        waits = any(r[1] in mine and not r[2] and b not in known for b, r in rows.items())
        free = [batch for batch, row in rows.items() if row[1] is None and not row[2]]
        if wish.wants and free and not waits and self._all_heard(wish.job):
            self._server.execute(TAKE, [ours, wish.job, free[0]])
            rows = self._rows(wish.job)
        names = {claim: each.role for claim, each in claims.items()} | {ours: self._me}
        return [
            Batch(batch, row[0], names.get(row[1], ""), row[1] in mine and row[4] is None, row[2])
            for batch, row in rows.items()
        ]

    def _all_heard(self, job: str) -> bool:
        """Whether each station that shares the job was heard since the server was put back."""
        [(unheard,)] = self._server.execute(UNHEARD, [job])
        return not unheard

    def _rows(self, job: str) -> dict[int, Any]:
        """Of each batch: garments, claim, whether it is done, lines kept, who gave it back."""
        found = {}
        for batch, garments, claim, done, kept, given_by in self._server.execute(BATCHES, [job]):
            found[batch] = (_rows(garments), claim, done, kept, given_by)
        return found

    def _keep(
        self, job: str, batch: int, garments: Rows, row: Any, ours: int, mine: set[int],
        claims: Mapping[int, _Claim], lost: dict[str, list[str]],
    ) -> None:  # fmt: skip
        """Hold a batch that is in the record, also at a server that was set back since.

        What another has of it is lost here: it goes into `lost`, by who has it.
        """
        if row is None:
            self._server.execute(AGAIN, [job, batch, Jsonb(garments), ours])
            return
        there, claim, done, kept, given_by = row
        if claim is None and not done and {g[0] for g in there} == {g[0] for g in garments}:
            self._server.execute(TAKE, [ours, job, batch])
        elif given_by is not None or claim not in mine:
            name = given_by or (claims[claim].role if claim in claims else "")
            gone = [line for line, *_ in garments if line not in (kept or ())]
            lost.setdefault(name, []).extend(gone)

    def _others(
        self, wish: Wish, claims: Iterable[_Claim], lost: Mapping[str, list[str]]
    ) -> tuple[Other, ...]:
        """Each other station with what it has of the job."""
        found: dict[tuple[str, str], Other] = {}
        for each in claims:
            who = (each.role, each.station)
            copy = who == (self._me, self._store.station)
            [(sent,)] = self._server.execute(LAST_SENT, who)
            found[who] = Other(each.role, each.claim, each.shared, copy, sent=sent)
        for role, station, sent, lines in self._server.execute(
            PRESSED, [wish.job, self._store.station]
        ):
            there = found.get((role, station), Other(role))
            found[role, station] = there._replace(lines=tuple(lines), sent=sent)
        gone = (Other(name, lines=tuple(lines)) for name, lines in lost.items())
        return (*found.values(), *gone)
