"""Everything the log holds on one garment: closings, press checks around them, rulings."""

from typing import Any, NamedTuple

from kiosk.log.facts.facts import ClockJump, JobStart
from kiosk.log.facts.garments import TicketRow
from kiosk.log.facts.shifts import JUMPS, job_start, rows_of_jobs
from kiosk.log.facts.tables import FactSource
from kiosk.run.state import TimeSource

HEATS = """SELECT c.seq, c.ticket, c.passage, c.phase, c.press, s.operator, c.wall, c.asked,
c.shown, c.set_seconds, c.over, c.closed_seen, c.opened_seen FROM closing AS c
JOIN stint AS s ON s.stint = c.stint WHERE c.job = ? AND c.line = ? ORDER BY c.seq"""
_CHECK = """SELECT e.wall, c.temperature, c.unit, c."offset", c.spread, c.passed
FROM "check" AS c JOIN events AS e ON e.seq = c.seq WHERE c.press = ? """
CHECK_BEFORE = f"{_CHECK} AND c.seq < ? ORDER BY c.seq DESC LIMIT 1"
CHECK_AFTER = f"{_CHECK} AND c.seq > ? ORDER BY c.seq LIMIT 1"
RULINGS = """SELECT what, who, why FROM ruling WHERE job = ? AND (
    ticket IN (SELECT ticket FROM garment WHERE job = ? AND line = ?)
    OR (what IN ('overridden trial', 'overridden first article', 'overridden plan')
        AND seq < (SELECT max(seq) FROM closing WHERE job = ? AND line = ?))) ORDER BY seq"""
"""Decisions about a garment, and those about its order made before the garment's last heat."""
LINES = "SELECT number <> ?, line FROM garment WHERE job = ? AND (number = ? OR line = ?)"


class PressCheck(NamedTuple):
    """A press check: wall seconds, set temperature, deviations, and whether it passed."""

    wall: float
    temperature: int
    unit: str
    offset: float
    spread: float
    passed: bool


class GarmentClosing(NamedTuple):
    """One closing on a garment: operator, degrees required and shown, seconds, how both are known.

    `over` is seconds beyond the set time, or None if the opening was not seen; `before` and `after`
    are the nearest checks of the same press.
    """

    ticket: str
    passage: int
    phase: str
    press: str
    operator: str
    wall: float
    required_degrees: int | None
    shown_degrees: int | None
    set_seconds: float | None
    over: float | None
    closed: TimeSource
    opened: TimeSource
    before: PressCheck | None
    after: PressCheck | None


class GarmentStory(NamedTuple):
    """Everything known about one garment of a job: its tickets, heat and rulings.

    `jumps` are the wall clock's changes in the shifts of its results.
    """

    line: str
    job_start: JobStart
    tickets: tuple[TicketRow, ...]
    heats: tuple[GarmentClosing, ...]
    rulings: tuple[tuple[str, str, str], ...]
    jumps: tuple[ClockJump, ...] = ()


def lines_of(store: FactSource, job: str, label: str) -> tuple[str, ...]:
    """Return the lines of a job's garments with the given number, or the line of that name.

    `#12`, as a garment without a number is shown, matches only the line.
    """
    found = sorted(store.rows(LINES, label, job, label, label.removeprefix("#")))
    return tuple(dict.fromkeys(line for _, line in found))


def story(store: FactSource, job: str, line: str) -> GarmentStory | None:
    """Return the log's story of a garment, or None if the log never began the job."""
    of_job = job_start(store, job)
    if of_job is None:
        return None
    tickets = tuple(row for row in rows_of_jobs(store, [job]) if row.line == line)
    heats = tuple(_heat(store, *row) for row in store.rows(HEATS, job, line))
    ruled = tuple(store.rows(RULINGS, job, job, line, job, line))
    within = sorted({ticket.shift for ticket in tickets if ticket.shift})
    jumps = tuple(ClockJump(*row) for shift in within for row in store.rows(JUMPS, shift))
    return GarmentStory(line, of_job, tickets, heats, ruled, jumps)


def _heat(store: FactSource, seq: int, ticket: str, passage: int, *columns: Any) -> GarmentClosing:
    phase, press, operator, wall, asked, shown, seconds, over, closed, opened = columns
    checks = [next(store.rows(query, press, seq), None) for query in (CHECK_BEFORE, CHECK_AFTER)]
    before, after = (None if row is None else PressCheck(*row) for row in checks)
    return GarmentClosing(
        ticket, passage, phase, press, operator, wall, asked, shown, seconds, over,
        TimeSource(closed), TimeSource(opened), before, after,
    )  # fmt: skip
