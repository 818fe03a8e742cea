"""The last pages of an order: faults that no answer can mend, or its garments as worn."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import Fault, Message, say
from kiosk.catalog.model import Catalog
from kiosk.catalog.roster import COLUMNS
from kiosk.plan.refusals import refusal_words
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.order import Ordering
from kiosk.station.desk.jobs.order_doubts import capitalized
from kiosk.station.desk.jobs.proofing import garments_on_a_page
from kiosk.station.desk.sheet import Button, ProofPicture, Sheet
from kiosk.words import Words, fault_text

MOST_FAULTS = 4


def faults(desk: Desk, words: Words) -> Sheet:
    """Page of faults that no answer can mend."""
    ordering = desk.of(Ordering)
    reading = ordering.reading
    assert reading is not None
    return Sheet(
        title=words("order.cannot"),
        lines=tuple(
            capitalized(
                words.say(each) if isinstance(each, Message) else fault_text(each, words)
            )
            for each in _problems(ordering, desk.library.catalog, words)
        )[:MOST_FAULTS],
        main=Button(words("order.drop"), ordering.ask_to_drop),
    )  # fmt: skip


def in_row(fault: Fault, words: Words) -> Fault:
    """Return a roster fault by its row and column, as people call them."""
    place = words("order.row", row=fault.line) if fault.line else ""
    key = words(f"page.field.{fault.key}") if fault.key in COLUMNS else fault.key
    return replace(fault, file=place, line=0, key=key)


def _as_mendable(fault: Fault, file: str, words: Words) -> Message | Fault:
    """Return a fault as someone at the screen can mend it: by the row of their file, if any."""
    if fault.problem.id == "catalog.roster.no_column":
        field = say(f"page.field.{fault.key}") if fault.key in COLUMNS else None
        return say("order.no_column", field=field)
    row_fault = in_row(fault, words)
    return row_fault if Path(fault.file).name == file else replace(row_fault, file="")


def _problems(ordering: Ordering, catalog: Catalog, words: Words) -> Iterator[Message | Fault]:
    reading = ordering.reading
    assert reading is not None
    if reading.problem is not None:
        yield reading.problem
    if reading.status is not None:
        yield from (
            _as_mendable(fault, reading.order.file, words) for fault in reading.status.faults
        )
    if reading.refusal is not None:
        yield from refusal_words(reading.refusal, catalog)


def proof(desk: Desk, words: Words) -> Sheet:
    """Page of every garment as worn, a few on a screenful."""
    ordering = desk.of(Ordering)
    assert ordering.reading is not None
    garments = ordering.reading.proof
    most = garments_on_a_page(max((len(each.panels) for each in garments), default=1))
    pages = -(-len(garments) // most)
    first = (ordering.at % pages) * most

    def turn() -> None:
        ordering.at += 1

    label = words("order.proof_next", page=ordering.at % pages + 1, of=pages)
    return Sheet(
        title=words("order.proof", title=ordering.reading.order.title, count=len(garments)),
        main=Button(words("order.make"), ordering.finish),
        right=Button(label, turn) if pages > 1 else None,
        picture=ProofPicture(garments[first : first + most]),
    )
