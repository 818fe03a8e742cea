"""A garment that never gets cold where it is said to lie: a tap is answered, and is recorded."""

from __future__ import annotations

from dataclasses import replace

from test_view_sources import estimate
from view_cases import COLD, LINES, Station, one_layer

from kiosk.log.store.codec import to_json
from kiosk.plan.model import Place
from kiosk.run.decide.decide import decide
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import Estimate, Lies
from kiosk.run.state.events import AskedQuick


def test_a_tap_for_a_peel_in_hand_that_never_comes_can_be_recorded() -> None:
    plan = one_layer(COLD)
    wait = estimate((30, 40, 60))
    plan = replace(plan, passes=(replace(plan.passes[0], wait=wait, place=Place.HAND),))
    station = Station(plan, lines=LINES[:1])
    station.answer()
    station.press()
    job = station.state.job
    assert job is not None
    ticket = next(iter(job.tickets.values()))
    assert ticket.opened is not None
    found = Estimate(ticket.opened, (wait,), (None,), ((0.0, 90.0),), ((0.0, 90.0),), 23.0, 3.0)
    station.do(s.GiveEstimate(ticket.id, found, None))
    station.do(s.SayPlace(ticket.id, Lies.ON_PAD))
    station.wait(20)
    meaning = station.see().bar.meaning
    assert meaning is not None
    made = decide(station.state, c.Forward(meaning, station.clock), station.now)
    assert isinstance(made, tuple)
    (asked,) = made
    assert isinstance(asked, AskedQuick)
    assert to_json(asked)  # there was no number for it, and the station stopped
