"""Claims at the shop's server: which station has a job, and which garments of a shared one.

A station repeats what it works on (`JobWish`) and gets the status (`WishAnswer`). No message has to
arrive exactly once or in order, so either side may stop at any point.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from psycopg.types.json import Jsonb

from kiosk.log.store import LogHead, Store
from kiosk.shop import claim_statements as sql
from kiosk.shop.joining import UNKNOWN, UncopiedPart
from kiosk.shop.plans import ServerClaim, begun_again, claims_with_plan, compared, differing_claims
from kiosk.shop.server import Server, guarded
from kiosk.shop.wishes import JobWish, OtherHolder, Rows, SharedBatch, WishAnswer, are_rows, rows_of


class Claims:
    """Claims for one record over one connection; `alone` is the part that no copy of it has."""

    def __init__(self, server: Server, store: Store, alone: UncopiedPart = UNKNOWN) -> None:
        self._server, self._store, self.alone = server, store, alone
        self._me = ""

    def hold(self, wish: JobWish) -> WishAnswer:
        """Claim what is wished, release everything else; return the status. Raises ShopFault.

        Repeating it changes nothing unless something else has changed.
        """
        with guarded(), self._store.reading(), self._server.transaction():
            [(self._me, _)] = self._server.execute(sql.LOCK, [wish.job])
            own_claims = [ServerClaim(*row) for row in self._server.execute(sql.OWN, [wish.job])]
            self._end([each.claim for each in own_claims if self._is_ours(each)])
            return self._of_job(wish) if wish.job else WishAnswer()

    def give_back(self, job: str, batch: int, stays: Iterable[str]) -> None:
        """Give another station's batch back, as a supervisor decided, except the lines in `stays`.

        It changes nothing if nobody has the batch or it is done. Raises ShopFault.
        """
        with guarded():
            self._server.execute("SELECT shop.give_back(%s, %s, %s)", [job, batch, list(stays)])

    def let_go(self, job: str) -> None:
        """Give back what was taken of a job that was not begun here. Raises ShopFault."""
        with guarded(), self._store.reading():
            claims = [ServerClaim(*row) for row in self._server.execute(sql.OF_JOB, [job])]
            own = [each.claim for each in claims if self._is_ours(each)]
            if own and self._supports(sql.LETS_GO):
                self._server.execute("SELECT shop.let_go(%s, %s)", [job, own])

    def _of_job(self, wish: JobWish) -> WishAnswer:
        claims = [ServerClaim(*row) for row in self._server.execute(sql.OF_JOB, [wish.job])]
        own = [each for each in claims if self._is_ours(each)]
        ours = next((c.claim for c in own if c.ended_by is None and c.shared is wish.shared), None)
        others = [c for c in claims if c.ended_by is None and c not in own]
        unpressed = self._unpressed(wish, claims, own)
        pressing = self._pressing(wish).difference(unpressed)
        other = differing_claims(wish.plan, claims, own, pressing) if wish.shared else []
        conflicts = [
            c for c in others if not (c.shared and wish.shared) and c.claim not in wish.over
        ]
        conflicts += [
            c for c in other if not set(wish.over).intersection(claims_with_plan(c, claims))
        ]
        taken_over = bool(own) and own[-1].ended_by not in (None, self._me)
        waits = conflicts and (wish.begins or wish.stopped or taken_over)
        if ours is None and not waits and self._may_claim():
            ours = self._claim(wish, own)
        self._server.execute(sql.SEEN, [ours, sql.SEEN_EVERY])
        overruled = [c for c in others if c.claim in wish.over and not (c.shared and wish.shared)]
        for each in overruled:
            self._server.execute("SELECT shop.end_claim(%s)", [each.claim])
        batches: list[SharedBatch] = []
        lost: dict[str, list[str]] = {}
        compares = True
        if wish.shared and ours is not None:
            compares = self._store_plan(wish, ours)
            batches = self._batches(wish, ours, {c.claim: c for c in claims}, lost)
        holding = [c for c in others if c not in overruled]
        holding += [c for c in other if c not in others]
        found = self._others(wish, holding, claims, lost)
        return WishAnswer(
            wish.job, ours is not None, found, tuple(batches), compares, tuple(sorted(unpressed))
        )

    def _unpressed(
        self, wish: JobWish, claims: Sequence[ServerClaim], own: Sequence[ServerClaim]
    ) -> set[int]:
        """Return other stations' claims under which nothing was pressed that matters here.

        They were given up before any pressing, or their stations now share the job by this plan.
        """
        restarted = begun_again(wish.plan, claims, own) if wish.shared else set[int]()
        ended_claims = {c.claim for c in claims if c.ended_by == c.role and not self._is_ours(c)}
        if not ended_claims or not self._supports(sql.KEEPS_LEFT):
            return restarted
        return restarted.union(
            c for (c,) in self._server.execute(sql.LEFT, [wish.job]) if c in ended_claims
        )

    def _pressing(self, wish: JobWish) -> set[int]:
        """Return the claims with garments of the job taken and not all given back.

        Empty if nothing is left to press: an earlier job may have had the same name.
        """
        rows = self._rows(wish.job).values()
        if all(done for _, _, done, *_ in rows):
            return set()
        return {
            claim for _, claim, _, kept_lines, given_by in rows if given_by is None or kept_lines
        }

    def _store_plan(self, wish: JobWish, ours: int) -> bool:
        """Store this station's plan with its claim; return whether the server keeps plans."""
        [(keeps, stored)] = self._server.execute(sql.PLAN, [ours])
        if keeps and wish.plan and stored != wish.plan:
            self._server.execute(sql.STORE_PLAN, [Jsonb(wish.plan), ours])
        return bool(keeps)

    def _is_ours(self, claim: ServerClaim) -> bool:
        """Whether this record made the claim, after any copy of it went its own way.

        An older claim belongs to the copy that reached the shop first and continues its job.
        """
        if (claim.role, claim.station) != (self._me, self._store.station):
            return False
        if claim.seq < self.alone.since:
            return False
        return self._store.head_at(claim.seq) == LogHead(claim.seq, claim.digest)

    def _name_of(self, role: str, station: str) -> str:
        """Return a station's name; another with this one's name also gets the end of its id."""
        is_copy = role == self._me and station != self._store.station
        return f"{role} ({station[-4:]})" if is_copy else role

    def _may_claim(self) -> bool:
        """Whether a new claim is certain to be identified as this record's."""
        if self._store.last < self.alone.since:
            return False
        [(speaks,)] = self._server.execute(sql.SPEAKS, [self._store.station])
        return bool(speaks)

    def _end(self, claims: list[int]) -> None:
        """End this record's own claims, as of its last event."""
        if claims and self._supports(sql.KEEPS_LEFT):
            self._server.execute(sql.END_AT, [self._store.head.seq, claims])
        elif claims:
            self._server.execute(sql.END, [claims])

    def _supports(self, query: str) -> bool:
        """Whether the server's schema supports a feature; `query` checks for it."""
        [(supported,)] = self._server.execute(query)
        return bool(supported)

    def _claim(self, wish: JobWish, own: Iterable[ServerClaim]) -> int:
        self._end([each.claim for each in own if each.ended_by is None])  # e.g. it is shared now
        head = self._store.head
        values = (wish.job, self._store.station, head.seq, head.digest, wish.shared)
        [(number,)] = self._server.execute(sql.CLAIM, values)
        return int(number)

    def _batches(
        self,
        wish: JobWish,
        ours: int,
        claims: Mapping[int, ServerClaim],
        lost: dict[str, list[str]],
    ) -> list[SharedBatch]:
        """Return all batches; update those held and done, take one if wanted, fill in `lost`."""
        rows = self._rows(wish.job)
        if not rows and wish.begins:
            for nth, garments in enumerate(wish.order, 1):
                self._server.execute(sql.CUT, [wish.job, nth, Jsonb(garments)])
        own_claims = {c.claim for c in claims.values() if self._is_ours(c)} | {ours}
        for batch, garments in wish.held.items():
            self._keep(wish.job, batch, garments, rows.get(batch), ours, own_claims, claims, lost)
        mine_done = [b for b in wish.done if b in rows and rows[b][1] in own_claims]
        self._server.execute(sql.DONE, [wish.job, mine_done])
        rows = self._rows(wish.job)
        own_batches = {*wish.held, *wish.done}
        unfinished = {batch: row for batch, row in rows.items() if row[0] and not row[2]}
        waits = any(
            row[1] in own_claims and batch not in own_batches for batch, row in unfinished.items()
        )
        free = [batch for batch, row in unfinished.items() if row[1] is None]
        if wish.wants and free and not waits and self._all_heard(wish.job):
            self._server.execute(sql.TAKE, [ours, wish.job, free[0]])
            rows = self._rows(wish.job)
        names = {claim: self._name_of(each.role, each.station) for claim, each in claims.items()}
        names[ours] = self._me
        return [
            SharedBatch(
                batch,
                row[0],
                names.get(row[1], ""),
                row[1] in own_claims and row[4] is None,
                row[2],
            )
            for batch, row in rows.items()
        ]

    def _all_heard(self, job: str) -> bool:
        """Whether each station sharing the job was heard from since the server was restored."""
        [(unheard,)] = self._server.execute(sql.UNHEARD, [job])
        return not unheard

    def _rows(self, job: str) -> dict[int, Any]:
        """Return by batch: garments, claim, whether done, lines kept, who gave it back.

        A batch that cannot be read has no garments.
        """
        found = {}
        for batch, garments, claim, done, kept_lines, given_by in self._server.execute(
            sql.BATCHES, [job]
        ):
            whole = rows_of(garments) if are_rows(garments) else ()
            found[batch] = (whole, claim, done, kept_lines, given_by)
        return found

    def _keep(
        self, job: str, batch: int, garments: Rows, row: Any, ours: int, own_claims: set[int],
        claims: Mapping[int, ServerClaim], lost: dict[str, list[str]],
    ) -> None:  # fmt: skip
        """Hold a batch that is in the record, even at a server that was restored since.

        Garments that another station has now are added to `lost`, by its name.
        """
        if row is None:
            self._server.execute(sql.AGAIN, [job, batch, Jsonb(garments), ours])
            return
        server_garments, claim, done, kept_lines, given_by = row
        if not server_garments:
            return
        if (
            claim is None
            and not done
            and {g[0] for g in server_garments} == {g[0] for g in garments}
        ):
            self._server.execute(sql.TAKE, [ours, job, batch])
        elif given_by is not None or claim not in own_claims:
            holder = claims.get(claim)
            name = given_by or (self._name_of(holder.role, holder.station) if holder else "")
            given_back = [line for line, *_ in garments if line not in (kept_lines or ())]
            lost.setdefault(name, []).extend(given_back)
        elif done and self._supports(sql.OPENS_AGAIN):  # one of its garments is pressed again
            self._server.execute("SELECT shop.again(%s, %s)", [job, batch])

    def _others(
        self,
        wish: JobWish,
        claims: Iterable[ServerClaim],
        all_claims: Iterable[ServerClaim],
        lost: Mapping[str, list[str]],
    ) -> tuple[OtherHolder, ...]:
        """Return each other station with what it has of the job."""
        found: dict[tuple[str, str], OtherHolder] = {}
        for each in claims:
            holder = (each.role, each.station)
            copy = holder == (self._me, self._store.station)
            [(sent,)] = self._server.execute(sql.LAST_SENT, holder)
            name = self._name_of(*holder)
            found[holder] = OtherHolder(
                name, each.claim, each.shared, copy, sent=sent, id=each.station
            )
            if wish.shared and each.shared:
                found[holder] = compared(found[holder], wish, each, all_claims)
        for role, station, sent, lines, unfinished in self._server.execute(
            *self._pressed_query(wish.job)
        ):
            copy = (role, station) == (self._me, self._store.station)
            there = found.get((role, station), OtherHolder(self._name_of(role, station), copy=copy))
            found[role, station] = there._replace(
                lines=tuple(lines), sent=sent, unfinished=tuple(unfinished or ())
            )
        gone = (
            OtherHolder(name, lines=tuple(lines), copy=name == self._me)
            for name, lines in lost.items()
        )
        return (*found.values(), *gone)

    def _pressed_query(self, job: str) -> tuple[str, list[object]]:
        """Return the query for what other stations pressed; an older server knows of no copies."""
        values: list[object] = [job, self._store.station]
        if self.alone == UNKNOWN or not self._supports(sql.OF_COPIES):
            return sql.PRESSED.format("%s, %s"), values
        return sql.PRESSED.format("%s, %s, %s, %s"), [*values, self.alone.record, self.alone.since]
