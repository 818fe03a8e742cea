"""A garment that was off the press since its last heat is loaded again first."""

from __future__ import annotations

from dataclasses import replace

import pytest
from view_cases import (
    COLD,
    STACKED,
    WARM,
    WORDS,
    Station,
    hand,
    hot,
    lines,
    piece,
    plan_of,
    two_layers,
)

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import PeelPlace, Phase, Plan
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state import commands as c
from kiosk.run.state.commands_shift import SayPressed

AGAIN = "load it again: "
HOT, AT_ONCE = "HOT PEEL", "2 carriers off, at once"
COOLED = "carriers no longer hot: peel low and slow"


def peel(shown: View) -> tuple[str, str]:
    """The peel mark's word and the line beside it."""
    mark = "" if shown.peel_word is None else WORDS.say(shown.peel_word)
    return mark, "" if shown.peel_line is None else WORDS.say(shown.peel_line)


def tacked(plan: Plan | None = None) -> Station:
    """The first garment is pre-pressed and tacked once; its carriers come off next."""
    station = Station(plan or two_layers())
    station.answer()
    station.press()
    station.press()
    return station


def ring(station: Station) -> View:
    """Run the current closing to its tone."""
    shown = station.see()
    assert shown.countdown is not None
    return station.wait(shown.countdown.left + 0.1)


def until_called(station: Station, ticket: str) -> View:
    """Press the others until this ticket is at the press again."""
    shown = station.answer()
    for _ in range(200):
        if shown.ticket == ticket and shown.kind is ScreenKind.HANDS:
            return shown
        if shown.bar.meaning is None or shown.bar.since > station.clock:
            station.wait(5.0)  # for the rack
        else:
            station.tap()
        if station.see().kind is ScreenKind.HEAT:
            ring(station)
        shown = station.answer()
    raise AssertionError(f"{ticket} is not called")


def test_right_after_its_heat_it_is_still_on_the_platen() -> None:
    shown = tacked().see()
    assert shown.kind is ScreenKind.HANDS
    assert not [line for line in lines(shown) if line.startswith(AGAIN)]


def test_put_aside_after_a_tack_it_is_loaded_again_first() -> None:
    station = tacked()
    first = station.see().ticket
    station.do(c.PutAside("later"))
    shown = until_called(station, first)
    assert lines(shown)[0].startswith(AGAIN)
    assert "collar" in lines(shown)[0]
    station.tap()
    assert not [line for line in lines(ring(station)) if line.startswith(AGAIN)]


@pytest.mark.parametrize("pause", [1.0, 300.0])
def test_a_hold_takes_nothing_off_the_press(pause: float) -> None:
    station = tacked()
    station.do(c.PutOnHold("phone"))
    station.wait(pause)
    station.tap()
    shown = station.see()
    assert shown.kind is ScreenKind.HANDS
    assert not [line for line in lines(shown) if line.startswith(AGAIN)]


def test_a_start_after_a_power_cut_takes_nothing_off_the_press() -> None:
    station = tacked()
    station.boot, station.clock = "boot-2", station.clock + 400.0
    station.do(c.Start("0.1"))
    station.do(c.ReadSetting(300))
    shown = station.answer()
    assert shown.kind is ScreenKind.HANDS
    assert not [line for line in lines(shown) if line.startswith(AGAIN)]


def test_a_closing_that_was_entered_by_hand_takes_nothing_off_the_press() -> None:
    station = Station(two_layers())
    station.answer()
    station.press()
    station.wait(40.0)
    station.do(SayPressed(4.0))
    shown = station.see()
    assert not [line for line in lines(shown) if line.startswith(AGAIN)]


def opened_too_soon(station: Station, thinks: float) -> View:
    """Opened right at the start of its time; "closed" is answered after `thinks` seconds."""
    counting_in = station.tap().countdown
    assert counting_in is not None
    station.wait(counting_in.counting_in + 0.2)
    station.do(c.SayOpened())
    station.wait(thinks)
    station.do(c.SayClosed(closed=True))
    return station.see()


@pytest.mark.parametrize("thinks", [0.5, 1.5, 4.0])
def test_opened_too_soon_it_stays_on_the_platen_however_long_the_answer_takes(
    thinks: float,
) -> None:
    station = Station(two_layers())
    station.answer()
    shown = opened_too_soon(station, thinks)
    assert not [line for line in lines(shown) if line.startswith(AGAIN)]


@pytest.mark.parametrize("thinks", [0.5, 1.5])
def test_opened_too_soon_its_carriers_are_hot(thinks: float) -> None:
    """A bond is above 65 °C for 30 s and more after opening (../shared/heat.md)."""
    station = Station(two_layers())
    station.answer()
    station.press()
    assert peel(opened_too_soon(station, thinks)) == (HOT, AT_ONCE)


def test_straight_after_its_tack_the_carriers_come_off_hot() -> None:
    assert peel(tacked().see()) == (HOT, AT_ONCE)


def test_put_aside_after_a_tack_its_carriers_are_no_longer_hot() -> None:
    """Lifted, the bond is at 65 °C 30 to 40 s after opening (../shared/heat.md)."""
    station = tacked()
    first = station.see().ticket
    station.do(c.PutAside("later"))
    assert peel(until_called(station, first)) == ("", COOLED)
    assert peel(station.press()) == (HOT, AT_ONCE)  # this is its next tack


@pytest.mark.parametrize(("held", "told"), [(20.0, (HOT, AT_ONCE)), (300.0, ("", COOLED))])
def test_held_after_a_tack_it_cools_on_the_pad(held: float, told: tuple[str, str]) -> None:
    """On the pad it is at 65 °C after 33 to 69 s (../shared/heat.md, pad at room and at 70 °C)."""
    station = tacked()
    station.do(c.PutOnHold("phone"))
    station.wait(held)
    station.tap()
    assert peel(station.see()) == told


def warm_tacks() -> Plan:
    """The same stack in film whose tack is peeled warm."""
    plan = two_layers()
    steps = tuple(
        replace(step, peel=WARM) if step.phase is Phase.REMOVE_CARRIER else step
        for step in plan.passes[0].steps
    )
    return replace(plan, passes=(replace(plan.passes[0], steps=steps),))


def test_a_tack_that_is_peeled_warm_is_not_peeled_at_once() -> None:
    station = tacked(warm_tacks())
    assert peel(station.see()) == ("WARM PEEL", "2 carriers off, when warm")


def test_loaded_again_after_others_its_number_is_read_first() -> None:
    """Several half-done garments may be aside; the one leaving the press is racked first."""
    station = tacked(mixed(COLD))
    first = station.see().ticket
    station.do(c.PutAside("later"))
    for _ in range(60):
        shown = station.see()
        if shown.ticket == first:
            break
        if shown.ask is not None:
            station.answer()
        elif shown.kind is ScreenKind.HEAT:
            ring(station)
        elif shown.bar.meaning is None or any(0 < c.from_seconds < 5 for c in shown.chips):
            station.wait(6.0)  # for the rack
        else:
            station.tap()
    shown = station.see()
    assert shown.kind is ScreenKind.ASK
    assert WORDS.say(shown.move) == "Rack 75 first. Back at the press"
    assert lines(shown)[0] == "Read the number on the garment and enter it."
    assert station.answer().number == "31"


def mixed(peel: Peel) -> Plan:
    """A two-layer number; beside it a one-layer name whose carrier waits for the rack."""
    pieces = (*STACKED[2:], piece("name.1", 1, "red"))
    plan = plan_of(
        (
            hand(Phase.LOAD),
            hot(Phase.PRE_PRESS, 5),
            hand(Phase.LAY, "number.1"),
            hot(Phase.TACK, 2, "number.1"),
            hand(Phase.REMOVE_CARRIER, "number.1", peel=Peel.HOT),
            hand(Phase.LAY_TOP, "number.2"),
            hot(Phase.TACK, 2, "number.2"),
            hand(Phase.REMOVE_CARRIER, "number.2", peel=Peel.HOT),
            hand(Phase.LAY, "name.1"),
            hot(Phase.FINAL, 15, "number.1", "number.2", "name.1"),
            hand(Phase.PEEL, "name.1", peel=peel),
            hand(Phase.INSPECT),
        ),
        pieces,
    )
    return replace(plan, passes=(replace(plan.passes[0], place=PeelPlace.RACK),))
