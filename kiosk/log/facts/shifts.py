"""Shifts of a log, the jobs begun in it and their cycles; which shifts are asked for."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise, takewhile

from kiosk.log.facts.facts import Begun, Shift, Stint
from kiosk.log.facts.fold import ready
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.plan.model import Plan
from kiosk.plan.time import procedure
from kiosk.run.state import JobStarted, Now

SHIFTS = """SELECT shift, first, last, boot, clock, wall, end_boot, end_clock, end_wall
FROM shift ORDER BY shift"""
PEOPLE = "SELECT DISTINCT shift, operator FROM stint ORDER BY stint"
BEGUN = """SELECT e.seq, e.kind, version, boot, clock, wall, payload FROM job AS j
JOIN events AS e ON e.seq = j.seq WHERE j.job = ?"""


def shifts(store: Store) -> tuple[Shift, ...]:
    """Return all shifts of a log in order; its facts must be `ready`."""
    people: dict[int, list[str]] = defaultdict(list)
    for number, operator in store.rows(PEOPLE):
        people[number].append(operator)
    return tuple(
        Shift(
            number,
            first,
            store.last if last is None else last,
            tuple(dict.fromkeys(people[number])),
            Now(*moments[:3]),
            None if last is None else Now(*moments[3:]),
        )
        for number, first, last, *moments in store.rows(SHIFTS)
    )


def jobs_of(stints: Iterable[Stint]) -> Iterator[str]:
    """Yield each job of the stints once, in their order."""
    yield from dict.fromkeys(stint.job for stint in stints if stint.job)


def begun(store: Store, job: str) -> Begun | None:
    """Return what the start record of a job says; without its garments, they may be many."""
    for seq, *row in store.rows(BEGUN, job):
        store.must_be_whole(seq, seq)
        event = codec.decode_without(codec.Row(*row), "garments")
        if isinstance(event, JobStarted):
            return Begun(event.plan, event.rules, event.accepted_questions, seq)
    return None


LONGEST_SECONDS = 1200.0
"""A longer time from tone to tone is a break, not a cycle."""
SHIFTS_BACK = 30
"""Older shifts tell less of today's hands, and a log grows for years."""
TONES = """SELECT g.job, g.passage, g.shift, c.boot, c.rang FROM garment AS g
JOIN closing AS c ON c.job = g.job AND c.ticket = g.ticket
WHERE g.shift > (SELECT coalesce(max(shift), 0) - ? FROM shift) AND g.shift > 0 AND g.represses = 0
AND c.phase = 'final press' AND c.rang IS NOT NULL ORDER BY c.seq"""


def cycles(store: Store) -> Mapping[str, tuple[float, ...]]:
    """Return the seconds of past cycles by procedure (`kiosk.plan.past.procedure`).

    A cycle is the time from the last tone of one garment to that of the next in the same run
    of a job and the same shift, by the machine's own clock; those of the last SHIFTS_BACK
    shifts. Raises Damaged, Newer or CannotRecord.
    """
    with store.reading():
        ready(store)
        return _cycles(store)


def _cycles(store: Store) -> Mapping[str, tuple[float, ...]]:
    lots: dict[tuple[str, int, int, str], list[float]] = defaultdict(list)
    plans: dict[str, Plan | None] = {}
    for job, passage, shift, boot, rang in store.rows(TONES, SHIFTS_BACK):
        if job not in plans:
            of_job = begun(store, job)
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
    """Where a run has several passes, a garment is through it with the last one's tone."""
    runs = () if plan is None else plan.runs
    return next((n for n, run in enumerate(runs) if run and run[-1] == passage), None)


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
