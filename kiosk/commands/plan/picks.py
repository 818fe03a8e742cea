"""The pick list and the bag labels of a job as one HTML page to print; no names unless asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from html import escape

from kiosk.catalog.base import PICK_PAGE, made_by, say
from kiosk.catalog.model import RosterLine
from kiosk.catalog.roster import twin
from kiosk.commands.load import Loaded
from kiosk.commands.plan.supply import Part, Supply, height_text, supply_parts
from kiosk.plan.buy import PIECE, BagPiece, Pick, bag, element_text
from kiosk.plan.model import Plan
from kiosk.plan.phrases import panel_word
from kiosk.plan.reasons import KNOWN_ELEMENTS
from kiosk.plan.time import in_order
from kiosk.words import Words

# Paper and ink of the station's screens; black on white when printed.
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
COLUMNS = ("where", "material", "height", "layer", "pieces", "count")


def pick_page(plan: Plan, loaded: Loaded, supply: Supply, names: bool) -> str:
    """Return the page: what to pull, to buy and what is left over, then a label for each bag."""
    words, roster = loaded.words, loaded.job.roster
    metric, order = loaded.catalog.station.millimetres, in_order(roster).garments
    title = escape(words("picks.title", title=plan.title))
    parts = [
        f'<!doctype html>\n<html lang="{escape(words.language)}">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"{made_by(PICK_PAGE)}\n<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>",
        f"<h2>{escape(words('picks.pull'))}</h2>",
        *pull_table(grouped_picks(plan, supply.picks), metric, words),
        *(_part(part) for part in supply_parts(supply, metric, words)),
        f'<h2 class="labels-title">{escape(words("picks.labels"))}</h2>\n<div class="labels">',
        *(_label(line, bag(plan, line, supply.heights), metric, names, words) for line in order),
        "</div>\n</body>\n</html>\n",
    ]
    return "\n".join(parts)


def pull_table(groups: Iterable[PickGroup], metric: bool, words: Words) -> Iterator[str]:
    """Yield the lines of a table of what to pull; no player's name is in it."""
    heads = "".join(f'<th scope="col">{escape(words(f"picks.column.{c}"))}</th>' for c in COLUMNS)
    yield f"<table>\n<thead><tr>{heads}</tr></thead>\n<tbody>"
    for group in groups:
        pieces = "  ".join(f"{character}×{count}" for character, count in group.characters)
        cells = (
            _where(group.panel, group.element, words),
            f"{group.colour} {group.material}",
            height_text(group.height_inches, metric, words),
            str(group.layer),
        )
        row = "".join(f"<td>{escape(cell)}</td>" for cell in cells)
        yield f'<tr>{row}<td class="pieces">{escape(pieces)}</td><td>{group.count}</td></tr>'
    yield "</tbody>\n</table>"


def _part(part: Part) -> str:
    lines = "\n".join(f"<li>{escape(line)}</li>" for line in part.lines)
    return f"<h2>{escape(part.title)}</h2>\n<ul>\n{lines}\n</ul>"


def _label(
    line: RosterLine, held: tuple[BagPiece, ...], metric: bool, names: bool, words: Words
) -> str:
    foot = ' class="foot"' if twin(line.number) is not None else ""
    number = f"<b{foot}>{escape(line.number)}</b>" if line.number else "<span></span>"
    of = (words("picks.label.line", line=line.line), line.set)
    lines = [
        f'<p class="head">{number}<span class="size">{escape(line.size)}</span></p>',
        f"<p>{escape(' · '.join(text for text in of if text))}</p>",
    ]
    if names and line.name:
        lines.append(f"<p>{escape(line.name)}</p>")
    rows = list(_bag_rows(held, line, metric, names, words))
    lines += [f"<p>{escape(row)}</p>" for row in rows or [words("picks.label.unsized")]]
    return '<div class="label">\n' + "\n".join(lines) + "\n</div>"


def _bag_rows(
    pieces: Iterable[BagPiece], line: RosterLine, metric: bool, names: bool, words: Words
) -> Iterator[str]:
    """One row an element: what is in the bag for it, in which colours from the fabric up."""
    by_element: dict[tuple[str, str], list[BagPiece]] = {}
    for each in pieces:
        by_element.setdefault((each.piece.panel, each.piece.element), []).append(each)
    for (panel, element), layers in by_element.items():
        text = element_text(element, line) or ""
        if element == "name" and not names:
            text = words("picks.label.letters", count=len(layers[0].characters))
        colours = words(
            "picks.label.colours",
            colours=tuple(each.piece.colour for each in layers),
            height=height_text(layers[0].height_inches, metric, words).replace(" ", NO_BREAK),
        )
        yield f"{_where(panel, element, words)}: " + ", ".join(t for t in (text, colours) if t)


def _where(panel: str, element: str, words: Words) -> str:
    known = say(f"element.{element}") if element in KNOWN_ELEMENTS else element
    return words("picks.label.element", panel=panel_word(panel), element=known)


@dataclass(frozen=True, slots=True)
class PickGroup:
    """One colour, height (inches) and layer of an element: how many of each character.

    `characters` is empty for pieces without text; `count` are all pieces of the group.
    """

    panel: str
    element: str
    layer: int
    colour: str
    material: str
    height_inches: float
    characters: tuple[tuple[str, int], ...]
    count: int


def grouped_picks(plan: Plan, counts: Mapping[Pick, int]) -> list[PickGroup]:
    """Return what to pull (see `count_picks`), in the recipe's order, characters sorted."""
    found: dict[tuple[str, str, int, str, str, float], list[tuple[str, int]]] = {}
    order = [(piece.panel, piece.element, piece.layer) for piece in plan.pieces]
    picks = sorted(counts, key=lambda p: (order.index((p.panel, p.element, p.layer)), p))
    for pick in picks:
        key = (
            pick.panel,
            pick.element,
            pick.layer,
            pick.colour,
            pick.material,
            pick.height_inches,
        )
        found.setdefault(key, []).append((pick.character, counts[pick]))
    return [
        PickGroup(
            *key,
            characters=tuple((c, n) for c, n in characters if c != PIECE),
            count=sum(n for _, n in characters),
        )
        for key, characters in found.items()
    ]
