"""Reads the facts of some shifts of a log: by range, whatever else the log holds."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from kiosk.log.facts import sql
from kiosk.log.facts.facts import (
    Closings,
    Facts,
    GarmentCount,
    Marked,
    Noted,
    Peels,
    Pulled,
    Record,
    Sample,
    Seconds,
    Shift,
    Spoiled,
    Stint,
    Tally,
)
from kiosk.log.facts.rows import fresh_tickets
from kiosk.log.facts.shifts import Timeline, begun, jobs_of, stints_of, timeline
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.plan.model import Phase, Plan
from kiosk.run.state import Now, PressVerified, Seen, StationStarted

CHECKS_BACK = 30
"""So many checks of the press are looked at for its drift, older ones than the shift's too."""


def facts(store: Store, wanted: Sequence[Shift], station: str = "") -> Facts:
    """Return what the log tells of the shifts `wanted`. Call it within `store.reading()`.

    `station` names the log where several are read; else its file does.
    Raises Damaged, Newer or CannotRecord.
    """
    for shift in wanted:
        store.must_be_whole(shift.first, shift.last)
    stints = tuple(stints_of(store, wanted))
    jobs = {name: of_job for name in jobs_of(stints) if (of_job := begun(store, name)) is not None}
    spans, tickets = _spans(stints), fresh_tickets(store)
    ends = [(each.shift, (each.first, each.last)) for each in stints]
    times = {
        shift.id: timeline(store, shift, {n for of, both in ends if of == shift.id for n in both})
        for shift in wanted
    }
    found = Facts(
        station=station or store.path.stem,
        record=_record(store, wanted, times.values()),
        simulated=_simulated(store),
        shifts=tuple(wanted),
        stints=stints,
        jobs=jobs,
        tallies=tuple(Tally(*row) for row in store.rows(sql.TALLIES, spans)),
        closings=tuple(_closings(store, spans)),
        cycles=tuple(_seconds(store, sql.CYCLES, spans)),
        moves=tuple(_seconds(store, sql.MOVES, spans)),
        peels=tuple(_peels(store, spans)),
        noted=(*_files(store, wanted), *_noted(store, spans)),
        checks=_checks(store, wanted),
        ordered_seconds=_ordered_seconds(stints, times),
        **_of_garments(store, wanted, jobs, tickets),
    )
    return replace(found, pulled=tuple(_pulled(store, found, tickets)))


def _of_garments(
    store: Store, wanted: Sequence[Shift], jobs: Iterable[str], tickets: str
) -> dict[str, Any]:
    """What the rows of the table `tickets` tell of the shifts and of all that `jobs` made."""
    of_shifts = json.dumps([shift.id for shift in wanted])

    def rows(query: str, *more: str) -> Iterator[Any]:
        return store.rows(query.format(tickets=tickets), of_shifts, *more)

    return {
        "garments": tuple(
            GarmentCount(job, result, bool(own), bool(latest), bool(first), count)
            for job, result, own, latest, first, count in rows(sql.GARMENTS, json.dumps(list(jobs)))
        ),
        "samples": tuple(Sample(*row) for row in rows(sql.SAMPLES)),
        "spoiled": tuple(
            Spoiled(job, line, number, tuple(json.loads(passes)))
            for job, line, number, passes in rows(sql.SPOILED)
        ),
        "marked": tuple(
            Marked(job, line, number, tuple(dict.fromkeys(marks.split(","))))
            for job, line, number, marks in rows(sql.MARKED)
        ),
    }


def _record(store: Store, wanted: Sequence[Shift], times: Iterable[Timeline]) -> Record:
    """What is read in memory, page by page, has no digests."""
    lost = tuple(n for n in store.lost if any(s.first <= n <= s.last for s in wanted))
    whole = bool(store.head.digest)
    return Record(
        station=store.station,
        code=store.head.short if whole else "",
        head=store.head.full if whole else "",
        lost=lost,
        lost_elsewhere=len(store.lost) - len(lost),
        jumps=tuple(jump for each in times for jump in each.jumps),
    )


def _simulated(store: Store) -> bool:
    first = next(store.events(1, 1), None)
    return first is not None and isinstance(first.event, StationStarted) and first.event.simulated


def _spans(stints: Iterable[Stint]) -> str:
    return json.dumps([(stint.nth, stint.first, stint.last) for stint in stints])


def _closings(store: Store, spans: str) -> Iterator[Closings]:
    for nth, passage, step, closing, opening, count, told in store.rows(sql.CLOSINGS, spans):
        openings = tuple(tuple(each) for each in json.loads(told))
        yield Closings(nth, passage, step, Seen(closing), Seen(opening), count, openings)


def _seconds(store: Store, query: str, spans: str) -> Iterator[Seconds]:
    for nth, passage, first, step, seconds in store.rows(query, spans):
        yield Seconds(nth, passage, first, step, tuple(json.loads(seconds)))


def _peels(store: Store, spans: str) -> Iterator[Peels]:
    for nth, passage, seconds, before in store.rows(sql.PEELS, spans):
        yield Peels(nth, passage, tuple(json.loads(seconds)), tuple(json.loads(before)))


def _noted(store: Store, spans: str) -> Iterator[Noted]:
    for nth, seq, *row, total in store.rows(sql.NOTED, spans):
        yield Noted(seq, nth, store.event(seq, codec.Row(*row), total))


def _files(store: Store, wanted: Sequence[Shift]) -> Iterator[Noted]:
    for shift in wanted:
        for seq, *row, total in store.rows(sql.FILES, shift.first):
            yield Noted(seq, -1, store.event(seq, codec.Row(*row), total))


def _checks(store: Store, wanted: Sequence[Shift]) -> tuple[tuple[int, PressVerified], ...]:
    last = max((shift.last for shift in wanted), default=0)
    numbers = [seq for (seq,) in store.rows(sql.CHECKS, last, CHECKS_BACK)]
    events = (next(store.events(seq, seq)) for seq in reversed(numbers))
    return tuple((seq, event) for seq, event in events if isinstance(event, PressVerified))


def _ordered_seconds(stints: Sequence[Stint], times: Mapping[int, Timeline]) -> dict[str, float]:
    """From the first to the last moment of each job in each shift, the time between included."""
    found: dict[tuple[str, int], tuple[float, float]] = {}
    for stint in stints:
        gone = times[stint.shift].gone
        first, last = gone.get(stint.first, 0.0), gone.get(stint.last, 0.0)
        began, ended = found.get((stint.job, stint.shift), (first, last))
        found[stint.job, stint.shift] = (min(began, first), max(ended, last))
    seconds: dict[str, float] = {}
    for (job, _), (began, ended) in found.items():
        if job:
            seconds[job] = seconds.get(job, 0.0) + ended - began
    return seconds


def _pulled(store: Store, found: Facts, tickets: str) -> Iterator[Pulled]:
    """What each failed check of the shifts calls back: all finals since the last good one."""
    own = {each.seq for each in found.noted}
    good: dict[str, int] = {}
    told: set[Pulled] = set()
    for seq, check in found.checks:
        if check.passed:
            good[check.press] = seq
        elif seq in own:
            for pulled in _finals(store, check.press, good.get(check.press, 0), seq, tickets):
                if pulled not in told:
                    told.add(pulled)
                    yield pulled


def _finals(store: Store, press: str, first: int, last: int, tickets: str) -> Iterator[Pulled]:
    at = Now("", 0.0, 0.0)
    stints = tuple(stints_of(store, [Shift(0, first + 1, last, (), at, at)]))
    plans = {name: of_job.plan for name in jobs_of(stints) if (of_job := begun(store, name))}
    for nth, ticket, step in store.rows(sql.PRESSED, _spans(stints)):
        job = stints[nth].job
        plan = plans.get(job)
        if plan is not None and plan.press == press and _is_final(plan, ticket, step):
            for line, number in store.rows(sql.NUMBER.format(tickets=tickets), job, ticket):
                yield Pulled(press, job, line, number)


def _is_final(plan: Plan, ticket: str, step: int) -> bool:
    passage = int(ticket.rsplit("/", 2)[1]) - 1
    steps: Any = plan.passes[passage].steps if passage < len(plan.passes) else ()
    return step < len(steps) and steps[step].phase is Phase.FINAL
