"""A plan as one HTML page to print or keep: nothing is loaded from elsewhere, no name is in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from kiosk.catalog.base import PLAN_PAGE, made_by
from kiosk.commands.load import Loaded
from kiosk.commands.plan.heat import heat_lines
from kiosk.commands.plan.past import PastByRun
from kiosk.commands.plan.picks import STYLE, grouped_picks, pull_table
from kiosk.commands.plan.picture import Titled, curve_of, svg
from kiosk.commands.plan.supply import Supply
from kiosk.commands.plan.text import (
    asks_for_trial,
    head_lines,
    setting_lines,
    source_lines,
    time_lines,
)
from kiosk.plan.heat import basis
from kiosk.plan.model import HOT_PHASES, Pass, Plan
from kiosk.plan.phrases import pass_words, phrase
from kiosk.words import Words
from kiosk.words.cautions import FIRST, SET_UP

OWN_STYLE = """
.cautions { border: 3px solid #15171C; padding: .5rem 1rem; list-style: none; }
.cautions strong { background: #15171C; color: #F7F4EC; padding: 0 .4em; }
figure { margin: 1rem 0; break-inside: avoid; }
figure svg { width: 100%; height: auto; }
td.clock { white-space: nowrap; }
"""
COLUMNS = ("phase", "clock", "what", "why")
LIMITS = ("curve.limits", "curve.assumed")


def plan_page(plan: Plan, loaded: Loaded, past: PastByRun, supply: Supply) -> str:
    """Return the page: cautions, settings, steps, the curve, what is an estimate, what to pull."""
    words = loaded.words
    title = escape(words("command.plan.page_title", title=plan.title))
    metric = loaded.catalog.station.millimetres
    parts = [
        f'<!doctype html>\n<html lang="{escape(words.language)}">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"{made_by(PLAN_PAGE)}\n<title>{title}</title>\n<style>{STYLE}{OWN_STYLE}</style>\n</head>\n<body>",
        f"<h1>{title}</h1>",
        *_cautions(words),
        *_list((*list(head_lines(plan, loaded.job, words))[1:], *_times(plan, loaded, past))),
        f"<h2>{escape(words('command.plan.sources'))}</h2>",
        *_list(source_lines(plan, words, asks_for_trial(plan, loaded))),
        *(line for each in plan.passes for line in _pass(plan, each, words)),
        f"<h2>{escape(words('picks.pull'))}</h2>",
        *pull_table(grouped_picks(plan, supply.picks), metric, words),
        "</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _cautions(words: Words) -> Iterator[str]:
    """What can hurt, boxed above everything else, and what comes before this page."""
    yield '<ul class="cautions">'
    for signal, name in SET_UP:
        said = escape(words(f"caution.{name}"))
        yield f"<li><strong>{escape(words(f'signal.{signal}'))}</strong> {said}</li>"
    yield "</ul>"
    yield from (f"<p>{escape(words(line))}</p>" for line in FIRST)


def _times(plan: Plan, loaded: Loaded, past: PastByRun) -> Iterator[str]:
    yield loaded.words("command.plan.taps", taps=plan.taps_per_garment)
    yield from (line.strip() for line in time_lines(plan, loaded.job, past, loaded.words))


def _pass(plan: Plan, each: Pass, words: Words) -> Iterator[str]:
    panel = next(panel for panel in plan.settings if panel.panel == each.panel)
    yield f"<h2>{escape(words.say(pass_words(plan, each)))}</h2>"
    yield from _list(line.strip() for line in setting_lines(panel, words))
    yield from _steps(plan, each, words)
    curve = curve_of(plan, each, words)
    if curve is not None:
        yield from _figure(plan, curve, words)
    yield f"<h3>{escape(words('curve.estimates'))}</h3>"
    told = (words.say(basis(wait)) for wait in each.stages)
    yield from _list((*told, *heat_lines(plan, each, words), *(words(id_) for id_ in LIMITS)))


def _steps(plan: Plan, each: Pass, words: Words) -> Iterator[str]:
    heads = (words(f"command.plan.column.{column}") for column in COLUMNS)
    row = "".join(f'<th scope="col">{escape(head)}</th>' for head in heads)
    yield f"<table>\n<thead><tr>{row}</tr></thead>\n<tbody>"
    for step in each.steps:
        hot = step.phase in HOT_PHASES
        clock = words("command.plan.clock", seconds=step.seconds) if hot else ""
        why = "" if step.why is None else words.say(step.why)
        cells = (words(f"phase.{step.phase.value}"), words.say(phrase(plan, each, step)), why)
        name, what, reason = (escape(cell) for cell in cells)
        yield f'<tr><td>{name}</td><td class="clock">{escape(clock)}</td><td>{what}</td>'
        yield f"<td>{reason}</td></tr>"
    yield "</tbody>\n</table>"


def _figure(plan: Plan, curve: Titled, words: Words) -> Iterator[str]:
    said = escape(words("curve.caption"))
    yield f'<figure role="img" aria-label="{said}">\n{svg(plan, curve, words)}'
    yield f"<figcaption>{said}</figcaption>\n</figure>"


def _list(lines: Iterable[str], kind: str = "") -> Iterator[str]:
    yield f'<ul class="{kind}">' if kind else "<ul>"
    yield from (f"<li>{escape(line)}</li>" for line in lines)
    yield "</ul>"
