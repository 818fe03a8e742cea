"""Events that could not be written when a station ended are kept elsewhere and taken up later."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from log_samples import at
from log_station import Station
from test_breaks import in_a_mount, mounting

from kiosk.log.record.recorder import start
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c
from kiosk.run.state.event import Event
from kiosk.words import Words


@contextmanager
def held(log: Path) -> Iterator[None]:
    """Let another program hold a write transaction on the record."""
    with closing(sqlite3.connect(log, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The system's temporary folder (docs.python.org: tempfile.tempdir)."""
    place = tmp_path / "elsewhere"
    place.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(place))
    return place


def ended_unwritten(log: Path) -> list[Event]:
    """End a station while nothing can be written; return all its events."""
    station = Station(log)
    station.begin()
    before = [event for _, event in station.recorder.store.events()]
    with held(log):
        did = station.do(c.PutOnHold("phone"))
        assert not did.recorded
        station.recorder.close()
    return [*before, *did.events]


def events_of(log: Path) -> list[Event]:
    with Store.read_only(log) as store:
        return [event for _, event in store.events()]


def test_unwritten_events_are_in_the_log_after_the_next_start(
    tmp_path: Path, elsewhere: Path
) -> None:
    log = tmp_path / "station.sqlite3"
    happened = ended_unwritten(log)
    assert events_of(log) == happened[:-1]
    recorder, _ = start(log, at(900.0))
    assert recorder.taken_up is not None
    assert recorder.taken_up.id == "log.taken_from"
    assert recorder.state.held is not None
    recorder.close()
    assert events_of(log) == happened
    assert verify(log).ok
    assert not list(elsewhere.iterdir())


def test_a_record_that_went_on_is_not_joined_with_the_kept_file(
    tmp_path: Path, elsewhere: Path
) -> None:
    log = tmp_path / "station.sqlite3"
    happened = ended_unwritten(log)
    (kept,) = elsewhere.iterdir()
    away = kept.rename(tmp_path / kept.name)  # on a stick that was pulled out
    away = away.rename(tmp_path.parent / kept.name)
    recorder, _ = start(log, at(900.0))
    recorder.do(c.Start("0.1.0"), at(901.0))
    recorder.close()
    went_on = events_of(log)
    away.rename(kept)
    recorder, _ = start(log, at(950.0))
    assert recorder.taken_up is not None
    assert recorder.taken_up.id == "log.kept_apart"
    when = time.strftime("%Y-%m-%d %H:%M", time.localtime(happened[-1].at.wall))
    assert recorder.taken_up.values == {"kept": str(kept), "count": 1, "since": when}
    assert "look at the garments of that time" in Words("en").say(recorder.taken_up)
    recorder.close()
    assert events_of(log) == went_on
    assert kept.exists()


def test_events_are_kept_again_after_the_stick_is_pulled_out(
    tmp_path: Path, elsewhere: Path
) -> None:
    """The page promised a copy on the stick: the new copy is found at the next start."""
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    with held(station.path):
        station.do(c.PutOnHold("phone"))
        pulled = station.recorder.keep_elsewhere()
        assert pulled is not None
        pulled.unlink()
        station.do(c.PutOnHold("again"))
        kept = station.recorder.keep_elsewhere()
        assert kept is not None
        assert kept.exists()
        elsewhere = elsewhere.rename(tmp_path / "a drawer")
        assert station.recorder.keep_elsewhere() is None
        assert station.recorder.kept is None  # so that no page claims it is kept
        elsewhere.rename(tmp_path / "elsewhere")
        station.recorder.close()
    count = station.recorder.last + station.recorder.unrecorded
    recorder, _ = start(station.path, at(900.0))
    assert recorder.last == count
    recorder.close()


STARTED_TWICE = """
import tempfile
from pathlib import Path
from log_samples import at
from kiosk.log.record.recorder import start
tempfile.tempdir = sys.argv[1]
for _ in range(2):
    recorder, _ = start(Path(sys.argv[1]).with_name("station.sqlite3"), at(900.0))
    print(recorder.taken_up and recorder.taken_up.id, recorder.last)
    recorder.close()
"""


@mounting
def test_a_stick_gone_read_only_stops_no_station(tmp_path: Path, elsewhere: Path) -> None:
    """Worn sticks do this, as does a damaged FAT file system (mount(8), errors=remount-ro)."""
    happened = ended_unwritten(tmp_path / "station.sqlite3")
    mount = "mount --bind {folder} {folder} && mount -o remount,bind,ro {folder}"
    first, second = in_a_mount(mount, STARTED_TWICE, elsewhere).splitlines()
    assert first == f"log.taken_from {len(happened)}"
    assert second == f"None {len(happened)}"


def test_another_stations_file_of_the_same_name_is_left_alone(
    tmp_path: Path, elsewhere: Path
) -> None:
    other = tmp_path / "other" / "station.sqlite3"
    ended_unwritten(other)
    (kept,) = elsewhere.iterdir()
    was = kept.read_bytes()
    log = tmp_path / "station.sqlite3"
    mine = Station(log)
    mine.begin()
    mine.recorder.close()
    had = events_of(log)
    recorder, _ = start(log, at(900.0))
    assert recorder.taken_up is None
    recorder.close()
    assert events_of(log) == had
    assert kept.read_bytes() == was


def test_a_station_with_no_place_to_keep_events_ends_with_them_unrecorded(
    tmp_path: Path, elsewhere: Path
) -> None:
    log = tmp_path / "station.sqlite3"
    station = Station(log)
    station.begin()
    shutil.rmtree(elsewhere)
    with held(log):
        station.do(c.PutOnHold("phone"))
        station.recorder.close()
    assert station.recorder.unrecorded == 1
    assert station.recorder.kept is None


def test_the_kept_file_is_removed_once_the_log_can_be_written(
    tmp_path: Path, elsewhere: Path
) -> None:
    log = tmp_path / "station.sqlite3"
    station = Station(log)
    station.begin()
    with held(log):
        station.do(c.PutOnHold("phone"))
        kept = station.recorder.keep_elsewhere()
        assert kept is not None
        station.do(c.PutOnHold("again"))
        assert len(events_of(kept)) == station.recorder.last + station.recorder.unrecorded
    assert station.recorder.retry()
    assert not kept.exists()
    station.recorder.close()
