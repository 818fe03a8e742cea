"""A report as the values that a program reads, and as plain text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from textwrap import wrap

from kiosk.catalog.base import Message
from kiosk.report.answers.counts import job_counts
from kiosk.report.answers.results import LEAST
from kiosk.report.content import UNTRIED, Report, Say, Section, Table, read
from kiosk.report.period import Period
from kiosk.report.record import values as records


def values(report: Report, period: Period, say: Say) -> dict[str, object]:
    """Return counts over all jobs, the answers in words, and what each section is made of."""
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
        sections.update(topic.data)
    return {
        "operators": list(period.operators()),
        **totals,
        "first_pass": {"good": part, "of": whole, "rate": part / whole if whole >= LEAST else None},
        "answers": {
            topic.question: " ".join(say(each) for each in topic.answer) for topic in report.asked()
        },
        **sections,
        "records": records(period),
        "jobs": [each.job for each in jobs],
        "job_counts": sections["jobs"],
    }


WIDEST = 60  # letters of a line in a cell


def to_text(report: Report, say: Say) -> str:
    """Return the report; `say` puts a message into a language."""
    lines = [say(report.title), say(report.line), say(UNTRIED)]
    lines += [*map(say, report.record), ""]
    for topic in report.asked():
        lines.append(say(Message(f"question.{topic.question}")))
        lines += [f"  {say(each)}" for each in topic.answer]
    for topic in report.topics:
        if topic.section.table.rows or not topic.question:
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
    rows = [[say(each) for each in table.head]]
    for found in table.rows:
        folded = (wrap(read(cell, say), WIDEST, break_on_hyphens=False) for cell in found)
        rows += [list(line) for line in zip_longest(*folded, fillvalue="")]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        yield f"  {'  '.join(cells).rstrip()}"
