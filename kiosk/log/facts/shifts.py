"""Shifts of a log, the jobs begun in it, their tickets and cycles."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from operator import itemgetter
from typing import Any

from kiosk.log.facts.derive import far_behind, ready
from kiosk.log.facts.facts import ClockJump, JobStart, Shift, Stint
from kiosk.log.facts.garments import TicketRow
from kiosk.log.facts.jobs import job_start_of
from kiosk.log.facts.tables import SEALED, FactSource, Reading, Seal, read_through, together
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.time import procedure
from kiosk.run.state import Event, JobStarted, TicketStage, TimeSource

SHIFTS = "SELECT shift, first, last, wall, end_wall FROM shift ORDER BY shift DESC LIMIT ?"
ALL = 1 << 62
BEGUN = "SELECT seq, begun FROM job WHERE job = ?"
RECORD = """SELECT e.seq, e.kind, version, boot, clock, wall, payload FROM job AS j
JOIN events AS e ON e.seq = j.seq WHERE j.job = ?"""
JUMPS = "SELECT seq, seconds FROM jump WHERE shift = ? ORDER BY seq"
SEALS = """SELECT first, coalesce(s.last, ?), texts, numbers, max(t.last) FROM stint AS s
JOIN tally AS t ON t.stint = s.stint WHERE shift = ? GROUP BY s.stint ORDER BY s.stint"""


def shifts(store: FactSource, newest: int = ALL) -> tuple[Shift, ...]:
    """Return the newest or all shifts of a log in order; its facts must be `ready`."""
    return read_through(_shifts(store, newest))


def shifts_of_all(stores: Iterable[FactSource]) -> list[tuple[Shift, ...]]:
    """Return all shifts of each log."""
    return together(_shifts(store, ALL) for store in stores)


def _shifts(store: FactSource, newest: int) -> Reading[tuple[Shift, ...]]:
    found = store.rows(SHIFTS, newest)
    yield
    shifts = [
        Shift(number, first, store.last if last is None else last, began, ended)
        for number, first, last, began, ended in found
        if last is None or last > store.since
    ]
    return tuple(reversed(shifts))


def jobs_of(stints: Iterable[Stint]) -> Iterator[str]:
    """Yield each job of the stints once, in their order."""
    yield from dict.fromkeys(stint.job for stint in stints if stint.job)


def must_be_whole(store: FactSource, shift: Shift) -> None:
    """Raise Damaged if an event of a shift differs from what was written.

    In a station's file the stints are compared with their seals. Only if a seal differs, or the
    stints do not cover the shift, is each event compared with its own checksum.
    """
    if not isinstance(store, Store) or not _sealed(store, shift):
        store.must_be_whole(shift.first, shift.last)


def _sealed(store: Store, shift: Shift) -> bool:
    at = shift.first
    for first, last, texts, numbers, _ in store.rows(SEALS, store.last, shift.id):
        if first != at or _seal(store, first, last) != (texts, numbers):
            return False
        at = last + 1
    return at == shift.last + 1


def _seal(store: Store, first: int, last: int) -> Seal:
    seal = Seal()
    for texts, numbers in store.raw_rows(SEALED, first, last):
        seal = seal.over(texts, numbers)
        del texts  # frees the memory for the next ones
    return seal


def job_start(store: FactSource, job: str) -> JobStart | None:
    """Return a job's start record without its garments, or None. Raises Damaged."""
    return job_start_from(store, job, start_of(store, job))


def start_of(store: FactSource, job: str) -> Iterator[Any]:
    """Return the row of a job's start, for `job_start_from`."""
    return store.rows(BEGUN if isinstance(store, Store) else RECORD, job)


def job_start_from(
    store: FactSource, job: str, rows: Iterable[Any], whole: Sequence[Shift] = ()
) -> JobStart | None:
    """Return the start record in the row of a job's start, or None. Raises Damaged.

    A record within the shifts known to be `whole` is not verified again.
    """
    if not isinstance(store, Store):
        return _of_record(rows)
    for seq, text in rows:
        if not any(shift.first <= seq <= shift.last for shift in whole):
            store.must_be_whole(seq, seq)
        try:
            return _decoded_start(text)
        except codec.Unreadable:  # the event itself is still readable: it gets lifted
            return _of_record(store.rows(RECORD, job))
    return None


@lru_cache(maxsize=16)
def _decoded_start(text: str) -> JobStart:
    """Decode a start; cached, as consecutive shifts mostly have jobs in common."""
    return codec.from_json(text, JobStart)


def _of_record(rows: Iterable[Any]) -> JobStart | None:
    """Read a start from the event itself, skipping the many garments that lack nothing."""
    for seq, kind, version, _, _, _, payload in rows:
        event = _started(kind, version, payload)
        if isinstance(event, JobStarted):
            return job_start_of(seq, event)
    return None


@lru_cache(maxsize=32)
def _started(kind: str, version: int, payload: str) -> Event:
    """Decode a start record without its time; cached, as a shop's stations share jobs."""
    row = codec.EventRow(kind, version, "", 0.0, 0.0, payload)
    return codec.decode_some(row, "garments", _lacking)


def _lacking(garment: Any) -> bool:
    return isinstance(garment, dict) and bool(garment.get("lacks"))


TICKETS = """SELECT job, ticket, line, passage, copy, number, size, panel, stage, finals, represses,
opened, opened_seen, marks, replaced_by, shift, operator, ended, ended_at, defect, cause, piece,
early FROM garment WHERE job = ?"""


def rows_of_jobs(store: FactSource, jobs: Iterable[str]) -> Iterator[TicketRow]:
    """Yield the ticket rows of some jobs as of the last event, by job and ticket.

    Call it within `store.reading()`. Raises Damaged, Newer or CannotRecord.
    """
    for job in jobs:
        for columns in sorted(store.rows(TICKETS, job), key=itemgetter(1)):
            yield TicketRow.of_columns(*columns)


def rows_of_order(stores: Sequence[FactSource], job: str) -> Iterator[tuple[TicketRow, ...]]:
    """Yield an order's ticket rows station by station, then those of garments not yet taken.

    A garment that moved from one press to another has tickets of the same name at both.
    """
    for store in stores:
        yield tuple(rows_of_jobs(store, [job]))
    unclaimed = dict.fromkeys(row for store in stores for row in store.untaken.get(job, ()))
    yield tuple(
        TicketRow(job, "", line, 0, 1, number, size, "", TicketStage.WAITING, 0, 0, None,
                  TimeSource.NOT_SEEN, ())
        for line, number, size in unclaimed
    )  # fmt: skip


_JUMPS_WITHIN = """SELECT seq, seconds FROM jump
WHERE seq > (SELECT min(ended_at) FROM garment WHERE job = ?)
AND seq < (SELECT max(ended_at) FROM garment WHERE job = ?) ORDER BY seq"""


def jumps_within(store: FactSource, job: str) -> tuple[ClockJump, ...]:
    """Return the wall clock's changes between the first and the last result of an order."""
    return tuple(ClockJump(*row) for row in store.rows(_JUMPS_WITHIN, job, job))


LONGEST_SECONDS = 1200.0
"""A longer time from tone to tone counts as a break, not a cycle."""
SHIFTS_BACK = 30
"""Older shifts say less about today's pace, and a log grows for years."""
TONES = """SELECT g.job, g.passage, g.shift, c.boot, c.rang FROM garment AS g
JOIN closing AS c ON c.job = g.job AND c.ticket = g.ticket
WHERE g.shift > (SELECT coalesce(max(shift), 0) - ? FROM shift) AND g.shift > 0 AND g.represses = 0
AND c.phase = 'final press' AND c.rang IS NOT NULL ORDER BY c.seq"""


def cycles(store: Store) -> Mapping[str, tuple[float, ...]]:
    """Return the seconds of past cycles by procedure (`kiosk.plan.time.handling.procedure`).

    A cycle is the time from the last tone of one garment to that of the next in the same run of a
    job and the same shift, by the machine's own clock. Only the last SHIFTS_BACK shifts count.
    Empty while a station is still reading a long record. Raises Damaged, Newer or CannotRecord.
    """
    with store.reading():
        if far_behind(store):
            return {}
        ready(store)
        return cycles_of(store)


def cycles_of(store: FactSource) -> Mapping[str, tuple[float, ...]]:
    """Return the cycles of a source whose facts are `ready`, as `cycles` does."""
    lots: dict[tuple[str, int, int, str], list[float]] = defaultdict(list)
    plans: dict[str, Plan | None] = {}
    for job, passage, shift, boot, rang in store.rows(TONES, SHIFTS_BACK):
        if job not in plans:
            of_job = job_start(store, job)
            plans[job] = None if of_job is None else of_job.plan
        run = _run_ending_with(plans[job], passage)
        if run is not None:
            lots[job, run, shift, boot].append(rang)
    found: dict[str, list[float]] = defaultdict(list)
    for (job, run, _, _), tones in lots.items():
        plan = plans[job]
        took = [b - a for a, b in pairwise(tones) if 0 < b - a <= LONGEST_SECONDS]
        if plan is not None:
            found[procedure(plan, run)] += took
    return {key: tuple(seconds) for key, seconds in found.items()}


def _run_ending_with(plan: Plan | None, passage: int) -> int | None:
    """Return the run whose last pass this is, or None: only its tone completes the garment."""
    runs = () if plan is None else plan.runs
    return next((n for n, run in enumerate(runs) if run and run[-1] == passage), None)
