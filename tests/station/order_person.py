"""A person who takes a customer's file at the real window: doubt after doubt, by touches."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

from station_driver import Person, lay_out
from station_harness import Bench

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "catalog"))

from customer_files import Answered, write_all

from kiosk.station.desk.jobs.order import Ordering
from kiosk.station.desk.jobs.order_reading import OrderStep
from kiosk.station.desk.sheet import Button

COLUMNS = {
    "Rückennummer": "number",
    "Spielername": "name",
    "Größe": "size",
    "Bemerkung": "not used",
}


def orders_shop(place: Path) -> Path:
    """Lay out a shop with one small job and three files in its inbox; each test copies it."""
    shop = lay_out(place, "raft-polo")
    write_all(shop / "inbox")
    return shop


def at(bench: Bench, shop: Path, place: Path) -> Person:
    """Return a person at the list of jobs in a copy of the shop."""
    shutil.copytree(shop, place, dirs_exist_ok=True)
    person = Person(bench, place)
    person.first_start()
    return person


def ordering(person: Person) -> Ordering:
    return person.station.desk.of(Ordering)


TWO_LAYERS = ("Name and number in two layers", "Piqué", "heron", "Film and colours are right")


def to_doubts(person: Person, file: str, *what: str) -> None:
    """Go from the jobs to the first doubt: choose the file, its columns, and `what` it is."""
    person.choose("New order", file)
    if ordering(person).step is OrderStep.DOUBT:  # which sheet
        assert "Order" in person.texts()
        person.choose("Yes, that is right")
    while ordering(person).step is OrderStep.COLUMNS:
        begun = next(
            b.label for b in person.buttons() if b.label.startswith(("Say", "The columns"))
        )
        heading = re.search("“(.*)”", begun)
        if heading is None:
            person.choose(begun)
        else:
            person.choose(begun, COLUMNS[heading[1]])
    person.choose(*(what or TWO_LAYERS))


def cause(person: Person) -> tuple[int, str, str]:
    """Return the row, column and cause of the current doubt."""
    fault = ordering(person).doubts[0]
    return fault.line, fault.key, fault.cause


def answer(person: Person, text_given: str) -> None:
    """Answer the current doubt with `text_given`, by a button or by keys."""
    key = ordering(person).doubts[0].key
    text = text_given.strip('"')
    labels = {button.label for button in person.buttons()}
    if text_given == "leave-out":
        out = {"Leave this row out", "Yes, the total: leave it out"}
        person.choose(next(iter(out & labels)))
    elif text_given == "keep":
        person.choose(next(b for b in labels if b.startswith(("Right", "Yes"))))
    elif text in labels:
        person.choose(text)
    else:
        person.choose("Say what it is" if "Say what it is" in labels else "Something else")
        person.choose(text) if key == "size" else person.choose(*text, "Enter it")


def doubts(person: Person, answers: Answered) -> Iterator[tuple[int, str, str]]:
    """Answer doubt after doubt, yielding each once it is answered."""
    while ordering(person).step is OrderStep.DOUBT:
        doubt = cause(person)
        texts = person.texts()
        assert doubt[0] == 0 or f"Row {doubt[0]}" in texts
        answer(person, answers[doubt])
        yield doubt


def choices(person: Person) -> tuple[Button, ...]:
    """Return the page's choices in order."""
    sheet = person.station.sheet
    assert sheet is not None
    return sheet.sheet.choices


def line_of(person: Person, begun: str) -> str:
    """Return the second line of the key whose label begins with `begun`."""
    return next(key.line for key in choices(person) if key.label.startswith(begun))


def key_names(person: Person) -> set[str]:
    """Return the labels of the keys up to a comma: a film's title may continue."""
    return {button.label.partition(",")[0] for button in person.buttons()}
