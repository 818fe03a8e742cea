"""The shifts of a report: facts of one or more logs, and problems with their records."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import wraps
from typing import Any, NamedTuple, TypeVar, cast

from kiosk.catalog.base import Message, say
from kiosk.log.facts import ClockJump, Facts, JobStart, ReportedEvent, Stint
from kiosk.plan.model import Pass, Phase, Plan, Step
from kiosk.report.content import first_few
from kiosk.run.state import Event

NOBODY = Stint(-1, 0, "", "", 0, 0)


class StationPress(NamedTuple):
    """One press of one station; two stations can have a press of the same name."""

    station: str
    press: str


class EventPlace(NamedTuple):
    """Where something happened; without a job, the plan is None and the press ""."""

    station: str
    stint: Stint
    plan: Plan | None
    press: StationPress

    def step(self, passage: int, step: int) -> Step | None:
        """Return a step of the job's plan, or None if there is no such step."""
        each = self.passage(passage)
        return each.steps[step] if each is not None and 0 <= step < len(each.steps) else None

    def passage(self, passage: int) -> Pass | None:
        """Return a pass of the job's plan, or None if there is no such pass."""
        exists = self.plan is not None and 0 <= passage < len(self.plan.passes)
        return self.plan.passes[passage] if self.plan is not None and exists else None


T = TypeVar("T")
E = TypeVar("E", bound=Event)


def once(compute: Callable[[Period], T]) -> Callable[[Period], T]:
    """Compute a result once per period, shared by all answers; callers must not change it."""

    @wraps(compute)
    def cached(period: Period) -> T:
        found = period.cache
        if compute not in found:
            found[compute] = compute(period)
        result: T = found[compute]
        return result

    return cached


class Period:
    """The facts of each log read, `logs` (may be empty); `cache` is that of `once`."""

    def __init__(self, logs: tuple[Facts, ...] = ()) -> None:
        self.logs = logs
        self.cache: dict[Any, Any] = {}

    @once
    def job_starts(self) -> Mapping[str, JobStart]:
        """Return the start record of each job that was at a press, by job."""
        return {name: start for facts in self.logs for name, start in facts.jobs.items()}

    def place_of(self, facts: Facts, nth: int) -> EventPlace:
        """Return where stint `nth` of a log took place."""
        key = facts.station, nth
        place: EventPlace | None = self.cache.get(key)
        if place is None:
            stint = facts.stint(nth) or NOBODY
            start = facts.jobs.get(stint.job)
            plan = start.plan if start else None
            press = StationPress(facts.station, plan.press if plan else "")
            place = self.cache[key] = EventPlace(facts.station, stint, plan, press)
        return place

    @once
    def reported_events(self) -> tuple[tuple[EventPlace, ReportedEvent], ...]:
        """Return the events that were kept one by one, log by log."""
        return tuple((self.place_of(facts, n.stint), n) for facts in self.logs for n in facts.noted)

    @once
    def by_kind(self) -> Mapping[type[Event], list[tuple[EventPlace, Event]]]:
        """Return the events of `reported` by their class."""
        found: dict[type[Event], list[tuple[EventPlace, Event]]] = {}
        for place, reported in self.reported_events():
            found.setdefault(type(reported.event), []).append((place, reported.event))
        return found

    def events(self, kind: type[E]) -> Sequence[tuple[EventPlace, E]]:
        """Return the events of one class, log by log."""
        found: Any = self.by_kind().get(kind, ())
        return cast("Sequence[tuple[EventPlace, E]]", found)

    @once
    def press_names(self) -> Mapping[StationPress, str]:
        """Return the presses of all jobs and checks, each with a unique name."""
        found = {
            StationPress(facts.station, press): press
            for facts in self.logs
            for press in (
                *(start.plan.press for start in facts.jobs.values()),
                *(check.press for _, check in facts.checks),
            )
        }
        many = Counter(found.values())
        return {s: f"{n} ({s.station})" if many[n] > 1 else n for s, n in sorted(found.items())}

    @once
    def titles(self) -> Mapping[str, str]:
        """Return the title of each job at a press, followed by the job's name if two share it."""
        return _distinct({job: start.plan.title or job for job, start in self.job_starts().items()})

    @once
    def recipes(self) -> Mapping[str, str]:
        """Return the display name of each recipe that was pressed, by key."""
        plans = (start.plan for start in self.job_starts().values())
        return _distinct({plan.recipe: plan.recipe_name for plan in plans})

    @once
    def sheets(self) -> Mapping[str, str]:
        """Return the display name of each material and fabric that was pressed, by key."""
        found: dict[str, str] = {}
        for plan in (start.plan for start in self.job_starts().values()):
            found[plan.fabric] = plan.fabric_name
            found |= {each.material: plan.sources.title_of(each.material) for each in plan.pieces}
        return _distinct(found)

    @once
    def operators(self) -> tuple[str, ...]:
        """Return the initials of all operators who signed on, sorted."""
        return tuple(sorted({s.operator for f in self.logs for s in f.stints if s.operator}))

    def shifts(self) -> int:
        """Return the number of shifts."""
        return sum(len(facts.shifts) for facts in self.logs)


def _distinct(titles: Mapping[str, str]) -> Mapping[str, str]:
    """Return titles by key, each followed by its key if two share it."""
    many = Counter(titles.values())
    return {key: f"{t} ({key})" if many[t] > 1 else t for key, t in titles.items()}


def passage_of(ticket: str) -> int:
    """Return the pass, from 0, of a ticket named `<line>/<pass>/<copy>`; -1 if it has none."""
    parts = ticket.rsplit("/", 2)
    return int(parts[1]) - 1 if len(parts) == 3 and parts[1].isdecimal() else -1


def is_final(step: Step | None) -> bool:
    """Return whether a step is a final press."""
    return step is not None and step.phase is Phase.FINAL


DAY_SECONDS = 86_400.0
NAMED = 10
"""Maximum number of lost events, and of clock jumps, listed one by one."""


def records(period: Period) -> tuple[Message, ...]:
    """Return a sentence for each record read, and one for each problem with it."""
    return (*(each for facts in period.logs for each in _record_lines(facts)), *_copies(period))


def _copies(period: Period) -> Iterator[Message]:
    """Yield a warning for each log id found twice: a log copied and then used on two tablets."""
    by_id: dict[str, list[str]] = {}
    for facts in period.logs:
        by_id.setdefault(facts.record.station, []).append(facts.station)
    for station, names in by_id.items():
        if station and len(names) > 1:
            yield say("report.copies", stations=tuple(names))


def _record_lines(facts: Facts) -> Iterator[Message]:
    if facts.record.code:
        yield say("report.record", station=facts.station, code=facts.record.code)
    lost, elsewhere = facts.record.lost, facts.record.lost_elsewhere
    if lost:
        numbers = first_few(tuple(map(str, lost)), NAMED)
        yield say("report.lost", station=facts.station, events=numbers, count=len(lost))
    if elsewhere:
        yield say("report.lost_elsewhere", station=facts.station, count=elsewhere)
    yield from clock_jump_lines(facts.station, facts.record.jumps)


def clock_jump_lines(station: str, jumps: Sequence[ClockJump]) -> Iterator[Message]:
    """Yield a sentence for each of the first times that a station's wall clock was set."""
    for jump in jumps[:NAMED]:
        message_id = "report.clock_back" if jump.seconds < 0 else "report.clock_on"
        yield say(message_id, station=station, seq=jump.seq, by=_set_by(abs(jump.seconds)))


def _set_by(seconds: float) -> Message:
    """Return by how much a clock was set: in minutes, or in days from two days on."""
    if seconds < 2 * DAY_SECONDS:
        return say("report.clock_minutes", minutes=round(seconds / 60))
    return say("report.clock_days", count=round(seconds / DAY_SECONDS))


def values(period: Period) -> list[dict[str, object]]:
    """Return the state of each record as data for other programs."""
    return [
        {
            "station": facts.station,
            "id": facts.record.station,
            "head": facts.record.head,
            "clock_jumps": [jump._asdict() for jump in facts.record.jumps],
            "lost": list(facts.record.lost),
            "lost_elsewhere": facts.record.lost_elsewhere,
        }
        for facts in period.logs
    ]
