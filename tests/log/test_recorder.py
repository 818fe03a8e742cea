"""Decide, write, then update; if writing fails, go on but begin nothing new."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from log_samples import at
from log_station import TRIGGER, Station, foreign

from kiosk.log.record.recorder import CHECKPOINT_EVERY, Recorder
from kiosk.log.store.store import Store
from kiosk.run.state import commands as c
from kiosk.run.state import events as e
from kiosk.run.state import events_station as st
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.words import Words


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "station.sqlite3")
    yield made
    made.recorder.close()


def on_disk(station: Station) -> list[e.Event]:
    """Return the events as another program reads them."""
    with Store.read_only(station.path) as reader:
        return [event for _, event in reader.events()]


def test_an_event_is_on_disk_when_the_call_returns(station: Station) -> None:
    outcome = station.do(c.Start("0.1.0"))
    assert outcome.recorded
    assert on_disk(station) == list(outcome.events)


def test_a_refusal_changes_neither_log_nor_state(station: Station) -> None:
    station.begin()
    before, written = station.recorder.state, on_disk(station)
    outcome = station.do(c.SayClosed(closed=True), after=0.0)
    assert outcome.refusal is not None
    assert outcome.events == ()
    assert station.recorder.state == before
    assert on_disk(station) == written


def test_a_station_continues_where_its_log_left_off(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    killed = Recorder(Store.open(station.as_killed()))
    assert killed.state == station.recorder.state
    killed.store.close()


def test_a_final_counts_from_its_start_even_after_a_kill(station: Station) -> None:
    station.begin()
    station.forward()
    station.time_up()
    station.forward()  # the final has begun when the program is killed
    killed = Recorder(Store.open(station.as_killed()))
    killed.do(c.Start("0.1.0"), at(station.clock + 600.0))
    assert killed.state.job is not None
    ticket = killed.state.job.tickets["1/1/1"]
    assert (ticket.stage, ticket.finals) == (TicketStage.UNKNOWN, 1)
    refused = killed.do(
        c.RuleOnTicket("1/1/1", TicketStage.WAITING, "WX", "again"), at(station.clock + 700.0)
    )
    assert refused.refusal is not None
    killed.store.close()


def test_unwritten_events_are_kept_in_order_and_written_later(station: Station) -> None:
    station.begin()
    written = on_disk(station)
    station.forward()
    foreign(station.path, TRIGGER)
    first = station.time_up()
    second = station.forward()
    assert (first.recorded, second.recorded) == (False, False)
    assert station.recorder.unrecorded == len(first.events) + len(second.events)
    foreign(station.path, "DROP TRIGGER full")
    assert station.recorder.retry()
    assert station.recorder.unrecorded == 0
    assert on_disk(station)[len(written) + 1 :] == [*first.events, *second.events]


def test_the_clock_runs_on_while_nothing_can_be_written(station: Station) -> None:
    station.begin()
    station.forward()
    foreign(station.path, TRIGGER)
    outcome = station.time_up()
    assert any(isinstance(event, e.TimeUp) for event in outcome.events)
    assert station.recorder.state.heat is None


def test_the_next_command_writes_the_waiting_events(station: Station) -> None:
    station.begin()
    foreign(station.path, TRIGGER)
    assert not station.do(c.PutOnHold("phone")).recorded
    foreign(station.path, "DROP TRIGGER full")
    assert station.forward().recorded
    assert [type(event) for event in on_disk(station)[-2:]] == [st.Held, st.Restarted]


def test_a_fault_is_reported_until_it_is_over(station: Station) -> None:
    station.begin()
    foreign(station.path, TRIGGER)
    station.do(c.PutOnHold("phone"))
    assert station.recorder.fault is not None
    assert str(station.path) in Words().say(station.recorder.fault.message)
    foreign(station.path, "DROP TRIGGER full")
    station.recorder.retry()
    assert station.recorder.fault is None


def test_no_new_garment_is_begun_while_an_event_waits(station: Station) -> None:
    station.begin()
    foreign(station.path, TRIGGER)
    station.do(c.PutOnHold("phone"))
    station.forward()  # restart
    before = station.recorder.state
    outcome = station.forward()
    assert outcome.refusal is not None
    assert outcome.refusal.id == "refuse.not_recorded"
    assert not outcome.recorded
    assert station.recorder.state == before
    foreign(station.path, "DROP TRIGGER full")
    assert any(isinstance(event, e.Closed) for event in station.forward().events)


def test_no_trainee_loads_a_new_garment_while_an_event_waits(tmp_path: Path) -> None:
    station = Station(tmp_path / "trainee.sqlite3")
    station.begin()
    station.do(c.SignOn("ZD", ConfirmMode.EACH))
    station.do(c.Tick())
    station.answer()
    foreign(station.path, TRIGGER)
    station.do(c.PutOnHold("phone"))
    station.forward()
    outcome = station.forward()
    assert outcome.refusal is not None
    assert outcome.refusal.id == "refuse.not_recorded"
    station.recorder.store.close()


def test_the_current_garment_can_be_finished_while_an_event_waits(station: Station) -> None:
    station.begin()
    station.forward()
    station.time_up()  # pre-pressed, so it has begun
    foreign(station.path, TRIGGER)
    outcome = station.forward()
    assert any(isinstance(event, e.Closed) for event in outcome.events)
    assert not outcome.recorded


def test_a_closing_seen_by_a_switch_is_timed_even_while_an_event_waits(station: Station) -> None:
    station.begin()
    foreign(station.path, TRIGGER)
    station.do(c.PutOnHold("phone"))
    station.forward()
    outcome = station.do(c.PressClosed())
    assert outcome.refusal is None
    assert station.recorder.state.heat is not None


def test_a_full_disk_is_tried_again_once_a_second(station: Station) -> None:
    station.begin()
    foreign(station.path, TRIGGER)
    station.do(c.PutOnHold("phone"))
    station.do(c.Tick(), after=1.0)
    foreign(station.path, "DROP TRIGGER full")
    station.do(c.Tick(), after=0.5)
    assert station.recorder.unrecorded == 1
    station.do(c.Tick(), after=0.5)
    assert station.recorder.unrecorded == 0


def test_a_checkpoint_is_stored_at_hand_over(station: Station) -> None:
    station.begin()
    assert station.recorder.store.checkpoint() is None
    station.do(c.HandOver())
    stored = station.recorder.store.checkpoint()
    assert stored is not None
    assert stored.seq == station.recorder.last


def test_a_checkpoint_is_stored_after_a_fixed_number_of_events(station: Station) -> None:
    station.begin()
    while station.recorder.last < CHECKPOINT_EVERY + 10:
        station.do(c.PutOnHold("phone"))
        station.forward()
        station.answer()
    stored = station.recorder.store.checkpoint()
    assert stored is not None
    assert CHECKPOINT_EVERY <= stored.seq <= CHECKPOINT_EVERY + 10


def test_only_facts_changed_by_an_event_are_written(station: Station) -> None:
    station.begin(count=50)
    changes, events = station.recorder.store._connection.total_changes, station.recorder.last
    station.press_to_rack()
    written = station.recorder.store._connection.total_changes - changes
    assert written < 6 * (station.recorder.last - events)  # of 50 tickets two have changed


def test_a_checkpoint_that_cannot_be_stored_loses_nothing(station: Station) -> None:
    station.begin()
    foreign(station.path, "CREATE TRIGGER no BEFORE INSERT ON checkpoint"
            " BEGIN SELECT RAISE(ABORT, 'full'); END")  # fmt: skip
    assert station.do(c.HandOver()).recorded
    assert station.recorder.fault is not None
    assert isinstance(on_disk(station)[-1], st.HandedOver)


def test_a_moved_wall_clock_changes_no_dwell(station: Station) -> None:
    station.begin()
    station.forward()
    heat = station.recorder.state.heat
    assert heat is not None
    assert heat.deadline is not None
    back = at(heat.deadline - 1.0, wall=at(heat.deadline).wall - 7200.0)
    assert [type(x) for x in station.recorder.do(c.Tick(), back).events] == [st.WallClockMoved]
    assert station.recorder.state.heat == heat
    on_time = at(heat.deadline, wall=back.wall + 1.0)
    ended = station.recorder.do(c.Tick(), on_time).events
    assert [x.due for x in ended if isinstance(x, e.TimeUp)] == [heat.deadline]
