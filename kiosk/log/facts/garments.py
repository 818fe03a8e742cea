"""One row per ticket with its current status: writes, reads and counts them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, groupby, starmap
from operator import itemgetter
from typing import Any, NamedTuple, Self

from kiosk.catalog.base import dataclass, say
from kiosk.log.facts.facts import (
    Facts,
    GarmentCount,
    GarmentSample,
    ScrappedGarment,
    Shift,
    ShortHeatGarment,
)
from kiosk.log.facts.tables import FactSource, Reading, Statement, insert
from kiosk.log.store.errors import Damaged
from kiosk.run.state import (
    Event,
    Finished,
    JobRun,
    Ruled,
    State,
    TakenBack,
    Ticket,
    TicketStage,
    TimeSource,
)

RESULTS = frozenset({"finished", "peeled"})  # TakenBack.what for the taps that gave a result
NO_TICKETS: Mapping[str, Ticket] = {}

SAMPLE = 20
"""Garments in one sample of the defect chart."""

FINISHED = frozenset({"good", "accepted"})
"""Results that complete a garment."""
FINISHED_SQL = ", ".join(f"'{each}'" for each in sorted(FINISHED))

_ANY = "count(*) FILTER (WHERE {}) > 0"
RESULT = f"""CASE WHEN {_ANY.format("stage = 'scrap'")} THEN 'scrap'
            WHEN {_ANY.format("stage = 'rework'")} THEN 'rework'
            WHEN {_ANY.format(f"stage NOT IN ({FINISHED_SQL})")} THEN 'open'
            WHEN {_ANY.format("stage = 'accepted'")} THEN 'accepted' ELSE 'good' END"""
GARMENTS = f"""SELECT result, own AND result <> 'open', latest, result = 'good' AND clean, through,
    count(*)
FROM (
    SELECT {RESULT} AS result, max(shift) BETWEEN ? AND ? AS own,
           max(replaced_by) = 0 AS latest, max(represses) = 0 AND max(defect) = '' AS clean,
           sum(1 << CAST(passage AS INTEGER)) AS through
    FROM garment WHERE job = ? GROUP BY line, copy
) AS garments GROUP BY 1, 2, 3, 4, 5"""
SAMPLES = f"""SELECT count(*), count(*) FILTER (WHERE defective), min(ended) FROM (
    SELECT ended, ended_at, defect <> '' OR represses > 0 OR stage = 'scrap' AS defective,
           (row_number() OVER (ORDER BY ended_at) - 1) / {SAMPLE} AS sample
    FROM garment WHERE shift BETWEEN ? AND ? AND ended IS NOT NULL
) AS ended GROUP BY sample ORDER BY min(ended_at)"""
SPOILED = """SELECT job, line, copy, number, passage, (
    SELECT coalesce(max(step), 0) FROM closing AS c WHERE c.job = g.job AND c.ticket = g.ticket)
FROM garment AS g
WHERE shift BETWEEN ? AND ? AND stage IN ('scrap', 'void') AND (stage = 'scrap' OR finals > 0)"""
MARKED = """SELECT job, line, copy, number, passage, marks FROM garment
WHERE shift BETWEEN ? AND ? AND stage = 'good' AND marks NOT IN ('', 'over')"""

TAKEN_OVER = """SELECT DISTINCT g.job, g.ticket FROM garment AS g
JOIN closing AS c ON c.job = g.job AND c.ticket = g.ticket
JOIN stint AS s ON s.stint = c.stint
WHERE g.shift = ? AND g.defect <> '' AND s.operator <> g.operator"""


@dataclass(frozen=True, slots=True)
class TicketRow:
    """A ticket as reports read it. `opened` and `ended` are wall seconds since 1970.

    `shift`, `operator` and `ended` belong to its last result (0, "" and None before one),
    `ended_at` is that event's number. `defect`, `cause`, `piece` and `early_seconds` are kept from
    an earlier bad result, so that reworked garments can be distinguished from ones good at first.
    `replaced_by` is the copy opened when this one was scrapped, 0 for none.
    """

    job: str
    ticket: str
    line: str
    passage: int
    copy: int
    number: str
    size: str
    panel: str
    stage: TicketStage
    finals: int
    represses: int
    opened: float | None
    opened_seen: TimeSource
    marks: tuple[str, ...]
    replaced_by: int = 0
    shift: int = 0
    operator: str = ""
    ended: float | None = None
    ended_at: int | None = None
    defect: str = ""
    cause: str = ""
    piece: str = ""
    early_seconds: float | None = None

    @classmethod
    def of_columns(cls, *cells: Any) -> Self:
        """Return a TicketRow from a row's columns. Raises Damaged."""
        values = list(cells)
        try:
            values[8], values[12] = TicketStage(values[8]), TimeSource(values[12])
        except ValueError as error:
            raise Damaged(say("log.fault.ticket", ticket=str(values[1]))) from error
        values[13] = tuple(values[13].split(",")) if values[13] else ()
        return cls(*values)


class TicketColumns(NamedTuple):
    """The columns of a ticket that change from event to event."""

    stage: str
    finals: int
    represses: int
    opened: float | None
    opened_seen: str
    marks: str


def ticket_changes(event: Event, seq: int, before: State, after: State) -> Iterator[Statement]:
    """Yield the changes to garment rows made by an event that led from `before` to `after`."""
    for job, old, new in _changed(before, after):
        for name in new:
            if old.get(name) is not new[name]:
                yield from _ticket(job, old.get(name), new[name], seq)
        for name in old.keys() - new.keys() if len(old) > len(new) else ():
            yield from _deleted(job.job, old[name], seq)
    if isinstance(event, Finished | Ruled | TakenBack):
        yield from _ended(event, seq, after)


Tickets = Mapping[str, Ticket]


def _changed(before: State, after: State) -> Iterator[tuple[JobRun, Tickets, Tickets]]:
    """Yield the jobs whose tickets changed. A job that left the state has ended: its rows stay."""
    if before.others is after.others:
        pairs = [(before.job, after.job)]
    else:
        olds = before.jobs
        pairs = [(olds.get(name), job) for name, job in after.jobs.items()]
    for old, new in pairs:
        if new is not None and (old is None or old.tickets is not new.tickets):
            same_job = old is not None and old.job == new.job
            yield new, old.tickets if old is not None and same_job else NO_TICKETS, new.tickets


def _ticket(job: JobRun, old: Ticket | None, new: Ticket, seq: int) -> Iterator[Statement]:
    columns = _columns_of(new)
    if old is None:
        garment, panel = new.garment, job.plan.passes[new.passage].panel
        yield insert("garment", job.job, new.id, garment.line, new.passage, new.copy,
                     garment.number, garment.size, panel, *columns, 0, 0, "", None, None, "", "",
                     "", None, seq)  # fmt: skip
        if new.copy > 1:
            yield _replaced(job.job, new, new.copy, seq)
        return
    row, old_row = new.garment, old.garment
    if row is not old_row and (row.number, row.size) != (old_row.number, old_row.size):
        yield Statement("UPDATE garment SET number = ?, size = ?, told = ? "
                        "WHERE job = ? AND ticket = ?",
                        (row.number, row.size, seq, job.job, new.id))  # fmt: skip
    if columns != _columns_of(old):
        yield Statement("UPDATE garment SET stage = ?, finals = ?, represses = ?, opened = ?, "
                        "opened_seen = ?, marks = ?, told = ? WHERE job = ? AND ticket = ?",
                        (*columns, seq, job.job, new.id))  # fmt: skip


def _columns_of(ticket: Ticket) -> TicketColumns:
    opened = None if ticket.opened is None else ticket.opened.wall
    return TicketColumns(ticket.stage.value, ticket.finals, ticket.represses, opened,
                         ticket.opened_seen.value, ",".join(ticket.marks))  # fmt: skip


def _deleted(job: str, old: Ticket, seq: int) -> Iterator[Statement]:
    """Delete a copy's row: the scrap that opened it was taken back."""
    yield insert("gone", seq, "garment", job, old.id, 0)
    yield Statement("DELETE FROM garment WHERE job = ? AND ticket = ?", (job, old.id))
    yield _replaced(job, old, 0, seq)


def _replaced(job: str, by: Ticket, copy: int, seq: int) -> Statement:
    before = f"{by.id.rsplit('/', 1)[0]}/{by.copy - 1}"
    return Statement("UPDATE garment SET replaced_by = ?, told = ? WHERE job = ? AND ticket = ?",
                     (copy, seq, job, before))  # fmt: skip


def _ended(event: Finished | Ruled | TakenBack, seq: int, after: State) -> Iterator[Statement]:
    where = "" if after.job is None else after.job.job, event.ticket
    if isinstance(event, TakenBack):
        if event.what in RESULTS:
            yield Statement("UPDATE garment SET shift = 0, operator = '', ended = NULL, "
                            "ended_at = NULL, defect = '', cause = '', piece = '', early = NULL, "
                            "told = ? WHERE job = ? AND ticket = ?", (seq, *where))  # fmt: skip
        return
    if event.stage is TicketStage.WAITING:  # sent back by a supervisor: no result
        return
    yield Statement("UPDATE garment SET shift = ?, operator = ?, ended = ?, ended_at = ?, "
                    "told = ? WHERE job = ? AND ticket = ?",
                    (after.shift, after.operator, event.at.wall, seq, seq, *where))  # fmt: skip
    if isinstance(event, Finished):
        yield from _found(event, where)


def _found(event: Finished, where: tuple[str, str]) -> Iterator[Statement]:
    if event.early_seconds is not None:
        yield Statement("UPDATE garment SET early = ? WHERE job = ? AND ticket = ?",
                        (event.early_seconds, *where))  # fmt: skip
    if event.defect:
        yield Statement("UPDATE garment SET defect = ?, cause = ?, piece = ? "
                        "WHERE job = ? AND ticket = ?",
                        (event.defect, event.cause, event.piece, *where))  # fmt: skip


def counted(
    store: FactSource, shifts: Sequence[Shift], jobs: Iterable[str]
) -> Iterator[GarmentCount]:
    """Return counts of all garments of `jobs`; `own` marks those that fell in the shifts."""
    numbers = [shift.id for shift in shifts]
    whole = min(numbers, default=1), max(numbers, default=0)
    return _counted([(job, store.rows(GARMENTS, *whole, job)) for job in jobs])


def _counted(by_job: Iterable[tuple[str, Iterable[Any]]]) -> Iterator[GarmentCount]:
    counts: dict[tuple[Any, ...], int] = defaultdict(int)
    for job, rows in by_job:
        for *key, many in rows:
            counts[job, *key] += many
    for (job, result, own, latest, first, through), many in counts.items():
        passes = tuple(nth for nth in range(through.bit_length()) if through >> nth & 1)
        yield GarmentCount(job, result, bool(own), bool(latest), bool(first), many, passes)


def of_garments(store: FactSource, shifts: Sequence[Shift]) -> dict[str, Iterator[Any]]:
    """Return the ticket facts of the shifts, keyed by field of `Facts`."""
    spans = list(_spans(shifts))
    samples, spoiled, marked = (
        chain.from_iterable([store.rows(query, *span) for span in spans])
        for query in (SAMPLES, SPOILED, MARKED)
    )
    return {
        "samples": starmap(GarmentSample, samples),
        "spoiled": starmap(_spoiled, _pass_by_pass(spoiled)),
        "marked": starmap(_marked, _pass_by_pass(marked)),
    }


def _spoiled(
    garment: tuple[str, str, int, str], passes: tuple[tuple[int, int], ...]
) -> ScrappedGarment:
    job, line, _, number = garment
    return ScrappedGarment(job, line, number, passes)


def _marked(
    garment: tuple[str, str, int, str], passes: tuple[tuple[int, str], ...]
) -> ShortHeatGarment:
    job, line, _, number = garment
    marks = ",".join(each for _, each in passes)
    return ShortHeatGarment(job, line, number, tuple(dict.fromkeys(marks.split(","))))


def _pass_by_pass(rows: Iterable[tuple[Any, ...]]) -> Iterator[tuple[Any, tuple[Any, ...]]]:
    """Yield each garment (job, line, copy, number) with the remaining columns of its passes."""
    for garment, passes in groupby(sorted(rows), key=itemgetter(0, 1, 2, 3)):
        yield garment, tuple(each[4:] for each in passes)


def _spans(shifts: Sequence[Shift]) -> Iterator[tuple[int, int]]:
    """Yield the shifts' numbers as ranges of consecutive ones."""
    first = last = 0
    for number in sorted(shift.id for shift in shifts):
        if last and number != last + 1:
            yield first, last
            last = 0
        first, last = (first, number) if last else (number, number)
    if last:
        yield first, last


def taken_over_of(store: FactSource, found: Facts) -> Reading[frozenset[tuple[str, str]]]:
    """Return garments with a defect that someone other than the reporting operator had pressed."""
    if not any(isinstance(each.event, Finished) and each.event.defect for each in found.noted):
        return frozenset()
    row_sets = [store.rows(TAKEN_OVER, shift.id) for shift in found.shifts]
    yield
    return frozenset((job, ticket) for job, ticket in chain.from_iterable(row_sets))
