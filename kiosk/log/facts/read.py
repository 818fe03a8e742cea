"""Reads what a report is made of: plain SELECTs over the facts, and the few events it looks at.

They are in the SQL that SQLite and PostgreSQL have in common: texts are sorted and times rounded
here, not there.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from kiosk.log.facts.closings import BREAK_SECONDS
from kiosk.log.facts.facts import (
    Begun,
    Closings,
    Due,
    Facts,
    Jump,
    Noted,
    Peels,
    Pulled,
    Record,
    Seconds,
    Shift,
    Stint,
    Tally,
)
from kiosk.log.facts.garments import counted, of_garments
from kiosk.log.facts.shifts import begun, jobs_of, must_be_whole
from kiosk.log.facts.tables import Source
from kiosk.log.facts.tell import FILES
from kiosk.log.store import Store, codec
from kiosk.run.state import PressVerified, Seen, StationStarted

CHECKS_BACK = 30
"""So many checks of the press are looked at for its drift, older ones than the shift's too."""

STINTS = """SELECT shift, operator, job, first, coalesce(last, ?), began, coalesce(ended, ?), stint
FROM stint WHERE shift = ? ORDER BY stint"""
GONE = """SELECT gone FROM tally WHERE stint = (SELECT max(stint) FROM stint)
ORDER BY last DESC LIMIT 1"""
TALLIES = "SELECT stint, kind, many, seconds, idle FROM tally WHERE stint BETWEEN ? AND ?"
CLOSINGS = """SELECT stint, passage, step, closed_seen, opened_seen, count(*) FROM closing
WHERE stint BETWEEN ? AND ? GROUP BY 1, 2, 3, 4, 5"""
OPENINGS = """SELECT stint, passage, step, closed_seen, opened_seen, wall, set_seconds, over
FROM closing WHERE stint BETWEEN ? AND ? AND opened_seen IN ('measured', 'declared')
AND over IS NOT NULL ORDER BY stint, seq"""
TONES = """SELECT stint, passage, step, gap FROM (
    SELECT stint, seq, passage, step, CASE WHEN boot = lag(boot) OVER w
        THEN rang - lag(rang) OVER w END AS gap
    FROM closing WHERE stint BETWEEN ? AND ? AND rang IS NOT NULL
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
JUMPS = "SELECT seq, seconds FROM jump WHERE shift = ? ORDER BY seq"
DUE = """SELECT job, title, due, garments, garments - (SELECT count(*) FROM (
    SELECT line FROM garment AS g WHERE g.job = j.job AND replaced_by = 0 GROUP BY line
    HAVING count(*) FILTER (WHERE stage NOT IN ('good', 'accepted')) = 0) AS made)
FROM job AS j WHERE due <> '' AND done IS NULL ORDER BY due LIMIT 50"""
PULLED = """SELECT c.job, c.line, g.number FROM closing AS c
JOIN garment AS g ON g.job = c.job AND g.ticket = c.ticket
WHERE c.stint >= (SELECT coalesce(max(stint), 0) FROM stint WHERE first <= ?) AND c.press = ?
AND c.phase = 'final press' AND c.seq > ? AND c.seq < ? ORDER BY c.seq"""


def facts(store: Source, wanted: Sequence[Shift], station: str = "") -> Facts:
    """Return what the log tells of the shifts `wanted`. Call it within `store.reading()`.

    The facts must be `ready`. `station` names the log where several are read; else its file
    does. Raises Damaged, Newer or CannotRecord.
    """
    for shift in wanted:
        must_be_whole(store, shift)
    found = Reader(store, wanted)
    jobs = _begun(store, found)
    read = Facts(
        station=station or store.name,
        record=_record(store, wanted),
        simulated=_simulated(store),
        shifts=tuple(wanted),
        stints=found.stints,
        jobs=jobs,
        tallies=tuple(Tally(*row) for row in found.by_stint(TALLIES)),
        closings=tuple(_closings(found)),
        cycles=tuple(_grouped(found, TONES, 2 * BREAK_SECONDS)),
        moves=tuple(_grouped(found, MOVES)),
        peels=tuple(_peels(found)),
        noted=(*_files(store, wanted), *_noted(store, found)),
        checks=_checks(store, wanted),
        due=tuple(Due(*row) for row in store.rows(DUE)),
        ordered_seconds=found.ordered_seconds,
        garments=counted(store, wanted, jobs),
        **of_garments(store, wanted),
    )
    return replace(read, pulled=tuple(_pulled(store, read)))


def compared(store: Source, wanted: Sequence[Shift], station: str = "") -> Facts:
    """Return of shifts that others are only compared with no more than what is compared.

    People, settings, garments, cycles and results that were not good. Raises what `facts` does.
    """
    for shift in wanted:
        must_be_whole(store, shift)
    found = Reader(store, wanted)
    jobs = _begun(store, found)
    return Facts(
        station=station or store.name,
        shifts=tuple(wanted),
        stints=found.stints,
        jobs=jobs,
        garments=counted(store, wanted, jobs),
        cycles=tuple(_grouped(found, TONES, 2 * BREAK_SECONDS)),
        noted=tuple(_noted(store, found, NOT_GOOD)),
    )


def _begun(store: Source, found: "Reader") -> dict[str, Begun]:
    return {name: of for name in jobs_of(found.stints) if (of := begun(store, name)) is not None}


class Reader:
    """The stints of some shifts; rows of facts get the number that a stint has among them."""

    def __init__(self, store: Source, wanted: Sequence[Shift]) -> None:
        self._store = store
        stints: list[Stint] = []
        self._numbers: dict[int, int] = {}
        self.ordered_seconds: dict[str, float] = defaultdict(float)
        (gone,) = next(store.rows(GONE), (0.0,))
        for shift in wanted:
            spans: dict[str, tuple[float, float]] = {}
            for of, who, job, first, last, began, ended, key in store.rows(
                STINTS, store.last, gone, shift.id
            ):
                self._numbers[key] = len(stints)
                stints.append(Stint(len(stints), of, who, job, first, last))
                spans[job] = (spans.get(job, (began, 0.0))[0], ended)
            for job, (began, ended) in spans.items():
                if job:
                    self.ordered_seconds[job] += ended - began
        self.stints = tuple(stints)

    def by_stint(self, query: str, *more: object) -> list[tuple[Any, ...]]:
        """Return the rows of a query of a range of stints, the first column numbered anew."""
        numbers, rows = self._numbers, self._rows(query, *more)
        return [(numbers[row[0]], *row[1:]) for row in rows if row[0] in numbers]

    def grouped(self, query: str, *more: object) -> Iterator[tuple[tuple[Any, ...], list[Any]]]:
        """Yield the last column of the same rows by all others, in the order of their first."""
        numbers = self._numbers
        groups: dict[tuple[Any, ...], list[Any]] = defaultdict(list)
        for row in self._rows(query, *more):
            groups[row[:-1]].append(row[-1])
        for (stint, *key), found in groups.items():
            if stint in numbers:
                yield (numbers[stint], *key), found

    def _rows(self, query: str, *more: object) -> Iterable[tuple[Any, ...]]:
        """Other shifts may lie between those that are read."""
        numbers = self._numbers
        return self._store.rows(query, min(numbers), max(numbers), *more) if numbers else ()


def _closings(found: Reader) -> Iterator[Closings]:
    told: dict[tuple[Any, ...], list[tuple[float, float, float]]] = defaultdict(list)
    for row in found.by_stint(OPENINGS):
        told[row[:5]].append(row[5:])
    for *key, many in found.by_stint(CLOSINGS):
        nth, passage, step, closing, opening = key
        openings = tuple(told.get(tuple(key), ()))
        yield Closings(nth, passage, step, Seen(closing), Seen(opening), many, openings)


def _grouped(found: Reader, query: str, *more: object) -> Iterator[Seconds]:
    """Times by their first columns: stint, passage, (first step,) step."""
    for (nth, passage, *first, step), seconds in found.grouped(query, *more):
        of = first[0] if first else 0
        yield Seconds(nth, passage, of, step, tuple([round(each, 1) for each in seconds]))


def _peels(found: Reader) -> Iterator[Peels]:
    groups: dict[tuple[int, int], tuple[list[float], list[float]]] = {}
    for nth, passage, waited, before in found.by_stint(PEELS):
        groups.setdefault((nth, passage), ([], []))[before].append(waited)
    for (nth, passage), (at, before) in groups.items():
        yield Peels(nth, passage, tuple(at), tuple(before))


def _record(store: Source, wanted: Sequence[Shift]) -> Record:
    """What is read in memory, page by page, has no digests."""
    lost = tuple(n for n in store.lost if any(s.first <= n <= s.last for s in wanted))
    whole = bool(store.head.digest)
    return Record(
        station=store.station,
        code=store.head.short if whole else "",
        head=store.head.full if whole else "",
        lost=lost,
        lost_elsewhere=len(store.lost) - len(lost),
        jumps=tuple(Jump(*row) for shift in wanted for row in store.rows(JUMPS, shift.id)),
    )


def _simulated(store: Source) -> bool:
    first = next(store.events(1, 1), None)
    return first is not None and isinstance(first.event, StationStarted) and first.event.simulated


def _noted(store: Source, found: Reader, query: str = NOTED) -> Iterator[Noted]:
    """In a station's file all shifts were looked at, whether they are whole."""
    for nth, seq, *cells, total in found.by_stint(query):
        row = codec.Row(*cells)
        if isinstance(store, Store):
            yield Noted(seq, nth, codec.decoded(store.path, seq, row))
        else:
            yield Noted(seq, nth, store.event(seq, row, total))


def _files(store: Source, wanted: Sequence[Shift]) -> Iterator[Noted]:
    for shift in wanted:
        for seq, *row, total in store.rows(FILES_READ, shift.first, shift.first):
            yield Noted(seq, -1, store.event(seq, codec.Row(*row), total))


def _checks(store: Source, wanted: Sequence[Shift]) -> tuple[tuple[int, PressVerified], ...]:
    last = max((shift.last for shift in wanted), default=0)
    numbers = [seq for (seq,) in store.rows(CHECKS, last, CHECKS_BACK)]
    events = (next(store.events(seq, seq)) for seq in reversed(numbers))
    return tuple((seq, event) for seq, event in events if isinstance(event, PressVerified))


def _pulled(store: Source, found: Facts) -> Iterator[Pulled]:
    """What each failed check of the shifts calls back: all finals since the last good one."""
    own = {each.seq for each in found.noted}
    good: dict[str, int] = {}
    told: set[Pulled] = set()
    for seq, check in found.checks:
        if check.passed:
            good[check.press] = seq
        elif seq in own:
            since = good.get(check.press, 0)
            for row in store.rows(PULLED, since, check.press, since, seq):
                pulled = Pulled(check.press, *row)
                if pulled not in told:
                    told.add(pulled)
                    yield pulled
