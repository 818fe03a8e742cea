"""Every kind of pass, with both kinds of operator: every text exists, and is short."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import product

import pytest
from view_cases import (
    COLD,
    HOT,
    WARM,
    WORDS,
    Station,
    hand,
    hot,
    label,
    lines,
    messages,
    move,
    one_layer,
    piece,
    plan_of,
    slabs,
)

from kiosk.plan.model import PeelPlace, Phase, Plan, Step
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state.model import ConfirmMode

PEELS = [(), (HOT,), (WARM,), (COLD,), (HOT, WARM), (HOT, COLD), (WARM, COLD)]
MOST_WORDS, MOST_LABEL, MOST_LINE = 5, 44, 48


def stacked(layers: int, tack_sheet: bool, rest: bool, pre_press: bool, final_sheet: bool) -> Plan:
    """A stacked number; with `rest`, a one-layer name is laid after the last tack."""
    colours = ("black", "white", "gold")
    names = [f"number.{n}" for n in range(1, layers + 1)]
    pieces = [piece(n, layers, c) for n, c in zip(names, colours, strict=False)]
    steps = [hand(Phase.LOAD), *([hot(Phase.PRE_PRESS, 5)] if pre_press else [])]
    for n, name in enumerate(names):
        steps += _layer(name, Phase.LAY_TOP if n else Phase.LAY, tack_sheet)
    singles = ("name.1",) if rest else ()
    steps += [hand(Phase.LAY, *singles)] if rest else []
    steps += [hand(Phase.COVER, *names)] if final_sheet else []
    steps += [hot(Phase.FINAL, 15, *names, sheet=final_sheet)]
    steps += [hand(Phase.PEEL, *singles, peel=HOT)] if rest else []
    named = (*pieces, piece("name.1", 1, "red")) if rest else tuple(pieces)
    return plan_of((*steps, hand(Phase.INSPECT)), named)


def _layer(name: str, phase: Phase, sheet: bool) -> list[Step]:
    return [
        hand(phase, name),
        hot(Phase.TACK, 2, name, sheet=sheet),
        hand(Phase.REMOVE_CARRIER, name, peel=HOT),
    ]


def plans() -> Iterator[Plan]:
    yes_no = (False, True)
    for layers in (2, 3):
        for sheet, rest, bare, cover in product(yes_no, yes_no, yes_no, yes_no):
            yield stacked(layers, sheet, rest, bare, cover)
    for peels, place in product(PEELS, PeelPlace):
        plan = one_layer(*peels)
        waits = bool(peels) and peels[-1] is not HOT
        if waits or place is PeelPlace.PRESS:
            yield replace(plan, passes=(replace(plan.passes[0], place=place),))


def way(plan: Plan, confirm: ConfirmMode) -> Iterator[View]:
    """All views on the way of two garments, and the view after touching each chip."""
    station = Station(plan, confirm)
    for _ in range(40):
        yield station.see()
        shown = station.answer()
        yield from (station.see(chip.ticket) for chip in shown.chips)
        yield shown
        if shown.bar.meaning is None:
            shown = station.wait(60)
        if shown.kind is ScreenKind.DONE or shown.nth > 2:
            return
        shown = station.tap()
        while shown.kind is ScreenKind.HEAT:
            yield shown
            shown = station.wait(1)


@cache
def every_way(confirm: ConfirmMode) -> tuple[tuple[Plan, View], ...]:
    """All views on the way of every plan, walked once for the tests that look at them."""
    return tuple((plan, shown) for plan in plans() for shown in way(plan, confirm))


@pytest.mark.parametrize("confirm", list(ConfirmMode))
def test_every_text_of_a_view_exists_and_is_short(confirm: ConfirmMode) -> None:
    count = 0
    for _, shown in every_way(confirm):
        for message in messages(shown):
            assert WORDS.say(message).strip(), message
            count += 1
        assert len(move(shown).split()) <= MOST_WORDS, move(shown)
        assert len(label(shown)) <= MOST_LABEL, label(shown)
        assert len(shown.lines) <= 3
        assert all(len(WORDS.say(line)) <= MOST_LINE for line in shown.lines)
    assert count > 10_000


@pytest.mark.parametrize("confirm", list(ConfirmMode))
def test_no_view_forgets_the_sheet_of_the_next_closing(confirm: ConfirmMode) -> None:
    for plan, shown in every_way(confirm):
        if shown.kind is ScreenKind.HEAT:
            on = any(step.sheet for step in plan.passes[0].steps if step.phase is shown.phase)
            assert shown.sheet is on


def test_a_tack_with_the_sheet_says_so_in_move_and_bar() -> None:
    station = Station(stacked(2, tack_sheet=True, rest=True, pre_press=False, final_sheet=True))
    shown = station.answer()
    assert move(shown) == "Load, lower layer, sheet on"
    assert label(shown) == "Loaded, laid, sheet on: tack 2 s"
    shown = station.press()
    assert move(shown) == "Carrier off, top, sheet on"
    shown = station.press()
    assert move(shown) == "Carrier off, rest, sheet on"
    assert lines(shown)[0] == "the sheet comes off first"
    assert slabs(shown) == [
        "sheet goes on",
        "carrier", "RED name",
        "carrier comes off", "WHITE number", "BLACK number",
        "cloth", "pad",
    ]  # fmt: skip
    assert [slab.column for slab in shown.stack] == [0, 0, 0, 1, 1, 1, 0, 0]
    shown = station.press()
    assert move(shown) == "Peel hot, look"
    assert lines(shown)[0] == "the sheet comes off first"


def test_of_three_layers_only_the_last_is_the_top() -> None:
    station = Station(stacked(3, tack_sheet=False, rest=False, pre_press=False, final_sheet=False))
    station.answer()
    shown = station.press()
    assert move(shown) == "Carrier off, lay next layer"
    assert "top" not in lines(shown)[0]
    shown = station.press()
    assert move(shown) == "Carrier off, lay the top"
    assert lines(shown)[0].startswith("top ")
