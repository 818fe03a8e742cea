"""A log is copied while its station writes, and a station continues from the copy."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from log_damage import no_file_grows_beyond
from log_station import Station, simulated

from kiosk.log.record.recorder import Recorder
from kiosk.log.rescue.copies import back_up, written_log
from kiosk.log.store.errors import CannotRecord
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "log.sqlite3")
    made.begin()
    yield made
    made.recorder.close()


def copied(path: Path, to: Path) -> int:
    with Store.read_only(path) as store:
        return back_up(store, to).seq


def test_a_copy_is_made_while_the_station_goes_on_working(station: Station, tmp_path: Path) -> None:
    station.press_to_rack()
    copy = tmp_path / "copy.sqlite3"
    last = copied(station.path, copy)
    assert last == station.recorder.last
    station.press_to_rack()
    assert station.recorder.last > last
    assert (verify(copy).ok, verify(copy).last) == (True, last)
    assert sorted(p.name for p in tmp_path.glob("copy*")) == ["copy.sqlite3"]


def test_a_station_continues_from_a_copy_of_its_log(station: Station, tmp_path: Path) -> None:
    station.press_to_rack()
    copied(station.path, tmp_path / "copy.sqlite3")
    restored = Recorder(Store.open(tmp_path / "copy.sqlite3"))
    assert restored.state == station.recorder.state
    assert not restored.do(c.Tick(), station.now).refusal
    restored.do(c.PutOnHold("restored"), station.now)
    restored.close()
    assert verify(tmp_path / "copy.sqlite3").ok


def test_a_copy_includes_events_still_in_the_tail(station: Station, tmp_path: Path) -> None:
    """The last events of a killed station are in the tail beside its file."""
    killed = station.as_killed()
    assert copied(killed, tmp_path / "copy.sqlite3") == station.recorder.last


def test_a_full_stick_is_named_instead_of_the_record(tmp_path: Path) -> None:
    simulated(tmp_path / "log.sqlite3", 5)
    stick = tmp_path / "stick"
    stick.mkdir()
    with no_file_grows_beyond(20_000), pytest.raises(CannotRecord) as refused:
        copied(tmp_path / "log.sqlite3", stick / "copy.sqlite3")
    assert refused.value.message.values["path"] == str(stick / "copy.sqlite3")
    assert list(stick.iterdir()) == []


def test_a_log_that_does_not_fit_on_the_disk_is_not_left_open(tmp_path: Path) -> None:
    simulated(tmp_path / "log.sqlite3", 5)
    with Store.read_only(tmp_path / "log.sqlite3") as store:
        rows = list(store.stored())
    with written_log(tmp_path / "empty.sqlite3", store.station, []) as empty:
        room = max(part.stat().st_size for part in tmp_path.glob(f"{empty.path.name}*"))
    path = tmp_path / "new.sqlite3"
    with no_file_grows_beyond(room), pytest.raises(CannotRecord) as refused:
        written_log(path, store.station, rows)
    assert refused.value.message.values["path"] == str(path)
    assert [each for each in open_files() if each.startswith(str(path))] == []


def open_files() -> list[str]:
    """Return the paths of this process's open files."""
    found = []
    for each in Path("/proc/self/fd").iterdir():
        with suppress(FileNotFoundError):  # the one for the folder itself
            found.append(str(each.readlink()))
    return found


def test_an_existing_file_is_never_overwritten(tmp_path: Path) -> None:
    simulated(tmp_path / "log.sqlite3", 1)
    other = tmp_path / "other.sqlite3"
    other.write_bytes(b"somebody's")
    with pytest.raises(CannotRecord):
        copied(tmp_path / "log.sqlite3", other)
    assert other.read_bytes() == b"somebody's"


def test_a_failed_copy_leaves_nothing_behind(tmp_path: Path) -> None:
    simulated(tmp_path / "log.sqlite3", 1)
    with pytest.raises(CannotRecord):
        copied(tmp_path / "log.sqlite3", tmp_path / "nowhere" / "copy.sqlite3")
    assert not (tmp_path / "nowhere").exists()
