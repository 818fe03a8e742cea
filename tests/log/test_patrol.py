"""Old events are read again in idle time: damage is found, and no tap waits for it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from log_samples import at
from log_station import Station, simulated, unguarded

from kiosk.log.rescue.walk import A_DAY, EVERY_SECONDS, MOST_BYTES, STEP, LogPatrol
from kiosk.log.store.store import Store
from kiosk.run.state.events_station import Held


@pytest.fixture
def path(tmp_path: Path) -> Path:
    simulated(tmp_path / "station.sqlite3", 10, seed=2)
    return tmp_path / "station.sqlite3"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    with Store.open(path, simulated=True) as store:
        yield store


def found(patrol: LogPatrol, seconds: float, began: float = 0.0) -> list[int]:
    """Return what is found while the clock advances in steps of half a second."""
    told: list[int] = []
    for nth in range(int(seconds * 2)):
        told += patrol.check_some(at(began + nth / 2))
    return told


def round_seconds(store: Store) -> float:
    return (store.last / STEP + 2) * EVERY_SECONDS


def test_an_undamaged_log_is_read_over_and_over_without_a_report(store: Store) -> None:
    patrol = LogPatrol(store)
    assert found(patrol, 3 * round_seconds(store)) == []
    assert patrol.read >= 3 * store.last


@pytest.mark.parametrize("begin", [0.0, 1.0, 7.0, 1e9 + 13])
def test_a_changed_event_is_reported_once_within_a_round(
    path: Path, store: Store, begin: float
) -> None:
    patrol = LogPatrol(store)
    found(patrol, 5.0, begin)
    unguarded(path, "UPDATE events SET clock = clock + 1 WHERE seq = 20")  # by another process
    assert found(patrol, 2 * round_seconds(store), begin + 10) == [20]


def test_a_broken_link_in_the_chain_is_reported(path: Path, store: Store) -> None:
    unguarded(path, "UPDATE events SET digest = x'00' WHERE seq = 20")
    assert found(LogPatrol(store), round_seconds(store) * 2)[:1] == [20]


def test_a_patrol_reads_slowly_and_at_most_a_million_events_a_day(store: Store) -> None:
    patrol = LogPatrol(store)
    most, before = 0, 0
    for nth in range(7_200):
        patrol.check_some(at(float(nth)))
        most, before = max(most, patrol.read - before), patrol.read
    assert most <= STEP
    assert 0 < patrol.read <= A_DAY / 12


def test_a_look_stops_at_its_byte_limit(tmp_path: Path) -> None:
    with Store.open(tmp_path / "log") as store:
        store.append([Held(at(float(n)), "x" * MOST_BYTES) for n in range(STEP)])
        patrol = LogPatrol(store)
        patrol.check_some(at(0.0))
        assert patrol.read == 1
        assert found(patrol, STEP * EVERY_SECONDS * 2, 10.0) == []
        assert patrol.read > STEP


def test_a_file_that_sqlite_cannot_read_is_reported_as_a_fault(path: Path, store: Store) -> None:
    content = bytearray(path.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)
    path.write_bytes(content)
    patrol = LogPatrol(store)
    assert found(patrol, 20.0) == []
    assert patrol.fault is not None


def test_an_empty_log_has_nothing_to_read(tmp_path: Path) -> None:
    with Store.open(tmp_path / "log") as store:
        patrol = LogPatrol(store)
        assert found(patrol, 60.0) == []
        assert patrol.fault is None


def test_a_station_records_while_its_log_is_patrolled(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    patrol = LogPatrol(station.recorder.store)
    for nth in range(100):
        assert patrol.check_some(at(1000.0 + nth * EVERY_SECONDS)) == ()
        station.recorder.note(Held(at(1000.0 + nth * EVERY_SECONDS), "phone"))
    assert station.recorder.unrecorded == 0
    assert patrol.read > 100
    station.recorder.close()
