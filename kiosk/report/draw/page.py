"""A shift's report as one HTML page that needs nothing beside it and prints on one sheet."""

from collections.abc import Iterator
from html import escape

from kiosk.catalog.base import REPORT_PAGE, Message, html_head
from kiosk.report import content
from kiosk.report.draw.strokes import Bar, Dot, Frame, Line, Stroke, bar_strokes, control_strokes

WIDE = ("made", "ratios", "settings")
"""Sections as wide as the page, above the columns."""
SAID = {"changes": 4, "tack": 1}
"""Sections whose answer says all that so few rows would."""
SELDOM = ("articles", "trials", "handovers")
"""Sections that are left out where nothing of the kind happened."""
WHOLE = ("ratios", "sheet_sizes", "sheet_garments", "card_heat")
"""All rows are shown: each element with its source, each garment of an order."""
ROWS = 5
"""Rows of a table on the page, so that all of it has room on a sheet; the CSV has every one."""


def to_html(report: content.Report, say: content.Say, language: str = "en") -> str:
    """Return the page; `say` puts a message into the page's language."""
    parts = [
        html_head(REPORT_PAGE, language, escape(say(report.title)), STYLE),
        f"<header><h1>{escape(say(report.title))}</h1><p>{escape(say(report.line))}</p>"
        f"<p>{escape(say(content.UNTRIED))}</p><p>{_sentences(report.record, say)}</p></header>",
        _answers(report.asked(), say),
        *(_section(topic, say) for topic in report.topics if topic.section.id in WIDE),
        "<main>",
        *(_section(topic, say) for topic in report.topics if topic.section.id not in WIDE),
        "</main>\n</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _answers(topics: tuple[content.Topic, ...], say: content.Say) -> str:
    each = "\n".join(
        f'<div><dt><a href="#{escape(topic.section.id)}">'
        f"{escape(say(Message(f'question.{topic.question}')))}</a></dt>"
        f"<dd>{_sentences(topic.answer, say)}</dd></div>"
        for topic in topics
    )
    return f"<dl>\n{each}\n</dl>"


def _sentences(messages: tuple[Message, ...], say: content.Say) -> str:
    return " ".join(escape(say(message)) for message in messages)


def _section(topic: content.Topic, say: content.Say) -> str:
    """What stands at the top of the page as an answer is not said again over its table."""
    section, answered = topic.section, bool(topic.question)
    drawn = "" if section.chart is None else _chart(section.chart, say)
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
        f"{_table(section.table, say, section.id in WHOLE)}{drawn}</section>"
    )


def _table(table: content.Table, say: content.Say, whole: bool) -> str:
    if not table.rows:
        return ""
    head = "".join(f"<th>{escape(say(each))}</th>" for each in table.head)
    shown = len(table.rows) if whole else ROWS
    rows = "\n".join(_row(cells, say) for cells in table.rows[:shown])
    more = len(table.rows) - shown
    left = f'<p class="more">{escape(say(Message("report.more", {"count": more})))}</p>'
    return f"<table>\n<tr>{head}</tr>\n{rows}\n</table>{left if more > 0 else ''}"


def _row(cells: tuple[content.Cell, ...], say: content.Say) -> str:
    return f"<tr>{''.join(f'<td>{escape(content.read(cell, say))}</td>' for cell in cells)}</tr>"


CHART_WIDE, CHART_HIGH, EDGE, BAR_ROW, NUMBERS = 300.0, 54.0, 5.0, 12.0, 48.0
LETTER = 4.6  # how wide a letter of a chart is about


def _chart(chart: content.ControlChart | content.BarChart, say: content.Say) -> str:
    """The chart as an SVG element, in ink on paper."""
    if isinstance(chart, content.ControlChart):
        return _svg(control_strokes(chart, _frame(CHART_HIGH, 9.0)), CHART_HIGH)
    high = max(1, len(chart.bars)) * BAR_ROW
    bars = [(say(label), count, covered) for label, count, covered in chart.bars]
    return _svg(bar_strokes(bars, _frame(high, BAR_ROW)), high)


def _frame(high: float, row: float) -> Frame:
    return Frame(CHART_WIDE, high, EDGE, row, lambda _: NUMBERS - EDGE)


def _svg(strokes: Iterator[Stroke], high: float) -> str:
    inside = "".join(_painted(stroke, high) for stroke in strokes)
    return f'<svg viewBox="0 0 {CHART_WIDE:.0f} {high:.0f}" role="img">{inside}</svg>'


def _painted(stroke: Stroke, high: float) -> str:
    """A stroke as SVG, whose y grows downwards."""
    if isinstance(stroke, Line):
        points = " ".join(f"{x:.1f},{high - y:.1f}" for x, y in stroke.points)
        return f'<polyline points="{points}" class="{stroke.look.value}"/>'
    if isinstance(stroke, Dot):
        at = f'cx="{stroke.x:.1f}" cy="{high - stroke.y:.1f}"'
        return f'<circle {at} r="1.4"/>' + f'<circle {at} r="4" class="ring"/>' * stroke.ring
    if isinstance(stroke, Bar):
        top = high - stroke.y - stroke.high
        return f'<rect y="{top:.1f}" width="{stroke.wide:.1f}" height="{stroke.high:.1f}"/>'
    at, room = f'x="{stroke.x:.1f}" y="{high - stroke.y + 3:.1f}"', CHART_WIDE - stroke.x
    if len(stroke.text) * LETTER > room:
        at += f' textLength="{room:.0f}" lengthAdjust="spacingAndGlyphs"'
    return f"<text {at}>{escape(stroke.text)}</text>"


# 194 mm by 263 mm is what A4 and letter have in common inside margins of 8 mm.
STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { font: 15px/1.4 system-ui, sans-serif; color: #15171C; background: #F7F4EC;
       max-width: 80rem; margin: 1.5rem auto; padding: 0 1.5rem; }
h1 { font-size: 1.6em; margin: 0; } h2 { font-size: 1.05em; margin: 0 0 .2em; }
p { margin: 0 0 .4em; } header p { color: #4A463D; }
a { color: inherit; text-decoration: none; border-bottom: 1px dotted #4A463D; }
dl { display: grid; grid-template-columns: 1fr 1fr; gap: .3em 2em; margin: 1em 0;
     border-top: 2px solid #15171C; padding-top: .6em; }
dl div { display: grid; grid-template-columns: 11em 1fr; gap: .6em; break-inside: avoid; }
dt { font-weight: 700; } dd { margin: 0; }
.ratios tbody { display: grid; grid-template-columns: 1fr 1fr; column-gap: 2em; }
.ratios tr { display: grid; grid-template-columns: 16em 6em 1fr; border-top: 1px solid #B9B2A3; }
.ratios tr:first-child { display: none; } .ratios td { border: 0; }
main { columns: 2; column-gap: 2em; border-top: 2px solid #15171C; padding-top: .6em; }
section { break-inside: avoid; margin: 0 0 1em; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: 400; color: #4A463D; vertical-align: bottom; }
th, td { border-top: 1px solid #B9B2A3; padding: .1em .5em .1em 0; vertical-align: top; }
tr:first-child th { border-top: 0; }
.more { color: #4A463D; font-size: .9em; }
svg { display: block; width: 100%; margin-top: .3em; font: 9px system-ui, sans-serif; }
svg polyline { fill: none; stroke: #15171C; } svg .value { stroke-width: .8; }
svg .limit { stroke-width: .7; stroke-dasharray: 4 3; } svg .centre { stroke-width: .5; }
svg .ring { fill: none; stroke: #15171C; stroke-width: 1.2; } svg rect { fill: #4A463D; }
@media (max-width: 50rem) { dl { grid-template-columns: 1fr; } main { columns: 1; } }
@page { margin: 8mm; }
@media print {
  body { background: #fff; margin: 0; padding: 0; max-width: none; font-size: 6.1pt;
         line-height: 1.16; width: 194mm; }
  h1 { font-size: 11pt; } h2 { font-size: 7pt; } header p { margin: 0; }
  dl { grid-template-columns: 1fr 1fr; gap: .6mm 4mm; margin: 1mm 0; padding-top: .8mm; }
  dl div { grid-template-columns: 22mm 1fr; gap: 1.5mm; }
  .ratios table, .ratios tbody { display: block; }
  .ratios tr { display: inline; border: 0; } .ratios tr:first-child { display: none; }
  .ratios td { display: inline; padding: 0; }
  .ratios td:nth-child(2)::before { content: " "; }
  .ratios td:nth-child(2) { font-weight: 700; }
  .ratios td:nth-child(3)::before { content: " ("; }
  .ratios td:nth-child(3)::after { content: ") · "; }
  main { columns: 3; column-gap: 4mm; padding-top: 1mm; }
  .settings td:nth-child(-n+3), .made td { white-space: nowrap; }
  section { margin-bottom: 1.2mm; } p { margin-bottom: .3mm; }
  th, td { padding: 0 1mm 0 0; } svg { margin-top: .5mm; }
  a { border: 0; }
}
"""
