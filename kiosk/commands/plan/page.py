"""Pages to print: the plan, and the pick list with its bag labels. No names unless asked for."""

from collections.abc import Iterable, Iterator, Mapping
from html import escape

from kiosk.catalog.base import PICK_PAGE, PLAN_PAGE, html_head
from kiosk.catalog.model import RosterLine
from kiosk.catalog.roster import twin
from kiosk.commands.load import LoadedJob
from kiosk.commands.plan.picture import TitledCurve, curve_of, svg
from kiosk.commands.plan.supply import (
    PastByRun,
    PickGroup,
    Supply,
    SupplySection,
    film_text,
    grouped_picks,
    supply_sections,
)
from kiosk.commands.plan.text import (
    asks_for_trial,
    head_lines,
    heat_lines,
    setting_lines,
    source_lines,
    time_lines,
)
from kiosk.plan import BagPiece, bag
from kiosk.plan.heat import basis
from kiosk.plan.model import HOT_PHASES, Pass, Plan
from kiosk.plan.phrases import element_word, panel_word, pass_words, phrase
from kiosk.plan.time import in_order
from kiosk.words import Words
from kiosk.words.speak import FIRST, SET_UP

# The station screens' paper and ink; black on white when printed.
STYLE = """
body { font: 1rem/1.4 system-ui, sans-serif; color: #15171C; background: #F7F4EC;
       max-width: 60rem; margin: 2rem auto; padding: 0 1rem; }
table { border-collapse: collapse; width: 100%; }
th, td { border-top: 1px solid #4A463D; padding: .25rem .5rem .25rem 0; text-align: left;
         vertical-align: top; }
td.pieces { font-variant-numeric: tabular-nums; word-spacing: .4em; }
.labels { display: grid; grid-template-columns: repeat(3, 1fr); gap: 2mm; }
.label { border: 1px dashed #4A463D; padding: 3mm; break-inside: avoid; }
.label p { margin: .2rem 0; }
.label .head { display: flex; justify-content: space-between; align-items: flex-start;
               margin: 0 0 .5rem; }
.label b { font-size: 2.2rem; line-height: 1; padding-bottom: .15rem;
           border-bottom: .3rem solid transparent; }
.label b.foot { border-color: currentColor; }
.label .size { font-size: 1.6rem; line-height: 1.2; }
th { white-space: nowrap; }
h2 { break-after: avoid; }
@media screen and (max-width: 40rem) {
  body { margin: 1rem auto; overflow-wrap: anywhere; } h1 { font-size: 1.6em; }
  thead { display: none; } table, tbody, tr, td { display: block; }
  tr { border-top: 1px solid #4A463D; padding: .3rem 0; } td { border: 0; padding: 0; }
  td:first-child { font-weight: 700; } td:empty { display: none; }
  td + td { display: grid; grid-template-columns: 6.5em minmax(0, 1fr); gap: .6em; }
  td + td::before { content: attr(data-head); color: #4A463D; }
  .labels { grid-template-columns: repeat(auto-fill, minmax(9rem, 1fr)); }
}
@page { margin: 10mm; }
@media print { body { background: #fff; color: #000; margin: 0; max-width: none; padding: 0;
                      font-size: 10pt; line-height: 1.3; }
               h1 { font-size: 1.5em; margin: 0; }
               h2 { font-size: 1.15em; margin: .9em 0 .3em; }
               ul { margin: 0; }
               tr, li { break-inside: avoid; }
               h2.labels-title { break-before: page; } }
"""
NO_BREAK = "\u00a0"  # between a length and its unit
PULL_COLUMNS = ("where", "material", "height", "layer", "pieces", "count")


def pick_page(plan: Plan, loaded: LoadedJob, supply: Supply, names: bool) -> str:
    """Return the page: what to pull and buy, what is left over, and a label for each bag."""
    words, roster = loaded.words, loaded.job.roster
    metric, order = loaded.catalog.station.millimetres, in_order(roster).garments
    title = escape(words("picks.title", title=plan.title))
    parts = [
        html_head(PICK_PAGE, words.language, title, STYLE),
        f"<h1>{title}</h1>",
        f"<h2>{escape(words('picks.pull'))}</h2>",
        *pull_table(grouped_picks(plan, supply.picks), supply.titles, metric, words),
        *(_section(section) for section in supply_sections(supply, metric, words)),
        f'<h2 class="labels-title">{escape(words("picks.labels"))}</h2>\n<div class="labels">',
        *(_label(line, bag(plan, line, supply.heights), metric, names, words) for line in order),
        "</div>\n</body>\n</html>\n",
    ]
    return "\n".join(parts)


def pull_table(
    groups: Iterable[PickGroup], titles: Mapping[str, str], metric: bool, words: Words
) -> Iterator[str]:
    """Yield the lines of a table of what to pull, without players' names."""
    heads = [escape(words(f"picks.column.{column}")) for column in PULL_COLUMNS]
    yield f"<table>\n<thead><tr>{_heads(heads)}</tr></thead>\n<tbody>"
    for group in groups:
        pieces = "  ".join(f"{character}×{count}" for character, count in group.characters)
        cells = (
            _place(group.panel, group.element, words),
            film_text(group.colour, group.material, titles),
            words.height(group.height_inches, metric),
            str(group.layer),
            pieces,
            str(group.count),
        )
        yield f"<tr>{_cells(heads, cells, {4: 'pieces'})}</tr>"
    yield "</tbody>\n</table>"


def _heads(heads: Iterable[str]) -> str:
    return "".join(f'<th scope="col">{head}</th>' for head in heads)


def _cells(heads: Iterable[str], cells: Iterable[str], kinds: Mapping[int, str]) -> str:
    """Return the cells of a row; on a phone each shows its column head."""
    row = []
    for nth, (head, cell) in enumerate(zip(heads, cells, strict=True)):
        kind = f' class="{kinds[nth]}"' if nth in kinds else ""
        row.append(f'<td{kind} data-head="{head}">{escape(cell)}</td>')
    return "".join(row)


def _section(section: SupplySection) -> str:
    lines = "\n".join(f"<li>{escape(line)}</li>" for line in section.lines)
    return f"<h2>{escape(section.title)}</h2>\n<ul>\n{lines}\n</ul>"


def _label(
    line: RosterLine, pieces: tuple[BagPiece, ...], metric: bool, names: bool, words: Words
) -> str:
    foot = ' class="foot"' if twin(line.number) is not None else ""
    number = f"<b{foot}>{escape(line.number)}</b>" if line.number else "<span></span>"
    row_and_set = (words("picks.label.line", line=line.line), line.set)
    lines = [
        f'<p class="head">{number}<span class="size">{escape(line.size)}</span></p>',
        f"<p>{escape(' · '.join(text for text in row_and_set if text))}</p>",
    ]
    if names and line.name:
        lines.append(f"<p>{escape(line.name)}</p>")
    rows = list(_bag_rows(pieces, line, metric, names, words))
    lines += [f"<p>{escape(row)}</p>" for row in rows or [words("picks.label.unsized")]]
    return '<div class="label">\n' + "\n".join(lines) + "\n</div>"


def _bag_rows(
    pieces: Iterable[BagPiece], line: RosterLine, metric: bool, names: bool, words: Words
) -> Iterator[str]:
    """Yield a row per element in the bag: text, colours from the fabric up, and height."""
    by_element: dict[tuple[str, str], list[BagPiece]] = {}
    for each in pieces:
        by_element.setdefault((each.piece.panel, each.piece.element), []).append(each)
    for (panel, element), layers in by_element.items():
        text = line.text_of(element) or ""
        if element == "name" and not names:
            text = words("picks.label.letters", count=len(layers[0].characters))
        colours = (each.piece.colour for each in layers)
        height = words.height(layers[0].height_inches, metric).replace(" ", NO_BREAK)
        content = ", ".join(filter(None, (text, *colours, height)))
        yield f"{_place(panel, element, words)}: {content}"


def _place(panel: str, element: str, words: Words) -> str:
    return words("picks.label.element", panel=panel_word(panel), element=element_word(element))


OWN_STYLE = """
.cautions { border: 3px solid #15171C; padding: .5rem 1rem; list-style: none; display: grid;
            grid-template-columns: max-content minmax(0, 1fr); gap: .2em .6em; }
.cautions li { display: contents; }
.cautions strong { align-self: start; text-align: center; padding: 0 .4em;
                   background: #15171C; color: #F7F4EC; }
figure { margin: 1rem 0; break-inside: avoid; }
figure svg { width: 100%; height: auto; }
td.clock { white-space: nowrap; }
"""
COLUMNS = ("phase", "clock", "what", "why")
LIMITS = ("curve.limits", "curve.assumed")


def plan_page(plan: Plan, loaded: LoadedJob, past: PastByRun, supply: Supply) -> str:
    """Return the page: cautions, settings, steps, the curve with its estimates, what to pull."""
    words = loaded.words
    title = escape(words("command.plan.page_title", title=plan.title))
    metric = loaded.catalog.station.millimetres
    parts = [
        html_head(PLAN_PAGE, words.language, title, STYLE + OWN_STYLE),
        f"<h1>{title}</h1>",
        *_cautions(words),
        *_list((*list(head_lines(plan, loaded.job, words))[1:], *_times(plan, loaded, past))),
        f"<h2>{escape(words('command.plan.sources'))}</h2>",
        *_list(source_lines(plan, words, asks_for_trial(plan, loaded))),
        *(line for each in plan.passes for line in _pass(plan, each, words)),
        f"<h2>{escape(words('picks.pull'))}</h2>",
        *pull_table(grouped_picks(plan, supply.picks), supply.titles, metric, words),
        "</body>\n</html>\n",
    ]
    return "\n".join(parts)


def _cautions(words: Words) -> Iterator[str]:
    """Yield what can hurt, boxed above everything else, and what to do before using this page."""
    yield '<ul class="cautions">'
    for signal, name in SET_UP:
        sentence = escape(words(f"caution.{name}"))
        yield f"<li><strong>{escape(words(f'signal.{signal}'))}</strong> {sentence}</li>"
    yield "</ul>"
    yield from (f"<p>{escape(words(line))}</p>" for line in FIRST)


def _times(plan: Plan, loaded: LoadedJob, past: PastByRun) -> Iterator[str]:
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
    waits = (words.say(basis(wait)) for wait in each.stages)
    yield from _list((*waits, *heat_lines(plan, each, words), *(words(id_) for id_ in LIMITS)))


def _steps(plan: Plan, each: Pass, words: Words) -> Iterator[str]:
    heads = [escape(words(f"command.plan.column.{column}")) for column in COLUMNS]
    yield f"<table>\n<thead><tr>{_heads(heads)}</tr></thead>\n<tbody>"
    for step in each.steps:
        hot = step.phase in HOT_PHASES
        clock = words("command.plan.clock", seconds=step.seconds) if hot else ""
        why = "" if step.why is None else words.say(step.why)
        sentence = words.say(phrase(plan, each, step))
        cells = (words(f"phase.{step.phase.value}"), clock, sentence, why)
        yield f"<tr>{_cells(heads, cells, {1: 'clock'})}</tr>"
    yield "</tbody>\n</table>"


def _figure(plan: Plan, curve: TitledCurve, words: Words) -> Iterator[str]:
    caption = escape(words("curve.caption"))
    yield f'<figure role="img" aria-label="{caption}">\n{svg(plan, curve, words)}'
    yield f"<figcaption>{caption}</figcaption>\n</figure>"


def _list(lines: Iterable[str]) -> Iterator[str]:
    yield "<ul>"
    yield from (f"<li>{escape(line)}</li>" for line in lines)
    yield "</ul>"
