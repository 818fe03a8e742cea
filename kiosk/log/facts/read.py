"""Reads the contents of a report: plain SELECTs over the facts, and a few single events.

The SQL is common to SQLite and PostgreSQL: texts are sorted and times rounded here instead.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain, repeat, starmap
from typing import Any

from kiosk.log.facts.closings import BREAK_SECONDS
from kiosk.log.facts.derive import FILES
from kiosk.log.facts.facts import (
    ClockJump,
    ClosingCount,
    DueJob,
    EventTally,
    Facts,
    PeelSeconds,
    Record,
    ReportedEvent,
    Shift,
    StepSeconds,
    Stint,
    UncheckedGarment,
)
from kiosk.log.facts.garments import FINISHED_SQL, counted, of_garments, taken_over_of
from kiosk.log.facts.shifts import JUMPS, job_start_from, jobs_of, must_be_whole, start_of
from kiosk.log.facts.tables import FactSource, Reading
from kiosk.log.store import NumberedEvent, Store, codec
from kiosk.log.store.rows import decoded
from kiosk.run.state import PressVerified, StationStarted, TimeSource

CHECKS_BACK = 30
"""Number of press checks examined for drift, including ones before the shift."""

STINTS = """SELECT shift, operator, job, first, last, began, coalesce(ended, (
    SELECT gone FROM tally WHERE stint = (SELECT max(stint) FROM stint)
    ORDER BY last DESC LIMIT 1), 0.0), stint
FROM stint WHERE shift = ? ORDER BY stint"""
TALLIES = "SELECT stint, kind, many, seconds, idle FROM tally WHERE stint BETWEEN ? AND ?"
CLOSINGS = """SELECT stint, passage, step, closed_seen, opened_seen, count(*) FROM closing
WHERE stint BETWEEN ? AND ? GROUP BY 1, 2, 3, 4, 5"""
OPENINGS = """SELECT stint, passage, step, closed_seen, opened_seen, wall, set_seconds, over
FROM closing WHERE stint BETWEEN ? AND ? AND opened_seen IN ('measured', 'declared')
AND over IS NOT NULL ORDER BY stint, seq"""
TONES = """SELECT stint, passage, step, gap FROM (
    SELECT stint, seq, passage, step, CASE WHEN boot = lag(boot) OVER w
        THEN rang - lag(rang) OVER w END AS gap
    FROM closing WHERE stint BETWEEN ? AND ? AND phase = 'final press' AND rang IS NOT NULL
    WINDOW w AS (PARTITION BY stint, passage, step ORDER BY seq)
) AS tones WHERE gap BETWEEN 0 AND ? ORDER BY stint, seq"""
MOVES = """SELECT stint, passage, first, step, seconds FROM hands WHERE stint BETWEEN ? AND ?
ORDER BY stint, seq"""
PEELS = """SELECT stint, passage, waited, before FROM peel WHERE stint BETWEEN ? AND ?
ORDER BY stint, seq"""
NOTED = """SELECT n.stint, e.seq, e.kind, version, boot, clock, wall, payload, sum FROM noted AS n
JOIN events AS e ON e.seq = n.seq WHERE n.stint BETWEEN ? AND ? ORDER BY e.seq"""
NOT_GOOD = NOTED.replace(" ORDER", " AND n.kind IN ('finished', 'taken-back') ORDER")
FILES_READ = f"""SELECT e.seq, e.kind, version, boot, clock, wall, payload, sum FROM noted AS n
JOIN events AS e ON e.seq = n.seq WHERE n.stint = 0 AND n.kind = '{FILES}' AND n.seq < ?
AND n.seq > (SELECT coalesce(max(last), 0) FROM shift WHERE last < ?) ORDER BY e.seq"""
CHECKS = 'SELECT seq FROM "check" WHERE seq <= ? ORDER BY seq DESC LIMIT ?'
DUE = f"""SELECT job, title, due, garments, garments - (SELECT count(*) FROM (
    SELECT line FROM garment AS g WHERE g.job = j.job AND replaced_by = 0 GROUP BY line
    HAVING count(*) FILTER (WHERE stage NOT IN ({FINISHED_SQL})) = 0) AS made)
FROM job AS j WHERE due <> '' AND done IS NULL ORDER BY due LIMIT 50"""
PULLED = """SELECT c.job, c.line, g.number FROM closing AS c
JOIN garment AS g ON g.job = c.job AND g.ticket = c.ticket
WHERE c.stint >= (SELECT coalesce(max(stint), 0) FROM stint WHERE first <= ?) AND c.press = ?
AND c.phase = 'final press' AND c.seq > ? AND c.seq < ? ORDER BY c.seq"""

Rows = Iterable[tuple[Any, ...]]


def facts(store: FactSource, shifts: Sequence[Shift], station: str = "") -> Reading[Facts]:
    """Read the facts of the shifts `shifts`. Call it within `store.reading()`.

    The facts must be `ready`. `station` names the log if several are read; by default its file's
    name does. Raises Damaged, Newer or CannotRecord.
    """
    for shift in shifts:
        must_be_whole(store, shift)
    first, found = store.events(1, 1), Reader(store, shifts)
    yield
    found.number()
    files = [store.rows(FILES_READ, shift.first, shift.first) for shift in shifts]
    jumps = [store.rows(JUMPS, shift.id) for shift in shifts]
    checks = store.rows(CHECKS, max((s.last for s in shifts), default=0), CHECKS_BACK)
    fields = yield from _read_fields(store, shifts, found, {
        "noted": chain(_file_events(store, files), _reported_events(store, found.by_stint(NOTED))),
        "moves": _times(found.listed(MOVES)),
        "tallies": starmap(EventTally, found.by_stint(TALLIES)),
        "closings": _closings(found.by_stint(OPENINGS), found.by_stint(CLOSINGS)),
        "peels": _peels(found.by_stint(PEELS)),
        "due": starmap(DueJob, store.rows(DUE)),
        **of_garments(store, shifts),
    })  # fmt: skip
    result = Facts(
        station=station or store.name,
        record=_record(store, shifts, chain.from_iterable(jumps)),
        simulated=_simulated(first),
        shifts=tuple(shifts),
        stints=found.stints,
        checks=(yield from _checks(store, checks)),
        ordered_seconds=found.ordered_seconds,
        **fields,
    )
    pulled = yield from _recheck_garments(store, result)
    taken_over = yield from taken_over_of(store, result)
    return result._replace(pulled=pulled, taken_over=taken_over)


def compared(store: FactSource, shifts: Sequence[Shift], station: str = "") -> Reading[Facts]:
    """Read only what a comparison needs, for shifts that others are compared with.

    That is operators, settings, garments, cycles and results that were not good. Raises what
    `facts` raises.
    """
    for shift in shifts:
        must_be_whole(store, shift)
    found = Reader(store, shifts)
    yield
    found.number()
    rows, own = found.by_stint(NOT_GOOD), isinstance(store, Store)
    fields = yield from _read_fields(store, shifts, found, {
        "noted": rows if own else _reported_events(store, rows),  # read while a server counts
    })  # fmt: skip
    fields |= {"stints": found.stints}
    if own:
        fields["noted"] = LazyEvents(store, fields["noted"])
    return Facts(station=station or store.name, shifts=tuple(shifts), **fields)


def _read_fields(
    store: FactSource,
    shifts: Sequence[Shift],
    found: "Reader",
    rows_by_field: Mapping[str, Iterator[Any]],
) -> Reading[dict[str, Any]]:
    """Read jobs, the rows `rows_by_field`, cycles and garments, keyed by field of `Facts`.

    Cycles and garments are queried last: a server takes longest over them, and meanwhile the rest
    is read.
    """
    starts = found.starts()
    yield
    cycles = _times(found.listed(TONES, 2 * BREAK_SECONDS))
    garments = counted(store, shifts, starts)
    yield
    jobs = {
        job: of for job, rows in starts.items() if (of := job_start_from(store, job, rows, shifts))
    }
    fields = {"jobs": jobs, **{name: tuple(rows) for name, rows in rows_by_field.items()}}
    yield
    fields["garments"] = tuple(garments)
    yield
    fields["cycles"] = tuple(cycles)
    return fields


class Reader:
    """The stints of some shifts; numbers fact rows by the position of their stint."""

    def __init__(self, store: FactSource, shifts: Sequence[Shift]) -> None:
        self._store = store
        self._asked = [store.rows(STINTS, shift.id) for shift in shifts]
        self._numbers: dict[int, int] = {}
        self.stints: tuple[Stint, ...] = ()
        self.ordered_seconds: dict[str, float] = defaultdict(float)

    def number(self) -> None:
        """Read the stints, and how long each job was in progress in the shifts."""
        stints: list[Stint] = []
        for of_shift in self._asked:
            spans: dict[str, tuple[float, float]] = {}
            for shift, operator, job, first, last, began, ended, key in of_shift:
                self._numbers[key] = len(stints)
                end = self._store.last if last is None else last
                stints.append(Stint(len(stints), shift, operator, job, first, end))
                start = spans.get(job, (began, 0.0))[0]
                spans[job] = (start, ended)
            for job, (began, ended) in spans.items():
                if job:
                    self.ordered_seconds[job] += ended - began
        self.stints = tuple(stints)

    def starts(self) -> dict[str, Rows]:
        """Return the row of each job's start, for `job_start_from`."""
        return {job: start_of(self._store, job) for job in jobs_of(self.stints)}

    def by_stint(self, query: str, *arguments: object) -> Iterator[tuple[Any, ...]]:
        """Return the rows of a query over a range of stints, with the stint's position first."""
        return self._numbered(self._store.rows, query, *arguments)

    def listed(self, query: str, *arguments: object) -> Iterator[tuple[Any, ...]]:
        """Return such rows grouped, with the last column's values collected in a list."""
        return self._numbered(self._store.listed, query, *arguments)

    def _numbered(
        self, run_query: Callable[..., Iterator[Any]], query: str, *arguments: object
    ) -> Iterator[tuple[Any, ...]]:
        """Drop the rows of other shifts that lie between the requested ones."""
        numbers = self._numbers
        rows = run_query(query, min(numbers), max(numbers), *arguments) if numbers else ()
        return ((numbers[row[0]], *row[1:]) for row in rows if row[0] in numbers)


def _closings(openings: Rows, closings: Rows) -> Iterator[ClosingCount]:
    over_of: dict[tuple[Any, ...], list[tuple[float, float, float]]] = defaultdict(list)
    for row in openings:
        over_of[row[:5]].append((row[5], row[6], row[7]))
    for *key, many in closings:
        nth, passage, step, closing, opening = key
        over = tuple(over_of.get(tuple(key), ()))
        yield ClosingCount(nth, passage, step, TimeSource(closing), TimeSource(opening), many, over)


def _times(rows: Rows) -> Iterator[StepSeconds]:
    """Yield times from rows of stint, passage, (first step,) step and seconds."""
    for nth, passage, *first, step, seconds in rows:
        first_step = first[0] if first else 0
        yield StepSeconds(nth, passage, first_step, step, tuple(map(round, seconds, repeat(1))))


def _peels(rows: Rows) -> Iterator[PeelSeconds]:
    groups: dict[tuple[int, int], tuple[list[float], list[float]]] = {}
    for nth, passage, waited, before in rows:
        groups.setdefault((nth, passage), ([], []))[before].append(waited)
    for (nth, passage), (at, before) in groups.items():
        yield PeelSeconds(nth, passage, tuple(at), tuple(before))


def _record(store: FactSource, shifts: Sequence[Shift], jumps: Rows) -> Record:
    """Return which record was read; one read in memory, page by page, has no digests."""
    lost = tuple(n for n in store.lost if any(s.first <= n <= s.last for s in shifts))
    whole = bool(store.head.digest)
    return Record(
        station=store.station,
        code=store.head.short if whole and store.station else "",
        head=store.head.full if whole else "",
        lost=lost,
        lost_elsewhere=len(store.lost) - len(lost),
        jumps=tuple(ClockJump(*row) for row in jumps),
    )


def _simulated(events: Iterator[NumberedEvent]) -> bool:
    first = next(events, None)
    return first is not None and isinstance(first.event, StationStarted) and first.event.simulated


def _reported_events(store: FactSource, rows: Rows) -> Iterator[ReportedEvent]:
    """Yield events; in a station's file the shifts' rows were already checked for damage."""
    for nth, seq, *cells, total in rows:
        row = codec.EventRow(*cells)
        if isinstance(store, Store):
            yield ReportedEvent(seq, nth, decoded(store.path, seq, row))
        else:
            yield ReportedEvent(seq, nth, store.event(seq, row, total))


class LazyEvents:
    """Events that are decoded from their rows only when iterated, which is seldom."""

    def __init__(self, store: FactSource, rows: Rows) -> None:
        self._store, self._rows = store, rows

    def __iter__(self) -> Iterator[ReportedEvent]:
        return _reported_events(self._store, self._rows)


def _file_events(store: FactSource, by_shift: Iterable[Rows]) -> Iterator[ReportedEvent]:
    for seq, *row, total in chain.from_iterable(by_shift):
        yield ReportedEvent(seq, -1, store.event(seq, codec.EventRow(*row), total))


def _checks(store: FactSource, newest: Rows) -> Reading[tuple[tuple[int, PressVerified], ...]]:
    event_rows = [store.events(seq, seq) for (seq,) in reversed(list(newest))]
    yield
    events = (next(each) for each in event_rows)
    return tuple((seq, event) for seq, event in events if isinstance(event, PressVerified))


def _recheck_garments(store: FactSource, found: Facts) -> Reading[tuple[UncheckedGarment, ...]]:
    """Return the garments each failed check calls back: all finals since the last good check."""
    own = {each.seq for each in found.noted}
    good: dict[str, int] = {}
    queries: list[tuple[str, Rows]] = []
    for seq, check in found.checks:
        if check.passed:
            good[check.press] = seq
        elif seq in own:
            after = good.get(check.press, 0)
            queries.append((check.press, store.rows(PULLED, after, check.press, after, seq)))
    yield
    return tuple(
        dict.fromkeys(UncheckedGarment(press, *row) for press, rows in queries for row in rows)
    )
