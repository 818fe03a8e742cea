"""A garment that never cools where it is reported to lie: a tap is answered and recorded."""

from __future__ import annotations

from dataclasses import replace

import pytest
from test_view_sources import estimate
from view_cases import COLD, LINES, Station, one_layer

from kiosk.log.store.codec import to_json
from kiosk.plan.model import PeelPlace
from kiosk.run.decide.decide import decide
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, Estimate
from kiosk.run.state.event import Event
from kiosk.run.state.events import AskedQuick, Finished
from kiosk.run.state.model import TicketStage


def test_a_tap_for_a_peel_in_hand_that_never_comes_can_be_recorded() -> None:
    station = _left_on_the_pad(PeelPlace.HAND)
    (asked,) = _made(station, _forward(station))
    assert isinstance(asked, AskedQuick)
    assert to_json(asked)  # it had no number for never, and the station stopped


def test_the_second_tap_can_be_recorded_too() -> None:
    station = _left_on_the_pad(PeelPlace.HAND)
    station.do(_forward(station))
    station.wait(2)
    _assert_early(_made(station, _forward(station)))


@pytest.mark.parametrize("place", PeelPlace)
@pytest.mark.parametrize("stage", [TicketStage.GOOD, TicketStage.ACCEPTED])
def test_a_result_can_be_recorded_wherever_it_is_peeled(
    place: PeelPlace, stage: TicketStage
) -> None:
    station = _left_on_the_pad(place)
    defect = "" if stage is TicketStage.GOOD else "marks"
    _assert_early(_made(station, c.Inspect("1/1/1", stage, defect)))


def _left_on_the_pad(place: PeelPlace) -> Station:
    """A garment that was pressed and left where it never cools, 20 s later."""
    plan = one_layer(COLD)
    wait = estimate((30, 40, 60))
    plan = replace(plan, passes=(replace(plan.passes[0], wait=wait, place=place),))
    station = Station(plan, lines=LINES[:2])
    station.answer()
    station.press()
    job = station.state.job
    assert job is not None
    ticket = next(iter(job.tickets.values()))
    assert ticket.opened is not None
    found = Estimate(ticket.opened, (wait,), (None,), ((0.0, 90.0),), ((0.0, 90.0),), 23.0, 3.0)
    station.do(s.GiveEstimate(ticket.id, found, None))
    station.do(s.SayPlace(ticket.id, CoolingPlace.ON_PAD))
    station.wait(20)
    return station


def _forward(station: Station) -> c.Forward:
    meaning = station.see().bar.meaning
    assert meaning is not None
    return c.Forward(meaning, station.clock)


def _made(station: Station, command: c.Command) -> tuple[Event, ...]:
    made = decide(station.state, command, station.now)
    assert isinstance(made, tuple)
    return made


def _assert_early(made: tuple[Event, ...]) -> None:
    """Peeled before it was due, by seconds that can be written: JSON has no infinity."""
    done = made[0]
    assert isinstance(done, Finished)
    assert done.peeled
    assert done.early_seconds is not None
    assert to_json(done)
