"""What lies on the platen over several passes, which garment it is, and the cost of a view."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import Any

from view_cases import HOT, LINES, WORDS, Station, hand, hot, one_layer, piece, plan_of, two_layers

from kiosk.plan.model import Phase, Plan
from kiosk.run.facts.tickets import pieces_of
from kiosk.run.show.drawing import DrawnPanel, closed_stack, laid_before, open_stack, pieces
from kiosk.run.show.lines import laying_order
from kiosk.run.show.parts import Ink, SlabKind
from kiosk.run.state.model import Garment


def two_groups() -> Plan:
    """The name in a first closing group of the back, the number in a second; then the front."""
    parts = (piece("name.1", 1, "red"), piece("number.1", 1, "navy"))
    plan = plan_of((), (*parts, replace(parts[1], panel="front", colour="gold")))
    one = plan.passes[0]
    steps = [
        (
            *((hand(Phase.LOAD),) if n == 0 else ()),
            hand(Phase.LAY, name),
            hot(Phase.FINAL, 15, name),
            hand(Phase.PEEL, name, peel=HOT),
            hand(Phase.INSPECT),
        )
        for n, name in enumerate(("name.1", "number.1", "number.1"))
    ]
    passes = (
        replace(one, steps=steps[0], carriers=("name.1",)),
        replace(one, steps=steps[1], group=1, carriers=("number.1",)),
        replace(one, panel="front", steps=steps[2], carriers=("number.1",)),
    )
    return replace(plan, passes=passes, runs=((0, 1), (2,)))


def panel(plan: Plan, nth: int) -> DrawnPanel:
    """The panel of a pass as a scene has it."""
    passage = plan.passes[nth]
    return DrawnPanel(passage, pieces_of(plan, passage), tuple(laid_before(plan, passage)))


def test_an_earlier_group_of_the_panel_lies_there_without_its_carrier() -> None:
    plan = two_groups()
    shown = closed_stack(panel(plan, 1), 1, sheet_on=False)
    assert [slab.kind for slab in shown] == [
        SlabKind.PLATEN, SlabKind.FILM, SlabKind.CARRIER, SlabKind.FILM, SlabKind.CLOTH,
        SlabKind.PAD,
    ]  # fmt: skip
    films = [slab for slab in shown if slab.kind is SlabKind.FILM]
    assert [(f.column, WORDS.say(f.label)) for f in films] == [(0, "RED name"), (1, "NAVY number")]
    inks = {p.piece: p.ink for p in pieces(panel(plan, 1), 0, 0)}
    assert inks == {"name.1": Ink.LAID, "number.1": Ink.NEXT}


def test_a_film_without_a_colour_is_labelled_by_its_element() -> None:
    made = two_groups()
    plan = replace(made, pieces=(replace(made.pieces[0], colour=""), *made.pieces[1:]))
    slabs = closed_stack(panel(plan, 1), 1, sheet_on=False)
    films = [s for s in slabs if s.kind is SlabKind.FILM]
    assert [WORDS.say(film.label) for film in films] == ["name", "NAVY number"]
    assert WORDS.say(laying_order(plan.pieces[:2], "lay")) == "in this order: name; NAVY, number"


def test_a_panel_has_its_own_pieces_though_names_are_the_same() -> None:
    plan = two_groups()
    assert [(p.piece, p.colour) for p in pieces(panel(plan, 2), 0, 0)] == [("number.1", "gold")]
    films = [s.colour for s in open_stack(panel(plan, 2), 0, 0, False) if s.colour]
    assert films == ["gold"]


def test_a_peeled_carrier_is_gone_from_the_stack() -> None:
    plan = one_layer(HOT)
    steps = plan.passes[0].steps
    peel = next(n for n, step in enumerate(steps) if step.phase is Phase.PEEL)
    slabs = [s.kind for s in open_stack(panel(plan, 0), peel, peel, False)]
    assert slabs.count(SlabKind.CARRIER) == 2
    after = [s.kind for s in open_stack(panel(plan, 0), peel + 1, peel + 1, False)]
    assert SlabKind.CARRIER not in after


def test_garments_are_counted_in_each_run() -> None:
    station = Station(two_groups(), lines=LINES[:2])
    seen = []
    for _ in range(6):
        shown = station.answer()
        seen.append((shown.number, shown.panel, shown.nth, shown.count))
        station.press()
        station.tap()
    assert seen == [
        ("31", "back", 1, 2),
        ("31", "back", 1, 2),
        ("48", "back", 2, 2),
        ("48", "back", 2, 2),
        ("31", "front", 1, 2),
        ("48", "front", 2, 2),
    ]


def calls(station: Station) -> int:
    """The number of Python functions that one view calls."""
    count = 0

    def note(frame: Any, event: str, arg: Any) -> None:
        nonlocal count
        count += event == "call"

    sys.setprofile(note)
    try:
        station.see()
    finally:
        sys.setprofile(None)
    return count


def test_a_view_while_counting_does_no_more_work_for_a_larger_job() -> None:
    counted = []
    for garments in (4, 4, 400):  # the first one warms up: a class writes its methods at first use
        lines = tuple(Garment(str(n), str(n), "AL", "x") for n in range(1, garments + 1))
        station = Station(two_layers(), lines=lines)
        station.answer()
        station.tap()
        station.clock += 2
        counted.append(calls(station))
    assert counted[1] == counted[2]
    assert counted[1] < 600
