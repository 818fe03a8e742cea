"""A report put together; an order's closing sheet."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import size_rank
from kiosk.log.facts import Begun, TicketRow
from kiosk.report.answers.checks import drift, recheck
from kiosk.report.answers.counts import job_counts, made, ratios
from kiosk.report.answers.dwell import dwell, seen, tack
from kiosk.report.answers.helping import helping, people
from kiosk.report.answers.lots import lots
from kiosk.report.answers.materials import material, peels
from kiosk.report.answers.pace import pace
from kiosk.report.answers.results import buy, failed
from kiosk.report.answers.settings import changed, settings
from kiosk.report.answers.supervised import articles, handovers, holds, overridden, trials
from kiosk.report.card import When, plain_topic
from kiosk.report.content import EMPTY, Cell, Report, Section, Table, Topic, head, row, some
from kiosk.report.period import Period, records
from kiosk.report.tables import GarmentRow, Result, garment_rows, order_of

JOBS_NAMED = 4


class Asked(NamedTuple):
    """The shifts under report, and the two working days whose difference is told.

    `busy_seconds` is the planned busy time, None where nobody told it; `day` the last day under
    report, ISO 8601; `against` the days compared with, "" for the working day before. `people`
    only where a supervisor alone reads it.
    """

    period: Period
    today: Period
    before: Period
    busy_seconds: float | None = None
    day: str = ""
    against: str = ""
    people: bool = False


def build(asked: Asked, began: str, ended: str) -> Report:
    """Return the report; `began` and `ended` as text, `ended` "" while a shift goes on."""
    period = asked.period
    return Report(_title(period), _line(period, began, ended), _topics(asked), records(period))


def _topics(asked: Asked) -> tuple[Topic, ...]:
    period = asked.period
    jobs = job_counts(period)
    cycle, move = pace(period)
    return (
        made(period, jobs, asked.day),
        ratios(period, jobs, asked.busy_seconds),
        failed(period),
        lots(period),
        material(period),
        dwell(period),
        seen(period),
        tack(period),
        peels(period),
        cycle,
        move,
        drift(period),
        recheck(period),
        articles(period),
        trials(period),
        settings(period),
        overridden(period),
        holds(period),
        handovers(period),
        buy(period),
        helping(period),
        changed(asked.today, asked.before, asked.against),
        *((people(period),) if asked.people else ()),
    )


def _title(period: Period) -> Message:
    simulated = "_simulated" if any(facts.simulated for facts in period.logs) else ""
    if period.shifts() == 1:
        (shift,) = (s for facts in period.logs for s in facts.shifts)
        return say(f"report.title{simulated}", shift=shift.id)
    stations = len({facts.station for facts in period.logs if facts.shifts})
    return say(f"report.title_many{simulated}", shifts=period.shifts(), stations=stations)


def _line(period: Period, began: str, ended: str) -> Message:
    titles = tuple(each.title for each in job_counts(period)) or ("–",)
    return say(
        "report.line" if ended else "report.line_going_on",
        began=began,
        ended=ended,
        operators=tuple(who for who in period.operators()),
        jobs=some(titles, JOBS_NAMED),
    )


BOX = "☐"


def closing_sheet(
    begun: Begun,
    stations: Iterable[Iterable[TicketRow]],
    when: When,
    closed: bool = True,
    set_clocks: Iterable[Message] = (),
) -> Report:
    """Return an order's sheet: all done? Counts by size to be counted again, a box a garment.

    `stations` are the order's tickets at each; `closed` once a record says that no more comes;
    `set_clocks` what is to be known of its times.
    """
    last = _last_of_each_line(map(garment_rows, stations))
    open_ones = sum(not each.done for each in last)
    title = say("sheet.title", job=begun.plan.title)
    done = say("sheet.done", count=len(last))
    if open_ones:
        done = say("sheet.open", count=open_ones, of=len(last))
    elif not closed:
        done = say("sheet.goes_on", count=len(last))
    return Report(title, done, (_by_size(last), _each(last, when)), tuple(set_clocks))


def _last_of_each_line(stations: Iterable[Iterable[GarmentRow]]) -> tuple[GarmentRow, ...]:
    """The garment that is packed: a station's last copy; of several the one that is done."""
    last = [each for rows in stations for each in {row.line: row for row in rows}.values()]
    last.sort(key=lambda g: (g.done, g.ended is not None, g.copy))
    found = {each.line: each for each in last}
    return tuple(sorted(found.values(), key=lambda g: order_of(g.line)))


def _by_size(rows: Sequence[GarmentRow]) -> Topic:
    sizes = sorted({each.size for each in rows}, key=size_rank)
    counts: Mapping[str, Counter[Result]] = {size: Counter() for size in sizes}
    for each in rows:
        counts[each.size][each.result] += 1
    table = tuple(
        row(size, sum(of.values()), of[Result.GOOD], of[Result.ACCEPTED],
            of[Result.REWORK] + of[Result.SCRAP], of[Result.OPEN], "____", "____")
        for size, of in _with_sum(counts)
    )  # fmt: skip
    columns = ("size", "ordered", "good", "accepted", "rework", "still_open", "counted", "packed")
    section = Section("sheet_sizes", (say("sheet.sign"),), Table(head(*columns), table))
    return Topic(section)


def _with_sum(counts: Mapping[str, Counter[Result]]) -> Iterator[tuple[Cell, Counter[Result]]]:
    yield from counts.items()
    yield say("sheet.all"), sum(counts.values(), Counter())


def _each(rows: Sequence[GarmentRow], when: When) -> Topic:
    table = tuple(
        row(each.line, each.number or EMPTY, each.size, say(f"card.is.{each.result.value}"),
            each.finals, each.operator or EMPTY,
            EMPTY if each.ended is None else when(each.ended), BOX)
        for each in rows
    )  # fmt: skip
    columns = ("line", "number", "size", "result", "finals", "who", "when", "packed")
    return plain_topic("sheet_garments", table, head(*columns))
