"""The next garment: shown while there is time to fetch it, never during a question about it."""

from __future__ import annotations

from view_cases import COLD, WORDS, Station, one_layer, two_layers

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state.model import Garment

TWO_SIZES = (Garment("1", "31", "AL", "a"), Garment("2", "48", "YM", "b", "home"))


def next_garment(shown: View) -> list[str]:
    following = shown.upcoming
    assert following is not None
    sized = [] if following.size_line is None else [WORDS.say(following.size_line)]
    return [following.number, following.set, *sized, WORDS.say(following.pull)]


def closed(station: Station) -> View:
    station.answer()
    shown = station.tap()
    assert shown.kind is ScreenKind.HEAT
    return shown


def test_every_closing_shows_number_set_size_and_what_to_pull() -> None:
    station = Station(two_layers(), lines=TWO_SIZES)
    station.answer()
    for _ in range(4):
        shown = station.tap()
        assert shown.kind is ScreenKind.HEAT
        assert next_garment(shown) == [
            "48", "home", "new size YM", "pull name, number: BLACK, WHITE"
        ]  # fmt: skip
        assert shown.countdown is not None
        station.wait(shown.countdown.counting_in + shown.countdown.total + 0.1)


def test_only_the_last_move_shows_the_next_garment() -> None:
    station = Station(two_layers(), lines=TWO_SIZES)
    assert station.answer().upcoming is None
    for _ in range(3):
        assert station.press().upcoming is None
    assert next_garment(station.press())[0] == "48"


def test_the_same_size_is_no_change() -> None:
    same = (TWO_SIZES[0], Garment("2", "48", "AL", "b"))
    assert next_garment(closed(Station(one_layer(COLD), lines=same)))[2] == "size AL"


def test_the_question_that_follows_does_not_show_it() -> None:
    station = Station(one_layer(COLD), lines=TWO_SIZES)
    closed(station)
    station.wait(20)
    shown = station.see()
    assert shown.ask is not None
    assert shown.upcoming is None


def test_after_the_last_garment_nothing_comes() -> None:
    assert closed(Station(one_layer(COLD), lines=TWO_SIZES[:1])).upcoming is None
