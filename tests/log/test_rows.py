"""Shifts and their events."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from log_station import Station, signed_on

from kiosk.log.facts.derive import ready
from kiosk.log.facts.facts import Shift
from kiosk.log.facts.shifts import shifts as shifts_of_log
from kiosk.log.store.store import Store
from kiosk.run.state import commands as c
from kiosk.run.state.events_station import HandedOver, SignedOn
from kiosk.run.state.model import ConfirmMode


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "station.sqlite3")
    yield made
    made.recorder.close()


def shifts(station: Station) -> tuple[Shift, ...]:
    with Store.read_only(station.path) as reader, reader.reading():
        ready(reader)
        return shifts_of_log(reader)


def test_nobody_signed_on_means_no_shift(station: Station) -> None:
    station.do(c.Start("0.1.0"))
    assert shifts(station) == ()


def test_a_shift_goes_from_sign_on_to_hand_over(station: Station) -> None:
    station.begin()
    station.do(c.HandOver())
    (shift,) = shifts(station)
    with Store.read_only(station.path) as reader:
        events = [event for _, event in reader.events(shift.first, shift.last)]
    assert isinstance(events[0], SignedOn)
    assert isinstance(events[-1], HandedOver)
    assert (shift.began, shift.ended) == (events[0].at.wall, events[-1].at.wall)


def test_an_open_shift_reaches_to_the_last_event(station: Station) -> None:
    station.begin()
    (shift,) = shifts(station)
    assert shift.ended is None
    assert shift.last == station.recorder.last


def test_a_second_operator_within_a_shift_is_named_too(station: Station) -> None:
    station.begin()
    station.do(c.SignOn("ZD", ConfirmMode.GROUPED))
    station.do(c.SignOn("QV", ConfirmMode.GROUPED))
    (shift,) = shifts(station)
    assert (shift.id, signed_on(station.recorder.store)) == (1, [["QV", "ZD"]])


def test_shifts_have_the_same_numbers_as_in_the_state(station: Station) -> None:
    station.begin()
    station.do(c.HandOver())
    station.do(c.SignOn("ZD", ConfirmMode.GROUPED))
    assert [shift.id for shift in shifts(station)] == [1, 2]
    assert station.recorder.state.shift == 2
    assert signed_on(station.recorder.store) == [["QV"], ["ZD"]]
