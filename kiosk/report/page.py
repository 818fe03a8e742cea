"""A shift's report as one HTML page that needs nothing beside it and prints on one sheet."""

from __future__ import annotations

from html import escape

from kiosk.catalog.message import Message
from kiosk.catalog.own_files import REPORT_PAGE, made_by
from kiosk.report import svg
from kiosk.report.content import UNTRIED, Cell, Report, Say, Table, Topic, read
from kiosk.report.style import STYLE

WIDE = ("made", "ratios", "settings")
"""Sections as wide as the page, above the columns."""
SAID = {"changes": 4, "tack": 1}
"""Sections whose answer says all that so few rows would."""
SELDOM = ("articles", "trials", "handovers")
"""Sections that are left out where nothing of the kind happened."""
WHOLE = "ratios"
"""Each element with its source: all of them are shown."""
ROWS = 5
"""Rows of a table on the page, so that all of it has room on a sheet; the CSV has every one."""


def to_html(report: Report, say: Say, language: str = "en") -> str:
    """Return the page; `say` puts a message into the page's language."""
    parts = [
        f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"{made_by(REPORT_PAGE)}\n<title>{escape(say(report.title))}</title>\n<style>{STYLE}</style>\n</head>\n<body>",
        f"<header><h1>{escape(say(report.title))}</h1><p>{escape(say(report.line))}</p>"
        f"<p>{escape(say(UNTRIED))}</p><p>{_sentences(report.record, say)}</p></header>",
        _answers(report.asked(), say),
        *(_section(topic, say) for topic in report.topics if topic.section.id in WIDE),
        "<main>",
        *(_section(topic, say) for topic in report.topics if topic.section.id not in WIDE),
        "</main>\n</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _answers(topics: tuple[Topic, ...], say: Say) -> str:
    each = "\n".join(
        f'<div><dt><a href="#{escape(topic.section.id)}">'
        f"{escape(say(Message(f'question.{topic.question}')))}</a></dt>"
        f"<dd>{_sentences(topic.answer, say)}</dd></div>"
        for topic in topics
    )
    return f"<dl>\n{each}\n</dl>"


def _sentences(messages: tuple[Message, ...], say: Say) -> str:
    return " ".join(escape(say(message)) for message in messages)


def _section(topic: Topic, say: Say) -> str:
    """What stands at the top of the page as an answer is not said again over its table."""
    section, answered = topic.section, bool(topic.question)
    drawn = "" if section.chart is None else svg.chart(section.chart, say)
    reading = f"<p>{_sentences(section.reading, say)}</p>"
    if answered and not drawn:
        reading = ""
    if answered and not drawn and len(section.table.rows) <= SAID.get(section.id, 0):
        return ""
    if section.id in SELDOM and not section.table.rows:
        return ""
    look = f' class="{section.id}"' if section.id in WIDE else ""
    return (
        f'<section id="{escape(section.id)}"{look}><h2>{escape(say(section.title))}</h2>\n{reading}'
        f"{_table(section.table, say, section.id == WHOLE)}{drawn}</section>"
    )


def _table(table: Table, say: Say, whole: bool) -> str:
    if not table.rows:
        return ""
    head = "".join(f"<th>{escape(say(each))}</th>" for each in table.head)
    shown = len(table.rows) if whole else ROWS
    rows = "\n".join(_row(cells, say) for cells in table.rows[:shown])
    more = len(table.rows) - shown
    left = f'<p class="more">{escape(say(Message("report.more", {"count": more})))}</p>'
    return f"<table>\n<tr>{head}</tr>\n{rows}\n</table>{left if more > 0 else ''}"


def _row(cells: tuple[Cell, ...], say: Say) -> str:
    return f"<tr>{''.join(f'<td>{escape(read(cell, say))}</td>' for cell in cells)}</tr>"
