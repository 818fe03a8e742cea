"""What was not good: each result with its defect, cause and material; what scrap has used up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.model import HOT_PHASES, Piece, Plan
from kiosk.plan.phrases import element_word
from kiosk.report.content import BarChart, Section, Table, Topic, head, row, some
from kiosk.report.period import At, Period, passage_of
from kiosk.report.stats import pareto
from kiosk.run.state import Finished, Stage, TakenBack, cause_word, defect_word

_RESULTS = frozenset({"finished", "peeled"})
SHOWN = 6


@dataclass(frozen=True, slots=True)
class Failure:
    """A result that was not good. `layer` and `material` are "" where nobody named the piece."""

    at: At
    ticket: str
    stage: Stage
    defect: str
    cause: str
    layer: str
    material: str


def failures(period: Period) -> tuple[Failure, ...]:
    """Return all results with a defect, log by log, in order."""
    standing: dict[tuple[str, str, str], list[Failure]] = {}
    for at, noted in period.noted():
        event = noted.event
        if isinstance(event, Finished) and event.defect:
            key = (at.station, at.stint.job, event.ticket)
            standing.setdefault(key, []).append(_failure(at, event))
        elif isinstance(event, TakenBack) and event.what in _RESULTS:
            del standing.get((at.station, at.stint.job, event.ticket), [])[-1:]
    return tuple(failure for found in standing.values() for failure in found)


def reworked(found: Iterable[Failure]) -> int:
    """Return how many garments needed rework, mended by now or not."""
    return len(
        {
            (f.at.station, f.at.stint.job, f.ticket.rsplit("/", 2)[0], f.ticket.rsplit("/", 1)[1])
            for f in found
            if f.stage is Stage.REWORK
        }
    )


def _failure(at: At, event: Finished) -> Failure:
    pieces = pieces_of(at.plan, passage_of(event.ticket))
    named = [piece for piece in pieces if piece.name == event.piece]
    materials = {piece.material for piece in named or pieces}
    return Failure(
        at,
        event.ticket,
        event.stage,
        event.defect,
        event.cause or "not_known",
        str(named[0].layer) if named else "",
        materials.pop() if len(materials) == 1 else "",
    )


def pieces_of(plan: Plan | None, passage: int) -> tuple[Piece, ...]:
    """Return the pieces that a pass puts on the garment."""
    if plan is None or not 0 <= passage < len(plan.passes):
        return ()
    each = plan.passes[passage]
    names = {name for step in each.steps if step.phase in HOT_PHASES for name in step.pieces}
    return tuple(p for p in plan.pieces if p.name in names and p.panel in ("", each.panel))


def failed(period: Period) -> Topic:
    """Defects by class, cause and layer: what failed most, and why?"""
    found = failures(period)
    bars = pareto(Counter((f.defect, f.cause, f.layer) for f in found))
    made = sum(g.many for facts in period.logs for g in facts.garments if g.own)
    rows = tuple(
        row(defect_word(d), cause_word(c), layer or say("report.not_named"), bar.times,
            f"{100 * bar.covered:.0f} %" if len(found) >= LEAST else HIDDEN)
        for bar in bars
        for d, c, layer in (bar.key,)
    )  # fmt: skip
    enough = len(found) >= LEAST
    chart = BarChart(
        tuple(
            (_named(*bar.key), bar.times, f"{100 * bar.covered:.0f} %" if enough else "")
            for bar in bars[:SHOWN]
        )
    )
    data = {
        "defects": [
            {"defect": bar.key[0], "cause": bar.key[1], "layer": bar.key[2], "count": bar.times}
            for bar in bars
        ]
    }
    answer = _most(Counter(f.defect for f in found), found, made)
    table = Table(head("defect", "cause", "layer", "count", "covered"), rows)
    return Topic(Section("defects", answer, table, chart if bars else None), "failed", answer, data)


def _named(defect: str, cause: str, layer: str) -> Message:
    words = {"defect": defect_word(defect), "cause": cause_word(cause)}
    return say("report.bar_layer", **words, layer=layer) if layer else say("report.bar", **words)


def _most(counts: Counter[str], found: tuple[Failure, ...], made: int) -> tuple[Message, ...]:
    if not found:
        return (say("answer.failed.none", made=made),)
    defect = pareto(counts)[0].key
    cause = pareto(Counter(f.cause for f in found if f.defect == defect))[0].key
    values: dict[str, Value] = {
        "defect": defect_word(defect),
        "cause": cause_word(cause),
        "count": counts[defect],
        "of": len(found),
        "made": made,
    }
    return (say("answer.failed.some", **values),)


def material(period: Period) -> Topic:
    """Which material fails?"""
    failing = Counter(f.material for f in failures(period))
    pressed = _pressed(period)
    rates = {m: failing[m] / pressed[m] if pressed[m] >= LEAST else 0.0 for m in failing if m}
    named = sorted(rates, key=lambda m: (-rates[m], -failing[m], m))  # few: not by their share
    rows = tuple(
        row(name, failing[name], pressed[name], percent(failing[name], pressed[name]))
        for name in sorted(pressed, key=lambda m: (-failing[m], m))
    )
    unnamed = failing[""]
    note = (say("report.material_unnamed", count=unnamed),) if unnamed else ()
    answer = (_worst(named, failing, pressed), *note)
    data = {"materials": {m: {"failed": failing[m], "pressed": pressed[m]} for m in pressed}}
    table = Table(head("material", "failed", "pressed", "share"), rows)
    return Topic(Section("materials", answer, table), "material", answer, data)


def _worst(named: list[str], failing: Counter[str], pressed: Counter[str]) -> Message:
    if not named:
        return say("answer.material.none")
    worst = named[0]
    return say("answer.material.some", material=worst, count=failing[worst], pressed=pressed[worst])


def _pressed(period: Period) -> Counter[str]:
    counts: Counter[str] = Counter()
    for facts in period.logs:
        for garment in facts.garments:
            if garment.own:
                plan = facts.jobs[garment.job].plan
                for name in {piece.material for piece in plan.pieces}:
                    counts[name] += garment.many
    return counts


LEAST = 20  # fewer are counted and shown, never turned into a rate
HIDDEN = "–"


def percent(part: float, whole: int) -> str:
    """Return a share as text with one decimal; a dash below LEAST counted."""
    return f"{100 * part / whole:.1f} %" if whole >= LEAST else HIDDEN


NAMED = 6


class Part(NamedTuple):
    """One kind of piece: `character` is a digit, "" for a piece without (a name, a badge)."""

    material: str
    colour: str
    element: str
    character: str


def spoiled(period: Period) -> Counter[Part]:
    """Return the pieces that went with the scrapped garments."""
    counts: Counter[Part] = Counter()
    for facts in period.logs:
        for garment in facts.spoiled:
            begun = facts.jobs.get(garment.job)
            for passage in garment.passes:
                for piece in pieces_of(begun.plan if begun else None, passage):
                    digits = garment.number if piece.element == "number" else ""
                    for character in digits or ("",):
                        counts[Part(piece.material, piece.colour, piece.element, character)] += 1
    return counts


def garments(period: Period) -> int:
    """Return how many garments were scrapped."""
    return sum(len(facts.spoiled) for facts in period.logs)


def buy(period: Period) -> Topic:
    """What do we have to buy?"""
    counts, scrapped = spoiled(period), garments(period)
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    rows = tuple(row(part.material, part.colour, _piece(part), count) for part, count in ordered)
    drawers = _drawers(counts)
    if not scrapped:
        answer = say("answer.buy.none")
    elif drawers:
        answer = say("answer.buy.digits", garments=scrapped, digits=some(drawers, NAMED))
    else:
        answer = say("answer.buy.garments", garments=scrapped)
    data = {
        "spoiled": [{**part._asdict(), "count": count} for part, count in ordered],
        "garments": scrapped,
    }
    section = Section(
        "supplies", (answer,), Table(head("material", "colour", "piece", "count"), rows)
    )
    return Topic(section, "buy", (answer,), data)


def _drawers(counts: Counter[Part]) -> tuple[str, ...]:
    """The spoiled digits of each material and colour: `smooth-film black 6×1 8×2`."""
    found: dict[str, list[str]] = {}
    for part, count in sorted(counts.items()):
        if part.character:
            drawer = f"{part.material} {part.colour}".strip()
            found.setdefault(drawer, []).append(f"{part.character}×{count}")
    return tuple(f"{drawer} {' '.join(digits)}" for drawer, digits in found.items())


def _piece(part: Part) -> Message | str:
    return part.character or element_word(part.element)
