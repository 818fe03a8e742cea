"""The screens through the whole way of a two-layer stack."""

from __future__ import annotations

from dataclasses import replace

import pytest
from view_cases import WORDS, Station, below, label, lines, move, one_layer, slabs, two_layers

from kiosk.catalog.base.quantities import Degrees, Pressure
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Phase
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.show.parts import Ink, RibbonState
from kiosk.run.state.commands import SayOpened
from kiosk.run.state.model import ConfirmMode


@pytest.fixture
def station() -> Station:
    station = Station(two_layers())
    station.answer()
    return station


def ready_for_top(station: Station) -> None:
    for _ in range(2):
        station.press()


def test_the_first_screen_says_how_the_garment_is_loaded(station: Station) -> None:
    shown = station.see()
    assert shown.kind is ScreenKind.HANDS
    assert move(shown) == "Load the garment"
    assert lines(shown) == [
        "back up, collar toward you",
        "side seams, zips and buttons off the platen",
        "threaded or flat, lint off",
    ]
    assert label(shown) == "Loaded and flat: close 5 s"
    assert below(shown) == "tap or short press; long press: choices"
    assert (shown.number, shown.size, shown.panel) == ("31", "AL", "back")
    assert (shown.nth, shown.count) == (1, 4)


def test_the_header_names_press_and_setting(station: Station) -> None:
    assert WORDS.say(station.see().setting) == "press-one · 300 °F medium-firm 15 s"


def test_a_press_in_celsius_shows_celsius_and_a_range_of_pressure() -> None:
    one = two_layers().passes[0]
    steps = tuple(replace(s, pressure_low=s.pressure_low and Pressure.MEDIUM) for s in one.steps)
    plan = two_layers(unit=Degrees.C, passes=(replace(one, steps=steps),))
    shown = Station(plan).answer()
    assert WORDS.say(shown.setting) == "press-one · 300 °C medium to medium-firm 15 s"


def test_laying_the_lower_pieces_names_colour_and_order(station: Station) -> None:
    shown = station.press()
    assert move(shown) == "Lay the lower pieces"
    assert lines(shown) == ["BLACK: name, then number", "liner off, edges even on both sides"]
    assert label(shown) == "Laid and straight: tack 2 s"
    assert WORDS.say(shown.sheet_word or shown.move) == "NO SHEET"
    assert slabs(shown) == ["carrier", "BLACK", "cloth", "pad"]
    assert [slab.coming for slab in shown.stack] == [True, True, False, False]
    assert {p.piece for p in shown.pieces if p.ink is Ink.NEXT} == {"name.1", "number.1"}
    assert {p.piece for p in shown.pieces if p.ink is Ink.AHEAD} == {"name.2", "number.2"}


def test_the_tack_counts_down_in_the_dark_and_says_what_follows(station: Station) -> None:
    station.press()
    shown = station.tap()
    assert shown.kind is ScreenKind.HEAT
    assert move(shown) == "TACK"
    assert lines(shown) == [
        "close it: the clock counts in",
        "open by hand at the tone",
        "300 °F medium-firm 2 s",
    ]
    assert shown.countdown is not None
    assert (shown.countdown.counting_in, shown.countdown.left) == (1.0, 2.0)
    assert label(shown) == "Then: 2 carriers off, hot"
    assert below(shown) == "hands clear while the press is closed"
    assert (shown.bar.owner, shown.bar.meaning) == (BarOwner.NOBODY, None)
    assert slabs(shown) == ["platen", "carrier", "BLACK", "cloth", "pad"]
    assert (shown.back, shown.hold, shown.opened) == (False, False, True)


def test_the_top_asks_for_an_even_border_before_the_second_tack(station: Station) -> None:
    ready_for_top(station)
    shown = station.see()
    assert move(shown) == "Carriers off, lay the top"
    assert lines(shown) == [
        "top WHITE: name, then number",
        "same border on all four sides?",
        "liner off; the last moment to move it",
    ]
    assert shown.border_check
    assert shown.peel is Peel.HOT
    assert shown.peel_line is not None
    assert WORDS.say(shown.peel_line) == "2 carriers off, at once"
    assert label(shown) == "Carriers off, top even: tack 2 s"
    assert slabs(shown) == ["carrier", "WHITE", "carrier comes off", "BLACK", "cloth", "pad"]
    assert [m.phase for m in shown.ribbon if m.state is RibbonState.NOW] == [
        Phase.REMOVE_CARRIER,
        Phase.LAY_TOP,
    ]


def test_the_final_of_a_stack_says_that_there_is_nothing_to_peel(station: Station) -> None:
    for _ in range(3):
        station.press()
    shown = station.see()
    assert move(shown) == "Carriers off, sheet on"
    assert label(shown) == "Carriers off, sheet on: close 15 s"
    assert shown.sheet is True
    assert slabs(shown)[0] == "sheet goes on"
    shown = station.tap()
    assert move(shown) == "FINAL PRESS"
    assert WORDS.say(shown.sheet_word or shown.move) == "SHEET ON"
    assert shown.peel is None
    assert shown.peel_line is not None
    assert WORDS.say(shown.peel_line) == "nothing to peel: carriers are already off"
    assert slabs(shown) == ["platen", "sheet", "WHITE", "BLACK", "cloth", "pad"]
    assert label(shown) == "Then: look it over"
    assert shown.countdown is not None
    assert shown.countdown.most == 15.0
    assert "opens by itself at the tone" in lines(shown)


def test_the_inspection_takes_the_sheet_off_and_leads_to_the_next(station: Station) -> None:
    for _ in range(4):
        station.press()
    shown = station.see()
    assert move(shown) == "Sheet off, look it over"
    assert lines(shown) == [
        "on the back: number, name, size as the ticket",
        "digits in order, WHITE on top, borders even",
        "edges down; no sheet, carrier or marks",
    ]
    assert shown.inspecting
    assert shown.inspect_number == "31"
    assert label(shown) == "Good: next garment"
    assert shown.sheet is None
    following = station.tap()
    assert (following.number, following.nth) == ("48", 2)
    assert following.back


def test_the_light_screen_begins_with_open_until_a_hand_moves(station: Station) -> None:
    shown = station.press()
    assert shown.open_since == pytest.approx(0.1)
    shown = station.wait(3)
    assert [WORDS.say(line) for line in shown.open_lines] == [
        "OPEN",
        "3 s since the tone",
        "use the press's own release",
    ]
    assert "safe" not in " ".join(WORDS.say(line).lower() for line in shown.open_lines)
    assert station.press().open_since == pytest.approx(0.1)


def test_a_declared_opening_needs_no_open(station: Station) -> None:
    station.press()
    station.clock += 2
    station.do(SayOpened())
    assert station.see().open_since is None


def test_a_trainee_confirms_each_phase_separately() -> None:
    station = Station(two_layers(), ConfirmMode.EACH)
    station.answer()
    for _ in range(2):
        station.press()
    shown = station.see()
    assert move(shown) == "Take the carriers off"
    assert label(shown) == "Carriers off: lay the top next"
    assert slabs(shown) == ["carrier comes off", "BLACK", "cloth", "pad"]
    shown = station.tap()
    assert move(shown) == "Lay the top pieces"
    assert label(shown) == "Even all round: tack 2 s"
    assert shown.open_since is None


def test_two_colours_are_named_each_with_its_piece() -> None:
    shown = Station(one_layer(Peel.HOT)).answer()
    assert move(shown) == "Load, lay the pieces"
    assert lines(shown)[-1] == "RED name, then NAVY number"
    assert label(shown) == "Loaded, laid straight: close 15 s"
