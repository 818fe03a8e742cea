"""The pages of the office: a shift, an order, a garment, as the reports put them together."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from kiosk.catalog.base import say
from kiosk.log.facts import Source, rows_of_order, shifts
from kiosk.office.wall import Made as Job
from kiosk.office.wall import jobs_made
from kiosk.report.draw import inside
from kiosk.report.sheets import build
from kiosk.report.tables import garment_rows
from kiosk.station.desk.shift import counting
from kiosk.words import Words

Page = tuple[str, dict[str, Any]]
Made = Callable[[list[Source], Mapping[str, str], Words], Page]
JOBS = 200  # the newest of each station are offered
OF_JOB = "SELECT DISTINCT shift FROM stint WHERE job = ?"
NAMED = "SELECT job, title FROM job ORDER BY seq DESC LIMIT ?"
NEWEST = "SELECT job FROM job ORDER BY seq DESC LIMIT ?"


def shift(sources: list[Source], asked: Mapping[str, str], words: Words) -> Page:
    """Return the report of a day, the last one if none is asked for, or of all days of a job."""
    station, job = asked.get("station", ""), asked.get("job", "")
    read = [each for each in sources if station in ("", each.name)]
    logs = [shifts(each) for each in read]
    days = sorted({counting.day_of(each) for log in logs for each in log})
    day = _day(asked.get("day", "")) or (days[-1] if days else None)
    chosen = _of_job(read, logs, job) if job else day and counting.choose_span(logs, (day, day))
    form = {
        "day": "" if job or day is None else day.isoformat(), "station": station, "job": job,
        "stations": [each.name for each in sources], "jobs": _titles(sources),
        "before": max((d for d in days if day and d < day), default=None),
        "after": min((d for d in days if day and d > day), default=None),
    }  # fmt: skip
    if not chosen:
        return "desk.html", {"form": form, "body": "", "said": [say("board.no_shift")]}
    about = counting.read(read, chosen)
    report = build(about, *counting.moments(chosen.wanted))
    return "desk.html", {"form": form, "body": inside(report, words.say), "said": []}


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _of_job(
    read: Sequence[Source], logs: Sequence[counting.Shifts], job: str
) -> counting.Chosen | None:
    """The shifts in which a job was at a press, compared with none."""
    found = []
    for source, log in zip(read, logs, strict=True):
        numbers = {number for (number,) in source.rows(OF_JOB, job)}
        found.append(tuple(each for each in log if each.id in numbers))
    wanted, none = tuple(found), tuple(() for _ in logs)
    return counting.Chosen(wanted, wanted, none) if any(wanted) else None


def _titles(sources: Sequence[Source]) -> dict[str, str]:
    rows = [row for source in sources for row in source.rows(NAMED, JOBS)]
    return dict(rows)


def jobs(sources: list[Source], _: Mapping[str, str], __: Words) -> Page:
    """Return the jobs of all stations, the newest first, each with what is made of it."""
    found: dict[str, Job] = {}
    for source in sources:
        for made in jobs_made(source, NEWEST, JOBS):
            found[made.job] = found[made.job].also(made) if made.job in found else made
    return "jobs.html", {"jobs": list(found.values()), "today": date.today().isoformat()}


def garment(sources: list[Source], asked: Mapping[str, str], words: Words) -> Page:
    """Return the card of a garment by its number or its line; of each with that number."""
    job, number = asked.get("job", ""), asked.get("garment", "").strip()
    bodies = [inside(each, words.say) for each in counting.cards(sources, job, number)]
    if not bodies:
        return "said.html", {"said": [say("command.report.no_garment", asked=f"{job}/{number}")]}
    return "sheet.html", {"job": job, "bodies": bodies, "garments": [], "signs": False}


def order(sources: list[Source], asked: Mapping[str, str], words: Words) -> Page:
    """Return an order's closing sheet, to be signed at packing, with a way to each card."""
    job = asked.get("job", "")
    report = counting.closing(sources, job)
    if report is None:
        return "said.html", {"said": [say("command.report.no_garment", asked=job)]}
    rows = garment_rows(rows_of_order(sources, job))
    named = {row.line: row.number or f"#{row.line}" for row in rows}
    values = {"bodies": [inside(report, words.say)], "garments": list(named.items())}
    return "sheet.html", {"job": job, "signs": True, **values}
