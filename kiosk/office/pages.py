"""What the board shows: stations and jobs on the wall; a shift, order or garment at a desk."""

import math
from collections.abc import Callable, Mapping, Sequence, Sized
from datetime import date
from itertools import chain
from typing import Any, NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.log.facts import FactSource, JobStart, rows_of_order, shifts_of_all
from kiosk.log.record import HOLDS, RackItem, StationActivity
from kiosk.office.job_output import JobOutput, by_job, jobs_made
from kiosk.plan.time import past_by_run, time_left, with_setting
from kiosk.report import report_html
from kiosk.report.report import build
from kiosk.report.tables import garment_rows
from kiosk.run.facts import ScreenKind, garment_label
from kiosk.station.desk.jobs.finish import finish
from kiosk.station.desk.shift import report_data, shift_choice
from kiosk.words import Words

DARK = frozenset({ScreenKind.HEAT, ScreenKind.OVER, ScreenKind.UNASKED})
QUIET = frozenset({ScreenKind.IDLE, ScreenKind.OFF, ScreenKind.NEW})
UNDER_WAY = frozenset(
    {
        ScreenKind.HANDS,
        ScreenKind.HEAT,
        ScreenKind.OVER,
        ScreenKind.ASK,
        ScreenKind.SETTING,
        ScreenKind.HELD,
    }
)
SILENT_SECONDS = 180.0  # without any event: the wall says when the station was last heard
UNKNOWN_SECONDS = 3600.0  # silent for longer: its times are unknown
RACK = 6  # sent at most; the page shows as many as fit
HOUR, DAY = 60, 24 * 60  # minutes

LEFT = """SELECT passage, count(*) FROM garment WHERE job = ? AND stage IN ('waiting',
'at the press') GROUP BY passage"""


class StationReading(NamedTuple):
    """A station as last read, `read` by this machine's steady clock."""

    name: str
    activity: StationActivity
    passed: float
    read: float
    title: str
    left: Mapping[int, int]
    job_start: JobStart | None
    cycles: Mapping[str, tuple[float, ...]]
    made: tuple[JobOutput, ...]
    simulated: bool

    def silent_for(self, now: float) -> float:
        """Return the seconds from the station's last event to `now`."""
        return self.passed + now - self.read


class BoardChip(NamedTuple):
    """A garment on the rack; `zone` is soon, now or late; its peel is due in `low` to `high` s."""

    number: str
    peel: Message
    zone: str
    low: float
    high: float
    guess: bool


class Tile(NamedTuple):
    """A station on the wall; `look` is dark, light, over or quiet; amber only for over.

    `counts` says how `seconds` run: `down`, `up` from a start, `over` the set time; "" for none.
    `rack` has the next to serve first, of `racked` in all.
    """

    name: str
    look: str
    word: Message
    counts: str
    seconds: float
    number: str
    title: str
    nth: int
    many: int
    finish: Message | None
    rack: tuple[BoardChip, ...]
    racked: int
    heard: Message | None


class Wall(NamedTuple):
    """The whole wall; `fault` says what is wrong, `old` that nothing new arrives because of it.

    `apart` lists jobs that are pressed by several plans.
    """

    tiles: tuple[Tile, ...]
    jobs: tuple[JobOutput, ...]
    more: int
    apart: Mapping[str, tuple[Message, ...]]
    today: str
    fault: Message | None
    old: bool


def tile(station: StationReading, now: float, wall: float) -> Tile:
    """Return a station's tile at `now` (steady seconds); `wall` is seconds since 1970."""
    activity, silent_seconds = station.activity, station.silent_for(now)
    kind, clock = ScreenKind(activity.kind), station.activity.wall + silent_seconds
    count, seconds = _count(kind, activity, clock)
    look = "over" if count == "over" else "dark" if kind in DARK else "light"
    rack = sorted(activity.rack, key=lambda each: each.begins)  # as `serve_next`
    chips = tuple(_chip(each, clock) for each in rack[:RACK])
    silent = silent_seconds > SILENT_SECONDS and kind not in QUIET
    count, seconds = ("", 0.0) if silent and silent_seconds > UNKNOWN_SECONDS else (count, seconds)
    return Tile(
        station.name, "quiet" if kind in QUIET else look, _word(kind, activity), count, seconds,
        activity.number, station.title, activity.nth, 0 if kind in QUIET else activity.many,
        None if silent else _finish(station, kind, wall), chips,
        len(rack), heard_ago(silent_seconds) if silent else None,
    )  # fmt: skip


def heard_ago(seconds: float) -> Message:
    """Return how long ago a station was last heard, in whole minutes, hours or days."""
    minutes = int(seconds // 60)
    if minutes < 2 * HOUR:
        return say("wall.heard", minutes=minutes)
    if minutes < 2 * DAY:
        return say("wall.heard_hours", count=minutes // HOUR)
    return say("wall.heard_days", count=minutes // DAY)


def _count(kind: ScreenKind, activity: StationActivity, clock: float) -> tuple[str, float]:
    if kind in QUIET or kind is ScreenKind.DONE:
        return "", 0.0
    if kind is ScreenKind.UNASKED:
        return "over", clock - activity.since
    if kind is ScreenKind.OVER and activity.due is not None:
        return "over", clock - activity.due
    if kind is ScreenKind.HEAT and activity.due is not None:
        return "down", max(0.0, activity.due - clock)
    return "up", clock - activity.since


def _word(kind: ScreenKind, activity: StationActivity) -> Message:
    if kind in (ScreenKind.HEAT, ScreenKind.HANDS) and activity.phase:
        return say(f"phase.{activity.phase}")
    if kind is ScreenKind.LOT and activity.phase in HOLDS:
        return say(f"wall.lot.{activity.phase}")
    return say(f"wall.{kind.value.replace(' ', '_')}")


def _chip(item: RackItem, clock: float) -> BoardChip:
    late = item.late is not None and clock > item.late
    zone = "late" if late else "now" if clock >= item.begins else "soon"
    low, high = (max(0.0, each - clock) for each in (max(item.low, item.begins), item.high))
    return BoardChip(item.number, say(f"chip.{item.peel}"), zone, low, max(low, high), item.guess)


def _finish(station: StationReading, kind: ScreenKind, wall: float) -> Message | None:
    if station.job_start is None or kind not in UNDER_WAY or not station.left:
        return None
    past = past_by_run(station.job_start.plan, station.cycles)
    remaining = time_left(station.job_start.plan, station.left, past)
    remaining = with_setting(remaining) if kind is ScreenKind.SETTING else remaining
    return finish(remaining, wall, "station.finish.header")


def clock_text(seconds: float, count: str) -> str:
    """Return seconds as on the wall, like `clock_text` in live.js: `48`, `+4`, `1:52`, `2:05 h`."""
    whole = math.ceil(seconds) if count in ("down", "clock") else math.floor(seconds)
    sign = "+" if count == "over" else ""
    if whole >= 3600:
        return f"{sign}{whole // 3600}:{whole // 60 % 60:02} h"
    if whole >= 100 or count == "clock":
        return f"{sign}{whole // 60}:{whole % 60:02}"
    return f"{sign}{whole}"


def across(tiles: Sized) -> int:
    """Return how many stations fit beside each other on a wide wall."""
    return next((n for most, n in ((1, 1), (4, 2), (9, 3), (12, 4)) if len(tiles) <= most), 5)


def jobs_below(tiles: Sized) -> int:
    """Return how many jobs are listed below the stations, which need the room more."""
    return next((n for most, n in ((4, 8), (9, 6)) if len(tiles) <= most), 4)


Page = tuple[str, dict[str, Any]]
Maker = Callable[[list[FactSource], Mapping[str, str], Words], Page]
JOBS = 200  # the newest of each station are offered
OF_JOB = "SELECT DISTINCT shift FROM stint WHERE job = ?"
NAMED = "SELECT job, title FROM job ORDER BY seq DESC LIMIT ?"
NEWEST = "SELECT job FROM job ORDER BY seq DESC LIMIT ?"


def shift(sources: list[FactSource], query: Mapping[str, str], words: Words) -> Page:
    """Return the report of a day (by default the last), or of all days of a job."""
    station, job = query.get("station", ""), query.get("job", "")
    chosen_sources = [each for each in sources if station in ("", each.name)]
    logs = shifts_of_all(chosen_sources)
    days = sorted({shift_choice.day_of(each) for log in logs for each in log})
    day = _day(query.get("day", "")) or shift_choice.last_day(logs)
    chosen = (
        _of_job(chosen_sources, logs, job)
        if job
        else day and shift_choice.choose_span(logs, (day, day))
    )
    form = {
        "day": "" if job or day is None else day.isoformat(), "station": station, "job": job,
        "stations": [each.name for each in sources], "jobs": _titles(sources),
        "before": max((d for d in days if day and d < day), default=None),
        "after": min((d for d in days if day and d > day), default=None),
    }  # fmt: skip
    if not chosen:
        return "desk.html", {"form": form, "body": "", "said": [say("board.no_shift")]}
    about = report_data.read(chosen_sources, chosen)
    report = build(about, *report_data.moments(chosen.reported))
    return "desk.html", {"form": form, "body": report_html(report, words.say), "said": []}


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _of_job(
    sources: Sequence[FactSource], logs: Sequence[shift_choice.Shifts], job: str
) -> shift_choice.ShiftChoice | None:
    """Return the shifts with a job at a press, none to compare with; None if there are none."""
    found = []
    for source, log in zip(sources, logs, strict=True):
        numbers = {number for (number,) in source.rows(OF_JOB, job)}
        found.append(tuple(each for each in log if each.id in numbers))
    shifts_of_job, none = tuple(found), tuple(() for _ in logs)
    if not any(shifts_of_job):
        return None
    return shift_choice.ShiftChoice(shifts_of_job, shifts_of_job, none)


def _titles(sources: Sequence[FactSource]) -> dict[str, str]:
    rows = [row for source in sources for row in source.rows(NAMED, JOBS)]
    return dict(rows)


def jobs(sources: list[FactSource], _: Mapping[str, str], __: Words) -> Page:
    """Return the jobs of all stations, newest first, with their progress."""
    found = by_job(made for source in sources for made in jobs_made(source, NEWEST, JOBS))
    return "jobs.html", {"jobs": found, "today": date.today().isoformat()}


def garment(sources: list[FactSource], query: Mapping[str, str], words: Words) -> Page:
    """Return the card of every garment with this number, or of the one on this line."""
    job, number = query.get("job", ""), query.get("garment", "").strip()
    if not (job and number):
        message_id = "board.no_garment_named" if job else "board.no_job_named"
        return "said.html", {"said": [say(message_id)]}
    cards = report_data.cards(sources, job, number)
    if not cards:
        return "said.html", {"said": [say("command.report.no_garment", asked=f"{job}/{number}")]}
    notice = report_data.found_by_line(cards, job, number)
    values = {
        "bodies": [report_html(each, words.say) for each in cards],
        "said": [notice] if notice else [],
    }
    return "sheet.html", {"job": job, "garments": [], "signs": False, **values}


def order(sources: list[FactSource], query: Mapping[str, str], words: Words) -> Page:
    """Return an order's closing sheet, to be signed at packing, with links to the cards."""
    job = query.get("job", "")
    if not job:
        return "said.html", {"said": [say("board.no_job_named")]}
    report = report_data.order_sheet(sources, job)
    if report is None:
        return "said.html", {"said": [say("command.report.no_garment", asked=job)]}
    rows = garment_rows(chain.from_iterable(rows_of_order(sources, job)))
    labels = {row.line: garment_label(row.number, row.line) for row in rows}
    values = {
        "bodies": [report_html(report, words.say)],
        "garments": list(labels.items()),
        "said": [],
    }
    return "sheet.html", {"job": job, "signs": True, **values}
