"""One row per ticket, current to the last event and the same however it is derived."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from all_tickets import ticket_rows
from log_station import Station, simulated

from kiosk.log.facts import fold
from kiosk.log.facts.garments import TicketRow
from kiosk.log.store.store import Store
from kiosk.run.state import commands as c
from kiosk.run.state.model import TicketStage, TimeSource
from kiosk.run.state.state import State


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "station.sqlite3")
    yield made
    made.recorder.close()


def row_of(station: Station, ticket: str) -> TicketRow:
    with Store.read_only(station.path) as reader:
        return next(row for row in ticket_rows(reader) if row.ticket == ticket)


def peel(station: Station, ticket: str, stage: TicketStage = TicketStage.GOOD, **why: str) -> None:
    outcome = station.do(c.Inspect(ticket, stage, **why), after=30.0)
    assert outcome.refusal is None


def test_a_row_names_the_garment_and_where_it_is(station: Station) -> None:
    station.begin()
    row = row_of(station, "1/1/1")
    assert (row.job, row.line, row.number, row.size) == ("ferry-order", "1", "01", "S")
    assert (row.panel, row.passage, row.copy) == ("back", 0, 1)
    assert (row.stage, row.finals) == (TicketStage.AT_PRESS, 0)
    assert row_of(station, "2/1/1").stage is TicketStage.WAITING


def test_a_row_is_current_to_the_last_event_without_a_checkpoint(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    assert station.recorder.store.checkpoint() is None
    row = row_of(station, "1/1/1")
    assert (row.stage, row.finals, row.opened_seen) == (TicketStage.COOLING, 1, TimeSource.NOT_SEEN)


def test_a_result_has_its_operator_shift_and_time(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    peel(station, "1/1/1")
    row = row_of(station, "1/1/1")
    assert (row.stage, row.operator, row.shift) == (TicketStage.GOOD, "QV", 1)
    assert row.ended == station.now.wall
    assert (row.defect, row.cause) == ("", "")


def test_reworked_garments_keep_their_defect(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    peel(station, "1/1/1", TicketStage.REWORK, defect="lifted_edge", cause="peeled_early")
    station.recorder.checkpoint()
    peel(station, "1/1/1")
    row = row_of(station, "1/1/1")
    assert (row.stage, row.defect, row.cause) == (TicketStage.GOOD, "lifted_edge", "peeled_early")


def test_a_result_taken_back_leaves_no_trace_in_its_row(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    peel(station, "1/1/1", TicketStage.ACCEPTED, defect="off_centre", cause="laid_wrong")
    station.recorder.checkpoint()
    assert station.do(c.Back()).refusal is None
    row = row_of(station, "1/1/1")
    assert (row.stage, row.ended, row.operator, row.defect) == (TicketStage.COOLING, None, "", "")


def test_taking_back_another_tap_leaves_the_result(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    peel(station, "1/1/1", TicketStage.REWORK, defect="lifted_edge", cause="peeled_early")
    station.do(c.AllowRepress("1/1/1", "WX", "edge lifted"))
    station.recorder.checkpoint()
    station.do(c.PutAside("lint"))  # the garment at the press makes room for the re-press
    station.do(c.Tick())
    station.do(c.PutAside("lint"))
    assert station.do(c.Back()).refusal is None
    assert row_of(station, "1/1/1").defect == "lifted_edge"


def test_a_garment_sent_back_by_a_supervisor_has_no_result(station: Station) -> None:
    station.begin()
    station.do(c.RowChanged("1", "another digest"))
    assert row_of(station, "1/1/1").stage is TicketStage.STOPPED
    station.do(c.RuleOnTicket("1/1/1", TicketStage.WAITING, "WX", "row looked at"))
    row = row_of(station, "1/1/1")
    assert (row.stage, row.ended, row.operator) == (TicketStage.WAITING, None, "")


def test_a_new_copy_is_gone_when_its_scrap_is_taken_back(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    peel(station, "1/1/1", TicketStage.SCRAP, defect="scorch", cause="over_run")
    assert row_of(station, "1/1/2").stage is TicketStage.WAITING
    station.recorder.checkpoint()
    assert station.do(c.Back()).refusal is None
    names = {"1/1/1", "2/1/1", "3/1/1", "4/1/1"}
    with Store.read_only(station.path) as reader:
        assert {row.ticket for row in ticket_rows(reader)} == names


def test_tickets_of_a_finished_job_stay_in_the_table(tmp_path: Path) -> None:
    path = tmp_path / "two-runs.sqlite3"
    simulated(path, 3, seed=1)
    simulated(path, 3, seed=2)
    with Store.read_only(path) as reader:
        assert "ferry-order" not in fold(State(), reader.entries()).jobs
        jobs = {row.job for row in ticket_rows(reader)}
    assert jobs == {"ferry-order", "ferry-order-run-2"}


def test_a_scrapped_ticket_names_the_copy_that_replaces_it(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    peel(station, "1/1/1", TicketStage.SCRAP, defect="scorch", cause="over_run")
    assert (row_of(station, "1/1/1").replaced_by, row_of(station, "1/1/2").replaced_by) == (2, 0)
    station.do(c.Back())
    assert row_of(station, "1/1/1").replaced_by == 0
