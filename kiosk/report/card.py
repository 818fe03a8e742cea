"""A garment's card for a complaint: its heat, checks, materials and supervisor decisions."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from kiosk.catalog.base import Message, Value, say
from kiosk.log.facts import GarmentClosing, GarmentStory, JobStart, PressCheck
from kiosk.plan.model import Plan
from kiosk.plan.phrases import element_words, panel_word, piece_words, pressure_words
from kiosk.report.answers.results import pieces_of
from kiosk.report.answers.supervised import by_pin, reason_in_words, ruling_in_words
from kiosk.report.content import EMPTY, Cell, Report, Section, Table, Topic, head, row
from kiosk.report.period import clock_jump_lines
from kiosk.report.tables import GarmentRow, Result, garment_rows
from kiosk.run.facts import dials_of, garment_label
from kiosk.run.state import TimeSource, cause_word, defect_word

When = Callable[[float], str]


class StationRecord(NamedTuple):
    """What one station recorded about a garment; `station` is "" if there is only one."""

    station: str
    story: GarmentStory

    def press_name(self, press: str) -> str:
        """Return the press's name, with its station if there are several."""
        return f"{press} ({self.station})" if self.station else press


def card(stories: Sequence[StationRecord], when: When) -> Report:
    """Return the card of one garment, from all stations that have its job."""
    records = [each for each in stories if each.story.tickets]
    own = next((each for each in records if each.story.heats), records[0])
    ticket, plan = own.story.tickets[0], own.story.job_start.plan
    title = say("card.title", number=garment_label(ticket.number, ticket.line), line=ticket.line,
                size=ticket.size, job=plan.title)  # fmt: skip
    results = _worked_on(row for each in records for row in garment_rows(each.story.tickets))
    line = say("card.line", recipe=plan.recipe_name, fabric=plan.fabric_name)
    topics = (
        _heat(records, when),
        _checks(records, when),
        _materials(own.story),
        _rulings(records),
    )
    lines = (each for result in results for each in _result(result, plan, when))
    set_clocks = (
        each for record in records for each in clock_jump_lines(record.station, record.story.jumps)
    )
    return Report(title, line, topics, (*lines, *set_clocks))


def _worked_on(rows: Iterable[GarmentRow]) -> tuple[GarmentRow, ...]:
    """Return a garment's results, without copies that a station only passed on.

    If every ended copy is scrap, its unfinished replacement is included.
    """
    results = tuple(rows)
    ended = [each for each in results if each.result is not Result.OPEN]
    scrapped = max((each.copy for each in ended), default=0)
    only_scrap = all(each.result is Result.SCRAP for each in ended)
    open_copies = [each for each in results if each.result is Result.OPEN and each.copy > scrapped]
    return (*ended, *(open_copies if only_scrap else ()))


def _result(garment: GarmentRow, plan: Plan, when: When) -> Iterator[Message]:
    """Yield a copy's result, and any doubts about its heat or peel."""
    yield _result_line(garment, plan, when)
    if garment.marks:
        marks = tuple(say(f"report.mark.{mark}") for mark in garment.marks)
        yield say("card.marks", copy=garment.copy, marks=marks)


def _result_line(garment: GarmentRow, plan: Plan, when: When) -> Message:
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
    found = zip(garment.defects, garment.places, strict=True)
    defects = tuple(
        say("card.defect", defect=defect_word(defect), where=_where(plan, *place))
        for defect, place in found
    )
    return say("card.result", **values, defects=defects, causes=causes)


def _where(plan: Plan, passage: int, piece: str) -> tuple[Value, ...]:
    """Return panel and piece; without a piece, what the pass laid if its panel has more passes."""
    each = plan.passes[passage]
    noted_piece = next((p for p in pieces_of(plan, passage) if p.name == piece), None)
    if noted_piece is not None and noted_piece.layers > 1:
        return panel_word(each.panel), piece_words(piece)
    several = sum(other.panel == each.panel for other in plan.passes) > 1
    laid = tuple(p.name for p in pieces_of(plan, passage)) if several else ()
    return panel_word(each.panel), *element_words((piece,) if piece else laid)


def _heat(records: Sequence[StationRecord], when: When) -> Topic:
    several = len({_copy(heat) for record in records for heat in record.story.heats}) > 1
    rows = tuple(
        _heat_row(record, heat, when, several) for record in records for heat in record.story.heats
    )
    columns = head("when", "phase", "press", "who", "asked", "shown", "pressure", "set_s", "off_by",
                   "known")  # fmt: skip
    return plain_topic("card_heat", rows, columns, say("card.pressure"))


def _heat_row(
    record: StationRecord, heat: GarmentClosing, when: When, several: bool
) -> tuple[Cell, ...]:
    phase = say(f"phase.{heat.phase}")
    phase = say("card.phase_copy", phase=phase, copy=_copy(heat)) if several else phase
    certainty = say(
        "card.known", closed=_source_in_words(heat.closed), opened=_source_in_words(heat.opened)
    )
    required, shown = (
        _degrees(value, record.story.job_start)
        for value in (heat.required_degrees, heat.shown_degrees)
    )
    return row(when(heat.wall), phase, record.press_name(heat.press),
               heat.operator, required, shown, _pressure(heat, record.story.job_start),
               *_seconds(heat), certainty)  # fmt: skip


def _copy(heat: GarmentClosing) -> int:
    return int(heat.ticket.rpartition("/")[2])


def _pressure(heat: GarmentClosing, job_start: JobStart) -> Cell:
    """Return the pressure shown to the operator for the pass; no station reads it back."""
    dials = dials_of(job_start.plan, heat.passage)
    if dials.low is None or dials.high is None:
        return EMPTY
    return pressure_words(dials.low, dials.high)


def _degrees(value: int | None, job_start: JobStart) -> str:
    return EMPTY if value is None else f"{value} °{job_start.plan.unit.value}"


def _seconds(heat: GarmentClosing) -> tuple[Cell, Cell]:
    over = EMPTY if heat.over is None else say("report.figure", figure=f"{heat.over:+.1f} s")
    return EMPTY if heat.set_seconds is None else f"{heat.set_seconds:g} s", over


def _source_in_words(source: TimeSource) -> Message:
    return say(f"report.seen.{source.name.lower()}")


def _checks(records: Sequence[StationRecord], when: When) -> Topic:
    """Return each press's last check before the garment's first heat, and first after its last."""
    rows: dict[tuple[Cell, ...], None] = {}
    for record in records:
        for press in dict.fromkeys(heat.press for heat in record.story.heats):
            heats = [heat for heat in record.story.heats if heat.press == press]
            for where, check in (("before", heats[0].before), ("after", heats[-1].after)):
                rows[_check(record.press_name(press), where, check, when)] = None
    columns = head("press", "check", "when", "set", "last_offset", "spread_seen", "verdict")
    return plain_topic("card_checks", tuple(rows), columns)


def _check(press: str, where: str, check: PressCheck | None, when: When) -> tuple[Cell, ...]:
    if check is None:
        none = say("card.no_check", where=say(f"card.check.{where}"))
        return row(press, none, EMPTY, EMPTY, EMPTY, EMPTY, EMPTY)
    verdict = say("card.check.passed" if check.passed else "report.failed")
    return row(press, say(f"card.check.{where}"), when(check.wall),
               f"{check.temperature} °{check.unit}", f"{check.offset:+.1f} °{check.unit}",
               f"{check.spread:g} °{check.unit}", verdict)  # fmt: skip


def _materials(story: GarmentStory) -> Topic:
    lots = dict(story.job_start.lots)
    passes = sorted({ticket.passage for ticket in story.tickets})
    pieces = {
        (p.material, p.colour) for each in passes for p in pieces_of(story.job_start.plan, each)
    }
    title_of = story.job_start.plan.sources.title_of
    rows = tuple(row(title_of(material), colour, lots.get(material) or say("card.no_lot"))
                 for material, colour in sorted(pieces))  # fmt: skip
    return plain_topic("card_materials", rows, head("material", "colour", "lot"))


def _rulings(records: Sequence[StationRecord]) -> Topic:
    allowed = dict.fromkeys(
        each for record in records for each in by_pin("", record.story.job_start)
    )
    rulings = [ruling for record in records for ruling in record.story.rulings]
    rows = [
        row(say(f"report.override.{each.what}"), EMPTY, reason_in_words(each)) for each in allowed
    ]
    rows += (row(what, who or EMPTY, reason) for kind, who, why in rulings
             for what, reason in (ruling_in_words(kind, why),))  # fmt: skip
    return plain_topic("card_rulings", tuple(rows), head("what", "who", "why"))


def plain_topic(
    name: str, rows: tuple[tuple[Cell, ...], ...], columns: tuple[Message, ...], *reading: Message
) -> Topic:
    """Return a topic without a question: a table, or a sentence if it has no rows."""
    reading = reading if rows else (say(f"report.none.{name}"),)
    return Topic(Section(name, reading, Table(columns, rows)))
