"""A report put together; a garment's card, for a complaint; an order's closing sheet."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from kiosk.catalog.base import Message, Value, say
from kiosk.log.facts import Begun, Checked, Heated, Story, TicketRow
from kiosk.plan.phrases import pressure_words
from kiosk.report.answers.checks import drift, recheck
from kiosk.report.answers.counts import job_counts, made, ratios
from kiosk.report.answers.dwell import dwell, seen, tack
from kiosk.report.answers.helping import helping, people
from kiosk.report.answers.lots import lots
from kiosk.report.answers.materials import material, peels
from kiosk.report.answers.pace import pace
from kiosk.report.answers.results import buy, failed, pieces_of
from kiosk.report.answers.settings import changed, settings
from kiosk.report.answers.supervised import (
    articles,
    handovers,
    holds,
    overridden,
    ruling_told,
    trials,
)
from kiosk.report.content import EMPTY, Cell, Report, Section, Table, Topic, head, row, some
from kiosk.report.period import Period, records
from kiosk.report.tables import GarmentRow, Result, garment_rows, order_of
from kiosk.run.facts import called_as, dials_of
from kiosk.run.state import Seen, cause_word, defect_word

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
    return say(
        "report.line" if ended else "report.line_going_on",
        began=began,
        ended=ended,
        operators=tuple(who for who in period.operators()),
        jobs=some(tuple(period.titles().values()), JOBS_NAMED),
    )


When = Callable[[float], str]
BOX = "☐"


class At(NamedTuple):
    """What one station knows of a garment; `station` "" where there is but one."""

    station: str
    story: Story

    def called(self, press: str) -> str:
        """Return a press with its station."""
        return f"{press} ({self.station})" if self.station else press


def card(stories: Sequence[At], when: When) -> Report:
    """Return the card of one garment of a job, from all stations that have the job."""
    known = [each for each in stories if each.story.tickets]
    own = next((each for each in known if each.story.heats), known[0])
    one, plan = own.story.tickets[0], own.story.begun.plan
    title = say("card.title", number=called_as(one.number, one.line), line=one.line, size=one.size,
                job=plan.title)  # fmt: skip
    results = _worked_on(row for each in known for row in garment_rows(each.story.tickets))
    line = say("card.line", recipe=plan.recipe_called, fabric=plan.fabric_called)
    topics = (_heat(known, when), _checks(known, when), _materials(own.story), _rulings(known))
    return Report(title, line, topics, tuple(_result(each, when) for each in results))


def _worked_on(rows: Iterable[GarmentRow]) -> tuple[GarmentRow, ...]:
    """Return what became of a garment; where it has an end, not what a press gave to another."""
    every = tuple(rows)
    return tuple(each for each in every if each.result is not Result.OPEN) or every


def _result(garment: GarmentRow, when: When) -> Message:
    values: dict[str, Value] = {
        "copy": garment.copy,
        "result": say(f"card.is.{garment.result.value}"),
    }
    if garment.ended is None:
        return say("card.result_open", **values)
    values |= {"who": garment.operator, "when": when(garment.ended)}
    if not garment.defects:
        return say("card.result_clean", **values)
    causes = tuple(map(cause_word, garment.causes)) or (cause_word("not_known"),)
    defects = tuple(map(defect_word, garment.defects))
    return say("card.result", **values, defects=defects, causes=causes)


def _heat(known: Sequence[At], when: When) -> Topic:
    rows = tuple(_of_heat(at, heat, when) for at in known for heat in at.story.heats)
    columns = head("when", "phase", "press", "who", "asked", "shown", "pressure", "set_s", "off_by",
                   "known")  # fmt: skip
    return _topic("card_heat", rows, columns, say("card.pressure"))


def _of_heat(at: At, heat: Heated, when: When) -> tuple[Cell, ...]:
    known = say("card.known", closed=_seen(heat.closed), opened=_seen(heat.opened))
    asked, shown = (_degrees(value, at.story.begun) for value in (heat.asked, heat.shown))
    return row(when(heat.wall), say(f"phase.{heat.phase}"), at.called(heat.press),
               heat.operator, asked, shown, _pressure(heat, at.story.begun), *_seconds(heat),
               known)  # fmt: skip


def _pressure(heat: Heated, begun: Begun) -> Cell:
    """What the operator was told to set for the pass; no station reads it back."""
    dials = dials_of(begun.plan, heat.passage)
    if dials.low is None or dials.high is None:
        return EMPTY
    return pressure_words(dials.low, dials.high)


def _degrees(value: int | None, begun: Begun) -> str:
    return EMPTY if value is None else f"{value} °{begun.plan.unit.value}"


def _seconds(heat: Heated) -> tuple[Cell, Cell]:
    off = EMPTY if heat.over is None else say("report.figure", figure=f"{heat.over:+.1f} s")
    return EMPTY if heat.set_seconds is None else f"{heat.set_seconds:g} s", off


def _seen(seen: Seen) -> Message:
    return say(f"report.seen.{seen.name.lower()}")


def _checks(known: Sequence[At], when: When) -> Topic:
    """The check next before the garment's first heat at a press, and next after its last."""
    rows: dict[tuple[Cell, ...], None] = {}
    for at in known:
        for press in dict.fromkeys(heat.press for heat in at.story.heats):
            heats = [heat for heat in at.story.heats if heat.press == press]
            for where, check in (("before", heats[0].before), ("after", heats[-1].after)):
                rows[_check(at.called(press), where, check, when)] = None
    columns = head("press", "check", "when", "set", "last_offset", "spread_seen", "verdict")
    return _topic("card_checks", tuple(rows), columns)


def _check(press: str, where: str, check: Checked | None, when: When) -> tuple[Cell, ...]:
    if check is None:
        none = say("card.no_check", where=say(f"card.check.{where}"))
        return row(press, none, EMPTY, EMPTY, EMPTY, EMPTY, EMPTY)
    verdict = say("card.check.passed" if check.passed else "report.failed")
    return row(press, say(f"card.check.{where}"), when(check.wall),
               f"{check.temperature} °{check.unit}", f"{check.offset:+.1f}",
               f"{check.spread:g}", verdict)  # fmt: skip


def _materials(story: Story) -> Topic:
    lots = dict(story.begun.lots)
    passes = sorted({ticket.passage for ticket in story.tickets})
    pieces = {(p.material, p.colour) for each in passes for p in pieces_of(story.begun.plan, each)}
    called = story.begun.plan.sources.called
    rows = tuple(row(called(material), colour, lots.get(material) or say("card.no_lot"))
                 for material, colour in sorted(pieces))  # fmt: skip
    return _topic("card_materials", rows, head("material", "colour", "lot"))


def _rulings(known: Sequence[At]) -> Topic:
    ruled = [ruling for at in known for ruling in at.story.rulings]
    rows = tuple(row(what, who or EMPTY, told) for kind, who, why in ruled
                 for what, told in (ruling_told(kind, why),))  # fmt: skip
    return _topic("card_rulings", rows, head("what", "who", "why"))


def _topic(
    name: str, rows: tuple[tuple[Cell, ...], ...], columns: tuple[Message, ...], *reading: Message
) -> Topic:
    reading = reading if rows else (say(f"report.none.{name}"),)
    return Topic(Section(name, reading, Table(columns, rows)))


def closing_sheet(
    begun: Begun, stations: Iterable[Iterable[TicketRow]], when: When, closed: bool = True
) -> Report:
    """Return an order's sheet: all done? Counts by size to be counted again, a box a garment.

    `stations` are the order's tickets at each; `closed` once a record says that no more comes.
    """
    last = _last_of_each_line(map(garment_rows, stations))
    open_ones = sum(not each.done for each in last)
    title = say("sheet.title", job=begun.plan.title)
    done = say("sheet.done", count=len(last))
    if open_ones:
        done = say("sheet.open", count=open_ones, of=len(last))
    elif not closed:
        done = say("sheet.goes_on", count=len(last))
    return Report(title, done, (_by_size(last), _each(last, when)))


def _last_of_each_line(stations: Iterable[Iterable[GarmentRow]]) -> tuple[GarmentRow, ...]:
    """The garment that is packed: a station's last copy; of several the one that is done."""
    last = [each for rows in stations for each in {row.line: row for row in rows}.values()]
    last.sort(key=lambda g: (g.done, g.ended is not None, g.copy))
    found = {each.line: each for each in last}
    return tuple(sorted(found.values(), key=lambda g: order_of(g.line)))


def _by_size(rows: Sequence[GarmentRow]) -> Topic:
    counts: Mapping[str, Counter[Result]] = {each.size: Counter() for each in rows}
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
    return _topic("sheet_garments", table, head(*columns))
