"""Screens off the straight way: over-runs, stops, questions, holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from view_cases import (
    COLD,
    HOT,
    LINES,
    WORDS,
    Station,
    below,
    label,
    lines,
    messages,
    move,
    one_layer,
    two_layers,
)

from kiosk.catalog.model import Peel
from kiosk.run.facts.questions import BarOwner, ScreenKind
from kiosk.run.facts.tickets import label_of
from kiosk.run.state import commands as c
from kiosk.run.state.model import Garment, TicketStage
from kiosk.run.state.rules import QuestionKind

TWINS = (Garment("1", "6", "AL", "a"), Garment("2", "9", "YM", "b"))


def pressed_once(**changes: object) -> Station:
    station = Station(two_layers(**changes))
    station.answer()
    return station


def test_what_runs_over_is_counted_until_it_is_opened() -> None:
    station = pressed_once(confirm_opening=True)
    station.tap()
    station.wait(1 + 5 + 0.1)
    shown = station.wait(4)
    assert (shown.kind, move(shown)) == (ScreenKind.OVER, "OPEN NOW")
    assert lines(shown) == [
        "4 s past 5 s",
        "limit for this cloth: 20 s, a guess",
        "look for marks when it is open",
    ]
    assert shown.countdown is not None
    assert -4.2 < shown.countdown.left < -4
    assert (label(shown), shown.bar.owner) == ("Opened", BarOwner.OVER)
    shown = station.tap()
    assert (shown.kind, shown.open_since) == (ScreenKind.HANDS, None)


def test_an_over_run_of_film_names_film_and_cloth() -> None:
    station = Station(one_layer(HOT, confirm_opening=True))
    station.answer()
    station.press()
    assert lines(station.wait(4))[1] == "limit for film and cloth: 15 s, a guess"


def test_unasked_heat_counts_up() -> None:
    station = pressed_once()
    station.tap()
    station.do(c.PressClosed())
    station.wait(5.1)
    station.do(c.PressOpened())
    station.do(c.PutOnHold())
    station.do(c.PressClosed())
    shown = station.wait(7)
    assert (shown.kind, move(shown)) == (ScreenKind.UNASKED, "OPEN: closed unasked")
    assert shown.countdown is not None
    assert (shown.countdown.left, shown.countdown.total) == (-7.0, 0.0)
    assert shown.opened
    assert (label(shown), shown.bar.owner) == ("Opened", BarOwner.OVER)


def test_opened_too_early_asks_whether_it_was_closed() -> None:
    station = pressed_once()
    station.tap()
    station.clock += 2
    station.do(c.SayOpened())
    shown = station.see()
    assert (shown.kind, move(shown)) == (ScreenKind.ASK_CLOSED, "Was it closed?")
    assert shown.ask is not None
    assert [WORDS.say(answer) for answer in shown.ask.answers] == ["Closed", "Not closed"]
    assert "the clock runs on meanwhile" in lines(shown)
    assert shown.countdown is not None
    assert shown.bar.meaning is None
    station.do(c.SayClosed(False))
    shown = station.see()
    assert move(shown) == "Check it, then close"
    assert label(shown) == "All as it was: close 5 s"


def test_a_short_final_is_looked_over_with_its_mark() -> None:
    station = Station(one_layer(HOT))
    station.answer()
    station.tap()
    station.clock += 5
    station.do(c.SayOpened())
    station.do(c.SayClosed(True))
    assert lines(station.see())[0] == "it had less time than planned: try the edges"


def test_a_question_hides_what_it_asks_for() -> None:
    station = Station(two_layers(), lines=TWINS)
    station.do(c.ReadSetting(300))
    shown = station.see()
    assert shown.kind is ScreenKind.ASK
    assert (move(shown), label(shown)) == ("New size", "Pedal: short steps, long chooses")
    assert below(shown) == "or touch the size"
    assert (shown.number, shown.size, shown.line, shown.pieces) == ("", "", "", ())
    station.do(c.AnswerQuestion("AL"))
    shown = station.see()
    assert move(shown) == "Look-alike number"
    assert below(shown) == "or enter what you read"
    values = [v for m in messages(shown) for v in m.values.values()]
    assert "6" not in values
    assert shown.ask is not None
    assert {"6", "9"} <= set(shown.ask.choices)


def test_a_wrong_answer_is_shown() -> None:
    station = Station(two_layers(), lines=TWINS)
    station.do(c.ReadSetting(300))
    station.do(c.AnswerQuestion("AL"))
    station.do(c.AnswerQuestion("9"))
    shown = station.see()
    assert lines(shown)[1] == "The ticket says 6. Find it, read it again."
    job = station.state.job
    assert job is not None
    assert job.questions[0].ask is QuestionKind.NUMBER


def test_the_press_is_set_and_read_before_any_heat() -> None:
    station = Station(two_layers())
    shown = station.see()
    assert (shown.kind, move(shown)) == (ScreenKind.SETTING, "Set the press")
    assert lines(shown) == ["Pressure: medium-firm. Press timer: 15 s"]
    assert shown.ask is not None
    assert WORDS.say(shown.ask.title) == "Set the press to 300 °F"
    assert WORDS.say(shown.ask.foot) == "It must show exactly this."
    assert [WORDS.say(each) for each in shown.ask.blind] == [
        "What does the press show?",
        "Read its display. Enter the figures as they are.",
    ]
    assert label(shown) == "Press is set and settled"
    station.do(c.ReadSetting(290))
    shown = station.see()
    assert shown.ask is not None
    assert WORDS.say(shown.ask.foot).startswith("It showed 290 °F, too cold. Check the setting")


@pytest.mark.parametrize(
    ("films", "foot"),
    [
        ((300, 300), "It must show exactly this."),  # it was "300 to 300 °F is fine"
        ((298, 302), "298 to 302 °F is fine: film and fabric allow no more."),
    ],
)
def test_a_window_of_one_degree_is_no_range(films: tuple[int, int], foot: str) -> None:
    station = Station(replace(two_layers(), films=(films,)))
    job = station.state.job
    assert job is not None
    within = replace(job, rules=replace(job.rules, tolerance=5))
    station.state = replace(station.state, job=within)
    shown = station.see()
    assert shown.ask is not None
    assert WORDS.say(shown.ask.foot) == foot


def test_a_reading_for_another_setting_is_not_called_too_cold() -> None:
    """Nobody has read it for the hotter pass yet: the reading was right for the one before."""
    one = one_layer(HOT).passes[0]
    steps = tuple(
        step if step.temperature is None else replace(step, temperature=320) for step in one.steps
    )
    plan = one_layer(HOT, passes=(one, replace(one, group=1, steps=steps)), runs=((0,), (1,)))
    station = Station(plan, lines=LINES[:1])
    station.answer()
    station.press()
    shown = station.tap()
    assert (shown.kind, shown.ask is not None) == (ScreenKind.SETTING, True)
    assert shown.ask is not None
    assert WORDS.say(shown.ask.title) == "Set the press to 320 °F"
    assert WORDS.say(shown.ask.foot) == "It must show exactly this."
    station.do(c.ReadSetting(300))  # now it was read for this one
    again = station.see().ask
    assert again is not None
    assert WORDS.say(again.foot).startswith("It showed 300 °F, too cold. Check the setting")


def test_a_hold_says_why_and_how_it_ends() -> None:
    station = pressed_once()
    station.do(c.PutOnHold("lint roller empty"))
    shown = station.see()
    assert (shown.kind, move(shown)) == (ScreenKind.HELD, "On hold")
    assert lines(shown) == ["lint roller empty"]
    assert label(shown) == "Go on"
    assert not shown.hold


def test_a_countdown_that_goes_on_after_a_start_says_when_to_open_and_nothing_else() -> None:
    station = Station(one_layer(HOT))
    station.answer()
    station.tap()
    station.clock += 3
    station.do(c.Start("0.1"))
    shown = station.see()
    assert shown.kind is ScreenKind.HEAT
    assert lines(shown) == ["opens by itself at the tone"]


def test_after_a_reboot_in_heat_the_press_is_opened_first_and_the_garment_looked_at() -> None:
    station = Station(one_layer(HOT))
    station.answer()
    station.tap()
    station.boot, station.clock = "boot-2", 30.0
    assert station.see().kind is ScreenKind.NEW
    station.do(c.Start("0.1"))
    shown = station.see()
    assert (shown.kind, move(shown)) == (ScreenKind.OPEN_FIRST, "OPEN THE PRESS first")
    assert lines(shown)[1] == "use the press's own release"
    assert label(shown) == "The press is open"
    shown = station.tap()
    assert (move(shown), shown.number, shown.inspecting) == ("Look it over", "31", True)
    assert lines(shown)[0] == "the station stopped while it was pressed"
    assert label(shown) == "Pedal: short steps, long chooses"
    assert WORDS.say(shown.bar.below) == "or touch how number 31 is"
    assert shown.bar.meaning is None


def test_a_stopped_pre_press_may_go_on() -> None:
    station = pressed_once()
    station.tap()
    station.boot, station.clock = "boot-2", 30.0
    station.do(c.Start("0.1"))
    shown = station.tap()
    assert lines(shown) == [  # nothing of what its ticket says is on it yet
        "the station stopped while it was pressed",
        "whole and in place? then go on",
    ]
    assert label(shown) == "Whole and in place: go on"
    assert move(station.tap()) == "Set the press"
    station.do(c.ReadSetting(300))
    assert move(station.see()) == "Lay the lower pieces"


def test_after_a_power_cut_in_a_tack_its_hot_carriers_come_off_before_the_press_is_set() -> None:
    """They are not peeled hot any more once somebody has waited for the press to settle."""
    station = Station(two_layers())
    station.answer()
    station.press()  # pre-press
    station.tap()  # the first tack begins
    station.boot, station.clock = "boot-2", 30.0
    station.do(c.Start("0.1"))
    station.tap()  # the press is open
    shown = station.tap()  # whole and in place
    assert (shown.kind, move(shown)) == (ScreenKind.SETTING, "Set the press")
    assert shown.ask is not None
    assert WORDS.say(shown.ask.title) == "Carriers off first, hot. Set the press to 300 °F"
    station.do(c.ReadSetting(300))
    assert move(station.see()) == "Carriers off, lay the top"


def test_the_press_is_read_again_after_a_power_cut_but_not_after_a_restart() -> None:
    """Without power the press has cooled too: no heat at a setting that nobody has seen."""
    station = pressed_once()
    station.do(c.Start("0.1"))
    assert move(station.see()) == "Load the garment"
    station.boot, station.clock = "boot-2", 30.0
    station.do(c.Start("0.1"))
    assert move(station.see()) == "Set the press"
    station.do(c.ReadSetting(300))
    assert move(station.see()) == "Load the garment"


def test_rework_waits_aside_and_can_be_touched() -> None:
    station = Station(one_layer(HOT), lines=TWINS[:1])
    station.answer()
    shown = station.press()
    station.do(c.Inspect(shown.ticket, TicketStage.REWORK, "lifted_edge", "short_press"))
    shown = station.see()
    assert (shown.kind, move(shown)) == (ScreenKind.DONE, "These need a decision")
    assert lines(shown) == ["1 garment is still open"]
    assert [(a.number, WORDS.say(a.word)) for a in shown.aside] == [("6", "rework")]
    shown = station.see(shown.aside[0].ticket)
    assert (move(shown), shown.inspect_number) == ("Look it over", "6")
    assert label(shown) == "Number 6: choose its result"


@pytest.mark.parametrize(
    ("closings", "how_far"), [(0, "it had no heat yet"), (1, "it had heat, but no final press")]
)
def test_a_stopped_garment_shows_why_and_an_operator_gives_it_no_result(
    closings: int, how_far: str
) -> None:
    station = Station(two_layers(), lines=TWINS)
    station.answer()
    for _ in range(closings):
        station.press()
    station.do(c.RowChanged(TWINS[0].line, "new"))
    shown = station.answer()
    assert [(a.number, WORDS.say(a.word)) for a in shown.aside] == [("6", "stopped: supervisor")]
    assert shown.number == "9"
    shown = station.see(shown.aside[0].ticket)
    assert (shown.number, move(shown)) == ("6", "Stopped: a supervisor decides")
    assert lines(shown) == [
        "its row in the roster has changed",
        how_far,
        "lay it aside and press the others",
    ]
    assert (label(shown), shown.bar.meaning) == ("Number 6 waits for the supervisor", None)
    assert not shown.inspecting
    assert not shown.pieces
    assert shown.sheet is None  # not decided whether it will be pressed again
    assert station.see().number == "9"


@pytest.mark.parametrize(
    ("row", "now"),
    [
        (replace(TWINS[0], number="31", size="AS", digest="b"), "now says 31 AS"),
        (replace(TWINS[0], digest="b"), "has changed"),
    ],
)
def test_a_stopped_garment_keeps_its_old_label_until_a_decision(row: Garment, now: str) -> None:
    """The shirt is found by what is on it: common practice, no source."""
    station = Station(two_layers(), lines=TWINS)
    station.answer()
    station.press()
    station.do(c.RowChanged("1", row.digest, row=row))
    (chip,) = station.answer().aside
    assert chip.number == "6"
    shown = station.see(chip.ticket)
    assert (shown.number, shown.size, label(shown)) == (
        "6", "AL", "Number 6 waits for the supervisor",
    )  # fmt: skip
    assert lines(shown)[0] == f"its row in the roster {now}"
    station.see()
    station.do(c.RuleOnTicket(chip.ticket, TicketStage.WAITING, "a supervisor", "roster"))
    assert station.state.job is not None
    assert label_of(station.state.job.tickets[chip.ticket]) == row.number


def test_touching_a_stopped_garments_chip_does_not_skip_a_question() -> None:
    station = Station(two_layers(), lines=TWINS)
    station.do(c.RowChanged(TWINS[1].line, "new"))
    asked = station.see()
    assert asked.ask is not None
    assert station.see(asked.aside[0].ticket) == asked


def test_without_a_job_the_station_says_so() -> None:
    station = pressed_once()
    station.do(c.LeaveJob())
    shown = station.see()
    assert (shown.kind, move(shown)) == (ScreenKind.IDLE, "No job at the press")
    assert (label(shown), shown.bar.meaning) == ("Choose a job", None)


@pytest.mark.parametrize(
    ("peels", "said"),
    [
        ((COLD,), "carrier still on? first peel it cold"),
        ((HOT,), "carrier still on? first peel it hot"),
        ((HOT, COLD), "carriers still on? first peel hot, then cold"),
    ],
)
def test_after_a_stop_in_its_final_a_garment_is_peeled_before_it_is_looked_over(
    peels: tuple[Peel, ...], said: str
) -> None:
    """Nobody may pull a carrier hot that its sheet wants cold, because the power failed."""
    station = Station(one_layer(*peels))
    station.answer()
    station.tap()
    shown = station.wait(60.0)  # the machine slept
    assert shown.kind is ScreenKind.OPEN_FIRST
    shown = station.tap()
    assert (shown.inspecting, shown.peel) == (True, peels[0])
    assert said in lines(shown)


def test_after_a_stop_in_its_final_a_stack_has_its_sheet_taken_off_and_nothing_to_peel() -> None:
    station = Station(two_layers())
    station.answer()
    for _ in range(3):
        station.press()
    station.tap()
    station.wait(60.0)  # the machine slept
    shown = station.tap()
    assert (move(shown), shown.peel) == ("Sheet off, look it over", None)
    assert not [line for line in lines(shown) if "carrier still on" in line]


def test_after_a_closing_of_unknown_outcome_the_sheet_shown_is_for_the_next_one() -> None:
    station = Station(two_layers())
    station.answer()
    for _ in range(2):
        station.press()
    sheets = []
    for _ in range(2):  # the upper tack, without a sheet; the final, under it
        station.tap()
        station.wait(60.0)  # the machine slept
        assert station.tap().bar.label.id in ("bar.go_on", "bar.choose")
        sheets.append(station.see().sheet)
        if len(sheets) == 1:
            station.tap()
    assert sheets == [True, None]  # after the final there is no closing
