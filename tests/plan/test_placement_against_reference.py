"""The placement compared with a second geometry, on made-up orders.

The orders are the same each time, from SEED; KIOSK_REFERENCE_PLACES=20000 tries more, with new
orders each time.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import pytest
import reference_place as reference
from place_samples import FACE

from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.read import read_catalog
from kiosk.catalog.roster import twin
from kiosk.plan.model import Piece, PlatenPart
from kiosk.plan.place.fitting import ElementBox, as_operator
from kiosk.plan.place.placement import Bed, PanelLayout, Team, class_of, lay_out, seam_ruler
from kiosk.plan.place.questions import platen_parts
from kiosk.plan.sizes import rooms_of

SEED = 6
MANY = os.environ.get("KIOSK_REFERENCE_PLACES")
ORDERS = int(MANY or 45)
SPORTS = read_catalog(Path(__file__).resolve().parents[2] / "recipes")[0].sports
PANELS = ("back", "front", "left-sleeve", "left-chest", "right-chest", "shorts", "hood")
ELEMENTS = (["name", "number"], ["number"], ["name"], ["crest", "number", "name"])
HEIGHTS = (None, None, None, 1.0, 2.5, 63 / 25.4, 8.0)
# Some from the second face: Ổ rises half a capital above one. Ñ as two code points is one letter.
LETTERS = [*"AEIONRST" * 4, *"ÅÑQJŻŞỔẲǕĢ", "N\u0303", *" '-.,"]


@dataclass(frozen=True)
class Order:
    """One panel on one platen, and its roster."""

    panel: str
    pieces: dict[str, tuple[int, float | None]]
    platen: tuple[float, float]
    sport: str
    roster: tuple[RosterLine, ...]

    @property
    def bed(self) -> Bed:
        pieces = tuple(
            Piece(f"{e}.{n}", e, n, layers, "film", "red", self.panel, height)
            for e, (layers, height) in self.pieces.items()
            for n in range(1, layers + 1)
        )
        return Bed(pieces, *self.platen, rooms_of(SPORTS, self.sport, [self.panel]))

    def slots(self, size: str) -> list[reference.Slot]:
        own = self.bed.room(self.panel, size)
        room = reference.Room(own.top, own.gap, own.widest, own.heights, own.across, own.least_name)
        return reference.slots(self.pieces, room, self.platen, self.names(size))

    def names(self, size: str) -> list[str]:
        """Return the names on garments of the same class as `size`."""
        return [x.name for x in self.roster if x.name and class_of(x.size) is class_of(size)]

    def spans(self, size: str, own_drop: bool = False) -> reference.Spans:
        names = self.names(size)
        return [each.any_text(names, own_drop) for each in self.slots(size)]

    def texts(self, line: RosterLine) -> dict[str, str]:
        text = {"name": line.name, "number": line.number, "crest": "crest"}
        return {element: text[element] for element in self.pieces}


def an_order(dice: Random) -> Order:
    def name() -> str:
        return "".join(dice.choices(LETTERS, k=dice.randint(0, 12))).strip()

    number = [str(n) for n in range(100)] + ["00", "07"]
    elements = dice.choice(ELEMENTS)
    return Order(
        dice.choice(PANELS),
        {e: (dice.choice((1, 1, 2, 3)), dice.choice(HEIGHTS)) for e in elements},
        (dice.choice((16.0, 15.75, 12.0, 6.0)), dice.choice((20.0, 18.0, 16.0, 13.5, 12.0))),
        dice.choice(("", "", *sorted(SPORTS))),
        tuple(
            RosterLine(str(n), dice.choice(("YM", "AL", "A3X")), name(), dice.choice(number))
            for n in range(dice.randint(1, 3))
        ),
    )


def orders() -> Iterable[Order]:
    dice = Random() if MANY else Random(SEED)
    return (an_order(dice) for _ in range(ORDERS))


def laid(order: Order, line: RosterLine) -> PanelLayout:
    team = Team(tuple((each.size, each.name) for each in order.roster))
    return lay_out(order.bed, order.panel, line.size, order.texts(line), FACE, team)


def check_box(
    order: Order, slot: reference.Slot, text: str, box: ElementBox, across: float
) -> None:
    """Check one element as worn, and as the operator sees it with the collar toward them."""
    apart, narrow, fits = reference.fit(text, slot.cut, slot.most)
    found = box.fitted
    assert (box.height, box.growth, found.fits) == (slot.cut.height, slot.cut.growth, fits), order
    assert apart - 0.0011 <= found.tracking <= apart + 1e-6, order  # to a thousandth
    assert narrow - 0.0011 <= found.condense <= narrow + 1e-6, order
    placing = reference.affine(1, 1, across, slot.middle + slot.cut.figure / 2)
    row = reference.row(text, slot.cut, found.tracking, found.condense)
    for toward, turn in ((False, reference.affine(1, 1, 0, 0)), (True, reference.TURN)):
        (turned,) = as_operator((box,), toward)
        middle = turn @ np.array([across, slot.middle, 1.0])
        assert (turned.x, turned.y) == pytest.approx(tuple(middle[:2])), order
        assert turned.turned is toward, order
        if row:
            ends = np.concatenate([reference.corners(c, turn @ placing @ m) for c, m in row])
            film = (*(ends.min(axis=0) - box.growth), *(ends.max(axis=0) + box.growth))
            assert turned.ink == pytest.approx(film), order
            assert turned.width == pytest.approx(film[2] - film[0]), order
        for letter, (character, onto) in zip(turned.letters, row, strict=True):
            corners = reference.corners(character, turn @ placing @ onto)
            low, high = corners.min(axis=0), corners.max(axis=0)
            assert (letter.x, letter.y) == pytest.approx(tuple((low + high) / 2)), order
            assert (letter.width, letter.height) == pytest.approx(tuple(high - low)), order


def check_platen(order: Order, line: RosterLine, box: ElementBox, seam: float) -> None:
    """Check that all ink lies where the platen presses evenly, unless a person is asked."""
    left, top, right, low = box.ink
    unfit = {each.element for each in laid(order, line).unfit}
    if box.element in unfit:
        return
    assert max(-left, right) <= order.platen[0] / 2 - reference.EDGE + 1e-6, order
    if box.element not in reference.ORDER:
        return  # round letters of the word drawn for it reach slightly beyond its box
    assert top + seam >= reference.EDGE - 1e-6, order
    assert low + seam <= order.platen[1] - reference.EDGE + 1e-6, order


def check_parts(order: Order, parts: tuple[PlatenPart, ...]) -> None:
    sizes = {class_of(each.size).value: each.size for each in order.roster}
    spans = {key: order.spans(size) for key, size in sizes.items()}
    whole = len(order.pieces)
    ends = sorted(set.union(*(reference.cuts(each, order.platen[1]) for each in spans.values())))
    assert [len(part.elements) for part in parts or ()] == (
        [b - a for a, b in zip(ends, (*ends[1:], whole), strict=True)] if len(ends) > 1 else []
    ), order
    for part, start in zip(parts, ends, strict=bool(parts)):
        under = set()
        for key, all_spans in spans.items():
            before = order.spans(sizes[key], own_drop=True)[:start]
            part_spans = all_spans[start : start + len(part.elements)]
            low, high = reference.seam_range(part_spans, before, order.platen[1])
            seam = part.seam_rulers[key]
            assert low - 1e-9 <= seam <= high + 1e-9, order
            near = (-reference.CLEAR - seam, order.platen[1] + reference.CLEAR - seam)
            names = [slot.cut.name for slot in order.slots(sizes[key])]
            under |= {
                n for n, (a, b) in zip(names, before, strict=False) if b > near[0] and a < near[1]
            }
        assert set(part.under) == under, order


def test_every_letter_is_where_a_second_geometry_puts_it() -> None:
    """design.md, section 7: turned by 180°, never mirrored; places: docs/decisions.md."""
    for order in orders():
        parts = platen_parts(order.bed, order.roster, FACE).get(order.panel, ())
        check_parts(order, parts)
        for line in order.roster:
            whole, texts = laid(order, line), order.texts(line)
            slots = [slot for slot in order.slots(line.size) if texts[slot.cut.name]]
            across = order.bed.room(order.panel, line.size).across
            for slot, box in zip(slots, whole.boxes, strict=True):
                check_box(order, slot, texts[box.element], box, across)
                part = next((p for p in parts if box.element in p.elements), None)
                seam = whole.seam_ruler if part is None else seam_ruler(part, line.size)
                check_platen(order, line, box, seam)


def test_a_number_that_reads_as_another_when_turned_has_a_twin() -> None:
    for number in (*(str(n) for n in range(1000)), "00", "06", "007", "069", ""):
        turned = reference.read_turned(number)
        assert twin(number) == (turned if turned != number else None), number
