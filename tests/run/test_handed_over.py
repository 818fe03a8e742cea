"""A hand-over in the middle of work: the station had the platen cleared, and goes on from there."""

from __future__ import annotations

from view_cases import COLD, Station, label, lines, move, one_layer, two_layers

from kiosk.plan.model import Phase
from kiosk.run.show import View
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode, JobRun


def job_of(station: Station) -> JobRun:
    assert station.state.job is not None
    return station.state.job


def handed_over(station: Station) -> View:
    """The next operator takes over a minute later and answers the questions."""
    station.wait(60.0)
    station.do(c.HandOver("ZD"))
    station.do(c.SignOn("ZD", ConfirmMode.EACH))
    return station.answer()


def test_a_garment_handed_over_half_done_is_loaded_again() -> None:
    station = Station(two_layers())
    station.answer()
    station.press()
    station.press()  # the lower tack
    shown = handed_over(station)
    assert move(shown) == "Take the carriers off"
    assert "load it again: back up, collar toward you" in lines(shown)
    assert shown.open_since is None  # whoever cleared the platen saw the press open
    assert shown.peel is None  # what came off a minute ago is no longer hot


def test_a_garment_only_loaded_is_loaded_again() -> None:
    station = Station(one_layer(COLD), ConfirmMode.EACH)
    station.answer()
    assert station.tap().phase is not Phase.LOAD
    shown = handed_over(station)
    assert shown.phase is Phase.LOAD
    assert not shown.back  # the tap that loaded it cannot be taken back


def test_the_garment_that_was_on_its_way_to_the_rack_lies_there_already() -> None:
    station = Station(one_layer(COLD))
    station.answer()
    station.press()
    leaving = job_of(station).leaving
    racked = job_of(station).tickets[leaving].garment.number
    assert racked in move(station.answer())
    shown = handed_over(station)
    said = " ".join((move(shown), label(shown), *lines(shown)))
    assert racked not in said
    assert [chip.ticket for chip in shown.chips] == [leaving]


def test_the_next_operator_can_go_on_to_the_end_of_the_job() -> None:
    station = Station(two_layers())
    station.answer()
    station.press()
    station.press()
    handed_over(station)
    for _ in range(60):
        shown = station.answer()
        if shown.bar.meaning is None:
            break
        shown = station.tap()
        if shown.countdown is not None:
            station.wait(shown.countdown.counting_in + shown.countdown.total + 0.1)
    assert job_of(station).done
    assert all(ticket.finals == 1 for ticket in job_of(station).tickets.values())
