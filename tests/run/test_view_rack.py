"""The screens of garments waiting for their peel: at the press, in hand, on the rack."""

from __future__ import annotations

from dataclasses import replace

import pytest
from view_cases import COLD, HOT, LINES, WARM, WORDS, Station, below, label, lines, move, one_layer

from kiosk.plan.model import PeelPlace, Plan
from kiosk.run.facts.peels import PeelTime, PeelZone
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.show.parts import Chip
from kiosk.run.show.sentences import zone_words
from kiosk.run.show.view import chips, next_change
from kiosk.run.state.commands import SayClosed, SayOpened
from kiosk.run.state.event import Now
from kiosk.run.state.model import ConfirmMode, Garment


@pytest.fixture
def station() -> Station:
    """Three garments of a cold-peel job pressed, the fourth one loaded."""
    station = Station(one_layer(COLD))
    station.answer()
    for _ in range(3):
        station.press()
        station.clock += 20
        station.answer()
    return station


def words(shown: tuple[Chip, ...]) -> list[str]:
    return [WORDS.say(chip.line) for chip in shown]


def window(first: float, last: float) -> PeelTime:
    """A sheet's own window, in seconds from now."""
    return PeelTime(first, last, 10.0, False, low=first, high=last, window=True)


def chip_text(time: PeelTime) -> str:
    return WORDS.say(zone_words("chip", time))


def test_the_final_of_a_cold_peel_says_where_the_garment_goes() -> None:
    station = Station(one_layer(COLD))
    station.answer()
    shown = station.tap()
    assert shown.peel is COLD
    assert WORDS.say(shown.peel_word or shown.move) == "COLD PEEL"
    assert WORDS.say(shown.peel_line or shown.move) == "then flat on the rack"
    assert label(shown) == "Then: flat on the rack, load 48"


def test_the_garment_before_is_racked_by_name_with_the_next_closing(station: Station) -> None:
    shown = station.see()
    assert move(shown) == "Rack 5, load, lay 75"
    assert lines(shown)[0] == "5 flat on the rack, carrier on"
    assert label(shown) == "5 racked, 75 laid: close 15 s"


def test_the_rack_is_a_row_of_chips_oldest_first(station: Station) -> None:
    shown = station.see()
    assert [chip.number for chip in shown.chips] == ["31", "48", "5"]
    assert [chip.zone for chip in shown.chips] == [PeelZone.NOW, PeelZone.SOON, PeelZone.SOON]
    assert [WORDS.say(chip.word) for chip in shown.chips] == ["NEXT COLD", "COLD", "COLD"]
    assert words(shown.chips) == ["peel now", "in 5 s", "in 40 s"]
    assert shown.chips[0].share == 1.0
    assert 0 < shown.chips[2].share < shown.chips[1].share < 1


def test_the_rack_is_looked_at_as_each_is_due_and_else_once_a_second(station: Station) -> None:
    began = station.clock
    due = [began + chip.from_seconds for chip in station.see().chips if chip.from_seconds > 0]
    looked = []
    while station.clock < max(due):
        station.clock = next_change(station.see(), station.clock)
        looked.append(station.clock)
    assert len(due) == 2
    assert all(min(abs(each - at) for each in looked) < 1e-6 for at in due)
    assert len(looked) <= max(due) - began + len(due) + 1


def test_a_sheets_window_shows_its_start_and_its_end_only_when_near() -> None:
    """Rounded inward to fives: never shown too early, nor past the end."""
    far = window(41.0, 400.0)
    assert chip_text(far) == "in 45 s"
    assert chip_text(window(130.0, 800.0)) == "in 3 min"
    assert chip_text(window(7.2, 19.2)) == "in 10 s, by 15 s"
    assert chip_text(replace(far, uncertain=True)) == "in about 45 s"
    assert chip_text(window(-1.0, 400.0)) == "peel now"
    assert chip_text(window(-1.0, 59.0)) == "peel now: 55 s left"
    assert chip_text(window(-1.0, 4.9)) == "now: nearly late"
    assert chip_text(window(-30.0, -0.1)) == "late: peel now"
    assert chip_text(replace(window(-1.0, 59.0), uncertain=True)) == "about time to peel"


def test_while_the_press_is_closed_the_bar_belongs_to_the_rack(station: Station) -> None:
    shown = station.tap()
    assert label(shown) == "Then: flat on the rack"
    assert shown.bar.owner is BarOwner.NOBODY
    shown = station.wait(6)
    assert shown.kind is ScreenKind.HEAT
    assert shown.number == "75"
    assert label(shown) == "Number 31: peeled, good"
    assert below(shown) == "press closed: tap when peeled"
    assert shown.bar.owner is BarOwner.RACK
    assert [chip.number for chip in station.tap().chips] == ["48", "5"]


def test_nothing_left_to_load_leaves_the_bar_to_the_rack(station: Station) -> None:
    shown = station.press()
    assert move(shown) == "Peel cold, look"
    assert (shown.number, label(shown)) == ("31", "Number 31: peeled, good")
    assert below(shown) == "nothing left to load: tap when peeled"
    station.tap()
    shown = station.tap()
    assert move(shown) == "Wait, peel cold"
    assert lines(shown) == ["in 25 s, supplier's sheet"]
    assert shown.bar.meaning is None
    assert label(shown) == "Then: number 5, cold peel"
    assert below(shown) == "too early to peel"


def test_while_waiting_for_the_rack_the_garment_on_the_platen_is_racked_first() -> None:
    """It would keep heating there, while its wait is counted as if it were lifted."""
    station = Station(one_layer(COLD), lines=LINES[:2])
    station.answer()
    station.press()
    shown = station.press()
    assert (shown.number, move(shown)) == ("31", "Wait, peel cold")
    assert lines(shown)[0] == "48 flat on the rack, carrier on"
    station.wait(44.0)
    assert lines(station.see())[0] == "48 flat on the rack, carrier on"
    shown = station.tap()
    assert (shown.number, lines(shown)[0]) == ("48", "in 15 s, supplier's sheet")


def test_a_touched_chip_is_shown_for_its_result_and_forward_waits(station: Station) -> None:
    oldest = station.see().chips[0].ticket
    shown = station.see(oldest)
    assert (shown.kind, shown.number, shown.inspecting) == (ScreenKind.HANDS, "31", True)
    assert shown.bar.meaning is None
    assert label(shown) == "Number 31: choose its result"


def test_a_chip_touched_while_hot_leaves_the_dark_screen(station: Station) -> None:
    oldest = station.see().chips[0].ticket
    station.tap()
    shown = station.see(oldest)
    assert (shown.kind, shown.number) == (ScreenKind.HEAT, "75")
    assert (shown.inspecting, shown.inspect_number) == (True, "31")


def test_a_late_garment_says_so(station: Station) -> None:
    station.clock += 200
    assert words(station.see().chips)[0] == "late: peel now"


def test_after_a_reboot_the_ranges_are_approximate(station: Station) -> None:
    job = station.state.job
    assert job is not None
    booted = Now("boot-2", 5.0, station.now.wall + 7)
    assert words(chips(job, booted))[:2] == ["about time to peel", "about time to peel"]


def test_a_wall_clock_set_back_over_a_reboot_does_not_stretch_a_wait(station: Station) -> None:
    """The machine has been up as long as its own clock shows (clock_gettime(2), CLOCK_BOOTTIME),
    and the garment was opened before that.
    """
    job = station.state.job
    assert job is not None
    yesterday = station.now.wall - 86400.0
    up = [Now("boot-2", seconds, yesterday + seconds) for seconds in (5.0, 30.0, 70.0, 400.0)]
    texts = [words(chips(job, now))[0] for now in up]
    assert texts == ["in about 55 s", "in about 30 s", "about time to peel", "probably late"]


def test_long_waits_are_shown_in_minutes() -> None:
    plan = one_layer(COLD)
    wait = plan.passes[0].wait
    assert wait is not None
    slow = replace(wait, from_seconds=300.0, to_seconds=900.0)
    station = Station(replace(plan, passes=(replace(plan.passes[0], wait=slow),)))
    station.answer()
    station.press()
    job = station.state.job
    assert job is not None
    assert words(chips(job, station.now)) == ["in 5 min"]


def test_a_warm_peel_in_hand_waits_and_then_is_looked_over() -> None:
    plan = one_layer(WARM)
    station = Station(replace(plan, passes=(replace(plan.passes[0], place=PeelPlace.HAND),)))
    station.answer()
    shown = station.tap()
    assert WORDS.say(shown.peel_line or shown.move) == "in hand, before the next load"
    assert label(shown) == "Then: peel warm, in hand"
    shown = station.wait(16.1)
    assert move(shown) == "Wait, peel warm"
    assert [chip.number for chip in shown.chips] == ["31"]
    shown = station.wait(9)
    assert move(shown) == "Peel warm, look"
    assert label(shown) == "Peeled, good: next garment"


def test_a_hot_peel_happens_at_once_at_the_press() -> None:
    station = Station(one_layer(HOT))
    station.answer()
    shown = station.press()
    assert move(shown) == "Peel hot, look"
    assert WORDS.say(shown.peel_line or shown.move) == "at once, at the press"
    assert shown.chips == ()


def test_in_a_staged_peel_the_hot_pieces_come_off_before_racking() -> None:
    station = Station(one_layer(HOT, COLD))
    station.answer()
    shown = station.tap()
    assert label(shown) == "Then: peel hot, flat on the rack"
    assert WORDS.say(shown.peel_line or shown.move) == "some hot, the others cold"
    station.wait(16.1)
    shown = station.answer()
    assert move(shown) == "Peel 31 hot, load 48"
    assert shown.peel is HOT
    assert WORDS.say(shown.peel_line or shown.move) == "31 first, at once, at the press"
    assert lines(shown)[0] == "31: peel name hot, then flat on the rack"
    assert label(shown) == "31 peeled, 48 laid: close 15 s"
    assert [WORDS.say(chip.word) for chip in shown.chips] == ["COLD"]


def test_a_trainee_confirms_the_hot_peel_before_the_rack() -> None:
    station = Station(one_layer(HOT, COLD), ConfirmMode.EACH)
    station.answer()
    station.tap()
    station.press()
    shown = station.see()
    assert move(shown) == "Peel it hot"
    assert lines(shown)[0] == "name: hot"
    assert label(shown) == "Peeled: rack next"
    station.tap()
    shown = station.answer()
    assert move(shown) == "Rack 31, load 48"
    assert label(shown) == "Loaded and flat: lay next"
    assert label(station.tap()) == "31 racked, 48 laid: close 15 s"


def test_a_short_final_of_the_rack_is_looked_at_before_it_goes_there() -> None:
    station = Station(one_layer(COLD))
    station.answer()
    station.tap()
    station.clock += 5
    station.do(SayOpened())
    station.do(SayClosed(closed=True))
    shown = station.see()
    assert move(shown) == "Look it over"
    assert lines(shown) == [
        "it had less time than planned: try the edges",
        "whole? then flat on the rack, carrier on",
    ]
    assert label(shown) == "Whole: lay it flat on the rack"
    station.tap()
    assert [chip.number for chip in station.answer().chips] == ["31"]


def test_open_ends_with_the_next_tap_also_where_the_rack_is_all_that_is_left(
    station: Station,
) -> None:
    shown = station.press()
    assert shown.open_since is not None
    assert station.tap().open_since is None


def test_the_last_garment_leads_to_the_rack_or_ends() -> None:
    station = Station(one_layer(HOT))
    station.answer()
    for _ in range(3):
        station.press()
        station.tap()
        station.answer()
    assert label(station.press()) == "Peeled, good: the last one"
    shown = station.tap()
    assert shown.kind is ScreenKind.DONE
    assert move(shown) == "All garments pressed"
    assert label(shown) == "Next job or hand-over"


@pytest.mark.parametrize(
    ("plan", "first"),
    [
        (one_layer(COLD), "Rack 31 first. New size"),
        (one_layer(HOT, COLD), "Peel 31 hot, rack it. New size"),
        (one_layer(HOT), "New size"),
    ],
)
def test_a_question_about_the_next_garment_names_what_still_lies_on_the_platen_first(
    plan: Plan, first: str
) -> None:
    """Otherwise the operator takes the next one with the last still under the open press."""
    lines = (Garment("1", "31", "AL", "a"), Garment("2", "48", "A2X", "b"))
    station = Station(plan, lines=lines)
    station.answer()
    station.press()
    while station.see().kind is ScreenKind.HANDS and station.see().bar.meaning is not None:
        station.tap()
    shown = station.see()
    assert shown.kind is ScreenKind.ASK
    assert shown.ask is not None
    assert WORDS.say(shown.ask.title) == first
    station.answer()
    assert ("Rack 31" in move(station.see())) is ("Rack 31 first." in first)
