"""Jobs and counts, and the ratios computed from them."""

from collections import Counter
from collections.abc import Collection
from functools import cache
from typing import NamedTuple

from kiosk.catalog.base import Message, Value, say
from kiosk.log.facts import FINISHED, DueJob, EventTally, JobStart
from kiosk.plan.time import HandTime
from kiosk.report.answers.planned import planned_time
from kiosk.report.answers.results import failures, reworked
from kiosk.report.content import Cell, Section, Table, Topic, head, row
from kiosk.report.evidence import LEAST, Share
from kiosk.report.period import Period, once
from kiosk.report.stats import RATIOS, Elements, percent


class JobCount(NamedTuple):
    """A job's garments now; `good`, `accepted`, `scrap` and `made` count the shifts read only.

    Other `ordered` lines were finished in `other_shifts`, wait for `rework` or are `still_open`.
    A scrapped garment is replaced, so `scrap` is extra. `used_seconds` is the time at the press
    with holds but without breaks. `planned` is the planned time of what was made, each garment in
    the passes that it went through.
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
    planned: HandTime

    @property
    def planned_seconds(self) -> float:
        """Planned seconds of what was made, at the slow end of the plan's range."""
        return self.planned.high

    @property
    def behind_minutes(self) -> int:
        """Whole minutes beyond the plan for what was made."""
        return max(0, int((self.used_seconds - self.planned_seconds) // 60))

    @property
    def left_at_press(self) -> bool:
        """Whether the job was finished in another shift and only remained open at the press."""
        return not (self.made or self.still_open or self.rework) and self.other_shifts > 0


@once
def job_counts(period: Period) -> tuple[JobCount, ...]:
    """Return a row per job that was worked on or is open, in order of start."""
    counts = (
        _count_of_job(period, name, job_start) for name, job_start in period.job_starts().items()
    )
    return tuple(each for each in counts if not each.left_at_press)


def _count_of_job(period: Period, job: str, job_start: JobStart) -> JobCount:
    per_log = [[g for g in facts.garments if g.job == job] for facts in period.logs]
    rows = [each for log in per_log for each in log]
    ordered = max(sum(g.many for g in log if g.latest) for log in per_log)
    if ordered and len(per_log) > 1:  # each station has a part of a shared job
        ordered = job_start.whole or ordered
    finished = sum(g.many for g in rows if g.latest and g.result in FINISHED)
    by_result = Counter[str]()
    for g in rows:
        if g.own and (g.latest or g.result == "scrap"):
            by_result[g.result] += g.many
    rework = sum(g.many for g in rows if g.latest and g.result == "rework")
    made = sum(g.many for g in rows if g.own)
    tallies = (t for f in period.logs for t in f.tallies if f.stints[t.stint].job == job)
    return JobCount(
        job=job,
        title=period.titles()[job],
        ordered=ordered,
        good=by_result["good"],
        accepted=by_result["accepted"],
        rework=rework,
        scrap=by_result["scrap"],
        still_open=max(0, ordered - finished - rework),
        other_shifts=max(0, finished - by_result["good"] - by_result["accepted"]),
        made=made,
        first_pass=sum(g.many for g in rows if g.own and g.first_pass),
        used_seconds=sum(map(_used, tallies)),
        planned=planned_time(period, job, job_start.plan, rows),
    )


def _used(tally: EventTally) -> float:
    """Return the seconds a job took: without breaks, but with holds."""
    held = tally.idle_seconds if tally.kind == "restarted" else 0.0
    return tally.seconds - tally.idle_seconds + held


def job_table(period: Period, jobs: tuple[JobCount, ...], day: str = "") -> Topic:
    """Return jobs and counts, and the answer to: which job is behind?"""
    columns = ("ordered", "good", "accepted", "rework", "scrap", "still_open", "other_shifts")
    rows = tuple(
        row(each.title, *(getattr(each, name) for name in columns), each.behind_minutes)
        for each in sorted(jobs, key=lambda job: (-job.behind_minutes, -job.still_open))
    )
    table = Table(head("job", *columns, "behind"), rows)
    late, titles = _overdue(period, day), period.titles()
    overdue = (
        say("answer.behind.overdue", job=titles.get(each.job, each.title), due=each.due,
            left=each.left, of=each.ordered)
        for each in late[:JOBS_NAMED]
    )  # fmt: skip
    answer = (*overdue, _behind(jobs, {each.job for each in late[:JOBS_NAMED]}))
    return Topic(Section("made", (say("report.made_reading"),), table), "behind", answer, lambda: {
        "jobs": [
            {"job": each.job, **{name: getattr(each, name) for name in columns},
             "behind_minutes": each.behind_minutes,
             "made": each.made, "used_seconds": round(each.used_seconds)}
            for each in jobs
        ],
        "overdue": [{"job": each.job, "due": each.due, "left": each.left} for each in late],
    })  # fmt: skip


JOBS_NAMED = 3


def _overdue(period: Period, day: str) -> list[DueJob]:
    """Return the open jobs due by `day`, from all logs, oldest first, with the garments left."""
    open_jobs: dict[str, DueJob] = {}
    for facts in period.logs:
        for each in facts.due:
            if each.due <= day:
                earlier = open_jobs.get(each.job, each)
                made = each.ordered - each.left if each.job in open_jobs else 0
                open_jobs[each.job] = earlier._replace(left=max(0, earlier.left - made))
    found = (_shared(period, each) for each in open_jobs.values())
    return sorted((each for each in found if each.left), key=lambda each: each.due)


def _shared(period: Period, due: DueJob) -> DueJob:
    """Return a shared job with its counts over all stations and the part nobody claimed."""
    job_start = period.job_starts().get(due.job)
    if job_start is None or not job_start.whole or len(period.logs) == 1:
        return due
    count = _count_of_job(period, due.job, job_start)
    return due._replace(ordered=count.ordered, left=count.still_open + count.rework)


def _behind(jobs: tuple[JobCount, ...], overdue: Collection[str]) -> Message:
    """Answer by time at the press; if none is late, a job listed as `overdue` is not repeated."""
    waiting = [each for each in jobs if each.still_open + each.rework]
    if not jobs:
        return say("answer.behind.no_job")
    if not waiting:
        return say("answer.behind.none_open", jobs=len(jobs))
    worst = max(waiting, key=lambda each: (each.behind_minutes, each.still_open))
    values: dict[str, Value] = {
        "job": worst.title,
        "left": worst.still_open + worst.rework,
        "of": worst.ordered,
    }
    if not worst.behind_minutes:
        in_time = say("answer.behind.in_time")
        return in_time if worst.job in overdue else say("answer.behind.open", **values)
    return say("answer.behind.late", **values, minutes=worst.behind_minutes)


SETTING_UP = frozenset({"setting-read", "press-verified", "first-article-judged"})
"""Time up to one of these events counts as set-up."""
_TIMES = ("pbt", "aubt", "apt", "asut", "aupt", "aoet", "pru")


def elements(period: Period, jobs: tuple[JobCount, ...], busy_seconds: float | None) -> Elements:
    """Return the standard's elements as far as the logs have them; `busy_seconds` was typed in."""
    total = setup = idle = 0.0
    for facts in period.logs:
        for tally in facts.tallies:
            if not facts.stints[tally.stint].job:
                continue
            total += tally.seconds
            if tally.kind in SETTING_UP:
                setup += tally.seconds
            else:
                idle += tally.idle_seconds
    made = sum(each.made for each in jobs)
    production = total - setup - idle
    return Elements(
        pbt=busy_seconds,
        aubt=total,
        apt=production,
        asut=setup,
        aupt=production + setup,
        aoet=sum(s for facts in period.logs for s in facts.ordered_seconds.values()),
        pq=made,
        gq=sum(each.good + each.accepted for each in jobs),
        sq=sum(each.scrap for each in jobs),
        rq=reworked(failures(period)),
        ip=made,
        gp=sum(each.first_pass for each in jobs),
        pru=_planned_unit(jobs),
    )


def _planned_unit(jobs: tuple[JobCount, ...]) -> float | None:
    """Return the planned seconds per garment, mid-range; None if nothing was made."""
    made = sum(each.made for each in jobs)
    total = sum((each.planned.low + each.planned.high) / 2 for each in jobs)
    return total / made if made else None


def ratios(period: Period, jobs: tuple[JobCount, ...], busy_seconds: float | None = None) -> Topic:
    """Return the standard's ratios and their elements; below LEAST garments the elements only."""
    inputs = elements(period, jobs, busy_seconds)
    enough = (inputs.pq or 0) >= LEAST
    values = {name: ratio(inputs) for name, ratio in RATIOS.items()}
    rows: list[tuple[Cell, ...]] = [
        (_iso(name), _ratio_text(name, value), _iso(f"formula.{name}"))
        for name, value in values.items()
        if value is not None and enough
    ]
    rows += [
        (_iso(f"element.{name}"), _element(name, value), _iso(f"source.{name}"))
        for name, value in inputs._asdict().items()
        if value is not None
    ]
    reading = _reading(inputs, enough)
    if inputs.pbt is None:
        reading += (say("report.no_busy_time"),)
    table = Table(head("ratio", "value", "source"), tuple(rows))
    return Topic(Section("ratios", reading, table), data=lambda: {
        "elements": inputs._asdict(),
        "ratios": {n: v if enough else None for n, v in values.items() if v is not None},
    })  # fmt: skip


@cache
def _iso(name: str) -> Message:
    return say(f"iso.{name}")


def _reading(inputs: Elements, enough: bool) -> tuple[Message, ...]:
    part, whole = int(inputs.gp or 0), int(inputs.ip or 0)
    if not enough:
        return (say("report.first_pass_few", part=part, whole=whole, least=LEAST),)
    values = Share(part, whole).values()
    return (say("report.first_pass", **values, percent=percent(part / whole)),)


def _ratio_text(name: str, value: float) -> str:
    return f"{3600 * value:.1f}/h" if name == "throughput_rate" else f"{percent(value)} %"


def _element(name: str, value: float) -> str:
    if name == "pru":
        return f"{value:.0f} s"
    return f"{value / 60:.1f} min" if name in _TIMES else f"{value:.0f}"
