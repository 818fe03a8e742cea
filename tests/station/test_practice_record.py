"""The record of practice: beside the station's record, opened late, never lost silently."""

from __future__ import annotations

from pathlib import Path

from kiosk.catalog.base.notes import Message
from kiosk.log.store.errors import WrongLog
from kiosk.log.store.store import Store
from kiosk.run.state.event import Now
from kiosk.run.state.events_station import QuizAnswered
from kiosk.station.desk.side_files import PracticeRecord, practice_log

NOW = Now("boot", 10.0, 1_800_000_000.0)


def record(place: Path) -> PracticeRecord:
    return PracticeRecord(place / "station.sqlite3", "1.0", lambda: NOW)


def test_no_file_is_made_before_anyone_practises(tmp_path: Path) -> None:
    assert record(tmp_path).training == {}
    assert list(tmp_path.iterdir()) == []


def test_noted_answers_are_there_after_reopening(tmp_path: Path) -> None:
    first = record(tmp_path)
    assert first.open()
    first.note(QuizAnswered(NOW, "TR", "turn", True, ("two-layer",)))
    first.close()
    again = record(tmp_path)
    assert again.training["TR"].quiz == {"two-layer": (True,)}
    again.close()


def test_a_record_open_at_another_station_is_reported_and_not_used(tmp_path: Path) -> None:
    first, second = record(tmp_path), record(tmp_path)
    assert first.open()
    assert not second.open()
    assert isinstance(second.fault, Message)
    assert second.training == {}
    first.close()
    assert second.open()
    second.close()


def test_a_damaged_record_is_mended_and_reported(tmp_path: Path) -> None:
    first = record(tmp_path)
    assert first.open()
    for _ in range(50):
        first.note(QuizAnswered(NOW, "TR", "turn", True, ("two-layer",)))
    first.close()
    path = practice_log(tmp_path / "station.sqlite3")
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])
    again = record(tmp_path)
    assert again.open()
    assert again.mended is not None
    again.close()


def test_a_station_never_takes_the_practice_record_for_its_log(tmp_path: Path) -> None:
    made = record(tmp_path)
    assert made.open()
    made.close()
    try:
        Store.open(made.path)
    except WrongLog:
        return
    raise AssertionError("a station opened the record of practice")
