"""A report for spreadsheets, programs and terminals; garments as rows."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import Enum
from itertools import chain, zip_longest
from textwrap import wrap
from typing import NamedTuple

from kiosk.catalog.base import Message
from kiosk.log.facts import JobStart, TicketRow
from kiosk.plan.sources import PlanSources
from kiosk.report.answers.counts import job_counts
from kiosk.report.content import UNTRIED, Report, Say, Section, Table, cell_reader, cell_text
from kiosk.report.evidence import LEAST
from kiosk.report.period import Period
from kiosk.report.period import values as records
from kiosk.run.state import TicketStage, TimeSource


class Result(Enum):
    """A garment's result over all its passes."""

    GOOD = "good"
    ACCEPTED = "accepted"
    REWORK = "rework"
    SCRAP = "scrap"
    OPEN = "open"


class GarmentRow(NamedTuple):
    """A garment over all its passes; copy 2 replaces a scrapped copy 1.

    `first_pass` is True if it was good as first pressed: no defect, no second final.
    `shift`, `operator` and `ended` (wall seconds since 1970) are those of its last result.
    Tuples are in order of passes, without empty values; `places` gives each defect's pass and
    piece, "" if no piece was named.
    """

    job: str
    line: str
    number: str
    size: str
    copy: int
    result: Result
    first_pass: bool
    finals: int
    represses: int
    shift: int
    operator: str
    ended: float | None
    openings: tuple[TimeSource, ...]
    defects: tuple[str, ...]
    causes: tuple[str, ...]
    marks: tuple[str, ...]
    places: tuple[tuple[int, str], ...] = ()

    @property
    def done(self) -> bool:
        """Whether it can be packed."""
        return self.result in (Result.GOOD, Result.ACCEPTED)


def garment_rows(tickets: Iterable[TicketRow]) -> tuple[GarmentRow, ...]:
    """Return one row per job, line and copy, sorted in that order; line 2 before line 10."""
    found: dict[tuple[str, str, int], list[TicketRow]] = {}
    for ticket in tickets:
        found.setdefault((ticket.job, ticket.line, ticket.copy), []).append(ticket)
    rows = (_garment(sorted(passes, key=lambda t: t.passage)) for passes in found.values())
    return tuple(sorted(rows, key=lambda row: (row.job, order_of(row.line), row.copy)))


def order_of(line: str) -> tuple[int, str]:
    """Return a roster line's sort key: numbers by value, before everything else."""
    return (int(line), line) if line.isascii() and line.isdecimal() else (1 << 62, line)


def _garment(passes: list[TicketRow]) -> GarmentRow:
    one = passes[0]
    last = max(passes, key=lambda ticket: ticket.ended or 0.0)
    result = result_of(ticket.stage for ticket in passes)
    defects = tuple(ticket.defect for ticket in passes if ticket.defect)
    represses = sum(ticket.represses for ticket in passes)
    return GarmentRow(
        job=one.job,
        line=one.line,
        number=one.number,
        size=one.size,
        copy=one.copy,
        result=result,
        first_pass=result is Result.GOOD and not defects and not represses,
        finals=sum(ticket.finals for ticket in passes),
        represses=represses,
        shift=last.shift,
        operator=last.operator,
        ended=last.ended if result is not Result.OPEN else None,
        openings=tuple(ticket.opened_seen for ticket in passes if ticket.finals),
        defects=defects,
        causes=tuple(ticket.cause for ticket in passes if ticket.cause),
        marks=tuple(dict.fromkeys(mark for ticket in passes for mark in ticket.marks)),
        places=tuple((ticket.passage, ticket.piece) for ticket in passes if ticket.defect),
    )


def result_of(stages: Iterable[TicketStage]) -> Result:
    """Return the result of a garment whose passes are at `stages`; the worst decides."""
    found = set(stages)
    for stage, result in ((TicketStage.SCRAP, Result.SCRAP), (TicketStage.REWORK, Result.REWORK)):
        if stage in found:
            return result
    if found - {TicketStage.GOOD, TicketStage.ACCEPTED}:
        return Result.OPEN
    return Result.ACCEPTED if TicketStage.ACCEPTED in found else Result.GOOD


COLUMNS = (
    "station", "job", "line", "number", "size", "copy", "result", "first_pass", "final_presses",
    "represses", "shift", "operator", "ended", "openings", "defects", "causes", "marks",
    "numbers_from",
)  # fmt: skip
NO_JOBS: Mapping[str, JobStart] = {}
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")  # these start or hide a formula


def to_csv(
    garments: Iterable[tuple[str, GarmentRow]],
    when: Callable[[float], str],
    jobs: Mapping[str, JobStart] = NO_JOBS,
) -> Iterator[str]:
    """Yield a header and a CSV line (RFC 4180) per garment with its station.

    Lines are streamed because a shop may have pressed very many. `when` formats wall seconds;
    `jobs` gives the source kinds of a garment's numbers.
    """
    rows = ((station, *_cells(row, when), _kinds(jobs.get(row.job))) for station, row in garments)
    return map(_line, chain([COLUMNS], rows))


def _kinds(job_start: JobStart | None) -> str:
    """Return the source kinds of a job's numbers, as spelled in files; `guess` if unknown."""
    sources = PlanSources() if job_start is None else job_start.plan.sources
    return "; ".join(kind.value for kind in sources.kinds())


def tables_to_csv(report: Report, say: Callable[[Message], str]) -> str:
    """Return all tables of a report as CSV, a line per cell: section, row, column, value."""
    rows = [("section", "row", "column", "value")]
    for section in (topic.section for topic in report.topics):
        rows += [
            (section.id, str(nth), say(column), cell_text(value, say))
            for nth, cells in enumerate(section.table.rows, 1)
            for column, value in zip(section.table.head, cells, strict=True)
        ]
    return "".join(map(_line, rows))


def _line(row: tuple[str, ...]) -> str:
    return ",".join(map(cell, row)) + "\r\n"


def cell(text: str) -> str:
    """Return one CSV cell, quoted if needed; a formula gets a leading apostrophe."""
    safe = f"'{text}" if text.lstrip(" ").startswith(FORMULA) else text
    return f'"{safe.replace(chr(34), chr(34) * 2)}"' if set(safe) & set(',"\r\n;') else safe


def _cells(row: GarmentRow, when: Callable[[float], str]) -> tuple[str, ...]:
    return (
        row.job, row.line, row.number, row.size, str(row.copy), row.result.value,
        "yes" if row.first_pass else "no", str(row.finals), str(row.represses),
        str(row.shift or ""), row.operator, "" if row.ended is None else when(row.ended),
        " ".join(seen.value.replace(" ", "-") for seen in row.openings),
        " ".join(row.defects), " ".join(row.causes), " ".join(row.marks),
    )  # fmt: skip


def rows_of(report: Report, say: Say) -> dict[str, object]:
    """Return a report's title, line, record and tables as data; cells are keyed by column head."""
    tables: dict[str, object] = {}
    for topic in report.topics:
        names = [say(name) for name in topic.section.table.head]
        tables[topic.section.id] = [
            dict(zip(names, (cell_text(cell, say) for cell in cells), strict=True))
            for cells in topic.section.table.rows
        ]
    record = [say(each) for each in report.record]
    return {"title": say(report.title), "line": say(report.line), "record": record, **tables}


def values(report: Report, period: Period, say: Say) -> dict[str, object]:
    """Return counts over all jobs, the answers in words, and each section's data."""
    jobs = job_counts(period)
    totals = {
        name: sum(getattr(each, field) for each in jobs)
        for name, field in (
            ("ordered", "ordered"), ("good", "good"), ("accepted", "accepted"),
            ("rework", "rework"), ("scrap", "scrap"), ("open", "still_open"),
            ("other_shifts", "other_shifts"),
        )
    }  # fmt: skip
    part, whole = sum(each.first_pass for each in jobs), sum(each.made for each in jobs)
    sections: dict[str, object] = {}
    for topic in report.topics:
        sections.update(topic.data())
    return {
        "operators": list(period.operators()),
        **totals,
        "first_pass": {"good": part, "of": whole, "rate": part / whole if whole >= LEAST else None},
        "answers": {
            topic.question: " ".join(say(each) for each in topic.answer)
            for topic in report.answering_topics()
        },
        **sections,
        "records": records(period),
        "jobs": [each.job for each in jobs],
        "job_counts": sections["jobs"],
    }


WIDEST = 60  # characters per line in a cell


def to_text(report: Report, say: Say) -> str:
    """Return the report as plain text; `say` translates a message."""
    lines = [say(report.title), say(report.line), say(UNTRIED)]
    lines += [*map(say, report.record), ""]
    for topic in report.answering_topics():
        lines.append(say(Message(f"question.{topic.question}")))
        lines += [f"  {say(each)}" for each in topic.answer]
    for topic in report.topics:
        if topic.section.table.rows or not (topic.question or topic.left_out):
            lines += ["", *_section(topic.section, bool(topic.question), say)]
    return "\n".join(lines)


def _section(section: Section, answered: bool, say: Say) -> Iterator[str]:
    yield say(section.title)
    if not answered:
        yield from (f"  {say(each)}" for each in section.reading)
    yield from _table(section.table, say)


def _table(table: Table, say: Say) -> Iterator[str]:
    if not table.rows:
        return
    rows, read = [[say(each) for each in table.head]], cell_reader(say)
    for found in table.rows:
        folded = (wrap(text, WIDEST, break_on_hyphens=False) for text in read(found))
        rows += [list(line) for line in zip_longest(*folded, fillvalue="")]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        yield f"  {'  '.join(cells).rstrip()}"
