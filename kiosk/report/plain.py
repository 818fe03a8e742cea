"""A report as plain text for a terminal: the answers, then every table."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from textwrap import wrap

from kiosk.catalog.message import Message
from kiosk.report.content import UNTRIED, Report, Say, Section, Table, read

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
