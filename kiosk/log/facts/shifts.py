"""Shifts of a log: cut into stints, how long they went on, which of them are asked for."""

import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import takewhile
from typing import NamedTuple

from kiosk.log.facts import sql
from kiosk.log.facts.facts import Begun, Jump, Shift, Stint
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.run.state import JobStarted, Now

JUMP_SECONDS = 60.0
"""A smaller difference is a clock that is kept right in steps."""

# Within a boot the machine's own clock counts. Between two only the wall clock tells how long
# the machine was off, and where that went back nothing does.
_GAPS = """
WITH moments AS (
    SELECT seq, wall, boot = lag(boot) OVER w AS same, clock - lag(clock) OVER w AS went,
           wall - lag(wall) OVER w AS by_wall
    FROM events WHERE seq BETWEEN ?1 AND ?2 WINDOW w AS (ORDER BY seq)
), gaps AS (
    SELECT seq, total(CASE WHEN same THEN went ELSE max(by_wall, 0.0) END) OVER (ORDER BY seq)
               AS gone,
           CASE WHEN same THEN by_wall - went ELSE min(by_wall, 0.0) END AS jump
    FROM moments
)
SELECT seq, gone, jump FROM gaps
WHERE abs(jump) >= ?3 OR seq IN (SELECT value FROM json_each(?4))
"""


class Timeline(NamedTuple):
    """Seconds since the shift's first event at some of its events, and the clock's jumps."""

    gone: Mapping[int, float]
    jumps: tuple[Jump, ...]


def timeline(store: Store, shift: Shift, at: Collection[int]) -> Timeline:
    """Return how far the shift was at the events numbered `at`. Raises Damaged, CannotRecord."""
    wanted, gone, jumps = json.dumps(sorted(at)), {}, []
    for seq, seconds, jump in store.rows(_GAPS, shift.first, shift.last, JUMP_SECONDS, wanted):
        gone[seq] = seconds
        if jump is not None and abs(jump) >= JUMP_SECONDS:
            jumps.append(Jump(seq, jump))
    return Timeline(gone, tuple(jumps))


def shifts(store: Store) -> tuple[Shift, ...]:
    """Return all shifts of a log in order. Raises Damaged or CannotRecord."""
    return tuple(
        Shift(
            number,
            first,
            store.last if last is None else last,
            tuple(dict.fromkeys(operators.split("\x1f"))),
            Now(*began),
            None if last is None else Now(*ended),
        )
        for number, first, last, operators, *moments in store.rows(sql.SHIFTS)
        for began, ended in ((moments[:3], moments[3:]),)
    )


def stints_of(store: Store, spans: Iterable[Shift]) -> Iterator[Stint]:
    """Cut shifts wherever operator or job change."""
    nth = 0
    for shift in spans:
        operator, job, first = "", _job_before(store, shift.first), shift.first
        for seq, kind, signed_on, named in store.rows(sql.CUTS, shift.first, shift.last):
            if seq > first:
                yield Stint(nth, shift.id, operator, job, first, seq - 1)
                nth += 1
            first = seq
            if kind == "signed-on":
                operator = signed_on
            else:
                job = "" if kind == "job-left" else named
        yield Stint(nth, shift.id, operator, job, first, shift.last)
        nth += 1


def _job_before(store: Store, seq: int) -> str:
    row = next(store.rows(sql.JOB_BEFORE, seq), ("",))
    return str(row[0] or "")


def jobs_of(stints: Iterable[Stint]) -> Iterator[str]:
    """Yield each job of the stints once, in their order."""
    yield from dict.fromkeys(stint.job for stint in stints if stint.job)


def begun(store: Store, job: str) -> Begun | None:
    """Return what the start record of a job says; without its garments, they may be many."""
    begins = '{"job":' + json.dumps(job, ensure_ascii=False)
    for seq, kind, version, payload in store.rows(sql.BEGUN, f"{begins},", f"{begins}-"):
        store.must_be_whole(seq, seq)
        row = codec.Row(kind, version, "", 0.0, 0.0, _without_garments(payload))
        event = codec.decode(row)
        if isinstance(event, JobStarted):
            return Begun(event.plan, event.rules, event.accepted_questions, seq)
    return None


def _without_garments(payload: str) -> str:
    return payload.removesuffix("}") + ',"garments":[]}'


WEEK = timedelta(days=7)


Shifts = tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class Chosen:
    """For each log, in its order: the shifts under report, of its last day, of the day before."""

    wanted: tuple[Shifts, ...]
    today: tuple[Shifts, ...]
    before: tuple[Shifts, ...]


def choose(logs: Sequence[Shifts], asked: str) -> Chosen | None:
    """Return the shifts for `last`, a number, `day`, `week` or `all`; None where there are none."""
    wanted = _wanted(logs, asked)
    if not any(wanted):
        return None
    last = max(day_of(shift) for shifts in wanted for shift in shifts)
    earlier = max((day for shifts in logs if (day := _day_before(shifts, last))), default=None)
    whole = asked in ("week", "all")
    today = tuple(_on(shifts, last) if whole else shifts for shifts in wanted)
    return Chosen(wanted, today, tuple(_on(shifts, earlier) for shifts in logs))


def _wanted(logs: Sequence[Shifts], asked: str) -> tuple[Shifts, ...]:
    if asked == "all":
        return tuple(logs)
    if asked == "last":
        return tuple(shifts[-1:] for shifts in logs)
    if asked not in ("day", "week"):
        return tuple(tuple(s for s in shifts if str(s.id) == asked) for shifts in logs)
    last = max((day_of(shift) for shifts in logs for shift in shifts), default=None)
    if last is None or asked == "day":
        return tuple(_on(shifts, last) for shifts in logs)
    return tuple(tuple(s for s in shifts if last - WEEK < day_of(s) <= last) for shifts in logs)


def _day_before(shifts: Shifts, last: date) -> date | None:
    """The last day before `last` on which a shift began; the newest shifts are looked at first."""
    return next((day for shift in reversed(shifts) if (day := day_of(shift)) < last), None)


def _on(shifts: Shifts, day: date | None) -> Shifts:
    """The shifts of a day; a log goes on for years, and its days come in order."""
    if day is None:
        return ()
    newest = takewhile(lambda shift: day_of(shift) >= day - WEEK, reversed(shifts))
    return tuple(reversed([shift for shift in newest if day_of(shift) == day]))


def day_of(shift: Shift) -> date:
    """Return the day on which a shift began, by this machine's clock."""
    return datetime.fromtimestamp(shift.began.wall).astimezone().date()
