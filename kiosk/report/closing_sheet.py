"""An order's closing sheet: garments done and counted, to be signed at packing."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import size_rank
from kiosk.log.facts import JobStart, TicketRow
from kiosk.report.card import When, plain_topic
from kiosk.report.content import EMPTY, Cell, Report, Section, Table, Topic, head, row
from kiosk.report.tables import GarmentRow, Result, garment_rows, order_of

BOX = "☐"


def closing_sheet(
    job_start: JobStart,
    stations: Iterable[Iterable[TicketRow]],
    when: When,
    ended: bool = True,
    set_clocks: Iterable[Message] = (),
) -> Report:
    """Return an order's sheet: whether all is done, counts by size to recount, a box per garment.

    `stations` are the order's tickets at each station. `ended` is True once a record shows that
    no more will come. `set_clocks` are warnings about clocks that were set.
    """
    last = _last_of_each_line(map(garment_rows, stations))
    open_ones = sum(not each.done for each in last)
    title = say("sheet.title", job=job_start.plan.title)
    done = say("sheet.done", count=len(last))
    if open_ones:
        done = say("sheet.open", count=open_ones, of=len(last))
    elif not ended:
        done = say("sheet.goes_on", count=len(last))
    return Report(title, done, (_by_size(last), _garments(last, when)), tuple(set_clocks))


def _last_of_each_line(stations: Iterable[Iterable[GarmentRow]]) -> tuple[GarmentRow, ...]:
    """Return each line's garment to pack: the last copy, of several stations' a finished one."""
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
        row(size, sum(results.values()), results[Result.GOOD], results[Result.ACCEPTED],
            results[Result.REWORK] + results[Result.SCRAP], results[Result.OPEN], "____", "____")
        for size, results in _with_sum(counts)
    )  # fmt: skip
    columns = ("size", "ordered", "good", "accepted", "rework", "still_open", "counted", "packed")
    section = Section("sheet_sizes", (say("sheet.sign"),), Table(head(*columns), table))
    return Topic(section)


def _with_sum(counts: Mapping[str, Counter[Result]]) -> Iterator[tuple[Cell, Counter[Result]]]:
    yield from counts.items()
    yield say("sheet.all"), sum(counts.values(), Counter())


def _garments(rows: Sequence[GarmentRow], when: When) -> Topic:
    table = tuple(
        row(each.line, each.number or EMPTY, each.size, say(f"card.is.{each.result.value}"),
            each.finals, each.operator or EMPTY,
            EMPTY if each.ended is None else when(each.ended), BOX)
        for each in rows
    )  # fmt: skip
    columns = ("line", "number", "size", "result", "finals", "who", "when", "packed")
    return plain_topic("sheet_garments", table, head(*columns))
