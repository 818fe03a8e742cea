"""The whole check, and what it finds."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from log_samples import at
from log_station import Station, foreign, unguarded

from kiosk.log.record import recovery
from kiosk.log.store.errors import CannotRecord, NotALog
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state.events import Closed
from kiosk.run.state.events_shift import RepressAllowed
from kiosk.run.state.model import TimeSource
from kiosk.words import Words


def faults(path: Path) -> list[str]:
    verdict = verify(path)
    assert all(Words().say(fault) for fault in verdict.faults)
    return [fault.id for fault in verdict.faults]


def test_an_undamaged_log_is_reported_as_ok(path: Path) -> None:
    with Store.read_only(path) as store:
        last, station, head = store.last, store.station, store.head.full
    assert verify(path).as_json() == {
        "ok": True, "events": last, "last": last, "pressed_twice": 0,
        "bad": [], "station": station, "head": head,
    }  # fmt: skip


def test_a_log_can_be_checked_while_a_station_works_on_it(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.forward()
    verdict = verify(station.path)
    assert verdict.ok
    assert verdict.last == station.recorder.last
    station.recorder.close()


def test_a_changed_event_is_found(path: Path) -> None:
    unguarded(path, "UPDATE events SET wall = wall + 60 WHERE seq = 20")
    assert faults(path)[0] == "log.rotten"


def test_a_missing_event_is_found(path: Path) -> None:
    unguarded(path, "DELETE FROM events WHERE seq = 20")
    assert "log.fault.missing" in faults(path)


def test_missing_events_at_the_end_are_found(path: Path) -> None:
    unguarded(path, "DELETE FROM events WHERE seq > 20")
    assert verify(path).ok is False


@pytest.mark.parametrize(
    ("sql", "fault"),
    [
        ("UPDATE garment SET stage = 'good' WHERE stage = 'scrap'", "log.fault.facts"),
        ("UPDATE garment SET finals = finals + 1", "log.fault.facts"),
        ("DELETE FROM garment WHERE line = '1'", "log.fault.facts"),
        ("UPDATE closing SET over = 9.5 WHERE step = 4", "log.fault.facts"),
        ("UPDATE hands SET seconds = seconds + 0.1", "log.fault.facts"),
        ("DELETE FROM peel WHERE before", "log.fault.facts"),
        ("UPDATE tally SET many = many - 1 WHERE kind = 'finished'", "log.fault.facts"),
        ("UPDATE tally SET last = last + 1", "log.fault.facts"),
        ("INSERT INTO ruling VALUES (3, 9, 'j', 't', 'ruled good', 'XX', '')", "log.fault.facts"),
        ("UPDATE job SET begun = replace(begun, '1', '2')", "log.fault.facts"),
        ("UPDATE shift SET clock = clock + 1", "log.fault.facts"),
        ("UPDATE stint SET operator = 'XX'", "log.fault.facts"),
        ("DELETE FROM setting", "log.fault.facts"),
        ("UPDATE noted SET kind = 'held' WHERE kind = 'finished'", "log.fault.facts"),
        ("INSERT INTO jump VALUES (9, 1, -3600.0)", "log.fault.facts"),
        ("INSERT INTO lot VALUES (3, 9, 'film', 'j', 'L7')", "log.fault.facts"),
        ("INSERT INTO gone VALUES (9, 'peel', 'j', 't', 3)", "log.fault.facts"),
        (
            "INSERT INTO \"check\" VALUES (9, 3, 'press', 150, 'C', 0.5, 1.0, 3.0, 3.0, 1)",
            "log.fault.facts",
        ),
        ("UPDATE checkpoint SET state = '{}'", "log.fault.checkpoint"),
        ("UPDATE checkpoint SET state = CAST(x'ff7b7d' AS TEXT)", "log.fault.checkpoint"),
        ("UPDATE checkpoint SET seq = seq - 1", "log.fault.checkpoint"),
    ],
)
def test_stored_facts_and_checkpoints_must_follow_from_the_events(
    path: Path, sql: str, fault: str
) -> None:
    foreign(path, sql)
    assert faults(path) == [fault]


def test_a_stored_state_contradicting_the_events_is_found(path: Path) -> None:
    with Store.open(path, simulated=True) as store:
        state = recovery.recover(store).state
        recovery.save_checkpoint(store, replace(state, operator="XX"))
    assert faults(path) == ["log.fault.checkpoint"]


def test_an_index_that_no_longer_fits_the_events_is_found(path: Path) -> None:
    with Store.read_only(path) as store:
        (root,) = next(
            store.rows("SELECT rootpage FROM sqlite_schema WHERE name = 'closing_ticket'")
        )
    content = bytearray(path.read_bytes())
    content[root * 4096 - 1] ^= 1  # the row that the index's first entry points to
    path.write_bytes(content)
    assert faults(path) == ["log.fault.file"] * len(faults(path)) != []


def test_a_broken_page_is_reported_in_one_line(path: Path) -> None:
    with Store.read_only(path) as store:
        (root,) = next(
            store.rows("SELECT rootpage FROM sqlite_schema WHERE name = 'closing_ticket'")
        )
    content = bytearray(path.read_bytes())
    content[(root - 1) * 4096 : (root - 1) * 4096 + 16] = b"\xff" * 16
    path.write_bytes(content)
    (fault,) = verify(path).faults
    assert fault.id == "log.damaged"
    assert str(fault.values["found"]).startswith(f"Page {root}: ")


def test_a_checkpoint_of_another_program_is_no_fault(path: Path) -> None:
    foreign(path, "UPDATE checkpoint SET code = 'an older program', state = '{}'")
    assert verify(path).ok


def test_an_unapproved_second_final_is_counted(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    final = Closed(at(500.0), "1/1/1", 3, 4, 12.0, 1.0, TimeSource.DECLARED)
    station.recorder.store.append([final])
    assert verify(station.path).pressed_twice == 0
    station.recorder.store.append([final])
    verdict = verify(station.path)
    assert verdict.pressed_twice == 1
    station.recorder.store.append([RepressAllowed(at(600.0), "2/1/1", "WX", "edge lifted")])
    other = Closed(at(700.0), "2/1/1", 3, 4, 12.0, 1.0, TimeSource.DECLARED)
    station.recorder.store.append([other, other])
    assert verify(station.path).pressed_twice == 1
    station.recorder.store.close()


def test_a_file_that_is_no_log_is_reported_as_such(tmp_path: Path) -> None:
    other = tmp_path / "roster.csv"
    with pytest.raises(CannotRecord):
        verify(other)
    other.write_text("line,size,name,number\n")
    with pytest.raises(NotALog):
        verify(other)
