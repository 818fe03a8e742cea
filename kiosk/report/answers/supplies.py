"""What scrap has used up: digits, names and garments to buy again. Never who wears them."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.report.answers.results import pieces_of
from kiosk.report.content import Section, Table, Topic, head, row, some
from kiosk.report.period import Period

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
    """What is to buy?"""
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
    if part.character:
        return part.character
    known = part.element in ("name", "number")
    return say(f"element.{part.element}") if known else part.element
