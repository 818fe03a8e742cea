"""Jobs and counts: ordered, good, rework, scrap, open; and which job is behind its plan."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from kiosk.catalog.base import Message, Value, say
from kiosk.log.facts import GarmentCount, Tally
from kiosk.plan.model import Plan
from kiosk.plan.time import Span, time_left
from kiosk.report.content import Section, Table, Topic, head, row
from kiosk.report.period import Period

LOT = 10  # garments, so that the wait of the last one hardly counts
FINISHED = frozenset({"good", "accepted"})


@dataclass(frozen=True, slots=True)
class JobCount:
    """A job's garments as of now. `good`, `accepted`, `scrap`, `made` are those of the shifts read.

    Of `ordered` lines the others were finished in `other_shifts`, wait for `rework` or are
    `still_open`; a scrapped garment is replaced, so `scrap` comes on top. `used_seconds` at
    the press without breaks, holds included; `planned` are the seconds of one garment.
    """

    job: str
    title: str
    ordered: int
    good: int
    accepted: int
    rework: int
    scrap: int
    still_open: int
    other_shifts: int
    made: int
    first_pass: int
    used_seconds: float
    planned: Span

    @property
    def planned_seconds(self) -> float:
        """What was made, at the slow end of the plan's range."""
        return self.planned.high * self.made

    @property
    def behind_minutes(self) -> int:
        """Whole minutes more than planned for what was made."""
        return max(0, int((self.used_seconds - self.planned_seconds) // 60))


def planned_unit(plan: Plan) -> Span:
    """Return the seconds that the plan gives one garment of a lot, quick and slow."""
    lot = time_left(plan, dict.fromkeys(range(len(plan.passes)), LOT), {}).seconds
    return Span(lot.low / LOT, lot.high / LOT)


def job_counts(period: Period) -> tuple[JobCount, ...]:
    """Return a row per job that was at a press, in the order in which they came."""
    return tuple(_of_job(period, name, begun.plan) for name, begun in period.begun().items())


def _of_job(period: Period, job: str, plan: Plan) -> JobCount:
    per_log = [[g for g in facts.garments if g.job == job] for facts in period.logs]
    rows = [each for log in per_log for each in log]
    ordered = max(sum(g.many for g in log if g.latest) for log in per_log)
    finished = sum(g.many for g in rows if g.latest and g.result in FINISHED)
    here = Counter[str]()
    for g in rows:
        if g.own and (g.latest or g.result == "scrap"):
            here[g.result] += g.many
    rework = sum(g.many for g in rows if g.latest and g.result == "rework")
    made = sum(g.many for g in rows if g.own)
    return JobCount(
        job=job,
        title=plan.title,
        ordered=ordered,
        good=here["good"],
        accepted=here["accepted"],
        rework=rework,
        scrap=here["scrap"],
        still_open=max(0, ordered - finished - rework),
        other_shifts=max(0, finished - here["good"] - here["accepted"]),
        made=made,
        first_pass=sum(g.many for g in rows if _first(g)),
        used_seconds=sum(_used(t) for t in _tallies(period, job)),
        planned=planned_unit(plan),
    )


def _first(garment: GarmentCount) -> bool:
    return garment.own and garment.first_pass


def _tallies(period: Period, job: str) -> list[Tally]:
    return [t for f in period.logs for t in f.tallies if f.stints[t.stint].job == job]


def _used(tally: Tally) -> float:
    """Breaks are not time that a job took; a hold is."""
    held = tally.idle_seconds if tally.kind == "restarted" else 0.0
    return tally.seconds - tally.idle_seconds + held


def made(jobs: tuple[JobCount, ...]) -> Topic:
    """Jobs and counts; which job is behind?"""
    columns = ("ordered", "good", "accepted", "rework", "scrap", "still_open", "other_shifts")
    rows = tuple(
        row(each.title, *(getattr(each, name) for name in columns), each.behind_minutes)
        for each in sorted(jobs, key=lambda job: (-job.behind_minutes, -job.still_open))
    )
    table = Table(head("job", *columns, "behind"), rows)
    data = {
        "jobs": [
            {"job": each.job, **{name: getattr(each, name) for name in columns},
             "behind_minutes": each.behind_minutes}
            for each in jobs
        ]
    }  # fmt: skip
    answer = (_behind(jobs),)
    return Topic(Section("made", (say("report.made_reading"),), table), "behind", answer, data)


def _behind(jobs: tuple[JobCount, ...]) -> Message:
    waiting = [each for each in jobs if each.still_open + each.rework]
    if not waiting:
        return say("answer.behind.none_open", jobs=len(jobs))
    worst = max(waiting, key=lambda each: (each.behind_minutes, each.still_open))
    known: dict[str, Value] = {
        "job": worst.title,
        "left": worst.still_open + worst.rework,
        "of": worst.ordered,
    }
    if not worst.behind_minutes:
        return say("answer.behind.open", **known)
    return say("answer.behind.late", **known, minutes=worst.behind_minutes)
