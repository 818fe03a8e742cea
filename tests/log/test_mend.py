"""Damaged files: bytes are really changed; nothing is deleted or trusted unread."""

from __future__ import annotations

import random
import sqlite3
import stat
from pathlib import Path
from typing import Any

import pytest
from log_damage import LATER, PAGE, events_of, mended, pages_of_events, spoil
from log_station import Station, simulated

from kiosk.log.record.recorder import start
from kiosk.log.rescue import mend, pages
from kiosk.log.store import files
from kiosk.log.store.errors import CannotRecord, Damaged, NotALog
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c
from kiosk.run.state.events_station import LogSalvaged


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of about 400 events on about 30 pages, all in one file."""
    path = tmp_path_factory.mktemp("whole") / "station.sqlite3"
    simulated(path, 55, seed=5)
    return path


def test_an_undamaged_log_is_not_touched(path: Path) -> None:
    recorder, mending = start(path, LATER, simulated=True)
    recorder.store.close()
    assert mending is None
    assert not list(path.parent.glob("*damaged*"))


def test_every_event_can_be_read_from_the_pages_alone(path: Path) -> None:
    with Store.read_only(path) as store:
        expected = dict(store.events())
    found = pages.rows_of_pages(path)
    assert found.keys() == expected.keys()


def test_events_still_in_the_tail_are_read_as_well(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.press_to_rack()
    killed = station.as_killed()
    assert len(pages.rows_of_pages(killed)) == station.recorder.last
    station.recorder.close()


def test_one_spoiled_page_costs_only_its_own_events(path: Path) -> None:
    before = events_of(path)
    middle = pages_of_events(path)[4]
    spoil(path, middle * PAGE, PAGE)
    recorder, mending = mended(path)
    recorder.store.close()
    lost = len(before) - mending.kept
    assert 0 < lost < 60
    assert mending.behind_gap > 0
    after = events_of(path)
    assert isinstance(after[-1], LogSalvaged)
    gap = mending.kept - mending.behind_gap
    assert after[:gap] == before[:gap]
    hole = after[gap]
    assert isinstance(hole, LogSalvaged)
    assert (hole.hole, hole.kept, hole.behind_gap) == (True, gap, mending.behind_gap)
    assert after[gap + 1 : -1] == before[gap + lost :]


def test_events_after_a_gap_are_marked_with_their_old_numbers(path: Path) -> None:
    before = events_of(path)
    spoil(path, pages_of_events(path)[4] * PAGE, PAGE)
    recorder, mending = mended(path)
    recorder.store.close()
    after = events_of(path)
    with Store.read_only(path) as store:
        marks = dict(store.rows("SELECT seq, was FROM salvaged"))
    assert len(marks) == mending.behind_gap
    assert all(after[new - 1] == before[old - 1] for new, old in marks.items())


@pytest.mark.parametrize("mode", [0o600, 0o640])
def test_a_mended_record_can_be_read_by_the_same_people(path: Path, mode: int) -> None:
    path.chmod(mode)
    spoil(path, pages_of_events(path)[4] * PAGE, PAGE)
    recorder, _ = mended(path)
    recorder.store.close()
    assert stat.S_IMODE(path.stat().st_mode) == mode


def test_the_damaged_file_is_set_aside_byte_for_byte(path: Path) -> None:
    spoil(path, pages_of_events(path)[3] * PAGE, 600)
    damaged = path.read_bytes()
    recorder, mending = mended(path)
    recorder.store.close()
    assert (mending.aside / path.name).read_bytes() == damaged
    assert mending.aside.parent == path.parent
    assert "damaged-" in mending.aside.name


@pytest.mark.parametrize("seed", range(8))
def test_a_station_starts_whatever_part_of_its_log_is_spoiled(path: Path, seed: int) -> None:
    """Noise of any length anywhere; the rest replays, and nothing in it is pressed twice."""
    dice = random.Random(seed)
    before = {seq: row for seq, (row, _) in pages.rows_of_pages(path).items()}
    place = dice.randrange(path.stat().st_size)
    spoil(path, place, dice.choice((1, 40, 4096, 20_000)), seed)
    try:
        recorder, mending = start(path, LATER, simulated=True)
    except NotALog:
        pytest.fail("a spoiled log is still a log")
    recorder.store.close()
    if mending is not None:
        assert list(mending.aside.iterdir())
        kept = list(pages.rows_of_pages(path).values())
        written = {*before.values(), *(row for row, _ in kept if row.kind == "log-salvaged")}
        assert [row for row, _ in kept[:-1] if row not in written] == []
    assert verify(path).as_json()["ok"] or mending is None


def test_a_lost_header_costs_no_event(path: Path) -> None:
    before = events_of(path)
    spoil(path, 0, 100)
    with pytest.raises(Damaged):
        Store.open(path, simulated=True)
    recorder, mending = mended(path)
    recorder.store.close()
    assert mending.kept == len(before)
    assert events_of(path)[:-1] == before


def test_a_log_without_its_application_id_is_reported_as_damaged(path: Path) -> None:
    spoil(path, 68, 4)  # the application id: sqlite.org/fileformat2.html
    with pytest.raises(Damaged):
        Store.open(path, simulated=True)


def test_a_log_cut_in_half_keeps_the_rest(path: Path) -> None:
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])
    recorder, mending = mended(path)
    recorder.store.close()
    assert 0 < mending.kept < 400
    assert verify(path).ok


@pytest.mark.parametrize("bytes_gone", [1, PAGE - 1])
def test_a_log_cut_within_its_last_page_is_mended(path: Path, bytes_gone: int) -> None:
    """SQLite's own check passes: the missing bytes read as zeros."""
    path.write_bytes(path.read_bytes()[:-bytes_gone])
    recorder, _ = mended(path)
    recorder.close()
    assert verify(path).ok


def test_a_number_changed_inside_an_event_is_noticed(path: Path) -> None:
    content = path.read_bytes()
    place = content.index(b'"dwell_seconds":12.0')
    path.write_bytes(content[:place] + b'"dwell_seconds":19.0' + content[place + 20 :])
    verdict = verify(path)
    assert not verdict.ok
    assert verdict.faults[0].id == "log.rotten"
    with Store.open(path, simulated=True) as store, pytest.raises(Damaged):
        list(store.events())


@pytest.mark.parametrize("where", ["header", "first frame", "middle"])
def test_a_spoiled_tail_is_noticed_and_read_past(tmp_path: Path, where: str) -> None:
    """SQLite silently ends a tail at the first invalid frame."""
    station = Station(tmp_path / "station.sqlite3")
    station.begin(count=20)
    for _ in range(6):
        station.press_to_rack()
    expected = events_of(station.path)
    killed = station.as_killed()
    station.recorder.close()
    tail = killed.with_name(killed.name + "-wal")
    spoil(tail, {"header": 16, "first frame": 60, "middle": tail.stat().st_size // 2}[where], 8)
    assert not verify(killed).ok
    recorder, mending = start(killed, LATER)
    recorder.store.close()
    assert mending is not None
    assert len(expected) - 2 <= mending.kept <= len(expected)
    assert (mending.aside / tail.name).exists()


def test_a_commit_torn_by_a_power_cut_is_no_damage(tmp_path: Path) -> None:
    """Its commit was never confirmed, so it does not count."""
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    killed = station.as_killed()
    station.do(c.PutOnHold("phone"))
    torn = station.path.with_name(station.path.name + "-wal").read_bytes()
    station.recorder.close()
    killed.with_name(killed.name + "-wal").write_bytes(torn[:-2000] + b"\0" * 2000)
    recorder, mending = start(killed, LATER)
    recorder.store.close()
    assert mending is None
    assert verify(killed).ok


@pytest.mark.parametrize("moved", [1, 2])
def test_a_mending_killed_halfway_is_completed_at_the_next_start(path: Path, moved: int) -> None:
    """Killed after the new log was written and one or both damaged files were moved."""
    content = path.read_bytes()
    tail = path.with_name(path.name + "-wal")
    tail.write_bytes(b"the damaged one's tail")
    folder, new = files.new_folder(path, LATER.wall), files.new_log(path)
    new.write_bytes(content)
    folder.mkdir()
    for file in (path, tail)[:moved]:
        file.rename(folder / file.name)
    with Store.open(path, simulated=True) as store:
        assert store.last > 0
    assert (folder / tail.name).read_bytes() == b"the damaged one's tail"
    assert not new.exists()
    assert verify(path).ok


def test_a_mended_log_with_an_open_tail_does_not_replace_the_damaged_one(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a disk error at closing, or with another reader, SQLite reports nothing."""
    spoil(path, pages_of_events(path)[4] * PAGE, PAGE)
    before, write, readers = path.read_bytes(), mend._write, list[sqlite3.Connection]()

    def with_a_reader(store: Store, *rest: Any) -> int:
        readers.append(sqlite3.connect(store.path))
        readers[0].execute("BEGIN")
        readers[0].execute("SELECT count(*) FROM events").fetchall()
        return write(store, *rest)

    monkeypatch.setattr(mend, "_write", with_a_reader)
    with pytest.raises(CannotRecord):
        start(path, LATER, simulated=True)
    assert path.read_bytes() == before
    readers[0].close()
    monkeypatch.undo()
    recorder, mending = start(path, LATER, simulated=True)
    recorder.close()
    assert mending is not None
    assert mending.kept > 300
    assert verify(path).events > 300
