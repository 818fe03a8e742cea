"""Recorded means findable: the log's files are checked for at their paths."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from log_samples import at
from log_station import Station

from kiosk.log.record.recorder import start
from kiosk.log.rescue import copies
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c
from kiosk.run.state.event import Event
from kiosk.run.state.events_station import Held
from kiosk.words import Words

HERE = Path(__file__).parent
PARTS = ("", "-wal", "-shm")
Harm = Callable[[Path], None]


def unlinked(file: Path) -> None:
    file.unlink()


def renamed(file: Path) -> None:
    file.rename(file.with_name("moved-by-somebody"))


def replaced(file: Path) -> None:
    """Replace the file by another with the same bytes, as a sync service or an editor does."""
    shutil.copy(file, file.with_name("copy"))
    file.with_name("copy").replace(file)


HARMS = (unlinked, renamed, replaced)


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "log" / "station.sqlite3")
    made.begin()
    yield made
    made.recorder.close()


def part(station: Station, name: str) -> Path:
    return station.path.with_name(station.path.name + name)


def kept_of(station: Station) -> list[Event]:
    kept = station.recorder.kept
    assert kept is not None
    with Store.read_only(kept.path) as store:
        return [event for _, event in store.events()]


@pytest.mark.parametrize("harm", HARMS)
@pytest.mark.parametrize("name", PARTS)
def test_no_event_counts_as_recorded_once_a_log_file_is_gone(
    station: Station, name: str, harm: Harm
) -> None:
    recorder = station.recorder
    before = [event for _, event in recorder.store.events()]
    harm(part(station, name))
    outcome = station.do(c.PutOnHold("phone"))
    assert not outcome.recorded
    assert recorder.unrecorded == 1
    assert kept_of(station) == [*before, *outcome.events]
    assert recorder.kept is not None
    assert recorder.fault is not None
    told = Words().say(recorder.fault.message)
    assert str(recorder.kept.path) in told
    assert recorder.kept.path.parent == station.path.parent
    assert verify(recorder.kept.path).ok


@pytest.mark.parametrize("name", PARTS)
def test_no_garment_begins_while_a_log_file_is_missing(station: Station, name: str) -> None:
    part(station, name).unlink()
    outcome = station.forward()
    assert outcome.refusal is not None
    assert outcome.refusal.id == "refuse.not_recorded"
    assert station.recorder.displaced is not None
    assert len(kept_of(station)) == station.recorder.last


def test_a_garment_in_progress_is_finished_and_its_events_kept(station: Station) -> None:
    station.forward()
    station.path.unlink()
    happened = [event for _, event in station.recorder.store.events()]
    happened += station.time_up().events
    happened += station.forward().events
    happened += station.time_up().events
    assert kept_of(station) == happened
    station.answer()
    assert station.forward().refusal is not None


def test_a_missing_file_is_noticed_before_the_next_tap(station: Station) -> None:
    assert station.recorder.retry()
    part(station, "-wal").unlink()
    assert not station.recorder.retry()
    assert len(kept_of(station)) == station.recorder.last


def test_a_log_moved_back_continues_without_duplicates(station: Station) -> None:
    renamed(station.path)
    waiting = station.do(c.PutOnHold("phone"))
    assert not waiting.recorded
    kept = station.recorder.kept
    station.path.with_name("moved-by-somebody").rename(station.path)
    later = Held(at(900.0), "phone")
    station.recorder.note(later)
    assert station.recorder.unrecorded == 0
    assert station.recorder.displaced is None
    with Store.read_only(station.path) as store:
        last = [event for _, event in store.events()][-2:]
    assert last == [*waiting.events, later]
    assert verify(station.path).ok
    assert kept is not None
    assert not kept.path.exists()  # the log has all its events


def test_an_existing_file_is_never_overwritten(
    station: Station, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("time.time", lambda: 1.77e9)
    first = copies.new_file(station.path)
    first.write_text("somebody's")
    station.path.unlink()
    station.do(c.PutOnHold("phone"))
    assert station.recorder.kept is not None
    assert station.recorder.kept.path not in (first, station.path)
    assert first.read_text() == "somebody's"


def test_without_its_folder_the_log_is_kept_elsewhere(station: Station) -> None:
    shutil.rmtree(station.path.parent)
    station.do(c.PutOnHold("phone"))
    assert len(kept_of(station)) == station.recorder.last + 1
    assert station.recorder.kept is not None
    station.recorder.kept.path.unlink()


def test_new_events_are_kept_even_if_old_ones_cannot_be_copied(station: Station) -> None:
    """The tail was cut off under the station: only what is in memory is left."""
    tail = part(station, "-wal")
    os.truncate(tail, 0)
    os.truncate(station.path, 0)
    station.path.unlink()
    outcome = station.do(c.PutOnHold("phone"))
    assert kept_of(station)[-1:] == list(outcome.events)


@pytest.mark.parametrize("name", PARTS)
def test_the_next_start_takes_up_the_kept_events(station: Station, name: str) -> None:
    station.forward()
    part(station, name).unlink()
    station.time_up()
    station.recorder.retry()
    happened, state = kept_of(station), station.recorder.state
    killed = station.path.parent.with_name("killed")
    shutil.copytree(station.path.parent, killed)
    recorder, _ = start(killed / station.path.name, at(900.0))
    assert [event for _, event in recorder.store.events()] == happened
    assert recorder.state == state
    assert recorder.taken_up is not None
    assert Words().say(recorder.taken_up)
    recorder.close()
    assert not list(killed.glob("*.kept-*"))
    again, _ = start(killed / station.path.name, at(901.0))
    assert again.taken_up is None
    again.close()


def test_kept_events_are_taken_up_although_a_kill_tore_their_last_write(station: Station) -> None:
    """SQLite's rollback journal is beside it, and some pages are already changed."""
    station.path.unlink()
    station.do(c.PutOnHold("phone"))
    happened, kept = kept_of(station), station.recorder.kept
    assert kept is not None
    killed = station.path.parent.with_name("killed")
    with closing(sqlite3.connect(kept.path, isolation_level=None)) as writes:
        writes.execute("PRAGMA cache_size = 1")  # pages are written to the file before the commit
        writes.execute("BEGIN")
        guards = writes.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for (guard,) in guards:
            writes.execute(f"DROP TRIGGER {guard}")
        writes.execute("UPDATE events SET payload = payload || ' '")
        shutil.copytree(station.path.parent, killed)
        writes.execute("ROLLBACK")
    assert list(killed.glob("*-journal"))
    recorder, _ = start(killed / station.path.name, at(900.0))
    assert [event for _, event in recorder.store.events()] == happened
    recorder.close()
    assert verify(killed / station.path.name).ok


def test_another_log_at_the_path_is_left_alone(station: Station, tmp_path: Path) -> None:
    other = Station(tmp_path / "other.sqlite3")
    other.begin()
    other.do(c.PutOnHold("phone"))
    other.recorder.close()
    station.do(c.PutOnHold("phone"))
    (tmp_path / "other.sqlite3").replace(station.path)
    station.recorder.note(Held(at(900.0), "phone"))
    killed = tmp_path / "killed"
    shutil.copytree(station.path.parent, killed)
    for rest in ("-wal", "-shm"):  # they belong to the log that is gone
        (killed / (station.path.name + rest)).unlink()
    with Store.open(killed / station.path.name) as store:
        assert store.station == other.recorder.store.station
    assert list(killed.glob("*.kept-*"))


@pytest.mark.parametrize("name", PARTS)
def test_events_reported_as_recorded_survive_a_kill(tmp_path: Path, name: str) -> None:
    """A real process, really killed: every number it printed is there at the next start."""
    log = tmp_path / "station.sqlite3"
    command = [sys.executable, str(HERE / "recording_child.py"), str(log)]
    path = {**os.environ, "PYTHONPATH": os.pathsep.join(map(str, (HERE, HERE.parents[1])))}
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=path
    ) as child:
        said, asked = child.stdout, child.stdin
        assert said is not None
        assert asked is not None

        def go_on() -> str:
            asked.write("\n")
            asked.flush()
            return said.readline().strip()

        try:
            assert [said.readline().strip(), go_on(), go_on()] == ["3", "4", "5"]
            log.with_name(log.name + name).unlink()
            assert go_on().startswith(f"not recorded {log}.kept-")
            go_on()
        finally:
            child.kill()
    recorder, _ = start(log, at(1e5))
    events = [event for _, event in recorder.store.events()]
    assert [type(event) for event in events[3:]] == [Held] * 4
    recorder.close()
    assert verify(log).ok
