"""A shift's report as one HTML page that needs nothing beside it and prints on one sheet."""

from __future__ import annotations

from html import escape

from kiosk.catalog.message import Message
from kiosk.report import svg
from kiosk.report.content import Cell, Report, Say, Section, Table, Topic, spoken
from kiosk.report.style import STYLE

ROWS = 6
"""Rows of a table on the page, so that all of it has room on a sheet; the CSV has every one."""


def to_html(report: Report, say: Say, language: str = "en") -> str:
    """Return the page; `say` puts a message into the page's language."""
    parts = [
        f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(say(report.title))}</title>\n<style>{STYLE}</style>\n</head>\n<body>",
        f"<header><h1>{escape(say(report.title))}</h1><p>{escape(say(report.line))}</p></header>",
        _answers(report.asked(), say),
        "<main>",
        *(_section(topic.section, bool(topic.question), say) for topic in report.topics),
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


def _section(section: Section, answered: bool, say: Say) -> str:
    """What stands at the top of the page as an answer is not said again over its table."""
    drawn = "" if section.chart is None else svg.chart(section.chart, say)
    reading = f"<p>{_sentences(section.reading, say)}</p>"
    if answered and not drawn:
        reading = ""
    if answered and not section.table.rows and not drawn:
        return ""
    return (
        f'<section id="{escape(section.id)}"><h2>{escape(say(section.title))}</h2>\n{reading}'
        f"{_table(section.table, say)}{drawn}</section>"
    )


def _table(table: Table, say: Say) -> str:
    if not table.rows:
        return ""
    head = "".join(f"<th>{escape(say(each))}</th>" for each in table.head)
    rows = "\n".join(_row(cells, say) for cells in table.rows[:ROWS])
    more = len(table.rows) - ROWS
    left = f'<p class="more">{escape(say(Message("report.more", {"count": more})))}</p>'
    return f"<table>\n<tr>{head}</tr>\n{rows}\n</table>{left if more > 0 else ''}"


def _row(cells: tuple[Cell, ...], say: Say) -> str:
    return f"<tr>{''.join(f'<td>{escape(spoken(cell, say))}</td>' for cell in cells)}</tr>"
