"""Results that were not good, with defect, cause and material; pieces used up by scrap."""

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping
from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.log.facts import JobStart, ScrappedGarment
from kiosk.plan.model import HOT_PHASES, LAYING, Phase, Piece, Plan
from kiosk.plan.phrases import element_word
from kiosk.report.content import EMPTY, BarChart, Section, Table, Topic, first_few, head, row
from kiosk.report.evidence import (
    LEAST,
    OFTEN,
    Comparison,
    Share,
    Standout,
    at_least,
    stand_out,
    strengths,
)
from kiosk.report.period import EventPlace, Period, StationPress, once, passage_of
from kiosk.report.stats import pareto
from kiosk.run.state import Finished, TakenBack, TicketStage, cause_word, defect_word

_RESULTS = frozenset({"finished", "peeled"})
SHOWN = 6


class DefectResult(NamedTuple):
    """A result with a defect.

    `layer` is "" if no piece was named; `material` is "" if it could be one of several.
    """

    place: EventPlace
    ticket: str
    stage: TicketStage
    defect: str
    cause: str
    layer: str
    material: str

    @property
    def garment(self) -> tuple[str, str, str]:
        """The garment: job, line and copy."""
        line, _, copy = self.ticket.rsplit("/", 2)
        return self.place.stint.job, line, copy


@once
def failures(period: Period) -> tuple[DefectResult, ...]:
    """Return all results with a defect, log by log, in order."""
    pieces: dict[tuple[str, str, int], tuple[Piece, ...]] = {}
    found = []
    for place, event in defect_events(period):
        passage = passage_of(event.ticket)
        key = place.station, place.stint.job, passage
        if key not in pieces:
            pieces[key] = pieces_of(place.plan, passage)
        found.append(_failure(place, event, pieces[key]))
    return tuple(found)


@once
def defect_events(period: Period) -> tuple[tuple[EventPlace, Finished], ...]:
    """Return the events of all results with a defect, without those taken back."""
    by_ticket: dict[tuple[str, str, str], list[tuple[EventPlace, Finished]]] = {}
    for place, reported in period.reported_events():
        event = reported.event
        if isinstance(event, Finished) and event.defect:
            key = (place.station, place.stint.job, event.ticket)
            by_ticket.setdefault(key, []).append((place, event))
        elif isinstance(event, TakenBack) and event.what in _RESULTS:
            del by_ticket.get((place.station, place.stint.job, event.ticket), [])[-1:]
    return tuple(each for found in by_ticket.values() for each in found)


def reworked(found: Iterable[DefectResult]) -> int:
    """Return how many garments needed rework, including those mended since."""
    return len({(f.place.station, f.garment) for f in found if f.stage is TicketStage.REWORK})


def _failure(place: EventPlace, event: Finished, pieces: tuple[Piece, ...]) -> DefectResult:
    noted_pieces = [piece for piece in pieces if piece.name == event.piece]
    materials = {piece.material for piece in noted_pieces or pieces}
    return DefectResult(
        place,
        event.ticket,
        event.stage,
        event.defect,
        event.cause or "not_known",
        str(noted_pieces[0].layer) if noted_pieces else "",
        materials.pop() if len(materials) == 1 else "",
    )


def pieces_of(plan: Plan | None, passage: int) -> tuple[Piece, ...]:
    """Return the pieces that a pass puts on the garment."""
    if plan is None or not 0 <= passage < len(plan.passes):
        return ()
    return _pieces_in_steps(plan, passage, HOT_PHASES, len(plan.passes[passage].steps))


def _pieces_in_steps(
    plan: Plan, nth: int, phases: Container[Phase], before: int
) -> tuple[Piece, ...]:
    """Return the pieces in the first `before` steps of a pass, from steps of `phases` only."""
    each = plan.passes[nth]
    names = {n for step in each.steps[:before] if step.phase in phases for n in step.pieces}
    return tuple(p for p in plan.pieces if p.name in names and p.panel in ("", each.panel))


def defects(period: Period) -> Topic:
    """Return the answer to: what failed most, and why? By defect, cause and layer."""
    found = failures(period)
    bars = pareto(Counter((f.defect, f.cause, f.layer) for f in found))
    rows = tuple(
        row(defect_word(d), cause_word(c), layer or say("report.not_named"), bar.times,
            f"{100 * bar.covered:.0f} %" if len(found) >= LEAST else EMPTY)
        for bar in bars
        for d, c, layer in (bar.key,)
    )  # fmt: skip
    enough = len(found) >= LEAST
    chart = BarChart(
        tuple(
            (_bar_label(*bar.key), bar.times, f"{100 * bar.covered:.0f} %" if enough else "")
            for bar in bars[:SHOWN]
        )
    )
    standouts = presses_apart(period)
    names = period.press_names()
    answer = (
        _most_frequent(found, sum(_garments_by_press(period).values())),
        *(say("answer.failed.press", press=names[f.key], share=f.own.in_words(),
              others=f.others.in_words(), word=f.strength.say()) for f in standouts),
    )  # fmt: skip
    table = Table(head("defect", "cause", "layer", "count", "covered"), rows)
    section = Section("defects", answer, table, chart if bars else None)
    return Topic(section, "failed", answer, lambda: {
        "defects": [
            {"defect": bar.key[0], "cause": bar.key[1], "layer": bar.key[2], "count": bar.times}
            for bar in bars
        ],
        "presses_apart": [{**f.key._asdict(), "word": f.strength.value} for f in standouts],
    })  # fmt: skip


def _bar_label(defect: str, cause: str, layer: str) -> Message:
    words = {"defect": defect_word(defect), "cause": cause_word(cause)}
    return say("report.bar_layer", **words, layer=layer) if layer else say("report.bar", **words)


ALIKE = 4  # equally frequent defects named in a sentence


def _most_frequent(found: tuple[DefectResult, ...], made: int) -> Message:
    """Return the most frequent defect; clear only if its lead over the second beats a coin toss."""
    if not found:
        return say("answer.failed.none", made=made) if made else say("answer.failed.no_garment")
    first, *others = pareto(Counter(f.defect for f in found))
    if others and others[0].times == first.times:
        equal = [bar.key for bar in (first, *others) if bar.times == first.times]
        defects = first_few([defect_word(each) for each in equal], ALIKE)
        return say("answer.failed.even", count=len(found), made=made, defects=defects,
                   times=first.times)  # fmt: skip
    both = first.times + (others[0].times if others else 0)
    chance = at_least(first.times, both, 0.5)
    (word,) = strengths([Comparison(chance if first.times >= OFTEN else 1.0, 0.0)])
    cause = pareto(Counter(f.cause for f in found if f.defect == first.key))[0]
    return say(
        "answer.failed.some",
        defect=defect_word(first.key),
        cause=cause_word(cause.key),
        times=cause.times,
        count=first.times,
        of=len(found),
        made=made,
        word=word.say(),
    )


@once
def _garments_by_press(period: Period) -> Counter[StationPress]:
    """Return the number of garments that ended in the shifts, by press."""
    counts: Counter[StationPress] = Counter()
    for facts in period.logs:
        for garment in facts.garments:
            if garment.own:
                counts[StationPress(facts.station, facts.jobs[garment.job].plan.press)] += (
                    garment.many
                )
    return counts


def presses_apart(period: Period) -> tuple[Standout[StationPress], ...]:
    """Return the presses with more defective garments than the others, beyond chance."""
    bad = Counter(press for press, _ in {(f.place.press, f.garment) for f in failures(period)})
    return stand_out(
        {s: {"": Share(min(bad[s], n), n)} for s, n in _garments_by_press(period).items()}
    )


NAMED = 6


class PieceKind(NamedTuple):
    """One kind of piece; `character` is a digit, or "" for a piece without one (a badge)."""

    material: str
    colour: str
    element: str
    character: str


def spoiled_pieces(period: Period) -> Counter[PieceKind]:
    """Return the pieces used up on scrapped garments; a piece not yet heated can be reused.

    A number counts digit by digit; elements that a garment lacks are not counted.
    """
    counts: Counter[PieceKind] = Counter()
    for facts in period.logs:
        for garment in facts.spoiled:
            for piece in _pieces_used(facts.jobs.get(garment.job), garment):
                of_number = piece.element == "number"
                for character in garment.number if of_number else ("",):
                    counts[PieceKind(piece.material, piece.colour, piece.element, character)] += 1
    return counts


def _pieces_used(job_start: JobStart | None, garment: ScrappedGarment) -> Iterator[Piece]:
    """Yield what was laid before each pass's last closing, without elements the roster row lacks.

    Rows of batches added later are not looked up.
    """
    if job_start is None:
        return
    lacks = dict(job_start.lacks).get(garment.line, ())
    for passage, pressed in garment.passes:
        if 0 <= passage < len(job_start.plan.passes):
            laid = _pieces_in_steps(job_start.plan, passage, LAYING, pressed)
            yield from (piece for piece in laid if piece.element not in lacks)


def scrapped_garments(period: Period) -> int:
    """Return the number of scrapped garments."""
    return sum(len(facts.spoiled) for facts in period.logs)


def buy(period: Period) -> Topic:
    """Return the answer to: what do we have to buy?"""
    counts, scrapped = spoiled_pieces(period), scrapped_garments(period)
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    titles = period.sheets()
    rows = tuple(
        row(titles.get(part.material, part.material), part.colour, _piece(part), count)
        for part, count in ordered
    )
    drawers = _drawers(counts, titles)
    if not scrapped:
        answer = say("answer.buy.none")
    elif not counts:
        answer = say("answer.buy.no_pieces", garments=scrapped)
    elif drawers:
        answer = say("answer.buy.digits", garments=scrapped, digits=first_few(drawers, NAMED))
    else:
        answer = say("answer.buy.garments", garments=scrapped)
    table = Table(head("material", "colour", "piece", "count"), rows)
    return Topic(Section("supplies", (answer,), table), "buy", (answer,), lambda: {
        "spoiled": [{**part._asdict(), "count": count} for part, count in ordered],
        "garments": scrapped,
    })  # fmt: skip


def _drawers(counts: Counter[PieceKind], titles: Mapping[str, str]) -> tuple[str, ...]:
    """Return the spoiled digits by material and colour: `black 6×1 8×2 (Smooth film)`."""
    found: dict[tuple[str, str], list[str]] = {}
    for part, count in sorted(counts.items()):
        if part.character:
            drawer = part.colour, titles.get(part.material, part.material)
            found.setdefault(drawer, []).append(f"{part.character}×{count}")
    return tuple(
        f"{colour} {' '.join(digits)} ({title})".strip()
        for (colour, title), digits in found.items()
    )


def _piece(part: PieceKind) -> Message | str:
    return part.character or element_word(part.element)
