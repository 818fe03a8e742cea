"""Builds a report from its answers."""

from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.report.answers.checks import drift, recheck
from kiosk.report.answers.counts import job_counts, job_table, ratios
from kiosk.report.answers.dwell import closing_sources, dwell
from kiosk.report.answers.helping import help_table, people
from kiosk.report.answers.lots import lots
from kiosk.report.answers.materials import material, peels
from kiosk.report.answers.pace import pace
from kiosk.report.answers.results import buy, defects
from kiosk.report.answers.settings import changes, settings
from kiosk.report.answers.supervised import articles, handovers, holds, override_table, trials
from kiosk.report.answers.tack import tack
from kiosk.report.content import Report, Topic, first_few
from kiosk.report.period import Period, records

JOBS_NAMED = 4


class ReportRequest(NamedTuple):
    """The shifts of a report, and the two working days to compare.

    `busy_seconds` is the planned busy time, None if not given. `day` is the last day of the
    report (ISO 8601). `against` names the days compared with, "" for the working day before.
    `people` adds times by person, for a report that only a supervisor reads.
    """

    period: Period
    today: Period
    before: Period
    busy_seconds: float | None = None
    day: str = ""
    against: str = ""
    people: bool = False


def build(request: ReportRequest, began: str, ended: str) -> Report:
    """Return the report; `began` and `ended` are text, `ended` is "" while a shift is running."""
    period = request.period
    return Report(_title(period), _line(period, began, ended), _topics(request), records(period))


def _topics(request: ReportRequest) -> tuple[Topic, ...]:
    period = request.period
    jobs = job_counts(period)
    cycle, move = pace(period)
    return (
        job_table(period, jobs, request.day),
        ratios(period, jobs, request.busy_seconds),
        defects(period),
        lots(period),
        material(period),
        dwell(period),
        closing_sources(period),
        tack(period),
        peels(period),
        cycle,
        move,
        drift(period),
        recheck(period),
        articles(period),
        trials(period),
        settings(period),
        override_table(period),
        holds(period),
        handovers(period),
        buy(period),
        help_table(period),
        changes(request.today, request.before, request.against),
        *((people(period),) if request.people else ()),
    )


def _title(period: Period) -> Message:
    simulated = "_simulated" if any(facts.simulated for facts in period.logs) else ""
    if period.shifts() == 1:
        (shift,) = (s for facts in period.logs for s in facts.shifts)
        return say(f"report.title{simulated}", shift=shift.id)
    station_count = len({facts.station for facts in period.logs if facts.shifts})
    return say(f"report.title_many{simulated}", shifts=period.shifts(), stations=station_count)


def _line(period: Period, began: str, ended: str) -> Message:
    titles = tuple(each.title for each in job_counts(period)) or ("–",)
    return say(
        "report.line" if ended else "report.line_going_on",
        began=began,
        ended=ended,
        operators=tuple(who for who in period.operators()),
        jobs=first_few(titles, JOBS_NAMED),
    )
