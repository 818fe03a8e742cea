"""A shift's report as one self-contained HTML page for phone, screen and paper."""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from html import escape as escaped
from itertools import chain

from kiosk.catalog.base import REPORT_PAGE, Message, html_head
from kiosk.catalog.base import say as message
from kiosk.report import content
from kiosk.report.strokes import (
    BarStroke,
    ChartFrame,
    DotStroke,
    LineStroke,
    Stroke,
    bar_strokes,
    control_strokes,
    line_figures,
)

WIDE = (
    "made", "ratios", "settings", "moves", "times", "peels", "checks", "people",
    "sheet_sizes", "sheet_garments", "card_heat", "card_checks",
)  # fmt: skip
"""Sections of full page width, above the columns."""
WHOLE = ("ratios", "sheet_sizes", "sheet_garments", "card_heat", "recheck", "overrides")
"""Sections that show all rows, because each row must be read or ticked."""
ROWS = 6
"""Rows of other tables shown before the rest is folded away."""
escape = lru_cache(maxsize=2048)(escaped)  # heads and words repeat often
Read = Callable[[Iterable[content.Cell]], list[str]]
_FIGURE = re.compile(r"[±+−-]?[0-9][0-9.,]*( ?(%|s|min|/h|°[CF]))?|–")


def to_html(
    report: content.Report,
    say: content.Say,
    language: str = "en",
    further: Sequence[content.Report] = (),
) -> str:
    """Return the page, with `further` reports below; `say` translates a message."""
    head = html_head(REPORT_PAGE, language, escape(say(report.title)), STYLE)
    bodies = "\n".join(report_html(each, say) for each in (report, *further))
    return f"{head}\n{bodies}\n</body>\n</html>\n"


def report_html(report: content.Report, say: content.Say) -> str:
    """Return a report's part of the page's body."""
    read, title = content.cell_reader(say), escape(say(report.title))
    wide = [_section(t, say, read) for t in report.topics if t.section.id in WIDE]
    others = [_section(t, say, read) for t in report.topics if t.section.id not in WIDE]
    parts = [
        f"<header><h1>{title}</h1><p>{escape(say(report.line))}</p>"
        f"<p>{escape(say(content.UNTRIED))}</p><p>{_sentences(report.record, say)}</p></header>",
        "<main>",
        _answers(report.answering_topics(), say),
        *wide,
        *(('<div class="columns">', *others, "</div>") if others else ()),
        "</main>",
    ]
    return "\n".join(parts)


def _answers(topics: tuple[content.Topic, ...], say: content.Say) -> str:
    """Return the questions with their answers, linked to their tables; exceptions in bold."""
    if not topics:
        return ""
    each = "\n".join(
        f'<div><dt><a href="#{escape(topic.section.id)}">'
        f"{escape(say(Message(f'question.{topic.question}')))}</a></dt>"
        f"<dd>{_answer(topic, say)}</dd></div>"
        for topic in topics
    )
    return f"<dl>\n{each}\n</dl>"


def _answer(topic: content.Topic, say: content.Say) -> str:
    text = _sentences(topic.answer, say)
    return f"<strong>{text}</strong>" if topic.exception else text


def _sentences(messages: tuple[Message, ...], say: content.Say) -> str:
    texts = [escape(say(message)) for message in messages]
    closed_off = [each if each.endswith((".", "?", ":")) else f"{each} ·" for each in texts[:-1]]
    return " ".join([*closed_off, *texts[-1:]])


def _section(topic: content.Topic, say: content.Say, read: Read) -> str:
    """Return a section; over a table without a chart, its answer is not repeated."""
    section, answered = topic.section, bool(topic.question)
    if topic.left_out:
        return ""
    chart = "" if section.chart is None else _chart(section.chart, section.title, say)
    repeated = answered and not chart and section.table.rows
    reading = (
        "" if repeated or not section.reading else f"<p>{_sentences(section.reading, say)}</p>"
    )
    name, title = escape(section.id), escape(say(section.title))
    return (
        f'<section id="{name}" aria-labelledby="{name}-title">'
        f'<h2 id="{name}-title">{title}</h2>\n{reading}'
        f"{_table(section, title, say, read)}{chart}</section>"
    )


def _table(section: content.Section, title: str, say: content.Say, read: Read) -> str:
    """Return the table; rows beyond ROWS are folded behind a line that opens."""
    table = section.table
    if not table.rows:
        return ""
    cells, wide = read(chain.from_iterable(table.rows)), len(table.head)
    figures = [all(map(_FIGURE.fullmatch, cells[nth::wide])) for nth in range(wide)]
    head, row = _heads(table, figures, say)
    many = ' class="many"' if 2 * wide - sum(figures) > MANY else ""
    above = f"<table{many}>\n<caption>{title}</caption>\n<thead><tr>{head}</tr></thead>\n<tbody>\n"

    def body(first: int, end: int) -> str:
        texts = tuple(map(escape, cells[first * wide : end * wide]))
        rows = "\n".join([f"<tr>{row}</tr>"] * (end - first)) % texts
        return f"{above}{rows}\n</tbody>\n</table>"

    row_count = len(table.rows)
    if row_count <= ROWS or section.id in WHOLE:
        return body(0, row_count)
    more = escape(say(message("report.more", count=row_count - ROWS)))
    rest = f"<details>\n<summary>{more}</summary>\n{body(ROWS, row_count)}</details>"
    return f'<div class="folded">{body(0, ROWS)}{rest}</div>'


def _heads(table: content.Table, figures: Sequence[bool], say: content.Say) -> tuple[str, str]:
    """Return the head and a row template; narrow screens label each cell with its `data-head`.

    `figures` tells which columns hold nothing but figures.
    """
    head = row = ""
    for nth, each in enumerate(table.head):
        text, css_class = escape(say(each)), ' class="n"' if figures[nth] else ""
        head += f'<th scope="col"{css_class}>{text}</th>'
        cell = f'<td data-head="{text}"{css_class}>'.replace("%", "%%")
        row += f"{cell}%s</td>" if nth else f'<th scope="row"{css_class}>%s</th>'
    return head, row


CHART_WIDE, CHART_HIGH, EDGE, BAR_ROW, NUMBERS = 300.0, 54.0, 5.0, 12.0, 48.0
LETTER = 4.9  # approximate width of a letter in a chart


def _chart(chart: content.ControlChart | content.BarChart, title: Message, say: content.Say) -> str:
    """Return the chart as an SVG element with an accessible name."""
    if isinstance(chart, content.ControlChart):
        name = message("report.chart.named", title=title, of=chart.source, values=len(chart.values),
                    signals=len(chart.signals))  # fmt: skip
        strokes = control_strokes(chart, line_figures(chart, say), _frame(CHART_HIGH, 9.0))
        return _svg(strokes, CHART_HIGH, say(name))
    high = max(1, len(chart.bars)) * BAR_ROW
    bars = [(say(label), count, covered) for label, count, covered in chart.bars]
    return _svg(bar_strokes(bars, _frame(high, BAR_ROW)), high, say(title))


def _frame(high: float, row: float) -> ChartFrame:
    return ChartFrame(CHART_WIDE, high, EDGE, row, lambda _: NUMBERS - EDGE)


def _svg(strokes: Iterator[Stroke], high: float, name: str) -> str:
    inside = "".join(_stroke_svg(stroke, high) for stroke in strokes)
    box = f"0 0 {CHART_WIDE:.0f} {high:.0f}"
    return (
        f'<svg viewBox="{box}" role="img" aria-label="{escape(name)}">'
        f"<title>{escape(name)}</title>{inside}</svg>"
    )


def _stroke_svg(stroke: Stroke, high: float) -> str:
    """Return a stroke as SVG, whose y grows downwards."""
    if isinstance(stroke, LineStroke):
        points = " ".join(f"{x:.1f},{high - y:.1f}" for x, y in stroke.points)
        return f'<polyline points="{points}" class="{stroke.style.value}"/>'
    if isinstance(stroke, DotStroke):
        attributes = f'cx="{stroke.x:.1f}" cy="{high - stroke.y:.1f}"'
        return (
            f'<circle {attributes} r="1.4"/>'
            + f'<circle {attributes} r="4" class="ring"/>' * stroke.ring
        )
    if isinstance(stroke, BarStroke):
        top = high - stroke.y - stroke.high
        return f'<rect y="{top:.1f}" width="{stroke.wide:.1f}" height="{stroke.high:.1f}"/>'
    attributes, room = f'x="{stroke.x:.1f}" y="{high - stroke.y + 3:.1f}"', CHART_WIDE - stroke.x
    if len(stroke.text) * LETTER > room:
        attributes += f' textLength="{room:.0f}" lengthAdjust="spacingAndGlyphs"'
    return f"<text {attributes}>{escape(stroke.text)}</text>"


FOLDED = """
  OF, OF tbody, OF tr, OF td, OF tbody th { display: block; } OF thead { display: none; }
  OF tr { border-top: 1px solid var(--line); padding: .3em 0; }
  OF th, OF td { border: 0; padding: 0; }
  OF tbody th, OF tbody th.n { font-weight: 700; text-align: left; }
  OF td { display: grid; grid-template-columns: 10em minmax(0, 1fr); gap: .6em; text-align: left; }
  OF td::before { content: attr(data-head); color: var(--soft); }
  OF td.n { white-space: normal; text-align: left; } OF .n + td:not(.n) { padding-left: 0; }
  OF td:empty { display: none; }
"""
"""A table without room for its columns: each row a block, each cell beside its heading."""
MANY = 14
"""Columns of figures that fit side by side on a tablet held upright; one of words takes two."""


# Printed text is at least 8 points, also in charts: 9 of 300 units across half a sheet.
_STYLE = """
:root { color-scheme: light dark; --ink: #15171C; --soft: #4A463D; --paper: #F7F4EC;
        --line: #B9B2A3; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #ECE8DD; --soft: #C4BEB0; --paper: #15171C; --line: #57534A; }
}
* { box-sizing: border-box; }
body { font: 15px/1.4 system-ui, sans-serif; color: var(--ink); background: var(--paper);
       max-width: 80rem; margin: 1.5rem auto; padding: 0 1.5rem; overflow-wrap: break-word; }
h1 { font-size: 1.6em; margin: 0; } h2 { font-size: 1.05em; margin: 0 0 .2em; }
p { margin: 0 0 .4em; } header p { color: var(--soft); }
a { color: inherit; } a:focus-visible, summary:focus-visible, section:target h2 {
    outline: 3px solid var(--ink); outline-offset: 2px; }
dl { display: grid; grid-template-columns: 1fr 1fr; gap: .3em 2em; margin: 1em 0;
     border-top: 2px solid var(--ink); padding-top: .6em; }
dl div { display: grid; grid-template-columns: 11em minmax(0, 1fr); gap: .6em;
         break-inside: avoid; }
dt { font-weight: 400; } dd { margin: 0; } strong { font-weight: 700; }
.columns { columns: 2; column-gap: 2em; border-top: 2px solid var(--ink); padding-top: .6em; }
section { margin: 0 0 1em; } .columns section, tr { break-inside: avoid; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
caption { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
th { text-align: left; font-weight: 400; vertical-align: bottom; } thead th { color: var(--soft); }
th, td { border-top: 1px solid var(--line); padding: .1em .5em .1em 0; }
tbody th, td { vertical-align: top; } thead th { border-top: 0; }
thead th.n { white-space: normal; }
.n { text-align: right; white-space: nowrap; } .n + :not(.n) { padding-left: .6em; }
summary { color: var(--soft); font-size: .9em; padding: .3em 0; cursor: pointer; }
svg { display: block; width: 100%; max-width: 38rem; margin-top: .3em;
      font: 9.5px system-ui, sans-serif; }
svg text { fill: var(--ink); } svg circle { fill: var(--ink); }
svg polyline { fill: none; stroke: var(--ink); } svg .value { stroke-width: .8; }
svg .limit { stroke-width: .7; stroke-dasharray: 4 3; } svg .centre { stroke-width: .5; }
svg .ring { fill: none; stroke: var(--ink); stroke-width: 1.2; } svg rect { fill: var(--soft); }
@media screen and (max-width: 50rem) {
  body { padding: 0 .8rem; overflow-wrap: anywhere; }
  dl, dl div { grid-template-columns: minmax(0, 1fr); } dl div { gap: 0; margin-bottom: .4em; }
  .columns { columns: 1; } thead th { overflow-wrap: normal; }
  tbody th:not(.n) { min-width: 6.5em; }
}
@media screen and (max-width: 50rem) {FOLDED_MANY}
@media screen and (max-width: 40rem) {FOLDED_ALL}
@page { margin: 10mm; }
@media print {
  :root { color-scheme: light; --ink: #000; --soft: #333; --paper: #fff; --line: #999; }
  body { margin: 0; padding: 0; max-width: none; font-size: 8pt; line-height: 1.25; }
  h1 { font-size: 13pt; } h2 { font-size: 9pt; } header p { margin: 0; }
  dl { gap: .8mm 4mm; margin: 1.5mm 0; padding-top: 1mm; }
  dl div { grid-template-columns: 26mm minmax(0, 1fr); gap: 2mm; }
  .columns { column-gap: 6mm; padding-top: 1.5mm; }
  section { margin-bottom: 2.5mm; } p { margin-bottom: .5mm; }
  .folded { display: table; width: 100%; border-collapse: collapse; }
  .folded > *, .folded details > table { display: contents; }
  details::details-content { content-visibility: visible; display: contents; }
  .folded caption, details thead, summary { display: none; }
  header { margin-bottom: 2mm; }
  h2, thead { break-after: avoid; } tbody tr:first-child { break-before: avoid; }
  th, td { padding: 0 1.2mm 0 0; } thead { display: table-header-group; } svg { max-width: 92mm; }
  a { text-decoration: none; }
  #sheet_sizes td { height: 8mm; } #sheet_garments td { height: 6mm; }
  #sheet_sizes p { font-size: 11pt; margin: 7mm 0; }
  #sheet_sizes tr, #sheet_garments tr { font-size: 10pt; }
  #sheet_sizes tr > *, #sheet_garments tr > * { vertical-align: bottom; }
}
"""
STYLE = _STYLE.replace("FOLDED_MANY", FOLDED.replace("OF", "table.many")).replace(
    "FOLDED_ALL", FOLDED.replace("OF", "table")
)
